"""The fittings of a run as parts: which shape stands for a family's word, at the length that the boat file plans.

Sizes that the boat file does not give are those of the generic size rows; the product's name says so.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from geom.boat.model import Fitting, LineEnd
from geom.data.table import Datum
from geom.errors import GeometryError
from geom.parts.catalogue import data_of, part, sizes
from geom.parts.families.bush import BushSpec
from geom.parts.families.eyes import GateEyeSpec
from geom.parts.families.gate_hook import GateHook, HookBodySpec, HookLeverSpec
from geom.parts.families.line import LineSpec
from geom.parts.families.rope_ends import LashingSpec, SoftEyeSpec
from geom.parts.families.turnbuckle import TurnbuckleSpec
from geom.parts.part import Part
from geom.parts.shape.frame import Frame
from geom.rigging.lashing import lashing_cord
from geom.solids.sources import (
    BOAT_FILE,
    INVENTED,
    LOOSE_BOLT,
    NOT_COVERED,
    STUB,
    UNSTATED_THREAD,
    Sources,
    sources,
)

GENERIC = "generic"
ENVELOPE = "envelope"


@dataclass(frozen=True)
class Member:
    """A part of a fitting in the fitting's frame: origin at its pin on the anchorage's side, Z towards the line.

    `reach` is how far a made-up end reaches along the line [mm]; `sources` says where each size comes from.
    """

    product: str
    part: Part
    frame: Frame
    suffix: str = ""
    reach: float = 0.0
    sources: Sources = ()


def fitting_members(fitting: Fitting, line: float) -> tuple[Member, ...]:
    """Return the parts of a fitting at its planned length.

    Args:
        fitting: what the boat file says.
        line: diameter of the run's line, for the envelope of a family without a shape [mm].
    """
    length = fitting.length.planned
    makers = {"lashing": _lashing, "open-body turnbuckle": _turnbuckle, "over-centre gate hook": _gate_hook}
    if length <= 0.0:
        return ()
    if fitting.family in makers:
        try:
            return makers[fitting.family](fitting, length)
        except GeometryError:
            pass
    rod = LineSpec(fitting.pin or line, ((0.0, 0.0, 0.0), (0.0, 0.0, length)))
    stated = {"diameter": BOAT_FILE if fitting.pin else "the line's own", "length": BOAT_FILE}
    return (Member(f"{fitting.family} {length:g} ({ENVELOPE})", rod, Frame(), sources=sources(stated)),)


def _lashing(fitting: Fitting, length: float) -> tuple[Member, ...]:
    size = sizes("lashing")[0]
    listed = part("lashing", size, between=length)
    assert isinstance(listed, LashingSpec)
    spec = replace(listed, pin=fitting.pin) if fitting.pin is not None else listed
    cord = lashing_cord(fitting)
    if cord.turns != int(cord.turns):
        raise GeometryError(f"a lashing of {cord.turns:g} turns is not drawn")
    spec = replace(spec, line=cord.diameter, turns=int(cord.turns))
    stated = {"between": BOAT_FILE, "line": cord.source, "turns": cord.source}
    stated |= {"pin": BOAT_FILE} if fitting.pin is not None else {}
    frame = Frame((0.0, 0.0, 0.5 * length))
    return (Member(f"lashing {length:g} ({GENERIC})", spec, frame, sources=sources(stated, "lashing", size)),)


def _turnbuckle(fitting: Fitting, length: float) -> tuple[Member, ...]:
    """Return the smallest listed turnbuckle that covers the boat file's range, else one that opens to its setting."""
    minimum = length if fitting.length.min is None else fitting.length.min
    maximum = length if fitting.length.max is None else fitting.length.max
    for low, high in ((minimum, maximum), (length, length)):
        for size in sizes("turnbuckle"):
            limits = data_of("turnbuckle", size)
            if not limits["minimum"].value <= low <= high <= limits["maximum"].value:
                continue
            own = {"minimum": fitting.length.min, "maximum": fitting.length.max}
            changes = {name: value for name, value in own.items() if value is not None}
            spec = part("turnbuckle", size, opening=length, **changes)
            assert isinstance(spec, TurnbuckleSpec)
            name = f"open-body turnbuckle size {size} at {length:g} ({GENERIC})"
            said = {key: BOAT_FILE if _within(value, limits) else NOT_COVERED for key, value in changes.items()}
            stated = {"opening": BOAT_FILE, **said} | ({"thread": UNSTATED_THREAD} if fitting.thread is None else {})
            return (Member(name, spec, Frame((0.0, 0.0, 0.5 * length)), sources=sources(stated, "turnbuckle", size)),)
    raise GeometryError(f"no turnbuckle of the size rows opens to {length:g} mm")


