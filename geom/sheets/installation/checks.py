"""Checks of posts after fabrication: lengths between neighbours and across, offsets from plumb, with tolerances."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from geom import vec
from geom.boat.model import Side
from geom.drafting.columns import ColumnTable, cell, table_of
from geom.drafting.post_text import length
from geom.figure import Cell
from geom.placement.fabrication import shop_limits
from geom.placement.place import PlacedPost, side_sign
from geom.refit import Refit
from geom.sheets.installation import text as wording
from geom.tables import numbers
from geom.vec import Vec

_KINDS = ("uu", "ll", "ul", "lu")
LETTERS = "abcd"


@dataclass(frozen=True)
class Mark:
    """A measuring point: a hole's centre, or the foot of a post with a single hole; `along` is from the foot [mm]."""

    name: str
    at: Vec
    along: float
    post: PlacedPost


@dataclass(frozen=True)
class Check:
    """A length between two measuring points."""

    start: Mark
    end: Mark

    @property
    def length(self) -> float:
        """The true length [mm]."""
        return vec.distance(self.start.at, self.end.at)

    @property
    def faces(self) -> float:
        """The length between the near faces of both tubes, abreast of the measuring points [mm]."""
        return vec.distance(_near_face(self.start, self.end.at), _near_face(self.end, self.start.at))

    @property
    def limit(self) -> float:
        """Largest change of the length from the tolerance of tube to plate at both posts [mm]."""
        return (self.start.along + self.end.along) * math.tan(shop_limits().tube_to_plate)


@dataclass(frozen=True)
class Pair:
    """Two posts measured from one to the other, with their number in drawing and table."""

    number: int
    a: PlacedPost
    b: PlacedPost

    @property
    def checks(self) -> tuple[Check, Check, Check, Check]:
        """Upper to upper, lower to lower and the two diagonals."""
        (a_up, a_low), (b_up, b_low) = upper_and_lower(self.a), upper_and_lower(self.b)
        return (Check(a_up, b_up), Check(a_low, b_low), Check(a_up, b_low), Check(a_low, b_up))


def _near_face(mark: Mark, other: Vec) -> Vec:
    """Return the point of a tube's surface abreast of a mark, on the side of another point."""
    towards = vec.square_to(vec.sub(other, mark.at), mark.post.axis)
    return vec.along(mark.at, vec.unit(towards), 0.5 * mark.post.tube_od)


def upper_and_lower(post: PlacedPost) -> tuple[Mark, Mark]:
    """Return the highest and the lowest hole of a post, or the foot for the latter where there is one hole only."""
    holes = sorted(post.holes, key=lambda hole: hole.centre[2])
    marks = [Mark(hole.id, hole.centre, hole.along, post) for hole in holes]
    low = Mark(wording.FOOT.format(post=post.id), post.foot, 0.0, post) if len(marks) == 1 else marks[0]
    return marks[-1], low


def neighbours(refit: Refit, side: Side, first: int = 1) -> tuple[Pair, ...]:
    """Return each post of a side with the next one aft, as numbered pairs.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        first: first number.
    """
    posts = [post for post in refit.placed.posts.values() if post.side == side]
    pairs = pairwise(sorted(posts, key=lambda post: post.foot[0]))
    return tuple(Pair(number, a, b) for number, (a, b) in enumerate(pairs, start=first))


def opposites(refit: Refit, first: int = 1) -> tuple[Pair, ...]:
    """Return each starboard post with the port post of the same name, as pairs numbered from a first number."""
    posts = refit.placed.posts
    twins = [
        (post, posts[f"P{name[1:]}"]) for name, post in posts.items() if name[0] == "S" and f"P{name[1:]}" in posts
    ]
    return tuple(Pair(number, a, b) for number, (a, b) in enumerate(twins, start=first))


def single_holed(pairs: Sequence[Pair]) -> bool:
    """Return whether any post of the pairs has a single hole, so that its foot is a measuring point."""
    return any(len(post.holes) == 1 for pair in pairs for post in (pair.a, pair.b))


def checks_table(refit: Refit, what: str, pairs: Sequence[Pair], key: str) -> ColumnTable:
    """Return a row for each length, with a blank for the length as made.

    Args:
        refit: the boat as calculated.
        what: the pairs, for the title.
        pairs: the pairs.
        key: of the table, for ids.
    """
    fmt = numbers(refit.boat)
    rows = []
    for pair in pairs:
        for letter, kind, check in zip(LETTERS, _KINDS, pair.checks, strict=True):
            tag = f"fixture:{key}:{pair.a.id}:{pair.b.id}:{kind}"
            rows.append((
                cell(f"{pair.number}{letter}", f"{tag}:number", "left"),
                cell(check.start.name, f"{tag}:from", "left"),
                cell(check.end.name, f"{tag}:to", "left"),
                cell(length(check.length, fmt), tag),
                cell(length(check.faces, fmt), f"{tag}:faces"),
                cell(length(check.limit, fmt) if check.limit else wording.NOT_MOVED, f"{tag}:limit"),
                cell(""),
            ))  # fmt: skip
    table = table_of(wording.CHECKS.format(what=what, unit=fmt.unit), wording.CHECKS_HEAD, rows, f"table:{key}")
    return replace(table, together=len(LETTERS))


def plumb_table(refit: Refit) -> ColumnTable:
    """Return a row for each hole: offsets outboard, aft and above the foot, each with its tolerance."""
    fmt, limits = numbers(refit.boat), shop_limits()
    rows: list[tuple[Cell, ...]] = []
    for post, hole in refit.placed.holes():
        away = vec.sub(hole.centre, post.foot)
        out = side_sign(post.side) * away[1]
        tag = f"plumb:{hole.id}"
        off = hole.along * math.tan(limits.tube_to_plate)
        rise = hole.along * (math.cos(post.tilt) - math.cos(post.tilt + limits.tube_to_plate)) + limits.hole_position
        inboard, forward = wording.INBOARD if out < 0.0 else "{value}", wording.FORWARD if away[0] < 0.0 else "{value}"
        rows.append((
            cell(hole.id, f"{tag}:hole", "left"),
            cell(_signed(length(abs(out), fmt), inboard), f"{tag}:out"), cell(""),
            cell(_signed(length(abs(away[0]), fmt), forward), f"{tag}:aft"), cell(""),
            cell(length(off, fmt), f"{tag}:limit"),
            cell(length(away[2], fmt), f"{tag}:height"), cell(""),
            cell(length(rise, fmt), f"{tag}:height-limit"),
        ))  # fmt: skip
    return table_of(wording.PLUMB_TABLE.format(unit=fmt.unit), wording.PLUMB_HEAD, rows, "table:plumb")


def _signed(text: str, template: str) -> str:
    """Return a size with the word of its direction, without the word where the size is printed as zero."""
    return text if float(text) == 0.0 else template.format(value=text)
