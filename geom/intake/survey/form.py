"""The readings of a survey, in the words of the short form: printed on the form, and in the blank survey file."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from geom.boat.model import LEVELS, Level, Side
from geom.intake.survey.closure import foot_name
from geom.intake.survey.short import DIAMETER

Pair = tuple[str, str]
SIDES: tuple[Side, Side] = ("S", "P")
LEVELS_OF: dict[int, tuple[Level, ...]] = {1: ("U",), 2: ("U", "L"), 3: ("U", "M", "L"), 4: tuple(LEVELS)}
RAILS = ("PULPIT", "PUSHPIT")
MARKS = ("stem", "mast mark", "stern mark")
# Tapes between the marks on the centreline, on which everything else depends.
BASELINE: tuple[Pair, ...] = (MARKS[:2], MARKS[1:], (MARKS[0], MARKS[2]))


def post_name(side: Side, number: int) -> str:
    """Return the id of a post by its number from forward."""
    return f"{side}-S{number}"


def readings_of_post(levels: Sequence[Level]) -> tuple[tuple[str, ...], ...]:
    """Return what is read of a post, a row for each tool in hand: every hole is read three times over.

    Args:
        levels: of its holes, from the top down.
    """
    sizes = tuple(f"{DIAMETER[0]} {level}" for level in levels)
    return (
        ("out", "staff foot", *(f"staff {level}" for level in levels), "lean", "rake"),
        ("stem", "mast", "stern", *(f"mast {level}" for level in levels), f"stern {levels[0]}"),
        (*(f"foot-{level}" for level in levels), *(f"{a}-{b}" for a, b in pairwise(levels)), "top"),
        (*sizes, "deck aft", "deck out"),
    )


def readings_of_rail(level: Level, below: Level | None) -> tuple[str, ...]:
    """Return what is read of an eye on a rail, with the tape to the one below it."""
    return (
        f"staff {level}",
        f"stem {level}",
        f"mast {level}",
        f"stern {level}",
        *((f"{below}-{level}",) if below else ()),
    )


def tapes_along(side: Side, posts: int, level: Level) -> tuple[Pair, ...]:
    """Return the tapes along a line of a side, from hole to hole.

    Args:
        side: of the boat.
        posts: number of posts.
        level: of the line.
    """
    holes = (f"{post_name(side, number)}-{level}" for number in range(1, posts + 1))
    return tuple(pairwise((f"{side}-{RAILS[0]}-{level}", *holes, f"{side}-{RAILS[1]}-{level}")))


def tapes_to_rails(side: Side, posts: int, levels: Sequence[Level]) -> tuple[Pair, ...]:
    """Return the tapes from the eyes of a rail to the foot of the nearest post, which check their heights.

    Args:
        side: of the boat.
        posts: number of posts.
        levels: of the lines.
    """
    nearest = zip(RAILS, (1, posts), strict=True)
    return tuple(
        (f"{side}-{rail}-{level}", foot_name(post_name(side, number))) for rail, number in nearest for level in levels
    )


def tapes_across(posts: int, levels: Sequence[Level]) -> tuple[Pair, ...]:
    """Return the tapes from side to side: between upper holes, and between all eyes of a rail.

    Args:
        posts: number of posts.
        levels: of the lines, from the top down.
    """
    holes = tuple(f"S{number}-{levels[0]}" for number in range(1, posts + 1))
    forward, aft = (tuple(f"{rail}-{level}" for level in levels) for rail in RAILS)
    return tuple((f"S-{name}", f"P-{name}") for name in (*forward, *holes, *aft))


def diagonals(posts: int) -> tuple[Pair, ...]:
    """Return the tapes from each foot to the next one on the other side."""
    return tuple(
        (foot_name(post_name(here, near)), foot_name(post_name(there, far)))
        for near, far in pairwise(range(1, posts + 1))
        for here, there in (SIDES, SIDES[::-1])
    )


def tape_words(start: str, end: str) -> tuple[str, str]:
    """Return the post or rail that a tape is noted at, and its words there: `S-S1`, `S2 U-U`."""
    (here, near), (there, far) = start.rsplit("-", 1), end.rsplit("-", 1)
    other = there if here[0] != there[0] else there[2:]
    return here, f"{other} {_word(near)}-{_word(far)}"


def _word(point: str) -> str:
    return "foot" if point == "FOOT" else point
