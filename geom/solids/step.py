"""STEP (ISO 10303-21): named products, placed as named instances, with colours; same input, same bytes."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

from geom.errors import CannotFinishError
from geom.parts.part import missing_kernel
from geom.parts.shape.frame import Frame
from geom.solids.step_text import Rgb, encoded, finished

Schema = Literal["AP242", "AP214"]

_SCHEMA_WORD = {"AP242": "AP242DIS", "AP214": "AP214IS"}
# Coordinates to the uncertainty of 1e-7 mm stated in the file; directions, which act over metres, three digits finer.
# The kernel's numerical noise in the last bits is not written.
_NUMBER, _PLACE = "%.10f", "%.8f"
_PLACES = (1.0, 1e9)
STEEL: Rgb = (190, 194, 200)
_Held = dict[str, Any]


@dataclass(frozen=True)
class Product:
    """A distinct part: its name, its shape (of the kernel) and its colour (red, green, blue, 0 to 255)."""

    name: str
    shape: Any
    rgb: Rgb = STEEL
    is_curve: bool = False


@dataclass(frozen=True)
class Instance:
    """A placed product under its own name; `within` are the assemblies that hold it, from the topmost down."""

    name: str
    product: str
    frame: Frame = field(default_factory=Frame)
    within: tuple[str, ...] = ()


def step_bytes(
    title: str,
    products: tuple[Product, ...],
    instances: tuple[Instance, ...] = (),
    *,
    date: str = "2000-01-01",
    schema: Schema = "AP242",
    axes: str = "",
) -> bytes:
    """Return one STEP file: a single product, or an assembly named `title` of placed instances.

    Args:
        title: name of the file's content, and of the assembly.
        products: the distinct parts, in the order in which they are written.
        instances: their placements; empty for the file of one product.
        date: the date in the header (the boat file's revision, never the clock).
        schema: application protocol.
        axes: directions and origin of the coordinates, in words for the header.

    Raises:
        CannotFinishError: the kernel is missing or its writer refuses the shape.
    """
    try:
        from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Writer
    except ImportError as fault:
        raise missing_kernel(fault) from fault
    from OCP.Interface import Interface_Static
    from OCP.StepData import StepData_StepWriter

    quiet_kernel()
    STEPCAFControl_Controller.Init_s()
    Interface_Static.SetCVal_s("write.step.schema", _SCHEMA_WORD[schema])
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    Interface_Static.SetIVal_s("write.precision.mode", 0)
    writer = STEPCAFControl_Writer()
    writer.SetNameMode(True)
    writer.SetColorMode(False)
    if not writer.Transfer(_document(title, products, instances)):
        raise CannotFinishError(f"{title}: the solid kernel could not turn the shapes into STEP")
    model = writer.ChangeWriter().Model(False)
    _fix_header(model, title, axes, date)
    stream = io.BytesIO()
    sender = StepData_StepWriter(model)
    sender.FloatWriter().SetFormat(_NUMBER)
    sender.FloatWriter().SetFormatForRange(_PLACE, *_PLACES)
    sender.FloatWriter().SetZeroSuppress(True)
    sender.SendModel(model.Protocol())
    if not sender.Print(stream):
        raise CannotFinishError(f"{title}: the solid kernel could not write STEP")
    names = (title, *(product.name for product in products), *(instance.name for instance in instances))
    text = stream.getvalue().decode("ascii")
    return finished(text, _colours_in_order(products, instances), model.NbEntities(), names).encode("ascii")


def _document(title: str, products: tuple[Product, ...], instances: tuple[Instance, ...]) -> Any:
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())

    def name(label: Any, text: str) -> None:
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(encoded(text)))

    labels: dict[str, Any] = {}
    for product in products:
        labels[product.name] = shapes.AddShape(getattr(product.shape, "wrapped", product.shape), False)
        name(labels[product.name], product.name)

    def assembly(text: str, held: _Held) -> Any:
        made = shapes.NewShape()
        name(made, text)
        for key, one in held.items():
            if isinstance(one, Instance):
                name(shapes.AddComponent(made, labels[one.product], location(one.frame)), one.name)
            else:
                name(shapes.AddComponent(made, assembly(key, one), location(Frame())), key)
        return made

    if instances:
        assembly(title, _tree(instances))
        shapes.UpdateAssemblies()
    return document


def _tree(instances: tuple[Instance, ...]) -> _Held:
    """Return what each assembly holds by name: its instances, and the assemblies in it."""
    tree: _Held = {}
    for instance in instances:
        held: Any = tree
        for one in instance.within:
            held = held.setdefault(one, {})
        held[instance.name] = instance
    return tree


def _in_order(held: _Held) -> Iterator[Instance]:
    """Yield the instances in the order of the file, those of an assembly together."""
    for one in held.values():
        if isinstance(one, Instance):
            yield one
        else:
            yield from _in_order(one)


def location(frame: Frame) -> Any:
    """Return the kernel's location of a frame."""
    from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt, gp_Trsf
    from OCP.TopLoc import TopLoc_Location

    move = gp_Trsf()
    move.SetTransformation(gp_Ax3(gp_Pnt(*frame.origin), gp_Dir(*frame.z), gp_Dir(*frame.x)), gp_Ax3())
    return TopLoc_Location(move)


def _fix_header(model: Any, title: str, axes: str, date: str) -> None:
    from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
    from OCP.Interface import Interface_HArray1OfHAsciiString
    from OCP.TCollection import TCollection_HAsciiString

    def text(content: str) -> Any:
        return TCollection_HAsciiString(encoded(content))

    header = APIHeaderSection_MakeHeader(model)
    header.SetName(text(title))
    header.SetTimeStamp(text(f"{date}T00:00:00"))
    header.SetAuthorValue(1, text(""))
    header.SetOrganizationValue(1, text(""))
    header.SetOriginatingSystem(text("toerail"))
    header.SetAuthorisation(text(""))
    lines = [title, *([f"mm; {axes}"] if axes else [])]
    description = Interface_HArray1OfHAsciiString(1, len(lines))
    for number, line in enumerate(lines, 1):
        description.SetValue(number, text(line))
    header.SetDescription(description)


def _colours_in_order(products: tuple[Product, ...], instances: tuple[Instance, ...]) -> list[Rgb]:
    """Return one colour per solid, in the order of the file: that in which the products are first placed."""
    colours = {product.name: product.rgb for product in products if not product.is_curve}
    named = [instance.product for instance in _in_order(_tree(instances))] or [product.name for product in products]
    return [colours[name] for name in dict.fromkeys(named) if name in colours]


def quiet_kernel() -> None:
    """Silence the kernel's messages on standard output about every transfer."""
    from OCP.Message import Message, Message_Gravity

    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)
