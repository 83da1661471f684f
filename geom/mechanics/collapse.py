"""The push across a line under which its first post yields or collapses, between rigid posts and posts that bend.

Moments add up, so that each place is bent once by a unit force outboard and once by one aft; many loads
on the same post then cost a few products each.
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
from geom.mechanics.person_load import GREATEST_FORCE
from geom.mechanics.post_bending import PostFrame, Pull, Section, bending, section_share, section_stress, sections
from geom.mechanics.post_frames import holds_of
from geom.mechanics.post_give import Hold, hold_of
from geom.mechanics.post_loads import PostLoad, post_load, ranked
from geom.mechanics.posts_at_rest import PullsAtRest, pulls_on
from geom.mechanics.run_line import AssumedTension, RunLine
from geom.placement.placed import Placed
from geom.units import N
from geom.vec import Vec

# What a post comes to: its worst fibre at the proof stress, or a whole section at it.
Limit = Literal["yield", "collapse"]
LIMITS: tuple[Limit, ...] = ("yield", "collapse")
# What a line does to its points, by their index.
ForceAt = Callable[[int], Vec]

# Moments at one section, athwartships and fore-and-aft, by a unit force outboard and by one aft [mm].
_ByUnit = tuple[tuple[float, float], tuple[float, float]]


class Utilisation:
    """A post of known strength with lines that pull steadily, and places on it where other pulls will come."""

    def __init__(
        self, post: PostFrame, proof_stress: float, still: tuple[Pull, ...], places: tuple[float, ...]
    ) -> None:
        """Bend the post by its steady pulls, and by unit forces at each place.

        Args:
            post: the post.
            proof_stress: of its tube [MPa].
            still: its steady pulls.
            places: distances along the tube of the pulls to come [mm].
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
        """Return the worst section's share of a limit: of the proof stress, or of its plastic moment.

        Args:
            forces: of the pulls at the places given beforehand, in their order [N].
            limit: which.
        """
        moments = self._still
        for force, by_unit in zip(forces, self._by_unit, strict=True):
            out, aft = vec.dot(force, self._post.outboard), vec.dot(force, self._post.fore_and_aft)
            moments = [
                (side + out * by_out[0] + aft * by_aft[0], fore_aft + out * by_out[1] + aft * by_aft[1])
                for (side, fore_aft), (by_out, by_aft) in zip(moments, by_unit, strict=True)
            ]
        return max(self._share(section, one, limit) for section, one in zip(self._sections, moments, strict=True))

    def _share(self, section: Section, moments: tuple[float, float], limit: Limit) -> float:
        if limit == "yield":
            return section_stress(self._post.tube, section, moments) / self._proof_stress
        return section_share(self._post.tube, section, moments, self._proof_stress)


# Where the search for the load that collapses a post begins [N].
_FIRST_FORCE = 500.0
# How many posts a load tells of.
_POSTS_TOLD = 3
# How closely a push is found, as a share of it.
_WITHIN = 2e-4


@dataclass(frozen=True)
class PushBracket:
    """The push across a span, shock in it, at which the first post yields or collapses [N], and which post that is.

    `lower` holds posts and ends rigid: the line is then tighter than a post that bends would let it be, and no post
    comes to its limit sooner. `likely` lets the tubes bend on their braces, see `bending_posts`; None, and
    `likely_post` with it, where the elastic modulus of a tube on the run is not known.
    """

    lower: N
    lower_post: str
    likely: N | None
    likely_post: str | None


