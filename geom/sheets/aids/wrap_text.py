"""Text of a tube wrap: at each hole, at the foot and the top, on each tile, and in the table of holes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from geom.drafting import text as sheet_words
from geom.drafting.columns import ColumnTable, table_of
from geom.figure import Cell, Hatch, Item, Line, Rect, Text
from geom.refit import Refit
from geom.render.plane import extent, text_box
from geom.sheets.aids import text as words
from geom.sheets.aids.page import lettering_that_fits
from geom.sheets.aids.placer import Placer
from geom.sheets.aids.tiling import Span, Tile
from geom.sheets.aids.unrolled import EXITS, Unrolled, UnrolledHole, directions
from geom.tables import numbers
from geom.units import decimal, degrees
from geom.words import worded

# Overhang of cross lines beyond a hole's outline, less towards the text between the two exits [mm].
CENTRE_ARM = 3.0
SHORT_ARM = 0.6
_ZONE = 4.0
_LINE_PITCH = 4.2
_QUARTER_TURN = math.pi / 2.0
# Height of a direction's name over a tile's lowest text, where there is room [mm].
_NAMES_UP = 51.0
_SHARES = (0.5, 0.56, 0.62, 0.44, 0.38, 0.7, 0.3, 0.8, 0.2, 0.88)


def zone(flat: Unrolled, hole: UnrolledHole) -> Span:
    """Return the length of tube occupied by a hole's outlines, centre lines and text [mm]."""
    low, high = flat.reach(hole)
    half = max(CENTRE_ARM + (high - low) / 2.0, 2.5 * _LINE_PITCH) + _ZONE / 2.0
    middle = hole.hole.along
    # Near the tube's top or foot the text is on one side of the hole only.
    low, high = middle - half, middle + half
    if high > flat.post.top - 1.0:
        low, high = flat.post.top - 1.0 - 2.0 * half, flat.post.top - 1.0
    return (max(low, 0.0), min(high, flat.post.top))


def hole_words(flat: Unrolled, hole: UnrolledHole, placer: Placer) -> None:
    """Place a hole's id and sizes between its two outlines, the id alone where there is no room for all.

    Args:
        flat: the tube unrolled.
        hole: the hole.
        placer: occupied areas.
    """
    inner = sorted(flat.centre(hole, at)[0] for at in EXITS)
    between = inner[1] - inner[0] - 2.0 * (flat.half_width(hole) + SHORT_ARM + 0.6)
    low, high = zone(flat, hole)
    whole = Rect(0.0, 0.0, flat.width, flat.post.top)
    lines = (
        hole.hole.id,
        f"Ø{decimal(hole.hole.diameter, 1)}",
        f"up {decimal(hole.hole.along, 1)}",
        f"clocking {signed(degrees(hole.drilling.clocking))}°",
        f"tilt {signed(degrees(hole.drilling.tilt))}°",
    )
    tag = f"words:{hole.hole.id}"
    for shown in (lines, lines[:1]):
        heights = [lettering_that_fits(line, between, 2.5) for line in shown]
        size = min((size or 0.0) for size in heights)
        top = (low + high) / 2.0 + (len(shown) - 1) / 2.0 * _LINE_PITCH
        middle = (inner[0] + inner[1]) / 2.0
        texts = [
            Text((middle, top - row * _LINE_PITCH), line, size, "TEXT", "centre", "middle", tag=tag)
            for row, line in enumerate(shown)
        ]
        if size and all(placer.free(extent(text_box(text)), whole) for text in texts):
            for text in texts:
                placer.put((text,), whole, (size,))
            return
    for at in EXITS:
        x, y = flat.centre(hole, at)
        reach = hole.hole.diameter / 2.0 + CENTRE_ARM + 1.0
        at_id = [
            Text((x, y + way), hole.hole.id, 2.5, "TEXT", "centre", "middle", tag=tag)
            for way in (-reach - 1.5, reach + 1.5)
        ]
        placer.put(at_id, whole, (2.5, 1.8))


def length(refit: Refit, value: float) -> str:
    """Return a length [mm] in the boat file's unit, inches with millimetres in brackets."""
    fmt = numbers(refit.boat)
    if fmt.unit == "mm":
        return decimal(value, 1)
    return f"{fmt.figure(value)} in [{decimal(value, 1)}]"


def signed(value: float) -> str:
    """Return a number [mm or deg] with its sign, to one decimal."""
    text = decimal(value, 1)
    return text if text.startswith("-") or float(text) == 0.0 else f"+{text}"


