"""Gates in space: their two supports, and their widths level by level."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from geom import vec
from geom.boat.model import Boat, Gate, Level, Side, side_of
from geom.placement.heights import edge_across_z, edge_z
from geom.placement.place import PlacedPost
from geom.units import MM, Mm
from geom.vec import Vec


@dataclass(frozen=True)
class GateLevel:
    """One level of a gate: distance hole to hole and clear opening between the tubes [mm].

    Where a support is the eyes of a rail, both end at the bearing point of its eye.
    """

    gate: str
    level: str
    hole_to_hole: Mm
    clear: Mm


@dataclass(frozen=True)
class Support:
    """One side of a gate: a post, or the eyes of one name on a rail or a fitting.

    `points` are the hole centres of the post or the bearing points of the eyes by level, `radius` is half the diameter
    of the post's tube, 0 at eyes, and `deck` the foot of the post or the deck edge under the highest eye [mm].
    """

    name: str
    post: PlacedPost | None
    points: dict[Level, Vec]
    radius: Mm
    deck: Annotated[Vec, MM]

    @property
    def top(self) -> Vec:
        """The top of the post, or the highest eye [mm]."""
        return self.points[max(self.points)] if self.post is None else self.post.at(self.post.top)


@dataclass(frozen=True)
class PlacedGate:
    """A gate between two supports, with its widths at each level that both have.

    `loose` are the removable or hinged posts in the opening, which the widths go past.
    """

    id: str
    side: Side
    supports: tuple[Support, Support]
    levels: tuple[GateLevel, ...]
    loose: tuple[PlacedPost, ...]

    @property
    def names(self) -> tuple[str, str]:
        """The names of both supports."""
        return self.supports[0].name, self.supports[1].name

    @property
    def posts(self) -> tuple[PlacedPost, ...]:
        """Those of its supports that are posts."""
        return tuple(support.post for support in self.supports if support.post is not None)

    def ends(self, level: str) -> tuple[Vec, Vec]:
        """Return the hole centres or bearing points of a level that both supports have [mm]."""
        forward, aft = (support.points[level] for support in self.supports)  # type: ignore[index]
        return forward, aft


def place_gate(boat: Boat, posts: dict[str, PlacedPost], gate: Gate) -> PlacedGate:
    """Return a gate with its widths.

    Args:
        boat: the boat file.
        posts: every placed post by its id.
        gate: the gate.
    """
    forward, aft = (_support(boat, posts, name, side_of(gate.id)) for name in gate.supports)
    levels = []
    for level in sorted(forward.points.keys() & aft.points.keys(), reverse=True):
        between = vec.distance(forward.points[level], aft.points[level])
        levels.append(GateLevel(gate.id, level, between, between - (forward.radius + aft.radius)))
    way = 1 if side_of(gate.id) == "C" else 0
    loose = tuple(
        post
        for post in posts.values()
        if post.spec.stands is not None
        and post.side == side_of(gate.id)
        and forward.deck[way] < post.foot[way] < aft.deck[way]
    )
    return PlacedGate(gate.id, side_of(gate.id), (forward, aft), tuple(levels), loose)


def _support(boat: Boat, posts: dict[str, PlacedPost], name: str, side: Side) -> Support:
    if name in posts:
        post = posts[name]
        return Support(name, post, {hole.level: hole.centre for hole in post.holes}, post.tube_od / 2.0, post.foot)
    points = {eye.level: eye.at for eye in boat.eyes if eye.support == name}
    x, y, _ = points[max(points)]
    deck = edge_across_z(boat, y) if side == "C" else edge_z(boat.edge(side), x)
    # Where the deck edge was not taken so far, the lowest eye stands for it.
    return Support(name, None, points, 0.0, (x, y, min(z for *_, z in points.values()) if deck is None else deck))
