"""The boat seen from the port bow and above, drawn from its placed posts and runs.

No solid and no hidden lines: the far side is drawn first and lighter, the near side over it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from geom.drafting import text as words
from geom.drafting.boat_view import SIDES
from geom.drafting.flags import flag_items
from geom.drafting.placing import Drawn, Label
from geom.drafting.rail_lines import rail_axis
from geom.figure import Across, Circle, Hatch, Item, Line, Point, Polyline, Rect, Text, Upright
from geom.lettering import width as text_width
from geom.open_items import OpenItem
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.render.plane import add, towards
from geom.rigging.summary import RunSummary
from geom.sheets.deck_plan.plan import beside
from geom.vec import Vec

# The way of looking: turned so far from athwartships towards the bow, and so far down [rad].
_TURN, _DOWN = math.radians(22.0), math.radians(30.0)
_NAME, _HALF_GAP = 2.5, 1.2
_HOLLOW = 0.65
# Share of a run's first span at which it is flagged, clear of its name.
_ALONG = 0.1
# Share of a post's height at which it is flagged.
_UP = 0.66
# Radius of the mast as drawn, about that of a small boat's [boat mm].
_MAST = 60.0
# Places of a run's name along a span, and the reach of a leader to a name that finds none [paper mm].
_SHARES = (0.5, 0.36, 0.64, 0.25, 0.75, 0.43, 0.57)
_LED = (7.0, 10.0, 13.0, 17.0, 22.0, 27.0)
# A run is named, further off on a crowded boat.
_RUN_LED = (*_LED, 33.0, 40.0, 48.0, 58.0)
_LED_TURNS = tuple(math.radians(turn) for turn in (90, -90, 45, -45, 135, -135, 0, 180))
# Further directions of a long leader.
_STEEP = tuple(math.radians(turn) for turn in (70, 110, -70, -110, 58, 122, -58, -122, 80, 100, -80, -100))
# With more posts than this their names have no leaders, which would cross each other.
_MOST_LED = 24
# With more runs than this those without a free place are not named here, unless on hold: the profiles name all of them.
_ALL_NAMED = 32


@dataclass(frozen=True)
class Sight:
    """Mapping of boat coordinates to paper: a scale [paper mm per boat mm], and the paper point of the origin."""

    scale: float
    origin: Point

    def at(self, point: Vec) -> Point:
        """Return the paper point of a point of the boat."""
        u, v = _seen(point)
        return (self.origin[0] + u * self.scale, self.origin[1] + v * self.scale)


def _seen(point: Vec) -> Point:
    x, y, z = point
    depth = x * math.sin(_TURN) + y * math.cos(_TURN)
    return (x * math.cos(_TURN) - y * math.sin(_TURN), z * math.cos(_DOWN) + depth * math.sin(_DOWN))


def sight_of(refit: Refit, place: Rect) -> Sight:
    """Return the largest mapping at which the boat stands in a rectangle.

    Args:
        refit: the boat as calculated.
        place: for hull, posts and rails [paper mm].
    """
    points = [point for side in SIDES for point in refit.boat.edge(side)]
    points += [point for run in refit.placed.runs.values() for point in run.points]
    points += [post.at(post.top) for post in refit.placed.posts.values()]
    points += [point for rail in refit.boat.rails.values() for point in rail_axis(rail)]
    seen = [_seen(point) for point in points]
    left, right = min(u for u, _ in seen), max(u for u, _ in seen)
    low, high = min(v for _, v in seen), max(v for _, v in seen)
    scale = min(place.width / (right - left), place.height / (high - low))
    middle = ((place.left + place.right) / 2.0, (place.bottom + place.top) / 2.0)
    return Sight(scale, (middle[0] - (left + right) / 2.0 * scale, middle[1] - (low + high) / 2.0 * scale))


def pictorial(refit: Refit, place: Rect, listed: Sequence[OpenItem]) -> tuple[Item, ...]:
    """Return the picture with the names of runs and posts and the flags of open items.

    Args:
        refit: the boat as calculated.
        place: for the picture, its lettering included [mm].
        listed: the open items.
    """
    sight = sight_of(refit, Rect(place.left + 14.0, place.bottom + 13.0, place.right - 14.0, place.top - 12.0))
    fixed = [*_deck(refit, sight), *(item for side in SIDES for item in _rails(refit, sight, far=side == "S"))]
    fixed += [item for post in refit.placed.posts.values() for item in _post(refit, post, sight, far=post.side == "S")]
    drawn = Drawn((*fixed, *(item for run in refit.runs for item in _line(run, sight, None))), room=place)
    # Of posts close together some go without a name here; the deck plan names all of them.
    posts = refit.placed.posts.values()
    led = len(posts) <= _MOST_LED

    def flagged() -> tuple[Item, ...]:
        return flag_items(refit, listed, drawn, lambda _, at: (sight.at(at), math.pi / 2.0), _ALONG, _UP)

    def runs() -> dict[str, Label]:
        found = {}
        for run in refit.runs:
            places = _run_names(drawn, run, sight)
            if len(refit.runs) > _ALL_NAMED and not run.work.refused:
                places = (label for label in places if drawn.free(label))
            first = next(places, None)
            if first is not None:
                found[run.run.id] = drawn.put(itertools.chain((first,), places))
        return found

    # What every boat shows goes before the names that some do without.
    flags = () if led else flagged()
    names = {} if led else runs()
    named = [item for post in posts for item in drawn.put_if_free(_post_names(drawn, post, sight, led))]
    names = names or runs()
    words_at = (
        _side_names(drawn, place),
        _port_names(drawn, refit, sight, place),
        _bows(drawn, refit, sight, place),
        _mast_names(drawn, refit, sight),
    )
    for places in words_at:
        if places:
            named += drawn.put(places).items

    flags = flags or flagged()
    lines = [item for run in refit.runs for item in _line(run, sight, names.get(run.run.id))]
    return (*fixed, *lines, *(item for name in names.values() for item in name.items), *named, *flags)


def _deck(refit: Refit, sight: Sight) -> Iterator[Item]:
    starboard, port = refit.boat.edge("S"), refit.boat.edge("P")
    outline = tuple(sight.at(point) for point in (*starboard, *reversed(port)))
    yield Polyline(tuple(sight.at(point) for point in starboard), "FAR")
    if refit.boat.boat.hulls == "mono":
        yield Hatch(outline, "SHADE")
        yield Line(sight.at(starboard[-1]), sight.at(port[-1]), "FAR")
        if abs(starboard[0][1] - port[0][1]) > 1.0:
            yield Line(sight.at(starboard[0]), sight.at(port[0]), "FAR")
    given = refit.boat.deck_edge
    for edge in (given.starboard_inner, given.port_inner, given.bow, given.stern):
        if edge is not None:
            yield Polyline(tuple(sight.at(point) for point in edge), "FAR")
    yield Polyline(tuple(sight.at(point) for point in port), "RAIL")
    x = refit.boat.boat.mast_x
    if x is not None:
        z = (starboard[0][2] + starboard[-1][2]) / 2.0
        ring = tuple(sight.at((x + _MAST * math.cos(a), _MAST * math.sin(a), z)) for a in _ROUND)
        yield Polyline(ring, "FAR", closed=True)


def _mast_names(drawn: Drawn, refit: Refit, sight: Sight) -> list[Label]:
    """Return the word at its places beside the mast."""
    x, edge = refit.boat.boat.mast_x, refit.boat.edge("S")
    if x is None:
        return []
    u, v = sight.at((x, 0.0, (edge[0][2] + edge[-1][2]) / 2.0))
    wide = text_width(words.MAST_NAME, _NAME)
    off = _MAST * sight.scale + 1.5
    around = [(off, -1.2), (-off - wide, -1.2), (-wide / 2.0, -off - 2.5), (-wide / 2.0, off)]
    beyond = [(x * reach, y * reach) for reach in (1.0, 2.0, 3.0, 4.0) for x, y in around]
    return [drawn.label(Text((u + x, v + y), words.MAST_NAME, _NAME, "SECOND")) for x, y in beyond]


_ROUND = tuple(math.tau * k / 24.0 for k in range(24))


def _rails(refit: Refit, sight: Sight, far: bool) -> Iterator[Item]:
    """Yield the parts of the rails on the far side, or on the near one."""
    for rail in refit.boat.rails.values():
        axis = rail_axis(rail)
        chain: list[Point] = []
        for a, b in itertools.pairwise((axis[0], *axis)):
            if a[1] * b[1] < 0.0:
                # Where it crosses the centreline.
                share = a[1] / (a[1] - b[1])
                x, z = a[0] + share * (b[0] - a[0]), a[2] + share * (b[2] - a[2])
                chain.append(sight.at((x, 0.0, z)))
                if (a[1] > 0.0) == far:
                    yield Polyline(tuple(chain), "FAR" if far else "POST")
                chain = [chain[-1]]
            chain.append(sight.at(b))
        if len(chain) > 1 and (axis[-1][1] > 0.0) == far:
            yield Polyline(tuple(chain), "FAR" if far else "POST")


def _post(refit: Refit, post: PlacedPost, sight: Sight, far: bool) -> Iterator[Item]:
    base = refit.boat.bases.get(post.spec.base) if post.spec.base else None
    x, y, z = post.foot
    if base is not None:
        a, b = base.length / 2.0, base.width / 2.0
        corners = tuple(sight.at((x + u, y + v, z)) for u, v in ((-a, -b), (a, -b), (a, b), (-a, b)))
        yield Polyline(corners, "FAR" if far else "EDGE", closed=True)
    yield Line(sight.at(post.foot), sight.at(post.at(post.top)), "FAR" if far else "POST", f"picture-post:{post.id}")
    brace = post.spec.brace
    if brace is not None:
        yield Line(sight.at(brace.foot), sight.at(post.at(brace.along)), "FAR" if far else "EDGE")


def _line(run: RunSummary, sight: Sight, name: Label | None) -> Iterator[Item]:
    """Yield a run, with a gap for a name that stands in it."""
    points = tuple(sight.at(point) for point in run.run.points)
    on_hold = bool(run.work.refused)
    layer = "HOLD" if on_hold else f"GUARD-LINE-{run.run.level}"
    for chain in [points] if name is None or name.leader is not None else _parted(points, name):
        chains = [beside(chain, sign * _HOLLOW) for sign in (-1.0, 1.0)] if on_hold else [chain]
        for one in chains:
            yield Polyline(one, layer, tag=f"picture:{run.run.id}")
    for point in (points[0], points[-1]):
        yield Circle(point, 0.7, "EDGE")


def _parted(points: tuple[Point, ...], name: Label) -> list[tuple[Point, ...]]:
    """Return a chain in two parts with a gap where its name stands."""
    (text,) = name.items
    assert isinstance(text, Text)
    at, half = text.at, 0.5 * text_width(text.text, text.height, text.weight) + _HALF_GAP
    bent = [math.dist(a, at) + math.dist(at, b) - math.dist(a, b) for a, b in itertools.pairwise(points)]
    span = bent.index(min(bent))
    way = towards(points[span], points[span + 1])
    return [(*points[: span + 1], add(at, way, -half)), (add(at, way, half), *points[span + 1 :])]


def _run_names(drawn: Drawn, of: RunSummary, sight: Sight) -> Iterator[Label]:
    """Yield a run's name in its line, in the middle of its longest spans first, then beside it with a leader."""
    run = of.run
    points = tuple(sight.at(point) for point in run.points)
    spans = sorted(itertools.pairwise(points), key=lambda span: -round(math.dist(*span), 3))
    layer = "HOLD" if of.work.refused else "GUARD-LINE-U"
    text = Text((0.0, 0.0), run.id, _NAME, layer, "centre", "middle", tag=f"name:{run.id}", weight="semibold")
    half = 0.5 * text_width(run.id, _NAME, "semibold") + _HALF_GAP + 2.0
    for share in _SHARES:
        for a, b in spans:
            size, way = math.dist(a, b), towards(a, b)
            if half <= min(share, 1.0 - share) * size:
                turn = math.atan2(way[1], way[0])
                yield drawn.label(replace(text, at=add(a, way, share * size), rotation=turn), own=f"picture:{run.id}")
    a, b = spans[0]
    for reach in _RUN_LED:
        for share in _SHARES:
            at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            for turn in (*_LED_TURNS, *_STEEP) if reach > _LED[-1] else _LED_TURNS:
                end = add(at, (math.cos(turn), math.sin(turn)), reach)
                across: Across = "centre" if abs(math.cos(turn)) < 0.1 else "left" if math.cos(turn) > 0.0 else "right"
                upright: Upright = "middle" if abs(math.sin(turn)) < 0.1 else "base" if math.sin(turn) > 0.0 else "top"
                short = add(at, (math.cos(turn), math.sin(turn)), reach - 0.8)
                yield drawn.label(replace(text, at=end, across=across, upright=upright), (at, short))


