"""Collisions of lettering with other lettering, strokes and fills, on the exploded drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from geom.figure import LAYERS, UNDER, Hatch, Point, Text
from geom.render.grid import Grid, box_hits_box, box_hits_segment, inside
from geom.render.pieces import Piece
from geom.render.plane import Shape, extent, flatten, text_box
from geom.render.style import Style


@dataclass(frozen=True)
class LayoutFault:
    """One layout fault: kind, view, point on paper [mm], and the two items that collide (tag or text, tag or layer)."""

    kind: str
    view: str
    at: Point
    first: str
    second: str

    def __str__(self) -> str:
        return f"{self.view} at ({self.at[0]:.1f}, {self.at[1]:.1f}): {self.kind}: {self.first} / {self.second}"


@dataclass(frozen=True)
class Lettering:
    """A text with its piece."""

    piece: Piece
    text: Text


def name_of(piece: Piece) -> str:
    """Return a piece's name in a fault: its tag with its text, else its text, else its layer."""
    shape = piece.shape
    if isinstance(shape, Text):
        return f"{shape.tag} '{shape.text}'" if shape.tag else f"text '{shape.text}'"
    return shape.tag or f"layer {shape.layer}"


def letterings(drawn: Sequence[Piece]) -> list[Lettering]:
    """Return the texts among pieces, in order."""
    return [Lettering(piece, piece.shape) for piece in drawn if isinstance(piece.shape, Text)]


def _own(text: Piece, stroke: Piece) -> bool:
    """Return whether a stroke may touch a text because both belong to one item."""
    if text.source != stroke.source:
        return False
    return text.role == "number" and stroke.role in ("dimension line", "arrow")


def _struck(chain: Sequence[Point], shape: Shape, texts: Sequence[Lettering], grid: Grid, margin: float) -> set[int]:
    """Return the indices of texts that a stroke runs through or a fill covers."""
    struck = {
        number
        for a, b in pairwise(chain)
        for number in grid.near_segment(a, b)
        if box_hits_segment(text_box(texts[number].text, margin), a, b)
    }
    if isinstance(shape, Hatch):
        near = grid.near_box(extent(chain))
        struck.update(number for number in near if inside(text_box(texts[number].text)[0], shape.outline))
    return struck


def collisions(drawn: Sequence[Piece], style: Style) -> Iterator[LayoutFault]:
    """Yield every text that overlaps another text, or a stroke or fill of another item."""
    texts = letterings(drawn)
    grid = Grid(cell=15.0)
    # A stroke reaches half its pen's width beyond its line.
    reach = max(layer.width for layer in LAYERS.values()) / 2.0 + style.clearance
    for number, lettered in enumerate(texts):
        around = extent(text_box(lettered.text, reach))
        for earlier in grid.near_box(around):
            other = texts[earlier]
            if box_hits_box(text_box(lettered.text), text_box(other.text)):
                names = name_of(other.piece), name_of(lettered.piece)
                yield LayoutFault("text on text", lettered.piece.view, lettered.text.at, *names)
        grid.put(number, around)
    for stroke in drawn:
        shape = stroke.shape
        if isinstance(shape, Text) or shape.layer in UNDER:
            continue
        pen = 0.0 if isinstance(shape, Hatch) else LAYERS[shape.layer].width
        for number in sorted(_struck(flatten(shape), shape, texts, grid, pen / 2.0 + style.clearance)):
            lettered = texts[number]
            if not _own(lettered.piece, stroke):
                names = name_of(lettered.piece), name_of(stroke)
                yield LayoutFault("text on stroke", lettered.piece.view, lettered.text.at, *names)
