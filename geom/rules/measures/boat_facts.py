"""Facts of the boat as a whole: category, launch, length; None where not stated."""

from __future__ import annotations

from typing import Literal

from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import ROUNDING, Condition, Measure
from geom.rules.measures.uncertainty import taped_known


def offshore_category(placed: Placed) -> int | None:
    """Return the racing category, 0 to 4; None where not stated."""
    word = placed.boat.boat.rule_category
    return int(word) if word is not None and word.isdigit() else None


def design_category(placed: Placed) -> str | None:
    """Return the design category, A to D; None where not stated."""
    rules, word = placed.boat.rules, placed.boat.boat.rule_category
    if rules is not None and rules.design_category is not None:
        return rules.design_category
    return word if word is not None and word.isalpha() else None


def launched_before(placed: Placed, year: int) -> Condition:
    """Return whether the boat was first launched before a year."""
    launch = placed.boat.boat.first_launch
    if launch is None:
        return Condition(None, (Remark("launch.not_stated"),))
    return Condition(int(launch[:4]) < year, (Remark("launch.date", date=launch),))


def shorter_than(placed: Placed, length: float) -> Condition:
    """Return whether the boat is shorter than a length [mm], by length overall and by hull length."""
    stated = (placed.boat.boat.hull_length, placed.boat.boat.loa)
    shorter = [one < length - ROUNDING for one in stated]
    code = "hull.both_lengths" if shorter[0] == shorter[1] else "hull.which_length"
    reason = Remark(code, hull_mm=stated[0], overall_mm=stated[1], against_mm=length)
    return Condition(shorter[0] if shorter[0] == shorter[1] else None, (reason,))


def by_hand(
    placed: Placed, key: Literal["pulpit_opening", "cockpit_opening", "toe_rail_height", "toe_rail_gap"]
) -> Measure:
    """Return a measure taken on board and stated in the boat file [mm]."""
    rules = placed.boat.rules
    value: float | None = None if rules is None else getattr(rules.measured, key)
    notes = (Remark("measure.by_hand", key=key),) if value is None else ()
    where, known = Remark("place.boat"), taped_known(placed)
    return Measure("boat", Remark(f"quantity.{key}"), value, notes=notes, where=where, known=known)
