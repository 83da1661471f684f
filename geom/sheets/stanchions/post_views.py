"""The two views of a post on its deck, and positions of items beside its foot without overlap."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.boat.model import BasePlate
from geom.drafting import post_text as post_words
from geom.drafting.profile_view import facing
from geom.drafting.sight import from_aft, from_outboard
from geom.drafting.views import LETTERING
from geom.figure import Point
from geom.lettering import width as text_width
from geom.parts.shape.view import Sight
from geom.placement.pads import pad
from geom.placement.place import UP, PlacedPost, side_sign
from geom.refit import Refit
from geom.render.style import DRAFTING
from geom.sheets.stanchions.brace_figure import brace_of
from geom.sheets.stanchions.tube_figure import base_of
from geom.units import Mm, Rad

PLUMB_HIGH = 18.0
# Position of the arc of the angle along the height, a share.
ARC_AT = 0.8
# From the tube's edge to the knee of the angle's leader, and from there to its end [paper mm].
ANGLE_KNEE, ANGLE_END = 2.5, 1.0
# From the pad's corner to the knee of its leader, from there to its end, and the height of the leader [paper mm].
PAD_KNEE, PAD_END, PAD_HIGH = 0.5, 0.5, 7.0
# Smallest distances from the tube's foot to the dimension of the height, the plumb line and the view's end [paper mm].
_UPRIGHT, _PLUMB, _ROOM = 24.0, 22.0, 29.5
# Clearance beside a line, and from the dimension of the height to the view's end [paper mm].
_CLEAR, _BEYOND_UPRIGHT = 2.5, 5.5
_BEYOND_BRACE = 7.0


@dataclass(frozen=True)
class Standing:
    """One view of a post on deck: direction, angle off square, + to paper right [rad], its texts and keys."""

    sight: Sight
    angle: Rad
    tilt_text: str
    key: str
    ways: tuple[str, str]
    direction: str
    falls: str

    @property
    def lean(self) -> float:
        """Side to which the tube is off square, a factor, +1 to the right."""
        return 1.0 if self.angle >= 0.0 else -1.0

    @property
    def angle_lines(self) -> tuple[str, ...]:
        """The lines of the note of the angle off square."""
        note = self.tilt_text if " " in self.tilt_text else f"{self.tilt_text} {self.direction}"
        return tuple(note.split(" ", 1))


@dataclass(frozen=True)
class Places:
    """Positions of items beside a tube's foot in one view [paper mm].

    `aside` is the side of the height's dimension, +1 at the right; the plumb line is on the other side. `upright`
    and `plumb` are their distances from the foot, `left` and `right` the extent of the view.
    """

    aside: float
    upright: Mm
    plumb: Mm
    left: Mm
    right: Mm

    @property
    def room(self) -> Mm:
        """The width of the view [paper mm]."""
        return self.left + self.right


def seen_from_outboard(post: PlacedPost) -> Standing:
    """Return the view of a post on deck from outboard."""
    return Standing(
        sight=from_outboard(post),
        angle=facing(post.side) * post.plate.aft,
        tilt_text=post_words.angle(post.plate.aft, "aft", "forward"),
        key="aft",
        ways=post_words.ways_from_outboard(post.side),
        direction="fore-and-aft",
        falls=post_words.angle(post.spec.deck_falls.aft, "aft", "forward", 1),
    )


def seen_from_aft(post: PlacedPost) -> Standing:
    """Return the view of a post on deck from aft."""
    return Standing(
        sight=from_aft(post),
        angle=side_sign(post.side) * post.plate.out,
        tilt_text=post_words.angle(post.plate.out, "outboard", "inboard"),
        key="out",
        ways=post_words.ways_from_aft(post.side),
        direction="athwartships",
        falls=post_words.angle(post.spec.deck_falls.outboard, "outboard", "inboard", 1),
    )


def places(refit: Refit, post: PlacedPost, view: Standing, height: Mm, mm: float) -> Places:
    """Return the positions of items beside a tube's foot, clear of its plate, its lean and each other.

    Args:
        refit: the boat as calculated.
        post: the post.
        view: from outboard or from aft.
        height: at which offsets are given [mm].
        mm: model millimetres to a paper millimetre.
    """
    post_brace = brace_of(post)
    brace = 0.0 if post_brace is None else view.sight.point(post_brace.foot)[0] / mm
    aside = -view.lean
    if abs(brace) > 10.0:
        # Away from the brace rather than from the lean.
        aside = -1.0 if brace > 0.0 else 1.0
    plate = _plate_reach(refit, post, view, mm)
    note_extent = _angle_reach(post, view, height, mm)
    upright = max(_UPRIGHT, plate[aside] + _CLEAR)
    if view.lean == aside:
        upright = max(upright, note_extent + _CLEAR)
    plumb, plumb_end = _plumb(post, view, -aside, plate[-aside], mm)
    extents = {aside: max(_ROOM, upright + _BEYOND_UPRIGHT), -aside: max(_ROOM, plumb_end + 1.0)}
    tip = math.tan(abs(view.angle)) * (max(height, post.top) / mm + 6.0) + 0.5 * post.tube_od / mm
    extents[view.lean] = max(extents[view.lean], note_extent + 1.0, tip + 1.0)
    left, right = max(extents[-1.0], _BEYOND_BRACE - brace), max(extents[1.0], _BEYOND_BRACE + brace)
    return Places(aside, upright, plumb, left, right)


def plate_corners(post: PlacedPost, base: BasePlate, sight: Sight) -> tuple[Point, Point, Point, Point]:
    """Return the corners of a plate on edge, lower face first, from the post's foot [mm].

    Args:
        post: the post.
        base: its plate.
        sight: the view.
    """
    fore = abs(vec.dot(sight.right, post.fore_and_aft)) > 0.5
    half = 0.5 * (base.length if fore else base.width)
    if base.tube == "to suit the post":
        return ((-half, 0.0), (half, 0.0), (half, base.thickness), (-half, base.thickness))
    run = _unit(sight.point(post.fore_and_aft if fore else post.outboard))
    up = _unit(sight.point(post.axis))
    low = pad(post, base).on_axis

    def corner(along: float, over: float) -> Point:
        return (along * run[0] + over * up[0], along * run[1] + over * up[1])

    high = low + base.thickness
    return (corner(-half, low), corner(half, low), corner(half, high), corner(-half, high))


def thick_corner(corners: tuple[Point, ...]) -> Point:
    """Return the corner of a plate's lower face under which the pad is thickest."""
    return max(corners[:2], key=lambda corner: corner[1])


