"""Consistency checks of posts and rails: positions, holes, tubes and braces."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.boat.faults import LocatedFault, closest, in_file_unit
from geom.boat.model import BasePlate, Boat, Hole, HoleDirection, Post, Rail, Socket
from geom.boat.quantity import Point
from geom.boat.tree import Location

Y_SIGNS = "in boat axes Y is + to starboard and - to port"
# Feet closer than this are the same post entered twice [mm].
SAME_PLACE = 10.0
# Largest plausible angles [rad]; a larger figure is usually a length entered as an angle.
MAX_SLOPE = math.radians(45.0)
# A hole that is tilted further along its tube is not drilled [rad].
MAX_HOLE_TILT = math.radians(60.0)


def faults(boat: Boat) -> Iterator[LocatedFault]:
    """Yield the faults of a boat's posts, tubes, bases and rails."""
    for index, post in enumerate(boat.posts):
        place: Location = ("posts", index)
        yield from location_faults(boat, post.id, post.foot, (*place, "foot"))
        for before in boat.posts[:index]:
            if before.id != post.id:
                yield from _apart(boat, before, post, place)
        yield from _attitude(post, place)
        yield from _holes(boat, post, place)
        yield from _brace(boat, post, place)
        if post.base is not None and post.base not in boat.bases:
            yield LocatedFault((*place, "base"), "no such base", valid=closest(post.base, boat.bases))
        yield from _cap(boat, post, place)
        yield from _socket_bore(boat, post, place)
    yield from _hole_edges(boat)
    for word, tube in boat.tubes.items():
        if 2.0 * tube.wall >= tube.od:
            valid = f"less than {in_file_unit(0.5 * tube.od, boat)}, half of `od`"
            yield LocatedFault(("tubes", word, "wall"), "no less than half the diameter", valid=valid)
    for word, base in boat.bases.items():
        yield from _base(boat, base, ("bases", word))
    for word, rail in boat.rails.items():
        yield from _rail(boat, rail, ("rails", word))


def location_faults(boat: Boat, name: str, point: Point, place: Location) -> Iterator[LocatedFault]:
    """Yield the faults of a named point's location: on the wrong side, or off the boat.

    Args:
        boat: in boat axes.
        name: id of the post or eye; its first letter is its side.
        point: the point in boat axes [mm].
        place: the location of the point in the file.
    """
    sign = {"S": 1.0, "P": -1.0}.get(name[0], 0.0)
    if sign * point[1] < 0.0:
        word = "starboard" if sign > 0 else "port"
        yield LocatedFault((*place, 1), f"Y lies on the wrong side of the centreline for {word}", valid=Y_SIGNS)
    yield from off_boat_faults(boat, point, place)


def off_boat_faults(boat: Boat, point: Point, place: Location) -> Iterator[LocatedFault]:
    """Yield a fault where a point lies far off the boat: forward, aft, to a side, above or below.

    Args:
        boat: in boat axes.
        point: the point in boat axes [mm].
        place: the location of the point in the file.
    """
    margin = 0.2 * boat.boat.loa
    if abs(point[1]) > boat.boat.beam:
        yield LocatedFault((*place, 1), "Y lies off the boat", valid="not further out than `beam`; half of it is usual")
    if abs(point[2]) > boat.boat.loa:
        yield LocatedFault((*place, 2), "Z lies off the boat", valid="no more than `loa` above or below zero")
    if not -margin <= point[0] <= boat.boat.loa + margin:
        yield LocatedFault((*place, 0), "X lies off the boat", valid="in boat axes X is aft of the stem head")


def _apart(boat: Boat, before: Post, post: Post, place: Location) -> Iterator[LocatedFault]:
    """Yield a fault where two posts stand at one place, or closer than their tubes are thick."""
    distance = math.dist(before.foot, post.foot)
    tubes = [tube.od for tube in (boat.tubes.get(before.tube), boat.tubes.get(post.tube)) if tube is not None]
    thickness = 0.5 * math.fsum(tubes) if len(tubes) == 2 else 0.0
    if distance < SAME_PLACE:
        yield LocatedFault((*place, "foot"), f"same place as {before.id}", valid="one post at one place")
    elif distance <= thickness:
        message = f"closer to {before.id} than their tubes are thick"
        yield LocatedFault((*place, "foot"), message, valid=f"feet more than {in_file_unit(thickness, boat)} apart")


def _attitude(post: Post, place: Location) -> Iterator[LocatedFault]:
    angles: dict[Location, float] = {("lean",): post.lean, ("rake",): post.rake}
    if post.intended is not None:
        angles |= {("intended", "lean"): post.intended.lean, ("intended", "rake"): post.intended.rake}
    angles |= {("deck_falls", "aft"): post.deck_falls.aft, ("deck_falls", "outboard"): post.deck_falls.outboard}
    for key, angle in angles.items():
        if abs(angle) > MAX_SLOPE:
            yield LocatedFault((*place, *key), "too steep for a post or a deck", valid="an angle up to 45 deg")


