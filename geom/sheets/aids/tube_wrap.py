"""A full-size wrap for each post's tube: holes on both walls, the four directions, foot and top, seam, circumference."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geom.figure import Cell, Hatch, Item, Line, Polyline, Rect, Sheet, Table, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.render.plane import extent as extent_of
from geom.render.plane import text_box
from geom.render.tabulate import table_size
from geom.runs.place import PlacedPost
from geom.schedules import numbers
from geom.sheets import words as sheet_words
from geom.sheets.aids import words
from geom.sheets.aids.clip import clip
from geom.sheets.aids.page import Aid, AidPaper, Piece, lettering_that_fits, notes, page, tile_pages
from geom.sheets.aids.tiling import Span, Tile, join_marks, letters, split
from geom.sheets.aids.unrolled import EXITS, Unrolled, UnrolledHole, directions, unroll
from geom.units import decimal, degrees

CENTRE_ARM = 3.0
_SHORT_ARM = 0.6
_ZONE = 4.0
_LINE_PITCH = 4.2
_SCALE_STEP = 10
_SCALE_NUMBER = 50
_QUARTER_TURN = math.pi / 2.0
_ARROW_ROOM = 24.0
# A tile with this much free height has its directions named clear above its words.
_NAMES_ABOVE = 95.0
_NAMES_UP = 51.0


def tube_wrap(refit: Refit, post: PlacedPost, paper: AidPaper, thickness: float = 0.0) -> tuple[Sheet, ...]:
    """Return the pages of one post's wrap.

    Args:
        refit: the boat worked out.
        post: the post.
        paper: the sheet to print on.
        thickness: of the paper that goes round the tube [mm].
    """
    flat = unroll(post, refit.placed.drillings, thickness)
    frame, room = paper.frame, paper.room
    table = _table(refit, flat, (frame.left, room.top), frame.width)
    told = [line.format(size=_size(flat)) for line in words.WRAP_NOTES]
    lines, tall = notes(told, (frame.left, room.top - table_size(table)[1] - 1.2), frame.width)
    under = Rect(room.left, room.bottom, room.right, room.top - table_size(table)[1] - tall - 3.0)
    piece = wrap_piece(refit, flat, under.height)
    aid = Aid(f"wrap-{post.id}", words.WRAP, post.id, sheet_words.SIDE[post.side])
    pages = tile_pages(piece, under, across=True)
    return tuple(
        page(refit, aid, paper, index, len(pages), (table, *lines), views) for index, views in enumerate(pages, start=1)
    )


def _size(flat: Unrolled) -> str:
    """Return what the width is pi times of, in words."""
    od = decimal(flat.post.tube_od, 2)
    return f"{od} outside diameter" if not flat.paper else f"({od} outside diameter + {flat.paper:g} of paper)"


def wrap_piece(refit: Refit, flat: Unrolled, room: float) -> Piece:
    """Return a wrap with its tiles, none taller than the room [mm]; x runs round the tube, y up from the foot."""
    width, top = flat.width, flat.post.top
    whole = Rect(0.0, 0.0, width, top)
    zones = [_zone(flat, hole) for hole in flat.holes]
    spans = split(0.0, top, room, zones)
    found = tuple(Tile(letters(index), Rect(0.0, low, width, high)) for index, (low, high) in enumerate(spans))
    texts: list[Text] = []
    items: list[Item] = [Polyline(_corners(whole), "THIN", closed=True, tag=f"wrap:{flat.post.id}")]
    for hole in flat.holes:
        items += hole_items(flat, hole)
        texts += _hole_words(refit, flat, hole)
    for tile in found:
        shapes, lettering = _tile_words(refit, flat, tile, len(found), zones, spans)
        items += shapes
        texts += lettering
    overlaps = [(after[0], before[1]) for before, after in zip(spans, spans[1:], strict=False)]
    ring = [(line.start[1], line.start[1] + 5.0) for line in items if isinstance(line, Line) and "wrap-width" in line.tag]
    ticks, numbers_up = _scale(flat, (*zones, *overlaps, *ring, (top - 8.0, top), (0.0, 8.0)))
    items += ticks
    texts += numbers_up
    items += _direction_lines(flat, texts)
    items += join_marks(whole, found)
    return Piece(f"wrap-{flat.post.id}", (*items, *texts), found)


def _corners(rect: Rect) -> tuple[tuple[float, float], ...]:
    return (
        (rect.left, rect.bottom),
        (rect.right, rect.bottom),
        (rect.right, rect.top),
        (rect.left, rect.top),
    )


def hole_items(flat: Unrolled, hole: UnrolledHole) -> list[Item]:
    """Return both developed outlines of a hole and the cross lines at their centres.

    An outline that runs over the seam shows at both edges.
    """
    items: list[Item] = []
    whole = Rect(0.0, 0.0, flat.width, flat.post.top)
    between = sum(flat.centre(hole, at)[0] for at in EXITS) / 2.0
    for at in EXITS:
        tag = f"exit:{hole.hole.id}:{at}"
        x, y = flat.centre(hole, at)
        half, arm_y = flat.half_width(hole), hole.hole.diameter / 2.0 + CENTRE_ARM
        # The arm towards the words between the two exits is short.
        left, right = (CENTRE_ARM, _SHORT_ARM) if x < between else (_SHORT_ARM, CENTRE_ARM)
        drawn: tuple[Item, ...] = (
            Polyline(flat.outline(hole, at), "THIN", closed=True, tag=tag),
            Line((x - half - left, y), (x + half + right, y), "THIN", tag=f"centre:{hole.hole.id}:{at}:across"),
            Line((x, y - arm_y), (x, y + arm_y), "THIN", tag=f"centre:{hole.hole.id}:{at}:up"),
        )
        items += clip(drawn, whole)
        for over in (flat.width, -flat.width):
            items += clip((_shifted(item, over) for item in drawn), whole)
    return items


def _shifted(item: Item, by: float) -> Item:
    if isinstance(item, Line):
        return Line((item.start[0] + by, item.start[1]), (item.end[0] + by, item.end[1]), item.layer, item.tag)
    assert isinstance(item, Polyline)
    return Polyline(tuple((x + by, y) for x, y in item.points), item.layer, item.closed, item.tag)


def _zone(flat: Unrolled, hole: UnrolledHole) -> Span:
    """Return the stretch of the tube that a hole's outlines, centre lines and words fill [mm]."""
    low, high = flat.reach(hole)
    half = max(CENTRE_ARM + (high - low) / 2.0, 2.5 * _LINE_PITCH) + _ZONE / 2.0
    middle = hole.hole.along
    # Near the tube's top or foot the words stand on one side of the hole only.
    low, high = middle - half, middle + half
    if high > flat.post.top - 1.0:
        low, high = flat.post.top - 1.0 - 2.0 * half, flat.post.top - 1.0
    return (max(low, 0.0), min(high, flat.post.top))


