"""Remedies at posts: a pad, another tube, a hole elsewhere, a foot elsewhere, a tube more upright, a new post."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.intake.survey.fairness import customary_limits, lean_rows
from geom.open_items.group import some_of
from geom.open_items.item import OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.remedy import Candidate, Edits, Part, each_place, ids
from geom.placement.heights import edge_y, edge_z
from geom.placement.place import side_sign
from geom.refit import Refit
from geom.remark import Remark
from geom.units import degrees

# Largest change that is still one [mm]; a pad is seldom thicker than this.
MOST, MOST_PAD, MOST_ALONG = 400, 60, 1200
# Step of a lean [deg].
LEAN_STEP = 0.1


def too_low(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a pad under each base, a longer tube, and the holes higher in the tube where they are not drilled yet."""
    at = some_of(item.places, "posts")

    def padded(post: str, by: int) -> Edits:
        # The pad stands square to the plate, the tube leans against it.
        return raised(refit, post, by / math.cos(refit.placed.posts[post].plate.total))

    yield each_place(item, padded, lambda by: Remark("remedy.pad", at=at, by_mm=by), of_post, MOST_PAD)
    yield each_place(
        item, lambda post, by: raised(refit, post, by), lambda by: Remark("remedy.longer_tube", at=at, by_mm=by),
        of_post, MOST,
    )  # fmt: skip
    if _not_drilled(refit, item):
        yield each_place(
            item, lambda post, by: _holes_moved(refit, item, post, by),
            lambda by: Remark("remedy.holes_higher", at=at, by_mm=by), of_post, MOST,
        )  # fmt: skip


