"""What stands on posts, rails and lines beside the fittings of the runs' ends: caps, eyes, liners, sleeves, sockets."""

from __future__ import annotations

from dataclasses import replace

from geom.boat.model import BasePlate, Cap, RailEye, SlideOn
from geom.errors import GeometryError
from geom.parts.catalogue import part, sizes
from geom.parts.families.base import BaseSpec
from geom.parts.families.bush import BushSpec
from geom.parts.families.cap import CapSpec
from geom.parts.families.envelope import EnvelopeSpec
from geom.parts.families.eyes import EyeStudSpec, GateEyeSpec, RailEyeSpec
from geom.parts.families.sleeve import SleeveSpec
from geom.placement.spacers import Spacer
from geom.solids import drawn
from geom.solids.sizing import listed, nearest, sized
from geom.solids.sources import BOAT_FILE, LOOSE_BOLT, Sources, sources

# The shapes of the table boat_parts, each made here, in `posts` or in `ends`.
SHAPES = (
    drawn.ENVELOPE, "post", "cap", "base", "bush", "rail_eye", "eye_stud", "gate_eye", "thimble", "sleeve",
)  # fmt: skip
Eye = tuple[RailEyeSpec | EyeStudSpec, Sources]
_FROM_RAIL = "place and rail of the boat file"


def shape_of(word: str) -> str:
    """Return the shape that stands for a part of the table boat_parts.

    Raises:
        OutsideTableError: the table has no such part, or names a shape that there is not.
    """
    return drawn.shapes_of("boat_parts", word, SHAPES)[0]


def tube_cap(cap: Cap, tube_od: float, wall: float) -> tuple[CapSpec, Sources]:
    """Return the cap of a post's tube; sizes that are not stated are those of the nearest tube listed.

    Args:
        cap: what the boat file says.
        tube_od: diameter of the tube [mm].
        wall: of the tube [mm].

    Raises:
        GeometryError: the stated sizes cannot be made.
    """
    assert shape_of("cap") == "cap"
    size = min(sizes("cap"), key=lambda name: (abs(listed("cap", name, "tube od") - tube_od), name))
    stated = {"tube od": (tube_od, "the tube's"), "plug": (tube_od - 2.0 * wall - 0.2, "the tube's bore less 0.2 mm")}
    given = {"plug": cap.plug, "plug length": cap.plug_length, "rim": cap.rim, "dome": cap.dome}
    stated |= {name: (value, BOAT_FILE) for name, value in given.items() if value is not None}
    return sized(CapSpec, "cap", size, stated)


def socket_base(base: BasePlate) -> tuple[BaseSpec, Sources]:
    """Return the base whose socket the boat file gives: all sizes are the boat file's.

    Raises:
        GeometryError: its sizes contradict each other.
    """
    assert shape_of("base with a socket") == "base"
    assert base.socket is not None
    aft, outboard = (2.0 * max(abs(place[k]) for place in base.bolts) for k in (0, 1))
    spec = BaseSpec(
        length=base.length,
        width=base.width,
        thickness=base.thickness,
        corner_radius=base.corner_radius,
        fastening_hole=base.bolt_hole,
        fastening_pitch_x=aft,
        fastening_pitch_y=outboard,
        socket_od=base.socket.od,
        socket_bore=base.socket.bore,
        socket_height=base.socket.height,
    )
    return spec, sources({dim.name: BOAT_FILE for dim in spec.dims()} | {"wedge": "flat plate: boat file"})


def rail_eye(eye: RailEye, stand_off: float | None) -> Eye:
    """Return the eye of a rail by its family, as high over the rail as it stands, where that is known and can be.

    Args:
        eye: what the boat file says; it has a family.
        stand_off: from the rail's surface to where the pin bears [mm]; None where no rail is near.

    Raises:
        GeometryError: the stated hole leaves no metal.
    """
    assert eye.family is not None
    make = _stud if shape_of(eye.family) == "eye_stud" else _welded
    if stand_off is not None:
        try:
            return make(eye, stand_off)
        except GeometryError:
            pass
    return make(eye, None)


def _welded(eye: RailEye, stand_off: float | None) -> Eye:
    size = sizes("rail_eye")[0] if eye.hole is None else nearest("rail_eye", "hole", eye.hole)
    stated = {} if eye.hole is None else {"hole": (eye.hole, BOAT_FILE)}
    if stand_off is not None:
        stated["height"] = (stand_off, _FROM_RAIL)
    return sized(RailEyeSpec, "rail_eye", size, stated)


