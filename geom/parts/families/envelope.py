"""A plain round body that stands for a thing without a shape of its own. Origin at its first end, Z along it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, require, require_positive
from geom.parts.shape.body import Body, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.profile import Profile, Step


@dataclass(frozen=True)
class EnvelopeSpec(Built):
    """The family that it stands for, its length and width, and the bore that its line goes through, 0 for none [mm]."""

    stands_for: str
    length: float
    width: float
    bore: float = 0.0

    family: ClassVar[str] = "envelope"

    def validate(self) -> None:
        """Refuse a body without a length or a wall."""
        owner = f"envelope of a {self.stands_for}"
        require_positive(owner, length=self.length, width=self.width)
        require(math.isfinite(self.bore) and 0.0 <= self.bore < self.width, owner, "its bore leaves no wall")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes; the bore only where there is one."""
        sizes = (Dim("length", self.length), Dim("width", self.width))
        return (*sizes, Dim("bore", self.bore)) if self.bore else sizes

    def bodies(self) -> tuple[Body, ...]:
        """Return one turned body."""
        r, b, end = 0.5 * self.width, 0.5 * self.bore, self.length
        return (Turned(Profile((b, 0.0), (Step((r, 0.0)), Step((r, end)), Step((b, end))))),)
