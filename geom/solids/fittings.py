"""The fittings of a run as parts: the shape of each family at its planned length.

Sizes missing in the boat file come from the size tables, and the product name says so. A fitting without a shape, or
whose shape cannot be made at its sizes, is a plain body named ENVELOPE.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from geom.boat.model import Fitting
from geom.errors import GeometryError
from geom.parts.catalogue import data_of, part, sizes
from geom.parts.families.envelope import EnvelopeSpec
from geom.parts.families.eyes import GateEyeSpec
from geom.parts.families.gate_hook import GateHook, HookBodySpec, HookLeverSpec
from geom.parts.families.rope_ends import LashingSpec
from geom.parts.families.shackle import PinSpec, ShackleSpec
from geom.parts.families.toggle import ToggleSpec
from geom.parts.families.turnbuckle import StudTurnbuckleSpec, TurnbuckleSpec
from geom.parts.part import Part
from geom.parts.shape.frame import Frame
from geom.parts.thread import major_diameter
from geom.rigging.lashing import lashing_cord
from geom.solids import drawn
from geom.solids.sizing import listed, nearest, sized
from geom.solids.sources import (
    BOAT_FILE,
    INVENTED,
    NOT_COVERED,
    UNSTATED_THREAD,
    Sources,
    sources,
)

GENERIC = "generic"
ENVELOPE = "ENVELOPE"
# Default pin diameter of an eye where its fitting states none [mm], and the longest link that is a point.
_HELD, _HOOK_PIN = 8.0, 14.0


@dataclass(frozen=True)
class Member:
    """A part of a fitting in the frame of the fitting: origin at its pin on the anchorage side, Z towards the line.

    `reach` is the length of a finished end along the line [mm]; `sources` has the source of each size.
    """

    product: str
    part: Part
    frame: Frame
    suffix: str = ""
    reach: float = 0.0
    sources: Sources = ()


@dataclass(frozen=True)
class Link:
    """What adjoins a fitting: the diameter of the line, and the thickness of the bight in it [mm].

    `stud` is whether the line's end is screwed into it.
    """

    line: float
    bight: float
    stud: bool


Maker = Callable[[Fitting, Link], tuple[Member, ...]]


def fitting_members(
    fitting: Fitting, line: float, bight: float | None = None, stud: bool = False
) -> tuple[Member, ...]:
    """Return the parts of a fitting at its planned length; none where its shape needs a length and it has none.

    Args:
        fitting: from the boat file.
        line: diameter of the line, for the envelope of a family without a shape [mm].
        bight: thickness of the bight with its thimble [mm]; the diameter of the line if None.
        stud: whether the line's end is screwed into it.

    Raises:
        OutsideTableError: the data have no such family, or name an unknown shape for it.
    """
    shape = fitting_shapes(fitting)[0]
    if fitting.length.planned <= 0.0 and shape not in POINTS:
        return ()
    if shape != drawn.ENVELOPE:
        try:
            return MAKERS[shape](fitting, Link(line, bight or line, stud))
        except GeometryError:
            pass
    return (envelope(fitting.family, fitting.length.planned, (fitting.pin, "its pin"), line),)


def fitting_shapes(fitting: Fitting) -> tuple[str, ...]:
    """Return the shapes of the family of a fitting, the leading one first.

    Raises:
        OutsideTableError: the data have no such family, or name an unknown shape for it.
    """
    return drawn.shapes_of("fitting_families", fitting.family, (drawn.ENVELOPE, *MAKERS))


def held_by(fitting: Fitting) -> tuple[float, float]:
    """Return the pin diameter of an eye on a fitting, and the distance of its crown behind the pin [mm].

    In most fittings an eye lies in a hole, centred on it; on a pin it lies round the pin.
    """
    shape = fitting_shapes(fitting)[0]
    if shape == "pin":
        pin = fitting.pin or listed("pin", sizes("pin")[0], "diameter")
        return pin, 0.5 * pin
    return (_HOOK_PIN if shape == "gate_hook_body" else _HELD), 0.0


def envelope(family: str, length: float, width: tuple[float | None, str], line: float) -> Member:
    """Return the plain body of a part without a shape, from the origin along Z.

    Args:
        family: of the part.
        length: from the boat file [mm].
        width: from the boat file [mm], and the feature it belongs to.
        line: diameter of the line, the width where none is stated [mm].

    Raises:
        GeometryError: the length is not greater than zero.
    """
    spec = EnvelopeSpec(family, length, width[0] or line)
    said = BOAT_FILE if width[0] else "the line's own"
    stated = {"length": BOAT_FILE, "width": f"{said}, {width[1]}" if width[0] and width[1] else said}
    return Member(f"{family} {length:g} ({ENVELOPE})", spec, Frame(), sources=sources(stated))


def _lashing(fitting: Fitting, link: Link) -> tuple[Member, ...]:
    length, size = fitting.length.planned, sizes("lashing")[0]
    usual = part("lashing", size, between=length)
    assert isinstance(usual, LashingSpec)
    inside, said = (fitting.pin, BOAT_FILE) if fitting.pin is not None else (usual.pin, "")
    if fitting.pin is None and link.bight > max(link.line, usual.pin):
        inside, said = link.bight, "round the bight and its thimble"
    spec = replace(usual, pin=inside)
    cord = lashing_cord(fitting)
    if cord.turns != int(cord.turns):
        raise GeometryError(f"a lashing of {cord.turns:g} turns is not drawn")
    spec = replace(spec, line=cord.diameter, turns=int(cord.turns))
    stated = {"between": BOAT_FILE, "line": cord.source, "turns": cord.source}
    stated |= {"pin": said} if said else {}
    frame = Frame((0.0, 0.0, 0.5 * length))
    return (Member(f"lashing {length:g} ({GENERIC})", spec, frame, sources=sources(stated, "lashing", size)),)


def _turnbuckle(fitting: Fitting, link: Link) -> tuple[Member, ...]:
    """Return the smallest listed turnbuckle that covers the stated range, else one that opens to the setting.

    The listed limits are from eye to eye. One that takes the stud of a line is measured to the face of its boss: its
    limits are those of two eyes, the stud standing out as far as the other screw.
    """
    length = fitting.length.planned
    minimum = length if fitting.length.min is None else fitting.length.min
    maximum = length if fitting.length.max is None else fitting.length.max
    kind = StudTurnbuckleSpec if link.stud else TurnbuckleSpec
    for low, high in ((minimum, maximum), (length, length)):
        for size in sizes("turnbuckle"):
            limits = data_of("turnbuckle", size)
            less = limits["body"].value - length if link.stud else 0.0
            least, most = (limits[name].value + less for name in ("minimum", "maximum"))
            if not least <= low <= high <= most:
                continue
            own = {"minimum": fitting.length.min, "maximum": fitting.length.max}
            stated = {name: value for name, value in own.items() if value is not None}
            said = {key: BOAT_FILE if least <= value <= most else NOT_COVERED for key, value in stated.items()}
            changes = {"opening": length, "minimum": least, "maximum": most, **stated}
            major = None if fitting.thread is None else major_diameter(fitting.thread)
            if major is not None:
                changes["thread"], said["thread"] = major, f"{BOAT_FILE}, {fitting.thread}"
            try:
                spec = kind(**{**vars(part("turnbuckle", size)), **changes})
            except GeometryError:
                # The stated thread does not go into a body of this size.
                continue
            more = [*(("eye and stud",) if link.stud else ()), *((fitting.thread,) if fitting.thread else ())]
            detail = "".join(f", {word}" for word in more) + ("," if more else "")
            name = f"open-body turnbuckle size {size}{detail} at {length:g} ({GENERIC})"
            said |= {"opening": BOAT_FILE} | ({"thread": UNSTATED_THREAD} if fitting.thread is None else {})
            return (Member(name, spec, Frame((0.0, 0.0, 0.5 * length)), sources=sources(said, "turnbuckle", size)),)
    raise GeometryError(f"no turnbuckle of the size rows opens to {length:g} mm")


def _gate_hook(fitting: Fitting, _: Link) -> tuple[Member, ...]:
    length = fitting.length.planned
    hook = gate_hook(length)
    # The frame of the hook starts at the pin of the line; here it starts at the gate eye.
    turned = Frame((0.0, 0.0, length), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    return tuple(
        Member(f"gate hook {length:g} {name} ({GENERIC})", spec, turned.of(frame), name, sources=_hook_sources(name))
        for name, spec, frame in hook.members()
    )


def _hook_sources(name: str) -> Sources:
    """Return the sources of the sizes of a member of a gate hook."""
    size = sizes("gate_hook_body")[0]
    if name == "body":
        drawn = f"{INVENTED}, drawn to the boat file's length"
        shape = {"slot bottom": "as hole to edge", "corner": INVENTED}
        return sources({"pivot height": drawn, "keeper height": drawn, **shape}, "gate_hook_body", size)
    if name == "lever":
        return sources({}, "gate_hook_lever", size)
    return sources(
        {
            "diameter": "the lever's pivot hole",
            "head": INVENTED,
            "head thickness": INVENTED,
            "grip": "slot and both cheeks of the body",
        }
    )


def gate_hook(length: float, open_by: float = 0.0) -> GateHook:
    """Return the largest listed gate hook, its body lengthened or shortened to a length pin to pin.

    Args:
        length: from the pin of the line to the gate eye, shut [mm].
        open_by: angle of the lever from shut [rad].

    Raises:
        GeometryError: the length leaves no room for the lever.
    """
    size = sizes("gate_hook_body")[0]
    body, lever = part("gate_hook_body", size), part("gate_hook_lever", size)
    assert isinstance(body, HookBodySpec) and isinstance(lever, HookLeverSpec)
    grow = length - GateHook(body, lever).length
    grown = replace(body, pivot_height=body.pivot_height + grow, keeper_height=body.keeper_height + grow)
    return GateHook(grown, lever, open_by)


def _shackle(fitting: Fitting, link: Link) -> tuple[Member, ...]:
    """Return a shackle with its pin in the anchorage and its bow round the bight."""
    size = nearest("shackle", "pin hole", fitting.pin) if fitting.pin is not None else sizes("shackle")[0]
    stated = {"inside": (fitting.length.planned + 0.5 * link.bight, "boat file's length plus half the bight")}
    if fitting.jaw is not None:
        stated["jaw"] = (fitting.jaw, BOAT_FILE)
    if fitting.pin is not None and listed("shackle", size, "pin hole") < fitting.pin:
        stated["pin hole"] = (fitting.pin, "the boat file's pin")
    spec, said = sized(ShackleSpec, "shackle", size, stated)
    bow = Member(f"shackle {fitting.length.planned:g} ({GENERIC})", spec, Frame(), "bow", sources=said)
    return (bow, _cross_pin("shackle", fitting, spec.pin_hole, spec.jaw + 2.0 * spec.ear_thickness))


def _toggle(fitting: Fitting, _: Link) -> tuple[Member, ...]:
    """Return a toggle with its pin in the anchorage."""
    size = nearest("toggle", "pin hole", fitting.pin) if fitting.pin is not None else sizes("toggle")[0]
    stated = {"length": (fitting.length.planned, BOAT_FILE)}
    if fitting.jaw is not None:
        stated["jaw"] = (fitting.jaw, BOAT_FILE)
    if fitting.pin is not None and listed("toggle", size, "pin hole") < fitting.pin:
        stated["pin hole"] = (fitting.pin, "the boat file's pin")
    spec, said = sized(ToggleSpec, "toggle", size, stated)
    body = Member(f"toggle {fitting.length.planned:g} ({GENERIC})", spec, Frame(), "body", sources=said)
    return (body, _cross_pin("toggle", fitting, spec.pin_hole, spec.over_cheeks))


def _cross_pin(owner: str, fitting: Fitting, hole: float, over: float) -> Member:
    """Return the pin of a jaw along X, with its head at one cheek and its cross hole outside the other."""
    diameter = fitting.pin if fitting.pin is not None else hole - 0.4
    size = nearest("pin", "diameter", diameter)
    grip = over + listed("pin", size, "cross hole")
    stated = {
        "diameter": (diameter, BOAT_FILE if fitting.pin is not None else "pin hole less 0.4 mm"),
        "grip": (grip, "breadth of the jaw"),
        "over all": (grip + listed("pin", size, "over all") - listed("pin", size, "grip"), "breadth of the jaw"),
    }
    spec, said = sized(PinSpec, "pin", size, stated)
    frame = Frame((-0.5 * over, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    name = f"{owner} pin {round(diameter, 1):g} x {round(grip, 1):g} ({GENERIC})"
    return Member(name, spec, frame, "pin", sources=said)


def _pin(fitting: Fitting, _: Link) -> tuple[Member, ...]:
    """Return a clevis pin across the chain, centred on its grip."""
    size = sizes("pin")[0] if fitting.pin is None else nearest("pin", "diameter", fitting.pin)
    stated = {} if fitting.pin is None else {"diameter": (fitting.pin, BOAT_FILE)}
    spec, said = sized(PinSpec, "pin", size, stated)
    frame = Frame((-0.5 * spec.grip, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
    return (Member(f"{fitting.family} {spec.diameter:g} ({GENERIC})", spec, frame, sources=said),)


def _double_eye(fitting: Fitting, _: Link) -> tuple[Member, ...]:
    """Return a gate eye between two other links, hole to hole."""
    length = fitting.length.planned
    spec, said = sized(GateEyeSpec, "gate_eye", sizes("gate_eye")[0], {"between": (length, BOAT_FILE)})
    frame = Frame((0.0, 0.0, 0.5 * length))
    return (Member(f"{fitting.family} {length:g} as a link ({GENERIC})", spec, frame, sources=said),)


# The leading shape of a family -> what makes its parts.
MAKERS: dict[str, Maker] = {
    "lashing": _lashing,
    "turnbuckle": _turnbuckle,
    "gate_hook_body": _gate_hook,
    "gate_eye": _double_eye,
    "shackle": _shackle,
    "toggle": _toggle,
    "pin": _pin,
}
# Shapes that need no length from pin to pin.
POINTS = frozenset({"pin"})
