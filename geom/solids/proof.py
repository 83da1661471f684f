"""Reading a STEP file back, to verify its content against the specification."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from geom import vec
from geom.errors import CannotFinishError, GeometryError
from geom.parts.part import Box, Cylinder, Part, missing_kernel
from geom.solids.step import quiet_kernel
from geom.vec import Vec


@dataclass(frozen=True)
class FoundCylinder:
    """A cylindrical face: radius [mm], a point on its axis [mm], its axis' unit direction."""

    radius: float
    point: Vec
    direction: Vec


@dataclass(frozen=True)
class FoundBody:
    """One placed body: names of instance and product, solids, validity, volume [mm3], box and cylinders [mm].

    `within` are the assemblies that hold it, from the topmost down.
    """

    instance: str
    product: str
    solids: int
    valid: bool
    volume: float
    box: Box
    cylinders: tuple[FoundCylinder, ...]
    colour: tuple[float, float, float] | None
    shape: Any
    within: tuple[str, ...] = ()


def read_step(content: bytes) -> tuple[FoundBody, ...]:
    """Return every placed body of a STEP file, in the file's order.

    Raises:
        CannotFinishError: the kernel is missing or cannot read the content.
    """
    try:
        from OCP.STEPCAFControl import STEPCAFControl_Reader
    except ImportError as fault:
        raise missing_kernel(fault) from fault
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDF import TDF_LabelSequence
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    quiet_kernel()
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    if reader.ReadStream("proof", io.BytesIO(content)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise CannotFinishError("the STEP file cannot be read back")
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    reader.Transfer(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    roots = TDF_LabelSequence()
    shapes.GetFreeShapes(roots)
    found: list[FoundBody] = []
    for k in range(1, roots.Length() + 1):
        root = roots.Value(k)
        if not shapes.IsAssembly_s(root):
            found.append(_body(root, root, shapes, colours))
            continue
        found += _components(root, (), shapes, colours)
    return tuple(found)


def _components(assembly: Any, within: tuple[str, ...], shapes: Any, colours: Any) -> Iterator[FoundBody]:
    """Yield the bodies of an assembly and of those in it, which stand in its own axes."""
    from OCP.TDF import TDF_Label, TDF_LabelSequence

    parts = TDF_LabelSequence()
    shapes.GetComponents_s(assembly, parts, False)
    for k in range(1, parts.Length() + 1):
        label, product = parts.Value(k), TDF_Label()
        shapes.GetReferredShape_s(label, product)
        if shapes.IsAssembly_s(product):
            yield from _components(product, (*within, _name(label)), shapes, colours)
        else:
            yield replace(_body(label, product, shapes, colours), within=within)


def _body(label: Any, product: Any, shapes: Any, colours: Any) -> FoundBody:
    shape = shapes.GetShape_s(label)
    return measure(shape, _name(label), _name(product), _colour(product, colours))


def measure(shape: Any, instance: str = "", product: str = "", colour: Any = None) -> FoundBody:
    """Return the measurements of a shape of the kernel.

    Args:
        shape: the shape.
        instance: name of the instance.
        product: name of the product.
        colour: red, green, blue from 0 to 1, None for none.
    """
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    shape = getattr(shape, "wrapped", shape)
    solids = _explore(shape, "SOLID")
    properties = GProp_GProps()
    for solid in solids:
        BRepGProp.VolumeProperties_s(solid, properties, 1e-9, False)
    return FoundBody(
        instance=instance,
        product=product,
        solids=len(solids),
        valid=bool(BRepCheck_Analyzer(shape).IsValid()),
        volume=properties.Mass(),
        box=bounding_box(shape),
        cylinders=tuple(found for _, found in cylinder_faces(shape)),
        colour=colour,
        shape=shape,
    )


def bounding_box(shape: Any) -> Box:
    """Return the exact bounding box of a shape, from its surfaces and not from a mesh [mm]."""
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib

    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(getattr(shape, "wrapped", shape), box, False, False)
    low, high = box.CornerMin(), box.CornerMax()
    gap = box.GetGap()
    return Box(
        (low.X() + gap, low.Y() + gap, low.Z() + gap),
        (high.X() - gap, high.Y() - gap, high.Z() - gap),
    )


def _explore(shape: Any, kind: str) -> list[Any]:
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer

    explorer = TopExp_Explorer(shape, getattr(TopAbs_ShapeEnum, f"TopAbs_{kind}"))
    found = []
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def cylinder_faces(shape: Any) -> list[tuple[Any, FoundCylinder]]:
    """Return every cylindrical face of a shape with its cylinder."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_SurfaceType
    from OCP.TopoDS import TopoDS

    found = []
    for face in _explore(shape, "FACE"):
        surface = BRepAdaptor_Surface(TopoDS.Face_s(face))
        if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Cylinder:
            cylinder = surface.Cylinder()
            at, way = cylinder.Axis().Location(), cylinder.Axis().Direction()
            place, direction = (at.X(), at.Y(), at.Z()), (way.X(), way.Y(), way.Z())
            found.append((face, FoundCylinder(cylinder.Radius(), place, direction)))
    return found


def _name(label: Any) -> str:
    from OCP.TDataStd import TDataStd_Name

    attribute = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), attribute):
        return ""
    return str(attribute.Get().ToExtString())


def _colour(label: Any, colours: Any) -> tuple[float, float, float] | None:
    from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
    from OCP.XCAFDoc import XCAFDoc_ColorType

    colour = Quantity_Color()
    if not colours.GetColor_s(label, XCAFDoc_ColorType.XCAFDoc_ColorSurf, colour):
        return None
    red, green, blue = colour.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB)
    return (float(red), float(green), float(blue))


def same_axis(face: FoundCylinder, hole: Cylinder, tolerance: float = 0.001) -> bool:
    """Return whether a cylindrical face has a specified hole's radius and axis.

    Args:
        face: the face.
        hole: the specified hole.
        tolerance: of the radius, and of the axis over 1000 mm [mm].
    """
    distance = vec.norm(vec.cross(vec.sub(face.point, hole.point), hole.direction))
    deviation = vec.norm(vec.cross(face.direction, hole.direction)) * 1000.0
    return abs(face.radius - hole.radius) <= tolerance and distance <= tolerance and deviation <= tolerance


def finds(body: FoundBody, hole: Cylinder, tolerance: float = 0.001) -> bool:
    """Return whether a body has a specified hole: a face of its radius and axis.

    Args:
        body: the body read back.
        hole: the specified hole.
        tolerance: of the radius, and of the axis over 1000 mm [mm].
    """
    return any(same_axis(face, hole, tolerance) for face in body.cylinders)


def require_true(part: Part, body: FoundBody, tolerance: float = 0.001, volume_tolerance: float = 1e-5) -> None:
    """Check that a body read back is the specified part.

    Args:
        part: the specified part.
        body: the body read back.
        tolerance: of the bounding box [mm].
        volume_tolerance: of the volume, a share.

    Raises:
        GeometryError: it differs; the message names each difference and its size.
    """
    faults = []
    if body.solids != 1:
        faults.append(f"{body.solids} solids instead of one")
    if not body.valid:
        faults.append("an invalid shape by the kernel's check")
    specified = part.volume()
    if abs(body.volume - specified) > volume_tolerance * specified:
        faults.append(f"volume {body.volume:.3f} mm3 instead of {specified:.3f} mm3")
    box = part.box()
    pairs = zip((*body.box.low, *body.box.high), (*box.low, *box.high), strict=True)
    deviation = max(abs(measured - specified) for measured, specified in pairs)
    if deviation > tolerance:
        faults.append(f"bounding box {deviation:.4f} mm off")
    faults += [f"hole {hole.name} is not as specified" for hole in part.holes() if not finds(body, hole)]
    if faults:
        raise GeometryError(f"{part.family} {body.product}: " + "; ".join(faults))
