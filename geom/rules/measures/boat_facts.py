"""What rules ask of the boat as a whole: category, launch, length; None where the file does not say."""

from __future__ import annotations

from typing import Literal

from geom.placement.placed import Placed
from geom.rules.finding import ROUNDING, Exemption, Measure


def offshore_category(placed: Placed) -> int | None:
    """Return the racing category 0 to 4, None where none is stated."""
    word = placed.boat.boat.rule_category
    return int(word) if word is not None and word.isdigit() else None


def design_category(placed: Placed) -> str | None:
    """Return the design category A to D, None where none is stated."""
    rules, word = placed.boat.rules, placed.boat.boat.rule_category
    if rules is not None and rules.design_category is not None:
        return rules.design_category
    return word if word is not None and word.isalpha() else None


def launched_before(placed: Placed, year: int) -> Exemption:
    """Return whether the boat was first launched before a year."""
    launch = placed.boat.boat.first_launch
    if launch is None:
        return Exemption(None, "the date of first launch is not stated")
    return Exemption(int(launch[:4]) < year, f"first launched {launch}")


def shorter_than(placed: Placed, length: float) -> Exemption:
    """Return whether the boat is shorter than a length [mm] by overall and hull length alike."""
    stated = (placed.boat.boat.hull_length, placed.boat.boat.loa)
    shorter = [one < length - ROUNDING for one in stated]
    words = f"hull length {stated[0] / 1000:.3f} m, overall {stated[1] / 1000:.3f} m against {length / 1000:g} m"
    if shorter[0] == shorter[1]:
        return Exemption(shorter[0], words)
    return Exemption(None, f"{words}: which of them the text means is not known")


def by_hand(
    placed: Placed, key: Literal["pulpit_opening", "cockpit_opening", "toe_rail_height", "toe_rail_gap"]
) -> Measure:
    """Return a measure that somebody took on board [mm]; the coordinates do not hold it."""
    rules = placed.boat.rules
    value: float | None = None if rules is None else getattr(rules.measured, key)
    note = f'not in the coordinates: measure it on board and state "{key}" in the boat file'
    return Measure("boat", key.replace("_", " "), value, note=note if value is None else "", where="the boat")