def too_high(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a shorter tube, and the holes lower in the tube where they are not drilled yet."""
    at = some_of(item.places, "posts")
    yield _shorter(refit, item)
    if _not_drilled(refit, item):
        yield each_place(
            item, lambda post, by: _holes_moved(refit, item, post, -by),
            lambda by: Remark("remedy.holes_lower", at=at, by_mm=by), of_post, MOST,
        )  # fmt: skip


def too_open(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a shorter tube, and the lowest hole lower or higher where it is not drilled yet."""
    at = some_of(item.places, "posts")
    yield _shorter(refit, item)
    if _not_drilled(refit, item):
        yield each_place(
            item, lambda post, by: _lowest_moved(refit, post, -by),
            lambda by: Remark("remedy.lowest_hole_lower", at=at, by_mm=by), of_post, MOST,
        )  # fmt: skip
        yield each_place(
            item, lambda post, by: _lowest_moved(refit, post, by),
            lambda by: Remark("remedy.lowest_hole_higher", at=at, by_mm=by), of_post, MOST,
        )  # fmt: skip


def tilted(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the tube more upright, in lean and rake alike."""
    at, step = some_of(item.places, "posts"), math.radians(LEAN_STEP)

    def upright(post: str, steps: int) -> Edits:
        placed = refit.placed.posts[post]
        share = max(1.0 - steps * step / placed.tilt, 0.0)
        return _leaning(refit, post, placed.spec.lean * share, placed.spec.rake * share)

    def part(post: str) -> Part:
        most = math.floor(degrees(refit.placed.posts[post].tilt) / LEAN_STEP)
        return Part(post, of_post(item, post), lambda steps: upright(post, steps), 1, max(most, 1))

    yield Candidate(
        tuple(map(part, item.places)),
        lambda steps: Remark("remedy.upright", at=at, by_rad=step * max(steps)),
        LEAN_STEP,
        "deg",
    )


def base_moved(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the base moved athwartships, along the slope of the deck."""
    at = some_of(item.places, "posts")

    def moved(post: str, by: int) -> Edits:
        spec = refit.placed.posts[post].spec
        outboard = any((one.measured or 0.0) < 0.0 for one in item.findings if one.post == post)
        out = -by if outboard else by
        x, y, z = spec.foot
        foot = (x, y + side_sign(spec.side) * out, z - out * math.tan(spec.deck_falls.outboard))
        return (edit.point(refit.boat, ("posts", post, "foot"), foot),)

    yield each_place(item, moved, lambda by: Remark("remedy.base_moved", at=at, by_mm=by), of_post, MOST)


def bent(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a new post with the usual lean and rake of the boat."""
    rows = {row.post: row for row in lean_rows(refit.boat, customary_limits()[1])}
    if len(item.places) == 1:
        post = item.places[0]
        lean, rake = rows[post].usual_lean, rows[post].usual_rake
        yield Candidate(
            (Part(post, frozenset(), lambda _: _leaning(refit, post, lean, rake)),),
            lambda _: Remark("remedy.replaced", at=post, lean_rad=lean, rake_rad=rake),
        )


def supports_moved(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield longer tubes at all posts that carry a line too low between them, shorter ones where it is too high."""
    at, sign = some_of(item.places, "runs"), 1 if item.name == "span.low" else -1

    def moved(run: str, by: int) -> Edits:
        spec = refit.placed.runs[run].spec
        posts = (post for post in (spec.start.post, *spec.through, spec.finish.post) if post is not None)
        return tuple(one for post in posts for one in raised(refit, post, sign * by))

    def what(by: float) -> Remark:
        return Remark("remedy.supports_longer" if sign > 0 else "remedy.supports_shorter", at=at, by_mm=by)

    yield each_place(item, moved, what, of_run, MOST)


def post_along_edge(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield either post of a span that is too wide moved along the deck edge towards the other support."""
    if len(item.places) != 2:
        return
    forward, aft = item.places
    if forward in refit.placed.posts:
        yield _along(refit, item, forward, 1)
    if aft in refit.placed.posts:
        yield _along(refit, item, aft, -1)


def _along(refit: Refit, item: OpenItem, post: str, sign: int) -> Candidate:
    guess = max([math.ceil(-(one.margin or 0.0)) for one in item.findings] + [1])
    part = Part(post, ids(item), lambda by: along_edge(refit, post, sign * by), guess, MOST_ALONG)

    def what(steps: tuple[int, ...]) -> Remark:
        return Remark("remedy.post_aft" if sign > 0 else "remedy.post_forward", at=post, by_mm=float(steps[0]))

    return Candidate((part,), what, step=1.0)


def along_edge(refit: Refit, post: str, aft: float) -> Edits:
    """Return a post moved fore and aft with its brace, as far from the deck edge and as high against it as before.

    Args:
        refit: the refit.
        post: its id.
        aft: how far aft [mm], negative forward.
    """
    spec = refit.placed.posts[post].spec
    x, y, z = spec.foot
    edge = refit.boat.edge(spec.side)
    out, up = _apart(edge_y(edge, x), edge_y(edge, x + aft)), _apart(edge_z(edge, x), edge_z(edge, x + aft))
    edits: Edits = (edit.point(refit.boat, ("posts", post, "foot"), (x + aft, y + out, z + up)),)
    if spec.brace is None:
        return edits
    foot = spec.brace.foot
    moved = (foot[0] + aft, foot[1] + out, foot[2] + up)
    return (*edits, edit.point(refit.boat, ("posts", post, "brace", "foot"), moved))


def _apart(here: float | None, there: float | None) -> float:
    """Return the difference of two readings of the deck edge [mm]; none where it was not surveyed."""
    return 0.0 if here is None or there is None else there - here


def raised(refit: Refit, post: str, by: float) -> Edits:
    """Return a post whose top and holes stand higher along its tube.

    Args:
        refit: the refit.
        post: its id.
        by: how much higher [mm].
    """
    spec = refit.placed.posts[post].spec
    top = edit.length(refit.boat, ("posts", post, "top"), round(spec.top + by, 1))
    return (top, *(_hole_at(refit, post, level, hole.along + by) for level, hole in spec.holes.items()))


def of_post(item: OpenItem, post: str) -> frozenset[str]:
    """Return the ids of an item's findings at a post; of a single post all, with those of the spans beside it."""
    if len(item.places) == 1:
        return ids(item)
    return frozenset(finding.id for finding in item.findings if finding.post == post)


def of_run(item: OpenItem, run: str) -> frozenset[str]:
    """Return the ids of an item's findings on a run."""
    return frozenset(finding.id for finding in item.findings if finding.run == run)


def _shorter(refit: Refit, item: OpenItem) -> Candidate:
    at = some_of(item.places, "posts")
    return each_place(
        item, lambda post, by: raised(refit, post, -by), lambda by: Remark("remedy.shorter_tube", at=at, by_mm=by),
        of_post, MOST,
    )  # fmt: skip


def _hole_at(refit: Refit, post: str, level: str, along: float) -> edit.Edit:
    return edit.length(refit.boat, ("posts", post, "holes", level, "along"), round(along, 1))


def _holes_moved(refit: Refit, item: OpenItem, post: str, by: float) -> Edits:
    """Return a post with those holes moved along the tube that the item's findings name, else its upper one [mm]."""
    holes = refit.placed.posts[post].spec.holes
    named = {str(one.where["name"]) for one in item.findings if one.where and one.where.code == "place.named"}
    levels = [level for level in holes if f"{post}-{level}" in named] or list(holes)[:1]
    return tuple(_hole_at(refit, post, level, holes[level].along + by) for level in levels)


def _lowest_moved(refit: Refit, post: str, by: float) -> Edits:
    holes = refit.placed.posts[post].spec.holes
    level = min(holes, key=lambda one: holes[one].along)
    return (_hole_at(refit, post, level, holes[level].along + by),)


def _leaning(refit: Refit, post: str, lean: float, rake: float) -> Edits:
    return (
        edit.angle(refit.boat, ("posts", post, "lean"), lean),
        edit.angle(refit.boat, ("posts", post, "rake"), rake),
    )


def _not_drilled(refit: Refit, item: OpenItem) -> bool:
    """Return whether no hole of the item's posts exists yet: a hole that is drilled does not move."""
    return all(hole.as_found is None for post in item.places for hole in refit.placed.posts[post].spec.holes.values())
