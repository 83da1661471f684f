"""Strength of posts by calculation, and what shows it where calculation does not."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, get_args

from geom import vec
from geom.frozen import frozen
from geom.mechanics.post_bending import Pull
from geom.mechanics.post_frames import post_frames
from geom.mechanics.post_loads import PostLoad, governing_place, stresses
from geom.placement.place import PlacedPost, side_sign
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import ROUNDING, Finding, Measure
from geom.vec import Vec

Way = Literal["athwartships", "fore-and-aft"]
_WAYS: tuple[Way, ...] = get_args(Way)


@frozen
class TopLoad:
    """A post under a horizontal load at its top, in the direction that bends it more.

    `measure` is its largest `stress`, at foot, brace or a drilled hole; `unbraced` the same without its brace [MPa].
    """

    measure: Measure
    way: Way
    stress: float
    unbraced: float
    proof_stress: float | None
    proof_stated: bool

    @property
    def shown(self) -> bool | None:
        """Whether calculation shows that no section yields; None where it depends on how far the brace gives."""
        if self.proof_stress is None or self.stress > self.proof_stress + ROUNDING:
            return False
        return True if self.unbraced <= self.proof_stress + ROUNDING else None


def top_loads(placed: Placed, load: float) -> Iterator[TopLoad]:
    """Yield each post under a horizontal load at its top, athwartships and fore-and-aft, with its drilled holes.

    The foot is fixed. A brace is rigid or left out: a real one lies between.

    Args:
        placed: the boat in space.
        load: at the top of the tube [N].
    """
    for post in placed.posts.values():
        frame, pulls = post_frames(placed)[post.id], {way: (_at_top(post, way, load),) for way in _WAYS}
        bent = {way: stresses(frame, pull) for way, pull in pulls.items()}
        places = {way: governing_place(of) for way, of in bent.items()}
        way = max(_WAYS, key=lambda one: bent[one][places[one]])
        stress = unbraced = bent[way][places[way]]
        if frame.brace is not None:
            unbraced = max(max(stresses(frame, pull, braced=False).values()) for pull in pulls.values())
        notes = (
            *(Remark("post.stress_by_way", way=one, stress_mpa=bent[one][at], place=at) for one, at in places.items()),
            Remark("proof_stress.from", source=frame.proof_source),
        )
        quantity = Remark("quantity.stress_under_top_load", load_n=load)
        measure = Measure(post.id, quantity, stress, "MPa", post=post.id, notes=notes)
        yield TopLoad(measure, way, stress, unbraced, frame.proof_stress, frame.proof_stated)


@frozen
class TopPull:
    """A horizontal pull at the top of a post [N], and its direction."""

    force: float
    way: str


def equal_top_pull(placed: Placed, load: PostLoad) -> TopPull | None:
    """Return the pull at the top of a post that gives the same stress at its governing section, and more at no other.

    It is fore-and-aft or athwartships, whichever the lines pull more. None where no such pull is: the brace takes it
    before it bends the governing section, or another section is bent more by then.

    Args:
        placed: the boat in space.
        load: the post under its lines.
    """
    post = placed.posts[load.id]
    along = abs(load.force_fore_aft) >= abs(load.force_side)
    unit = stresses(post_frames(placed)[post.id], (_at_top(post, "fore-and-aft" if along else "athwartships", 1.0),))
    at_governing = unit[load.governing.place]
    if at_governing <= 0.0 or at_governing < max(unit.values()) - ROUNDING:
        return None
    ways = ("aft", "forward") if along else ("outboard", "inboard")
    positive = (load.force_fore_aft if along else load.force_side) >= 0.0
    return TopPull(load.stress / at_governing, ways[0] if positive else ways[1])


def not_shown(finding: Finding, says: Remark, needed: float, pull: TopPull | None) -> Finding:
    """Return a finding of a strength that calculation does not show, with what would show it.

    Args:
        finding: the finding by calculation.
        says: that it is not shown.
        needed: proof stress that would be enough [MPa].
        pull: for a test on board; None where none shows it.
    """
    if pull is None:
        choices = Remark("strength.choices_without_pull", needed_mpa=needed)
    else:
        choices = Remark("strength.choices", needed_mpa=needed, pull_n=pull.force, way=pull.way)
    return finding.restated("cannot tell", (*finding.notes, says, choices))


def _at_top(post: PlacedPost, way: str, load: float) -> Pull:
    across: Vec = (0.0, side_sign(post.side), 0.0)
    along: Vec = (1.0, 0.0, 0.0)
    return Pull(post.top, vec.scale(across if way == "athwartships" else along, load), "")
