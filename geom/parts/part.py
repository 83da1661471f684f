"""What every fitting answers: its named sizes, its outline for the sheets, its solid, and the numbers that prove it.

A part stands in its own frame (right-handed, mm). The outline's front view looks along +Y (x to the
right, z up), the side view looks along -X (y to the right, z up) and the plan looks along -Z (x to
the right, y up). The volume, the box and the holes are worked out apart from the solid kernel, so
that each proves the other.
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any, ClassVar

from geom.errors import CannotFinishError, GeometryError
from geom.figure import Arc, Circle, Item, Line, Polyline
from geom.vec import Vec

Span = tuple[float, float, float, float]


@dataclass(frozen=True)
class Dim:
    """One named size: the word that the data and the sheets use, its value [mm or deg] and its unit."""

    name: str
    value: float
    unit: str = "mm"


@dataclass(frozen=True)
class Cylinder:
    """A specified round hole: radius [mm], a point on its axis [mm] and the axis' unit direction."""

    name: str
    radius: float
    point: Vec
    direction: Vec


@dataclass(frozen=True)
class Box:
    """The upright box that just holds the part [mm]."""

    low: Vec
    high: Vec


@dataclass(frozen=True)
class Outline:
    """The part as drawn on a sheet at full size; a view that says nothing new stays empty."""

    front: tuple[Item, ...]
    side: tuple[Item, ...] = ()
    plan: tuple[Item, ...] = ()


class Part(ABC):
    """Base of all families: a frozen specification that refuses impossible sizes before any kernel is called."""

    family: ClassVar[str]
    caution: ClassVar[str] = ""

    def __post_init__(self) -> None:
        self.validate()

    @abstractmethod
    def validate(self) -> None:
        """Refuse sizes that cannot be made.

        Raises:
            GeometryError: a size is not positive, or two sizes contradict each other.
        """

    @abstractmethod
    def dims(self) -> tuple[Dim, ...]:
        """Return the named sizes that make the part, in the order in which they are listed on a sheet."""

    @abstractmethod
    def outline(self) -> Outline:
        """Return the views, worked out from the sizes alone."""

    @abstractmethod
    def solid(self) -> Any:
        """Return the solid as a shape of the kernel (one solid)."""

    @abstractmethod
    def volume(self) -> float:
        """Return the volume [mm3], worked out apart from the kernel."""

    @abstractmethod
    def box(self) -> Box:
        """Return the bounding box [mm], worked out apart from the kernel."""

    def holes(self) -> tuple[Cylinder, ...]:
        """Return the specified round holes; none unless the family has some."""
        return ()


def require_positive(owner: str, **sizes: float) -> None:
    """Refuse sizes that are not finite and greater than zero.

    Raises:
        GeometryError: names the part, the size and the value read [mm].
    """
    for name, value in sizes.items():
        if not math.isfinite(value) or value <= 0.0:
            raise GeometryError(f"{owner}: {name.replace('_', ' ')} must be greater than 0 mm (read: {value:g} mm)")


def require(condition: bool, owner: str, message: str) -> None:
    """Refuse a contradiction between sizes.

    Raises:
        GeometryError: the condition does not hold.
    """
    if not condition:
        raise GeometryError(f"{owner}: {message}")


def kernel() -> Any:
    """Return the solid kernel's modelling module, loaded on first use.

    Raises:
        CannotFinishError: it is not installed, or a system library that it needs is missing.
    """
    try:
        import cadquery
    except ImportError as fault:
        raise missing_kernel(fault) from fault
    return cadquery


def missing_kernel(fault: ImportError) -> CannotFinishError:
    """Turn a failed import of the solid kernel into one line that says what to install."""
    if ".so" in str(fault):
        return CannotFinishError(
            f"the solid kernel needs a system library ({fault}): install the Debian packages libgl1, libx11-6 and "
            "libxrender1, or write the package without solids"
        )
    return CannotFinishError(f"the solid kernel is not installed ({fault}): install the package cadquery")


def extents(items: tuple[Item, ...]) -> Span:
    """Return left, bottom, right, top of the drawn edges [mm]; centre lines, dimensions and texts do not count.

    Raises:
        ValueError: nothing with an extent is drawn.
    """
    xs: list[float] = []
    ys: list[float] = []
    for item in items:
        points = _reach(item)
        xs.extend(x for x, _ in points)
        ys.extend(y for _, y in points)
    return (min(xs), min(ys), max(xs), max(ys))


def _reach(item: Item) -> list[tuple[float, float]]:
    if getattr(item, "layer", "") == "CENTRE":
        return []
    if isinstance(item, Line):
        return [item.start, item.end]
    if isinstance(item, Polyline):
        return list(item.points)
    if isinstance(item, Circle):
        (x, y), r = item.centre, item.radius
        return [(x - r, y - r), (x + r, y + r)]
    if isinstance(item, Arc):
        return _arc_reach(item)
    return []


def _arc_reach(arc: Arc) -> list[tuple[float, float]]:
    sweep = (arc.end - arc.start) % math.tau or math.tau
    quarter = math.pi / 2.0
    first = math.ceil(arc.start / quarter - 1e-12)
    angles = [arc.start, arc.start + sweep]
    angles += [k * quarter for k in range(first, first + 5) if k * quarter <= arc.start + sweep + 1e-12]
    return [(arc.centre[0] + arc.radius * math.cos(a), arc.centre[1] + arc.radius * math.sin(a)) for a in angles]