def _holes(boat: Boat, post: Post, place: Location) -> Iterator[LocatedFault]:
    tube = boat.tubes.get(post.tube)
    if tube is None:
        yield LocatedFault((*place, "tube"), "no such tube", valid=closest(post.tube, boat.tubes))
    before: list[tuple[str, Hole]] = []
    for level, hole in post.holes.items():
        here: Location = (*place, "holes", level)
        if hole.as_found is None and hole.planned is None:
            yield LocatedFault(here, "the hole is neither found nor planned", valid="as_found or planned")
            continue
        for key, state in (("as_found", hole.as_found), ("planned", hole.planned)):
            if state is None:
                continue
            bore = None if tube is None else tube.od - 2.0 * tube.wall
            # A wall that leaves no bore is refused itself.
            if tube is not None and bore is not None and 0.0 < bore <= state.diameter:
                wide = "its tube" if state.diameter >= tube.od else "the bore of its tube"
                valid = f"less than {in_file_unit(bore, boat)}, od less twice the wall"
                yield LocatedFault((*here, key, "diameter"), f"the hole is not narrower than {wide}", valid=valid)
            if isinstance(state.direction, HoleDirection) and abs(state.direction.tilt) >= MAX_HOLE_TILT:
                yield LocatedFault(
                    (*here, key, "direction", "tilt"), "the hole runs along the tube", valid="a tilt under 60 deg"
                )
        radius = 0.5 * hole.diameter
        if hole.along + radius >= post.top:
            valid = f"less than {in_file_unit(post.top - radius, boat)}, `top` less half the hole"
            yield LocatedFault((*here, "along"), "the hole is not under the top of the tube", valid=valid)
        if hole.along <= radius:
            valid = f"more than {in_file_unit(radius, boat)}, half its diameter"
            yield LocatedFault((*here, "along"), "the hole runs into the deck", valid=valid)
        liner = hole.liner
        if liner is not None and liner.bore >= hole.diameter:
            yield LocatedFault(
                (*here, "planned", "liner", "bore"), "not narrower than its hole", valid="a liner with a wall"
            )
        for other_level, other in before:
            if abs(other.along - hole.along) < radius + 0.5 * other.diameter:
                yield LocatedFault((*here, "along"), f"the hole runs into hole {other_level}", valid="holes apart")
        before.append((level, hole))


def _hole_edges(boat: Boat) -> Iterator[LocatedFault]:
    """Yield what cannot be true of the choice for the edges of holes: sizes missing or of no use, no bore left."""
    chosen = boat.hole_edges
    if chosen is None:
        return
    where: Location = ("hole_edges",)
    stated = {key for key in ("wall", "length", "mouth_radius") if getattr(chosen, key) is not None}
    needed = {"polished edge": set(), "sleeve on the line": {"wall", "length"}}.get(chosen.choice, {"wall"})
    allowed = {"polished edge": set(), "sleeve on the line": {"wall", "length"}}.get(chosen.choice, set(stated))
    for key in sorted(needed - stated):
        yield LocatedFault(where, f"the key '{key}' is missing", valid=f"{key} of the {chosen.choice}")
    for key in sorted(stated - allowed):
        valid = "no " + " and no ".join(sorted(stated - allowed))
        yield LocatedFault((*where, key), f"a {chosen.choice} has no {key.replace('_', ' ')}", valid=valid)
    if chosen.wall is None or chosen.choice in ("polished edge", "sleeve on the line"):
        return
    if chosen.mouth_radius is not None and chosen.mouth_radius > chosen.wall:
        yield LocatedFault(
            (*where, "mouth_radius"), "more than the wall", valid=f"at most {in_file_unit(chosen.wall, boat)}, the wall"
        )
    passed = {(name, run.level) for run in boat.runs for name in run.through}
    for post in boat.posts:
        for level, hole in post.holes.items():
            own = hole.planned or hole.as_found
            if (post.id, level) not in passed or own is None or hole.liner is not None or own.lip_radius is not None:
                continue
            if 2.0 * chosen.wall >= hole.diameter:
                message = f"leaves no bore in hole {post.id}-{level} of {in_file_unit(hole.diameter, boat)}"
                yield LocatedFault((*where, "wall"), message, valid="less than half of every hole it goes into")


def _brace(boat: Boat, post: Post, place: Location) -> Iterator[LocatedFault]:
    if post.brace is None:
        return
    yield from location_faults(boat, post.id, post.brace.foot, (*place, "brace", "foot"))
    if post.brace.along > post.top:
        yield LocatedFault(
            (*place, "brace", "along"), "the brace meets the tube above its top", valid="not more than `top`"
        )


def _base(boat: Boat, base: BasePlate, place: Location) -> Iterator[LocatedFault]:
    half_length, half_width, radius = 0.5 * base.length, 0.5 * base.width, 0.5 * base.bolt_hole
    if base.corner_radius >= min(half_length, half_width):
        yield LocatedFault(
            (*place, "corner_radius"), "corner radius too large for the plate", valid="less than half the width"
        )
    if base.bolt_hole < base.bolt:
        yield LocatedFault((*place, "bolt_hole"), "narrower than its bolt", valid="not less than `bolt`")
    for index, (aft, outboard) in enumerate(base.bolts):
        if abs(aft) + radius >= half_length or abs(outboard) + radius >= half_width:
            yield LocatedFault((*place, "bolts", index), "the hole runs off the plate", valid="a place on the plate")

    yield from _socket(boat, base, place)


