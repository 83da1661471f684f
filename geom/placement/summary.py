"""Results of one post, one hole and one span, for export."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from geom.boat.model import LEVELS, Level
from geom.frozen import frozen
from geom.placement.eyes import EyeVerdict
from geom.placement.heights import HoleHeight
from geom.placement.holes import Drilling
from geom.placement.place import PlacedHole, PlacedPost, PlacedRun
from geom.placement.placed import LineInHole, Placed
from geom.units import Mm


@frozen
class HoleSummary:
    """One hole: its post, heights, drilling axis, the line in it and the verdict of the leading end.

    `line` and `eye` are None where no run passes through.
    """

    post: PlacedPost
    hole: PlacedHole
    height: HoleHeight
    drilling: Drilling
    line: LineInHole | None
    eye: EyeVerdict | None

    @property
    def direction(self) -> Literal["stated", "unknown"]:
        """Whether the boat file states the direction of the hole, measured or planned."""
        return "unknown" if self.hole.measured is None else "stated"


@frozen
class PostSummary:
    """One post with its holes by level, None where it has none."""

    post: PlacedPost
    upper: HoleSummary | None
    middle: HoleSummary | None
    lower_middle: HoleSummary | None
    lower: HoleSummary | None

    def hole(self, level: Level) -> HoleSummary | None:
        """Return the hole at a level."""
        return {"U": self.upper, "M": self.middle, "LM": self.lower_middle, "L": self.lower}[level]

    @property
    def opening(self) -> Mm | None:
        """The largest vertical opening between neighbouring holes [mm]; None where the post has only one."""
        heights = [one.hole.centre[2] for one in map(self.hole, LEVELS) if one is not None]
        return max((above - below for above, below in pairwise(heights)), default=None)


@frozen
class SpanSummary:
    """One span: its number along the run from 1, its supports, its true length and its lowest point [mm].

    Height above the deck edge and station of the lowest point are None where the edge was not surveyed that far.
    """

    run: str
    number: int
    from_: str
    to: str
    length: Mm
    lowest_above_edge: Mm | None
    lowest_at_x: Mm | None


def hole_summary(placed: Placed, post: PlacedPost, hole: PlacedHole) -> HoleSummary:
    """Return the results of a hole.

    Args:
        placed: the boat in space.
        post: the placed post.
        hole: its hole.
    """
    line = placed.lines_in_holes.get(hole.id)
    return HoleSummary(
        post=post,
        hole=hole,
        height=placed.hole_heights[hole.id],
        drilling=placed.drillings[hole.id],
        line=line,
        eye=None if line is None else placed.eye(hole.id),
    )


def post_summary(placed: Placed, post: PlacedPost) -> PostSummary:
    """Return the results of a post."""

    def of(level: Level) -> HoleSummary | None:
        hole = post.hole(level)
        return None if hole is None else hole_summary(placed, post, hole)

    return PostSummary(post, upper=of("U"), middle=of("M"), lower_middle=of("LM"), lower=of("L"))


def span_summaries(placed: Placed, run: PlacedRun) -> tuple[SpanSummary, ...]:
    """Return the spans of a run, from its forward end aft."""
    return tuple(
        SpanSummary(
            run=run.id,
            number=index + 1,
            from_=run.names[index],
            to=run.names[index + 1],
            length=length,
            lowest_above_edge=low.lowest,
            lowest_at_x=low.at_x,
        )
        for index, (length, low) in enumerate(zip(run.spans, placed.span_heights[run.id], strict=True))
    )
