"""Differences between port and starboard."""

from __future__ import annotations

from geom.boat.model import RailEye
from geom.frozen import frozen
from geom.placement.place import PlacedPost, PlacedRun
from geom.units import Mm
from geom.vec import Vec


@frozen
class Pair:
    """A dimension found on both sides of the boat [mm]."""

    name: str
    quantity: str
    starboard: Mm
    port: Mm

    @property
    def difference(self) -> Mm:
        """Starboard less port [mm]."""
        return self.starboard - self.port


def run_pairs(runs: tuple[PlacedRun, ...]) -> tuple[Pair, ...]:
    """Return the path of each run that has a counterpart on the other side."""
    port = {run.id[2:]: run for run in runs if run.side == "P"}
    return tuple(
        Pair(run.id[2:], "path", run.path, port[run.id[2:]].path)
        for run in runs
        if run.side == "S" and run.id[2:] in port
    )


def post_pairs(posts: tuple[PlacedPost, ...]) -> tuple[Pair, ...]:
    """Return station, half-breadth, height and bore of the holes of opposite posts, level by level."""
    port = {post.id[2:]: post for post in posts if post.side == "P"}
    pairs = []
    for post in posts:
        opposite = port.get(post.id[2:])
        if post.side != "S" or opposite is None:
            continue
        for hole in post.holes:
            other = opposite.hole(hole.level)
            if other is not None:
                name = f"{post.id[2:]}-{hole.level}"
                pairs += _point_pairs(name, "hole", hole.centre, other.centre)
                pairs.append(Pair(name, "hole bore", hole.bore, other.bore))
    return tuple(pairs)


def eye_pairs(eyes: tuple[RailEye, ...]) -> tuple[Pair, ...]:
    """Return station, half-breadth and height of opposite rail eyes."""
    port = {eye.id[2:]: eye for eye in eyes if eye.id.startswith("P-")}
    pairs = []
    for eye in eyes:
        opposite = port.get(eye.id[2:])
        if eye.id.startswith("S-") and opposite is not None:
            pairs += _point_pairs(eye.id[2:], "eye", eye.at, opposite.at)
    return tuple(pairs)


def _point_pairs(name: str, point: str, starboard: Vec, port: Vec) -> list[Pair]:
    return [
        Pair(name, f"{point} X", starboard[0], port[0]),
        Pair(name, f"{point} off centreline", starboard[1], -port[1]),
        Pair(name, f"{point} Z", starboard[2], port[2]),
    ]
