"""Placed posts for load analysis, and the pulls of the lines on them."""

from __future__ import annotations

import math

from geom import vec
from geom.boat.model import BasePlate, Boat
from geom.errors import OutsideTableError
from geom.mechanics.post_bending import PinHole, PostFrame, PostHole, Prop, Pull
from geom.mechanics.tube import TubeSection, elastic_modulus, proof_stress
from geom.placement.pads import length_above_plate
from geom.placement.place import PlacedHole, PlacedPost, PlacedRun, end_name
from geom.placement.placed import Placed, once
from geom.remark import Remark, Stated
from geom.vec import Vec


@once
def post_frames(placed: Placed) -> dict[str, PostFrame]:
    """Return the posts of a boat for load analysis, by id."""
    runs = tuple(placed.runs.values())
    return {name: post_frame(placed.boat, post, runs) for name, post in placed.posts.items()}


def post_frame(boat: Boat, post: PlacedPost, runs: tuple[PlacedRun, ...]) -> PostFrame:
    """Return a post for load analysis; proof stress as stated in the boat file, else the minimum for the grade.

    Args:
        boat: the boat file.
        post: the placed post.
        runs: every placed run, for the directions of holes that are not stated.
    """
    tube = boat.tubes[post.spec.tube]
    strength: float | None
    stated = tube.proof_stress is not None
    source: Stated
    if tube.proof_stress is not None:
        strength, source = tube.proof_stress, tube.proof_stress_source or Remark("source.boat_file")
    else:
        strength, source = _published(tube.grade)
    base = None if post.spec.base is None else boat.bases[post.spec.base]
    return PostFrame(
        id=post.id,
        foot=post.foot,
        axis=post.axis,
        fore_and_aft=post.fore_and_aft,
        outboard=post.outboard,
        tube=TubeSection(post.tube_od, post.tube_wall),
        holes=tuple(_hole(post, hole, runs) for hole in post.holes),
        proof_stress=strength,
        proof_source=source,
        proof_stated=stated,
        elastic_modulus=_modulus(tube.grade),
        brace=_prop(post),
        base=base,
        pin=None if base is None else _pin_hole(post, base),
    )


def _published(grade: str) -> tuple[float | None, Remark]:
    try:
        found = proof_stress(grade)
    except OutsideTableError:
        return None, Remark("proof_stress.no_grade", grade=grade)
    return found.value, Remark("proof_stress.of_grade", grade=grade, source=found.source, sure=found.sure)


def _modulus(grade: str) -> float | None:
    try:
        return elastic_modulus(grade).value
    except OutsideTableError:
        return None


def _prop(post: PlacedPost) -> Prop | None:
    brace = post.spec.brace
    if brace is None:
        return None
    return Prop(brace.along, vec.unit(vec.sub(post.at(brace.along), brace.foot)))


def _pin_hole(post: PlacedPost, base: BasePlate) -> PinHole | None:
    """Return the hole for the pin of a socket, at its height over the plate; None where there is none."""
    socket = base.socket
    if socket is None or socket.pin_hole is None or socket.pin_height is None:
        return None
    plate = post.top - length_above_plate(post, base)
    return PinHole(plate + socket.pin_height, socket.pin_hole)


def _hole(post: PlacedPost, hole: PlacedHole, runs: tuple[PlacedRun, ...]) -> PostHole:
    """Return a hole with its measured or planned direction, else the best one for the line through it."""
    axis = hole.measured
    for run in runs:
        for passage in run.passages:
            if axis is None and passage.hole.id == hole.id:
                axis = passage.best_axis
    if axis is None:
        return PostHole(hole.id, hole.along, hole.diameter, 0.0)
    clocking = math.atan2(vec.dot(axis, post.outboard), vec.dot(axis, post.fore_and_aft))
    return PostHole(hole.id, hole.along, hole.diameter, clocking)


def attachments_of(run: PlacedRun, posts: dict[str, PlacedPost]) -> dict[str, list[tuple[float, int]]]:
    """Return the attachments of a run to its posts, by post: height along the tube [mm] and index of the point.

    Args:
        run: the placed run.
        posts: every placed post.
    """
    found: dict[str, list[tuple[float, int]]] = {}
    for index, passage in enumerate(run.passages, start=1):
        found.setdefault(passage.hole.post, []).append((passage.hole.along, index))
    for end, index in ((run.spec.start, 0), (run.spec.finish, len(run.points) - 1)):
        if end.post is not None:
            hole = posts[end_name(end)].hole(run.level)
            assert hole is not None
            found.setdefault(end.post, []).append((hole.along, index))
    return found


def pulls_of(run: PlacedRun, forces: tuple[Vec, ...], posts: dict[str, PlacedPost]) -> dict[str, list[Pull]]:
    """Return the pulls of a run on its posts, by post.

    Args:
        run: the placed run.
        forces: force of the run on each of its points [N].
        posts: every placed post.
    """
    attachments = attachments_of(run, posts)
    return {name: [Pull(along, forces[index], run.id) for along, index in own] for name, own in attachments.items()}
