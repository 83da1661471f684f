"""Gate posts with the gate open: the lines of the gate off and all other lines at rest."""

from __future__ import annotations

from collections.abc import Iterator

from geom.mechanics.post_frames import post_frame
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.posts_at_rest import at_rest_pulls, open_gate
from geom.mechanics.run_line import run_line
from geom.placement.placed import Placed


def open_gate_posts(placed: Placed) -> Iterator[PostLoad]:
    """Yield the loads on each gate post as built, with the gate open; posts and ends rigid."""
    if not placed.boat.gates:
        return
    runs = {run.id: run_line(placed, run) for run in placed.runs.values()}
    pulls = at_rest_pulls(runs, placed.posts)
    for gate in placed.boat.gates:
        posts = placed.gates[gate.id].posts
        frames = {post.id: post_frame(placed.boat, post, tuple(placed.runs.values())) for post in posts}
        yield from open_gate(placed, gate, frames, runs, pulls).as_built
