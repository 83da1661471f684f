"""A stanchion's tube as it is cut: lengths from its foot, the mitre and its long point, holes from the foot."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom import vec
from geom.boat.model import BasePlate, Level
from geom.placement.holes import Drilling
from geom.placement.pads import deck_frame, tube_length
from geom.placement.place import PlacedPost
from geom.units import Mm, Rad

Way = Literal["aft", "forward", "inboard", "outboard"]
# A foot this little off square is cut square [rad]: the mitre is printed to 0.1 degree.
SQUARE_WITHIN = math.radians(0.05)
_QUARTER = 0.25 * math.pi


@dataclass(frozen=True)
class TubeCut:
    """A tube as it is cut, lengths along its axis.

    `start` is where its foot is, up from the deck; `length` from the foot to the square top, `over_long_point` from the
    longest point of the foot [mm]. `mitre` is the angle of the foot to square, zero where it is square, and
    `from_mark` the direction of its long point about the tube from the AFT mark, outboard + [rad]. `long_point` is the
    side on which it is, None for a square foot.
    """

    start: Mm
    length: Mm
    over_long_point: Mm
    mitre: Rad
    from_mark: Rad
    long_point: Way | None

    def from_foot(self, along: Mm) -> Mm:
        """Return the distance from the foot of a place that is given along the tube from the deck [mm]."""
        return along - self.start


def tube_cut(post: PlacedPost, base: BasePlate | None) -> TubeCut:
    """Return how the tube of a post is cut; without a base its length counts from the deck, its foot is not known.

    Args:
        post: the placed post.
        base: its base, None where the boat file names none.
    """
    if base is None:
        return TubeCut(0.0, post.top, post.top, 0.0, 0.0, None)
    length = tube_length(post, base)
    if base.tube == "square to the plate" or post.plate.total < SQUARE_WITHIN:
        return TubeCut(post.top - length, length, length, 0.0, 0.0, None)
    turn = long_point_from_mark(post)
    longer = 0.5 * post.tube_od * math.tan(post.plate.total)
    return TubeCut(post.top - length, length, length + longer, post.plate.total, turn, way_of(turn))


def mark_turn(post: PlacedPost) -> Rad:
    """Return the direction of the AFT mark about the tube, from the tube's own fore-and-aft, outboard + [rad].

    The mark is the deck's fore-and-aft line, as on the plate, carried up the tube: on a leaning tube it is slightly off
    the tube's own fore-and-aft, from which clocking is measured elsewhere.
    """
    mark = deck_frame(post).aft
    return math.atan2(vec.dot(mark, post.outboard), vec.dot(mark, post.fore_and_aft))


def clocking_from_mark(post: PlacedPost, drilling: Drilling) -> Rad:
    """Return a hole's clocking from the AFT mark, its aft end outboard + [rad].

    Args:
        post: the hole's post.
        drilling: the axis of the hole.
    """
    return drilling.clocking - mark_turn(post)


def long_point_from_mark(post: PlacedPost) -> Rad:
    """Return the direction of the long point of a foot cut along the deck, from the AFT mark, outboard + [rad].

    Source: geometry; the foot reaches furthest down where the deck falls away from square to the tube.
    """
    down = vec.square_to(deck_frame(post).normal, post.axis)
    turn = math.atan2(vec.dot(down, post.outboard), vec.dot(down, post.fore_and_aft)) - mark_turn(post)
    return math.remainder(turn, math.tau)


def way_of(turn: Rad) -> Way:
    """Return the side of the tube that a direction about it is nearest to.

    Args:
        turn: from the AFT mark, outboard + [rad].
    """
    if abs(turn) <= _QUARTER:
        return "aft"
    if abs(turn) >= 3.0 * _QUARTER:
        return "forward"
    return "outboard" if turn > 0.0 else "inboard"


def holes_from_foot(post: PlacedPost, cut: TubeCut) -> dict[Level, Mm]:
    """Return the distance of each hole from the foot of the tube, on its axis, by level [mm].

    Args:
        post: the placed post.
        cut: of its tube.
    """
    return {hole.level: cut.from_foot(hole.along) for hole in post.holes}
