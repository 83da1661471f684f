"""On which axis each hole is to be drilled, or opened, and whose wish that is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.runs.place import PlacedHole, PlacedPost, PlacedRun
from geom.vec import Vec


@dataclass(frozen=True)
class Drilling:
    """The axis of a hole as it goes to the shop, aft end first; turned and tilted about its tube [rad].

    `basis` says where the axis comes from, for the card: measured, planned, best for a run, or square; `runs`
    are those that it was computed for, none where it was told or no run uses the hole.
    """

    hole: str
    axis: Vec
    clocking: float
    tilt: float
    basis: str
    runs: tuple[str, ...] = ()


def drilling(post: PlacedPost, hole: PlacedHole, runs: tuple[PlacedRun, ...]) -> Drilling:
    """Return the axis of one hole.

    A told direction comes first; then the bisector of the run that goes through; then, at a post where
    runs end, the mean of their directions; a hole that no run uses is square to the tube, fore-and-aft.
    """
    if hole.measured is not None:
        return _on(post, hole, hole.measured, "as planned" if hole.told.planned is not None else "as measured")
    for run in runs:
        for passage in run.passages:
            if passage.hole.id == hole.id:
                return _on(post, hole, passage.best_axis, f"best for {run.id}", (run.id,))
    ending = [
        (run.id, vec.unit(vec.sub(b, a)))
        for run in runs
        if run.level == hole.level
        for name, (a, b) in (
            (run.names[0], (run.points[0], run.points[1])),
            (run.names[-1], (run.points[-2], run.points[-1])),
        )
        if name == post.id
    ]
    if ending:
        x, y, z = (math.fsum(direction[axis] for _, direction in ending) for axis in range(3))
        mean = vec.unit((x, y, z))
        names = tuple(run_id for run_id, _ in ending)
        return _on(post, hole, mean, "mean of " + " and ".join(names), names)
    return _on(post, hole, post.fore_and_aft, "square, fore-and-aft: no run uses it")


def _on(post: PlacedPost, hole: PlacedHole, axis: Vec, basis: str, runs: tuple[str, ...] = ()) -> Drilling:
    return Drilling(
        hole=hole.id,
        axis=axis,
        clocking=math.atan2(vec.dot(axis, post.outboard), vec.dot(axis, post.fore_and_aft)),
        tilt=math.asin(vec.dot(axis, post.axis)),
        basis=basis,
        runs=runs,
    )
