"""Synthetic surveys of the demonstration boats: true places known, noise and blunders planted by seed."""

from __future__ import annotations

import math
import random
from functools import cache
from itertools import pairwise
from pathlib import Path

from geom import vec
from geom.boat.file import load_boat
from geom.boat.model import Boat
from geom.intake.survey.closure import foot_name, named_points
from geom.intake.survey.readings import (
    Attitude,
    LeanReading,
    LevelReading,
    Reading,
    SquareReading,
    Survey,
    SurveyPoint,
    SurveyPost,
    TapeReading,
)
from geom.vec import Vec

ROOT = Path(__file__).parent.parent
TAPE, LEVEL, SQUARE, LEAN = 2.0, 3.0, 5.0, math.radians(0.3)
# With a steel tape under a steady pull, and a staff read to a millimetre.
GOOD_TAPE, GOOD_LEVEL = 1.0, 1.0


MARKS = ("stem", "mast mark", "stern mark")


@cache
def boat(name: str = "saltwhin-31") -> Boat:
    return load_boat(ROOT / "templates" / "boats" / f"{name}.yaml").boat


def true_places(of: Boat) -> dict[str, Vec]:
    edge = of.edge("S")
    return {
        "stem": (0.0, 0.0, edge[0][2]),
        "mast mark": (0.42 * of.boat.loa, 0.0, edge[0][2] - 130.0),
        "stern mark": (of.boat.loa, 0.0, edge[-1][2]),
        **named_points(of),
    }


def points_and_posts(of: Boat) -> tuple[list[SurveyPoint], list[SurveyPost]]:
    """Return the points of a survey, marks first, the stem's height held, and the posts with their holes."""
    points = [SurveyPoint("stem", "centreline", (0.0, 0.0, of.edge("S")[0][2]))]
    points += [SurveyPoint(name, "centreline", (None, 0.0, None)) for name in MARKS[1:]]
    posts = []
    for post in of.posts:
        holes = tuple(f"{post.id}-{level}" for level in ("L", "M", "U") if level in post.holes)
        points += [SurveyPoint(name, post.side) for name in (foot_name(post.id), *holes)]
        posts.append(SurveyPost(post.id, foot_name(post.id), holes))
    points += [SurveyPoint(eye.id, "S" if eye.id.startswith("S") else "P") for eye in of.eyes]
    return points, posts


def survey_of(of: Boat, rng: random.Random, noise: float = 1.0, attitude: Attitude | None = None) -> Survey:
    """Return a well-covered survey: baseline, feet and holes from three marks, along the lines, across, level, leans.

    Args:
        of: the boat.
        rng: where the noise comes from.
        noise: share of each reading's standard deviation that is put on it.
        attitude: how the boat lay.
    """
    attitude = attitude or Attitude()
    places = true_places(of)
    points, posts = points_and_posts(of)
    taken: list[Reading] = []

    def tape(start: str, end: str) -> None:
        length = vec.distance(places[start], places[end]) + rng.gauss(0.0, noise * TAPE)
        taken.append(TapeReading(start, end, length, TAPE))

    for start, end in (MARKS[:2], MARKS[1:], ("stem", "stern mark")):
        tape(start, end)
    for side in ("S", "P"):
        row = [post for post in of.posts if post.side == side]
        for post in row:
            for mark in MARKS:
                tape(mark, foot_name(post.id))
            for mark in MARKS[1:]:
                tape(mark, f"{post.id}-U")
            for level in post.holes:
                tape(foot_name(post.id), f"{post.id}-{level}")
        for level in row[0].holes:
            chain = [f"{side}-PULPIT-{level}", *(f"{post.id}-{level}" for post in row), f"{side}-PUSHPIT-{level}"]
            for start, end in pairwise(chain):
                tape(start, end)
            for eye in (chain[0], chain[-1]):
                for mark in MARKS:
                    tape(mark, eye)
    for post in of.posts:
        if post.side == "S":
            twin = f"P{post.id[1:]}"
            tape(foot_name(post.id), foot_name(twin))
            tape(f"{post.id}-U", f"{twin}-U")
            tape(f"{post.id}-U", foot_name(twin))
            tape(f"{twin}-U", foot_name(post.id))
        sign = 1.0 if post.side == "S" else -1.0
        lean = post.lean + sign * attitude.heel + rng.gauss(0.0, noise * LEAN)
        rake = post.rake + attitude.trim + rng.gauss(0.0, noise * LEAN)
        taken.append(LeanReading(post.id, "lean", lean, LEAN))
        taken.append(LeanReading(post.id, "rake", rake, LEAN))
        y = places[foot_name(post.id)][1] + rng.gauss(0.0, noise * SQUARE)
        taken.append(SquareReading(foot_name(post.id), "y", y, SQUARE))
    up = vec.unit((-math.tan(attitude.trim), -math.tan(attitude.heel), 1.0))
    for name, at in places.items():
        taken.append(LevelReading("1", name, vec.dot(at, up) - 2000.0 + rng.gauss(0.0, noise * LEVEL), LEVEL))
    return Survey("synthetic survey", tuple(points), tuple(posts), tuple(taken), attitude)


