"""How near a post is to folding, worked out beforehand for pulls at known places.

Moments add up, so that each place is bent once by a unit force outboard and once by one aft; many loads
on the same post then cost a few products each.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, cached_property

from geom import vec
from geom.mechanics.cable import Loaded, load_with_friction
from geom.mechanics.elastic_line import PointLoad, States
from geom.mechanics.person_load import smallest_reaching
from geom.mechanics.post_bending import PostFrame, Pull, bending, loaded_hole, section_share
from geom.mechanics.post_frames import holds_of
from geom.mechanics.post_loads import PostLoad, post_load, ranked
from geom.mechanics.run_line import RunLine
from geom.placement.placed import Placed
from geom.units import N
from geom.vec import Vec

# Moments at one section, athwartships and fore-and-aft, by a unit force outboard and by one aft [mm].
_ByUnit = tuple[tuple[float, float], tuple[float, float]]


class Utilisation:
    """A post with lines that pull steadily, and places on it where other pulls will come."""

    def __init__(self, post: PostFrame, still: tuple[Pull, ...], places: tuple[float, ...]) -> None:
        """Bend the post by its steady pulls, and by unit forces at each place.

        Args:
            post: the post.
            still: its steady pulls.
            places: distances along the tube of the pulls to come [mm].
        """
        idle = tuple(Pull(place, (0.0, 0.0, 0.0), "") for place in places)
        at_rest = bending(post, still + idle)
        self._post = post
        self._hole = loaded_hole(post, at_rest)
        sections = [0.0]
        if post.brace is not None:
            sections.append(post.brace.along)
        self._whole_sections = len(sections)
        if self._hole is not None:
            sections.append(self._hole.along)
        self._still = [at_rest.at(section) for section in sections]
        self._by_unit = [self._bent_by_unit(place, sections) for place in places]

    def _bent_by_unit(self, place: float, sections: list[float]) -> list[_ByUnit]:
        out = bending(self._post, (Pull(place, self._post.outboard, ""),))
        aft = bending(self._post, (Pull(place, self._post.fore_and_aft, ""),))
        return [(out.at(section), aft.at(section)) for section in sections]

    def under(self, forces: list[Vec]) -> float | None:
        """Return the worst section's moment over its plastic moment, as `plastic_share` does.

        Args:
            forces: of the pulls at the places given beforehand, in their order [N].
        """
        moments = self._still
        for force, by_unit in zip(forces, self._by_unit, strict=True):
            out, aft = vec.dot(force, self._post.outboard), vec.dot(force, self._post.fore_and_aft)
            moments = [
                (side + out * by_out[0] + aft * by_aft[0], fore_aft + out * by_out[1] + aft * by_aft[1])
                for (side, fore_aft), (by_out, by_aft) in zip(moments, by_unit, strict=True)
            ]
        worst = max(math.hypot(*moment) for moment in moments[: self._whole_sections])
        return section_share(self._post, worst, self._hole, moments[-1])


# Where the search for the load that folds a post begins [N].
_FIRST_FORCE = 500.0
# How many posts a load tells of.
_POSTS_TOLD = 3
# What each run at rest does to each post: by run, then by post.
PullsAtRest = dict[str, dict[str, list[Pull]]]


@dataclass(frozen=True)
class Collapse:
    """The load at which the first post folds under a span's load, shock in it [N], and which post that is.

    With posts held rigid the line is tighter than a post that bends would let it be: no post folds sooner.
    """

    force: N
    post: str


def pulls_at_rest(at_rest_pulls: PullsAtRest, post: str, without: tuple[str, ...] = ()) -> list[Pull]:
    """Return what the lines at rest do to a post, all but some runs."""
    return [pull for run, by_post in at_rest_pulls.items() if run not in without for pull in by_post.get(post, [])]


class RunPosts:
    """The posts that a run goes through or ends at, with what all other lines at rest do to them."""

    def __init__(self, placed: Placed, run: RunLine, frames: dict[str, PostFrame], at_rest_pulls: PullsAtRest) -> None:
        """Gather the posts of a run.

        Args:
            placed: the boat in space.
            run: the run as a line.
            frames: every post as the loads see it.
            at_rest_pulls: what the runs at rest do to the posts.
        """
        self._run = run.run.id
        self._at_rest = at_rest_pulls[self._run]
        self.names = tuple(self._at_rest)
        self._frames = frames
        self._holds = holds_of(run.run, placed.posts)
        self._still = {name: tuple(pulls_at_rest(at_rest_pulls, name, without=(self._run,))) for name in self.names}
        self._utilisations = {
            name: Utilisation(frames[name], self._still[name], tuple(along for along, _ in self._holds[name]))
            for name in self.names
            if frames[name].proof_stress is not None
        }

    def share(self, name: str, loaded: Loaded) -> float | None:
        """Return how far a post is to its folding with the run loaded; None where its strength is not known."""
        forces = [loaded.force_at(index) for _, index in self._holds[name]]
        return self._utilisations[name].under(forces)

    def shares(self, loaded: Loaded) -> list[tuple[float, str]]:
        """Return how far each post of known strength is to its folding with the run loaded."""
        found = [(self.share(name, loaded), name) for name in self._utilisations]
        return [(share, name) for share, name in found if share is not None]

    @cached_property
    def worst_at_rest(self) -> tuple[float, str] | None:
        """How far the nearest post is to folding with all lines at rest; None where no strength is known."""
        own = {name: [pull.force for pull in self._at_rest[name]] for name in self._utilisations}
        found = [(one.under(own[name]), name) for name, one in self._utilisations.items()]
        return max(((share, name) for share, name in found if share is not None), default=None)

    def worst(self, loaded: Loaded) -> tuple[PostLoad, ...]:
        """Return the posts nearest to folding, the worst first; all of them where no strength is known."""
        known = sorted(self.shares(loaded), key=lambda one: (-one[0], one[1]))
        names = tuple(name for _, name in known[:_POSTS_TOLD]) or self.names
        return ranked(tuple(post_load(self._frames[name], self._pulls(name, loaded)) for name in names))

    def _pulls(self, name: str, loaded: Loaded) -> tuple[Pull, ...]:
        own = tuple(Pull(along, loaded.force_at(index), self._run) for along, index in self._holds[name])
        return own + self._still[name]


def first_collapse(posts: RunPosts, at_rest: States, unit_load: PointLoad) -> Collapse | None:
    """Return the load at which the first post folds; None where no post of the run has a known strength.

    Args:
        posts: of the run.
        at_rest: the run as it is set.
        unit_load: where it is loaded, and a unit vector which way.
    """
    still = posts.worst_at_rest
    if still is None:
        return None
    if still[0] >= 1.0:
        return Collapse(0.0, still[1])

    @cache
    def under(force: float) -> Loaded:
        load = PointLoad(unit_load.span, unit_load.share, vec.scale(unit_load.force, force))
        return load_with_friction(at_rest, load)[0]

    share, name = max(posts.shares(under(_FIRST_FORCE)))
    # A post's share grows nearly evenly with the load.
    guess = _FIRST_FORCE * (1.0 - still[0]) / (share - still[0]) if share > still[0] else _FIRST_FORCE
    # One post is searched at a time; another that is past its fold by then takes its place, at a smaller load.
    while True:

        def short_of(force: float, one: str = name) -> float:
            return (posts.share(one, under(force)) or 0.0) - 1.0

        force = smallest_reaching(short_of, guess, within=1e-4)
        share, worst = max(posts.shares(under(force)))
        if worst == name or share <= 1.0 + 1e-3:
            return Collapse(force, name)
        name = worst
