"""A quick quote from five readings a stanchion: chord by chord, before any boat file exists. It releases nothing.

Of each support from forward to aft, rails at either end included: how far aft of the stem, how far from the centreline,
the height of the deck above the level line, and the heights of the upper and lower line above the deck.
Source: common practice, no source; what a line is ordered longer than its path is in data/splice_practice.csv.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from geom.boat.quantity import Scalar
from geom.errors import Fault, InputError
from geom.intake.tables.grid import Grid, read_csv
from geom.paperwork.quote.costs import BillLine, Quotation, operation_line, purchase_line, quotation_of
from geom.paperwork.quote.quantities import Quantity
from geom.paperwork.rates import Operation, Rates
from geom.remark import Remark
from geom.rigging.splice import practice
from geom.units import Mm, QuantityError, read_quantity
from geom.vec import Vec, distance

HEADINGS = ("POST", "AFT", "OUT", "DECK", "UPPER", "LOWER")
_SIDES = {"S": 1.0, "P": -1.0}
_MIN_SUPPORTS = 2
Line = Literal["U", "L"]


@dataclass(frozen=True)
class Support:
    """One support and its readings [mm]; `lower` is None where there is no lower line."""

    name: str
    aft: Mm
    out: Mm
    deck: Mm
    upper: Mm
    lower: Mm | None

    @property
    def side(self) -> str:
        """The letter of its side."""
        return self.name[0]

    def point(self, line: Line) -> Vec | None:
        """Return where a line is held, in boat axes [mm]; None where it has no such line."""
        up = self.upper if line == "U" else self.lower
        return None if up is None else (self.aft, _SIDES[self.side] * self.out, self.deck + up)


@dataclass(frozen=True)
class RoughLine:
    """One line from rail to rail: its id, its points, its length along the chords [mm]."""

    name: str
    points: tuple[Vec, ...]

    @property
    def path(self) -> Mm:
        """Length along the chords [mm]."""
        return math.fsum(distance(a, b) for a, b in pairwise(self.points))

    @property
    def ordered(self) -> Mm:
        """Length to order [mm]: the path and what both splices and their tails take."""
        return self.path + practice("order_allowance")


def read_supports(data: bytes, source: str, unit: str) -> tuple[Support, ...]:
    """Return the readings of a table, in the order of its rows.

    Args:
        data: the bytes of the CSV file.
        source: its name, for messages.
        unit: of bare readings, mm or in.

    Raises:
        InputError: other headings, a reading that is no length or not where a support can be, a support given twice,
            a side with fewer than two supports, none at all.
    """
    grid = read_csv(data, source, "readings")
    if not grid.rows or tuple(cell.text.upper() for cell in grid.rows[0][: len(HEADINGS)]) != HEADINGS:
        read = ", ".join(cell.text for cell in grid.rows[0]) if grid.rows else "nothing"
        raise InputError(source, [Fault("not the headings of five readings", "", 1, read, ", ".join(HEADINGS))])
    faults: list[Fault] = []
    found = tuple(_supports(grid, unit, faults))
    # A row that is refused is not missing.
    for side in () if faults else _SIDES:
        count = sum(one.side == side for one in found)
        if 0 < count < _MIN_SUPPORTS or not found:
            faults.append(Fault("too few supports", side, read=str(count), valid="two at least on a side"))
    if faults:
        raise InputError(source, faults)
    return found


def _supports(grid: Grid, unit: str, faults: list[Fault]) -> Iterator[Support]:
    lines: dict[str, int] = {}
    for row in grid.rows[1:]:
        line, texts = row[0].row, [cell.text for cell in row] + [""] * len(HEADINGS)
        name = texts[0]
        if name[:2] not in ("S-", "P-"):
            faults.append(Fault("not the name of a support", "POST", line, name, "side and name: S-PULPIT, P-S2"))
            continue
        if lines.setdefault(name, line) != line:
            valid = f"one row; line {lines[name]} has it"
            faults.append(Fault("this support is given twice", "POST", line, name, valid))
        values: list[float | None] = []
        for heading, text in zip(HEADINGS[1:], texts[1:], strict=False):
            if not text and heading == "LOWER":
                values.append(None)
                continue
            try:
                values.append(read_quantity(Scalar(text, line), "length", unit)[0])
            except QuantityError as error:
                faults.append(Fault(str(error), f"{name} {heading}", line, text, error.valid))
        if len(values) == len(HEADINGS) - 1:
            impossible = [
                Fault(message, f"{name} {heading}", line, texts[HEADINGS.index(heading)], valid)
                for heading, message, valid in _impossible(values)
            ]
            faults += impossible
            aft, out, deck, upper, lower = values
            if not impossible:
                yield Support(name, aft or 0.0, out or 0.0, deck or 0.0, upper or 0.0, lower)


def _impossible(values: list[float | None]) -> Iterator[tuple[str, str, str]]:
    """Yield heading, fault and what is valid of readings that no support has; the deck alone may be below its line."""
    aft, out, _, upper, lower = (value or 0.0 for value in values)
    if aft < 0.0:
        yield "AFT", "forward of the stem", "how far aft of the stem, zero or more"
    if out < 0.0:
        yield "OUT", "a distance from the centreline has no sign", "zero or more; the name says the side, S- or P-"
    if upper <= 0.0:
        yield "UPPER", "the line is not above the deck", "its height above the deck, more than zero"
    if values[-1] is not None and lower <= 0.0:
        yield "LOWER", "the line is not above the deck", "its height above the deck, or empty where there is none"
    elif values[-1] is not None and 0.0 < upper < lower:
        yield "LOWER", "the lower line is above the upper one", "UPPER at the most"


def rough_lines(supports: tuple[Support, ...]) -> tuple[RoughLine, ...]:
    """Return the lines of each side: the upper one, and the lower one where every support has it."""
    found = []
    levels: tuple[Line, ...] = ("U", "L")
    for side in _SIDES:
        own = sorted((one for one in supports if one.side == side), key=lambda one: one.aft)
        for level in levels:
            points = [one.point(level) for one in own]
            if own and None not in points:
                found.append(RoughLine(f"{side}-F-{level}", tuple(point for point in points if point is not None)))
    return tuple(found)


def estimate(supports: tuple[Support, ...], line: str, rates: Rates, source: str) -> Quotation:
    """Return a quick quote: line, splices, holes, stanchions surveyed, lines set, journeys, at the rates of a yard.

    Args:
        supports: the readings.
        line: the word of the line among the materials of the rates.
        rates: of the yard.
        source: name of the rate file, for messages.

    Raises:
        InputError: the rate of the line is not by length.
    """
    lines = rough_lines(supports)
    names = tuple(one.name for one in lines)
    whole = math.fsum(one.ordered for one in lines)
    low = math.fsum(one.path for one in lines)
    rope = Quantity(line, Remark("quote.line"), names, "length", (low, whole, whole))
    posts = tuple(one.name for one in supports)
    counted: dict[Operation, tuple[str, ...]] = {
        "splice": tuple(f"{name} {end}" for name in names for end in ("forward", "after")),
        "hole": tuple(f"{one.name} {number}" for one in lines for number in range(1, len(one.points) - 1)),
        "survey": posts,
        "tensioning": names,
    }
    found: list[BillLine] = [purchase_line("materials", rope, rates.materials.get(line), rates, None, source)]
    found += [operation_line(operation, places, rates) for operation, places in counted.items() if places]
    if rates.visits is not None:
        found.append(operation_line("travel", (), rates))
    return quotation_of(found, rates)