def as_read(length: float, inches: bool = False) -> tuple[float, str]:
    """Return a length as it is read [mm], and as it is written down: to a millimetre, or to a sixteenth of an inch."""
    if not inches:
        return float(round(length)), str(round(length))
    sixteenths = round(length / 25.4 * 16.0)
    whole, part = divmod(sixteenths, 16)
    return sixteenths * 25.4 / 16.0, f"{whole} {part}/16" if part else str(whole)


def thorough_survey(of: Boat, rng: random.Random, inches: bool = False) -> Survey:
    """Return a survey by the starter's plan: every part seen by at least three readings that check each other.

    Tapes and staff are read to a millimetre, or to a sixteenth of an inch.

    Args:
        of: the boat; port and starboard may differ.
        rng: where the noise comes from.
        inches: whether tape and staff are read in inches.
    """
    places = true_places(of)
    # The last digit read is the nearest one: rounding spreads evenly over a step.
    step = 25.4 / 16.0 if inches else 0.0
    tape_sigma, level_sigma = (math.hypot(one, step / math.sqrt(12.0)) for one in (GOOD_TAPE, GOOD_LEVEL))
    points, posts = points_and_posts(of)
    taped: dict[frozenset[str], TapeReading] = {}

    def tape(start: str, end: str) -> None:
        if frozenset((start, end)) not in taped:
            length, text = as_read(vec.distance(places[start], places[end]) + rng.gauss(0.0, GOOD_TAPE), inches)
            taped[frozenset((start, end))] = TapeReading(start, end, length, tape_sigma, text)

    for start, end in (MARKS[:2], MARKS[1:], ("stem", "stern mark")):
        tape(start, end)
    for post in of.posts:
        foot = foot_name(post.id)
        for mark in MARKS:
            tape(mark, foot)
        for level in post.holes:
            for mark in MARKS[1:]:
                tape(mark, f"{post.id}-{level}")
            tape(foot, f"{post.id}-{level}")
        for higher, lower in pairwise(post.holes):
            tape(f"{post.id}-{higher}", f"{post.id}-{lower}")
        across = min(
            (one for one in of.posts if one.side != post.side), key=lambda one: abs(one.foot[0] - post.foot[0])
        )
        for start in (foot, f"{post.id}-U"):
            for end in (foot_name(across.id), f"{across.id}-U"):
                tape(start, end)
    for side in ("S", "P"):
        row = [post for post in of.posts if post.side == side]
        eyes = [eye.id for eye in of.eyes if eye.id.startswith(side)]
        for level in row[0].holes:
            first, *rest = (name for name in eyes if name.endswith(f"-{level}"))
            for start, end in pairwise((first, *(f"{post.id}-{level}" for post in row), *rest)):
                tape(start, end)
        for eye in eyes:
            for mark in MARKS:
                tape(mark, eye)
            tape(eye, foot_name(min(row, key=lambda post: math.dist(post.foot, places[eye])).id))
            for other in of.eyes:
                if other.id != eye and other.id.split("-")[1] == eye.split("-")[1]:
                    tape(eye, other.id)
    taken: list[Reading] = list(taped.values())
    for post in of.posts:
        for way, angle in (("lean", post.lean), ("rake", post.rake)):
            value = round(math.degrees(angle + rng.gauss(0.0, LEAN)), 1)
            taken.append(LeanReading(post.id, way, math.radians(value), LEAN, str(value)))
        out, text = as_read(abs(post.foot[1]) + rng.gauss(0.0, SQUARE), inches)
        sign = 1.0 if post.side == "S" else -1.0
        taken.append(SquareReading(foot_name(post.id), "y", sign * out, SQUARE, text, sign=sign))
    line = max(at[2] for at in places.values()) + 400.0
    for name, at in places.items():
        staff, text = as_read(line - at[2] + rng.gauss(0.0, GOOD_LEVEL), inches)
        taken.append(LevelReading("laser", name, -staff, level_sigma, text, sign=-1.0))
    return Survey("thorough survey", tuple(points), tuple(posts), tuple(taken), Attitude())


def of_readings(deviations) -> list[float]:
    """Return standard deviations without the millimetre within which anybody meets a point."""
    return [math.sqrt(max(one**2 - 1.0, 0.0)) for one in deviations]
