"""F5: lengths from hole to hole and plumb offsets, for checking posts after welding and bolting down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from geom.boat.model import Side
from geom.drafting import post_text as post_words
from geom.drafting import text as words
from geom.drafting.boat_view import SIDES
from geom.drafting.columns import ColumnTable, Piece, paged
from geom.drafting.notes import Notes
from geom.drafting.paper import SCALES, Paper, papers
from geom.drafting.plan_notes import doubted_by
from geom.drafting.post_text import length
from geom.drafting.sheet import FOOT, GAP, Draft, field
from geom.drafting.title_block import BLOCK_WIDTH, STAMP_HEIGHT, STAMP_IN
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Item, Rect, Text, View
from geom.lettering import width as text_width
from geom.open_items import open_items
from geom.open_items.concerns import held_posts
from geom.placement.fabrication import shop_limits
from geom.refit import Refit
from geom.sheets.installation import text as installation_text
from geom.sheets.installation.checks import Pair, checks_table, neighbours, opposites, plumb_table, single_holed
from geom.sheets.installation.views import PLUMB_ROOM, across_views, plumb_items, side_view
from geom.sheets.stanchions import held as on_hold
from geom.tables import numbers
from geom.units import degrees

# Height of the notes with the bar under them, and gap between lists and views [mm].
_FOOT = FOOT + 2.0
_APART = 8.0
# The bar and its words at the foot [mm].
_BAR = 11.0
# Heights of rows for filling in by hand, the tallest that fit are used [mm].
_ROWS = (7.0, 6.0, 5.4, 5.1, 4.8)
# Causes of the open items that the notes are about.
_TAPES, _BENT = ("item.tape", "item.several_tapes"), ("item.bent", "item.several_bent")
# The smallest scale of a side that shares its sheet with the other side.
_HALF_SHEET = 50
# The smallest width of the views on a sheet with all lists [mm].
_VIEWS_WIDE = 130.0


@dataclass(frozen=True)
class _Note:
    """A note with the numbers of the open items that it is about."""

    text: str
    flags: tuple[int, ...] = ()


@dataclass(frozen=True)
class _Page:
    """Content of one sheet; `what` is for its title, `notes` beside the title block."""

    what: str
    views: tuple[View, ...]
    items: tuple[Item, ...]
    notes: tuple[_Note, ...]


def installation_check(refit: Refit) -> tuple[Draft, ...]:
    """Return the checks fore and aft, across and from plumb: on one sheet, else the sides before the rest.

    Raises:
        GeometryError: they fit no sheet.
    """
    for paper in papers(refit.boat.drawing.sheets, minimum=1, roll=True):
        area = _area(paper)
        try:
            try:
                pages = [_together(refit, area)]
            except GeometryError:
                pages = [*_along(refit, area), *_across(refit, area)]
            return tuple(_draft(paper, page, number, len(pages)) for number, page in enumerate(pages, start=1))
        except GeometryError:
            continue
    raise GeometryError("no sheet holds the checks after welding")


def _area(paper: Paper) -> Rect:
    """Return the space for views and lists: between the field's sides, under the stamp, over title block and bar."""
    whole = field(paper)
    top = paper.frame.top - STAMP_IN - STAMP_HEIGHT - 1.5
    return Rect(whole.left, paper.frame.bottom + _FOOT, whole.right, top)


def _draft(paper: Paper, page: _Page, number: int, count: int) -> Draft:
    part = installation_text.PART.format(number=number, count=count) if count > 1 else ""
    return Draft(
        number="F5",
        name="installation-check" if number == 1 else f"installation-check-{number}",
        title=installation_text.TITLE.format(what=page.what, part=part) if count > 1 else installation_text.ALONE,
        subtitle=installation_text.KIND,
        paper=paper,
        scale=words.AS_SHOWN if page.views else "none",
        items=(*_heading(paper, page.what), *page.items, *_note_items(paper, page.notes)),
        views=apart(page.views),
        tolerance=post_words.ONLY_SHOP,
        stamped=True,
        description="Lengths from hole to hole and plumb offsets to check after welding.",
    )


