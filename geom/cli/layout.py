"""Lines and tables for a terminal of any width: words are kept whole, numbers are never cut.

rich shortens the cells of a table that is too wide; here its rows are stacked instead.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
import textwrap
from collections.abc import Iterator, Sequence

from geom.tables.table import Table, cells
from geom.units import LengthFormat

# Width of piped output where COLUMNS does not state one, and the width down to which lines are kept.
PIPED, NARROWEST = 100, 40
GAP = "   "
_COLOURS = {"stop": "red", "fails": "red", "fail": "red", "decide": "yellow", "cannot tell": "yellow", "notice": "cyan"}
# A figure and its unit stay on one line.
_KEPT = "\u00a0"
_UNIT = re.compile(r"(?<=\d) (?=(?:mm|m|in|ft|N|lbf|MPa|deg|kN|%)\b|%)")


def width() -> int:
    """Return the width of the terminal in characters; of piped output, what COLUMNS states."""
    return max(shutil.get_terminal_size((PIPED, 24)).columns, NARROWEST)


def coloured(word: str, shown: str) -> str:
    """Return a text in the colour of a kind or verdict, on a terminal that shows colours.

    Args:
        word: the kind or verdict.
        shown: the text.
    """
    if word not in _COLOURS or "NO_COLOR" in os.environ or not sys.stdout.isatty():
        return shown
    import typer

    return typer.style(shown, fg=_COLOURS[word], bold=word in ("stop", "fails", "fail"))


def wrapped(text: str, columns: int, first: str = "", later: str | None = None) -> list[str]:
    """Return a text in lines, broken between words only.

    Args:
        text: the text.
        columns: width of a line in characters.
        first: what the first line begins with.
        later: what the other lines begin with, as much blank where None.
    """
    kept = _UNIT.sub(_KEPT, text)
    lines = textwrap.wrap(
        kept,
        columns,
        initial_indent=first,
        subsequent_indent=" " * len(first) if later is None else later,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_KEPT, " ") for line in lines]


def table_lines(table: Table, fmt: LengthFormat, columns: int) -> Iterator[str]:
    """Yield a table in lines: side by side where it fits into the width, else each row stacked.

    Where headings make it too wide they stand on several lines.

    Args:
        table: the table.
        fmt: the length format.
        columns: width of a line in characters.
    """
    kinds = {column.kind for column in table.columns}
    units = ([fmt.unit] if kinds & {"length", "fine length"} else []) + (["deg"] if "angle" in kinds else [])
    yield from wrapped(f"{table.title} ({', '.join(units)})" if units else table.title, columns, later="  ")
    if table.assumes:
        yield from wrapped(table.assumes, columns, "  ")
    if table.note:
        yield from wrapped(table.note, columns, "  ")
    headings = [column.head(fmt) for column in table.columns]
    rows = cells(table, fmt)
    right = [column.kind != "text" for column in table.columns]
    sizes = [max((len(row[index]) for row in rows), default=0) for index in range(len(headings))]
    broken = _broken(headings, sizes)
    for heads, gap in (([[one] for one in headings], GAP), (broken, GAP), (broken, "  ")):
        widths = [max(size, *map(len, head)) for size, head in zip(sizes, heads, strict=True)]
        if 2 + sum(widths) + len(gap) * (len(widths) - 1) <= columns:
            deepest = max(map(len, heads))
            tops = zip(*([""] * (deepest - len(head)) + head for head in heads), strict=True)
            for row in (*tops, *rows):
                yield ("  " + gap.join(_aligned(row, widths, right))).rstrip()
            break
    else:
        yield from (line for row in rows for line in _stacked(headings, row, sizes, right, columns))
    yield ""


def _broken(headings: list[str], sizes: list[int]) -> list[list[str]]:
    """Return headings in lines between words, as wide as the cells below where their words allow it."""
    return [
        wrapped(heading, max(size, *map(len, heading.split()), 1)) or [""]
        for heading, size in zip(headings, sizes, strict=True)
    ]


def _aligned(row: Sequence[str], widths: list[int], right: list[bool]) -> list[str]:
    return [
        text.rjust(size) if to_right else text.ljust(size)
        for text, size, to_right in zip(row, widths, right, strict=True)
    ]


def _stacked(
    headings: list[str], row: Sequence[str], widths: list[int], right: list[bool], columns: int
) -> Iterator[str]:
    """Yield one row: its first cell, then heading and value of every other cell, as many to a line as fit.

    The cells of all rows have the same widths, so that they stand below each other.
    """
    indent = " " * (2 + widths[0] + len(GAP))
    line = f"  {row[0].ljust(widths[0])}{GAP}"
    for heading, text, size, to_right in zip(headings[1:], row[1:], widths[1:], right[1:], strict=True):
        cell = f"{heading} {text.rjust(size) if to_right else text.ljust(size)}"
        if len(line) + len(cell) > columns and line.strip():
            yield line.rstrip()
            line = indent
        if len(line) + len(cell) > columns:
            yield from wrapped(f"{heading} {text}", columns, line, indent + "  ")
            line = indent
            continue
        line += cell + GAP
    if line.strip():
        yield line.rstrip()
