"""The short form of a survey: a line of readings for each post or rail, as on the printed form, or a table of them.

S3  out 1497, staff foot 1418, staff U 801, stem 5993, mast U 2497, foot-U 614, S4 U-U 720, lean 3.3
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from geom.boat.faults import closest
from geom.boat.model import Level
from geom.errors import Fault
from geom.intake.survey.closure import foot_name
from geom.intake.survey.readings import LeanReading, LevelReading, PostFacts, Reading, SquareReading, TapeReading
from geom.units import QuantityError, read_quantity

_FOOT = "foot"
_ANGLES: Mapping[str, Literal["lean", "rake"]] = {"lean": "lean", "rake": "rake"}
_SQUARE: Mapping[str, Literal["x", "y"]] = {"out": "y", "aft": "x"}
# Words for a diameter, the one of the form first.
DIAMETER = ("\u00d8", "dia")
# What stands on a form where nothing was read.
NOTHING_READ = ("-", "\u2013", "\u2014")
_ENTRY = re.compile(r"(?P<what>.*?)\s*(?P<number>[-+]?[0-9.][0-9./ ]*(?:\s*[A-Za-z\"']+)?)\s*")
EXAMPLES = "lean 3.3, out 1497, staff U 801, stem 5993, mast U 2497, foot-U 614, S4 U-U 720, top 632, \u00d8 U 12.7"


@dataclass(frozen=True)
class Entry:
    """One reading as typed: what it belongs to, what was read, the number; where it stands, for messages."""

    side: Literal["S", "P"]
    subject: str
    what: str
    number: str
    place: str
    line: int | None = None


@dataclass(frozen=True)
class Names:
    """The names of a survey that entries refer to: marks, posts with their levels, eyes; the level line of the staff.

    `sign` is -1 where the staff is read down from the line.
    """

    marks: Sequence[str]
    posts: Mapping[str, Sequence[Level]]
    eyes: Sequence[str]
    staff_line: str | None
    sign: float = -1.0


def entries_of(text: str, side: Literal["S", "P"], first_line: int | None) -> tuple[list[Entry], list[Fault]]:
    """Return the entries of a side's lines, and the faults of lines that are none; a dash is nothing read.

    Args:
        text: a line for each post or rail; a post may have several.
        side: of the boat.
        first_line: number of the first line in its file.
    """
    entries, faults = [], []
    for offset, row in enumerate(text.splitlines()):
        line = None if first_line is None else first_line + offset
        subject, _, rest = row.split("#")[0].strip().partition(" ")
        for part in filter(None, (one.strip() for one in rest.split(","))):
            if part.endswith(NOTHING_READ):
                continue
            found = _ENTRY.fullmatch(part)
            if found is None or not found.group("what"):
                message = "not a reading and its number"
                faults.append(Fault(message, key=subject, line=line, read=part, valid=EXAMPLES))
            else:
                what = " ".join(found.group("what").split())
                entries.append(Entry(side, subject, what, found.group("number").strip(), subject, line))
        if subject and not rest.strip():
            faults.append(Fault("no reading", key=subject, line=line, valid=EXAMPLES))
    return entries, faults


class ShortForm:
    """Turns entries into readings and facts, and collects what cannot be read."""

    def __init__(self, names: Names, bare: Mapping[str, str], sigmas: Mapping[str, float | None]) -> None:
        self.names = names
        self.bare = bare
        self.sigmas = sigmas
        self.faults: list[Fault] = []
        self.facts: dict[str, PostFacts] = {}

    def readings(self, entries: Sequence[Entry]) -> Iterator[Reading]:
        """Yield the readings of entries; what is none of the survey goes to `facts`."""
        for entry in entries:
            try:
                reading = self._reading(entry)
            except QuantityError as error:
                self.faults.append(
                    Fault(str(error), key=f"{entry.place}, {entry.what}", line=entry.line, read=entry.number,
                          valid=error.valid)
                )  # fmt: skip
                continue
            if reading is not None:
                yield reading

    def _reading(self, entry: Entry) -> Reading | None:
        what, line = entry.what, entry.line
        post = f"{entry.side}-{entry.subject}"
        if post in self.names.posts:
            if what in _ANGLES:
                return LeanReading(
                    post, _ANGLES[what], self._value(entry, "angle"), self._sigma("lean"), entry.number, line
                )
            if what in _SQUARE:
                sign = -1.0 if what == "out" and entry.side == "P" else 1.0
                value = sign * self._value(entry, "length")
                sigma = self._sigma("square")
                return SquareReading(foot_name(post), _SQUARE[what], value, sigma, entry.number, line, sign)
            if self._is_fact(entry, post):
                return None
        first, _, rest = what.partition(" ")
        if first == "staff":
            if self.names.staff_line is None:
                raise QuantityError("a staff reading, and no level line", "levels: [{line: laser, read: below}]")
            value = self.names.sign * self._value(entry, "length")
            point = self._point(entry, entry.subject, rest)
            return LevelReading(
                self.names.staff_line, point, value, self._sigma("level"), entry.number, line, self.names.sign
            )
        return TapeReading(*self._ends(entry), self._value(entry, "length"), self._sigma("tape"), entry.number, line)

    def _ends(self, entry: Entry) -> tuple[str, str]:
        """Return the ends of a tape: `foot-U`, `stem`, `mast U`, `S4 U-U`."""
        first, _, rest = entry.what.partition(" ")
        mark = self._mark(first)
        if mark is not None:
            return mark, self._point(entry, entry.subject, rest)
        other, pair = (entry.subject, first) if not rest else (first, rest)
        near, dash, far = pair.partition("-")
        if not dash:
            raise QuantityError(f"'{entry.what}' is nothing that is read here", EXAMPLES)
        return self._point(entry, entry.subject, near), self._point(entry, other, far)

    def _mark(self, word: str) -> str | None:
        """Return the mark that a word names: its whole name, or its first word where only one begins with it."""
        begin = [mark for mark in self.names.marks if mark == word or mark.split()[0] == word]
        return begin[0] if len(begin) == 1 else None

    def _point(self, entry: Entry, subject: str, where: str) -> str:
        """Return the point of a post or a rail: its foot where nothing is said, else a level."""
        # A name of the other side is written out: `P-S3 foot-foot`.
        post = subject if subject[:2] in ("S-", "P-") else f"{entry.side}-{subject}"
        if post in self.names.posts:
            if where in ("", _FOOT):
                return foot_name(post)
            if where in self.names.posts[post]:
                return f"{post}-{where}"
            raise QuantityError(f"{post} has no '{where}'", ", ".join((_FOOT, *self.names.posts[post])))
        if f"{post}-{where}" in self.names.eyes:
            return f"{post}-{where}"
        known = [*self.names.posts, *self.names.eyes]
        raise QuantityError(f"'{f'{post} {where}'.strip()}' is no post or eye of the survey", closest(post, known))

    def _is_fact(self, entry: Entry, post: str) -> bool:
        facts = self.facts.get(post, PostFacts())
        first, _, level = entry.what.partition(" ")
        if first in DIAMETER:
            levels = [one for one in self.names.posts[post] if one == level]
            if not levels:
                raise QuantityError(f"{post} has no '{level}'", ", ".join(self.names.posts[post]))
            facts = replace(facts, diameters={**facts.diameters, levels[0]: self._value(entry, "length")})
        elif entry.what == "top":
            facts = replace(facts, top=self._value(entry, "length"))
        elif entry.what == "deck aft":
            facts = replace(facts, falls_aft=self._value(entry, "angle"))
        elif entry.what == "deck out":
            facts = replace(facts, falls_outboard=self._value(entry, "angle"))
        else:
            return False
        self.facts[post] = facts
        return True

    def _value(self, entry: Entry, kind: str) -> float:
        return read_quantity(entry.number, kind, self.bare.get(kind))[0]

    def _sigma(self, kind: str) -> float:
        sigma = self.sigmas.get(kind)
        if sigma is None:
            raise QuantityError("a reading without uncertainty", f"uncertainty: {{{kind}: ...}} for all")
        return sigma
