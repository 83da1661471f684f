"""One thing of the whole boat in its place, the assemblies that hold it, and file names of models."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from geom.boat.model import Side
from geom.parts.part import Part
from geom.parts.shape.frame import Frame
from geom.placement.place import PlacedPost, PlacedRun
from geom.solids.sources import Sources
from geom.solids.step_text import Rgb

SIDES: dict[Side, str] = {
    "S": "starboard",
    "P": "port",
    "SI": "starboard inboard",
    "PI": "port inboard",
    "C": "across",
}


@dataclass(frozen=True)
class Piece:
    """A part that stands somewhere: product name and colour, specification (None for curves), instance, frame.

    `sources` says where the sizes of a fitting come from; `within` are the assemblies that the part belongs
    to, from the topmost down: its side, its stanchion or its run.
    """

    product: str
    rgb: Rgb
    part: Part | None
    instance: str
    frame: Frame
    curve: Any = None
    sources: Sources = ()
    within: tuple[str, ...] = ()


def of_post(post: PlacedPost) -> tuple[str, ...]:
    """Return the assemblies that a post and what stands on it belong to, from the topmost down."""
    return (SIDES[post.side], f"stanchion {post.id}")


def of_run(run: PlacedRun) -> tuple[str, ...]:
    """Return the assemblies that a line and its ends belong to, from the topmost down."""
    return (SIDES[run.side], f"run {run.id}")


def file_name(product: str) -> str:
    """Return a product's name as a file name without ending: small letters, digits, dots and dashes."""
    return re.sub(r"[^a-z0-9.]+", "-", product.lower()).strip("-.")
