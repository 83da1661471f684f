"""Port against starboard, and the clear width of gates: what must not be taken as alike."""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.boat.model import Gate, RailEye, Side
from geom.placement.place import PlacedPost, PlacedRun
from geom.units import Mm
from geom.vec import Vec


@dataclass(frozen=True)
class Pair:
    """A measure that stands on both sides: starboard less port [mm]."""

    name: str
    quantity: str
    starboard: Mm
    port: Mm

    @property
    def difference(self) -> Mm:
        """Starboard less port [mm]."""
        return self.starboard - self.port


def run_pairs(runs: tuple[PlacedRun, ...]) -> tuple[Pair, ...]:
    """Return the path of each run that has a namesake on the other side."""
    port = {run.id[2:]: run for run in runs if run.side == "P"}
    return tuple(
        Pair(run.id[2:], "path", run.path, port[run.id[2:]].path)
        for run in runs
        if run.side == "S" and run.id[2:] in port
    )


def post_pairs(posts: tuple[PlacedPost, ...]) -> tuple[Pair, ...]:
    """Return how the holes of namesake posts differ, level by level: station, half-breadth, height, bore [mm]."""
    port = {post.id[2:]: post for post in posts if post.side == "P"}
    pairs = []
    for post in posts:
        twin = port.get(post.id[2:])
        if post.side != "S" or twin is None:
            continue
        for hole in post.holes:
            other = twin.hole(hole.level)
            if other is not None:
                name = f"{post.id[2:]}-{hole.level}"
                pairs += _point_pairs(name, "hole", hole.centre, other.centre)
                pairs.append(Pair(name, "hole bore", hole.bore, other.bore))
    return tuple(pairs)


def eye_pairs(eyes: tuple[RailEye, ...]) -> tuple[Pair, ...]:
    """Return how namesake rail eyes differ: station, half-breadth, height [mm]."""
    port = {eye.id[2:]: eye for eye in eyes if eye.id.startswith("P-")}
    pairs = []
    for eye in eyes:
        twin = port.get(eye.id[2:])
        if eye.id.startswith("S-") and twin is not None:
            pairs += _point_pairs(eye.id[2:], "eye", eye.at, twin.at)
    return tuple(pairs)


def _point_pairs(name: str, what: str, starboard: Vec, port: Vec) -> list[Pair]:
    return [
        Pair(name, f"{what} X", starboard[0], port[0]),
        Pair(name, f"{what} off centreline", starboard[1], -port[1]),
        Pair(name, f"{what} Z", starboard[2], port[2]),
    ]


@dataclass(frozen=True)
class GateLevel:
    """One level of a gate: distance hole to hole and clear between the tubes' faces [mm]."""

    gate: str
    level: str
    hole_to_hole: Mm
    clear: Mm


@dataclass(frozen=True)
class PlacedGate:
    """A gate between two posts, with the widths of each level that both posts have."""

    id: str
    side: Side
    posts: tuple[str, str]
    levels: tuple[GateLevel, ...]


def place_gate(posts: dict[str, PlacedPost], gate: Gate) -> PlacedGate:
    """Return a gate's widths."""
    forward, aft = posts[gate.posts[0]], posts[gate.posts[1]]
    levels = []
    for hole in forward.holes:
        other = aft.hole(hole.level)
        if other is not None:
            between = vec.distance(hole.centre, other.centre)
            levels.append(GateLevel(gate.id, hole.level, between, between - (forward.tube_od + aft.tube_od) / 2.0))
    return PlacedGate(gate.id, forward.side, gate.posts, tuple(levels))
