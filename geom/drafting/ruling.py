"""Tables on paper: columns sized to their text, or lists with wrapped text; both flow over areas and sheets."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import accumulate

from geom import lettering
from geom.drafting import text as words
from geom.errors import GeometryError
from geom.figure import Across, Cell, Item, Line, Point, Rect, Table, Text
from geom.lettering import Weight

LETTERING = 2.5
PITCH = 4.6
# Margin of a cell, both sides together, slightly over the drafting margin [mm].
_BESIDE = 2.3
TITLE_LETTERING = 3.5
_LINE_PITCH = 3.8
_PADDING = 1.3
_MARGIN = 1.2
# What a heading has beside its longest word [mm].
_SPARE = 0.1
_TITLE_PITCH = 6.5
_LAYER = "TABLE"
# A non-breaking space: no line is broken there.
KEPT = "\u00a0"
_WORDS = re.compile(rf"(?:[^\s]|{KEPT})+")
_GROUP_HEIGHT = LETTERING + 2.0 * _PADDING


@dataclass(frozen=True)
class ListColumn:
    """A column: heading, share of the list's width, alignment of its text."""

    head: str
    share: float
    across: Across = "left"


@dataclass(frozen=True)
class RuledList:
    """A list of rows; `minimum` is the smallest height of a row [mm], for lists to be filled in by hand.

    `groups` are headings over several columns each, from the left, with the number of columns. Cells of a row beyond
    its columns stand under it, in the columns `under`, which have no headings.
    """

    title: str
    columns: tuple[ListColumn, ...]
    rows: tuple[tuple[Cell, ...], ...]
    tag: str
    minimum: float = 5.0
    groups: tuple[tuple[str, int], ...] = ()
    under: tuple[ListColumn, ...] = ()


@lru_cache(maxsize=1 << 14)
def broken(text: str, room: float, height: float = LETTERING, weight: Weight = "regular") -> tuple[str, ...]:
    """Return a text wrapped to a width; a longer word is broken, at a hyphen if it has one.

    KEPT joins words; it is written as a space.

    Args:
        text: the text.
        room: largest width of a line [mm].
        height: of the lettering [mm].
        weight: of the lettering.
    """
    lines = [""]
    for word in _WORDS.findall(text):
        tried = f"{lines[-1]} {word}".strip(" ")
        if _width(tried, height, weight) <= room:
            lines[-1] = tried
            continue
        if lines[-1]:
            lines.append("")
        for part in word.replace("-", "-\n").split("\n"):
            if lines[-1] and _width(lines[-1] + part, height, weight) > room:
                lines.append("")
            for letter in part:
                if _width(lines[-1] + letter, height, weight) > room:
                    lines.append("")
                lines[-1] += letter
    return tuple(line.replace(KEPT, " ") for line in lines)


def _width(text: str, height: float, weight: Weight) -> float:
    """Return the width of a text as drawn, with spaces for KEPT [mm]."""
    return lettering.width(text.replace(KEPT, " "), height, weight)


def flow(
    lists: Sequence[RuledList], areas: Sequence[Rect], gap: float = 5.0, first: Sequence[Rect] = ()
) -> tuple[tuple[Item, ...], ...]:
    """Return the items of each sheet: lists one below the other through a sheet's areas, then on further sheets.

    A continued list repeats its title and headings; a title is never alone at the foot.

    Args:
        lists: the lists.
        areas: the areas of one sheet in their order, the same on every sheet [mm].
        gap: between two lists [mm].
        first: the areas of the first sheet where they differ [mm].

    Raises:
        ValueError: a row that is taller than an area.
    """
    sheets: list[list[Item]] = [[]]
    left = list(first or areas)
    area = left.pop(0)
    top = area.top
    for ruled in lists:
        start = 0
        while start < len(ruled.rows):
            again = start > 0 and ruled.title
            shown = replace(ruled, title=words.CONTINUED.format(title=ruled.title)) if again else ruled
            count = _fitting(shown, start, area.width, top - area.bottom)
            if count == 0:
                if top == area.top and area in areas:
                    raise ValueError(f"list {ruled.tag!r}: a row does not fit an area of {area.height:.0f} mm")
                if not left:
                    left = list(areas)
                    sheets.append([])
                area = left.pop(0)
                top = area.top
                continue
            piece = replace(shown, rows=ruled.rows[start : start + count])
            sheets[-1] += list_items(piece, (area.left, top), area.width)
            top -= list_height(piece, area.width) + gap
            start += count
    return tuple(tuple(items) for items in sheets)


def _fitting(ruled: RuledList, start: int, width: float, height: float) -> int:
    """Return the number of rows from a first one on that fit under title and headings; not a single one of many."""
    room = height - _head_height(ruled, width)
    count = 0
    for row in ruled.rows[start:]:
        room -= _row_height(ruled, row, width)
        if room < 0.0:
            break
        count += 1
    left = len(ruled.rows) - start
    if left - count == 1 and count > 2:
        # No row alone on the next sheet either.
        count -= 1
    return 0 if count == 1 and left > 1 else count


