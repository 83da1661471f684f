"""A placed boat -> its loads: push tests, person-impact loads, ends, posts, gate posts with gate open, weakest links.

Lines are weightless where the boat file states no mass. Tensions are calculated with the maximum stiffness of a
line and deflections with the minimum, both conservative. No result states that a line or a post is strong enough.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from geom import vec
from geom.frozen import cached_property, frozen
from geom.mechanics.catenary import tension_while_loaded
from geom.mechanics.collapse import PushBracket, RunPosts
from geom.mechanics.falls import Fall, PersonLoad, fall_rank, falls_on, published_persons
from geom.mechanics.person_load import Body, FallEnergy, across_span, fall_by_energy
from geom.mechanics.post_frames import post_frames
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.posts_at_rest import (
    OpenGate,
    OpenGatePost,
    at_rest_pulls,
    forces_at_rest,
    open_gates,
    posts_at_rest,
)
from geom.mechanics.push_test import (
    ExpectedDeflection,
    PushDeflection,
    Settable,
    SpanPlace,
    TensionNeeded,
    WidestSpan,
    deflection_at_rest,
    tension_needed,
    widest_span,
)
from geom.mechanics.run_line import RunLine, run_lines
from geom.mechanics.tension import RunTension, max_by_hand
from geom.placement.place import outward
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.units import Mm, N, to_compare
from geom.vec import Vec


@frozen
class SpanPush:
    """Push test of a span: tension needed and expected deflection; None where the stiffness of the line is not known.

    `while_loaded` is the tension at the deflection limit of the rule under its force, for any line [N]. `deflection` is
    between rigid and flexible ends at the set tension of the run, `expected` that of the softest line on rigid ends,
    `bedded` the same after all known bedding-in without re-tensioning.
    """

    run: str
    span: int
    length: Mm
    while_loaded: N
    needed: TensionNeeded | None
    deflection: PushDeflection
    line: RunLine = field(compare=False, repr=False)

    @property
    def assumed(self) -> RunTension:
        """The set tension of the run, which is assumed."""
        return self.line.tensions

    @cached_property
    def expected(self) -> ExpectedDeflection | None:
        """The expected deflection as set; None where the stiffness of the line is not known."""
        return self._softest(0)

    @cached_property
    def bedded(self) -> ExpectedDeflection | None:
        """The same after all bedding-in; None where that is not known."""
        return self._softest(1)

    def _softest(self, state: int) -> ExpectedDeflection | None:
        lines, of = self.line.softest[state : state + 1], self.line
        return next((deflection_at_rest(one, self.span, of.tensions.force, of.tension) for one in lines), None)

    @property
    def number(self) -> int:
        """The span's number along the run, 1 for the first."""
        return self.span + 1

    @property
    def needed_ends_giving(self) -> N:
        """The set tension needed though ends give [N], with the line's weight."""
        return self.while_loaded if self.needed is None else self.needed.upper

    @property
    def verdict(self) -> Settable | Literal["cannot tell"]:
        """Whether the tension needed can be set by hand; `cannot tell` where the stiffness is not known."""
        return "cannot tell" if self.needed is None else self.needed.verdict


@dataclass(frozen=True)
class StoppedBody:
    """A body stopped by the line at mid-span, by energy."""

    run: str
    span: int
    stopped: FallEnergy


@frozen
class EndReaction:
    """Force of a run on a rail eye: at rest, and under the worst person-impact load [N]; posts and ends rigid."""

    eye: str
    run: str
    at_rest: Vec
    worst: Vec
    worst_fall: Remark
    assumed: RunTension

    @property
    def at_rest_size(self) -> N:
        """Magnitude of the force at rest [N]."""
        return vec.norm(self.at_rest)

    @property
    def worst_size(self) -> N:
        """Magnitude of the force under the worst person-impact load [N]."""
        return vec.norm(self.worst)


