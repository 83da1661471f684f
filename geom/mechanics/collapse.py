"""The push across a line at which its first post yields or collapses, for rigid and for flexible posts.

Bending is linear: moments are calculated once for unit forces outboard and aft and superposed for each load.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Literal

from geom import vec
from geom.errors import CannotFinishError
from geom.mechanics.bending_posts import BendingRun
from geom.mechanics.cable import Loaded, load_with_friction
from geom.mechanics.elastic_line import PointLoad, States
from geom.mechanics.person_load import MAX_FORCE
from geom.mechanics.post_bending import PostFrame, Pull, Section, bending, section_stress, section_utilisation, sections
from geom.mechanics.post_flexibility import FlexibleSupport, flexible_support
from geom.mechanics.post_frames import attachments_of
from geom.mechanics.post_loads import PostLoad, post_load, ranked
from geom.mechanics.posts_at_rest import PullsAtRest, pulls_on
from geom.mechanics.run_line import RunLine
from geom.mechanics.tension import RunTension
from geom.placement.placed import Placed
from geom.units import N, to_compare
from geom.vec import Vec

# Limit of a post: the extreme fibre at the proof stress, or a whole section at it.
Limit = Literal["yield", "collapse"]
LIMITS: tuple[Limit, ...] = ("yield", "collapse")
# Force of a line on its points, by index.
ForceAt = Callable[[int], Vec]

# Moments at one section, athwartships and fore-and-aft, by a unit force outboard and by one aft [mm].
_ByUnit = tuple[tuple[float, float], tuple[float, float]]


class Utilisation:
    """Utilisation of a post of known strength under constant pulls and variable pulls at given heights."""

    def __init__(
        self, post: PostFrame, proof_stress: float, still: tuple[Pull, ...], places: tuple[float, ...]
    ) -> None:
        """Calculate the bending by the constant pulls, and by unit forces at each height.

        Args:
            post: the post.
            proof_stress: of its tube [MPa].
            still: constant pulls.
            places: heights of the variable pulls along the tube [mm].
        """
        idle = tuple(Pull(place, (0.0, 0.0, 0.0), "") for place in places)
        at_rest = bending(post, still + idle)
        self._post, self._proof_stress = post, proof_stress
        self._sections = sections(post, at_rest.top)
        self._still = [at_rest.at(section.along) for section in self._sections]
        self._by_unit = [self._bent_by_unit(place) for place in places]

    def _bent_by_unit(self, place: float) -> list[_ByUnit]:
        out = bending(self._post, (Pull(place, self._post.outboard, ""),))
        aft = bending(self._post, (Pull(place, self._post.fore_and_aft, ""),))
        return [(out.at(section.along), aft.at(section.along)) for section in self._sections]

    def under(self, forces: list[Vec], limit: Limit) -> float:
        """Return the maximum utilisation of any section: stress over proof stress, or moment over plastic moment.

        Args:
            forces: variable pulls, in the order of their heights [N].
            limit: yield or collapse.
        """
        moments = self._still
        for force, by_unit in zip(forces, self._by_unit, strict=True):
            out, aft = vec.dot(force, self._post.outboard), vec.dot(force, self._post.fore_and_aft)
            moments = [
                (side + out * by_out[0] + aft * by_aft[0], fore_aft + out * by_out[1] + aft * by_aft[1])
                for (side, fore_aft), (by_out, by_aft) in zip(moments, by_unit, strict=True)
            ]
        return max(self._utilisation(section, one, limit) for section, one in zip(self._sections, moments, strict=True))

    def _utilisation(self, section: Section, moments: tuple[float, float], limit: Limit) -> float:
        if limit == "yield":
            return section_stress(self._post.tube, section, moments) / self._proof_stress
        return section_utilisation(self._post.tube, section, moments, self._proof_stress)


# Start of the search for the push at a limit [N].
_FIRST_FORCE = 500.0
# Number of posts reported per load.
_POSTS_REPORTED = 3
# Relative tolerance of the push.
_TOLERANCE = 2e-4


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
        self._utilisations = {
            name: Utilisation(
                frames[name], proof, self._still[name], tuple(along for along, _ in self._attachments[name])
            )
            for name in self.names
            if (proof := frames[name].proof_stress) is not None
        }

    @cached_property
    def basis(self) -> tuple[object, ...]:
        """All that the loads on the run depend on beside its links: where it is equal, they are."""
        by_post = tuple((self._frames[name], self._still[name], self._tensions[name]) for name in self.names)
        return self.run, self._at_rest, self._attachments, by_post

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

    def max_utilisation(self, force_at: ForceAt, limit: Limit) -> tuple[float, str]:
        """Return the maximum utilisation of the posts of known strength, and that post.

        Args:
            force_at: force of the run on its points.
            limit: yield or collapse.
        """
        return max((utilisation, name) for name, utilisation in self._by_post(force_at, limit).items())

    def _by_post(self, force_at: ForceAt, limit: Limit) -> dict[str, float]:
        return {
            name: one.under([force_at(index) for _, index in self._attachments[name]], limit)
            for name, one in self._utilisations.items()
        }

    def max_utilisation_at_rest(self, limit: Limit) -> tuple[float, str] | None:
        """Return the maximum utilisation with all lines at rest, and that post; None where no strength is known."""
        return self._at_rest_utilisations[limit]

    @cached_property
    def _at_rest_utilisations(self) -> dict[Limit, tuple[float, str] | None]:
        own = {name: [pull.force for pull in self._at_rest[name]] for name in self._utilisations}
        return {
            limit: max(((one.under(own[name], limit), name) for name, one in self._utilisations.items()), default=None)
            for limit in LIMITS
        }

    def worst(self, loaded: Loaded) -> tuple[PostLoad, ...]:
        """Return the most utilised posts, the worst first; all posts where no strength is known."""
        utilisations = self._by_post(loaded.force_at, "collapse")
        known = sorted(utilisations, key=lambda name: (-to_compare(utilisations[name]), name))
        names = tuple(known[:_POSTS_REPORTED]) or self.names
        return ranked(tuple(self._post_load(name, loaded) for name in names))

    def _post_load(self, name: str, loaded: Loaded) -> PostLoad:
        own = tuple(Pull(along, loaded.force_at(index), self.run.run.id) for along, index in self._attachments[name])
        return post_load(self._frames[name], own + self._still[name], tensions=self._tensions[name])


def push_brackets(posts: RunPosts, at_rest: States, unit_load: PointLoad) -> dict[Limit, PushBracket] | None:
    """Return the pushes at which the first post yields and collapses; None where no strength is known.

    Args:
        posts: posts of the run.
        at_rest: the run at its set tension.
        unit_load: position and unit direction of the push.
    """

    @cache
    def under(force: float) -> tuple[Loaded, Loaded]:
        load = PointLoad(unit_load.span, unit_load.share, vec.scale(unit_load.force, force))
        return load_with_friction(at_rest, load)

    supports, ratio = posts.flexible_supports, 1.0
    bending_run: BendingRun | None = None
    found: dict[Limit, PushBracket] = {}
    for limit in LIMITS:
        still = posts.max_utilisation_at_rest(limit)
        if still is None:
            return None
        if still[0] >= 1.0:
            found[limit] = PushBracket(0.0, still[1], 0.0, still[1])
            continue

        def rigid(force: float, limit: Limit = limit) -> tuple[float, str]:
            # Friction lowers the tension at far posts and raises it at near ones: the worse case governs.
            own, free = under(force)
            utilisation = posts.max_utilisation(own.force_at, limit)
            return utilisation if own is free else max(utilisation, posts.max_utilisation(free.force_at, limit))

        lower = _push_reaching(rigid, still[0], next((one.lower for one in found.values()), _FIRST_FORCE))
        likely, likely_post = None, None
        if supports is not None:
            if bending_run is None:
                start = under(lower)[1].place
                bending_run = BendingRun(at_rest[0].line, posts.run.tension, supports, unit_load, start)

            def bent(force: float, run: BendingRun = bending_run, limit: Limit = limit) -> tuple[float, str]:
                return posts.max_utilisation(run.under(force), limit)

            likely = _push_reaching(bent, still[0], ratio * lower)
            ratio = likely / lower
            likely_post = bent(likely)[1]
        found[limit] = PushBracket(lower, rigid(lower)[1], likely, likely_post)
    return found


_SEARCH_STEPS = 60


def _push_reaching(utilisation_of: Callable[[float], tuple[float, str]], at_rest: float, first: float) -> float:
    """Return the push at which the utilisation reaches 1 [N].

    Secant steps, since utilisation is nearly linear in the push; inside the bracket once there is one.

    Args:
        utilisation_of: maximum utilisation under a push.
        at_rest: utilisation at rest, less than 1.
        first: initial push [N].

    Raises:
        CannotFinishError: not reached under MAX_FORCE.
    """
    low, high = 0.0, math.inf
    last, at_last = 0.0, at_rest
    push = max(first, 1.0)
    for _ in range(_SEARCH_STEPS):
        utilisation = utilisation_of(push)[0]
        low, high = (push, high) if utilisation < 1.0 else (low, push)
        slope = (utilisation - at_last) / (push - last)
        new = push + (1.0 - utilisation) / slope if slope > 0.0 else math.inf
        if math.isinf(high):
            new = min(max(new, (1.0 + _TOLERANCE) * push), 4.0 * push)
        elif not low < new < high:
            new = 0.5 * (low + high)
        if high - low <= _TOLERANCE * low or (math.isfinite(high) and abs(new - push) <= _TOLERANCE * new):
            return new
        if new > MAX_FORCE:
            break
        last, at_last, push = push, utilisation, new
    raise CannotFinishError(f"no post reaches its limit under {push:.0f} N")
