"""What changed from one refit to the next: every figure by its place, and the chief ones in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from geom.units import decimal, inch_fraction, pounds_force, without_zero
from geom.words import english_page as words
from geom.words.english import HEADINGS
from geom.words.english_changes import CHANGES

Report = Mapping[str, Any]
# What a list of check.json is keyed by, so that a run stays the same run when one is added before it.
_NAMES = ("id", "run", "cause")
# Figures that are listed, with their labels.
_LISTED = {
    "from_reel_mm": HEADINGS["from reel"].capitalize(),
    "cut_mm": HEADINGS["cut"].capitalize(),
    "finished_mm": words.PAGE["finished"],
    "from_made_throat_mm": words.PAGE["from_throat"],
    "path_mm": words.PAGE["pin_to_pin"],
    "set_tension_n": words.PAGE["set_to"],
    "height_upper_mm": CHANGES["height_upper"],
    "height_middle_mm": CHANGES["height_middle"],
    "height_lower_middle_mm": CHANGES["height_lower_middle"],
    "height_lower_mm": CHANGES["height_lower"],
    "lean_out_deg": words.PAGE["lean"],
    "rake_aft_deg": words.PAGE["rake"],
    "clocking_deg": words.PAGE["clocking"],
    "bore_mm": words.PAGE["bore"],
    "along_mm": CHANGES["along"],
    "foot_x_mm": CHANGES["foot_x"],
    "foot_y_mm": CHANGES["foot_y"],
    "foot_z_mm": CHANGES["foot_z"],
    "plate_out_deg": CHANGES["plate_out"],
    "plate_aft_deg": CHANGES["plate_aft"],
}
_UNITS = {"mm": "mm", "n": "N", "deg": "deg"}
# Rope is cut off the reel in whole millimetres.
_WHOLE = ("from_reel_mm",)
# Decimals of an inch in which heights, bores and places are given; other lengths are fractions.
_INCH_DECIMALS = {key: 2 for key in _LISTED if key.startswith("height_")} | dict.fromkeys(
    ("bore_mm", "along_mm", "foot_x_mm", "foot_y_mm", "foot_z_mm"), 3
)
_INCH, _DUST = 25.4, 1e-9
_NOTHING = object()


@dataclass(frozen=True)
class Change:
    """One figure or verdict that changed: its place in words, what it was and what it is, and whether a line is lost.

    `scrap`: a line made to the old figures is too short for the new ones, beyond what its fittings can lengthen.
    `is_item`: it is an open item that was closed or is new.
    """

    place: str
    label: str
    before: str
    after: str
    scrap: bool = False
    is_item: bool = False


def pointers(before: Report, after: Report) -> tuple[str, ...]:
    """Return the places in the later check.json of every number and text that differs from the earlier one.

    Args:
        before: check.json as it was.
        after: check.json as it is.
    """
    return tuple(_changed(before, after, ""))


def changes(before: Report, after: Report, inches: bool = False) -> tuple[Change, ...]:
    """Return what changed in words: open items, then lines lost first, then figures in the order of check.json.

    Args:
        before: check.json as it was.
        after: check.json as it is.
        inches: whether lengths are said in inches and forces in pounds, as on the page of an inch boat.
    """
    figures = [*_figures(before, after, inches)]
    lost = [one for one in figures if one.scrap]
    return (*_items(before, after), *lost, *(one for one in figures if not one.scrap))


def _items(before: Report, after: Report) -> Iterator[Change]:
    said = [{item["cause"] + "|".join(item["places"]): item["title"] for item in one["open_items"]}
            for one in (before, after)]  # fmt: skip
    old, new = said
    for key, title in old.items():
        if key not in new:
            yield Change(CHANGES["item_closed"], "", title, "", is_item=True)
    for key, title in new.items():
        if key not in old:
            yield Change(CHANGES["item_opened"], "", "", title, is_item=True)


def _figures(before: Report, after: Report, inches: bool) -> Iterator[Change]:
    for room in ("runs", "posts", "holes"):
        old = {one["id"]: one for one in before[room]}
        new = {one["id"]: one for one in after[room]}
        for name in (one for one in old if one not in new and room != "holes"):
            yield Change(name, CHANGES["taken_out"], name, "")
        for name, one in new.items():
            if name in old:
                yield from _of_one(name, old[name], one, inches)
            elif room != "holes":
                yield Change(name, CHANGES["added"], "", name)
    old_tensions = {one["run"]: one for one in before["loads"]["set_tensions"]}
    for one in after["loads"]["set_tensions"]:
        if one["run"] in old_tensions:
            yield from _of_one(one["run"], old_tensions[one["run"]], one, inches)


def _of_one(place: str, old: Report, new: Report, inches: bool) -> Iterator[Change]:
    # The length of rope is the one off the reel.
    rope = old.get("from_reel_mm") is not None or new.get("from_reel_mm") is not None
    for key, label in _LISTED.items():
        if key == "cut_mm" and rope:
            continue
        for part in ("", "work"):
            held, now = (one.get(part, {}) if part else one for one in (old, new))
            if key not in now or not _differ(held.get(key), now[key]):
                continue
            before, after = _figure(key, held.get(key), inches), _figure(key, now[key], inches)
            if before != after:
                yield Change(place, label, before, after, key == "finished_mm" and _is_lost(old, new))
    eyes = [one.get("eye") or {} for one in (old, new)]
    before, after = (words.EYE.get(one.get("verdict", ""), "") for one in eyes)
    if before != after:
        yield Change(place, CHANGES["end_through"], before, after)


def _is_lost(old: Report, new: Report) -> bool:
    """Return whether a line made to its old length is too short for the new one, even let out as far as it goes."""
    made = old["from_reel_mm"] is not None or old["cut_mm"] is not None
    return made and bool(new["finished_mm"] - old["finished_mm"] > (new["lengthen_mm"] or 0.0) + _DUST)


def _figure(key: str, value: float | None, inches: bool) -> str:
    """Return a figure as the page has it."""
    if value is None:
        return words.PAGE["on_hold"]
    unit = key.rpartition("_")[2]
    if inches and unit == "mm":
        places = _INCH_DECIMALS.get(key)
        exact = inch_fraction(value) if places is None else without_zero(decimal(value / _INCH, places), "in")
        return f"{exact} in"
    if inches and unit == "n":
        return f"{pounds_force(value)} lbf"
    return f"{decimal(value, 0 if unit == 'n' or key in _WHOLE else 1)} {_UNITS[unit]}"


def _differ(old: Any, new: Any) -> bool:
    if isinstance(old, float) and isinstance(new, float):
        return abs(old - new) > _DUST
    return bool(old != new)


def _changed(before: Any, after: Any, pointer: str) -> Iterator[str]:
    """Yield the place of every leaf that is not the same as before."""
    if before == after:
        return
    if isinstance(after, dict):
        held = before if isinstance(before, dict) else {}
        for key, value in after.items():
            yield from _changed(held.get(key, _NOTHING), value, f"{pointer}/{key}")
    elif isinstance(after, list):
        held = dict(zip(_named(before), before, strict=True)) if isinstance(before, list) else {}
        for index, (name, value) in enumerate(zip(_named(after), after, strict=True)):
            yield from _changed(held.get(name, _NOTHING), value, f"{pointer}/{index}")
    elif _differ(before, after):
        yield pointer


def _named(values: list[Any]) -> Iterator[tuple[str, int]]:
    """Yield a name of each value in a list that stays the same when another is added before it."""
    met: dict[str, int] = {}
    for index, value in enumerate(values):
        name = next((value[key] for key in _NAMES if isinstance(value, dict) and value.get(key)), str(index))
        met[name] = met.get(name, 0) + 1
        yield name, met[name]
