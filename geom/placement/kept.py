"""What of a placed boat stays where a few of its values are changed, so that only the rest is placed again."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat, Run
from geom.placement.eyes import RunEyes
from geom.placement.heights import HoleHeight, SpanHeight
from geom.placement.holes import Drilling
from geom.placement.place import PlacedPost, PlacedRun
from geom.placement.placed import LineInHole, Placed
from geom.placement.stack import Stack


@dataclass(frozen=True)
class Kept:
    """What of a placed boat stays where some values are changed, by id."""

    posts: dict[str, PlacedPost]
    runs: dict[str, PlacedRun]
    drillings: dict[str, Drilling]
    hole_heights: dict[str, HoleHeight]
    span_heights: dict[str, tuple[SpanHeight, ...]]
    eyes: dict[str, RunEyes]
    stacks: dict[str, Stack]
    lines_in_holes: dict[str, LineInHole]

    def lines(self, run: PlacedRun) -> list[LineInHole]:
        """Return the line of a run in its holes, nothing where one of them is changed."""
        found = [self.lines_in_holes.get(passage.hole.id) for passage in run.passages]
        return [] if None in found else [one for one in found if one is not None]


# What a placed boat does not depend on as a whole, but by its single posts, eyes and runs.
ONE_BY_ONE = ("posts", "eyes", "runs", "gates", "tapes")


def kept_of(boat: Boat, before: Placed | None) -> Kept:
    """Return what stays of a boat that is placed already: what has the same values, and nothing changed beside it.

    Args:
        boat: the boat with other values.
        before: the boat as it was placed, None for none.
    """
    if before is None or not same_beside(boat, before.boat):
        return Kept({}, {}, {}, {}, {}, {}, {}, {})
    old = before.boat
    were, stated = {post.id: post for post in old.posts}, {id(run) for run in boat.runs} & {id(run) for run in old.runs}
    # The edges of a hole depend on the line through it.
    other = {post for run in (*boat.runs, *old.runs) if id(run) not in stated for post in posts_of(run)}
    posts = {
        post.id: before.posts[post.id]
        for post in boat.posts
        if were.get(post.id) is post and post.id not in other
    }  # fmt: skip
    runs = {}
    if boat.eyes is old.eyes and [run.id for run in boat.runs] == [run.id for run in old.runs]:
        for run, was in zip(boat.runs, old.runs, strict=True):
            if run is was and posts_of(run) <= posts.keys():
                runs[run.id] = before.runs[run.id]
    changed = {post for run in (*boat.runs, *old.runs) if run.id not in runs for post in posts_of(run)}
    held = {hole.id for post in posts.values() for hole in post.holes}
    still = {hole.id for post in posts.values() if post.id not in changed for hole in post.holes}
    return Kept(
        posts=posts,
        runs=runs,
        drillings={name: one for name, one in before.drillings.items() if name in still},
        hole_heights={name: one for name, one in before.hole_heights.items() if name in held},
        span_heights={name: one for name, one in before.span_heights.items() if name in runs},
        eyes={name: one for name, one in before.eyes.items() if name in runs},
        stacks={name: one for name, one in before.stacks.items() if name in runs},
        lines_in_holes={name: one for name, one in before.lines_in_holes.items() if name in still and one.run in runs},
    )


def posts_of(run: Run) -> set[str]:
    """Return the posts that a run touches, those at its ends included."""
    return {post for post in (run.start.post, *run.through, run.finish.post) if post is not None}


def same_beside(boat: Boat, old: Boat) -> bool:
    """Return whether two boats are the same beside their posts, eyes, runs and gates: every part is the same object."""
    return all(getattr(boat, name) is getattr(old, name) for name in Boat.model_fields if name not in ONE_BY_ONE)