def _hole_words(refit: Refit, flat: Unrolled, hole: UnrolledHole) -> list[Text]:
    """Return what is written between the two outlines of a hole."""
    inner = sorted(flat.centre(hole, at)[0] for at in EXITS)
    half = flat.half_width(hole) + _SHORT_ARM + 0.4
    room = inner[1] - inner[0] - 2.0 * half
    low, high = _zone(flat, hole)
    lines = [
        hole.hole.id,
        f"Ø{decimal(hole.hole.diameter, 1)}",
        f"up {decimal(hole.hole.along, 1)}",
        f"clock {signed(degrees(hole.drilling.clocking))}°",
        f"tilt {signed(degrees(hole.drilling.tilt))}°",
    ]
    heights = [lettering_that_fits(line, room, 2.5) for line in lines]
    fitting = min((height for height in heights if height is not None), default=None)
    texts = []
    y = (low + high) / 2.0 + (len(lines) - 1) / 2.0 * _LINE_PITCH
    for line, height in zip(lines, heights, strict=True):
        if height is not None and fitting is not None:
            at = ((inner[0] + inner[1]) / 2.0, y)
            texts.append(Text(at, line, fitting, "TEXT", "centre", "middle", tag=f"words:{hole.hole.id}"))
        y -= _LINE_PITCH
    return texts


def length(refit: Refit, value: float) -> str:
    """Return a length as the boat's file counts, with millimetres beside inches."""
    how = numbers(refit.boat)
    if how.unit == "mm":
        return decimal(value, 1)
    return f"{decimal(value / how.mm, how.decimals)} in [{decimal(value, 1)}]"


