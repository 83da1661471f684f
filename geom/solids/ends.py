"""The ends of a line as parts: eyes with their thimbles, knots, terminals, sleeves.

Every end is in the frame of its run end: origin where the last fitting ends, Z towards the line.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from geom.boat.model import LineEnd
from geom.errors import GeometryError
from geom.parts.families.rope_ends import SoftEyeSpec, StopKnotSpec
from geom.parts.families.sleeve import SleeveSpec
from geom.parts.families.terminals import (
    CompressionTerminalSpec,
    SwagedStudSpec,
    TerminalEyeSpec,
    TerminalForkSpec,
)
from geom.parts.families.thimble import ThimbleSpec
from geom.parts.part import Part
from geom.parts.shape.frame import Frame
from geom.parts.thread import major_diameter
from geom.placement.line_ends import is_wire_eye
from geom.solids import drawn
from geom.solids.boat_parts import shape_of, sleeve_name
from geom.solids.fittings import GENERIC, Member, envelope
from geom.solids.sizing import listed, nearest, sized, smallest_over
from geom.solids.sources import BOAT_FILE, INVENTED, STUB, Sources, sources

# Max clearance of the wire in the bore of a listed terminal [mm].
_BORE_SPARE = 1.0
# How much wider than stated a listed fork may be drawn [mm].
_WIDTH_SPARE = 0.5


@dataclass(frozen=True)
class Seat:
    """The seat of an end: diameters of the line and of the pin in the eye, crown distance behind the pin [mm]."""

    line: float
    inside: float
    behind: float = 0.0


Maker = Callable[[LineEnd, Seat], tuple[Member, ...]]


def end_members(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return the parts of an end; none where it is the line alone, or the boat file states no length.

    Args:
        end: from the boat file.
        seat: of the end.

    Raises:
        OutsideTableError: the data have no such family, or name an unknown shape for it.
    """
    shape = end_shapes(end)[0]
    if shape == drawn.LINE:
        return ()
    if shape != drawn.ENVELOPE:
        try:
            return MAKERS[shape](end, seat)
        except GeometryError:
            pass
    return _envelope(end, seat)


def end_shapes(end: LineEnd) -> tuple[str, ...]:
    """Return the shapes of the family of an end, the leading one first.

    Raises:
        OutsideTableError: the data have no such family, or name an unknown shape for it.
    """
    return drawn.shapes_of("end_families", end.family, (drawn.ENVELOPE, drawn.LINE, *MAKERS))


def bight(end: LineEnd, line: float) -> float:
    """Return the thickness of the bight of an end: the line, or line and thimble together [mm]."""
    if "soft_eye" not in end_shapes(end):
        return line
    made = thimble_of(end, line)
    if made is None:
        return line
    spec = made[0]
    return 2.0 * math.hypot(0.5 * spec.breadth, 0.5 * line + spec.thickness)


def thimble_of(end: LineEnd, line: float) -> tuple[ThimbleSpec, Sources] | None:
    """Return the thimble of an eye at its listed length; None where it has none or none listed fits the line.

    Args:
        end: from the boat file.
        line: diameter of the line [mm].
    """
    if end.thimble is None and "thimble" not in end_shapes(end):
        return None
    assert shape_of("thimble") == "thimble"
    width = end.thimble.width if end.thimble is not None else None
    try:
        size = smallest_over("thimble", "rope", line, 1.0)
        stated: dict[str, tuple[float, str]] = {}
        if width is not None:
            flanges = listed("thimble", size, "width") - listed("thimble", size, "inside")
            stated = {"width": (width, BOAT_FILE), "inside": (width - flanges, "boat file's width less two flanges")}
        return sized(ThimbleSpec, "thimble", size, stated)
    except GeometryError:
        return None


