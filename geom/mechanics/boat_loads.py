"""A placed boat -> its loads: push tests, falls, ends, posts, gate posts with the gate open, weakest links.

Lines are taken weightless where the file gives no mass. Falls use the greatest stiffness of a line's
range and sags to expect the least one, so that each errs on the heavy side. Nothing here says that a
line or a post is strong enough.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from geom import vec
from geom.boat.model import Gate
from geom.data.table import datum
from geom.mechanics.catenary import tension_while_loaded
from geom.mechanics.collapse import PullsAtRest, pulls_at_rest
from geom.mechanics.elastic_line import Line, states
from geom.mechanics.falls import Fall, PersonLoad, fall_rank, falls_on_run, published_persons
from geom.mechanics.person_load import Body, FallEnergy, fall_by_energy, outboard
from geom.mechanics.post_bending import PostFrame, Pull
from geom.mechanics.post_frames import post_frame, pulls_of
from geom.mechanics.post_loads import PostLoad, hook_post, post_load, ranked
from geom.mechanics.push_test import (
    SagExpected,
    Settable,
    SpanPlace,
    TensionNeeded,
    WidestSpan,
    sag_on,
    tension_needed,
    widest_span,
)
from geom.mechanics.run_line import RunLine, push_limit, push_test_force, run_line
from geom.mechanics.stretch import bedding_slack
from geom.placement.place import side_sign
from geom.placement.placed import Placed
from geom.units import Mm, N
from geom.vec import Vec


@dataclass(frozen=True)
class SpanPush:
    """A span's push test: tension needed and sag to expect; None where the line's stiffness is not known.

    `while_loaded` is the tension that the rule's sag and force mean, whatever the line is made of [N].
    `expected` is at the set tension that the file states, `bedded` after all bedding-in that is known, with
    no re-tensioning; both None where the file states no tension.
    """

    run: str
    span: int
    length: Mm
    while_loaded: N
    needed: TensionNeeded | None
    expected: SagExpected | None
    bedded: SagExpected | None

    @property
    def number(self) -> int:
        """The span's number along the run, 1 for the first."""
        return self.span + 1

    @property
    def verdict(self) -> Settable | Literal["cannot tell"]:
        """Whether the tension that is needed can be set by hand; `cannot tell` without the line's stiffness."""
        return "cannot tell" if self.needed is None else self.needed.verdict


@dataclass(frozen=True)
class StoppedBody:
    """A body that the line of a span stops at its middle, by energy."""

    run: str
    span: int
    stopped: FallEnergy


@dataclass(frozen=True)
class EndReaction:
    """What a run does to a rail eye: at rest, and under the worst of the falls [N]."""

    eye: str
    run: str
    at_rest: Vec
    worst: Vec
    worst_fall: str


@dataclass(frozen=True)
class OpenGatePost:
    """One post of a gate that stands open, as braced as it is and unbraced; `hook_post` should carry the hook."""

    gate: str
    as_built: PostLoad
    unbraced: PostLoad
    hook_post: str | None


@dataclass(frozen=True)
class OpenGate:
    """Both posts of a gate with the gate's own lines hanging loose: as braced as they are, and unbraced."""

    gate: str
    as_built: tuple[PostLoad, PostLoad]
    unbraced: tuple[PostLoad, PostLoad]
    hook_post: str | None

    @property
    def posts(self) -> tuple[OpenGatePost, ...]:
        """Both posts, each by itself."""
        pairs = zip(self.as_built, self.unbraced, strict=True)
        return tuple(OpenGatePost(self.gate, built, bare, self.hook_post) for built, bare in pairs)


@dataclass(frozen=True)
class BoatLoads:
    """All loads of a boat; posts and falls from the worst down. `missing` says what could not be worked out."""

    runs: dict[str, RunLine]
    pushes: tuple[SpanPush, ...]
    widest: dict[str, WidestSpan]
    posts: tuple[PostLoad, ...]
    gates: tuple[OpenGate, ...]
    falls: tuple[Fall, ...]
    bodies: tuple[StoppedBody, ...]
    ends: tuple[EndReaction, ...]
    missing: tuple[str, ...]

    @property
    def gate_posts(self) -> tuple[OpenGatePost, ...]:
        """The posts of every gate with the gate open."""
        return tuple(post for gate in self.gates for post in gate.posts)


def boat_loads(placed: Placed, persons: tuple[PersonLoad, ...] | None = None, body: Body | None = None) -> BoatLoads:
    """Return all loads of a placed boat.

    Args:
        placed: the boat in space.
        persons: load cases; the published ones where none are given.
        body: a body to be stopped at the middle of every span; none where none is given.
    """
    cases = published_persons() if persons is None else persons
    runs = {run.id: run_line(placed, run) for run in placed.runs.values()}
    frames = {post.id: post_frame(placed.boat, post, tuple(placed.runs.values())) for post in placed.posts.values()}
    at_rest_pulls = {run_id: _at_rest(placed, run) for run_id, run in runs.items()}
    falls = [fall for run in runs.values() for fall in falls_on_run(placed, run, frames, at_rest_pulls, cases)]
    unknown = [f"{run_id}: stiffness of the line" for run_id, run in runs.items() if run.stiffness is None]
    unknown += [
        f"{run_id}: friction in its holes" for run_id, run in runs.items() if run.friction is None and run.run.passages
    ]
    unknown += [f"{frame.id}: proof stress of the tube" for frame in frames.values() if frame.proof_stress is None]
    return BoatLoads(
        runs=runs,
        pushes=tuple(push for run in runs.values() for push in _pushes(placed, run)),
        widest=_widest(placed),
        posts=ranked(tuple(post_load(frames[name], tuple(pulls_at_rest(at_rest_pulls, name))) for name in frames)),
        gates=tuple(_open_gate(placed, gate, frames, at_rest_pulls) for gate in placed.boat.gates),
        falls=tuple(sorted(falls, key=fall_rank)),
        bodies=tuple(one for run in runs.values() for one in _bodies(run, body)),
        ends=tuple(end for run in runs.values() for end in _ends(run, falls)),
        missing=tuple(unknown),
    )