class RunPosts:
    """The posts that a run goes through or ends at, with what all other lines at rest do to them."""

    def __init__(
        self,
        placed: Placed,
        run: RunLine,
        frames: dict[str, PostFrame],
        at_rest_pulls: PullsAtRest,
        tensions: dict[str, tuple[AssumedTension, ...]],
    ) -> None:
        """Gather the posts of a run.

        Args:
            placed: the boat in space.
            run: the run as a line.
            frames: every post as the loads see it.
            at_rest_pulls: what the runs at rest do to the posts.
            tensions: what the lines of each post were taken to be set to.
        """
        self.run = run
        self._at_rest = at_rest_pulls[run.run.id]
        self.names = tuple(self._at_rest)
        self._frames, self._tensions = frames, tensions
        self._holds = holds_of(run.run, placed.posts)
        self._still = {name: pulls_on(at_rest_pulls, name, without=(run.run.id,)) for name in self.names}
        self._utilisations = {
            name: Utilisation(frames[name], proof, self._still[name], tuple(along for along, _ in self._holds[name]))
            for name in self.names
            if (proof := frames[name].proof_stress) is not None
        }

    @cached_property
    def bending_holds(self) -> dict[int, Hold] | None:
        """How each point of the run gives that a post holds, by its index; None where one is not known."""
        found = {}
        for name, holds in self._holds.items():
            for along, index in holds:
                hold = hold_of(self._frames[name], along)
                if hold is None:
                    return None
                found[index] = hold
        return found

    def worst_share(self, force_at: ForceAt, limit: Limit) -> tuple[float, str]:
        """Return how near the nearest post of known strength is to a limit, and which that is.

        Args:
            force_at: what the run does to its points.
            limit: yield or collapse.
        """
        return max((share, name) for name, share in self._shares(force_at, limit).items())

    def _shares(self, force_at: ForceAt, limit: Limit) -> dict[str, float]:
        return {
            name: one.under([force_at(index) for _, index in self._holds[name]], limit)
            for name, one in self._utilisations.items()
        }

    def worst_at_rest(self, limit: Limit) -> tuple[float, str] | None:
        """Return how near the nearest post is to a limit with all lines at rest; None where no strength is known."""
        return self._at_rest_shares[limit]

    @cached_property
    def _at_rest_shares(self) -> dict[Limit, tuple[float, str] | None]:
        own = {name: [pull.force for pull in self._at_rest[name]] for name in self._utilisations}
        return {
            limit: max(((one.under(own[name], limit), name) for name, one in self._utilisations.items()), default=None)
            for limit in LIMITS
        }

    def worst(self, loaded: Loaded) -> tuple[PostLoad, ...]:
        """Return the posts nearest to collapse, the worst first; all of them where no strength is known."""
        shares = self._shares(loaded.force_at, "collapse")
        known = sorted(shares, key=lambda name: (-shares[name], name))
        names = tuple(known[:_POSTS_TOLD]) or self.names
        return ranked(tuple(self._post_load(name, loaded) for name in names))

    def _post_load(self, name: str, loaded: Loaded) -> PostLoad:
        own = tuple(Pull(along, loaded.force_at(index), self.run.run.id) for along, index in self._holds[name])
        return post_load(self._frames[name], own + self._still[name], tensions=self._tensions[name])


def push_brackets(posts: RunPosts, at_rest: States, unit_load: PointLoad) -> dict[Limit, PushBracket] | None:
    """Return the pushes at which the first post yields and collapses; None where no post has a known strength.

    Args:
        posts: of the run.
        at_rest: the run as it is set.
        unit_load: where it is loaded, and a unit vector which way.
    """

    @cache
    def under(force: float) -> tuple[Loaded, Loaded]:
        load = PointLoad(unit_load.span, unit_load.share, vec.scale(unit_load.force, force))
        return load_with_friction(at_rest, load)

    holds, ratio = posts.bending_holds, 1.0
    bending_run: BendingRun | None = None
    found: dict[Limit, PushBracket] = {}
    for limit in LIMITS:
        still = posts.worst_at_rest(limit)
        if still is None:
            return None
        if still[0] >= 1.0:
            found[limit] = PushBracket(0.0, still[1], 0.0, still[1])
            continue

        def rigid(force: float, limit: Limit = limit) -> tuple[float, str]:
            # Friction keeps tension out of far posts and in near ones: whichever is worse counts.
            own, free = under(force)
            share = posts.worst_share(own.force_at, limit)
            return share if own is free else max(share, posts.worst_share(free.force_at, limit))

        lower = _push_reaching(rigid, still[0], next((one.lower for one in found.values()), _FIRST_FORCE))
        likely, likely_post = None, None
        if holds is not None:
            if bending_run is None:
                start = under(lower)[1].place
                bending_run = BendingRun(at_rest[0].line, posts.run.tension, holds, unit_load, start)

            def bent(force: float, run: BendingRun = bending_run, limit: Limit = limit) -> tuple[float, str]:
                return posts.worst_share(run.under(force), limit)

            likely = _push_reaching(bent, still[0], ratio * lower)
            ratio = likely / lower
            likely_post = bent(likely)[1]
        found[limit] = PushBracket(lower, rigid(lower)[1], likely, likely_post)
    return found


_SEARCH_STEPS = 60


def _push_reaching(share_of: Callable[[float], tuple[float, str]], at_rest: float, first: float) -> float:
    """Return the push at which the worst share reaches 1 [N].

    Secant steps, for a share grows nearly evenly with the push; inside the bracket once there is one.

    Args:
        share_of: the worst share under a push.
        at_rest: the share under none, less than 1.
        first: a push to begin with [N].

    Raises:
        CannotFinishError: not reached under GREATEST_FORCE.
    """
    low, high = 0.0, math.inf
    last, at_last = 0.0, at_rest
    push = max(first, 1.0)
    for _ in range(_SEARCH_STEPS):
        share = share_of(push)[0]
        low, high = (push, high) if share < 1.0 else (low, push)
        slope = (share - at_last) / (push - last)
        new = push + (1.0 - share) / slope if slope > 0.0 else math.inf
        if math.isinf(high):
            new = min(max(new, (1.0 + _WITHIN) * push), 4.0 * push)
        elif not low < new < high:
            new = 0.5 * (low + high)
        if high - low <= _WITHIN * low or (math.isfinite(high) and abs(new - push) <= _WITHIN * new):
            return new
        if new > GREATEST_FORCE:
            break
        last, at_last, push = push, share, new
    raise CannotFinishError(f"no post comes to its limit under {push:.0f} N")
