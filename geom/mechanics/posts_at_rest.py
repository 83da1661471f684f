"""Loads of the lines at rest on the posts, with all gates shut and with each gate open; posts and ends are rigid."""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.boat.model import Gate
from geom.mechanics.post_bending import Pull
from geom.mechanics.post_frames import post_frames, pulls_of
from geom.mechanics.post_loads import HookPost, PostLoad, hook_post, post_load, ranked
from geom.mechanics.run_line import RunLine, run_lines
from geom.mechanics.tension import RunTension
from geom.placement.gate_lines import gate_passage, is_own_line
from geom.placement.placed import Placed, once
from geom.vec import Vec

# Pulls of the runs at rest on the posts: by run, then by post.
PullsAtRest = dict[str, dict[str, list[Pull]]]


@dataclass(frozen=True)
class OpenGatePost:
    """One post of an open gate, as built and without brace; `hook` says which post should carry the hook."""

    gate: str
    as_built: PostLoad
    unbraced: PostLoad
    hook: HookPost | None


@dataclass(frozen=True)
class OpenGate:
    """The posts of a gate with the lines of the gate off: as built, and without braces.

    `hook` is None at a gate with one post or none: a rail is not compared with a post.
    """

    gate: str
    as_built: tuple[PostLoad, ...]
    unbraced: tuple[PostLoad, ...]
    hook: HookPost | None

    @property
    def posts(self) -> tuple[OpenGatePost, ...]:
        """Each of its posts."""
        pairs = zip(self.as_built, self.unbraced, strict=True)
        return tuple(OpenGatePost(self.gate, built, bare, self.hook) for built, bare in pairs)


def forces_at_rest(run: RunLine, held: range | None = None) -> tuple[Vec, ...]:
    """Return the force of a run at its set tension on each of its points [N]; its weight is neglected.

    Args:
        run: the run as a line.
        held: the spans that are taut, all where None.
    """
    points, taut = run.run.points, range(len(run.run.spans)) if held is None else held
    forces = []
    for index, point in enumerate(points):
        pull: Vec = (0.0, 0.0, 0.0)
        for span, other in ((index - 1, index - 1), (index, index + 1)):
            if span in taut:
                pull = vec.along(pull, vec.unit(vec.sub(points[other], point)), run.tension)
        forces.append(pull)
    return tuple(forces)


@once
def at_rest_pulls(placed: Placed) -> PullsAtRest:
    """Return the pulls of each run at rest on each post."""
    return {name: pulls_of(run.run, forces_at_rest(run), placed.posts) for name, run in run_lines(placed).items()}


def pulls_on(pulls: PullsAtRest, post: str, without: tuple[str, ...] = ()) -> tuple[Pull, ...]:
    """Return the pulls of the lines at rest on a post.

    Args:
        pulls: pulls of the runs at rest on the posts.
        post: id of the post.
        without: runs to leave out.
    """
    return tuple(pull for run, by_post in pulls.items() if run not in without for pull in by_post.get(post, []))


def tensions_on(runs: dict[str, RunLine], pulls: PullsAtRest, post: str) -> tuple[RunTension, ...]:
    """Return the set tensions of the lines that pull on a post.

    Args:
        runs: the runs as lines.
        pulls: pulls of the runs at rest on the posts.
        post: id of the post.
    """
    return tuple(run.tensions for name, run in runs.items() if post in pulls.get(name, {}))


@once
def posts_at_rest(placed: Placed) -> tuple[PostLoad, ...]:
    """Return every post with all lines at rest, the worst first."""
    runs, pulls = run_lines(placed), at_rest_pulls(placed)
    return ranked(
        tuple(
            post_load(frame, pulls_on(pulls, name), tensions=tensions_on(runs, pulls, name))
            for name, frame in post_frames(placed).items()
        )
    )


def pulls_gate_open(placed: Placed, gate: Gate) -> PullsAtRest:
    """Return the pulls of the runs at rest while a gate is open, without the runs that are off or slack.

    The lines of the gate are off. A line that passes one of its posts and goes on across the opening falls slack,
    unless a stop on it bears against that post: its held part then stays taut.

    Args:
        placed: the boat in space.
        gate: the gate.
    """
    left: PullsAtRest = {}
    runs = run_lines(placed)
    for name, by_post in at_rest_pulls(placed).items():
        run = runs[name]
        passage = gate_passage(gate, run.run)
        if passage is None:
            if not is_own_line(gate, run.run):
                left[name] = by_post
        elif passage.has_stop:
            taut = pulls_of(run.run, forces_at_rest(run, passage.held), placed.posts)
            left[name] = {post: own for post, own in taut.items() if any(vec.norm(pull.force) for pull in own)}
    return left


@once
def open_gates(placed: Placed) -> tuple[OpenGate, ...]:
    """Return the posts of each gate with that gate open."""
    return tuple(_open_gate(placed, gate) for gate in placed.boat.gates)


def _open_gate(placed: Placed, gate: Gate) -> OpenGate:
    runs, frames, left = run_lines(placed), post_frames(placed), pulls_gate_open(placed, gate)

    def load(post: str, braced: bool) -> PostLoad:
        return post_load(frames[post], pulls_on(left, post), braced, tensions_on(runs, left, post))

    names = [name for name in gate.supports if name in placed.posts]
    built = tuple(load(name, True) for name in names)
    hook = hook_post(built[0], built[1]) if len(built) == 2 else None
    return OpenGate(gate.id, built, tuple(load(name, False) for name in names), hook)