def signed(value: float) -> str:
    """Return a number with its sign written, one decimal."""
    text = decimal(value, 1)
    return text if text.startswith("-") or float(text) == 0.0 else f"+{text}"


def _table(refit: Refit, flat: Unrolled, at: tuple[float, float], room: float) -> Table:
    """Return the table of a post's holes: what to punch where, and whose wish the axis is."""
    rows = []
    for hole in flat.holes:
        levels = {exit_: flat.centre(hole, exit_)[1] for exit_ in EXITS}
        arc = flat.radius * hole.drilling.clocking
        basis = hole.drilling.basis
        if hole.hole.told.planned is None and hole.hole.measured is None:
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
    heads = words.HOLE_HEAD
    for height in (2.5, 1.8):
        widths = tuple(
            max(text_width(text, height) for text in (head, *(row[k].text for row in rows))) + 2.4
            for k, head in enumerate(heads)
        )
        if sum(widths) <= room:
            break
    return Table(at, widths, heads, tuple(rows), pitch=4.4, height=height, tag=f"table:wrap:{flat.post.id}")


def _free(tile: Tile, zones: Sequence[Span], spans: Sequence[Span]) -> Span:
    """Return the longest stretch of a tile free of holes and overlaps [mm]."""
    low, high = tile.window.bottom, tile.window.top
    taken = [*zones, *((after[0], before[1]) for before, after in zip(spans, spans[1:], strict=False))]
    edges = sorted((max(a, low), min(b, high)) for a, b in taken if b > low and a < high)
    best, reached = (low, low), low
    for start, end in [*edges, (high, high)]:
        if start - reached > best[1] - best[0]:
            best = (reached, start)
        reached = max(reached, end)
    return best[0] + 2.0, best[1] - 2.0


def _tile_words(
    refit: Refit, flat: Unrolled, tile: Tile, count: int, zones: Sequence[Span], spans: Sequence[Span]
) -> tuple[list[Item], list[Text]]:
    """Return the circumference line of a tile, its names, and the arrow that points up."""
    low, high = _free(tile, zones, spans)
    post, width = flat.post, flat.width
    # Foot and top edge carry their own words.
    if tile.window.bottom == 0.0 and low < 6.0:
        low += 5.0
    if tile.window.top == post.top and high > post.top - 6.0:
        high -= 5.0
    y = low + 1.5
    ring = words.ROUND.format(width=decimal(width, 2))
    shapes: list[Item] = [Line((0.0, y), (width, y), "THIN", tag=f"wrap-width:{post.id}:{tile.letter}")]
    for x, way in ((0.0, 1.0), (width, -1.0)):
        shapes.append(Hatch(((x, y), (x + way * 2.5, y + 0.45), (x + way * 2.5, y - 0.45)), "THIN"))
    texts = _fitted_line(ring, (width / 2.0, y + 1.4), width - 6.0)
    texts += _edge_words(refit, flat, tile)
    base, room = y + 7.0, high - y - 8.0
    for word, angle in directions(post).items():
        at_seam = flat.x(angle) < 1e-6
        name = f"{word} - {words.SEAM}" if at_seam else word
        x = width if at_seam else flat.x(angle)
        if room > _NAMES_ABOVE:
            texts += _beside(name, x, base + _NAMES_UP, room - _NAMES_UP, 3.5)
        else:
            texts += _beside(name, x, base, room, 2.5)
    return [*shapes, *_arrow(flat, base, room)], texts + _blocks(refit, flat, tile, count, base, room)


def _fitted_line(text: str, at: tuple[float, float], room: float) -> list[Text]:
    height = lettering_that_fits(text, room, 2.5)
    return [] if height is None else [Text(at, text, height, "NOTE", "centre")]


def _edge_words(refit: Refit, flat: Unrolled, tile: Tile) -> list[Text]:
    """Return the words at the foot's and the top's edge, where a tile has them."""
    texts = []
    middle = flat.width / 2.0
    if tile.window.bottom == 0.0:
        texts += _fitted_line(words.FOOT, (middle, 1.6), flat.width - 14.0)
    if tile.window.top == flat.post.top:
        text = words.TOP.format(length=length(refit, flat.post.top))
        high = max(_zone(flat, hole)[1] for hole in flat.holes)
        if flat.post.top - high >= 1.0:
            texts += _fitted_line(text, (middle, flat.post.top - 4.0), flat.width - 14.0)
    return texts