def list_height(ruled: RuledList, width: float) -> float:
    """Return the height of a list at a width [mm]."""
    return _head_height(ruled, width) + math.fsum(_row_height(ruled, row, width) for row in ruled.rows)


def _widths(columns: Sequence[ListColumn], width: float) -> list[float]:
    """Return the width of each column: its share, but no word of a heading is broken where others have room [mm]."""
    whole = math.fsum(column.share for column in columns)
    shared = [width * column.share / whole for column in columns]
    least = [_longest_word(column.head) + 2.0 * _MARGIN + _SPARE for column in columns]
    short = math.fsum(max(0.0, need - room) for need, room in zip(least, shared, strict=True))
    over = [max(0.0, room - need) for need, room in zip(least, shared, strict=True)]
    given = math.fsum(over)
    if not 0.0 < short <= given:
        return shared
    return [max(room, need) - short * spare / given for room, need, spare in zip(shared, least, over, strict=True)]


def _widths_under(ruled: RuledList, above: Sequence[float], width: float) -> list[float]:
    """Return the widths of the columns under a row: first ones of equal shares lie under those above [mm]."""
    alike = 0
    for column, under in zip(ruled.columns, ruled.under, strict=False):
        if column.share != under.share:
            break
        alike += 1
    first = list(above[:alike])
    return [*first, *_widths(ruled.under[alike:], width - math.fsum(first))]


def _longest_word(head: str) -> float:
    return max((_width(word, LETTERING, "semibold") for word in head.replace("-", "- ").split()), default=0.0)


def _heads(ruled: RuledList) -> tuple[Cell, ...]:
    return tuple(Cell(column.head, weight="semibold") for column in ruled.columns)


def _head_height(ruled: RuledList, width: float) -> float:
    title = len(_title(ruled, width)) * _TITLE_PITCH
    return title + (_GROUP_HEIGHT if ruled.groups else 0.0) + _lines_height(ruled, _heads(ruled), width)


def _title(ruled: RuledList, width: float) -> tuple[str, ...]:
    return broken(ruled.title, width, TITLE_LETTERING, "semibold") if ruled.title else ()


def _row_height(ruled: RuledList, row: tuple[Cell, ...], width: float) -> float:
    return max(ruled.minimum, _lines_height(ruled, row, width))


def _lines_height(ruled: RuledList, row: tuple[Cell, ...], width: float) -> float:
    lines = math.fsum(max(map(len, part)) for part, _ in _parts(ruled, row, width))
    return (lines - 1) * _LINE_PITCH + LETTERING + 2.0 * _PADDING


def _parts(
    ruled: RuledList, row: tuple[Cell, ...], width: float
) -> Iterator[tuple[list[tuple[str, ...]], tuple[tuple[ListColumn, Cell, float], ...]]]:
    """Yield the cells of a row and those under it: the lines of each cell, and the cells with column and width."""
    count, rooms = len(ruled.columns), _widths(ruled.columns, width)
    for columns, found in ((ruled.columns, row[:count]), (ruled.under, row[count:])):
        if columns is not ruled.under or any(cell.text for cell in found):
            widths = rooms if columns is ruled.columns else _widths_under(ruled, rooms, width)
            placed = tuple(zip(columns, found, widths, strict=True))
            yield [broken(cell.text, room - 2.0 * _MARGIN, weight=cell.weight) for _, cell, room in placed], placed


def list_items(ruled: RuledList, at: Point, width: float) -> tuple[Item, ...]:
    """Return a list drawn from its upper left corner down; each line of a cell has the cell's tag.

    Args:
        ruled: the list.
        at: upper left corner [mm].
        width: of the list [mm].
    """
    left, top = at
    right, y = left + width, top
    items: list[Item] = []
    for line in _title(ruled, width):
        at_line = (left, y - TITLE_LETTERING - 0.5)
        items.append(Text(at_line, line, TITLE_LETTERING, "TEXT", tag=ruled.tag, weight="semibold"))
        y -= _TITLE_PITCH
    # Horizontal rules only: a heavy one over the headings, a firm one under them and at the foot, hairlines between.
    rules = [(y, "HEAD-RULE")]
    if ruled.groups:
        items += _group_items(ruled, left, y, width)
        y -= _GROUP_HEIGHT
    for index, row in enumerate((_heads(ruled), *ruled.rows)):
        tall = _lines_height(ruled, row, width) if index == 0 else _row_height(ruled, row, width)
        # Text in a row that is tall for filling in by hand is centred.
        items += _row_items(ruled, row, left, y - (tall - _lines_height(ruled, row, width)) / 2.0, width)
        y -= tall
        rules.append((y, _LAYER if index in (0, len(ruled.rows)) else "RULE"))
    items += [Line((left, level), (right, level), layer, ruled.tag) for level, layer in rules]
    return tuple(items)