def table(refit: Refit, flat: Unrolled, room: float) -> ColumnTable:
    """Return the table of a post's holes: positions to punch, and the basis of the axis.

    Args:
        refit: the boat as calculated.
        flat: the tube unrolled.
        room: available width [mm].
    """
    rows = []
    for hole in flat.holes:
        levels = {exit_: flat.centre(hole, exit_)[1] for exit_ in EXITS}
        arc = flat.radius * hole.drilling.clocking
        basis = worded(hole.drilling.basis)
        if hole.hole.spec.planned is None and hole.hole.measured is None:
            basis = words.FOUND_ONLY.format(basis=basis)
        values = (
            hole.hole.id,
            decimal(hole.hole.diameter, 1),
            length(refit, hole.hole.along),
            signed(degrees(hole.drilling.clocking)),
            signed(degrees(hole.drilling.tilt)),
            decimal(levels["aft"], 1),
            decimal(levels["fwd"], 1),
            signed(arc),
            basis,
        )
        rows.append(tuple(Cell(value, f"wrap:{hole.hole.id}:{k}") for k, value in enumerate(values)))
    whole = table_of("", words.HOLE_HEAD, rows, f"table:wrap:{flat.post.id}", row=4.4)
    return whole if whole.width <= room else replace(whole, lettering=1.8)


def tile_words(refit: Refit, flat: Unrolled, tile: Tile, count: int, clear: Rect, placer: Placer) -> list[Item]:
    """Place a tile's text where there is room, and return its circumference line and its arrow.

    Args:
        refit: the boat as calculated.
        flat: the tube unrolled.
        tile: the tile.
        count: number of tiles of the wrap.
        clear: the part of the tile that no neighbour shares [mm].
        placer: occupied areas.
    """
    post, boat, width = flat.post, refit.boat, flat.width
    side = sheet_words.SIDE[post.side]
    shapes = _ring(flat, tile, clear, placer)
    base = max((shape.start[1] for shape in shapes if isinstance(shape, Line)), default=clear.bottom) + 6.0
    fields = _fields(flat)
    _upward(f"{post.id}  {side}", fields[::-1], (5.0, 3.5, 2.5, 1.8), clear, base, placer)
    arrow = _arrow(flat, clear, placer)
    _upward(f"TILE {tile.letter} OF {count}", fields[1:] + fields[:1], (5.0, 3.5, 2.5, 1.8), clear, base, placer)
    for word, angle in directions(post).items():
        at_seam = flat.x(angle) < 1e-6
        name = f"{word} - {words.SEAM}" if at_seam else word
        _direction_name(name, width if at_seam else flat.x(angle), at_seam, clear, base, placer)
    if all(flat.x(angle) >= 1e-6 for angle in directions(post).values()):
        _direction_name(words.SEAM, width, True, clear, base, placer)
    others = (
        (words.PRINTED_SIDE_OUT, (3.5, 2.5, 1.8)),
        (f"{boat.boat.name}  rev. {boat.revision.mark}  {boat.revision.date}", (2.5, 1.8)),
        (f"data {refit.loaded.data_sha256[:12]}", (2.5, 1.8)),
    )
    for index, (text, heights) in enumerate(others):
        _upward(text, fields[1 + index :] + fields[: 1 + index], heights, clear, base, placer)
    return [*shapes, *arrow]


def _ring(flat: Unrolled, tile: Tile, clear: Rect, placer: Placer) -> list[Item]:
    """Return the circumference line of a tile at the lowest free level, with its text over it."""
    width = flat.width
    level = clear.bottom + 1.0
    while level < clear.top - 6.0:
        # A line from edge to edge may cross the ticks of the scale, which are outside this band.
        band = Rect(6.0, level - 0.8, width - 1.0, level + 4.6)
        if placer.free(band, Rect(0.0, clear.bottom, width, clear.top)):
            break
        level += 1.0
    else:
        return []
    tag = f"wrap-width:{flat.post.id}:{tile.letter}"
    items: list[Item] = [Line((0.0, level), (width, level), "THIN", tag=tag)]
    for x, way in ((0.0, 1.0), (width, -1.0)):
        items.append(Hatch(((x, level), (x + way * 2.5, level + 0.45), (x + way * 2.5, level - 0.45)), "THIN"))
    placer.keep_off(items)
    text = words.ROUND.format(width=decimal(width, 2))
    at = (Text((x, level + 1.2), text, 2.5, "NOTE", "centre") for x in (width / 2.0, width / 2.0 + 2.0))
    placer.put(at, clear, (2.5, 1.8))
    return items


