"""The interface of every fitting: named sizes, solid, and the numbers that verify it.

A part has its own frame (right-handed, mm). Volume, box and holes are computed without the solid kernel, so
that each verifies the other.
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any, ClassVar

from geom.errors import CannotFinishError, GeometryError
from geom.vec import Vec


@dataclass(frozen=True)
class Dim:
    """One named size: its name in data and on sheets, its value [mm or deg] and its unit."""

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
    """The bounding box of the part, along its axes [mm]."""

    low: Vec
    high: Vec


class Part(ABC):
    """Base of all families: a frozen specification that checks its sizes before the kernel is called."""

    family: ClassVar[str]
    caution: ClassVar[str] = ""
    # Its own axes, in words for the header of its file.
    axes: ClassVar[str] = ""

    def __post_init__(self) -> None:
        self.validate()

    @abstractmethod
    def validate(self) -> None:
        """Check that the part can be made.

        Raises:
            GeometryError: a size is not positive, or two sizes contradict each other.
        """

    @abstractmethod
    def dims(self) -> tuple[Dim, ...]:
        """Return the named sizes of the part, in the order of the lists on sheets."""

    @abstractmethod
    def solid(self) -> Any:
        """Return the solid as a shape of the kernel (one solid)."""

    @abstractmethod
    def volume(self) -> float:
        """Return the volume [mm3], computed without the kernel."""

    @abstractmethod
    def box(self) -> Box:
        """Return the bounding box [mm], computed without the kernel."""

    def holes(self) -> tuple[Cylinder, ...]:
        """Return the specified round holes; none unless the family has some."""
        return ()


def require_positive(owner: str, **sizes: float) -> None:
    """Check that sizes are finite and greater than zero.

    Args:
        owner: the part, for the message.
        sizes: value of each named size [mm].

    Raises:
        GeometryError: names the part, the size and the value read [mm].
    """
    for name, value in sizes.items():
        if not math.isfinite(value) or value <= 0.0:
            raise GeometryError(f"{owner}: {name.replace('_', ' ')} must be greater than 0 mm (read: {value:g} mm)")


def require(condition: bool, owner: str, message: str) -> None:
    """Check a condition on sizes.

    Args:
        condition: whether it holds.
        owner: the part, for the message.
        message: what is wrong where it does not hold.

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
    """Return a failed import of the solid kernel as an error that names the package to install."""
    if ".so" in str(fault):
        return CannotFinishError(
            f"the solid kernel needs a system library ({fault}): install the Debian packages libgl1, libx11-6 and "
            "libxrender1, or write the package without solids"
        )
    return CannotFinishError(f"the solid kernel is not installed ({fault}): install the package cadquery")
