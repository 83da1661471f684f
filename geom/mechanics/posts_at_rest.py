"""Loads of the lines at rest on the posts, with all gates shut and with each gate open; posts and ends are rigid."""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.boat.model import Gate
from geom.mechanics.post_bending import PostFrame, Pull
from geom.mechanics.post_frames import pulls_of
from geom.mechanics.post_loads import HookPost, PostLoad, hook_post, post_load
from geom.mechanics.run_line import RunLine
from geom.mechanics.tension import RunTension
from geom.placement.place import PlacedPost
from geom.placement.placed import Placed
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
    """Both posts of a gate with the lines of the gate off: as built, and without braces."""

    gate: str
    as_built: tuple[PostLoad, PostLoad]
    unbraced: tuple[PostLoad, PostLoad]
    hook: HookPost | None

    @property
    def posts(self) -> tuple[OpenGatePost, ...]:
        """Each of the two posts."""
        pairs = zip(self.as_built, self.unbraced, strict=True)
        return tuple(OpenGatePost(self.gate, built, bare, self.hook) for built, bare in pairs)


def forces_at_rest(run: RunLine) -> tuple[Vec, ...]:
    """Return the force of a run at its set tension on each of its points [N]; its weight is neglected."""
    points = run.run.points
    forces = []
    for index, point in enumerate(points):
        pull: Vec = (0.0, 0.0, 0.0)
        for other in (index - 1, index + 1):
            if 0 <= other < len(points):
                pull = vec.along(pull, vec.unit(vec.sub(points[other], point)), run.tension)
        forces.append(pull)
    return tuple(forces)


def at_rest_pulls(runs: dict[str, RunLine], posts: dict[str, PlacedPost]) -> PullsAtRest:
    """Return the pulls of each run at rest on each post.

    Args:
        runs: the runs as lines.
        posts: every placed post.
    """
    return {name: pulls_of(run.run, forces_at_rest(run), posts) for name, run in runs.items()}


def pulls_on(pulls: PullsAtRest, post: str, without: tuple[str, ...] = ()) -> tuple[Pull, ...]:
    """Return the pulls of the lines at rest on a post.

    Args:
        pulls: pulls of the runs at rest on the posts.
        post: id of the post.
        without: runs to leave out.
    """
    return tuple(pull for run, by_post in pulls.items() if run not in without for pull in by_post.get(post, []))


def tensions_on(
    runs: dict[str, RunLine], pulls: PullsAtRest, post: str, without: tuple[str, ...] = ()
) -> tuple[RunTension, ...]:
    """Return the assumed set tensions of the lines on a post.

    Args:
        runs: the runs as lines.
        pulls: pulls of the runs at rest on the posts.
        post: id of the post.
        without: runs to leave out.
    """
    return tuple(run.tensions for name, run in runs.items() if name not in without and post in pulls[name])


def gate_lines(placed: Placed, gate: Gate) -> tuple[str, ...]:
    """Return the runs that are off while a gate is open: those between its posts."""
    between = set(gate.posts)
    return tuple(run.id for run in placed.runs.values() if {run.spec.start.post, run.spec.finish.post} == between)


def open_gate(
    placed: Placed, gate: Gate, frames: dict[str, PostFrame], runs: dict[str, RunLine], pulls: PullsAtRest
) -> OpenGate:
    """Return both posts of a gate with the lines of the gate off.

    Args:
        placed: the boat in space.
        gate: the gate.
        frames: posts for load analysis, at least those of the gate.
        runs: the runs as lines.
        pulls: pulls of the runs at rest on the posts.
    """
    off = gate_lines(placed, gate)

    def load(post: str, braced: bool) -> PostLoad:
        tensions = tensions_on(runs, pulls, post, off)
        return post_load(frames[post], pulls_on(pulls, post, off), braced, tensions)

    first, second = gate.posts
    built = (load(first, True), load(second, True))
    return OpenGate(gate.id, built, (load(first, False), load(second, False)), hook_post(*built))
