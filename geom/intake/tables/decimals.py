"""The decimal sign of a table, found from all of its cells: `1.736` is 1.736 in one table and 1736 in another."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Literal

from geom.errors import Fault, InputError
from geom.intake.tables.grid import Cell
from geom.units import QuantityError, read_quantity

Sign = Literal[".", ","]
_SIGNS: tuple[Sign, Sign] = (".", ",")
_FIGURE = re.compile(r"\d(?:[\d.,'\u2019\u00a0\u202f]*\d)?")
_SPACES = re.compile("(?<=\\d)['\u2019\u00a0\u202f](?=\\d{3}(?!\\d))")
# Nothing that is measured on a boat is longer or steeper [mm, rad]: the other reading is meant.
_LONGEST, _STEEPEST = 100_000.0, 6.3


def plain_numbers(
    source: str, cells: Iterable[tuple[Cell, str, str | None]], stated: Sign | None = None
) -> Mapping[Cell, str]:
    """Return the text of each cell of numbers with a decimal point and nothing between thousands.

    Args:
        source: the file's name, for messages.
        cells: cells of numbers with the kind of quantity and the unit of a bare number, None where none is stated.
        stated: the decimal sign, where the user has stated it.

    Raises:
        InputError: both signs are used for decimals, or nothing in the file tells what a sign stands for.
    """
    texts = {cell: (_SPACES.sub("", cell.text), kind, unit) for cell, kind, unit in cells if not cell.number}
    evidence: dict[Sign, Cell] = {}
    open_cells: list[Cell] = []
    for cell, (text, kind, unit) in texts.items():
        for figure in _FIGURE.findall(text):
            needed = _decimal_sign(figure)
            if needed is None and _could_be_thousands(figure):
                needed = _by_size(text, figure, kind, unit)
                if needed is None:
                    open_cells.append(cell)
            if needed is not None:
                evidence.setdefault(needed, cell)
    if stated is not None:
        for sign, cell in evidence.items():
            if sign == stated:
                continue
            message = f"'{sign}' is used as decimal sign, and '{stated}' is stated"
            raise InputError(source, [Fault(message, key=cell.place, read=cell.text)])
    elif len(evidence) == 2:
        fault = Fault(
            f"a decimal comma, and a decimal point in {evidence['.'].place}",
            key=evidence[","].place,
            read=evidence[","].text,
            valid="one decimal sign in the whole table",
        )
        raise InputError(source, [fault])
    elif open_cells and not evidence:
        raise InputError(source, [_open(open_cells[0], len(open_cells))])
    chosen = stated or next(iter(evidence), None) or _SIGNS[0]
    return {cell: _all_plain(text, chosen) for cell, (text, _, _) in texts.items()}


def _open(cell: Cell, count: int) -> Fault:
    figure = next(one for one in _FIGURE.findall(cell.text) if _could_be_thousands(one))
    readings = " or ".join(cell.text.replace(figure, _plain(figure, sign)) for sign in _SIGNS)
    more = f", and {count - 1} more" if count > 1 else ""
    return Fault(
        f"is this {readings}: a decimal sign, or one between thousands{more}",
        key=cell.place,
        read=cell.text,
        valid="--decimal . or --decimal , for the whole file, or no sign between thousands",
    )


def _decimal_sign(figure: str) -> Sign | None:
    """Return the decimal sign that a figure cannot be read without, None where it has none or may be read both ways."""
    signs = [mark for mark in figure if mark in _SIGNS]
    if not signs:
        return None
    last: Sign = "." if signs[-1] == "." else ","
    other: Sign = "," if last == "." else "."
    if len(set(signs)) == 2:
        return last
    if len(signs) > 1:
        return other
    before, after = figure.split(last)
    return None if len(after) == 3 and 1 <= len(before) <= 3 and before != "0" else last


def _could_be_thousands(figure: str) -> bool:
    return any(mark in figure for mark in _SIGNS)


def _by_size(text: str, figure: str, kind: str, unit: str | None) -> Sign | None:
    """Return the sign of a figure that would be larger than any boat if the sign stood between thousands."""
    thousands = text.replace(figure, figure.replace(".", "").replace(",", ""))
    try:
        value, _ = read_quantity(thousands, kind, unit)
    except QuantityError:
        return None
    if abs(value) <= (_LONGEST if kind == "length" else _STEEPEST):
        return None
    return "." if "." in figure else ","


def _all_plain(text: str, sign: Sign) -> str:
    return _FIGURE.sub(lambda found: _plain(found.group(), sign), text)


def _plain(figure: str, sign: Sign) -> str:
    """Return a figure with a decimal point, as it is where the other sign does not stand between thousands."""
    between = "," if sign == "." else "."
    whole, _, decimals = figure.partition(sign)
    first, *groups = whole.split(between)
    if between in decimals or any(len(group) != 3 for group in groups) or (groups and not 1 <= len(first) <= 3):
        return figure
    joined = first + "".join(groups)
    return f"{joined}.{decimals}" if decimals else joined
