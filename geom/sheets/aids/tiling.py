"""Division of large pieces into tiles that fit a sheet of paper, with overlaps and register crosses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from geom.errors import GeometryError
from geom.figure import Item, Line, Rect

OVERLAP = 10.0
# A cross is on the middle of the overlap, its arms within it [mm].
CROSS_ARM = 4.0
_CROSS_IN = 7.0

Span = tuple[float, float]


@dataclass(frozen=True)
class Tile:
    """One tile of a piece: its letter and its window in the piece's millimetres."""

    letter: str
    window: Rect


def letters(index: int) -> str:
    """Return the letters for an index from 0: A to Z, AA, AB and so on."""
    name = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def split(low: float, high: float, room: float, clear: Sequence[Span] = (), overlap: float = OVERLAP) -> list[Span]:
    """Return spans [mm] that cover low to high, none longer than the room, each overlapping the next.

    The number of spans is the smallest possible, their lengths about equal; an overlap on a part to keep clear is
    moved beside it.

    Args:
        low: start of the piece [mm].
        high: end of the piece [mm].
        room: largest length of a span [mm].
        clear: parts that no overlap may touch [mm], such as a hole's outline.
        overlap: of neighbours [mm].

    Raises:
        GeometryError: the room is not over twice the overlap, or parts to keep clear leave no position for an
            overlap.
    """
    if not room > 2.0 * overlap:
        raise GeometryError(f"tiles of {room:g} mm with an overlap of {overlap:g} mm do not advance")
    spans: list[Span] = []
    start = low
    left = _min_count(low, high, room, clear, overlap)
    while left > 1:
        wanted = start + (high - start + (left - 1) * overlap) / left
        ends = [
            end
            for end in _ends(start, wanted, start + room, clear, overlap)
            if _min_count(end - overlap, high, room, clear, overlap) < left
        ]
        end = min(ends, key=lambda end: (abs(end - wanted), end))
        spans.append((start, end))
        start = end - overlap
        left -= 1
    return [*spans, (start, high)]


def _ends(start: float, wanted: float, maximum: float, clear: Sequence[Span], overlap: float) -> list[float]:
    """Return possible ends of a tile, its overlap off parts to keep clear: as preferred, or beside such a part."""
    ends = [wanted, maximum]
    for low, high in clear:
        ends += [low, high + overlap]
    return [
        end
        for end in ends
        if start + 2.0 * overlap < end <= maximum + 1e-9
        and not any(low < end - 1e-9 and high > end - overlap + 1e-9 for low, high in clear)
    ]


def _min_count(low: float, high: float, room: float, clear: Sequence[Span], overlap: float) -> int:
    """Return the smallest number of tiles from low to high, each as long as possible."""
    count, start = 1, low
    while high - start > room + 1e-9:
        ends = _ends(start, start + room, start + room, clear, overlap)
        if not ends:
            raise GeometryError(f"no place for an overlap of {overlap:g} mm from {start:.1f} to {start + room:.1f} mm")
        start = max(ends) - overlap
        count += 1
    return count


def tiles(
    extent: Rect,
    width: float,
    height: float,
    clear_x: Sequence[Span] = (),
    clear_y: Sequence[Span] = (),
) -> list[Tile]:
    """Return the tiles of a piece, lettered from the lower left corner along each row and then up.

    Args:
        extent: bounding rectangle of the piece [mm].
        width: available width on paper [mm].
        height: available height on paper [mm].
        clear_x: parts along x that no overlap may touch [mm].
        clear_y: parts along y that no overlap may touch [mm].
    """
    across = split(extent.left, extent.right, width, clear_x)
    upward = split(extent.bottom, extent.top, height, clear_y)
    windows = [Rect(left, bottom, right, top) for bottom, top in upward for left, right in across]
    return [Tile(letters(index), window) for index, window in enumerate(windows)]


def joins(spans: Sequence[Span]) -> list[float]:
    """Return the middle of each overlap of consecutive spans [mm]."""
    return [(after[0] + before[1]) / 2.0 for before, after in pairwise(spans)]


def join_marks(extent: Rect, found: Sequence[Tile]) -> tuple[Item, ...]:
    """Return the join lines of a piece with a cross near each end, printed on both tiles of every overlap.

    One tile is cut along the join line and laid over the other, so that the half crosses complete each other.
    """
    across = joins(sorted({(tile.window.left, tile.window.right) for tile in found}))
    upward = joins(sorted({(tile.window.bottom, tile.window.top) for tile in found}))
    items: list[Item] = []
    for y in upward:
        items.append(Line((extent.left, y), (extent.right, y), "HIDDEN", tag="join"))
        for x in _crosses(extent.left, extent.right):
            items.append(Line((x, y - CROSS_ARM), (x, y + CROSS_ARM), "THIN", tag="cross"))
            items.append(Line((x - CROSS_ARM, y), (x + CROSS_ARM, y), "THIN", tag="cross"))
    for x in across:
        items.append(Line((x, extent.bottom), (x, extent.top), "HIDDEN", tag="join"))
        for y in _crosses(extent.bottom, extent.top):
            items.append(Line((x, y - CROSS_ARM), (x, y + CROSS_ARM), "THIN", tag="cross"))
            items.append(Line((x - CROSS_ARM, y), (x + CROSS_ARM, y), "THIN", tag="cross"))
    return tuple(items)


def _crosses(low: float, high: float) -> tuple[float, float]:
    inset = min(_CROSS_IN, (high - low) / 4.0)
    return low + inset, high - inset