def _group_items(ruled: RuledList, left: float, top: float, width: float) -> Iterator[Item]:
    """Yield the headings over several columns, each with a rule as wide as they are."""
    edges = [left + across for across in accumulate(_widths(ruled.columns, width), initial=0.0)]
    begin, foot = 0, top - _GROUP_HEIGHT
    for head, count in ruled.groups:
        at = (edges[begin] + _MARGIN, top - _PADDING - LETTERING)
        yield Text(at, head, LETTERING, _LAYER, tag=ruled.tag, weight="semibold")
        if head:
            yield Line((edges[begin] + _MARGIN, foot), (edges[begin + count] - _MARGIN, foot), _LAYER, ruled.tag)
        begin += count


def _row_items(ruled: RuledList, row: tuple[Cell, ...], left: float, top: float, width: float) -> Iterator[Item]:
    for lines, placed in _parts(ruled, row, width):
        near = left
        for (column, cell, room), broken_lines in zip(placed, lines, strict=True):
            inset = {"left": _MARGIN, "centre": room / 2.0, "right": room - _MARGIN}[column.across]
            y = top - _PADDING - LETTERING
            for line in broken_lines:
                if line:
                    at = (near + inset, y)
                    layer = cell.layer or _LAYER
                    yield Text(at, line, LETTERING, layer, column.across, tag=cell.tag, weight=cell.weight)
                y -= _LINE_PITCH
            near += room
        top -= max(map(len, lines)) * _LINE_PITCH


@dataclass(frozen=True)
class Ruled:
    """A table before it is placed: a heading for each column, rows of tagged cells, preferred width over all [mm].

    Columns have the width of their text; the rest of the preferred width is divided evenly. `pitch` is the
    height of a row [mm].
    """

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    tag: str
    width: float | None = None
    pitch: float = PITCH

    @property
    def widths(self) -> tuple[float, ...]:
        """Width of each column [mm].

        Raises:
            GeometryError: the columns are wider than the table.
        """
        columns = range(len(self.head) or len(self.rows[0]))
        minimum = [
            max(
                [lettering.width(row[index].text, LETTERING, row[index].weight) for row in self.rows]
                + ([lettering.width(self.head[index], LETTERING, "semibold")] if self.head else [0.0])
            )
            + _BESIDE
            for index in columns
        ]
        wanted = max(self.width or 0.0, lettering.width(self.title, LETTERING, "semibold") + _BESIDE)
        spare = (wanted - math.fsum(minimum)) / len(minimum)
        if spare < 0.0 and self.width is not None and math.fsum(minimum) > self.width + 1e-6:
            raise GeometryError(
                f"table {self.title!r} of {math.fsum(minimum):.1f} mm does not go into {self.width:.1f} mm"
            )
        return tuple(size + max(0.0, spare) for size in minimum)

    @property
    def height(self) -> float:
        """Height of the table [mm]."""
        return (bool(self.title) + bool(self.head) + len(self.rows)) * self.pitch

    def at(self, corner: Point) -> Table:
        """Return the table with its upper left corner at a paper point."""
        return Table(corner, self.widths, self.head, self.rows, self.pitch, LETTERING, self.title, tag=self.tag)


def cell(text: str, tag: str = "", across: Across = "right") -> Cell:
    """Return a cell, aligned right by default as for numbers.

    Args:
        text: of the cell.
        tag: id that it is checked by.
        across: alignment.
    """
    return Cell(text, tag, across)


def facts(title: str, rows: Sequence[tuple[str, str, str]], tag: str, width: float | None = None) -> Ruled:
    """Return a table of two columns: label, and value with the id it is checked by.

    Args:
        title: over the table.
        rows: label, value, tag of the value.
        tag: of the table.
        width: over all [mm], None for that of the text.
    """
    texts = tuple((Cell(label), Cell(value, mark)) for label, value, mark in rows)
    return Ruled(title, (), texts, tag, width)


def flow_ruled(
    tables: Sequence[Ruled], space: Rect, gap: float, first: Rect | None = None
) -> Iterator[tuple[Table, ...]]:
    """Yield the tables page by page from the top down, split between rows where a page ends.

    Args:
        tables: in order; the title of a continued table says so.
        space: the same on each page [mm].
        gap: between two tables [mm].
        first: the space of the first page where it differs [mm].

    Raises:
        GeometryError: a page has no room for a heading and one row.
    """
    page: list[Table] = []
    page_space = first or space
    top = page_space.top
    for table in tables:
        rows, begun = table.rows, False
        while rows:
            fit = int((top - page_space.bottom) / table.pitch - bool(table.title) - bool(table.head) + 1e-6)
            if fit < min(3, len(rows)):
                if top == space.top and page_space is space:
                    raise GeometryError(f"no page holds a row of table {table.title!r}")
                yield tuple(page)
                page, page_space, top = [], space, space.top
                continue
            title = f"{table.title}, continued" if begun else table.title
            part = replace(table, title=title, rows=rows[:fit])
            # Columns keep the widths of the whole table on every page.
            page.append(
                Table(
                    (page_space.left, top),
                    table.widths,
                    table.head,
                    part.rows,
                    table.pitch,
                    LETTERING,
                    title,
                    tag=table.tag,
                )
            )
            top -= part.height + gap
            rows, begun = rows[fit:], True
    if page:
        yield tuple(page)
