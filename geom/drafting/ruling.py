"""Lists on paper: columns with wrapped text that flow over areas and sheets."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, compress
from typing import TypeVar

from geom.drafting import text as words
from geom.drafting.columns import ColumnTable
from geom.figure import Across, Cell, Item, Line, Point, Rect, Text
from geom.lettering import KEPT as KEPT
from geom.lettering import broken as broken
from geom.lettering import longest_kept, longest_word, width_as_drawn

LETTERING = 2.5
TITLE_LETTERING = 3.5
_LINE_PITCH = 3.8
_PADDING = 1.3
_MARGIN = 1.2
# Between figures and the words of the next column, beside both margins [mm].
_APART = 1.2
# What a column has beside its longest word [mm].
_SPARE = 0.1
_TITLE_PITCH = 6.5
_LAYER = "TABLE"
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
    # Longest word of each column [mm]: of its heading, of all cells parted at hyphens, of all with what is kept whole;
    # a list that goes on keeps those of the whole, so that its columns stay as wide.
    longest: tuple[tuple[float, float, float], ...] = ()

    def __post_init__(self) -> None:
        """Measure the longest word of each heading, and of each column."""
        if len(self.longest) != len(self.columns):
            heads = [longest_word(column.head, "semibold") for column in self.columns]
            cells, whole = (
                [
                    max((measured(row[at].text, row[at].weight) for row in self.rows), default=0.0)
                    for at in range(len(self.columns))
                ]
                for measured in (longest_word, longest_kept)
            )
            found = zip(heads, map(max, heads, cells), map(max, heads, whole), strict=True)
            object.__setattr__(self, "longest", tuple(found))


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
            whole = top == area.top and area in areas
            count = _fitting(shown, start, area.width, top - area.bottom, alone=whole)
            if count == 0:
                if whole:
                    ruled = replace(ruled, rows=_row_in_parts(shown, ruled.rows, start, area))
                    continue
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


def _fitting(ruled: RuledList, start: int, width: float, height: float, alone: bool) -> int:
    """Return the number of rows from a first one on that fit under title and headings; a single one only if `alone`."""
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
    return 0 if count == 1 and left > 1 and not alone else count


def _row_in_parts(
    ruled: RuledList, rows: tuple[tuple[Cell, ...], ...], start: int, area: Rect
) -> tuple[tuple[Cell, ...], ...]:
    """Return rows in which one that is taller than a whole area is several, each with some of its lines.

    Raises:
        ValueError: not even one of its lines fits.
    """
    row, count = rows[start], len(ruled.columns)
    # One line less, as cells under a row follow a line of the row itself.
    most = int((area.height - _head_height(ruled, area.width) - LETTERING - 2.0 * _PADDING) / _LINE_PITCH)
    if most < 1 or _row_height(ruled, row, area.width) <= area.height - _head_height(ruled, area.width):
        raise ValueError(f"list {ruled.tag!r}: a row does not fit an area of {area.height:.0f} mm")
    parts: list[tuple[Cell, ...]] = []
    for lines, placed in _parts(ruled, row, area.width):
        cells = tuple(cell for _, cell, _ in placed)
        for first in range(0, max(map(len, lines)), most):
            some = tuple(
                replace(cell, text=" ".join(own[first : first + most])) for cell, own in zip(cells, lines, strict=True)
            )
            # What stands under a row follows its last part.
            parts.append(
                (*(Cell("") for _ in range(count)), *some) if len(parts) and placed[0][0] in ruled.under else some
            )
    return (*rows[:start], *parts, *rows[start + 1 :])


_Table = TypeVar("_Table", RuledList, ColumnTable)


def without_empty_columns(table: _Table) -> _Table:
    """Return a table without the columns in which every cell is empty; a list must have no `groups` or `under`."""
    shown = [any(row[number].text for row in table.rows) for number in range(len(table.columns))]
    rows = tuple(tuple(compress(row, shown)) for row in table.rows)
    return replace(table, columns=tuple(compress(table.columns, shown)), rows=rows)


def words_whole(ruled: RuledList, width: float) -> bool:
    """Return whether a list has room for its words without breaking any.

    Args:
        ruled: the list.
        width: of the list [mm].
    """
    margins = _insets(ruled.columns)
    return (
        math.fsum(longest + margin + _MARGIN for (_, longest, _), margin in zip(ruled.longest, margins, strict=True))
        <= width
    )


def list_height(ruled: RuledList, width: float) -> float:
    """Return the height of a list at a width [mm]."""
    return _head_height(ruled, width) + math.fsum(_row_height(ruled, row, width) for row in ruled.rows)


def _widths(ruled: RuledList, width: float) -> list[float]:
    """Return the width of each column: its share, but no word is broken where others have room [mm].

    Where they have not for all that is kept together, words are broken at hyphens; else the headings come first.
    """
    shared = _shared(ruled.columns, width)
    whole = [margin + _MARGIN + _SPARE for margin in _insets(ruled.columns)]
    for which in (2, 1, 0):
        least = [words[which] + margins for words, margins in zip(ruled.longest, whole, strict=True)]
        short = math.fsum(max(0.0, need - room) for need, room in zip(least, shared, strict=True))
        over = [max(0.0, room - need) for need, room in zip(least, shared, strict=True)]
        given = math.fsum(over)
        if short == 0.0:
            return shared
        if short <= given:
            return [
                max(room, need) - short * spare / given for room, need, spare in zip(shared, least, over, strict=True)
            ]
    return shared


def _shared(columns: Sequence[ListColumn], width: float) -> list[float]:
    whole = math.fsum(column.share for column in columns)
    return [width * column.share / whole for column in columns]


def _widths_under(ruled: RuledList, above: Sequence[float], width: float) -> list[float]:
    """Return the widths of the columns under a row: first ones of equal shares lie under those above [mm]."""
    alike = 0
    for column, under in zip(ruled.columns, ruled.under, strict=False):
        if column.share != under.share:
            break
        alike += 1
    first = list(above[:alike])
    return [*first, *_shared(ruled.under[alike:], width - math.fsum(first))]


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
    lines = max((one.above + len(one.lines) for one in _lettered(ruled, row, width)), default=1)
    return (lines - 1) * _LINE_PITCH + LETTERING + 2.0 * _PADDING


@dataclass(frozen=True)
class _Lettered:
    """The lines of a cell: where they stand across, and how many lines of the row are above the first of them.

    `near` is the edge or middle of the lines that `column` aligns them by, from the left end of the list [mm].
    """

    column: ListColumn
    cell: Cell
    lines: tuple[str, ...]
    near: float
    above: int = 0

    def extent(self) -> tuple[float, float]:
        """Return the left and right ends of the longest line [mm]."""
        wide = max(width_as_drawn(line, LETTERING, self.cell.weight) for line in self.lines)
        left = self.near - wide * {"left": 0.0, "centre": 0.5, "right": 1.0}[self.column.across]
        return left, left + wide

    def clears(self, other: _Lettered) -> bool:
        """Return whether these lines and those of another cell stand beside each other."""
        (left, right), (start, end) = self.extent(), other.extent()
        return right + _APART <= start or end + _APART <= left


def _lettered(ruled: RuledList, row: tuple[Cell, ...], width: float) -> list[_Lettered]:
    """Return the cells of a row that are not empty, then those under it, each right below what is above it there."""
    found: list[_Lettered] = []
    for lines, placed in _parts(ruled, row, width):
        over, edge = list(found), 0.0
        insets = _insets([column for column, _, _ in placed])
        for (column, cell, room), own, margin in zip(placed, lines, insets, strict=True):
            near = edge + {"left": margin, "centre": room / 2.0, "right": room - _MARGIN}[column.across]
            one = _Lettered(column, cell, own, near)
            edge += room
            if cell.text:
                above = (len(other.lines) for other in over if not one.clears(other))
                found.append(replace(one, above=max(above, default=1) if over else 0))
    return found


def _parts(
    ruled: RuledList, row: tuple[Cell, ...], width: float
) -> Iterator[tuple[list[tuple[str, ...]], tuple[tuple[ListColumn, Cell, float], ...]]]:
    """Yield the cells of a row and those under it: the lines of each cell, and the cells with column and width."""
    count, rooms = len(ruled.columns), _widths(ruled, width)
    for columns, found in ((ruled.columns, row[:count]), (ruled.under, row[count:])):
        if columns is not ruled.under or any(cell.text for cell in found):
            widths = rooms if columns is ruled.columns else _widths_under(ruled, rooms, width)
            placed = tuple(zip(columns, found, widths, strict=True))
            insets = _insets(columns)
            yield (
                [
                    broken(cell.text, room - inset - _MARGIN, weight=cell.weight)
                    for (_, cell, room), inset in zip(placed, insets, strict=True)
                ],
                placed,
            )


def _insets(columns: Sequence[ListColumn]) -> list[float]:
    """Return the left margin of each column, wider for words behind figures [mm]."""
    behind = ("left", *(column.across for column in columns))
    apart = [one == "right" and column.across == "left" for one, column in zip(behind, columns, strict=False)]
    return [_MARGIN + _APART * wide for wide in apart]


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
        middle = y - (tall - _lines_height(ruled, row, width)) / 2.0
        items += _row_items(ruled, row, left, middle, width, at_foot=index == 0)
        y -= tall
        rules.append((y, _LAYER if index in (0, len(ruled.rows)) else "RULE"))
    items += [Line((left, level), (right, level), layer, ruled.tag) for level, layer in rules]
    return tuple(items)


def _group_items(ruled: RuledList, left: float, top: float, width: float) -> Iterator[Item]:
    """Yield the headings over several columns, each with a rule as wide as they are."""
    edges = [left + across for across in accumulate(_widths(ruled, width), initial=0.0)]
    begin, foot = 0, top - _GROUP_HEIGHT
    for head, count in ruled.groups:
        at = (edges[begin] + _MARGIN, top - _PADDING - LETTERING)
        yield Text(at, head, LETTERING, _LAYER, tag=ruled.tag, weight="semibold")
        if head:
            yield Line((edges[begin] + _MARGIN, foot), (edges[begin + count] - _MARGIN, foot), _LAYER, ruled.tag)
        begin += count


def _row_items(
    ruled: RuledList, row: tuple[Cell, ...], left: float, top: float, width: float, at_foot: bool
) -> Iterator[Item]:
    """Yield the text of a row; headings stand at the foot of theirs, each by the rule under it."""
    cells = _lettered(ruled, row, width)
    deepest = max((len(one.lines) for one in cells), default=0)
    for one in cells:
        above = deepest - len(one.lines) if at_foot else one.above
        layer = one.cell.layer or _LAYER
        for number, line in enumerate(one.lines, start=above):
            at = (left + one.near, top - _PADDING - LETTERING - number * _LINE_PITCH)
            yield Text(at, line, LETTERING, layer, one.column.across, tag=one.cell.tag, weight=one.cell.weight)
