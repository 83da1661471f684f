"""The push across a line at which its first post yields or collapses, for rigid and for flexible posts.

The searches are those of `kernels/limits.py`; a run with weight is solved step by step from here.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import NamedTuple

from geom import vec
from geom.errors import CannotFinishError
from geom.frozen import cached_property, frozen
from geom.mechanics.bending_posts import room_for, run_at_rest
from geom.mechanics.cable import Loaded, load_line, load_with_friction
from geom.mechanics.elastic_line import PointLoad, States
from geom.mechanics.kernels import as_list, floats, limits, zeros
from geom.mechanics.kernels.limits import MAX_FORCE, RunSections
from geom.mechanics.post_bending import PostFrame, Pull
from geom.mechanics.post_flexibility import FlexibleSupport, flexible_support
from geom.mechanics.post_frames import attachments_of
from geom.mechanics.post_loads import PostLoad, post_load, ranked
from geom.mechanics.posts_at_rest import PullsAtRest, pulls_on
from geom.mechanics.run_line import RunLine
from geom.mechanics.section_moments import LIMITS, Limit, run_sections, section_moments
from geom.mechanics.tension import RunTension
from geom.placement.placed import Placed
from geom.units import N
from geom.vec import Vec

# Start of the search for the push at a limit [N].
_FIRST_FORCE = 500.0
# Number of posts reported per load.
_POSTS_REPORTED = 3
# Steps of a search for a push.
_STEPS = 60
# Number of runs whose brackets are kept.
_RUNS_KEPT = 300


@frozen
class PushBracket:
    """The push across a span, including shock, at which the first post yields or collapses [N], and that post.

    `lower` is for rigid posts and ends, where the tension is highest: a lower bound. `likely` is for flexible posts,
    see `bending_posts`; None, as is `likely_post`, where the elastic modulus of a tube on the run is not known.
    """

    lower: N
    lower_post: str
    likely: N | None
    likely_post: str | None


class Reached(NamedTuple):
    """The push at a limit [N] and the section that reaches it, with the place of the load there [mm].

    `residual` is the force out of balance where the solver did not converge, else zero [N]; `found` is false where no
    section reaches its limit under MAX_FORCE, or the search did not end.
    """

    push: float
    section: int
    place: Vec
    residual: float
    found: bool


class RunPosts:
    """The posts of a run, with the pulls of all other lines at rest."""

    def __init__(
        self,
        placed: Placed,
        run: RunLine,
        frames: dict[str, PostFrame],
        at_rest_pulls: PullsAtRest,
        tensions: dict[str, tuple[RunTension, ...]],
    ) -> None:
        """Gather the posts of a run.

        Args:
            placed: the boat in space.
            run: the run as a line.
            frames: every post for load analysis.
            at_rest_pulls: pulls of the runs at rest on the posts.
            tensions: assumed set tensions of the lines of each post.
        """
        self.run = run
        self._at_rest = at_rest_pulls[run.run.id]
        self.names = tuple(self._at_rest)
        self._frames, self._tensions = frames, tensions
        self._attachments = attachments_of(run.run, placed.posts)
        self._still = {name: pulls_on(at_rest_pulls, name, without=(run.run.id,)) for name in self.names}
        self._moments = {
            name: section_moments(
                frames[name], proof, self._still[name], tuple(along for along, _ in self._attachments[name])
            )
            for name in self.names
            if (proof := frames[name].proof_stress) is not None
        }

    @cached_property
    def flexible_supports(self) -> dict[int, FlexibleSupport] | None:
        """Flexible supports of the run by index of the point; None where one is not known."""
        found = {}
        for name, supports in self._attachments.items():
            for along, index in supports:
                support = flexible_support(self._frames[name], along)
                if support is None:
                    return None
                found[index] = support
        return found

    @cached_property
    def flexible(self) -> Sequence[float] | None:
        """The run at rest on flexible posts, as its solver takes it; None where a support is not known."""
        if self.flexible_supports is None or self.run.stiff is None:
            return None
        return run_at_rest(self.run.stiff, self.flexible_supports)

    @cached_property
    def section_posts(self) -> tuple[str, ...]:
        """The post of each section of the posts of known strength."""
        return tuple(name for name, one in self._moments.items() for _ in one.still)

    @cached_property
    def sections(self) -> RunSections:
        """The sections of all posts of known strength, with the points of the run that act on them."""
        return run_sections(
            (one, [index for _, index in self._attachments[name]]) for name, one in self._moments.items()
        )

    @property
    def states(self) -> States:
        """The run at its set tension, with the maximum stiffness of its line, which is known."""
        assert self.run.stiffest is not None
        return self.run.stiffest

    @cached_property
    def solved(self) -> dict[PointLoad, dict[Limit, PushBracket]]:
        """The brackets solved already of pushes on it, or on a run that is equal in all that they depend on."""
        flexible = None if self.flexible is None else tuple(as_list(self.flexible))
        strength = (*(tuple(as_list(rows)) for rows in self.sections), self.section_posts, flexible)
        if len(_solved) >= _RUNS_KEPT:
            _solved.clear()
        return _solved.setdefault((self.run.stiff, self.run.tension, strength), {})

    @cached_property
    def at_rest(self) -> dict[Limit, tuple[float, str]] | None:
        """Maximum utilisation with all lines at rest, and that post; None where no strength is known."""
        if not self._moments:
            return None
        forces = [0.0] * (3 * len(self.run.run.points))
        for name, supports in self._attachments.items():
            for pull, (_, index) in zip(self._at_rest[name], supports, strict=True):
                forces[3 * index : 3 * index + 3] = pull.force
        return {limit: self.utilisation(floats(forces), limit) for limit in LIMITS}

    def utilisation(self, forces: Sequence[float], limit: Limit) -> tuple[float, str]:
        """Return the maximum utilisation of the posts of known strength, and that post.

        Args:
            forces: of the run on each of its points, three components each, as the solvers take them [N].
            limit: yield or collapse.
        """
        share, section = limits.utilisation(self.sections, forces, limit == "yield")
        return share, self.section_posts[section]

    def max_plastic_utilisation(self, forces: Sequence[float]) -> float | None:
        """Return the maximum plastic utilisation of the posts; None where no strength is known.

        Args:
            forces: of the run on each of its points, three components each, as the solvers take them [N].
        """
        return self.utilisation(forces, "collapse")[0] if self._moments else None

    def worst(self, loaded: Loaded) -> tuple[PostLoad, ...]:
        """Return the most utilised posts, the worst first; all posts where no strength is known."""
        names = tuple(name for name in self.names if name in self._moments) or self.names
        loads = ranked(tuple(self._post_load(name, loaded) for name in names))
        return loads[:_POSTS_REPORTED] if self._moments else loads

    def _post_load(self, name: str, loaded: Loaded) -> PostLoad:
        own = tuple(Pull(along, loaded.post_forces[index], self.run.run.id) for along, index in self._attachments[name])
        return post_load(self._frames[name], own + self._still[name], tensions=self._tensions[name])


@frozen
class Push:
    """A push across a span: the posts of the run, position and unit direction."""

    posts: RunPosts
    unit_load: PointLoad

    @property
    def at_rest(self) -> States:
        """The run at its set tension."""
        return self.posts.states

    def of(self, force: float) -> PointLoad:
        """Return the push of a force [N]."""
        unit = self.unit_load
        return PointLoad(unit.span, unit.share, vec.scale(unit.force, force))


def push_brackets(push: Push) -> dict[Limit, PushBracket] | None:
    """Return the pushes at a place at which the first post yields and collapses; None where no strength is known.

    Args:
        push: the place.

    Raises:
        CannotFinishError: no post reaches its limit under MAX_FORCE, or a solver did not converge.
    """
    if push.posts.at_rest is None:
        return None
    solved = push.posts.solved
    if push.unit_load not in solved:
        solved[push.unit_load] = _solve(push, push.posts.at_rest)
    return solved[push.unit_load]


# The brackets of the pushes on the last runs. From one variant of a boat to the next, and from one saving of its file
# to the next, most runs stay as they are.
_solved: dict[Hashable, dict[PointLoad, dict[Limit, PushBracket]]] = {}


def _solve(push: Push, at_rest: dict[Limit, tuple[float, str]]) -> dict[Limit, PushBracket]:
    found: dict[Limit, PushBracket] = {}
    between_rigid = _hanging(push, at_rest) if push.at_rest[0].line.weight > 0.0 else _rigid(push, at_rest)
    for limit, (utilisation, post) in at_rest.items():
        if utilisation >= 1.0:
            found[limit] = PushBracket(0.0, post, 0.0, post)
            continue
        rigid = between_rigid[limit]
        lower = _checked(rigid)
        bent = _bent(push, limit, utilisation, rigid)
        names = push.posts.section_posts
        likely = (None, None) if bent is None else (_checked(bent), names[bent.section])
        found[limit] = PushBracket(lower, names[rigid.section], *likely)
    return found


def _rigid(push: Push, at_rest: dict[Limit, tuple[float, str]]) -> dict[Limit, Reached]:
    """Return the pushes at the limits of a weightless run between rigid posts, the worse of friction and none."""
    own, free, _ = push.at_rest
    load, points = push.unit_load, len(free.line.points)
    yields, collapses = limits.rigid_pushes(
        free.solver_line, own.solver_line, own is not free, load.span, load.share, load.force, push.posts.sections,
        _FIRST_FORCE, (at_rest["yield"][0], at_rest["collapse"][0]), zeros(points), zeros(3 * points),
    )  # fmt: skip
    return {"yield": Reached(*yields), "collapse": Reached(*collapses)}


def _hanging(push: Push, at_rest: dict[Limit, tuple[float, str]]) -> dict[Limit, Reached]:
    """Return the same of a run with weight; none for a limit that it is over at rest."""
    hanging = _HangingPush(push)
    return {limit: hanging.reaching(limit, share) for limit, (share, _) in at_rest.items() if share < 1.0}


def _bent(push: Push, limit: Limit, at_rest: float, rigid: Reached) -> Reached | None:
    """Return the push at a limit of a run on flexible posts; None where a support is not known."""
    flexible = push.posts.flexible
    if flexible is None:
        return None
    load, points = push.unit_load, len(push.at_rest[0].line.points)
    return Reached(*limits.bending_push(
        flexible, load.span, load.share, load.force, push.at_rest[0].line.ea, push.posts.run.tension, rigid.place,
        push.posts.sections, limit == "yield", rigid.push, at_rest, room_for(points), zeros(3 * points),
    ))  # fmt: skip


def _checked(reached: Reached) -> float:
    """Return the push at a limit [N].

    Raises:
        CannotFinishError: not reached under MAX_FORCE, or a solver did not converge.
    """
    if reached.residual > 0.0:
        raise CannotFinishError(f"the solver did not converge for a pushed run: residual {reached.residual:g} N")
    if not reached.found:
        raise CannotFinishError(f"no post reaches its limit under {min(reached.push, MAX_FORCE):.0f} N")
    return reached.push


class _HangingPush:
    """A run with weight between rigid posts under pushes; the same push is solved once, whichever limit it is for."""

    def __init__(self, push: Push) -> None:
        self._push = push
        self._solved: dict[float, tuple[Loaded, Loaded]] = {}

    def reaching(self, limit: Limit, at_rest: float) -> Reached:
        """Return the push at a limit, the worse of friction and none."""
        search = limits.begin(_FIRST_FORCE, at_rest)
        section, place = 0, (0.0, 0.0, 0.0)
        for _ in range(_STEPS):
            loaded, sliding = self._under(search.push)
            tries = [
                limits.utilisation(self._push.posts.sections, one.forces, limit == "yield") for one in (sliding, loaded)
            ]
            share, section = max(tries, key=lambda one: one[0])
            place = sliding.place
            search = limits.next_try(search, share)
            if search.found or search.push > MAX_FORCE:
                break
        return Reached(search.push, section, place, 0.0, search.found)

    def _under(self, push: float) -> tuple[Loaded, Loaded]:
        found = self._solved.get(push)
        if found is None:
            load, at_rest = self._push.of(push), self._push.at_rest
            sliding = load_line(at_rest[1], load)
            found = self._solved[push] = load_with_friction(at_rest, load, sliding), sliding
        return found