def _stud(eye: RailEye, stand_off: float | None) -> Eye:
    size = sizes("eye_stud")[0] if eye.hole is None else nearest("eye_stud", "hole", eye.hole)
    stated = {} if eye.hole is None else {"hole": (eye.hole, BOAT_FILE)}
    if stand_off is not None:
        stated["neck"] = (stand_off - listed("eye_stud", size, "collar thickness"), _FROM_RAIL)
    return sized(EyeStudSpec, "eye_stud", size, stated)


def sleeve_name(spec: SleeveSpec) -> str:
    """Return the product name of a sleeve: outside diameter, length, line."""
    return f"sleeve {round(spec.bore + 2.0 * spec.wall, 1):g} x {spec.length:g} on {spec.bore:g} line"


def slid_on(item: SlideOn, line: float) -> tuple[str, SleeveSpec | EnvelopeSpec, Sources]:
    """Return the product's name, shape and sources of what is slid on a line, its bore that of the line.

    Args:
        item: what the boat file says.
        line: diameter of the line [mm].

    Raises:
        GeometryError: it is an envelope without a length, or its stated width leaves no wall.
    """
    if shape_of(item.kind) == "sleeve":
        size = nearest("sleeve", "bore", line)
        stated = {"bore": (line, "the line's own")}
        if item.width is not None:
            stated["wall"] = (0.5 * (item.width - line), "half of width less line")
        if item.length is not None:
            stated["length"] = (item.length, BOAT_FILE)
        spec, said = sized(SleeveSpec, "sleeve", size, stated)
        return sleeve_name(spec), spec, said
    if item.length is None or item.width is None:
        raise GeometryError(f"{item.item}: the boat file gives no length and width to draw it by")
    stated_words = {"length": BOAT_FILE, "width": BOAT_FILE, "bore": "the line's own"}
    envelope = EnvelopeSpec(item.kind, item.length, item.width, line)
    return f"{item.kind} {item.length:g} on {line:g} line (ENVELOPE)", envelope, sources(stated_words)


def gate_eye(tube_od: float, hole: float, offset: float) -> tuple[GateEyeSpec, Sources] | None:
    """Return the double eye through a post whose pins stand off the tube's axis; None where it cannot be made.

    Args:
        tube_od: outside diameter of the post [mm].
        hole: diameter of the hole in the post [mm].
        offset: from the tube's axis to the pins [mm].
    """
    size = sizes("gate_eye")[0]
    assert shape_of("double eye through a post") == "gate_eye"
    usual = part("gate_eye", size)
    assert isinstance(usual, GateEyeSpec)
    stated = {"between": BOAT_FILE, "neck": "the boat file's eye offset, less tube and collar"}
    if hole < usual.bolt:
        stated["bolt"] = "hole in the post"
    elif hole > usual.bolt:
        stated["bolt"] = LOOSE_BOLT
    try:
        spec = replace(
            usual,
            between=2.0 * offset,
            neck=offset - 0.5 * tube_od - usual.collar_thickness,
            bolt=min(usual.bolt, hole),
        )
    except GeometryError:
        return None
    return spec, sources(stated, "gate_eye", size)


def liner_bush(hole: float, bore: float, length: float, mouth_radius: float) -> tuple[BushSpec, Sources]:
    """Return the bush that lines a hole; the radius of its mouths is limited to its wall.

    Args:
        hole: diameter of the hole in the post [mm].
        bore: of the liner [mm].
        length: of the liner [mm].
        mouth_radius: radius of its mouths [mm].

    Raises:
        GeometryError: the liner is wider than the hole, or has no wall.
    """
    assert shape_of("hole liner") == "bush"
    wall = 0.5 * (hole - bore)
    stated = {"od": "hole in the post", "bore": BOAT_FILE, "length": BOAT_FILE, "mouth radius": BOAT_FILE}
    if mouth_radius > wall + 1e-6:
        mouth_radius, stated["mouth radius"] = wall, "the wall: the boat file's is more"
    return BushSpec(hole, bore, length, mouth_radius), sources(stated)


def spacer_tube(size: Spacer) -> tuple[BushSpec, Sources]:
    """Return the spacer on the bolt of a double eye: a plain tube that fills its hole."""
    assert shape_of("spacer tube") == "bush"
    stated = {"od": "hole in the post", "bore": LOOSE_BOLT, "length": "the tube's own", "mouth radius": "plain ends"}
    return BushSpec(size.od, size.bore, size.length, 0.0), sources(stated)
