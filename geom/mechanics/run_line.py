"""A placed run and its line as the boat file states it -> an elastic line, its set tension and its links."""

from __future__ import annotations

from geom.boat.model import Fitting, LineEnd
from geom.data.table import datum
from geom.frozen import cached_property, frozen
from geom.mechanics.cable import Loaded
from geom.mechanics.elastic_line import Line, States, states
from geom.mechanics.push_test import PushDeflection, deflection_ends_giving, deflection_on_rigid_ends
from geom.mechanics.stretch import Stiffness, bedding_slack, stiffness_range
from geom.mechanics.tension import RunTension, run_tensions, weight_of_line
from geom.mechanics.weakest_link import Link, WeakestLink, end_efficiency, lashing_capacity, weakest_link
from geom.placement.place import PlacedRun
from geom.placement.placed import Placed, once
from geom.remark import Remark, Stated
from geom.units import Mm, N, Ratio


@frozen
class RunLine:
    """A run as an elastic line.

    `stiffness` is None where not known; `weight` is per length [N/mm]; `friction` is the highest published coefficient,
    None where none is known, when only the limits, free and locked, are valid. `bedding` is the slack by all known
    bedding-in [mm].
    """

    run: PlacedRun
    stiffness: Stiffness | None
    bedding: Mm | None
    weight: float
    friction: Ratio | None
    tensions: RunTension

    @property
    def tension(self) -> N:
        """The set tension [N]."""
        return self.tensions.set_tension

    @cached_property
    def stiff(self) -> Line | None:
        """The line at its maximum stiffness, which gives the highest tensions; None where that is not known."""
        return None if self.stiffness is None else self._line(self.stiffness.maximum)

    @cached_property
    def soft(self) -> Line | None:
        """The line at its minimum stiffness, which gives the largest deflections; None where that is not known."""
        return None if self.stiffness is None else self._line(self.stiffness.minimum)

    def _line(self, ea: float) -> Line:
        holes = len(self.run.points) - 2
        return Line(self.run.points, ea, self.weight, (self.friction or 0.0,) * holes)

    @cached_property
    def stiffest(self) -> States | None:
        """The stiffest line at rest, as set; None where its stiffness is not known."""
        return None if self.stiff is None else states(self.stiff, self.tension)

    @cached_property
    def softest(self) -> tuple[States, ...]:
        """The softest line at rest: as set, and after all bedding-in; only what is known."""
        soft = self.soft
        if soft is None:
            return ()
        as_set = states(soft, self.tension)
        if self.bedding is None:
            return (as_set,)
        # The weight of a slack line is neglected: its sag alone would exceed the deflection limit.
        return as_set, states(Line(soft.points, soft.ea, 0.0, soft.friction), self.tension, self.bedding)

    def push_deflection(self, span: int, force: float) -> PushDeflection:
        """Return the deflection of a span under the test force at the set tension, between its bounds.

        Args:
            span: index of the span, 0 for the first.
            force: at mid-span, square to the line [N].
        """
        minimum = None
        if self.stiff is not None:
            minimum = deflection_on_rigid_ends(self.stiff, span, force, self.tension)
        length = self.run.spans[span]
        return PushDeflection(minimum, deflection_ends_giving(force, length, self.weight, self.tension))


@once
def run_lines(placed: Placed) -> dict[str, RunLine]:
    """Return the placed runs as elastic lines at their set tensions, by id."""
    return {name: _run_line(placed, run) for name, run in placed.runs.items()}


def _run_line(placed: Placed, run: PlacedRun) -> RunLine:
    stated = placed.line(run)
    slack = bedding_slack(stated, run.path)
    return RunLine(
        run,
        stiffness_range(stated),
        None if slack is None else slack[1],
        weight_of_line(placed, run),
        _friction(stated.construction),
        run_tensions(placed)[run.id],
    )


def _friction(construction: str) -> float | None:
    if construction != "12-strand HMPE":
        return None
    return datum("friction", pair="HMPE on smooth steel", bound="high").value


def links_of(placed: Placed, run: PlacedRun) -> tuple[tuple[Link, int], ...]:
    """Return the links of a run, each with the index of its point: 0 first end, -1 last end, 1 anywhere.

    The links are the line, both finished ends and their fittings. Strengths are those stated in the boat file.
    Source: efficiencies from data/line_strength.csv.
    """
    stated = placed.line(run)
    load = stated.breaking_load
    stated_value = None if load is None else load.value
    stated_source = Remark("strength.no_breaking_load") if load is None else load.source
    found: list[tuple[Link, int]] = [(Link(f"{run.spec.line}", stated_value, 1.0, stated_source), 1)]
    for end, index in ((run.spec.start, 0), (run.spec.finish, -1)):
        where = run.names[index]
        found.append((_end_link(placed.boat.ends[end.end], end.end, where, stated_value, stated_source), index))
        for word in end.fittings:
            found.append((_fitting_link(placed.boat.fittings[word], word, where), index))
    return tuple(found)


def links_under(links: tuple[tuple[Link, int], ...], loaded: Loaded) -> WeakestLink:
    """Return the links of a run under a load, the most utilised first.

    Args:
        links: as `links_of` returns them.
        loaded: the line of the run under the load.
    """
    tensions = {0: loaded.tensions[0][0], -1: loaded.tensions[-1][1], 1: loaded.max_tension}
    return weakest_link(tuple([(link, tensions[index]) for link, index in links]))


def _end_link(end: LineEnd, word: str, where: str, line_load: float | None, line_source: Stated) -> Link:
    name = f"{word} at {where}"
    if end.strength is not None:
        return Link(name, end.strength.value, 1.0, end.strength.source)
    row = end_efficiency(end)
    if row is None or line_load is None:
        return Link(name, None, 1.0, Remark("strength.not_stated"))
    return Link(name, line_load, row.value, Remark("source.both", sources=(line_source, row.source)))


def _fitting_link(fitting: Fitting, word: str, where: str) -> Link:
    name = f"{word} at {where}"
    if fitting.strength is not None:
        return Link(name, fitting.strength.value, 1.0, fitting.strength.source)
    cord = fitting.cord
    lashing = None if cord is None else lashing_capacity(cord)
    if cord is None or cord.breaking_load is None or lashing is None:
        return Link(name, None, 1.0, Remark("strength.not_stated"))
    strength, efficiency = lashing
    return Link(name, strength, 1.0, Remark("source.both", sources=(cord.breaking_load.source, efficiency.source)))