def _post_names(drawn: Drawn, post: PlacedPost, sight: Sight, led: bool) -> Iterator[Label]:
    """Yield a post's name over a far post and under a near one, then, if `led`, further off with a leader."""
    far = post.side in ("S", "PI")
    x, y = sight.at(post.at(post.top)) if far else sight.at(post.foot)
    up, first = (1.0, 1.6) if far else (-1.0, 6.5)
    text = Text((0.0, 0.0), post.id, _NAME, "TEXT", "centre", tag=f"picture-name:{post.id}", weight="semibold")
    for high in (first, first + 1.8):
        for off in (-5.0, 5.0, 0.0, -8.0, 8.0) if far else (0.0, -5.0, 5.0):
            yield drawn.label(replace(text, at=(x + off, y + up * high)))
    for high in _LED if led else ():
        for off in (-6.0, 6.0, 0.0, -12.0, 12.0):
            at = (x + off, y + up * (high + (0.0 if far else _NAME)))
            yield drawn.label(replace(text, at=at), ((x, y), (at[0], at[1] - (0.8 if far else -_NAME - 0.8))))


def _side_names(drawn: Drawn, place: Rect) -> list[Label]:
    """Return the word of the far side at its places over it, at the left."""
    return [
        drawn.label(Text((place.left + x, place.top - y), words.SIDE["S"], 3.5, "TEXT", weight="semibold"))
        for y in (26.0, 18.0, 10.0, 4.5)
        for x in (16.0, 6.0, 30.0, 50.0)
    ]


