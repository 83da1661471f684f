"""Pictorial views: hidden-line projection of solids, as neutral figure items.

For pictorial views only. Shop views are drawn from the parts' sizes: projected along a drilled hole, the
kernel returns a thousand splines instead of a circle.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from geom import vec
from geom.figure import Item, Line, Polyline
from geom.parts.families.post import PostSpec
from geom.parts.part import missing_kernel
from geom.solids.assembly import Assembly, Maker
from geom.solids.curves import strokes_of
from geom.solids.mesh import triangulate
from geom.solids.step import location
from geom.vec import Vec

# From aft, starboard and above, all three axes equally foreshortened (isometric, ISO 5456-3).
ISOMETRIC: Vec = vec.unit((1.0, 1.0, 1.0))
# A single part is shown with its front and its right side, as in its other views.
ISOMETRIC_PART: Vec = vec.unit((1.0, -1.0, 1.0))
# Largest distance of a chord from its curve [paper mm], finer than any pen.
_CHORD = 0.02


def pictorial(
    shapes: tuple[Any, ...], viewer: Vec = ISOMETRIC, scale: float = 1.0, *, hidden: bool = False
) -> tuple[Item, ...]:
    """Return the visible edges of shapes seen from a direction, Z up on paper.

    Coordinates are model millimetres in the plane of the view, zero at the model's origin: right is
    Z x viewer, up is viewer x right.

    Args:
        shapes: shapes of the kernel that hide each other.
        viewer: unit direction from the model to the viewer, not along Z.
        scale: of the view, a factor; sets how finely curves are divided.
        hidden: whether hidden edges are added, on their own layer.

    Raises:
        CannotFinishError: the kernel is missing.
    """
    try:
        from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
    except ImportError as fault:
        raise missing_kernel(fault) from fault
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector

    right = vec.unit(vec.cross((0.0, 0.0, 1.0), viewer))
    algorithm = HLRBRep_Algo()
    for shape in shapes:
        algorithm.Add(getattr(shape, "wrapped", shape))
    algorithm.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(*viewer), gp_Dir(*right))))
    algorithm.Update()
    algorithm.Hide()
    result = HLRBRep_HLRToShape(algorithm)
    layers = [("OUTLINE", result.VCompound()), ("OUTLINE", result.OutLineVCompound())]
    if hidden:
        layers += [("HIDDEN", result.HCompound()), ("HIDDEN", result.OutLineHCompound())]
    items: list[Item] = []
    for layer, compound in layers:
        if compound is not None and not compound.IsNull():
            items += _edges(compound, layer, _CHORD / scale)
    return tuple(sorted(items, key=_order))


def _edges(compound: Any, layer: str, chord: float) -> list[Item]:
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepLib import BRepLib
    from OCP.GCPnts import GCPnts_QuasiUniformDeflection
    from OCP.GeomAbs import GeomAbs_CurveType
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    BRepLib.BuildCurves3d_s(compound)
    explorer = TopExp_Explorer(compound, TopAbs_ShapeEnum.TopAbs_EDGE)
    items: list[Item] = []
    while explorer.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current()))
        explorer.Next()
        first, last = curve.Value(curve.FirstParameter()), curve.Value(curve.LastParameter())
        if curve.GetType() == GeomAbs_CurveType.GeomAbs_Line:
            ends = sorted([_round(first), _round(last)])
            if math.dist(*ends) > 1e-4:
                items.append(Line(ends[0], ends[1], layer))
            continue
        cut = GCPnts_QuasiUniformDeflection(curve, chord)
        points = [_round(cut.Value(k)) for k in range(1, cut.NbPoints() + 1)]
        kept = [p for k, p in enumerate(points) if k == 0 or p != points[k - 1]]
        if len(kept) > 1:
            items.append(Polyline(tuple(kept if kept[0] <= kept[-1] else kept[::-1]), layer))
    return items


def _round(point: Any) -> tuple[float, float]:
    """Return a point rounded to 0.1 micrometre: finer than any drawing, coarser than the kernel's numerical noise."""
    return (round(point.X(), 4) + 0.0, round(point.Y(), 4) + 0.0)


def _order(item: Item) -> tuple[str, tuple[tuple[float, float], ...]]:
    if isinstance(item, Line):
        return (item.layer, (item.start, item.end))
    assert isinstance(item, Polyline)
    return (item.layer, item.points)


def boat_view(assembly: Assembly, make: Maker, viewer: Vec = ISOMETRIC) -> tuple[Item, ...]:
    """Return the whole boat seen from a direction: solids with hidden edges removed, deck edges as chains.

    Posts are drawn without their holes, which are smaller than a pen's width at such scales, and surfaces as the
    facets of their meshes, whose edges are found in an eighth of the time.

    Args:
        assembly: the boat.
        make: returns the shape of the kernel for a specification.
        viewer: unit direction from the model to the viewer, not along Z.

    Raises:
        CannotFinishError: the kernel is missing.
    """
    shapes: list[Any] = []
    right = vec.unit(vec.cross((0.0, 0.0, 1.0), viewer))
    up = vec.cross(viewer, right)
    edges: list[Item] = []
    for piece in assembly.pieces:
        if piece.part is None:
            strokes = [] if piece.curve is None else strokes_of(piece.curve())
            layer = "DECK-EDGE" if piece.instance.startswith("deck edge") else "THIN"
            for ends in strokes:
                a, b = (piece.frame.point(end) for end in ends)
                flat = [(round(vec.dot(p, right), 4), round(vec.dot(p, up), 4)) for p in (a, b)]
                edges.append(Line(flat[0], flat[1], layer))
            continue
        spec = replace(piece.part, drilled=()) if isinstance(piece.part, PostSpec) else piece.part
        shapes.append(make(spec).Moved(location(piece.frame)))
    return (*edges, *_faceted(shapes, viewer, right))


def _faceted(shapes: list[Any], viewer: Vec, right: Vec) -> tuple[Item, ...]:
    """Return the visible edges of the meshes of shapes, as for `pictorial`."""
    try:
        from OCP.HLRBRep import HLRBRep_PolyAlgo, HLRBRep_PolyHLRToShape
    except ImportError as fault:
        raise missing_kernel(fault) from fault
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector

    algorithm = HLRBRep_PolyAlgo()
    for shape in shapes:
        triangulate(shape)
        algorithm.Load(shape)
    algorithm.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(*viewer), gp_Dir(*right))))
    algorithm.Update()
    result = HLRBRep_PolyHLRToShape()
    result.Update(algorithm)
    items = {
        edge
        for compound in (result.VCompound(), result.OutLineVCompound())
        if compound is not None and not compound.IsNull()
        for edge in _edges(compound, "OUTLINE", 1.0)
    }
    return tuple(sorted(items, key=_order))
