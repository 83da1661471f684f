"""The posts of one run under its loads: how near each is to folding, and the load at which the first one folds."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property

from geom import vec
from geom.runs.cable import Loaded, load_with_friction
from geom.runs.fold_share import FoldShare
from geom.runs.line import PointLoad, States
from geom.runs.loads import smallest_reaching
from geom.runs.placed import Placed
from geom.runs.post_bending import PostFrame, Pull
from geom.runs.post_frames import holds_of
from geom.runs.post_loads import PostLoad, post_load, ranked
from geom.runs.run_line import RunLine

# Where the search for the load that folds a post begins [N].
_FIRST_FORCE = 500.0
# How many posts a load tells of.
_POSTS_TOLD = 3
# What each run at rest does to each post: by run, then by post.
Resting = dict[str, dict[str, list[Pull]]]


@dataclass(frozen=True)
class Fold:
    """The load at which the first post folds under a span's load, shock in it [N], and which post that is.

    With posts held rigid the line is tighter than a post that bends would let it be: no post folds sooner.
    """

    force: float
    post: str


def resting_pulls(resting: Resting, post: str, without: tuple[str, ...] = ()) -> list[Pull]:
    """Return what the lines at rest do to a post, all but some runs."""
    return [pull for run, by_post in resting.items() if run not in without for pull in by_post.get(post, [])]


class RunPosts:
    """The posts that a run goes through or ends at, with what all other lines at rest do to them."""

    def __init__(self, placed: Placed, run: RunLine, frames: dict[str, PostFrame], resting: Resting) -> None:
        """Gather the posts of a run.

        Args:
            placed: the boat in space.
            run: the run as a line.
            frames: every post as the loads see it.
            resting: what the runs at rest do to the posts.
        """
        self._run = run.run.id
        self._at_rest = resting[self._run]
        self.names = tuple(self._at_rest)
        self._frames = frames
        self._holds = holds_of(run.run, placed.posts)
        self._still = {name: tuple(resting_pulls(resting, name, without=(self._run,))) for name in self.names}
        self._fold_shares = {
            name: FoldShare(frames[name], self._still[name], tuple(along for along, _ in self._holds[name]))
            for name in self.names
            if frames[name].proof_stress is not None
        }

    def share(self, name: str, loaded: Loaded) -> float | None:
        """Return how far a post is to its folding with the run loaded; None where its strength is not known."""
        forces = [loaded.force_at(index) for _, index in self._holds[name]]
        return self._fold_shares[name].under(forces)

    def shares(self, loaded: Loaded) -> list[tuple[float, str]]:
        """Return how far each post of known strength is to its folding with the run loaded."""
        found = [(self.share(name, loaded), name) for name in self._fold_shares]
        return [(share, name) for share, name in found if share is not None]

    @cached_property
    def worst_at_rest(self) -> tuple[float, str] | None:
        """How far the nearest post is to folding with all lines at rest; None where no strength is known."""
        own = {name: [pull.force for pull in self._at_rest[name]] for name in self._fold_shares}
        found = [(one.under(own[name]), name) for name, one in self._fold_shares.items()]
        return max(((share, name) for share, name in found if share is not None), default=None)

    def worst(self, loaded: Loaded) -> tuple[PostLoad, ...]:
        """Return the posts nearest to folding, the worst first; all of them where no strength is known."""
        known = sorted(self.shares(loaded), key=lambda one: (-one[0], one[1]))
        names = tuple(name for _, name in known[:_POSTS_TOLD]) or self.names
        return ranked(tuple(post_load(self._frames[name], self._pulls(name, loaded)) for name in names))

    def _pulls(self, name: str, loaded: Loaded) -> tuple[Pull, ...]:
        own = tuple(Pull(along, loaded.force_at(index), self._run) for along, index in self._holds[name])
        return own + self._still[name]


def first_fold(posts: RunPosts, at_rest: States, unit_load: PointLoad) -> Fold | None:
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
        return Fold(0.0, still[1])

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
            return Fold(force, name)
        name = worst
