"""Boat -> Refit: the whole pipeline on one page. START READING HERE.

The boat file says what stands on deck. Posts are placed by foot, lean and rake; runs are led through
their holes; every hole is asked whether the line rests clear in it and whether a made-up end goes
through; rules are asked last. Sheets, solids, schedules and reports only read what is here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from geom.boat.file import LoadedBoat, load_boat
from geom.boat.model import Boat
from geom.placement.eyes import run_eyes
from geom.placement.holes import Drilling, drilling, hole_height, in_hole, span_heights
from geom.placement.limits import placing_faults
from geom.placement.place import PlacedPost, PlacedRun, place_post, place_run
from geom.placement.placed import LineInHole, Placed
from geom.placement.stack import stack
from geom.placement.summary import HoleSummary, PostSummary, hole_summary, post_summary
from geom.placement.symmetry import eye_pairs, place_gate, post_pairs, run_pairs
from geom.remark import Remark
from geom.rigging.summary import RunSummary, run_summary
from geom.rigging.work import LineWork, line_work
from geom.rules.applied import check
from geom.rules.finding import Finding
from geom.rules.line_practice import line_findings

if TYPE_CHECKING:
    from geom.mechanics.boat_loads import BoatLoads
    from geom.purchasing.line_options import LineOption
    from geom.purchasing.order import Order


@dataclass(frozen=True)
class Refit:
    """A boat file, what follows from it by geometry, its line work and loads, and what the rules say of it."""

    loaded: LoadedBoat
    placed: Placed
    work: LineWork
    findings: tuple[Finding, ...]

    @property
    def boat(self) -> Boat:
        """What the file says, in boat axes."""
        return self.loaded.boat

    @cached_property
    def runs(self) -> tuple[RunSummary, ...]:
        """Each run with all that follows from it, in the file's order."""
        return tuple(run_summary(self.placed, work) for work in self.work.runs.values())

    @cached_property
    def posts(self) -> tuple[PostSummary, ...]:
        """Each post with its holes by level, in the file's order."""
        return tuple(post_summary(self.placed, post) for post in self.placed.posts.values())

    @cached_property
    def holes(self) -> tuple[HoleSummary, ...]:
        """Each hole with its post and with the line in it, in the file's order."""
        return tuple(hole_summary(self.placed, post, hole) for post, hole in self.placed.holes())

    @cached_property
    def loads(self) -> BoatLoads:
        """What lines, posts and ends carry; loaded and worked out on first use, for it is the longest sum of all."""
        from geom.mechanics.boat_loads import boat_loads

        return boat_loads(self.placed)

    @cached_property
    def order(self) -> Order:
        """What is to be bought; loaded and worked out on first use."""
        from geom.purchasing.order import order_list

        return order_list(self.work)

    @cached_property
    def line_options(self) -> tuple[LineOption, ...]:
        """The lines that the file wants compared; loaded and worked out on first use."""
        from geom.purchasing.line_options import compare_lines

        return compare_lines(self.boat, tuple(self.placed.runs.values()), self.boat.compare)


def read_refit(source: str) -> Refit:
    """Read a boat file and work it out.

    Args:
        source: path of the file, or `-` for standard input.

    Raises:
        InputError: the file cannot be used; every fault is listed with its line.
    """
    return refit(load_boat(source))


def refit(loaded: LoadedBoat) -> Refit:
    """Work out a loaded boat file.

    Raises:
        InputError: posts and runs come to stand where they cannot be made; every fault is listed with its line.
    """
    loaded.refuse(placing_faults(loaded.given))
    placed = place(loaded.boat)
    work = line_work(placed)
    return Refit(loaded, placed, work, check(placed, others=line_findings(work)))


def place(boat: Boat) -> Placed:
    """Place a boat's posts, runs and gates, and look into every hole."""
    posts = {post.id: place_post(boat, post) for post in boat.posts}
    runs = {run.id: place_run(boat, posts, run) for run in boat.runs}
    drillings = {hole.id: drilling(post, hole, tuple(runs.values())) for post in posts.values() for hole in post.holes}
    lines_in_holes = [line_in_hole for run in runs.values() for line_in_hole in _rest(boat, posts, drillings, run)]
    return Placed(
        boat=boat,
        posts=posts,
        runs=runs,
        gates={gate.id: place_gate(posts, gate) for gate in boat.gates},
        hole_heights={hole.id: hole_height(boat, post, hole) for post in posts.values() for hole in post.holes},
        span_heights={run.id: span_heights(boat, run) for run in runs.values()},
        drillings=drillings,
        lines_in_holes={line_in_hole.passage.hole.id: line_in_hole for line_in_hole in lines_in_holes},
        eyes={run.id: run_eyes(boat, run) for run in runs.values()},
        stacks={run.id: stack(boat, run) for run in runs.values()},
        pairs=run_pairs(tuple(runs.values())) + post_pairs(tuple(posts.values())) + eye_pairs(tuple(boat.eyes)),
    )


def _rest(boat: Boat, posts: dict[str, PlacedPost], drillings: dict[str, Drilling], run: PlacedRun) -> list[LineInHole]:
    """Rest a run's line in each of its holes: on the axis the hole will have, and in a square one."""
    line = boat.lines[run.spec.line].diameter
    found = []
    for passage in run.passages:
        post, axis = posts[passage.hole.post], drillings[passage.hole.id]
        found.append(
            LineInHole(
                run=run.id,
                passage=passage,
                on_axis=in_hole(post, passage, axis.axis, axis.basis, line),
                if_square=in_hole(post, passage, post.fore_and_aft, Remark("axis.square"), line),
            )
        )
    return found
