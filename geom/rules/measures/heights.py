"""Heights of lines and vertical openings: at posts, at rail eyes and along the spans.

All heights are vertical, from the deck to the axis of the line [mm]. Where the deck is known both at the foot and at
the edge, the less favourable height is the measure and the notes give both. Lines are straight chords.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise

from geom.boat.model import LEVELS, Level, Side
from geom.placement.heights import edge_of, turned, under
from geom.placement.place import PlacedPost, PlacedRun
from geom.placement.placed import Placed, once
from geom.remark import Remark
from geom.rules.finding import Measure
from geom.rules.measures.uncertainty import hole_height_known, holes_apart_known, levels_known, station_height_known

# Quantities that are heights of a line above the deck.
LINE_HEIGHTS = ("quantity.height_at_post", "quantity.height_at_eye", "quantity.lowest_at_stations")


@once
def sides(placed: Placed) -> tuple[Side, ...]:
    """Return the sides that have lines, in the order of the boat file."""
    return tuple(dict.fromkeys(run.side for run in placed.runs.values()))


@once
def levels(placed: Placed, side: Side) -> tuple[Level, ...]:
    """Return the levels that have a line on a side, from the top down."""
    used = {run.level for run in runs_at(placed, side)}
    return tuple(level for level in LEVELS if level in used)


def runs_at(placed: Placed, side: Side, level: Level | None = None) -> tuple[PlacedRun, ...]:
    """Return the runs of a side.

    Args:
        placed: the boat in space.
        side: the side.
        level: the level, every one where None.
    """
    return tuple(run for run in placed.runs.values() if run.side == side and level in (None, run.level))


def posts_of(run: PlacedRun) -> tuple[str, ...]:
    """Return the posts that carry a run, including those at its ends."""
    ends = (run.spec.start.post, *run.spec.through, run.spec.finish.post)
    return tuple(post for post in ends if post is not None)


@once
def line_heights(placed: Placed, side: Side, level: Level) -> tuple[Measure, ...]:
    """Return the heights of a line at posts and rail eyes, and the lowest along each run.

    Args:
        placed: the boat in space.
        side: the side.
        level: the level.
    """
    lowest = along_runs(placed, side, level, min, Remark("quantity.lowest_at_stations"))
    return (*at_posts(placed, side, level), *at_eyes(placed, side, level), *lowest)


def upper_lines(placed: Placed) -> Iterator[Measure]:
    """Yield the heights of the upper or single line of each side."""
    for side in sides(placed):
        yield from line_heights(placed, side, levels(placed, side)[0])


def lower_lines(placed: Placed) -> Iterator[Measure]:
    """Yield the heights of the lines below the upper one."""
    for side in sides(placed):
        for level in levels(placed, side)[1:]:
            yield from line_heights(placed, side, level)


def openings_above_deck(placed: Placed) -> Iterator[Measure]:
    """Yield the openings below the lowest line of each side."""
    for side in sides(placed):
        yield from lowest_openings(placed, side)


def openings_between_lines(placed: Placed) -> Iterator[Measure]:
    """Yield the openings between adjacent lines of each side."""
    for side in sides(placed):
        yield from line_openings(placed, side)


def openings(placed: Placed, side: Side) -> tuple[Measure, ...]:
    """Return the openings of a side, below its lowest line and between its lines."""
    return (*lowest_openings(placed, side), *line_openings(placed, side))


@once
def at_posts(placed: Placed, side: Side, level: Level) -> tuple[Measure, ...]:
    """Return the height of a line at each post that carries it, the lower of both heights.

    Args:
        placed: the boat in space.
        side: the side.
        level: the level.
    """
    found = []
    carrying = {post for run in runs_at(placed, side, level) for post in posts_of(run)}
    for post in placed.posts.values():
        hole = post.hole(level) if post.id in carrying else None
        if hole is not None:
            height = placed.hole_heights[hole.id]
            notes = _both(height.above_deck, height.above_edge)
            above_edge = height.above_edge is not None and height.above_edge < height.above_deck
            known = hole_height_known(placed, post, hole, above_edge)
            quantity = Remark("quantity.height_at_post")
            found.append(Measure(hole.id, quantity, height.lower, post=post.id, notes=notes, known=known))
    return tuple(found)


def at_eyes(placed: Placed, side: Side, level: Level) -> tuple[Measure, ...]:
    """Return the height of each rail eye where a line ends, above the deck edge.

    Args:
        placed: the boat in space.
        side: the side.
        level: the level.
    """
    found = []
    for name, run in _end_eyes(placed, side, level).items():
        at = placed.boat.eye(name).at
        edge = under(placed.boat, run.spec, at)
        note = Remark("edge.not_taken") if edge is None else Remark("edge.above_it")
        height = None if edge is None else at[2] - edge
        quantity = Remark("quantity.height_at_eye")
        found.append(Measure(name, quantity, height, run=run.id, notes=(note,), known=levels_known(placed)))
    return tuple(found)


def along_runs(
    placed: Placed, side: Side, level: Level, worse: Callable[[list[float]], float], quantity: Remark
) -> Iterator[Measure]:
    """Yield the least favourable height along each run between its posts, at the points of the deck edge.

    Line and edge are straight between their points, so that the extreme of a span is at such a point, or at a post or
    eye, which are checked separately.

    Args:
        placed: the boat in space.
        side: the side.
        level: the level.
        worse: min or max, whichever is less favourable.
        quantity: name of the measure.
    """
    for run in runs_at(placed, side, level):
        # Over a bulwark the opening is taken at its posts alone, as its top follows neither deck nor deck edge.
        spans = [index for index in range(len(run.spans)) if worse is min or not _raised(placed, run, index)]
        found = [reading for index in spans for reading in _between(placed, run.id, index)]
        if found:
            value = worse([worse(list(readings)) for _, readings in found])
            x, readings = next(one for one in found if value in one[1])
            notes = (Remark("edge.above_it"),)
            if len(readings) > 1:
                notes = (Remark("height.between_feet", above_deck_mm=readings[1], above_edge_mm=readings[0]),)
            at = (Remark("height.at_x", x_mm=x, says=notes),)
            yield Measure(run.id, quantity, value, run=run.id, notes=at, known=station_height_known(placed))


@once
def lowest_openings(placed: Placed, side: Side) -> tuple[Measure, ...]:
    """Return the opening between deck and lowest line at each post, rail eye and run, the larger of both heights."""
    found, level = [], levels(placed, side)[-1]
    for measure in at_posts(placed, side, level):
        height, post = placed.hole_heights[measure.place], placed.posts[measure.post or ""]
        # A bulwark or toe rail closes the opening from the deck to the foot.
        widest = height.above_foot if post.raised else max(height.above_foot, height.above_edge or 0.0)
        hole = post.hole(level)
        assert hole is not None
        found.append(Measure(
            f"{measure.place}-deck", Remark("quantity.opening_at_post"), widest, post=post.id, notes=measure.notes,
            known=hole_height_known(placed, post, hole, widest > height.above_foot),
            where=Remark("place.named", name=measure.place),
        ))  # fmt: skip
    for measure in at_eyes(placed, side, level):
        quantity, where = Remark("quantity.opening_at_eye"), Remark("place.named", name=measure.place)
        found.append(replace(measure, place=f"{measure.place}-deck", quantity=quantity, where=where))
    return (*found, *along_runs(placed, side, level, max, Remark("quantity.largest_opening_at_stations")))


@once
def line_openings(placed: Placed, side: Side) -> tuple[Measure, ...]:
    """Return the openings between adjacent lines at each post and at each pair of rail eyes.

    Lines are straight between these points, so that no opening is larger.
    """
    found: list[Measure] = []
    for upper, lower in pairwise(levels(placed, side)):
        carrying = {post for run in runs_at(placed, side) for post in posts_of(run)}
        for post in placed.posts.values():
            if post.id in carrying:
                found += _opening(placed, post, upper, lower)
        for name, run in _end_eyes(placed, side, upper).items():
            below = f"{name[:-1]}{lower}"
            if below in _end_eyes(placed, side, lower):
                value = placed.boat.eye(name).at[2] - placed.boat.eye(below).at[2]
                where, quantity = Remark("place.between", places=(name, below)), Remark("quantity.opening_between_eyes")
                known = levels_known(placed)
                found.append(Measure(f"{name}-{lower}", quantity, value, run=run.id, where=where, known=known))
    return tuple(found)


def _opening(placed: Placed, post: PlacedPost, upper: Level, lower: Level) -> Iterator[Measure]:
    above, below = post.hole(upper), post.hole(lower)
    if above is not None and below is not None:
        value = above.centre[2] - below.centre[2]
        where = Remark("place.between", places=(above.id, below.id))
        quantity = Remark("quantity.opening_between_holes")
        known = holes_apart_known(placed)
        yield Measure(f"{above.id}-{lower}", quantity, value, post=post.id, where=where, known=known)


def _end_eyes(placed: Placed, side: Side, level: Level) -> dict[str, PlacedRun]:
    """Return the rail eyes where a level's runs end, each with its run."""
    return {
        end.eye: run
        for run in runs_at(placed, side, level)
        for end in (run.spec.start, run.spec.finish)
        if end.eye is not None
    }