def _heading(paper: Paper, what: str) -> tuple[Item, ...]:
    whole = field(paper)
    at = (whole.left, whole.top - 5.0)
    beyond = (at[0] + text_width(installation_text.HEAD, 5.0, "semibold") + 4.0, at[1])
    return (
        Text(at, installation_text.HEAD, 5.0, "TEXT", tag="heading", weight="semibold"),
        Text(beyond, installation_text.HEAD_LINE.format(what=what), 2.5, "SECOND", tag="heading:line"),
    )


def _note_items(paper: Paper, lines: tuple[_Note, ...]) -> tuple[Item, ...]:
    """Return the notes left of the title block, over the bar.

    Raises:
        GeometryError: they do not fit.
    """
    whole = field(paper)
    flags = tuple((place, number) for place, line in enumerate(lines) for number in line.flags)
    notes = Notes(words.NOTES, tuple(line.text for line in lines), whole.width - BLOCK_WIDTH + 8.0 - GAP, 2, flags)
    top = paper.frame.bottom + _FOOT - 1.0
    if top - notes.height < paper.frame.bottom + _BAR:
        raise GeometryError(f"{len(lines)} notes do not stand left of the title block of {paper.name}")
    return notes.items((whole.left, top))


def _sides(refit: Refit) -> list[tuple[Side, tuple[Pair, ...]]]:
    sides: list[tuple[Side, tuple[Pair, ...]]] = []
    for side in SIDES:
        pairs = neighbours(refit, side, 1 + sum(len(before) for _, before in sides))
        if pairs:
            sides.append((side, pairs))
    return sides


def _together(refit: Refit, area: Rect) -> _Page:
    """Return all checks on one sheet: both sides over the pairs across at the left, the lists at the right.

    Raises:
        GeometryError: they do not fit.
    """
    sides = _sides(refit)
    pairs = opposites(refit, 1 + sum(len(found) for _, found in sides))
    if len(sides) < 2 or not pairs:
        raise GeometryError("a boat with one side, or without posts abreast, has its checks apart")
    tables = [checks_table(refit, words.SIDE[side], found, f"near-{side}") for side, found in sides]
    tables += [checks_table(refit, installation_text.ACROSS_TABLE, pairs, "across"), plumb_table(refit)]
    columns = _columns(tables, Rect(0.0, area.bottom, 0.0, area.top), 2)
    wides = [max(piece.width for piece in column) for column in columns]
    left = area.right - math.fsum(wides) - (len(columns) - 1) * _APART
    room = Rect(area.left, area.bottom, left - _APART, area.top)
    if len(columns) > 2 or room.width < _VIEWS_WIDE:
        raise GeometryError("the lists do not fit beside the views")
    views, items = _views_together(refit, sides, pairs, room)
    for column, wide in zip(columns, wides, strict=True):
        items += _drawn(column, left, wide)
        left += wide + _APART
    all_pairs = [*(pair for _, found in sides for pair in found), *pairs]
    lengths, (level, _, *inboard) = _length_notes(all_pairs), _plumb_notes(refit)
    notes = (*lengths[:2], level, _both_limits(refit, all_pairs), *_doubts(refit, all_pairs), *inboard)
    return _Page(installation_text.WHOLE, views, tuple(items), notes)


def _views_together(
    refit: Refit, sides: Sequence[tuple[Side, tuple[Pair, ...]]], pairs: Sequence[Pair], room: Rect
) -> tuple[tuple[View, ...], list[Item]]:
    """Return both sides over the pairs across, with the sketch of plumb beside the sides, else beside the pairs.

    Raises:
        GeometryError: they do not fit.
    """
    beside = room.right - PLUMB_ROOM
    for sides_right, across_right, share in ((beside, room.right, 0.52), (room.right, beside, 0.38)):
        middle = room.top - share * room.height
        half = 0.5 * (room.top - middle)
        boxes = [Rect(room.left, room.top - (k + 1) * half + 1.0, sides_right - 3.0, room.top - k * half)
                 for k in range(len(sides))]  # fmt: skip
        try:
            shown = [side_view(refit, *side, box, _HALF_SHEET) for side, box in zip(sides, boxes, strict=True)]
            below = Rect(room.left, room.bottom, across_right, middle - 2.0)
            across, caption, _ = across_views(refit, pairs, below, _HALF_SHEET)
        except GeometryError:
            continue
        titles = (item for item in caption if isinstance(item, Text))
        if max(item.at[0] + text_width(item.text, item.height, item.weight) for item in titles) > across_right:
            continue
        top = room.top if across_right > beside else below.top
        sketch = plumb_items(Rect(beside, room.bottom, room.right, top))
        views = (*(view for view, _ in shown), *across)
        return views, [*(item for _, items in shown for item in items), *caption, *sketch]
    raise GeometryError("the views do not fit beside the lists")


