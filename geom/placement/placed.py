"""Everything that follows from a boat file by geometry alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import wraps
from typing import Any, TypeVar, TypeVarTuple

from geom import vec
from geom.boat.model import Boat, GuardLine, RunEnd, side_of
from geom.frozen import cached_property, frozen
from geom.placement.eyes import EyeVerdict, RunEyes
from geom.placement.gates import GateLevel, PlacedGate
from geom.placement.heights import HoleHeight, SpanHeight
from geom.placement.holes import Clearance, Drilling, in_hole
from geom.placement.place import Passage, PlacedHole, PlacedPost, PlacedRun, side_sign
from geom.placement.stack import Stack
from geom.placement.symmetry import Pair
from geom.remark import Remark
from geom.units import Mm
from geom.vec import Vec

Result = TypeVar("Result")
Of = TypeVarTuple("Of")


@frozen
class LineInHole:
    """A line at rest in one hole; `diameter` is its own, or that of its sleeve in the hole [mm]."""

    run: str
    passage: Passage
    diameter: Mm
    post: PlacedPost = field(repr=False)
    drilling: Drilling = field(repr=False)

    @cached_property
    def on_axis(self) -> Clearance | None:
        """Its clearance on the drilling axis; None where it is thicker than the bore."""
        return in_hole(self.post, self.passage, self.drilling.axis, self.drilling.basis, self.diameter)

    @cached_property
    def if_square(self) -> Clearance | None:
        """Its clearance in a hole square to the tube, fore-and-aft or athwartships; None as above."""
        post = self.post
        square = vec.scale(post.outboard, side_sign(post.side)) if side_of(self.run) == "C" else post.fore_and_aft
        return in_hole(post, self.passage, square, Remark("axis.square"), self.diameter)


@dataclass(frozen=True)
class Placed:
    """A boat in space: posts, runs and gates; heights, clearances and eyes by id; differences between the sides."""

    boat: Boat
    posts: dict[str, PlacedPost]
    runs: dict[str, PlacedRun]
    gates: dict[str, PlacedGate]
    hole_heights: dict[str, HoleHeight]
    span_heights: dict[str, tuple[SpanHeight, ...]]
    drillings: dict[str, Drilling]
    lines_in_holes: dict[str, LineInHole]
    eyes: dict[str, RunEyes]
    stacks: dict[str, Stack]
    pairs: tuple[Pair, ...]

    @cached_property
    def _found(self) -> dict[tuple[Any, ...], Any]:
        """What functions marked `once` have found, by function and arguments."""
        return {}

    def line(self, run: PlacedRun) -> GuardLine:
        """Return the rope or wire of a run."""
        return self.boat.lines[run.spec.line]

    @property
    def gate_levels(self) -> tuple[GateLevel, ...]:
        """Every level of every gate."""
        return tuple(level for gate in self.gates.values() for level in gate.levels)

    def eye(self, hole: str) -> EyeVerdict:
        """Return the verdict of the leading end at a hole.

        Raises:
            KeyError: no run passes through the hole.
        """
        eyes = self.eyes[self.lines_in_holes[hole].run]
        ends = next(one for one in eyes.holes if one.hole == hole)
        return ends.start if eyes.leading == "start" else ends.finish

    def holes(self) -> tuple[tuple[PlacedPost, PlacedHole], ...]:
        """Return every hole with its post, in the order of the boat file."""
        return tuple((post, hole) for post in self.posts.values() for hole in post.holes)


def once(find: Callable[[Placed, *Of], Result]) -> Callable[[Placed, *Of], Result]:
    """Mark a function of a placed boat whose results are kept with the boat, as several rooms read them.

    Args:
        find: takes a placed boat, then ids and numbers; it returns what nobody changes.
    """

    @wraps(find)
    def found(placed: Placed, *of: *Of) -> Result:
        kept, key = placed._found, (found, *of)
        if key not in kept:
            kept[key] = find(placed, *of)
        result: Result = kept[key]
        return result

    return found


def support_points(placed: Placed, run: PlacedRun) -> tuple[Vec, ...]:
    """Return the support points of a run [mm], with the tube axis in place of an eye that is offset from it."""
    return (_support(placed, run, run.spec.start, 0), *run.points[1:-1], _support(placed, run, run.spec.finish, -1))


def _support(placed: Placed, run: PlacedRun, end: RunEnd, index: int) -> Vec:
    hole = None if end.post is None else placed.posts[end.post].hole(run.level)
    return run.points[index] if hole is None else hole.centre