def _beside(word: str, x: float, base: float, room: float, wanted: float) -> list[Text]:
    """Return a direction's name, reading upward, just left of its line."""
    height = lettering_that_fits(word, room, wanted)
    return [] if height is None else [Text((x - 0.9, base), word, height, "TEXT", rotation=_QUARTER_TURN)]


def _fields(flat: Unrolled) -> list[Span]:
    """Return the fields between the direction lines, left to right [mm]."""
    lines = sorted({0.0, flat.width, *(flat.x(angle) for angle in directions(flat.post).values())})
    return [(a, b) for a, b in zip(lines, lines[1:], strict=False) if b - a > 12.0]


def _arrow(flat: Unrolled, base: float, room: float) -> list[Item]:
    """Return the arrow that points to the tube's top, over the words of the second field."""
    if room < _ARROW_ROOM:
        return []
    x, y = _arrow_x(flat), base + room - 1.0
    head = ((x, y), (x - 2.5, y - 7.0), (x + 2.5, y - 7.0))
    return [Line((x, y - 14.0), (x, y - 6.0), "OUTLINE"), Hatch(head, "OUTLINE")]


def _arrow_x(flat: Unrolled) -> float:
    low, high = _fields(flat)[1]
    return (low + high) / 2.0


def _blocks(refit: Refit, flat: Unrolled, tile: Tile, count: int, base: float, room: float) -> list[Text]:
    """Return the words in the fields between the direction lines, reading upward."""
    post, boat = flat.post, refit.boat
    side = sheet_words.SIDE[post.side]
    texts: list[Text] = []
    # The first field's left half holds the scale.
    blocks = (
        (("", 5.0), (f"{post.id}  {side}", 3.5)),
        ((f"TILE {tile.letter} OF {count}", 5.0), (words.PRINTED_SIDE_OUT, 3.5)),
        ((boat.boat.name, 3.5), (f"rev. {boat.revision.mark}  {boat.revision.date}", 2.5)),
        ((f"{post.id}  {side}", 5.0), (f"data {refit.loaded.data_sha256[:12]}", 2.5)),
    )
    for index, ((low, _), lines) in enumerate(zip(_fields(flat), blocks, strict=False)):
        free = room - _ARROW_ROOM if index == 1 and room >= _ARROW_ROOM else room
        for (text, wanted), x in zip(lines, (low + 8.5, low + 15.6), strict=True):
            height = lettering_that_fits(text, free, wanted) if text else None
            if height is not None:
                texts.append(Text((x, base), text, height, "TEXT", rotation=_QUARTER_TURN))
    if room >= _ARROW_ROOM:
        texts.append(Text((_arrow_x(flat), base + room - 21.0), words.UP, 5.0, "TEXT", "centre"))
    return texts


def _scale(flat: Unrolled, taken: Sequence[Span]) -> tuple[list[Item], list[Text]]:
    """Return ticks and numbers up the left edge, to lay a rule against once the tiles are joined."""
    items: list[Item] = []
    texts = []
    for step in range(_SCALE_STEP, math.ceil(flat.post.top), _SCALE_STEP):
        numbered = step % _SCALE_NUMBER == 0
        items.append(Line((0.0, float(step)), (3.5 if numbered else 2.0, float(step)), "THIN"))
        if numbered and not any(low - 2.0 < step < high + 2.0 for low, high in taken):
            texts.append(Text((3.9, float(step)), str(step), 2.5, "NOTE", upright="middle"))
    return items, texts


def _direction_lines(flat: Unrolled, texts: Sequence[Text]) -> list[Item]:
    """Return the lines of the four directions, broken where words stand on them."""
    boxes = [extent_of(text_box(text)) for text in texts]
    items: list[Item] = []
    for word, angle in directions(flat.post).items():
        x = flat.x(angle)
        if x < 1e-6:
            continue
        struck = sorted((box.bottom, box.top) for box in boxes if box.left - 0.4 < x < box.right + 0.4)
        start = 0.0
        for low, high in [*struck, (flat.post.top, flat.post.top)]:
            if low - 0.6 > start + 5.0 or low == flat.post.top:
                end = low if low == flat.post.top else low - 0.6
                items.append(Line((x, start), (x, end), "CENTRE", tag=f"direction:{flat.post.id}:{word}"))
            start = max(start, high + 0.6)
    return items
