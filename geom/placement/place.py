"""Boat -> placed posts, holes and runs: centres, paths, spans, angles and best hole axes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated

from geom import vec
from geom.boat.model import Boat, Hole, HoleDirection, Level, Post, Run, RunEnd, Side, SlideOn
from geom.frozen import frozen
from geom.placement.edges import HoleEdge, hole_edge
from geom.units import MM, Mm, Rad
from geom.vec import Vec

AFT: Vec = (1.0, 0.0, 0.0)
UP: Vec = (0.0, 0.0, 1.0)
# Distance along a straightedge at which the offsets of a tube are read [mm].
RULE_LENGTH = 600.0


def side_sign(side: Side) -> float:
    """Return the dimensionless sign of outboard along Y, over the edge of a side: +1 for starboard, -1 for port.

    Over the inboard edge of a hull the other way; across the boat +1, to starboard.
    """
    return -1.0 if side in ("P", "SI") else 1.0


def hull_sign(side: Side) -> float:
    """Return the dimensionless sign of Y on the side of the boat where an edge is: +1 to starboard, -1 to port."""
    return -1.0 if side.startswith("P") else 1.0


def outward(run: Run) -> Vec:
    """Return the unit direction over the edge that a run guards: outboard, or aft or forward where it goes across."""
    if run.side == "C":
        return (-1.0, 0.0, 0.0) if run.across == "bow" else AFT
    return (0.0, side_sign(run.side), 0.0)


@frozen
class PlacedHole:
    """One hole of a placed post: its diameter [mm], and its edge with the bore that it leaves.

    `measured` is the unit direction of the hole where the boat file states it, measured or planned, else None.
    """

    id: str
    post: str
    level: Level
    along: Mm
    centre: Annotated[Vec, MM]
    diameter: Mm
    edge: HoleEdge
    measured: Vec | None
    spec: Hole

    @property
    def bore(self) -> Mm:
        """What lines and ends pass through [mm]: the bore of the bush, else the hole as planned or as found."""
        return self.edge.bore


@frozen
class PlateAngles:
    """Angles of a tube to the normal of the deck at its foot [rad]: outboard +, aft +, and the total angle."""

    out: Rad
    aft: Rad
    total: Rad


@frozen
class PlacedPost:
    """A post in space: foot [mm], tube axis and frame as unit vectors, angles [rad], tube [mm], holes.

    `fore_and_aft` and `outboard` are square to the tube axis; `tilt` is the angle of the axis to the vertical;
    `top` is the length of the post along its axis from the deck.
    """

    id: str
    side: Side
    foot: Annotated[Vec, MM]
    axis: Vec
    fore_and_aft: Vec
    outboard: Vec
    lean: Rad
    rake: Rad
    tilt: Rad
    plate: PlateAngles
    tube_od: Mm
    tube_wall: Mm
    top: Mm
    holes: tuple[PlacedHole, ...]
    spec: Post

    def hole(self, level: Level) -> PlacedHole | None:
        """Return the hole of a level, None where the post has none."""
        for hole in self.holes:
            if hole.level == level:
                return hole
        return None

    @property
    def raised(self) -> Mm:
        """Height of the foot above the working deck [mm], that of the bulwark or toe rail under it."""
        return self.spec.foot_above_deck or 0.0

    def at(self, along: float) -> Vec:
        """Return the point of the tube axis at a distance from the foot [mm]."""
        return vec.along(self.foot, self.axis, along)

    @property
    def offset_out_from_plate_at_600(self) -> Mm:
        """Outboard offset of the tube at 600 mm square to its plate [mm]."""
        return RULE_LENGTH * math.tan(self.plate.out)

    @property
    def offset_aft_from_plate_at_600(self) -> Mm:
        """Aft offset of the tube at 600 mm square to its plate [mm]."""
        return RULE_LENGTH * math.tan(self.plate.aft)

    @property
    def offset_out_from_plumb_at_600(self) -> Mm:
        """Outboard offset of the tube from plumb at 600 mm height [mm]."""
        return RULE_LENGTH * math.tan(self.lean)

    @property
    def offset_aft_from_plumb_at_600(self) -> Mm:
        """Aft offset of the tube from plumb at 600 mm height [mm]."""
        return RULE_LENGTH * math.tan(self.rake)


@frozen
class Passage:
    """A run through one hole: unit directions of its two legs, its turn [rad], and the best hole axis.

    `clocking` is the angle of that axis about the tube from fore-and-aft (aft end outboard +), `tilt` its angle
    to the plane square to the tube (aft end up +).
    """

    hole: PlacedHole
    incoming: Vec
    outgoing: Vec
    turn: Rad
    turn_in_plan: Rad
    best_axis: Vec
    clocking: Rad
    tilt: Rad


@frozen
class PlacedRun:
    """A run in space: its points pin to pin [mm], their names, its spans [mm] and the holes it passes through.

    `slide_on` is what is slid on its line: what the boat file states, and the sleeves for the edges of its holes.
    """

    id: str
    side: Side
    level: Level
    names: tuple[str, ...]
    points: tuple[Vec, ...]
    spans: tuple[Mm, ...]
    passages: tuple[Passage, ...]
    slide_on: tuple[SlideOn, ...]
    spec: Run

    @property
    def path(self) -> Mm:
        """Length pin to pin along the straight chords [mm]."""
        return math.fsum(self.spans)


def tube_axis(side: Side, lean: float, rake: float) -> Vec:
    """Return the unit direction of a tube that leans outboard and rakes aft.

    Args:
        side: of the boat.
        lean: angle from plumb, outboard + [rad].
        rake: angle from plumb, aft + [rad].
    """
    return vec.unit((math.tan(rake), side_sign(side) * math.tan(lean), 1.0))


def deck_normal(side: Side, falls_aft: float, falls_outboard: float) -> Vec:
    """Return the unit normal of a deck that falls aft and outboard.

    Args:
        side: of the boat.
        falls_aft: slope down aft [rad].
        falls_outboard: slope down outboard [rad].
    """
    return vec.unit((math.tan(falls_aft), side_sign(side) * math.tan(falls_outboard), 1.0))


def frame_about(axis: Vec, side: Side) -> tuple[Vec, Vec]:
    """Return the fore-and-aft and the outboard unit direction square to an axis."""
    fore_and_aft = vec.unit(vec.square_to(AFT, axis))
    return fore_and_aft, vec.scale(vec.cross(axis, fore_and_aft), side_sign(side))


def plate_angles(axis: Vec, normal: Vec, side: Side) -> PlateAngles:
    """Return the angles of a tube to its plate, in the fore-and-aft and outboard planes of the plate.

    Args:
        axis: unit direction of the tube.
        normal: unit normal of the plate.
        side: of the boat.
    """
    aft, out = frame_about(normal, side)
    square = vec.dot(axis, normal)
    return PlateAngles(
        out=math.atan2(vec.dot(axis, out), square),
        aft=math.atan2(vec.dot(axis, aft), square),
        total=vec.angle(axis, normal),
    )


def hole_axis(axis: Vec, side: Side, clocking: float, tilt: float) -> Vec:
    """Return the unit direction of a hole, aft end first.

    Args:
        axis: unit direction of the tube.
        side: of the boat.
        clocking: angle about the tube from fore-and-aft, aft end outboard + [rad].
        tilt: angle to the plane square to the tube, aft end up + [rad].
    """
    aft, out = frame_about(axis, side)
    level = vec.add(vec.scale(aft, math.cos(clocking)), vec.scale(out, math.sin(clocking)))
    return vec.add(vec.scale(level, math.cos(tilt)), vec.scale(axis, math.sin(tilt)))


def place_post(boat: Boat, post: Post) -> PlacedPost:
    """Return a post in space with its holes."""
    axis = tube_axis(post.side, post.lean, post.rake)
    fore_and_aft, outboard = frame_about(axis, post.side)
    tube = boat.tubes[post.tube]
    return PlacedPost(
        id=post.id,
        side=post.side,
        foot=post.foot,
        axis=axis,
        fore_and_aft=fore_and_aft,
        outboard=outboard,
        lean=post.lean,
        rake=post.rake,
        tilt=vec.angle(axis, UP),
        plate=plate_angles(axis, deck_normal(post.side, post.deck_falls.aft, post.deck_falls.outboard), post.side),
        tube_od=tube.od,
        tube_wall=tube.wall,
        top=post.top,
        holes=tuple(
            _place_hole(boat, post, axis, level, hole) for level, hole in sorted(post.holes.items(), reverse=True)
        ),
        spec=post,
    )


def _place_hole(boat: Boat, post: Post, axis: Vec, level: Level, hole: Hole) -> PlacedHole:
    spec = hole.planned.direction if hole.planned is not None else hole.as_found.direction  # type: ignore[union-attr]
    measured = hole_axis(axis, post.side, spec.clocking, spec.tilt) if isinstance(spec, HoleDirection) else None
    return PlacedHole(
        id=f"{post.id}-{level}",
        post=post.id,
        level=level,
        along=hole.along,
        centre=vec.along(post.foot, axis, hole.along),
        diameter=hole.diameter,
        edge=hole_edge(boat, post, level, hole),
        measured=measured,
        spec=hole,
    )


def place_run(boat: Boat, posts: Mapping[str, PlacedPost], run: Run) -> PlacedRun:
    """Return a run in space.

    Args:
        boat: the boat file.
        posts: every placed post by its id.
        run: the run as the boat file states it.
    """
    holes = [_hole(posts[post_id], run.level) for post_id in run.through]
    inner = [hole.centre for hole in holes]
    start = _end_point(boat, posts, run.start, run.level, toward=_next_point(boat, posts, run, inner[:1], run.finish))
    finish = _end_point(boat, posts, run.finish, run.level, toward=_next_point(boat, posts, run, inner[-1:], run.start))
    points = (start, *inner, finish)
    return PlacedRun(
        id=run.id,
        side=run.side,
        level=run.level,
        names=(end_name(run.start), *(hole.id for hole in holes), end_name(run.finish)),
        points=points,
        spans=tuple(vec.distance(a, b) for a, b in pairwise(points)),
        passages=tuple(
            _passage(posts[hole.post], hole, points[index], points[index + 2]) for index, hole in enumerate(holes)
        ),
        slide_on=(*run.slide_on, *(hole.edge.sleeve for hole in holes if hole.edge.sleeve is not None)),
        spec=run,
    )


def end_name(end: RunEnd) -> str:
    """Return the id of the rail eye or post where a run ends."""
    name = end.eye or end.post
    assert name is not None
    return name


def _hole(post: PlacedPost, level: Level) -> PlacedHole:
    hole = post.hole(level)
    assert hole is not None
    return hole


def end_anchor(boat: Boat, posts: Mapping[str, PlacedPost], end: RunEnd, level: Level) -> Vec:
    """Return the rail eye, or the centre of the hole at that level for an end on a post.

    Args:
        boat: the boat file.
        posts: placed posts by id.
        end: one end of a run.
        level: of the run.
    """
    return boat.eye(end.eye).at if end.eye else _hole(posts[end_name(end)], level).centre


def _next_point(boat: Boat, posts: Mapping[str, PlacedPost], run: Run, inner: list[Vec], other: RunEnd) -> Vec:
    """Return the point next to an end: the nearest hole of the run, else the anchor of the other end."""
    return inner[0] if inner else end_anchor(boat, posts, other, run.level)


def _end_point(boat: Boat, posts: Mapping[str, PlacedPost], end: RunEnd, level: Level, toward: Vec) -> Vec:
    """Return the bearing point of an end; an eye on a post is offset from the tube axis towards the run."""
    anchor = end_anchor(boat, posts, end, level)
    if end.eye_offset is None:
        return anchor
    return vec.along(anchor, vec.unit(vec.sub(toward, anchor)), end.eye_offset)


def _passage(post: PlacedPost, hole: PlacedHole, before: Vec, after: Vec) -> Passage:
    incoming = vec.unit(vec.sub(hole.centre, before))
    outgoing = vec.unit(vec.sub(after, hole.centre))
    best = vec.unit(vec.add(incoming, outgoing))
    return Passage(
        hole=hole,
        incoming=incoming,
        outgoing=outgoing,
        turn=vec.angle(incoming, outgoing),
        turn_in_plan=vec.angle((incoming[0], incoming[1], 0.0), (outgoing[0], outgoing[1], 0.0)),
        best_axis=best,
        clocking=math.atan2(vec.dot(best, post.outboard), vec.dot(best, post.fore_and_aft)),
        tilt=math.asin(vec.dot(best, post.axis)),
    )
