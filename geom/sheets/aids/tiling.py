"""Long and large pieces cut into tiles that fit a sheet of paper, with an overlap and cross marks to join them by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from geom.errors import GeometryError
from geom.figure import Item, Line, Rect

OVERLAP = 10.0
# A cross stands on the middle of the overlap; its arms end inside it.
CROSS_ARM = 4.0
_CROSS_IN = 7.0

Span = tuple[float, float]


@dataclass(frozen=True)
class Tile:
    """One tile of a piece: its letter and the part of the piece that it shows, in the piece's own millimetres."""

    letter: str
    window: Rect


def letters(index: int) -> str:
    """Return the letters of the tile or page of a number from 0 on: A to Z, AA, AB and so on."""
    name = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def split(low: float, high: float, room: float, clear: Sequence[Span] = (), overlap: float = OVERLAP) -> list[Span]:
    """Return spans that cover low to high, none longer than the room, each overlapping the next.

    As few spans as can be, about equal; an overlap that would lie on a part to keep clear moves to beside it.

    Args:
        low: where the piece starts [mm].
        high: where it ends [mm].
        room: the longest span [mm].
        clear: parts that no overlap may touch, such as a hole's outline.
        overlap: how much neighbours share [mm].

    Raises:
        GeometryError: the room is not over twice the overlap, or parts to keep clear leave no place for an overlap.
    """
    if not room > 2.0 * overlap:
        raise GeometryError(f"tiles of {room:g} mm with an overlap of {overlap:g} mm do not advance")
    spans: list[Span] = []
    start = low
    left = _fewest(low, high, room, clear, overlap)
    while left > 1:
        wanted = start + (high - start + (left - 1) * overlap) / left
        ends = [
            end
            for end in _ends(start, wanted, start + room, clear, overlap)
            if _fewest(end - overlap, high, room, clear, overlap) < left
        ]
        end = min(ends, key=lambda end: (abs(end - wanted), end))
        spans.append((start, end))
        start = end - overlap
        left -= 1
    return [*spans, (start, high)]


def _ends(start: float, wanted: float, maximum: float, clear: Sequence[Span], overlap: float) -> list[float]:
    """Return where a tile may end, its overlap off every part to keep clear: as wanted, or beside such a part."""
    ends = [wanted, maximum]
    for low, high in clear:
        ends += [low, high + overlap]
    return [
        end
        for end in ends
        if start + 2.0 * overlap < end <= maximum + 1e-9
        and not any(low < end - 1e-9 and high > end - overlap + 1e-9 for low, high in clear)
    ]


def _fewest(low: float, high: float, room: float, clear: Sequence[Span], overlap: float) -> int:
    """Return the least number of tiles from low to high: each as long as it can be."""
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
    """Return the tiles of a piece, lettered from its lower left corner along each row and then up.

    Args:
        extent: the piece's own rectangle [mm].
        width: the room on paper across [mm].
        height: the room on paper upward [mm].
        clear_x: parts across the piece that no overlap may touch.
        clear_y: parts up the piece that no overlap may touch.
    """
    across = split(extent.left, extent.right, width, clear_x)
    upward = split(extent.bottom, extent.top, height, clear_y)
    windows = [Rect(left, bottom, right, top) for bottom, top in upward for left, right in across]
    return [Tile(letters(index), window) for index, window in enumerate(windows)]


def joins(spans: Sequence[Span]) -> list[float]:
    """Return the middle of each overlap of spans in order."""
    return [(after[0] + before[1]) / 2.0 for before, after in pairwise(spans)]


def join_marks(extent: Rect, found: Sequence[Tile]) -> tuple[Item, ...]:
    """Return the join lines of a piece with a cross near each end, to be printed on both tiles of every overlap.

    The one tile is cut along the join line and laid over the other: its half crosses make whole ones again.
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