def _plate_reach(refit: Refit, post: PlacedPost, view: Standing, mm: float) -> dict[float, float]:
    """Return the extent of the plate to either side with the label of its pad, by side [paper mm]."""
    base = base_of(refit, post)
    if base is None:
        return {-1.0: 0.0, 1.0: 0.0}
    corners = plate_corners(post, base, view.sight)
    reach = {side: max(side * x for x, _ in corners) / mm for side in (-1.0, 1.0)}
    if base.tube != "to suit the post":
        x = thick_corner(corners)[0]
        word = PAD_KNEE + PAD_END + DRAFTING.leader_gap + text_width(post_words.PAD, LETTERING)
        side = 1.0 if x > 0.0 else -1.0
        reach[side] = max(reach[side], abs(x) / mm + word)
    return reach


def _angle_reach(post: PlacedPost, view: Standing, height: Mm, mm: float) -> float:
    """Return the extent of the note of the angle on the side that the tube leans to [paper mm]."""
    edge = ARC_AT * height * math.tan(abs(view.angle)) + 0.5 * post.tube_od
    wide = max(text_width(line, LETTERING) for line in view.angle_lines)
    return edge / mm + ANGLE_KNEE + ANGLE_END + DRAFTING.leader_gap + wide


def _plumb(post: PlacedPost, view: Standing, side: float, plate: float, mm: float) -> tuple[float, float]:
    """Return the distances of the plumb line and its label's end from the foot, clear of plate and tube [paper mm]."""
    up = view.sight.point(UP)
    outward = side * PLUMB_HIGH * up[0] / up[1]
    half = 0.5 * text_width(post_words.PLUMB, LETTERING)
    high = PLUMB_HIGH + 2.0 * LETTERING
    tube = 0.5 * post.tube_od / mm + max(0.0, side * high * math.tan(view.angle))
    inward = max(0.0, -outward)
    at = max(_PLUMB, plate + _CLEAR + inward, tube + half + inward + 1.0)
    return at, at + max(0.0, outward) + half


def _unit(p: Point) -> Point:
    length = math.hypot(*p)
    return (p[0] / length, p[1] / length)
