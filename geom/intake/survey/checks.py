"""Checks of a survey before it is solved: consistent names, and triangles of tapes that cannot close."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from geom.errors import Fault, InputError
from geom.intake.survey.readings import LeanReading, Survey, TapeReading

# Permitted misclosure of a loop, in standard deviations.
_MAX_MISCLOSURE = 4.0


@dataclass(frozen=True)
class BrokenLoop:
    """Three tapes of which the longest is longer than the other two together."""

    tapes: tuple[TapeReading, TapeReading, TapeReading]
    message: str


def check_survey(survey: Survey) -> None:
    """Check that the names and values of a survey are consistent.

    Raises:
        InputError: a duplicate point, an unknown name, a tape from a point to itself, an impossible value.
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
                faults.append(Fault("a tape reading must be greater than zero", key=reading.label, line=reading.line))
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
    """Return the triangles of tapes that violate the triangle inequality."""
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
                longest, second_tape, third_tape = sorted(trio, key=lambda tape: -tape.value)
                excess = longest.value - second_tape.value - third_tape.value
                if excess > _MAX_MISCLOSURE * math.sqrt(math.fsum(tape.sigma**2 for tape in trio)):
                    loops.append(
                        BrokenLoop(
                            (longest, second_tape, third_tape),
                            f"a loop that cannot close: {longest.label} is {excess:.0f} mm longer than "
                            f"{second_tape.label} and {third_tape.label} together",
                        )
                    )
    return tuple(loops)
