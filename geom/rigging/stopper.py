"""Where the set pull of an end made on board is taken up: on the plain rope between its bury and the nearest hole.

The line is captive in its stanchions by then. Pulled from its far end it would bear on each of them with the turn of
the line there, and bend the post.
Source: statics; the room that a stopper needs is common practice, no source, data/splice_practice.csv, stopper_room.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.mechanics.post_bending import Pull
from geom.mechanics.post_frames import post_frames
from geom.mechanics.post_loads import governing_place, stresses
from geom.placement.eyes import Where
from geom.placement.place import PlacedRun
from geom.placement.placed import Placed
from geom.rigging.fit import BuryFit
from geom.rigging.splice import practice
from geom.units import Mm, MPa, N


@dataclass(frozen=True)
class CaptivePost:
    """A post that a line is captive in, under a pull along the line: its side force [N] and stress [MPa].

    `yields_at` is the pull at which the post yields at `place`, None where its proof stress is not known.
    """

    post: str
    side_force: N
    stress: MPa
    place: str
    yields_at: N | None


@dataclass(frozen=True)
class Stopper:
    """The plain rope that a stopper may grip: from the bury of the end made on board to the nearest hole [mm].

    Both are distances along the finished line from where the end made first bears. `room` is whether that is enough.
    """

    low: Mm
    high: Mm
    hole: str
    room: bool


def captive_posts(placed: Placed, run: PlacedRun, pull: float) -> tuple[CaptivePost, ...]:
    """Return the posts of a run under a pull along its line, the one that yields first at the front.

    Args:
        placed: the boat in space.
        run: the placed run.
        pull: along the line, the same on both sides of each hole, as without friction [N].
    """
    found = []
    for index, passage in enumerate(run.passages, start=1):
        before, at, after = run.points[index - 1 : index + 2]
        towards = vec.add(vec.unit(vec.sub(before, at)), vec.unit(vec.sub(after, at)))
        force = vec.scale(towards, pull)
        post = placed.posts[passage.hole.post]
        frame = post_frames(placed)[post.id]
        stress = stresses(frame, (Pull(passage.hole.along, force, run.id),))
        place = governing_place(stress)
        share = None if frame.proof_stress is None else stress[place] / frame.proof_stress
        yields_at = None if not share else pull / share
        found.append(CaptivePost(post.id, vec.norm(force), stress[place], place, yields_at))
    return tuple(sorted(found, key=lambda one: (-one.stress, one.post)))


def stopper(fit: BuryFit, last: Where) -> Stopper | None:
    """Return the plain rope that may be stoppered for the set pull of the end made last; None without hole or bury.

    Args:
        fit: the stations of the buries and holes.
        last: the end that is made on board.
    """
    bury = next((one for one in fit.buries if one.end == last), None)
    if bury is None or not fit.holes:
        return None
    hole = fit.holes[0] if last == "start" else fit.holes[-1]
    ends = (bury.bury_end, hole.at)
    low, high = sorted(fit.finished - at if last == "start" else at for at in ends)
    clear = hole.at > bury.bury_end if last == "start" else hole.at < bury.bury_end
    return Stopper(low, high, hole.hole, clear and high - low >= practice("stopper_room"))
