"""Further readings that could be taken, and how easily each is taken on deck."""

from __future__ import annotations

import math
from collections.abc import Collection
from typing import TYPE_CHECKING

from geom.intake.survey.network import Network
from geom.intake.survey.readings import LeanReading, LevelReading, Reading, SquareReading, Survey, TapeReading

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# Tapes to this many of the nearest points, beside those to marks on the centreline.
_NEAR_TAPES = 14
# Usual standard deviations of a further reading [mm, rad].
_TAPE, _SQUARE, _LEVEL, _LEAN = 2.0, 5.0, 3.0, math.radians(0.3)


def further_readings(
    network: Network, unknowns: Array, points: Collection[str], posts: Collection[str]
) -> list[Reading]:
    """Return readings that nobody has taken yet, of given points and posts, the easiest first.

    Args:
        network: the unknowns.
        unknowns: their approximate values [mm, rad].
        points: points to which tapes, offsets, stations and heights could be taken.
        posts: posts whose lean and rake could be read.
    """
    survey = network.survey
    places = {point.name: network.locate(point.name, unknowns).at for point in survey.points}
    found: list[Reading] = []
    for name in points:
        others = sorted(
            (other for other in places if other != name),
            key=lambda other: (
                other in points and not _is_mark(survey, other),
                math.dist(places[other], places[name]),
                other,
            ),
        )
        marks = [other for other in others if _is_mark(survey, other)]
        for other in dict.fromkeys((*marks, *others[:_NEAR_TAPES])):
            start, end = (other, name) if _is_mark(survey, other) else sorted((name, other))
            found.append(TapeReading(start, end, 0.0, _TAPE))
    found += [SquareReading(name, way, 0.0, _SQUARE) for name in points for way in ("x", "y")]
    found += [LevelReading(setup, name, 0.0, _LEVEL) for setup in network.level_of for name in points]
    found += [LeanReading(post, way, 0.0, _LEAN) for post in posts for way in ("lean", "rake")]
    taken = {_subject(reading) for reading in survey.readings}
    kept = {_subject(reading): reading for reading in found if _subject(reading) not in taken}
    return sorted(kept.values(), key=lambda reading: effort(survey, reading))


def effort(survey: Survey, reading: Reading) -> int:
    """Return the effort of a reading, from 0: a tape from a mark, along a tube, a height, along a side, the rest.

    Common practice, no source: one person holds a tape at a mark on the centreline; across the boat, coachroof and mast
    stand in the way.
    """
    if isinstance(reading, TapeReading):
        if _is_mark(survey, reading.start) or _is_mark(survey, reading.end):
            return 0
        if any({reading.start, reading.end} <= {post.foot, *post.holes} for post in survey.posts):
            return 1
        same_side = survey.point(reading.start).where == survey.point(reading.end).where
        return 3 if same_side else 6
    if isinstance(reading, LevelReading):
        return 2
    return 4 if isinstance(reading, SquareReading) else 5


def _is_mark(survey: Survey, name: str) -> bool:
    return survey.point(name).where == "centreline"


def _subject(reading: Reading) -> object:
    """Return what a reading is of, the same for a tape read from either end."""
    return frozenset((reading.start, reading.end)) if isinstance(reading, TapeReading) else reading.label