def _socket(boat: Boat, base: BasePlate, place: Location) -> Iterator[LocatedFault]:
    """Yield what cannot be true of a socket: it stands square on a plate with four bolts about the tube."""
    if base.socket is None:
        return
    where = (*place, "socket")
    if base.tube != "square to the plate":
        yield LocatedFault(where, "the tube does not stand square in it", valid="tube: square to the plate")
    if not base.socket.bore < base.socket.od < min(base.length, base.width):
        yield LocatedFault(
            (*where, "bore"), "no wall, or wider than the plate", valid="bore less than od, od less than the plate"
        )
    yield from _in_socket(boat, base, base.socket, where)
    corners = {(abs(aft), abs(outboard)) for aft, outboard in base.bolts}
    quadrants = {(aft > 0.0, outboard > 0.0) for aft, outboard in base.bolts}
    if len(base.bolts) != 4 or len(corners) != 1 or len(quadrants) != 4:
        yield LocatedFault((*place, "bolts"), "not the corners of a rectangle", valid="four bolts about the tube")
    elif math.hypot(*min(corners)) - 0.5 * base.bolt_hole <= 0.5 * base.socket.od:
        yield LocatedFault((*where, "od"), "covers the bolts", valid="a socket between the bolts")


def _in_socket(boat: Boat, base: BasePlate, socket: Socket, where: Location) -> Iterator[LocatedFault]:
    """Yield what cannot be true of a tube in its socket: too deep, welded, a pin that misses tube or socket."""
    if base.weld_leg is not None:
        yield LocatedFault((*where[:-1], "weld_leg"), "a tube in a socket is not welded", valid="no weld leg")
    if socket.depth is not None and socket.depth > socket.height + base.thickness:
        valid = f"at most {in_file_unit(socket.height + base.thickness, boat)}, socket and plate"
        yield LocatedFault((*where, "depth"), "deeper than the base is high", valid=valid)
    if (socket.pin_hole is None) != (socket.pin_height is None):
        valid = "pin_hole and pin_height together"
        yield LocatedFault(where, "a pin needs its diameter and its height", valid=valid)
    elif socket.pin_hole is not None and socket.pin_height is not None:
        depth = socket.height if socket.depth is None else socket.depth
        low, high, half = socket.height - depth, socket.height, 0.5 * socket.pin_hole
        if not low + half < socket.pin_height < high - half:
            valid = f"more than {in_file_unit(low + half, boat)} and less than {in_file_unit(high - half, boat)}"
            yield LocatedFault((*where, "pin_height"), "the pin misses the tube in its socket", valid=valid)
    elif socket.retention is not None and "pin" in socket.retention:
        yield LocatedFault((*where, "retention"), "a pin without its hole", valid="pin_hole and pin_height")


def _socket_bore(boat: Boat, post: Post, place: Location) -> Iterator[LocatedFault]:
    base = boat.bases.get(post.base) if post.base is not None else None
    tube = boat.tubes.get(post.tube)
    if base is not None and base.socket is not None and tube is not None and base.socket.bore < tube.od:
        yield LocatedFault((*place, "base"), "its socket does not take the tube", valid="a bore not less than the od")
    pin = None if base is None or base.socket is None else base.socket.pin_hole
    if pin is not None and tube is not None and pin >= tube.od - 2.0 * tube.wall:
        yield LocatedFault(
            (*place, "base"), "the pin of its socket is as wide as the tube", valid="a pin_hole less than its bore"
        )  # fmt: skip


def _cap(boat: Boat, post: Post, place: Location) -> Iterator[LocatedFault]:
    tube = boat.tubes.get(post.tube)
    if post.cap is None or tube is None:
        return
    if post.cap.plug is not None and post.cap.plug > tube.od - 2.0 * tube.wall:
        yield LocatedFault((*place, "cap", "plug"), "wider than the tube's bore", valid="not more than the bore")
    if post.cap.dome is not None and post.cap.dome > 0.5 * tube.od:
        yield LocatedFault((*place, "cap", "dome"), "higher than a half ball", valid="not more than half the od")


def _rail(boat: Boat, rail: Rail, place: Location) -> Iterator[LocatedFault]:
    if rail.tube not in boat.tubes:
        yield LocatedFault((*place, "tube"), "no such tube", valid=closest(rail.tube, boat.tubes))
    elif rail.bend_radius <= boat.tubes[rail.tube].od:
        yield LocatedFault(
            (*place, "bend_radius"), "bend radius smaller than the tube's diameter", valid="more than the tube's `od`"
        )
    for index, point in enumerate(rail.points):
        yield from off_boat_faults(boat, point, (*place, "points", index))
        if index and math.dist(rail.points[index - 1], point) < SAME_PLACE:
            yield LocatedFault(
                (*place, "points", index), "same place as the point before it", valid="a corner or an end"
            )
