"""One thing of the whole boat in its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from geom.parts.part import Part
from geom.parts.shape.frame import Frame
from geom.solids.sources import Sources
from geom.solids.step_text import Rgb


@dataclass(frozen=True)
class Piece:
    """A part that stands somewhere: product name and colour, specification (None for curves), instance, frame.

    `sources` says where the sizes of a fitting come from; `within` are the assemblies that the part belongs
    to, from the boat's down: its side, its stanchion or its run.
    """

    product: str
    rgb: Rgb
    part: Part | None
    instance: str
    frame: Frame
    curve: Any = None
    sources: Sources = ()
    within: tuple[str, ...] = ()