def _within(value: float, limits: dict[str, Datum]) -> bool:
    return limits["minimum"].value <= value <= limits["maximum"].value


def _gate_hook(fitting: Fitting, length: float) -> tuple[Member, ...]:  # noqa: ARG001 - one signature for all
    hook = gate_hook(length)
    # The hook's own frame begins at the line's pin; here it begins at the gate eye.
    turned = Frame((0.0, 0.0, length), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    return tuple(
        Member(f"gate hook {length:g} {name} ({GENERIC})", spec, turned.of(frame), name, sources=_hook_sources(name))
        for name, spec, frame in hook.members()
    )


def _hook_sources(name: str) -> Sources:
    """Return where the sizes of a gate hook's member come from."""
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
    """Return the largest listed gate hook, its body drawn out or in to a length pin to pin.

    Args:
        length: from the line's pin to the gate eye, shut [mm].
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


def end_member(end: LineEnd, rope: float, inside: float) -> Member | None:
    """Return the made-up eye of a rope: loop and throat with a short stub, Z towards the line.

    Its origin is the middle of the rope at the crown, where it lies in what it is made on. None where
    the end is no eye, or the boat file does not give its length, or it cannot be drawn.

    Args:
        end: what the boat file says.
        rope: diameter [mm].
        inside: diameter that the eye holds [mm].
    """
    if end.throat_to_pin is None or end.family not in ("bare eye", "soft eye", "straight-bury eye"):
        return None
    try:
        spec = SoftEyeSpec(
            rope=rope,
            pin=inside,
            throat_to_bearing=end.throat_to_pin,
            throat_width=2.2 * rope,
            throat_breadth=1.5 * rope,
            throat_length=1.5 * rope,
            buried=1.41 * rope,
            bury=4.0 * rope,
            taper=2.0 * rope,
        )
    except GeometryError:
        return None
    top = spec.throat_to_bearing + 0.5 * rope
    frame = Frame((0.0, 0.0, top), (1.0, 0.0, 0.0), (0.0, 0.0, -1.0))
    reach = top + spec.throat_length + spec.bury + 2.0 * rope
    stated = dict.fromkeys(("pin", "throat width", "throat breadth", "throat length"), INVENTED)
    stated |= {"rope": BOAT_FILE, "throat to bearing": BOAT_FILE, "buried": "area of two ropes"}
    stated |= {"bury": STUB, "taper": STUB}
    name = f"eye of {rope:g} rope round {inside:g} ({ENVELOPE})"
    return Member(name, spec, frame, reach=reach, sources=sources(stated))


def gate_eye(tube_od: float, hole: float, offset: float) -> tuple[GateEyeSpec, Sources] | None:
    """Return the double eye through a post whose pins stand off the tube's axis; None where it cannot be made [mm]."""
    size = sizes("gate_eye")[0]
    listed = part("gate_eye", size)
    assert isinstance(listed, GateEyeSpec)
    stated = {"between": BOAT_FILE, "neck": "the boat file's eye offset, less tube and collar"}
    if hole < listed.bolt:
        stated["bolt"] = "hole in the post"
    elif hole > listed.bolt:
        stated["bolt"] = LOOSE_BOLT
    try:
        spec = replace(
            listed,
            between=2.0 * offset,
            neck=offset - 0.5 * tube_od - listed.collar_thickness,
            bolt=min(listed.bolt, hole),
        )
    except GeometryError:
        return None
    return spec, sources(stated, "gate_eye", size)


def liner_bush(hole: float, bore: float, length: float, mouth_radius: float) -> tuple[BushSpec, Sources]:
    """Return the bush that lines a hole; where its wall is thinner than the mouths' radius, the mouths end at the wall.

    Raises:
        GeometryError: the liner is wider than the hole, or has no wall [mm].
    """
    wall = 0.5 * (hole - bore)
    stated = {"od": "hole in the post", "bore": BOAT_FILE, "length": BOAT_FILE, "mouth radius": BOAT_FILE}
    if mouth_radius >= wall:
        mouth_radius, stated["mouth radius"] = (
            0.9 * wall,
            "nine tenths of the wall: the boat file's is more than the wall",
        )
    return BushSpec(hole, bore, length, mouth_radius), sources(stated)