@once
def _between(placed: Placed, name: str, index: int) -> tuple[tuple[float, tuple[float, ...]], ...]:
    """Return station and heights at the edge's points inside a span: over the edge; over the deck between two feet."""
    run = placed.runs[name]
    edge = edge_of(placed.boat, run.spec)
    found: list[tuple[float, tuple[float, ...]]] = []
    a, b = turned(run.spec, run.points[index]), turned(run.spec, run.points[index + 1])
    camber = [_camber(placed, run, name) for name in run.names[index : index + 2]]
    for x, _, deck in edge:
        if a[0] < x < b[0]:
            part = (x - a[0]) / (b[0] - a[0])
            height = a[2] + (b[2] - a[2]) * part - deck
            if camber[0] is None or camber[1] is None:
                found.append((x, (height,)))
            else:
                found.append((x, (height, height - camber[0] - (camber[1] - camber[0]) * part)))
    return tuple(found)


def _camber(placed: Placed, run: PlacedRun, name: str) -> float | None:
    """Return the height of the deck at a post foot above the deck edge [mm]; None at an eye or beyond the edge."""
    post = placed.posts.get(name) or placed.posts.get(name.rpartition("-")[0])
    if post is None:
        return None
    deck = under(placed.boat, run.spec, post.foot)
    return None if deck is None else post.foot[2] - post.raised - deck


def _raised(placed: Placed, run: PlacedRun, index: int) -> bool:
    """Return whether a post at either end of a span stands on a bulwark or a toe rail."""
    posts = (
        placed.posts.get(name) or placed.posts.get(name.rpartition("-")[0]) for name in run.names[index : index + 2]
    )
    return any(post is not None and post.raised > 0.0 for post in posts)


def _both(above_deck: float, above_edge: float | None) -> tuple[Remark, ...]:
    if above_edge is None:
        return (Remark("height.at_foot_only", above_deck_mm=above_deck),)
    return (Remark("height.at_foot", above_deck_mm=above_deck, above_edge_mm=above_edge),)
