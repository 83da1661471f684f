"""Remedies at posts: a pad, another tube, a hole elsewhere, a foot elsewhere, a tube more upright, a new post."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from geom.boat.base import Level, Side
from geom.intake.survey.fairness import LeanRow
from geom.open_items.group import some_of
from geom.open_items.item import OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.remedy import Candidate, Edits, Part, by_mm, each_place, ids
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

    yield each_place(item, padded, lambda by: Remark("remedy.pad", at=at, by=by), of_post, MOST_PAD)
    yield _other_tubes(refit, item, "remedy.longer_tube", 1)
    yield from _holes_moved(refit, item, _named_holes, "remedy.holes_higher", 1)


def too_high(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a shorter tube, and the holes lower in the tube where they are not drilled yet."""
    yield _other_tubes(refit, item, "remedy.shorter_tube", -1)
    yield from _holes_moved(refit, item, _named_holes, "remedy.holes_lower", -1)


def too_open(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a shorter tube, and the lowest hole lower or higher where it is not drilled yet."""
    yield _other_tubes(refit, item, "remedy.shorter_tube", -1)
    yield from _holes_moved(refit, item, _lowest_hole, "remedy.lowest_hole_lower", -1)
    yield from _holes_moved(refit, item, _lowest_hole, "remedy.lowest_hole_higher", 1)


def out_of_order(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the upper hole higher and the lower hole lower in the tube, where they are not drilled yet."""
    yield from _holes_moved(refit, item, lambda *_: ("U",), "remedy.upper_hole_higher", 1)
    yield from _holes_moved(refit, item, lambda *_: ("L",), "remedy.lower_hole_lower", -1)


def _other_tubes(refit: Refit, item: OpenItem, what: str, sign: int) -> Candidate:
    """Return the tubes of an item's posts longer or shorter, their holes with them."""
    at = some_of(item.places, "posts")
    return each_place(
        item, lambda post, by: raised(refit, post, sign * by), lambda by: Remark(what, at=at, by=by), of_post, MOST
    )


Levels = Callable[[Refit, OpenItem, str], tuple[Level, ...]]


def _holes_moved(refit: Refit, item: OpenItem, levels: Levels, what: str, sign: int) -> Iterator[Candidate]:
    """Yield holes of an item's posts moved along their tubes, unless one is drilled already: it does not move.

    Args:
        refit: the refit.
        item: the item.
        levels: the levels of the holes of a post to be moved.
        what: code of the remedy.
        sign: +1 up, -1 down.
    """
    at = some_of(item.places, "posts")
    placed = refit.placed.posts
    if any(hole.as_found is not None for post in item.places for hole in placed[post].spec.holes.values()):
        return

    def moved(post: str, by: int) -> Edits:
        holes = placed[post].spec.holes
        return tuple(_hole_at(refit, post, one, holes[one].along + sign * by) for one in levels(refit, item, post))

    yield each_place(item, moved, lambda by: Remark(what, at=at, by=by), of_post, MOST)


def _named_holes(refit: Refit, item: OpenItem, post: str) -> tuple[Level, ...]:
    """Return the levels of those holes of a post that an item's findings name, else of its upper one."""
    holes = refit.placed.posts[post].spec.holes
    named = {str(one.where["name"]) for one in item.findings if one.where and one.where.code == "place.named"}
    return tuple(level for level in holes if f"{post}-{level}" in named) or tuple(holes)[:1]


def _lowest_hole(refit: Refit, item: OpenItem, post: str) -> tuple[Level, ...]:
    holes = refit.placed.posts[post].spec.holes
    return (min(holes, key=lambda level: holes[level].along),)


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
        return (edit.point(refit.loaded, ("posts", post, "foot"), foot),)

    yield each_place(item, moved, lambda by: Remark("remedy.base_moved", at=at, by=by), of_post, MOST)


def bent(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield new posts with the usual lean and rake of the boat."""
    rows = {row.post: row for row in refit.as_found.leans}
    lean, rake = rows[item.places[0]].usual_lean, rows[item.places[0]].usual_rake
    edits = tuple(one for post in item.places for one in _as_usual(refit, rows[post]))
    yield Candidate(
        (Part(item.places[0], frozenset(), lambda _: edits),),
        lambda _: Remark("remedy.replaced", at=some_of(item.places, "posts"), lean_rad=lean, rake_rad=rake),
    )


def supports_moved(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield longer tubes at all posts that carry a line too low between them, shorter ones where it is too high."""
    at, sign = some_of(item.places, "runs"), 1 if item.name == "span.low" else -1

    def moved(run: str, by: int) -> Edits:
        spec = refit.placed.runs[run].spec
        posts = (post for post in (spec.start.post, *spec.through, spec.finish.post) if post is not None)
        return tuple(one for post in posts for one in raised(refit, post, sign * by))

    def what(by: Remark) -> Remark:
        return Remark("remedy.supports_longer" if sign > 0 else "remedy.supports_shorter", at=at, by=by)

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
        return Remark("remedy.post_aft" if sign > 0 else "remedy.post_forward", at=post, by=by_mm(steps))

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
    out, up = edge_apart(refit, spec.side, x, x + aft)
    edits: Edits = (edit.point(refit.loaded, ("posts", post, "foot"), (x + aft, y + out, z + up)),)
    if spec.brace is None:
        return edits
    foot = spec.brace.foot
    moved = (foot[0] + aft, foot[1] + out, foot[2] + up)
    return (*edits, edit.point(refit.loaded, ("posts", post, "brace", "foot"), moved))


def edge_apart(refit: Refit, side: Side, here: float, there: float) -> tuple[float, float]:
    """Return by how much the deck edge lies further to starboard and higher at one station than at another [mm].

    Args:
        refit: the refit.
        side: of the boat.
        here: the one station [mm].
        there: the other one [mm].
    """
    edge = refit.boat.edge(side)
    return _apart(edge_y(edge, here), edge_y(edge, there)), _apart(edge_z(edge, here), edge_z(edge, there))


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
    top = edit.quantity(refit.boat, ("posts", post, "top"), round(spec.top + by, 1))
    return (top, *(_hole_at(refit, post, level, hole.along + by) for level, hole in spec.holes.items()))


def of_post(item: OpenItem, post: str) -> frozenset[str]:
    """Return the ids of an item's findings at a post; of a single post all, with those of the spans beside it."""
    if len(item.places) == 1:
        return ids(item)
    return frozenset(finding.id for finding in item.findings if finding.post == post)


def of_run(item: OpenItem, run: str) -> frozenset[str]:
    """Return the ids of an item's findings on a run."""
    return frozenset(finding.id for finding in item.findings if finding.run == run)


def _hole_at(refit: Refit, post: str, level: str, along: float) -> edit.Edit:
    return edit.quantity(refit.boat, ("posts", post, "holes", level, "along"), round(along, 1))


def _as_usual(refit: Refit, row: LeanRow) -> Edits:
    return _leaning(refit, row.post, row.usual_lean, row.usual_rake)


def _leaning(refit: Refit, post: str, lean: float, rake: float) -> Edits:
    return (
        edit.angle(refit.boat, ("posts", post, "lean"), lean),
        edit.angle(refit.boat, ("posts", post, "rake"), rake),
    )