def _along(refit: Refit, area: Rect) -> list[_Page]:
    """Return the sides with their lengths, both on one sheet where they fit.

    Raises:
        GeometryError: a side does not fit a sheet.
    """
    sides = _sides(refit)
    for count in (2, 1) if len(sides) == 2 else (1,):
        tall = (area.height - (count - 1) * _APART) / count
        boxes = [
            Rect(area.left, area.top - k * (tall + _APART) - tall, area.right, area.top - k * (tall + _APART))
            for k in range(count)
        ]
        try:
            parts = [_side(refit, *side, boxes[index % count], count) for index, side in enumerate(sides)]
        except GeometryError:
            if count == 1:
                raise
            continue
        pages = []
        for first in range(0, len(parts), count):
            views = tuple(view for view, _ in parts[first : first + count])
            items = tuple(item for _, items in parts[first : first + count] for item in items)
            pairs = [pair for _, found in sides[first : first + count] for pair in found]
            pages.append(_Page(installation_text.ALONG, views, items, (*_length_notes(pairs), *_doubts(refit, pairs))))
        return pages
    return []


def _side(refit: Refit, side: Side, pairs: Sequence[Pair], box: Rect, count: int) -> tuple[View, tuple[Item, ...]]:
    table = _fitting(checks_table(refit, words.SIDE[side], pairs, f"near-{side}"), box.height)
    left = box.right - table.width
    place = Rect(box.left, box.bottom, left - _APART, box.top)
    view, items = side_view(refit, side, pairs, place, _HALF_SHEET if count > 1 else SCALES[-1])
    return view, (*items, *table.items((left, box.top)))


def _fitting(table: ColumnTable, height: float) -> ColumnTable:
    """Return a table with the tallest rows that fit a height [mm].

    Raises:
        GeometryError: it does not fit.
    """
    for row in _ROWS:
        if (lower := replace(table, row=row)).height <= height:
            return lower
    raise GeometryError(f"table {table.title!r} does not fit {height:.0f} mm")


def _across(refit: Refit, area: Rect) -> list[_Page]:
    """Return the pairs across with their lengths and the holes from plumb, over as many sheets as needed.

    Raises:
        GeometryError: the pairs do not fit a sheet.
    """
    pairs = opposites(refit, 1 + sum(len(found) for _, found in _sides(refit)))
    tables = [checks_table(refit, installation_text.ACROSS_TABLE, pairs, "across"), plumb_table(refit)]
    tables = [table for table in tables if table.rows]
    if not tables:
        return []
    wide = max(table.width for table in tables)
    columns = _columns(tables, Rect(0.0, area.bottom, wide, area.top), 1)
    view_room = Rect(area.left, area.bottom, area.right - wide - _APART, area.top)
    views, items = _across_views(refit, pairs, view_room)
    lengths = _length_notes(pairs) if pairs else ()
    if pairs and _sides(refit):
        lengths = (lengths[0], _Note(installation_text.AS_ALONG))
    notes = (*lengths, *_plumb_notes(refit))
    pages = [_Page(installation_text.ACROSS, views, (*items, *_drawn(columns[0], area.right - wide, wide)), notes)]
    beside = max(1, int((area.width + _APART) / (wide + _APART)))
    for first in range(1, len(columns), beside):
        drawn = tuple(
            item
            for index, column in enumerate(columns[first : first + beside])
            for item in _drawn(column, area.left + index * (wide + _APART), wide)
        )
        pages.append(_Page(installation_text.ACROSS, (), drawn, notes))
    return pages


def _across_views(refit: Refit, pairs: Sequence[Pair], place: Rect) -> tuple[tuple[View, ...], tuple[Item, ...]]:
    if not pairs:
        return (), tuple(plumb_items(place))
    views, items, rest = across_views(refit, pairs, place)
    return views, items if rest is None else (*items, *plumb_items(rest))