def foot_words(flat: Unrolled, cut: tuple[tuple[float, float], ...], placer: Placer) -> None:
    """Place the labels of the foot's edge and of the line above it.

    Args:
        flat: the tube unrolled.
        cut: line of the tube's end on its plate [mm], empty without a plate.
        placer: occupied areas.
    """
    whole = Rect(0.0, 0.0, flat.width, flat.post.top)
    places = [flat.width * share for share in (0.5, 0.53, 0.56)]
    if not cut:
        placer.put([Text((x, 1.6), words.FOOT, 2.5, "NOTE", "centre") for x in places], whole, (2.5, 1.8))
        return
    highest, lowest = max(y for _, y in cut), min(y for _, y in cut)
    over = [Text((x, highest + 1.2), words.TUBE_ENDS, 2.5, "NOTE", "centre") for x in places]
    placer.put(over, whole, (2.5, 1.8))
    if lowest > 3.2:
        placer.put([Text((x, 0.7), words.FOOT, 1.8, "NOTE", "centre") for x in places], whole, (1.8,))


def top_words(refit: Refit, flat: Unrolled, placer: Placer) -> None:
    """Place the label of the top's edge.

    Args:
        refit: the boat as calculated.
        flat: the tube unrolled.
        placer: occupied areas.
    """
    whole = Rect(0.0, 0.0, flat.width, flat.post.top)
    for text in (words.TOP.format(length=length(refit, flat.post.top)), words.TOP_WORD):
        places = [Text((x * flat.width, flat.post.top - 4.0), text, 2.5, "NOTE", "centre") for x in _SHARES]
        if placer.put(places, whole, (2.5, 1.8)) is not None:
            return


def _direction_name(name: str, line: float, at_edge: bool, clear: Rect, base: float, placer: Placer) -> None:
    """Place a direction's name beside its line, reading upward; at the right edge only left of it."""
    levels = _levels(min(base + _NAMES_UP, clear.top - 50.0), clear)
    places = [Text((line - 1.1, y), name, 3.5, "TEXT", rotation=_QUARTER_TURN) for y in levels]
    if not at_edge:
        # A text at the right of its line has the tops of its capitals at the line.
        places += [Text((line + 4.7, y), name, 3.5, "TEXT", rotation=_QUARTER_TURN) for y in levels]
    placer.put(places, clear, (3.5, 2.5, 1.8))


def _levels(wanted: float, clear: Rect) -> list[float]:
    """Return levels up a tile, the preferred one first, then the nearest [mm]."""
    steps = [clear.bottom + 0.5 + 3.0 * k for k in range(max(0, int((clear.top - clear.bottom) / 3.0)))]
    start = max(wanted, clear.bottom + 0.5)
    return [start, *sorted(steps, key=lambda level: (abs(level - start), level))]


def _upward(
    text: str, fields: Sequence[Span], heights: Sequence[float], clear: Rect, base: float, placer: Placer
) -> Text | None:
    """Place a text reading upward in the first field with room, as low as possible."""
    levels = [base, *(level for level in _levels(base, clear) if level > base), *_levels(base, clear)]
    places = (
        Text((low + off, level), text, heights[0], "TEXT", rotation=_QUARTER_TURN)
        for low, _ in fields
        for level in levels
        for off in (8.5, 15.0, 17.5)
    )
    return placer.put(places, clear, heights)


def _fields(flat: Unrolled) -> list[Span]:
    """Return the fields between the direction lines, left to right [mm], without the scale at the left of the first."""
    lines = sorted({0.0, flat.width, *(flat.x(angle) for angle in directions(flat.post).values())})
    fields = [(a, b) for a, b in pairwise(lines) if b - a > 12.0]
    return [(low + 3.0 if low < 1.0 else low, high) for low, high in fields]


def _arrow(flat: Unrolled, clear: Rect, placer: Placer) -> list[Item]:
    """Return the arrow to the tube's top, with its label under it, as high as there is room."""
    fields = _fields(flat)
    for low, high in fields[1:] + fields[:1]:
        x = (low + high) / 2.0
        level = clear.top - 2.5
        while level - 22.0 > clear.bottom:
            if placer.free(Rect(x - 5.5, level - 22.0, x + 5.5, level + 2.0), clear):
                head = ((x, level), (x - 2.5, level - 7.0), (x + 2.5, level - 7.0))
                items: list[Item] = [Line((x, level - 14.0), (x, level - 6.0), "OUTLINE"), Hatch(head, "OUTLINE")]
                placer.put((Text((x, level - 20.5), words.UP, 5.0, "TEXT", "centre"),), clear, (5.0,))
                placer.keep_off(items)
                return items
            level -= 2.0
    return []
