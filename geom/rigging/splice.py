"""Marks of one buried eye splice in a hollow single braid: tail, eye, tucks, exit, taper, stitching, thickness.

All marks are distances along the relaxed rope [mm]. The bury carries the load; a lock only holds it at rest.
Source: data/splice_rules.csv, splice_tapers.csv and splice_practice.csv, each number with its own source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import Lock, SpliceRule, TakeUp, Taper
from geom.data import table
from geom.errors import Fault, GeometryError, InputError
from geom.frozen import cached_property, frozen
from geom.placement.eyes import EyeShape, eye_shape
from geom.remark import Remark, Stated
from geom.units import Mm, Ratio

DEFAULT_RULE: SpliceRule = "72 d"
DEFAULT_TAPER: Taper = "strand by strand"
# Fewer strands make no hollow braid that a tail can be buried in; common practice, no source.
_MIN_STRANDS = 8


@frozen
class TaperMark:
    """One cut of the taper: distance from the end of the tail [mm], side of the rope, strands left beyond it."""

    from_end: Mm
    side: str
    strands_left: int


@dataclass(frozen=True)
class Thickness:
    """Outside diameter of the finished end at a distance from the throat [mm]."""

    from_throat: Mm
    diameter: Mm
    part: str


@dataclass(frozen=True)
class Recipe:
    """One splice, ready for the bench; lengths in mm.

    `tail_mark` and `eye_mark` are from the rope's end, `second_tuck` from the first tuck, `exit_mark` along the
    standing part from the throat before the tail is pulled in: there the fid comes out, and the end of the tail comes
    to lie short of it. `bury` is the tail by the rule, taper included; `full_section` is the part with all strands.
    `stitching` is the start and end of the lock stitching from the throat, whatever holds the splice at rest.
    """

    diameter: Mm
    strands: int
    rule: SpliceRule
    bury: Mm
    bury_in_d: Ratio
    lock: Lock
    lock_allowance: Mm
    girth: Mm
    tail_mark: Mm
    eye_mark: Mm
    second_tuck: Mm | None
    exit_mark: Mm
    taper: Taper
    taper_marks: tuple[TaperMark, ...]
    taper_length: Mm
    full_section: Mm
    stitching: tuple[Mm, Mm]
    fid: Mm
    slack_in_place: Mm
    take_up: TakeUpRange
    eye: EyeShape
    warnings: tuple[Remark, ...]
    sources: tuple[Remark, ...]

    @cached_property
    def thickness(self) -> tuple[Thickness, ...]:
        """Outside diameter of the finished end, from the throat."""
        return thickness_along(self.diameter, self.strands, self.bury, self.taper_marks)

    @property
    def buried(self) -> Mm:
        """Length of the tail that is left to bury, at most [mm].

        The second tuck of a one-ended lock comes off the tail, which has no allowance for it; the crossing itself takes
        a little more.
        """
        if self.lock == "one-ended" and self.second_tuck is not None:
            return self.bury - self.second_tuck
        return self.bury


def practice(key: str) -> float:
    """Return a value of data/splice_practice.csv in the unit of its row (mm, diameters or dimensionless)."""
    return table.datum("splice_practice", key=key).value


def bury_length(diameter: float, rule: SpliceRule) -> float:
    """Return the bury by a published rule [mm].

    Raises:
        OutsideTableError: no such rule.
    """
    return table.datum("splice_rules", rule=rule).value * diameter


def splice_recipe(
    diameter: float,
    strands: int,
    girth: float,
    *,
    rule: SpliceRule = DEFAULT_RULE,
    taper: Taper = DEFAULT_TAPER,
    lock: Lock = "locked Brummel",
    throat_to_pin: float | None = None,
    pin: float | None = None,
    trial: TakeUp | None = None,
) -> Recipe:
    """Return the marks of one splice.

    Args:
        diameter: nominal rope diameter d [mm].
        strands: strands of the braid, an even number.
        girth: rope round the fitting, from throat to throat [mm]; a measure of the fitting, not of the rope.
        rule: published length of the bury.
        taper: of the tail.
        lock: what holds the splice at rest; a locked Brummel is made with the standing part free.
        throat_to_pin: length of the finished eye, throat to where the pin bears [mm].
        pin: diameter that the eye bears on [mm].
        trial: recorded trial splice of the same rope.

    Raises:
        InputError: a measure is impossible for a splice.
        OutsideTableError: the data have no such rule or taper.
        GeometryError: the taper is longer than the bury.
    """
    _check(diameter, strands, girth, throat_to_pin, pin)
    rule_datum = table.datum("splice_rules", rule=rule)
    bury = rule_datum.value * diameter
    allowance = practice("lock_allowance") * diameter if lock == "locked Brummel" else 0.0
    tail = bury + allowance
    tapered = taper_length(diameter, strands, bury, taper)
    eye = eye_shape(diameter, throat_to_pin, pin)
    stitch = practice("stitch_start") * diameter
    second_tuck = None if lock == "stitched bury" else practice("second_tuck") * diameter
    buried = bury - second_tuck if lock == "one-ended" and second_tuck is not None else bury
    return Recipe(
        diameter=diameter,
        strands=strands,
        rule=rule,
        bury=bury,
        bury_in_d=rule_datum.value,
        lock=lock,
        lock_allowance=allowance,
        girth=girth,
        tail_mark=tail,
        eye_mark=tail + girth,
        second_tuck=second_tuck,
        exit_mark=practice("exit_over_tail") * tail,
        taper=taper,
        taper_marks=taper_marks(strands, tapered),
        taper_length=tapered,
        full_section=bury - tapered,
        stitching=(stitch, stitch + practice("stitch_length") * diameter),
        fid=practice("fid") * diameter,
        slack_in_place=(practice("exit_over_tail") - 1.0) * tail,
        take_up=take_up_of(bury, trial),
        eye=eye,
        warnings=(*_bury_warnings(diameter, (bury, buried), tapered, lock), *eye.warnings),
        sources=tuple(
            Remark("source.of", what=name, source=datum.source, sure=datum.sure)
            for name, datum in (
                ("bury", rule_datum),
                ("taper", table.datum("splice_tapers", taper=taper)),
                ("exit mark", table.datum("splice_practice", key="exit_over_tail")),
                ("lock allowance", table.datum("splice_practice", key="lock_allowance")),
            )
            if name != "lock allowance" or allowance
        ),
    )


def taper_length(diameter: float, strands: int, bury: float, taper: Taper) -> float:
    """Return the length of a strand-by-strand taper [mm].

    Args:
        diameter: nominal rope diameter d [mm].
        strands: strands of the braid.
        bury: buried tail, taper included [mm].
        taper: published taper.

    Raises:
        GeometryError: the taper is longer than the bury.
    """
    datum = table.datum("splice_tapers", taper=taper)
    cuts = strands - 1
    basis = table.row("splice_tapers", taper=taper)["basis"]
    spacing = datum.value * diameter if basis == "spacing" else datum.value * bury / cuts
    length = cuts * spacing
    if length > bury:
        raise GeometryError(
            f"a taper of {cuts} cuts takes {length:.0f} mm and the bury has {bury:.0f} mm: choose a taper by share"
        )
    return length


def taper_marks(strands: int, length: float) -> tuple[TaperMark, ...]:
    """Return the cuts of a strand-by-strand taper, from the end of the tail.

    All strands but one are cut, one after the other on alternate sides, so that one reaches the end.

    Args:
        strands: strands of the braid.
        length: of the taper [mm].
    """
    cuts, sides = strands - 1, ("left", "right")
    return tuple(TaperMark((i + 1) * (length / cuts), sides[i % 2], i + 1) for i in range(cuts))


def thickness_along(diameter: float, strands: int, bury: float, marks: tuple[TaperMark, ...]) -> tuple[Thickness, ...]:
    """Return the outside diameter along a finished end, from the throat.

    Rope with a tail inside packs like two ropes in one: diameter times sqrt(1 + fraction of strands in the tail).
    Source: equal packing, data/splice_practice.csv, keys buried_diameter and crossing_width.

    Args:
        diameter: nominal rope diameter d [mm].
        strands: strands of the braid.
        bury: buried tail, taper included [mm].
        marks: the cuts of the taper.
    """
    found = [
        Thickness(0.0, practice("crossing_width") * diameter, "lock or stitched throat"),
        Thickness(practice("stitch_start") * diameter, practice("buried_diameter") * diameter, "buried, all strands"),
    ]
    for mark in reversed(marks):
        share = mark.strands_left / strands
        found.append(Thickness(bury - mark.from_end, diameter * math.sqrt(1.0 + share), "taper"))
    found.append(Thickness(bury, diameter, "end of the bury"))
    return tuple(found)


def _bury_warnings(diameter: float, tail: tuple[float, float], taper: float, lock: Lock) -> tuple[Remark, ...]:
    """Return what is to be noted of a bury: its tail by the rule, and what of it is left to bury [mm]."""
    bury, buried = tail
    found = []
    if buried < bury:
        times = bury / diameter
        found.append(
            Remark("bury.one_ended", tail=times, bury=math.floor(buried / diameter), tuck_mm=bury - buried)
        )  # fmt: skip
    minimum = table.datum("splice_practice", key="warn_below")
    if buried / diameter < minimum.value - 1e-9:
        found.append(Remark("bury.short_by_source", has=buried / diameter, min=minimum.value, source=minimum.source))
    share = table.datum("splice_practice", key="min_full_section")
    full = bury - taper
    if full < share.value * bury - 1e-9:
        found.append(
            Remark(
                "bury.full_section_short",
                full_mm=full, times=full / diameter, bury_mm=bury, share=share.value, source=share.source,
            )
        )  # fmt: skip
    found.append(Remark("lock.straight_bury_slips" if lock == "stitched bury" else "lock.bury_carries"))
    return tuple(found)


def girth_round(diameter: float, pin: float | None) -> float:
    """Return the rope that an eye needs at least, throat to throat, to go once round its pin [mm].

    Source: geometry, pi times the diameter of the rope's centre line. Where no pin is stated it is one rope diameter,
    the floor of data/splice_practice.csv, key min_pin_over_rope.

    Args:
        diameter: nominal rope diameter d [mm].
        pin: diameter that the eye bears on [mm], None where not stated.
    """
    inside = practice("min_pin_over_rope") * diameter if pin is None else pin
    return math.pi * (inside + diameter)


def _check(diameter: float, strands: int, girth: float, throat_to_pin: float | None, pin: float | None) -> None:
    faults = []
    if not (math.isfinite(diameter) and diameter > 0.0):
        faults.append(Fault("not a rope diameter", "diameter", read=f"{diameter:g}", valid="more than 0 mm"))
    if strands != int(strands) or strands < _MIN_STRANDS or int(strands) % 2:
        faults.append(Fault("not a hollow braid", "strands", read=f"{strands:g}", valid="an even number: 8, 12 or 16"))
    if not (math.isfinite(girth) and girth > 0.0):
        faults.append(Fault("no rope round the fitting", "girth", read=f"{girth:g}", valid="more than 0 mm"))
    elif throat_to_pin is not None and girth < 2.0 * throat_to_pin:
        faults.append(
            Fault(
                "the rope round the fitting is shorter than the eye there and back",
                "girth", read=f"{girth:g}", valid=f"at least {2.0 * throat_to_pin:g} mm",
            )
        )  # fmt: skip
    elif diameter > 0.0 and girth < girth_round(diameter, pin):
        round_what = "a pin as thick as the rope" if pin is None else "the pin"
        faults.append(
            Fault(
                f"the rope of the eye does not go round {round_what}",
                "girth", read=f"{girth:g}", valid=f"at least {girth_round(diameter, pin):.1f} mm",
            )
        )  # fmt: skip
    if faults:
        raise InputError("splice", faults)


@frozen
class TakeUpRange:
    """Shortening of the line by one bury [mm]: expected, min, max; `measured` in a trial of the same line."""

    expected: Mm
    minimum: Mm
    maximum: Mm
    measured: bool
    source: Stated


def take_up_of(bury: float, trial: TakeUp | None) -> TakeUpRange:
    """Return the take-up of one bury.

    A trial splice takes precedence over the factor; where its bury is stated, it is scaled to this one.
    Source: data/splice_practice.csv, keys take_up, take_up_low, take_up_high.

    Args:
        bury: buried tail [mm].
        trial: the recorded trial splice of this line, if any.
    """
    if trial is not None:
        each = trial.each if trial.bury is None else trial.each * bury / trial.bury
        spread = trial.spread or 0.0
        return TakeUpRange(each, max(each - spread, 0.0), each + spread, True, trial.source)
    expected = table.datum("splice_practice", key="take_up")
    return TakeUpRange(
        expected=expected.value * bury,
        minimum=table.datum("splice_practice", key="take_up_low").value * bury,
        maximum=table.datum("splice_practice", key="take_up_high").value * bury,
        measured=False,
        source=Remark("take_up.not_measured", share=expected.value, source=expected.source),
    )