@dataclass(frozen=True)
class BoatLoads:
    """All loads of a boat, each kind calculated when it is first read.

    `persons` are the load cases of the falls, `body` one to be stopped at the middle of every span, None for none.
    """

    placed: Placed = field(compare=False, repr=False)
    persons: tuple[PersonLoad, ...]
    body: Body | None

    @cached_property
    def runs(self) -> dict[str, RunLine]:
        """The runs as elastic lines, by id."""
        return run_lines(self.placed)

    @property
    def assumed(self) -> tuple[RunTension, ...]:
        """Marking and set tension of each run, which the loads assume."""
        return tuple(run.tensions for run in self.runs.values())

    @cached_property
    def pushes(self) -> tuple[SpanPush, ...]:
        """The push test of every span."""
        return tuple(push for run in self.runs.values() for push in _pushes(run))

    @property
    def test_pushes(self) -> tuple[SpanPush, ...]:
        """The push test of each run on the span where it governs."""
        return tuple(push for push in self.pushes if push.span == push.assumed.test_span)

    @cached_property
    def widest(self) -> dict[str, WidestSpan]:
        """The widest span aft of the mast by side and level; empty where the boat file states no mast."""
        return _widest(self.placed)

    @cached_property
    def posts(self) -> tuple[PostLoad, ...]:
        """Every post with all lines at rest, the worst first."""
        return posts_at_rest(self.placed)

    @cached_property
    def _tensions(self) -> dict[str, tuple[RunTension, ...]]:
        """The set tensions of the lines of each post."""
        return {post.id: post.tensions for post in self.posts}

    @cached_property
    def gates(self) -> tuple[OpenGate, ...]:
        """Every gate, open."""
        return open_gates(self.placed)

    @property
    def gate_posts(self) -> tuple[OpenGatePost, ...]:
        """The posts of every gate with the gate open."""
        return tuple(post for gate in self.gates for post in gate.posts)

    @cached_property
    def falls(self) -> tuple[Fall, ...]:
        """The person-impact loads, the worst first."""
        return tuple(sorted((fall for falls in self._falls_of.values() for fall in falls), key=fall_rank))

    @cached_property
    def _falls_of(self) -> dict[str, list[Fall]]:
        """The person-impact loads of each run, from its first end to its last."""
        frames, pulls = post_frames(self.placed), at_rest_pulls(self.placed)
        return {
            name: falls_on(self.placed, RunPosts(self.placed, run, frames, pulls, self._tensions), self.persons)
            for name, run in self.runs.items()
        }

    def collapse_at_mid_span(self, run: str, span: int) -> PushBracket | None:
        """Return the push at mid-span at which the first post collapses; None where not known.

        Args:
            run: id of the run.
            span: number of the span along it, 1 for the first.
        """
        return next((one.collapses for one in self._falls_of[run] if one.number == span and one.is_mid_span), None)

    @cached_property
    def bodies(self) -> tuple[StoppedBody, ...]:
        """The body stopped at the middle of every span."""
        return tuple(one for run in self.runs.values() for one in _bodies(run, self.body))

    @cached_property
    def ends(self) -> tuple[EndReaction, ...]:
        """The force of every run on the rail eyes at its ends."""
        return tuple(end for run in self.runs.values() for end in _ends(run, self._falls_of[run.run.id]))

    @property
    def missing(self) -> tuple[Remark, ...]:
        """The data that are not known."""
        runs, frames = self.runs.values(), post_frames(self.placed).values()
        return (
            *(Remark("not_known.stiffness", run=one.run.id) for one in runs if one.stiffness is None),
            *(
                Remark("not_known.friction", run=one.run.id)
                for one in runs
                if one.friction is None and one.run.passages
            ),
            *(Remark("not_known.proof_stress", post=one.id) for one in frames if one.proof_stress is None),
            *(Remark("not_known.elastic_modulus", post=one.id) for one in frames if one.elastic_modulus is None),
        )


def boat_loads(placed: Placed, persons: tuple[PersonLoad, ...] | None = None, body: Body | None = None) -> BoatLoads:
    """Return all loads of a placed boat.

    Args:
        placed: the boat in space.
        persons: load cases, the published ones where None.
        body: a body to be stopped at the middle of every span, none where None.
    """
    return BoatLoads(placed, published_persons() if persons is None else persons, body)


def _pushes(run: RunLine) -> Iterator[SpanPush]:
    by_hand, force, limit = max_by_hand().value, run.tensions.force, run.tensions.limit
    stiff = run.stiff
    for span, length in enumerate(run.run.spans):
        yield SpanPush(
            run=run.run.id,
            span=span,
            length=length,
            while_loaded=tension_while_loaded(force, length, limit),
            needed=None if stiff is None else tension_needed(stiff, span, force, limit, by_hand),
            deflection=run.push_deflection(span, force),
            line=run,
        )


def _bodies(run: RunLine, body: Body | None) -> list[StoppedBody]:
    if run.stiff is None or body is None:
        return []
    line, found = run.stiff, []
    for span in range(len(line.spans)):
        direction = across_span(line, span, outward(run.run.spec))
        found.append(StoppedBody(run.run.id, span, fall_by_energy(line, run.tension, span, 0.5, direction, body)))
    return found


def _widest(placed: Placed) -> dict[str, WidestSpan]:
    """Return the widest span aft of the mast by side and level; empty where the boat file states no mast."""
    mast = placed.boat.boat.mast_x
    if mast is None:
        return {}
    places: dict[str, list[SpanPlace]] = {}
    for run in placed.runs.values():
        for span, length in enumerate(run.spans):
            ends = sorted((run.points[span][0], run.points[span + 1][0]))
            places.setdefault(f"{run.side}-{run.level}", []).append(SpanPlace(run.id, span, length, ends[0], ends[1]))
    return {name: widest_span(tuple(spans), mast) for name, spans in places.items()}


def _ends(run: RunLine, own: Sequence[Fall]) -> list[EndReaction]:
    still = forces_at_rest(run)
    found = []
    for index, end in ((0, run.run.spec.start), (-1, run.run.spec.finish)):
        if end.eye is None:
            continue
        worst = max(own, key=lambda fall: to_compare(fall.line.loaded.tensions[index][index]), default=None)
        force = still[index] if worst is None else worst.line.loaded.post_forces[index]
        says = Remark("fall.none")
        if worst is not None:
            says = Remark("fall.at", person=worst.person.name, span=worst.span + 1, place=worst.place)
        found.append(EndReaction(end.eye, run.run.id, still[index], force, says, run.tensions))
    return found
