"""Where the posts of a boat stand and its runs lead: what is looked at for faults before the rest is placed."""

from __future__ import annotations

from geom.boat.model import Boat, Run
from geom.frozen import cached_property
from geom.placement.holes import Drilling, drilling
from geom.placement.kept import Kept, kept_of
from geom.placement.place import PlacedPost, PlacedRun, place_post, place_run
from geom.placement.placed import Placed


class Standing:
    """Posts, runs and drilling axes of a boat by id, each placed once, when it is first read."""

    def __init__(self, boat: Boat, before: Placed | None = None) -> None:
        """Begin with what stays of a boat that is placed already.

        Args:
            boat: the boat file.
            before: the same boat with other values, placed; None for none.
        """
        self.boat = boat
        self.kept: Kept = kept_of(boat, before)
        self._runs = dict(self.kept.runs)

    @cached_property
    def posts(self) -> dict[str, PlacedPost]:
        """Every post, in the order of the boat file."""
        return {post.id: self.kept.posts.get(post.id) or place_post(self.boat, post) for post in self.boat.posts}

    def run(self, stated: Run) -> PlacedRun:
        """Return a run of the boat in space.

        Args:
            stated: the run as the boat file states it.
        """
        placed = self._runs.get(stated.id)
        if placed is None or placed.spec is not stated:
            placed = self._runs[stated.id] = place_run(self.boat, self.posts, stated)
        return placed

    @cached_property
    def runs(self) -> dict[str, PlacedRun]:
        """Every run, in the order of the boat file."""
        return {run.id: self.run(run) for run in self.boat.runs}

    @cached_property
    def drillings(self) -> dict[str, Drilling]:
        """The drilling axis of every hole, in the order of the boat file."""
        kept, runs = self.kept.drillings, tuple(self.runs.values())
        holes = ((post, hole) for post in self.posts.values() for hole in post.holes)
        return {hole.id: kept.get(hole.id) or drilling(post, hole, runs) for post, hole in holes}
