"""The boat seen from the port bow and above, drawn from its placed posts and runs.

No solid and no hidden lines: the far side is drawn first and lighter, the near side over it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom.boat.model import Side
from geom.drafting import text as words
from geom.drafting.boat_view import SIDES
from geom.drafting.placing import Drawn
from geom.drafting.rail_lines import rail_axis
from geom.drafting.symbols import FLAG_RADIUS, flag
from geom.figure import Circle, Hatch, Item, Line, Point, Polyline, Rect, Text
from geom.lettering import width as text_width
from geom.open_items import OpenItem
from geom.placement.place import PlacedPost, PlacedRun
from geom.refit import Refit
from geom.sheets.deck_plan.flags import anchors
from geom.sheets.deck_plan.plan import beside
from geom.vec import Vec

# The way of looking: turned so far from athwartships towards the bow, and so far down [rad].
_TURN, _DOWN = math.radians(22.0), math.radians(30.0)
_NAME, _HALF_GAP = 2.5, 1.2
_HOLLOW = 0.65
# Share of a run's first span at which it is flagged, clear of its name.
_ALONG = 0.1
# Radius of the mast as drawn, about that of a small boat's [boat mm].
_MAST = 60.0
_REACHES = (11.0, 15.0, 8.5, 20.0, 26.0)
_WAYS = tuple(math.radians(90.0 + turn) for turn in (0, 25, -25, 50, -50, 80, -80, 110, -110, 145, -145, 180))


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
    items: list[Item] = [*_deck(refit, sight)]
    for side in SIDES:
        far = side == "S"
        items += _rails(refit, sight, far)
        for post in refit.placed.posts.values():
            if post.side == side:
                items += _post(refit, post, sight, far)
        for run in refit.runs:
            if run.run.side == side:
                items += _line(run.run, bool(run.work.refused), sight)
    for run in refit.runs:
        if run.run.side not in SIDES:
            # Lines across and along inboard edges lie too close one above the other for their names.
            items += _line(run.run, bool(run.work.refused), sight, named=False)
    items += [item for post in refit.placed.posts.values() if post.side not in SIDES
              for item in _post(refit, post, sight, far=False)]  # fmt: skip
    items += _names(refit, sight, place)
    drawn = Drawn()
    drawn.add(items)
    mast = _mast_name(refit, sight, drawn)
    drawn.add(mast)
    items += mast
    return (*items, *_flags(refit, sight, listed, drawn))


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


def _mast_name(refit: Refit, sight: Sight, drawn: Drawn) -> list[Item]:
    """Return the word beside the mast where it covers least."""
    x, edge = refit.boat.boat.mast_x, refit.boat.edge("S")
    if x is None:
        return []
    u, v = sight.at((x, 0.0, (edge[0][2] + edge[-1][2]) / 2.0))
    wide = text_width(words.MAST_NAME, _NAME)
    off = _MAST * sight.scale + 1.5
    around = [(off, -1.2), (-off - wide, -1.2), (-wide / 2.0, -off - 2.5), (-wide / 2.0, off)]
    beyond = [(x * reach, y * reach) for reach in (1.0, 2.0, 3.0) for x, y in around]
    places = [(u + x, v + y) for x, y in beyond]
    best = min(places, key=lambda at: drawn.covered(Rect(at[0], at[1] - 0.3, at[0] + wide, at[1] + 2.9)))
    return [Text(best, words.MAST_NAME, _NAME, "SECOND")]


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


def _line(run: PlacedRun, on_hold: bool, sight: Sight, named: bool = True) -> Iterator[Item]:
    """Yield a run, where it is named with its name in a gap of its longest span."""
    points = tuple(sight.at(point) for point in run.points)
    spans = [math.dist(a, b) for a, b in itertools.pairwise(points)]
    longest = max(range(len(spans)), key=lambda k: (round(spans[k], 3), -k))
    wide = text_width(run.id, _NAME, "semibold") + 2.0 * _HALF_GAP
    layer = "HOLD" if on_hold else f"GUARD-LINE-{run.level}"
    lettered = "HOLD" if on_hold else "GUARD-LINE-U"
    a, b = points[longest], points[longest + 1]
    way = ((b[0] - a[0]) / spans[longest], (b[1] - a[1]) / spans[longest])
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    chains = [points]
    if named and wide + 4.0 <= spans[longest]:
        half = wide / 2.0
        stop = (middle[0] - way[0] * half, middle[1] - way[1] * half)
        start = (middle[0] + way[0] * half, middle[1] + way[1] * half)
        chains = [(*points[: longest + 1], stop), (start, *points[longest + 1 :])]
        turn = math.atan2(way[1], way[0])
        yield Text(middle, run.id, _NAME, lettered, "centre", "middle", turn, f"name:{run.id}", "semibold")
    for chain in chains:
        if on_hold:
            for sign in (-1.0, 1.0):
                yield Polyline(beside(chain, sign * _HOLLOW), layer, tag=f"picture:{run.id}")
        else:
            yield Polyline(chain, layer, tag=f"picture:{run.id}")
    for point in (points[0], points[-1]):
        yield Circle(point, 0.7, "EDGE")


def _names(refit: Refit, sight: Sight, place: Rect) -> Iterator[Item]:
    """Yield the names of the posts, over the far ones and under the near ones, those of the sides, and the bow."""
    for post in refit.placed.posts.values():
        if post.side in ("S", "PI"):
            x, y = sight.at(post.at(post.top))
            at = (x - 5.0, y + 1.6)
        else:
            x, y = sight.at(post.foot)
            at = (x, y - 6.5)
        yield Text(at, post.id, 2.5, "TEXT", "centre", tag=f"picture-name:{post.id}", weight="semibold")
    yield Text((place.left + 16.0, place.top - 26.0), words.SIDE["S"], 3.5, "TEXT", weight="semibold")
    xs = [sight.at(point) for point in refit.boat.edge("P")]
    low = min(y for _, y in xs)
    at = ((place.left + place.right) / 2.0 - 25.0, max(low - 15.0, place.bottom + 1.0))
    yield Text(at, words.SIDE["P"], 3.5, "TEXT", "centre", weight="semibold")
    bow = (place.left + 17.0, max(low - 12.0, place.bottom + 3.0))
    yield Line((bow[0] - 13.0, bow[1]), (bow[0], bow[1]), "THIN")
    yield Hatch(((bow[0] - 17.0, bow[1]), (bow[0] - 13.0, bow[1] + 1.3), (bow[0] - 13.0, bow[1] - 1.3)), "THIN")
    yield Text((bow[0] + 1.5, bow[1]), words.BOW, 3.5, "TEXT", "left", "middle", weight="semibold")


def _flags(refit: Refit, sight: Sight, listed: Sequence[OpenItem], drawn: Drawn) -> Iterator[Item]:
    for one in listed:
        for side, at in anchors(refit, one, _ALONG):
            items = _flag(one.number, sight.at((*at, _height_at(refit, one, side, at))), drawn)
            drawn.add(items)
            yield from items


def _height_at(refit: Refit, item: OpenItem, side: Side, at: Point) -> float:
    """Return the height at which an item is flagged: on its line, or at two thirds of its post [mm]."""
    for run in refit.placed.runs.values():
        if run.id in item.places and run.side == side:
            first, last = run.points[0], run.points[1]
            return first[2] + _ALONG * (last[2] - first[2])
    nearest = min(
        (post for post in refit.placed.posts.values() if post.side == side),
        key=lambda post: math.dist(post.foot[:2], at),
        default=None,
    )
    return nearest.at(nearest.top * 0.66)[2] if nearest else refit.boat.edge("S")[0][2]


def _flag(number: int, at: Point, drawn: Drawn) -> tuple[Item, ...]:
    """Return a flag at the nearest place that covers nothing, with a line to what it is about."""
    best: tuple[int, Point] | None = None
    r = FLAG_RADIUS + 0.5
    for reach in _REACHES:
        for way in _WAYS:
            centre = (at[0] + reach * math.cos(way), at[1] + reach * math.sin(way))
            cost = 3 * drawn.covered(Rect(centre[0] - r, centre[1] - r, centre[0] + r, centre[1] + r))
            cost += 5 * drawn.crossed(at, centre)
            if best is None or cost < best[0]:
                best = (cost, centre)
            if cost == 0:
                break
        if best is not None and best[0] == 0:
            break
    assert best is not None
    centre = best[1]
    size = math.dist(at, centre)
    edge = FLAG_RADIUS * 0.95 / size
    end = (centre[0] + (at[0] - centre[0]) * edge, centre[1] + (at[1] - centre[1]) * edge)
    return (*flag(centre, number, tag=f"item:{number}"), Line(at, end, "OPEN-ITEM"))