def _columns(tables: Sequence[ColumnTable], column: Rect, most: int) -> list[tuple[Piece, ...]]:
    """Return tables one below the other, in so many columns at most where a row height allows, else in more.

    No table is parted where all stand whole.
    """
    for row in _ROWS:
        shown = [replace(table, row=row, together=max(1, len(table.rows))) for table in tables]
        if max(table.height for table in shown) <= column.height:
            columns = list(paged(shown, column, GAP))
            if len(columns) <= most:
                return columns
    for row in _ROWS:
        columns = list(paged([replace(table, row=row) for table in tables], column, GAP))
        if len(columns) <= most:
            break
    return columns


def _drawn(column: Sequence[Piece], left: float, wide: float) -> tuple[Item, ...]:
    return tuple(item for piece in column for item in piece.items(left, wide))


def _plate() -> str:
    return f"{degrees(shop_limits().tube_to_plate):g}°"


def _length_notes(pairs: Sequence[Pair]) -> tuple[_Note, ...]:
    """Return the notes on lengths: letters, measuring points, tolerance."""
    single = single_holed(pairs)
    fixed = any(check.limit == 0.0 for pair in pairs for check in pair.checks)
    return (
        _Note(f"{installation_text.LETTERS.format(low='foot' if single else 'lower')} {installation_text.CIRCLES}"),
        _Note(
            installation_text.CENTRES.format(marks=installation_text.MARKS[single], face=installation_text.FACE[single])
        ),
        _Note(installation_text.LIMIT.format(plate=_plate()) + (installation_text.LIMIT_FOOT if fixed else "")),
    )


def _both_limits(refit: Refit, pairs: Sequence[Pair]) -> _Note:
    """Return the note on the limits of lengths and offsets together."""
    fmt = numbers(refit.boat)
    fixed = any(check.limit == 0.0 for pair in pairs for check in pair.checks)
    place = length(shop_limits().hole_position, fmt, 1)
    note = installation_text.LIMITS.format(plate=_plate(), place=place, unit=fmt.unit)
    return _Note(note + (installation_text.LIMIT_FOOT if fixed else ""))


def _doubts(refit: Refit, pairs: Sequence[Pair]) -> tuple[_Note, ...]:
    """Return notes on lengths between posts whose tape disagrees with their coordinates."""
    fmt, found = numbers(refit.boat), []
    for pair in pairs:
        for row in doubted_by(refit, [(pair.a.id, pair.b.id)]):
            taped, computed = length(row.taped, fmt), length(row.computed, fmt)
            text = installation_text.DOUBT.format(
                number=pair.number, start=row.start, end=row.end, taped=taped, computed=computed, unit=fmt.unit
            )
            found.append(_Note(text, _items_about(refit, _TAPES, (row.start, row.end))))
    return tuple(found)


def _items_about(refit: Refit, causes: Sequence[str], places: Sequence[str]) -> tuple[int, ...]:
    """Return the numbers of the open items with one of these causes at one of these places."""
    listed = (item for item in open_items(refit) if item.cause.code in causes)
    return tuple(item.number for item in listed if set(places).intersection(item.places))


def _plumb_notes(refit: Refit) -> tuple[_Note, ...]:
    """Return the notes on offsets from plumb: trim of the boat, tolerances, posts that lean inboard."""
    fmt, limits = numbers(refit.boat), shop_limits()
    highest = max((hole for _, hole in refit.placed.holes()), key=lambda hole: hole.along)
    moved = highest.along * math.sin(math.radians(1.0))
    lines = [
        installation_text.LEVEL.format(
            z_zero=refit.boat.axes.z_zero, hole=highest.id, moved=length(moved, fmt), unit=fmt.unit
        ),
        installation_text.PLUMB_LIMIT.format(plate=_plate(), place=length(limits.hole_position, fmt, 1), unit=fmt.unit),
    ]
    notes = [_Note(line) for line in lines]
    inboard = dict.fromkeys(post.id for post, _ in refit.placed.holes() if post.spec.lean < 0.0)
    held = held_posts(refit, open_items(refit))
    if not set(inboard) <= set(held):
        notes.append(_Note(installation_text.LEANS_IN, _items_about(refit, _BENT, tuple(inboard))))
    if held:
        notes.append(_Note(installation_text.HELD.format(posts=on_hold.listed(held)), on_hold.stopped_by(held)))
    return tuple(notes)
