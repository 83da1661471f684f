"""The stretches of a boat in which posts may be placed anew: between pulpit, gates, pushpit and fixed posts."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np

from geom import vec
from geom.boat.base import Level, Side
from geom.boat.faults import closest
from geom.boat.model import Post
from geom.boat.post_model import Falls
from geom.errors import Fault, InputError
from geom.fleet.respacing.solve import Array, Course, Problem
from geom.placement.heights import edge_y, edge_z
from geom.placement.place import PlacedRun, side_sign, tube_axis
from geom.placement.placed import support_points
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import Finding
from geom.units import Mm
from geom.vec import Vec

# Stations are whole millimetres of X, as a tape is read [mm].
STEP = 1.0
# What a span may be longer by in the file, where coordinates are written to about a tenth of a millimetre [mm].
WRITTEN = 0.2


@dataclass(frozen=True)
class FixedPost:
    """A post that stays where it stands, and why."""

    post: str
    why: Remark


@dataclass(frozen=True)
class Stretch:
    """Part of a side between two supports that stay: its lines, the posts in it from forward to aft, where it goes.

    `forward` and `aft` are X of its supports [mm].
    """

    side: Side
    between: tuple[str, str]
    runs: tuple[str, ...]
    posts: tuple[str, ...]
    forward: Mm
    aft: Mm


@dataclass(frozen=True)
class Pattern:
    """What posts are made like when they are placed: a post of their side, with its distance from the deck edge.

    `inboard` is from the deck edge to the foot athwartships, `above` the height of the foot over the edge [mm].
    """

    post: Post
    inboard: Mm
    above: Mm


def support_of(name: str, posts: frozenset[str]) -> str:
    """Return the support that a point of a run is on: its post, or the eyes of one name.

    Args:
        name: a post, a hole, or an eye.
        posts: ids of the posts.
    """
    return name if name in posts else name.rpartition("-")[0]


def fixed_posts(refit: Refit, also: tuple[str, ...]) -> tuple[FixedPost, ...]:
    """Return the posts that stay where they stand, in the order of the boat file.

    Args:
        refit: the refit.
        also: posts named beside those of the boat file.

    Raises:
        InputError: no such post.
    """
    boat = refit.boat
    posts = [post.id for post in boat.posts]
    unknown = [name for name in also if name not in posts]
    if unknown:
        faults = [Fault("no such post", "--fixed", read=name, valid=closest(name, posts)) for name in unknown]
        raise InputError("arguments", faults)
    gates = {name for gate in boat.gates for name in gate.supports}
    ends = {end.post for run in boat.runs for end in (run.start, run.finish)}
    nets = {name for net in boat.nets for name in net.between or ()}
    stated = {*also, *(boat.spacing.fixed if boat.spacing else ())}
    across = {name for run in boat.runs if run.side == "C" for name in run.through}
    found = []
    for post in boat.posts:
        reasons = {
            "respace.gate_post": post.id in gates,
            "respace.end_post": post.id in ends,
            "respace.braced": post.brace is not None,
            "respace.can_be_removed": post.stands is not None,
            "respace.net_post": post.id in nets,
            "respace.across": post.id in across,
            "respace.stated_fixed": post.id in stated,
        }
        code = next((code for code, holds in reasons.items() if holds), None)
        if code is not None:
            found.append(FixedPost(post.id, Remark(code)))
    return tuple(found)


def stretches(refit: Refit, fixed: tuple[FixedPost, ...], sides: tuple[Side, ...]) -> tuple[Stretch, ...]:
    """Return the stretches of some sides from forward to aft, without the openings of gates.

    Args:
        refit: the refit.
        fixed: the posts that stay.
        sides: of the boat.

    Raises:
        InputError: the lines of a side do not go over the same supports.
    """
    kept = {one.post for one in fixed}
    gates = {frozenset(gate.supports) for gate in refit.boat.gates}
    found: list[Stretch] = []
    for side in sides:
        of_side: dict[tuple[str, str], tuple[list[str], set[str]]] = {}
        for run in refit.placed.runs.values():
            if run.side == side:
                for between, posts in _parts(run, kept):
                    runs, within = of_side.setdefault(between, ([], set()))
                    runs.append(run.id)
                    within.update(posts)
        _refuse_crossed(refit, side, of_side)
        for between, (runs, within) in of_side.items():
            if frozenset(between) in gates:
                continue
            x = {post: refit.placed.posts[post].foot[0] for post in within}
            ordered = tuple(sorted(within, key=lambda post: x[post]))
            at = [_x(refit, name) for name in between]
            found.append(Stretch(side, between, tuple(runs), ordered, at[0], at[1]))
    return tuple(sorted(found, key=lambda one: (sides.index(one.side), one.forward)))


def _parts(run: PlacedRun, kept: set[str]) -> Iterator[tuple[tuple[str, str], tuple[str, ...]]]:
    """Yield the supports of a run that stay, two by two, with the posts between them."""
    names = [run.spec.start.support, *run.spec.through, run.spec.finish.support]
    stays = [index for index, name in enumerate(names) if index in (0, len(names) - 1) or name in kept]
    for first, last in pairwise(stays):
        yield (names[first], names[last]), tuple(names[first + 1 : last])


def _refuse_crossed(refit: Refit, side: Side, found: dict[tuple[str, str], tuple[list[str], set[str]]]) -> None:
    """Refuse a side on which a post stands in two stretches, as lines end at different supports there."""
    for (a, (_, first)), (b, (_, second)) in combinations(found.items(), 2):
        shared = sorted(first & second)
        if shared:
            message = (
                f"one line of side {side} goes from {a[0]} to {a[1]}, another from {b[0]} to {b[1]}: "
                f"{shared[0]} cannot be placed anew"
            )
            raise InputError(refit.loaded.source, [Fault(message, "spacing.fixed", valid=f"[{', '.join(shared)}]")])


def _x(refit: Refit, support: str) -> float:
    """Return how far aft a support stands: a post, or the eyes of one name on average [mm]."""
    if support in refit.placed.posts:
        return refit.placed.posts[support].foot[0]
    eyes = [eye.at[0] for eye in refit.boat.eyes if eye.support == support]
    return math.fsum(eyes) / len(eyes)


def spacing_limit(refit: Refit, runs: tuple[str, ...]) -> Finding:
    """Return the finding whose limit of the distance between supports is the smallest, of binding documents.

    Args:
        refit: the refit.
        runs: the lines in question.

    Raises:
        InputError: no document chosen, and not the boat file, limits that distance.
    """
    found = [
        one for one in refit.findings
        if one.quantity.code == "quantity.widest_span" and one.run in runs and one.binding and one.limit is not None
    ]  # fmt: skip
    if not found:
        raise InputError(
            refit.loaded.source,
            [Fault("no document chosen limits the distance between supports", "rules",
                   valid="documents such as osr; or own: {title: our own, max_support_spacing: 2200 mm}")],
        )  # fmt: skip
    return min(found, key=lambda one: (one.limit or 0.0, one.document))


def pattern_of(refit: Refit, side: Side, levels: frozenset[Level], like: str | None) -> Pattern:
    """Return what posts of a side are made like.

    It is the post named, else the one most like the others of the side, the forward one of several.

    Args:
        refit: the refit.
        side: of the boat.
        levels: that it needs holes at.
        like: a post; one of the other side stands for its counterpart.

    Raises:
        InputError: there is none, or it stands outside the deck edge of the file.
    """
    own = [post for post in refit.boat.posts if post.side == side and levels <= set(post.holes)]
    named = [post for post in own if like is not None and post.id.partition("-")[2] == like.partition("-")[2]]
    if not own or (like is not None and not named):
        where = "--like" if like is not None else "posts"
        message = f"no post of side {side} with holes for its lines to go by"
        raise InputError(
            "arguments", [Fault(message, where, read=like or "", valid=", ".join(post.id for post in own))]
        )
    builds = Counter(map(_build, own))
    first = min(named or own, key=lambda post: (-builds[_build(post)], post.brace is not None, post.foot[0]))
    edge = refit.boat.edge(side)
    y, z = edge_y(edge, first.foot[0]), edge_z(edge, first.foot[0])
    if y is None or z is None:
        message = f"{first.id} stands beyond the deck edge of the file: its distance from the edge is not known"
        raise InputError(refit.loaded.source, [Fault(message, "deck_edge", valid="an edge that goes past every post")])
    return Pattern(first, side_sign(side) * (y - first.foot[1]), first.foot[2] - z)


def _build(post: Post) -> tuple[object, ...]:
    holes = tuple(sorted((level, hole.along) for level, hole in post.holes.items()))
    return (post.tube, post.base, post.top, post.lean, post.rake, holes, post.foot_above_deck)


def same_tube(post: Post, other: Post) -> bool:
    """Return whether two posts have the same tube, as long and with holes as high, however they lean."""
    holes = [{level: hole.along for level, hole in one.holes.items()} for one in (post, other)]
    return (post.tube, post.top, holes[0]) == (other.tube, other.top, holes[1])


def foot_at(refit: Refit, side: Side, pattern: Pattern, x: float) -> Vec:
    """Return the foot of a post at a station [mm], as far from the deck edge as the pattern stands.

    The edge is straight between its points. The foot is to the tenth of a millimetre that is written.

    Args:
        refit: the refit.
        side: of the boat.
        pattern: what the post is made like.
        x: the station [mm].
    """
    edge = refit.boat.edge(side)
    y, z = edge_y(edge, x), edge_z(edge, x)
    assert y is not None and z is not None
    return (x, round(y - side_sign(side) * pattern.inboard, 1), round(z + pattern.above, 1))


def falls_at(refit: Refit, side: Side, x: float) -> Falls:
    """Return the slope of the deck at a station, straight between the posts of the side as they stand.

    Args:
        refit: the refit.
        side: of the boat.
        x: the station [mm].
    """
    known = sorted((post.foot[0], post.deck_falls) for post in _of_side(refit, side))
    stations = [at for at, _ in known]
    aft, out = (
        float(np.interp(x, stations, values))
        for values in ([one.aft for _, one in known], [one.outboard for _, one in known])
    )
    return Falls(aft=math.radians(round(math.degrees(aft), 2)), outboard=math.radians(round(math.degrees(out), 2)))


def _of_side(refit: Refit, side: Side) -> list[Post]:
    posts: dict[float, Post] = {}
    for post in refit.boat.posts:
        if post.side == side:
            posts.setdefault(post.foot[0], post)
    return list(posts.values())


def room_of(refit: Refit, pattern: Pattern) -> Mm:
    """Return half of what a post takes up along the deck [mm]: of its plate where the file has one, else of its tube.

    Args:
        refit: the refit.
        pattern: what the post is made like.
    """
    base = refit.boat.bases.get(pattern.post.base or "")
    return 0.5 * (refit.boat.tubes[pattern.post.tube].od if base is None else base.length)


def problem_of(
    refit: Refit, alike: tuple[Stretch, ...], patterns: dict[Side, Pattern], limit: float, grade: float
) -> Problem:
    """Return the stations and holes of a stretch, or of one on each side whose posts stand at the same stations.

    Args:
        refit: the refit.
        alike: the stretches, one a side.
        patterns: what posts are made like, by side.
        limit: largest span [mm].
        grade: ratio of each span to the one forward of it.

    Raises:
        InputError: the deck edge turns by a right angle or more within a stretch.
    """
    room = max(room_of(refit, patterns[one.side]) for one in alike)
    first = max(one.forward for one in alike) + 2.0 * room
    last = min(one.aft for one in alike) - 2.0 * room
    for one in alike:
        edge = refit.boat.edge(one.side)
        _refuse_corner(refit, one)
        first, last = max(first, edge[0][0]), min(last, edge[-1][0])
    stations: Array = np.asarray(
        np.arange(math.ceil(first / STEP), math.floor(last / STEP) + 1) * STEP, dtype=np.float64
    )
    barred = refit.boat.spacing.barred if refit.boat.spacing else ()
    for one in alike:
        half = room_of(refit, patterns[one.side])
        for bar in barred:
            if bar.side == one.side:
                stations = stations[(stations <= bar.forward - half) | (stations >= bar.aft + half)]
    courses = []
    for one in alike:
        feet = np.array([foot_at(refit, one.side, patterns[one.side], float(x)) for x in stations]).reshape(-1, 3)
        runs = (refit.placed.runs[run] for run in one.runs)
        courses += [_course(refit, one, patterns[one.side].post, run, feet) for run in runs]
    return Problem(stations, tuple(courses), limit - WRITTEN, 2.0 * room, grade)


def _course(refit: Refit, stretch: Stretch, like: Post, run: PlacedRun, feet: Array) -> Course:
    posts = frozenset(refit.placed.posts)
    names = (support_of(name, posts) for name in (run.names[0], *run.spec.through, run.names[-1]))
    ends = dict(zip(names, support_points(refit.placed, run), strict=True))
    along = vec.scale(tube_axis(stretch.side, like.lean, like.rake), like.holes[run.level].along)
    first, last = stretch.between
    return Course(np.array(ends[first]), np.array(ends[last]), feet + np.array(along))


def _refuse_corner(refit: Refit, stretch: Stretch) -> None:
    edge = [(a, b) for a, b in pairwise(refit.boat.edge(stretch.side)) if b[0] > stretch.forward and a[0] < stretch.aft]
    ways = [vec.sub(b, a) for a, b in edge]
    if any(vec.dot(a, b) <= 0.0 for a, b in combinations(ways, 2)):
        message = (
            f"the deck edge of side {stretch.side} turns by a right angle or more between {stretch.between[0]} and "
            f"{stretch.between[1]}"
        )
        raise InputError(
            refit.loaded.source, [Fault(message, "spacing.fixed", valid="a fixed post where the edge turns")]
        )
