"""Closure: coordinates against independent tapes, with the likely cause of a misclosure."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from geom import vec
from geom.boat.model import Boat, Post
from geom.data import table
from geom.errors import Fault, InputError
from geom.frozen import frozen
from geom.intake.survey.causes import Cause, likely_causes
from geom.units import Mm
from geom.vec import Vec

# A tape may have been hooked by mistake into a point within this distance of the right one [mm].
_HOOK_REACH = 1000.0


@frozen
class TapedPair:
    """A distance taken by tape between two named points [mm]."""

    start: str
    end: str
    length: Mm
    text: str = ""


@frozen
class ClosureRow:
    """One pair: taped, computed from coordinates, taped less computed [mm]; causes where it is flagged."""

    start: str
    end: str
    taped: Mm
    computed: Mm
    limit: Mm
    causes: tuple[Cause, ...]

    @property
    def residual(self) -> Mm:
        """Taped less computed [mm]."""
        return self.taped - self.computed

    @property
    def flagged(self) -> bool:
        """Whether the residual is over the limit."""
        return abs(self.residual) > self.limit


def closure_limit() -> Mm:
    """Return the default limit of a residual [mm]; common practice, no source."""
    return table.datum("survey_limits", key="closure").value


def closure(points: Mapping[str, Vec], tapes: Iterable[TapedPair], limit: Mm) -> tuple[ClosureRow, ...]:
    """Return each taped pair against its computed distance.

    Args:
        points: coordinates by point name [mm].
        tapes: the pairs.
        limit: largest residual that is not flagged [mm].

    Raises:
        InputError: a tape names a point that has no coordinates.
    """
    tapes = tuple(tapes)
    faults = [
        Fault("a tape to a point without coordinates", key=f"{tape.start} to {tape.end}", read=name)
        for tape in tapes
        for name in (tape.start, tape.end)
        if name not in points
    ]
    if faults:
        raise InputError("tapes", faults)
    return tuple(_row(points, tape, limit) for tape in tapes)


def _row(points: Mapping[str, Vec], tape: TapedPair, limit: Mm) -> ClosureRow:
    computed = vec.distance(points[tape.start], points[tape.end])
    causes: tuple[Cause, ...] = ()
    if abs(tape.length - computed) > limit:
        causes = likely_causes(tape.length, computed, limit, tape.text, hooked_elsewhere(points, tape.start, tape.end))
    return ClosureRow(tape.start, tape.end, tape.length, computed, limit, causes)


def hooked_elsewhere(points: Mapping[str, Vec], start: str, end: str) -> tuple[tuple[str, Mm], ...]:
    """Return nearby points with the reading of a tape that has either of its ends there instead [mm].

    Args:
        points: coordinates by point name [mm].
        start: one end of the tape.
        end: the other end.
    """
    return tuple(
        (name, vec.distance(points[held], at))
        for held, moved in ((start, end), (end, start))
        for name, at in sorted(points.items())
        if name not in (start, end) and vec.distance(at, points[moved]) <= _HOOK_REACH
    )


def held_elsewhere(points: Mapping[str, Vec], point: str, height: Mm, up: Vec) -> tuple[tuple[str, Mm], ...]:
    """Return nearby points with the height that a staff held there would have given [mm].

    Args:
        points: coordinates by point name [mm].
        point: the point of the reading.
        height: its computed height over the level line [mm].
        up: the upward vertical in boat axes.
    """
    return tuple(
        (name, height + vec.dot(vec.sub(at, points[point]), up))
        for name, at in sorted(points.items())
        if name != point and vec.distance(at, points[point]) <= _HOOK_REACH
    )


def named_points(boat: Boat) -> dict[str, Vec]:
    """Return the points of a boat that a tape may refer to [mm]: holes, eyes, and feet as `S-S1-FOOT`."""
    points: dict[str, Vec] = {}
    for post in boat.posts:
        points[foot_name(post.id)] = post.foot
        for level, hole in post.holes.items():
            points[f"{post.id}-{level}"] = vec.along(post.foot, _axis(post), hole.along)
    points.update({eye.id: eye.at for eye in boat.eyes})
    return points


def foot_name(post_id: str) -> str:
    """Return the point name of a post's foot."""
    return f"{post_id}-FOOT"


def _axis(post: Post) -> Vec:
    return tube_axis_slopes(1.0 if post.side == "S" else -1.0, post.lean, post.rake)[0]


def boat_closure(boat: Boat, limit: Mm, written: Sequence[str] = ()) -> tuple[ClosureRow, ...]:
    """Return the closure of a boat file's own tapes against its coordinates.

    Args:
        boat: the boat file.
        limit: largest residual that is not flagged [mm].
        written: each tape's length as the file writes it; where not given, whole mm are assumed.
    """
    texts = written or ("",) * len(boat.tapes)
    tapes = [TapedPair(tape.start, tape.end, tape.length, text) for tape, text in zip(boat.tapes, texts, strict=True)]
    return closure(named_points(boat), tapes, limit)


def tube_axis_slopes(sign: float, lean: float, rake: float) -> tuple[Vec, Vec, Vec]:
    """Return a tube's direction, as a unit vector, and its derivatives by lean and by rake.

    Args:
        sign: +1 for starboard, -1 for port.
        lean: outboard + [rad].
        rake: aft + [rad].
    """
    raw = (math.tan(rake), sign * math.tan(lean), 1.0)
    size = vec.norm(raw)
    axis = vec.scale(raw, 1.0 / size)
    return (
        axis,
        vec.scale(vec.square_to((0.0, sign / math.cos(lean) ** 2, 0.0), axis), 1.0 / size),
        vec.scale(vec.square_to((1.0 / math.cos(rake) ** 2, 0.0, 0.0), axis), 1.0 / size),
    )
