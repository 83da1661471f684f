"""Remedies of the layout: posts between supports too far apart, a second line under a single one."""

from __future__ import annotations

import math
from collections.abc import Iterator
from statistics import mean

from geom.boat.model import Hole, PlannedHole, Post, RailEye, Run, side_of
from geom.boat.post_model import Falls
from geom.open_items.group import some_of
from geom.open_items.item import OpenItem
from geom.open_items.posts import wide_spans
from geom.open_items.remedies import edit
from geom.open_items.remedies.edit import Edit
from geom.open_items.remedies.posts import edge_apart
from geom.open_items.remedies.remedy import Candidate, Part, ids
from geom.placement.heights import edge_z
from geom.placement.kept import posts_of
from geom.refit import Refit
from geom.remark import Remark

# Height of a second line, of the first: common practice, no source.
LOWER_SHARE = 0.5


def posts_between(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield as many posts more as each span that is too wide takes, evenly between its supports."""
    wide = wide_spans(refit.placed, item.findings)
    if any(_takes_no_post(refit, span) for span in wide):
        return
    edits, added = list[Edit](), list[Post]()
    for span, times in wide.items():
        count = math.ceil(times) - 1
        for number in range(1, count + 1):
            added.append(_between(refit, span, number / (count + 1), len(added)))
            edits.append(edit.entry(refit.loaded, ("posts", added[-1].id), added[-1]))
    edits += _led_through(refit, added)
    posts = tuple(post.id for post in added)
    yield Candidate(
        (Part(posts[0], ids(item), lambda _: tuple(edits)),),
        lambda _: Remark("remedy.posts_between", at=some_of(posts, "posts"), count=len(posts)),
    )


def _takes_no_post(refit: Refit, span: tuple[str, str]) -> bool:
    """Return whether a span is a gate's opening, goes across the boat, or has no post beside it to go by."""
    posts = refit.placed.posts
    supports = {name if name in posts else name.rpartition("-")[0] for name in span}
    if len({side_of(name) for name in span}) > 1 or not set(span) & posts.keys():
        return True
    return any(set(gate.supports) == supports for gate in refit.boat.gates)


def _between(refit: Refit, span: tuple[str, str], share: float, before: int) -> Post:
    """Return a post between two supports, like the posts beside it and as far from the deck edge."""
    placed = refit.placed.posts
    like = [placed[name].spec for name in span if name in placed]
    first = like[0]
    ends = [_station(refit, name) for name in span]
    x = ends[0] + share * (ends[1] - ends[0])
    feet = []
    for post in like:
        out, up = edge_apart(refit, post.side, post.foot[0], x)
        feet.append((x, post.foot[1] + out, post.foot[2] + up))
    side = first.side
    used = [int(post.id[3:]) for post in refit.boat.posts if post.side == side and post.id[3:].isdigit()]
    holes = {
        level: Hole(
            along=mean(post.holes[level].along for post in like if level in post.holes),
            planned=PlannedHole(diameter=hole.diameter),
        )
        for level, hole in first.holes.items()
    }
    return Post(
        id=f"{side}-S{max(used, default=0) + 1 + before}",
        foot=(x, mean(foot[1] for foot in feet), mean(foot[2] for foot in feet)),
        lean=mean(post.lean for post in like),
        rake=mean(post.rake for post in like),
        deck_falls=Falls(
            aft=mean(post.deck_falls.aft for post in like), outboard=mean(post.deck_falls.outboard for post in like)
        ),
        tube=first.tube,
        base=first.base,
        holes=holes,
        top=mean(post.top for post in like),
    )


def _station(refit: Refit, support: str) -> float:
    """Return how far aft a support stands: a post, or the eyes of a rail [mm]."""
    if support in refit.placed.posts:
        return refit.placed.posts[support].foot[0]
    return mean(eye.at[0] for eye in refit.boat.eyes if eye.id.rpartition("-")[0] == support)


def _led_through(refit: Refit, added: list[Post]) -> Iterator[Edit]:
    """Yield the runs that pass new posts, led through their holes."""
    stations = {post.id: post.foot[0] for post in (*refit.boat.posts, *added)}
    for run in refit.boat.runs:
        points = refit.placed.runs[run.id].points
        passed = [
            post.id for post in added
            if post.side == run.side and run.level in post.holes and points[0][0] < post.foot[0] < points[-1][0]
        ]  # fmt: skip
        if passed:
            through = tuple(sorted((*run.through, *passed), key=lambda name: stations[name]))
            yield edit.names(refit.boat, ("runs", run.id, "through"), through)


def second_line(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a second line on each side that has only one, half as high, its holes not drilled yet."""
    sides = {run.side for run in refit.boat.runs}
    single = [side for side in sorted(sides) if {run.level for run in refit.boat.runs if run.side == side} == {"U"}]
    if not single:
        return
    edits: list[Edit] = []
    for side in single:
        runs = [run for run in refit.boat.runs if run.side == side]
        eyes = [refit.boat.eye(end.eye) for run in runs for end in (run.start, run.finish) if end.eye is not None]
        decks = {eye: edge_z(refit.boat.edge(side), eye.at[0]) for eye in eyes}
        lower = {eye: deck for eye, deck in decks.items() if deck is not None}
        if len(lower) < len(decks):
            return
        edits += _second_line(refit, runs, lower)
    yield Candidate(
        (Part("S" if "S" in single else "P", ids(item), lambda _: tuple(edits)),),
        lambda _: Remark("remedy.second_line"),
    )


def _second_line(refit: Refit, runs: list[Run], decks: dict[RailEye, float]) -> Iterator[Edit]:
    """Yield holes, rail eyes and runs of a second line under the runs of a side.

    Args:
        refit: the refit.
        runs: the runs of the side.
        decks: height of the deck edge below each of their rail eyes [mm].
    """
    boat = refit.boat
    for name in dict.fromkeys(post for run in runs for post in sorted(posts_of(run))):
        upper = boat.post(name).holes["U"]
        lower = Hole(along=round(LOWER_SHARE * upper.along, 1), planned=PlannedHole(diameter=upper.diameter))
        yield edit.entry(refit.loaded, ("posts", name, "holes", "L"), lower)
    for eye, deck in decks.items():
        x, y, z = eye.at
        below = RailEye(id=_lower(eye.id), on=eye.on, at=(x, y, round(deck + LOWER_SHARE * (z - deck), 1)))
        yield edit.entry(refit.loaded, ("eyes", below.id), below)
    for run in runs:
        below_run = _run_below(run)
        yield edit.entry(refit.loaded, ("runs", below_run.id), below_run)


def _run_below(run: Run) -> Run:
    """Return a run at the lower level, between the same posts and rails."""
    ends = {
        key: end if end.eye is None else end.model_copy(update={"eye": _lower(end.eye)})
        for key, end in (("start", run.start), ("finish", run.finish))
    }
    return run.model_copy(update={"id": _lower(run.id), "slide_on": (), **ends})


def _lower(name: str) -> str:
    return f"{name.rpartition('-')[0]}-L"
