"""The base plates of the boat file in space, and the start of each tube on its plate."""

from __future__ import annotations

from geom import vec
from geom.boat.model import BasePlate
from geom.parts.families.base import BaseSpec
from geom.parts.families.pad import PadSpec
from geom.parts.families.plate import PlateSpec
from geom.parts.shape.frame import Frame
from geom.placement.identical_posts import ANGLE_DECIMALS, LENGTH_DECIMALS
from geom.placement.pads import deck_frame, pad, tube_length
from geom.placement.place import PlacedPost, side_sign
from geom.refit import Refit
from geom.solids import boat_parts
from geom.solids.sources import Sources


def base_of(refit: Refit, post: PlacedPost) -> BasePlate | None:
    """Return a post's base in the boat file, None where it has none."""
    return None if post.spec.base is None else refit.boat.bases[post.spec.base]


def plate_spec(base: BasePlate, post: PlacedPost) -> PlateSpec:
    """Return a post's plate; bolt positions are outboard, so that port is the mirror image of starboard.

    Raises:
        GeometryError: a corner or a bolt does not fit the plate.
    """
    out = side_sign(post.side)
    places = sorted((aft, out * outboard + 0.0) for aft, outboard in base.bolts)
    return PlateSpec(base.length, base.width, base.thickness, base.corner_radius, base.bolt_hole, tuple(places))


def base_part(base: BasePlate, post: PlacedPost) -> tuple[PlateSpec | BaseSpec, Sources]:
    """Return a post's base: its plate, with the socket where the boat file gives one, and where its sizes come from.

    Raises:
        GeometryError: its sizes contradict each other.
    """
    return (plate_spec(base, post), ()) if base.socket is None else boat_parts.socket_base(base)


def plate_frame(base: BasePlate, post: PlacedPost) -> Frame:
    """Return the frame of a post's plate: on the deck, or square to the tube over its pad."""
    if base.tube == "square to the plate":
        return Frame(vec.along(post.foot, post.axis, pad(post, base).on_axis), post.fore_and_aft, post.axis)
    deck = deck_frame(post)
    return Frame(post.foot, deck.aft, deck.normal)


def pad_part(base: BasePlate, post: PlacedPost) -> PadSpec | None:
    """Return the pad under a plate that is square to its tube, None where plate and deck are parallel.

    Raises:
        GeometryError: it cannot be made.
    """
    under = pad(post, base)
    if base.tube != "square to the plate" or not under.needed:
        return None
    normal, plate = deck_frame(post).normal, plate_spec(base, post)
    lies = plate_frame(base, post)
    up = vec.dot(normal, lies.z)
    aft, starboard = (round(-vec.dot(normal, way) / up, ANGLE_DECIMALS) + 0.0 for way in (lies.x, lies.y))
    thickness = round(under.on_axis, LENGTH_DECIMALS)
    return PadSpec(
        plate.length, plate.width, plate.corner_radius, thickness, (aft, starboard), plate.bolt_hole, plate.bolts
    )


def tube_foot(base: BasePlate, post: PlacedPost) -> tuple[float, tuple[float, float]]:
    """Return the start of a tube on its axis [mm], and the slopes of its foot going aft and outboard, as ratios."""
    start = round(post.top - tube_length(post, base), LENGTH_DECIMALS)
    if base.tube == "square to the plate":
        return start, (0.0, 0.0)
    normal = deck_frame(post).normal
    rise = vec.dot(normal, post.axis)
    aft, out = (-vec.dot(normal, way) / rise for way in (post.fore_and_aft, post.outboard))
    return start, (round(aft, ANGLE_DECIMALS) + 0.0, round(out, ANGLE_DECIMALS) + 0.0)