def _soft_eye(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return loop and throat with a short stub, and the thimble in the loop."""
    if end.throat_to_pin is None:
        raise GeometryError("the length of the eye is not stated")
    thimble, rope = thimble_of(end, seat.line), seat.line
    bearing, said, pin, pin_said, metal = end.throat_to_pin, BOAT_FILE, seat.inside, INVENTED, 0.0
    if thimble is not None:
        metal = thimble[0].thickness
        bearing, said = bearing + metal, "to the pin by the boat file, plus the thimble's metal"
        pin, pin_said = thimble[0].inside + 2.0 * metal, "groove of the thimble"
    spec = SoftEyeSpec(
        rope=rope,
        pin=pin,
        throat_to_bearing=bearing,
        throat_width=2.2 * rope,
        throat_breadth=1.5 * rope,
        throat_length=1.5 * rope,
        buried=1.41 * rope,
        bury=4.0 * rope,
        taper=2.0 * rope,
    )
    # Line and thimble together lie in the middle of the hole.
    top = spec.throat_to_bearing + 0.5 * (rope - metal) - _behind(seat)
    frame = Frame((0.0, 0.0, top), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    stated = dict.fromkeys(("throat width", "throat breadth", "throat length"), INVENTED)
    stated |= {"pin": pin_said, "rope": BOAT_FILE, "throat to bearing": said, "buried": "area of two ropes"}
    stated |= {"bury": STUB, "taper": STUB}
    reach = top + spec.throat_length + spec.bury + 2.0 * rope
    made_of = "wire" if is_wire_eye(end) else "rope"
    name = f"eye of {rope:g} {made_of} round {round(pin, 1):g} (envelope)"
    eye = Member(name, spec, frame, reach=reach, sources=sources(stated))
    if thimble is None:
        return (eye,)
    return (eye, _in_bight(thimble, spec, frame))


def _in_bight(thimble: tuple[ThimbleSpec, Sources], eye: SoftEyeSpec, frame: Frame) -> Member:
    """Return the thimble in the loop of an eye, not longer than the eye to its throat."""
    spec, said = thimble
    centre = eye.throat_to_bearing - 0.5 * eye.pin
    longest = 0.5 * spec.width + centre
    if spec.length > longest:
        spec = replace(spec, length=longest)
        said = tuple((name, "to the eye's throat" if name == "length" else words) for name, words in said)
    place = frame.of(Frame((0.0, 0.0, centre)))
    return Member(f"thimble for {spec.rope:g} rope, {spec.width:g} wide ({GENERIC})", spec, place, "thimble", 0.0, said)


def _behind(seat: Seat) -> float:
    """Return the distance from the origin back to the centre of the rope at the crown [mm]."""
    return seat.behind + 0.5 * seat.line if seat.behind else 0.0


def _stop_knot(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return a knot that bears at the origin, its standing part towards the line."""
    size = nearest("stop_knot", "rope", seat.line)
    factor = seat.line / listed("stop_knot", size, "rope")
    stated = {"rope": (seat.line, "the line's own")}
    stated |= {
        name: (factor * listed("stop_knot", size, name), f"{INVENTED}, in rope diameters")
        for name in ("knot", "standing", "tail")
    }
    if end.width is not None:
        stated["knot"] = (end.width, BOAT_FILE)
    spec, said = sized(StopKnotSpec, "stop_knot", size, stated)
    frame = Frame((0.0, 0.0, -0.5 * spec.knot))
    name = f"stop knot of {seat.line:g} rope ({GENERIC})"
    return (Member(name, spec, frame, reach=spec.standing - 0.5 * spec.knot, sources=said),)


def _swaged_stud(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return a stud with its bearing point in the origin, its thread outward, and the end of the wire in its shank."""
    size = smallest_over("swaged_stud", "bore", seat.line, _BORE_SPARE)
    stated = _shank(end, end.width)
    # The bore ends short of the thread by the blind length of the shank, which is drawn as part of the thread.
    blind = listed("swaged_stud", size, "shank length") - listed("swaged_stud", size, "bore depth")
    stated |= _thread(end, blind)
    if end.insertion is not None:
        stated |= {"bore depth": (end.insertion, BOAT_FILE)}
        stated |= {"shank length": (end.insertion + blind, "boat file's insertion, and the metal beyond the bore")}
    spec, said = sized(SwagedStudSpec, "swaged_stud", size, stated)
    top = spec.shank_length + spec.thread_length - _beyond(end, spec.thread_length)
    frame = Frame((0.0, 0.0, top), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    name = f"swaged stud for {seat.line:g} wire{_thread_name(end)} ({GENERIC})"
    return (Member(name, spec, frame, reach=top - spec.bore_depth, sources=said),)


def _shank(end: LineEnd, width: float | None) -> dict[str, tuple[float, str]]:
    """Return the diameter of a shank after swaging: its GO gauge, else a width; empty where neither is stated."""
    if end.swage is not None:
        return {"shank": (end.swage.go, f"{BOAT_FILE}, GO gauge")}
    return {} if width is None else {"shank": (width, BOAT_FILE)}


def _bore(end: LineEnd, size: str, table: str, beyond: float) -> dict[str, tuple[float, str]]:
    """Return bore depth and shank length of an eye or a fork by insertion and deduction, as far as they are stated.

    Args:
        end: from the boat file.
        size: listed size.
        table: of the size rows.
        beyond: from the shank to the pin [mm].
    """
    stated: dict[str, tuple[float, str]] = {}
    depth = listed(table, size, "bore depth")
    if end.insertion is not None:
        depth = end.insertion
        stated["bore depth"] = (depth, BOAT_FILE)
    if end.deduction is not None:
        stated["shank length"] = (depth + end.deduction - beyond, "boat file's deduction, wire's end to pin")
    return stated


def _terminal_eye(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return a terminal with the hole of its eye in the origin, and the end of the wire in its shank."""
    table = "terminal_eye"
    size = smallest_over(table, "bore", seat.line, _BORE_SPARE)
    beyond = listed(table, size, "collar thickness") + listed(table, size, "neck")
    stated = _shank(end, None) | _bore(end, size, table, beyond)
    if end.width is not None:
        stated["eye radius"] = (0.5 * end.width, "half of the boat file's width")
    spec, said = sized(TerminalEyeSpec, table, size, stated)
    return (_at_pin(end, seat, spec, spec.pin, spec.bore_depth, said),)


def _terminal_fork(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return a terminal with the pin of its fork in the origin, and the end of the wire in its shank."""
    table = "terminal_fork"
    size = smallest_over(table, "bore", seat.line, _BORE_SPARE)
    beyond = listed(table, size, "block") + listed(table, size, "neck")
    stated = _shank(end, None) | _bore(end, size, table, beyond)
    spec, said = sized(TerminalForkSpec, table, size, stated)
    if end.width is not None and spec.width > end.width + _WIDTH_SPARE:
        raise GeometryError(f"the listed fork is {spec.width:.1f} mm wide, the stated one {end.width:g} mm")
    return (_at_pin(end, seat, spec, spec.pin, spec.bore_depth, said),)


def _at_pin(end: LineEnd, seat: Seat, spec: Part, pin: float, bore_depth: float, said: Sources) -> Member:
    frame = Frame((0.0, 0.0, pin), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    return Member(f"{end.family} for {seat.line:g} wire ({GENERIC})", spec, frame, reach=pin - bore_depth, sources=said)


def _compression_terminal(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return a terminal with its bearing point in the origin and the end of the wire at the foot of the thread."""
    size = smallest_over("compression_terminal", "bore", seat.line, _BORE_SPARE)
    stated = {} if end.width is None else {"flats": (end.width, BOAT_FILE)}
    if end.insertion is not None:
        sleeve = end.insertion - listed("compression_terminal", size, "hexagon length")
        stated |= {"sleeve length": (sleeve, "boat file's insertion, less the hexagon")}
    spec, said = sized(CompressionTerminalSpec, "compression_terminal", size, stated | _thread(end, 0.0))
    beyond = _beyond(end, spec.thread_length)
    top = spec.sleeve_length + spec.hexagon_length + spec.thread_length - beyond
    frame = Frame((0.0, 0.0, top), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    name = f"compression terminal for {seat.line:g} wire{_thread_name(end)} ({GENERIC})"
    return (Member(name, spec, frame, reach=spec.thread_length - beyond, sources=said),)


def _thread(end: LineEnd, blind: float) -> dict[str, tuple[float, str]]:
    """Return the thread of a terminal as the boat file states it, its length from the deduction; empty where neither.

    Args:
        end: from the boat file.
        blind: length of metal between the end of the wire and the thread [mm].
    """
    found = {}
    major = None if end.thread is None else major_diameter(end.thread)
    if major is not None:
        found["thread"] = (major, f"{BOAT_FILE}, {end.thread}")
    if end.deduction is None or end.bears_on == "shoulder":
        return found
    engaged = (end.thread_engaged or 0.0) if end.bears_on == "thread" else 0.0
    if end.deduction + engaged > blind:
        found["thread length"] = (end.deduction + engaged - blind, "boat file's deduction, wire's end to bearing point")
    return found


def _beyond(end: LineEnd, thread_length: float) -> float:
    """Return the length of a stud beyond its bearing point [mm]: none at its tip, the thread beyond its shoulder."""
    if end.bears_on == "shoulder":
        return thread_length
    return min(end.thread_engaged or 0.0, thread_length) if end.bears_on == "thread" else 0.0


def _thread_name(end: LineEnd) -> str:
    return "" if end.thread is None else f", {end.thread}"


def _sleeve(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return the sleeve on the end of the line."""
    stated = {"bore": (seat.line, "the line's own")}
    if end.width is not None:
        stated["wall"] = (0.5 * (end.width - seat.line), "half of width less line")
    spec, said = sized(SleeveSpec, "sleeve", nearest("sleeve", "bore", seat.line), stated)
    frame = Frame((0.0, 0.0, 0.5 * spec.length))
    return (Member(sleeve_name(spec), spec, frame, sources=said),)


def _envelope(end: LineEnd, seat: Seat) -> tuple[Member, ...]:
    """Return the plain body of an end at its stated length; none where it is not stated."""
    length = end.throat_to_pin if end.throat_to_pin is not None else end.deduction
    if not length:
        return ()
    body = envelope(end.family, length, (end.width, ""), seat.line)
    return (replace(body, reach=length),)


# The leading shape of a family -> what makes its parts.
MAKERS: dict[str, Maker] = {
    "soft_eye": _soft_eye,
    "stop_knot": _stop_knot,
    "swaged_stud": _swaged_stud,
    "compression_terminal": _compression_terminal,
    "terminal_eye": _terminal_eye,
    "terminal_fork": _terminal_fork,
    "sleeve": _sleeve,
}
