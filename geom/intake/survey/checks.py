"""What can be seen of a survey before it is solved: names that fit together, loops of tapes that cannot close."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from geom.errors import Fault, InputError
from geom.intake.survey.readings import LeanReading, Survey, TapeReading

# How many standard deviations a loop may fail to close by chance.
_CHANCE = 4.0


@dataclass(frozen=True)
class BrokenLoop:
    """Three tapes of which the longest is longer than the other two together."""

    tapes: tuple[TapeReading, TapeReading, TapeReading]
    words: str


def check_survey(survey: Survey) -> None:
    """Refuse a survey whose names do not fit together.

    Raises:
        InputError: a point twice, an unknown name, a tape from a point to itself, a value that cannot be.
    """
    faults = []
    names: dict[str, int | None] = {}
    for point in survey.points:
        if point.name in names:
            faults.append(Fault("two points with one name", key=point.name, line=point.line))
        names[point.name] = point.line
    posts = {post.id for post in survey.posts}
    for post in survey.posts:
        faults += [
            Fault("a post on a point that is not listed", key=post.id, read=name)
            for name in (post.foot, *post.holes)
            if name not in names
        ]
    for reading in survey.readings:
        used = _points_of(reading)
        faults += [
            Fault("no such point", key=reading.label, line=reading.line, read=name)
            for name in used
            if name not in names
        ]
        if isinstance(reading, LeanReading) and reading.post not in posts:
            faults.append(Fault("no such post", key=reading.label, line=reading.line, read=reading.post))
        if isinstance(reading, TapeReading):
            if reading.start == reading.end:
                faults.append(Fault("a tape from a point to itself", key=reading.label, line=reading.line))
            if reading.value <= 0.0:
                faults.append(Fault("a tape reads more than nothing", key=reading.label, line=reading.line))
        if not (math.isfinite(reading.value) and reading.sigma > 0.0 and math.isfinite(reading.sigma)):
            faults.append(
                Fault("a reading needs a value and an uncertainty above 0", key=reading.label, line=reading.line)
            )
    if faults:
        raise InputError(survey.source, faults)


def _points_of(reading: object) -> tuple[str, ...]:
    if isinstance(reading, TapeReading):
        return reading.start, reading.end
    point = getattr(reading, "point", None)
    return (point,) if isinstance(point, str) else ()


def broken_loops(survey: Survey) -> tuple[BrokenLoop, ...]:
    """Return the triangles of tapes that no three points can have, whatever their places."""
    tapes: dict[frozenset[str], TapeReading] = {}
    for reading in survey.readings:
        if isinstance(reading, TapeReading):
            tapes.setdefault(frozenset((reading.start, reading.end)), reading)
    neighbours: dict[str, set[str]] = {}
    for pair in tapes:
        first, second = sorted(pair)
        neighbours.setdefault(first, set()).add(second)
        neighbours.setdefault(second, set()).add(first)
    loops = []
    for corner in sorted(neighbours):
        for second, third in combinations(sorted(neighbours[corner]), 2):
            if corner < second and third in neighbours[second]:
                trio = [tapes[frozenset(pair)] for pair in ((corner, second), (second, third), (corner, third))]
                longest, one, other = sorted(trio, key=lambda tape: -tape.value)
                over = longest.value - one.value - other.value
                if over > _CHANCE * math.sqrt(math.fsum(tape.sigma**2 for tape in trio)):
                    loops.append(
                        BrokenLoop(
                            (longest, one, other),
                            f"a loop that cannot close: {longest.label} is {over:.0f} mm longer than "
                            f"{one.label} and {other.label} together",
                        )
                    )
    return tuple(loops)
