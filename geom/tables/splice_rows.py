"""A splice as rows of text for the bench, the screen and the marking strip."""

from __future__ import annotations

from geom.rigging.splice import Recipe
from geom.units import decimal, inch_fraction
from geom.words import worded

HEADINGS = ("mark", "measured from", "mm", "in", "note")


def recipe_rows(recipe: Recipe) -> tuple[tuple[str, str, str, str, str], ...]:
    """Return the marks of a splice in the order of work, under HEADINGS."""
    rows = [
        _row("tail", "rope end", recipe.tail_mark, _tail_note(recipe)),
        _row("eye", "rope end", recipe.eye_mark, f"rope round the fitting {decimal(recipe.girth, 1)} mm"),
    ]
    if recipe.second_tuck is not None:
        rows.append(_row("second tuck", "first tuck", recipe.second_tuck, recipe.lock))
    rows.append(_row("exit", "throat, along the standing part", recipe.exit_mark, "where the tail's end comes to lie"))
    for number, mark in enumerate(recipe.taper_marks, start=1):
        rows.append(_row(f"taper cut {number}", "rope end", mark.from_end, f"one strand, {mark.side}"))
    taper = f"taper {decimal(recipe.taper_length, 1)} mm"
    rows.append(_row("full section", "length of it", recipe.full_section, taper))
    if recipe.stitching is not None:
        start, end = recipe.stitching
        rows.append(_row("stitching from", "throat", start, "second row square to the first"))
        rows.append(_row("stitching to", "throat", end, "second row square to the first"))
    take_up = recipe.take_up
    rows.append(
        _row(
            "take-up", "of the standing part", take_up.expected,
            f"{decimal(take_up.minimum, 1)} to {decimal(take_up.maximum, 1)} mm; {worded(take_up.source)}",
        )
    )  # fmt: skip
    rows.append(_row("fid", "length of it", recipe.fid, ""))
    return tuple(rows)


def _tail_note(recipe: Recipe) -> str:
    note = f"bury {recipe.bury_in_d:g} d"
    return note + f" and {decimal(recipe.lock_allowance, 1)} mm for the lock" if recipe.lock_allowance else note


def _row(mark: str, start: str, value: float, note: str) -> tuple[str, str, str, str, str]:
    return (mark, start, decimal(value, 1), inch_fraction(value, 16), note)
