"""The push across a line at which its first post yields or collapses, for rigid and for flexible posts.

The pushes of all spans of a boat are sought together, in arrays with one row for each span, place and limit.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from geom import vec
from geom.errors import CannotFinishError
from geom.mechanics.bending_posts import BendingRun, BendingRuns
from geom.mechanics.cable import Loaded, load_with_friction
from geom.mechanics.elastic_line import PointLoad, States
from geom.mechanics.person_load import MAX_FORCE
from geom.mechanics.post_bending import PostFrame, Pull
from geom.mechanics.post_flexibility import FlexibleSupport, flexible_support
from geom.mechanics.post_frames import attachments_of
from geom.mechanics.post_loads import PostLoad, post_load, ranked
from geom.mechanics.posts_at_rest import PullsAtRest, pulls_on
from geom.mechanics.pushed_lines import PushedLines
from geom.mechanics.run_line import RunLine
from geom.mechanics.section_moments import LIMITS, Limit, SectionMoments, section_moments
from geom.mechanics.tension import RunTension
from geom.placement.placed import Placed
from geom.units import N

if TYPE_CHECKING:
    from geom.mechanics.span_equilibrium import Array

# Start of the search for the push at a limit [N].
_FIRST_FORCE = 500.0
# Number of posts reported per load.
_POSTS_REPORTED = 3
# Relative tolerance of the last step to the push; a secant step leaves an error far smaller than itself.
_TOLERANCE = 1e-6


@dataclass(frozen=True)
class PushBracket:
    """The push across a span, including shock, at which the first post yields or collapses [N], and that post.

    `lower` is for rigid posts and ends, where the tension is highest: a lower bound. `likely` is for flexible posts,
    see `bending_posts`; None, as is `likely_post`, where the elastic modulus of a tube on the run is not known.
    """

    lower: N
    lower_post: str
    likely: N | None
    likely_post: str | None


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
    def section_posts(self) -> tuple[str, ...]:
        """The post of each section of the posts of known strength."""
        return tuple(name for name, one in self._moments.items() for _ in one.still)

    @cached_property
    def moments(self) -> SectionMoments:
        """Moments at the sections of all posts of known strength, by the force of the run on each of its points."""
        found = list(self._moments.items())
        by_force = np.zeros((len(self.section_posts), 2, len(self.run.run.points), 3))
        row = 0
        for name, one in found:
            for place, (_, index) in enumerate(self._attachments[name]):
                by_force[row : row + len(one.still), :, index] += one.by_force[:, :, place]
            row += len(one.still)
        return SectionMoments(
            np.concatenate([one.still for _, one in found]),
            by_force,
            np.concatenate([one.strength for _, one in found]),
        )

    @cached_property
    def at_rest(self) -> dict[Limit, tuple[float, str]] | None:
        """Maximum utilisation with all lines at rest, and that post; None where no strength is known."""
        if not self._moments:
            return None
        forces = np.zeros((len(self.run.run.points), 3))
        for name, supports in self._attachments.items():
            for pull, (_, index) in zip(self._at_rest[name], supports, strict=True):
                forces[index] = pull.force
        return {limit: self._worst(self.moments.under(forces, limit)) for limit in LIMITS}

    def _worst(self, utilisations: Array) -> tuple[float, str]:
        row = int(utilisations.argmax())
        return float(utilisations[row]), self.section_posts[row]

    def max_plastic_utilisation(self, forces: Array) -> list[float | None]:
        """Return the maximum plastic utilisation of the posts under each of several loads; None without a strength.

        Args:
            forces: force of the run on each of its points [N]: loads, points, three components.
        """
        if not self._moments:
            return [None] * len(forces)
        found: list[float | None] = self.moments.under(forces, "collapse").max(axis=-1).tolist()
        return found

    def worst(self, loaded: Loaded) -> tuple[PostLoad, ...]:
        """Return the most utilised posts, the worst first; all posts where no strength is known."""
        names = tuple(name for name in self.names if name in self._moments) or self.names
        loads = ranked(tuple(self._post_load(name, loaded) for name in names))
        return loads[:_POSTS_REPORTED] if self._moments else loads

    def _post_load(self, name: str, loaded: Loaded) -> PostLoad:
        own = tuple(Pull(along, loaded.post_forces[index], self.run.run.id) for along, index in self._attachments[name])
        return post_load(self._frames[name], own + self._still[name], tensions=self._tensions[name])


@dataclass(frozen=True)
class Push:
    """A push across a span: the posts of the run, the run at its set tension, position and unit direction."""

    posts: RunPosts
    at_rest: States
    unit_load: PointLoad


def push_brackets(pushes: Sequence[Push]) -> list[dict[Limit, PushBracket] | None]:
    """Return for each place the pushes at which the first post yields and collapses; None where no strength is known.

    Args:
        pushes: the places.
    """
    found: list[dict[Limit, PushBracket] | None] = [None if one.posts.at_rest is None else {} for one in pushes]
    sought: list[tuple[int, Limit]] = []
    for index, (push, brackets) in enumerate(zip(pushes, found, strict=True)):
        if push.posts.at_rest is None or brackets is None:
            continue
        for limit, (utilisation, post) in push.posts.at_rest.items():
            if utilisation < 1.0:
                sought.append((index, limit))
            else:
                brackets[limit] = PushBracket(0.0, post, 0.0, post)
    # One limit after the other, so that each is evaluated in one piece.
    sought.sort(key=lambda one: LIMITS.index(one[1]))
    if not sought:
        return found
    rows = [pushes[index] for index, _ in sought]
    limits = [limit for _, limit in sought]
    posts = _PushedPosts([one.posts for one in rows], limits)
    rigid = _RigidPosts(rows)
    # Friction lowers the tension at far posts and raises it at near ones: the worse case governs.
    lower = posts.pushes_reaching(rigid.under, np.full(len(rows), _FIRST_FORCE))
    lower_posts = posts.names
    likely: dict[int, tuple[float, str]] = {}
    bending_rows = [row for row, one in enumerate(rows) if one.posts.flexible_supports is not None]
    if bending_rows:
        runs = [_bending_run(rows[row]) for row in bending_rows]
        bent = BendingRuns(runs, rigid.places[bending_rows])
        softer = _PushedPosts([rows[row].posts for row in bending_rows], [limits[row] for row in bending_rows])
        reached = softer.pushes_reaching(lambda push: (bent.under(push),), lower[bending_rows])
        likely = dict(zip(bending_rows, zip(reached.tolist(), softer.names, strict=True), strict=True))
    for row, (index, limit) in enumerate(sought):
        brackets = found[index]
        assert brackets is not None
        brackets[limit] = PushBracket(float(lower[row]), lower_posts[row], *likely.get(row, (None, None)))
    return found


def _bending_run(push: Push) -> BendingRun:
    supports = push.posts.flexible_supports
    assert supports is not None
    return BendingRun(push.at_rest[0].line, push.posts.run.tension, supports, push.unit_load)


class _RigidPosts:
    """Runs between rigid posts under pushes, with their own friction and sliding freely."""

    def __init__(self, pushes: list[Push]) -> None:
        self._pushes = pushes
        self._hanging = [row for row, one in enumerate(pushes) if one.at_rest[0].line.weight > 0.0]
        self._straight = [row for row, one in enumerate(pushes) if one.at_rest[0].line.weight == 0.0]
        # A line without friction is one case, not two.
        self._slipping = [row for row in self._straight if pushes[row].at_rest[0] is not pushes[row].at_rest[1]]
        cases = [(pushes[row].at_rest[1], pushes[row].unit_load) for row in self._straight]
        cases += [(pushes[row].at_rest[0], pushes[row].unit_load) for row in self._slipping]
        self._lines = PushedLines(cases) if cases else None
        self._points = max(len(one.at_rest[0].line.points) for one in pushes)
        self.places = np.zeros((len(pushes), 3))
        self._solved: dict[tuple[int, float], tuple[Loaded, Loaded]] = {}

    def under(self, push: Array) -> tuple[Array, ...]:
        """Return the forces on the points sliding freely, and with friction [N]; keep the place of the former."""
        free = np.zeros((len(self._pushes), self._points, 3))
        if self._lines is not None:
            self._lines.under(np.concatenate((push[self._straight], push[self._slipping])))
            forces, count = self._lines.forces(), len(self._straight)
            free[self._straight, : forces.shape[1]] = forces[:count]
            self.places[self._straight] = self._lines.places[:count]
        own = free.copy()
        if self._lines is not None and self._slipping:
            own[self._slipping, : forces.shape[1]] = forces[count:]
        for row in self._hanging:
            loaded, sliding = self._hanging_under(row, float(push[row]))
            own[row, : len(loaded.post_forces)] = loaded.post_forces
            free[row, : len(loaded.post_forces)] = sliding.post_forces
            self.places[row] = sliding.place
        return (free, own) if self._slipping or self._hanging else (free,)

    def _hanging_under(self, row: int, push: float) -> tuple[Loaded, Loaded]:
        """Return a line with weight under its push; the same push is solved once, whichever limit it is for."""
        one = self._pushes[row]
        found = self._solved.get((id(one), push))
        if found is None:
            load = PointLoad(one.unit_load.span, one.unit_load.share, vec.scale(one.unit_load.force, push))
            found = self._solved[id(one), push] = load_with_friction(one.at_rest, load)
        return found


_SEARCH_STEPS = 60


class _PushedPosts:
    """The posts of many pushed runs, each with the limit sought: rows in the order of `LIMITS`."""

    def __init__(self, runs: list[RunPosts], limits: list[Limit]) -> None:
        moments = [run.moments for run in runs]
        count, most = len(runs), max(len(one.still) for one in moments)
        points = max(one.by_force.shape[2] for one in moments)
        still, strength = np.zeros((count, most, 2)), np.zeros((count, most, 7))
        by_force = np.zeros((count, most, 2, points, 3))
        for row, one in enumerate(moments):
            own, places = len(one.still), one.by_force.shape[2]
            still[row, :own], strength[row, :own], by_force[row, :own, :, :places] = (
                one.still,
                one.strength,
                one.by_force,
            )
        self._runs, self._points = runs, points
        first = limits.count("yield")
        self._parts: list[tuple[slice, Limit, SectionMoments]] = [
            (rows, limit, SectionMoments(still[rows], by_force[rows], strength[rows]))
            for rows, limit in ((slice(0, first), LIMITS[0]), (slice(first, count), LIMITS[1]))
        ]
        at_rest = [(run.at_rest or {})[limit][0] for run, limit in zip(runs, limits, strict=True)]
        self._at_rest = np.array(at_rest)
        self.names = tuple(run.section_posts[0] for run in runs)

    def _utilisation(self, forces: tuple[Array, ...]) -> Array:
        """Return the maximum utilisation of each row under the worst of several sets of forces; keep the posts."""
        found = np.concatenate(
            [
                np.max([part.under(one[rows, : self._points], limit) for one in forces], axis=0)
                for rows, limit, part in self._parts
            ]
        )
        self.names = tuple(
            run.section_posts[row] for run, row in zip(self._runs, found.argmax(axis=1).tolist(), strict=True)
        )
        worst: Array = found.max(axis=1)
        return worst

    def pushes_reaching(self, forces_under: Callable[[Array], tuple[Array, ...]], first: Array) -> Array:
        """Return the push of each row at which the utilisation reaches 1 [N].

        Secant steps, since utilisation is nearly linear in the push; inside the bracket once there is one.

        Args:
            forces_under: forces on the points under pushes.
            first: initial pushes [N].

        Raises:
            CannotFinishError: not reached under MAX_FORCE.
        """
        low, high = np.zeros_like(first), np.full_like(first, math.inf)
        last, at_last = low, self._at_rest
        push = np.maximum(first, 1.0)
        settled = np.zeros(len(first), dtype=bool)
        for _ in range(_SEARCH_STEPS):
            utilisation = self._utilisation(forces_under(push))
            low, high = np.where(utilisation < 1.0, push, low), np.where(utilisation < 1.0, high, push)
            run = np.where(push != last, push - last, 1.0)
            slope = np.where(push != last, (utilisation - at_last) / run, 0.0)
            rising = slope > 0.0
            new = np.where(rising, push + (1.0 - utilisation) / np.where(rising, slope, 1.0), math.inf)
            close = np.abs(new - push) <= _TOLERANCE * push
            open_ = np.isinf(high)
            beyond = np.minimum(np.maximum(new, (1.0 + _TOLERANCE) * push), 4.0 * push)
            middle = 0.5 * (low + np.where(open_, 0.0, high))
            new = np.where(close, new, np.where(open_, beyond, np.where((low < new) & (new < high), new, middle)))
            narrow = high - low <= _TOLERANCE * low
            if (new[~settled] > MAX_FORCE).any():
                raise CannotFinishError(f"no post reaches its limit under {push.max():.0f} N")
            last, at_last = np.where(settled, last, push), np.where(settled, at_last, utilisation)
            push = np.where(settled, push, new)
            settled = settled | close | narrow
            if settled.all():
                return push
        raise CannotFinishError(f"no post reaches its limit under {push.max():.0f} N")