def _port_names(drawn: Drawn, refit: Refit, sight: Sight, place: Rect) -> list[Label]:
    """Return the word of the near side at its places under it."""
    low, middle = _low(refit, sight), (place.left + place.right) / 2.0
    base = max(low - 15.0, place.bottom + 1.0)
    return [
        drawn.label(Text((middle + x, base + y), words.SIDE["P"], 3.5, "TEXT", "centre", weight="semibold"))
        for y in (0.0, 4.0, -4.0, 8.0)
        for x in (-25.0, 0.0, 25.0, 50.0, -50.0)
    ]


def _bows(drawn: Drawn, refit: Refit, sight: Sight, place: Rect) -> Iterator[Label]:
    """Yield the arrow to the bow at its places at the left under the boat."""
    for x in (17.0, 25.0, 35.0):
        for up in (0.0, 6.0, 12.0, 18.0, -4.0):
            at = (place.left + x, max(_low(refit, sight) - 12.0, place.bottom + 3.0) + up)
            head = ((at[0] - 17.0, at[1]), (at[0] - 13.0, at[1] + 1.3), (at[0] - 13.0, at[1] - 1.3))
            word = Text((at[0] + 1.5, at[1]), words.BOW, 3.5, "TEXT", "left", "middle", weight="semibold")
            yield drawn.group((Line((at[0] - 13.0, at[1]), at, "THIN"), Hatch(head, "THIN"), word))


def _low(refit: Refit, sight: Sight) -> float:
    return min(sight.at(point)[1] for point in refit.boat.edge("P"))
