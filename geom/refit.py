"""Boat -> Refit: the whole pipeline on one page. START READING HERE.

A boat (the file) is given placement (where posts, holes and lines are), mechanics (what they carry) and rigging (how
each line is made), checked by rules, set on sheets, rendered to files; data is what others published.

Posts are placed by foot, lean and rake, and runs are led through their holes. Each hole is checked for the line in it
and for the finished ends that pass through it; the rules are checked last. Sheets, solids, tables and reports only
read these results.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from geom.boat.file import LoadedBoat, load_boat
from geom.boat.model import Boat
from geom.frozen import cached_property
from geom.intake.survey.closure import ClosureRow, boat_closure, closure_limit
from geom.intake.survey.fairness import AsFound, as_found, customary_limits
from geom.placement.edges import width_in_hole
from geom.placement.eyes import run_eyes
from geom.placement.gates import place_gate
from geom.placement.heights import hole_height, span_heights
from geom.placement.holes import Drilling
from geom.placement.limits import placing_faults
from geom.placement.nets import PlacedNet, placed_nets
from geom.placement.place import PlacedPost, PlacedRun
from geom.placement.placed import LineInHole, Placed
from geom.placement.stack import stack
from geom.placement.standing import Standing
from geom.placement.summary import HoleSummary, PostSummary, hole_summary, post_summary
from geom.placement.symmetry import eye_pairs, post_pairs, run_pairs
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
    """A boat file with its placement, line work, loads and findings."""

    loaded: LoadedBoat
    placed: Placed
    work: LineWork
    findings: tuple[Finding, ...]

    @property
    def boat(self) -> Boat:
        """The contents of the boat file, in boat axes."""
        return self.loaded.boat

    @cached_property
    def runs(self) -> tuple[RunSummary, ...]:
        """The summary of each run, in the order of the boat file."""
        return tuple(run_summary(self.placed, work) for work in self.work.runs.values())

    @cached_property
    def posts(self) -> tuple[PostSummary, ...]:
        """Each post with its holes by level, in the order of the boat file."""
        return tuple(post_summary(self.placed, post) for post in self.placed.posts.values())

    @cached_property
    def holes(self) -> tuple[HoleSummary, ...]:
        """Each hole with its post and the line in it, in the order of the boat file."""
        return tuple(hole_summary(self.placed, post, hole) for post, hole in self.placed.holes())

    @cached_property
    def findings_of(self) -> dict[str, list[Finding]]:
        """The findings by the code of what they measure."""
        found: dict[str, list[Finding]] = {}
        for finding in self.findings:
            found.setdefault(finding.measure.quantity.code, []).append(finding)
        return found

    @cached_property
    def nets(self) -> tuple[PlacedNet, ...]:
        """Every net, in the order of the boat file."""
        return placed_nets(self.placed)

    @cached_property
    def closure(self) -> tuple[ClosureRow, ...]:
        """Each taped length against the coordinates, by the customary limit."""
        return boat_closure(self.boat, closure_limit(), self.loaded.tapes_as_written)

    @cached_property
    def as_found(self) -> AsFound:
        """Feet, tubes, spacings and twins against their families, by the customary limits."""
        return as_found(self.boat, *customary_limits())

    @cached_property
    def loads(self) -> BoatLoads:
        """Loads on lines, posts and ends; calculated on first use, as this is the slowest calculation."""
        from geom.mechanics.boat_loads import boat_loads

        return boat_loads(self.placed)

    @cached_property
    def order(self) -> Order:
        """The order list; calculated on first use."""
        from geom.purchasing.order import order_list

        return order_list(self.work)

    @cached_property
    def line_options(self) -> tuple[LineOption, ...]:
        """The lines listed for comparison in the boat file; calculated on first use."""
        from geom.purchasing.line_options import compare_lines

        return compare_lines(self.boat, tuple(self.placed.runs.values()), self.boat.compare)


def read_refit(source: str) -> Refit:
    """Read a boat file and calculate its refit.

    Args:
        source: path of the boat file, or `-` for standard input.

    Raises:
        InputError: the file is unusable; every fault is listed with its line.
    """
    return refit(load_boat(source))


def refit(loaded: LoadedBoat) -> Refit:
    """Return the refit of a loaded boat file.

    Raises:
        InputError: posts or runs stand where they cannot be made; every fault is listed with its line.
    """
    standing = Standing(loaded.boat)
    loaded.refuse(placing_faults(loaded.given, standing))
    placed = placed_of(standing)
    work = line_work(placed)
    return Refit(loaded, placed, work, check(placed, others=line_findings(work)))


def place(boat: Boat, before: Placed | None = None) -> Placed:
    """Place the posts, runs and gates of a boat, and check every hole.

    Args:
        boat: the boat file.
        before: the same boat with other values, placed; what they do not change is taken from it.
    """
    return placed_of(Standing(boat, before))


def placed_of(standing: Standing) -> Placed:
    """Place what depends on where posts stand and runs lead, and check every hole."""
    boat, kept = standing.boat, standing.kept
    posts, runs, drillings = standing.posts, standing.runs, standing.drillings
    holes = [(post, hole) for post in posts.values() for hole in post.holes]
    lines_in_holes = [
        one for run in runs.values() for one in kept.lines(run) or _lines_in_holes(boat, posts, drillings, run)
    ]
    return Placed(
        boat=boat,
        posts=posts,
        runs=runs,
        gates={gate.id: place_gate(boat, posts, gate) for gate in boat.gates},
        hole_heights={hole.id: kept.hole_heights.get(hole.id) or hole_height(boat, post, hole) for post, hole in holes},
        span_heights={run.id: kept.span_heights.get(run.id) or span_heights(boat, run) for run in runs.values()},
        drillings=drillings,
        lines_in_holes={line_in_hole.passage.hole.id: line_in_hole for line_in_hole in lines_in_holes},
        eyes={run.id: kept.eyes.get(run.id) or run_eyes(boat, run) for run in runs.values()},
        stacks={run.id: kept.stacks.get(run.id) or stack(boat, run) for run in runs.values()},
        pairs=run_pairs(tuple(runs.values())) + post_pairs(tuple(posts.values())) + eye_pairs(tuple(boat.eyes)),
    )


def refit_again(before: Refit, boat: Boat) -> Refit:
    """Return the refit of a boat with some values changed; what they do not change is taken from the refit before.

    Args:
        before: the refit of the boat as its file has it.
        boat: the same boat with other values.
    """
    placed = place(boat, before.placed)
    work = line_work(placed, before.work)
    findings = check(placed, others=line_findings(work))
    return Refit(replace(before.loaded, boat=boat), placed, work, findings)


def _lines_in_holes(
    boat: Boat, posts: dict[str, PlacedPost], drillings: dict[str, Drilling], run: PlacedRun
) -> list[LineInHole]:
    """Return the line of a run in each of its holes."""
    line = boat.lines[run.spec.line]
    return [
        LineInHole(
            run=run.id,
            passage=passage,
            diameter=width_in_hole(line, run.slide_on, passage.hole.id),
            post=posts[passage.hole.post],
            drilling=drillings[passage.hole.id],
        )
        for passage in run.passages
    ]