def _still_forces(run: RunLine) -> tuple[Vec, ...]:
    """Return what a run at its set tension does to each of its points; weight is too little to count here."""
    points = run.run.points
    forces = []
    for index, point in enumerate(points):
        pull: Vec = (0.0, 0.0, 0.0)
        for other in (index - 1, index + 1):
            if 0 <= other < len(points):
                pull = vec.along(pull, vec.unit(vec.sub(points[other], point)), run.tension)
        forces.append(pull)
    return tuple(forces)


def _at_rest(placed: Placed, run: RunLine) -> dict[str, list[Pull]]:
    return pulls_of(run.run, _still_forces(run), placed.posts)


def _pushes(placed: Placed, run: RunLine) -> list[SpanPush]:
    force, limit = push_test_force(), push_limit(placed, run.run)
    by_hand = datum("person_loads", case="max set tension by hand").value
    stiffness, stated = run.stiffness, run.run.spec.set_tension
    stiff = None if stiffness is None else run.line(stiffness.maximum)
    as_set = bedded = None
    if stiffness is not None and stated is not None:
        soft = run.line(stiffness.minimum)
        as_set = states(soft, stated)
        slack = bedding_slack(placed.line(run.run), run.run.path)
        if slack is not None:
            # A slack line's own weight is left out: what it hangs by is more than the rule's sag anyway.
            bedded = states(Line(soft.points, soft.ea, 0.0, soft.friction), stated, slack[1])
    found = []
    for span, length in enumerate(run.run.spans):
        found.append(
            SpanPush(
                run=run.run.id,
                span=span,
                length=length,
                while_loaded=tension_while_loaded(force, length, limit),
                needed=None if stiff is None else tension_needed(stiff, span, force, limit, by_hand),
                expected=None if as_set is None else sag_on(as_set, span, force, run.tension),
                bedded=None if bedded is None else sag_on(bedded, span, force, run.tension),
            )
        )
    return found


def _bodies(run: RunLine, body: Body | None) -> list[StoppedBody]:
    if run.stiffness is None or body is None:
        return []
    line = run.line(run.stiffness.maximum)
    found = []
    for span in range(len(line.spans)):
        direction = outboard(line, span, (0.0, side_sign(run.run.side), 0.0))
        found.append(StoppedBody(run.run.id, span, fall_by_energy(line, run.tension, span, 0.5, direction, body)))
    return found


def _widest(placed: Placed) -> dict[str, WidestSpan]:
    """Return the widest span aft of the mast by side and level; empty where the file has no mast."""
    mast = placed.boat.boat.mast_x
    if mast is None:
        return {}
    places: dict[str, list[SpanPlace]] = {}
    for run in placed.runs.values():
        for span, length in enumerate(run.spans):
            ends = sorted((run.points[span][0], run.points[span + 1][0]))
            places.setdefault(f"{run.side}-{run.level}", []).append(SpanPlace(run.id, span, length, ends[0], ends[1]))
    return {name: widest_span(tuple(spans), mast) for name, spans in places.items()}


def _ends(run: RunLine, falls: list[Fall]) -> list[EndReaction]:
    still = _still_forces(run)
    own = [fall for fall in falls if fall.run == run.run.id]
    found = []
    for index, end in ((0, run.run.spec.start), (-1, run.run.spec.finish)):
        if end.eye is None:
            continue
        worst = max(own, key=lambda fall: vec.norm(fall.line.loaded.force_at(index)), default=None)
        force = still[index] if worst is None else worst.line.loaded.force_at(index)
        words = "none worked out" if worst is None else f"{worst.person.name}, span {worst.span + 1}, {worst.place}"
        found.append(EndReaction(end.eye, run.run.id, still[index], force, words))
    return found


def _open_gate(placed: Placed, gate: Gate, frames: dict[str, PostFrame], at_rest_pulls: PullsAtRest) -> OpenGate:
    loose = tuple(
        run.id for run in placed.runs.values() if {run.spec.start.post, run.spec.finish.post} == set(gate.posts)
    )
    first, second = gate.posts
    pulls = {post: tuple(pulls_at_rest(at_rest_pulls, post, without=loose)) for post in gate.posts}
    built = (post_load(frames[first], pulls[first]), post_load(frames[second], pulls[second]))
    bare = (
        post_load(frames[first], pulls[first], braced=False),
        post_load(frames[second], pulls[second], braced=False),
    )
    return OpenGate(gate.id, built, bare, hook_post(*built))
