"""The tables under a run card's line: the cut length term by term, both ends, error against range, remarks."""

from __future__ import annotations

import math
from collections.abc import Sequence

from geom.drafting import text as words
from geom.drafting.line_text import (
    LINE_PITCH,
    budget_words,
    cut_words,
    fitting_height,
    fitting_words,
    in_words,
    length,
    lines_down,
)
from geom.drafting.ruling import ListColumn, Ruled, RuledList, broken, cell
from geom.errors import GeometryError
from geom.figure import Cell, Item, Rect, Text
from geom.lettering import width as text_width
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, line_end, run_end
from geom.placement.place import end_name
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.aids.splice_strip import strips
from geom.sheets.line_sheets import run_card_text as run_card_words
from geom.tables import numbers
from geom.units import LengthFormat

PITCH = 4.0
_SMALL, _VERDICT = 2.5, 3.5
_FIRST = ("take-up", "bury-hole", "short-bury", "fid-room", "thimble", "deduction", "budget-skewed", "set-tension")


def terms_table(refit: Refit, work: RunWork) -> Ruled:
    """Return the cut length as a sum: one row per term, what each end adds, the sum, the cut."""
    fmt, found = numbers(refit.boat), work.lengths
    names = list(dict.fromkeys(term.name for term in found.terms))
    rows = []
    for name in names:
        by_end = {term.end: term.value for term in found.terms if term.name == name}
        whole = math.fsum(by_end.values())
        tag = f"term:{work.run}:{name}"
        rows.append((
            Cell(name),
            cell(length(by_end["start"], fmt) if "start" in by_end else "", f"{tag}:start"),
            cell(length(by_end["finish"], fmt) if "finish" in by_end else "", f"{tag}:finish"),
            cell(length(whole, fmt), f"{tag}:sum"),
        ))  # fmt: skip
    total = math.fsum(term.value for term in found.terms)
    rows.append((Cell(words.SUM), cell(""), cell(""), cell(length(total, fmt), f"term:{work.run}:total")))
    if work.from_reel is not None and work.reel is not None:
        for key, value in (("spare", work.reel.spare), ("tail", work.reel.tail)):
            if value:
                more = cell(length(value, fmt), f"term:{work.run}:{key}")
                rows.append((Cell(run_card_words.MORE_ROPE[key]), cell(""), cell(""), more))
    if work.headline is not None:
        stated = (Cell(words.REEL_UP if work.rope else words.CUT_TO[fmt.unit]), cell(""), cell(""))
        rows.append((*stated, cell(cut_words(work.headline, work.rope, fmt), f"term:{work.run}:cut")))
    head = (words.TERMS.format(unit=fmt.unit), words.FORWARD_END, words.AFTER_END, words.SUM)
    return Ruled("", head, tuple(rows), f"terms:{work.run}", pitch=PITCH)


def ends_table(refit: Refit, work: RunWork) -> Ruled:
    """Return both ends side by side: how and from what they are made, with the fittings' range."""
    columns = {where: _end_cells(refit, work, where) for where in BOTH}
    # What is made on neither end has no row.
    keys = [key for key in columns["start"] if any(columns[where][key] != "-" for where in BOTH)]
    rows = tuple(
        (
            Cell(words.ENDS_ROWS[key]),
            Cell(columns["start"][key], f"ends:{work.run}:start:{key}"),
            Cell(columns["finish"][key], f"ends:{work.run}:finish:{key}"),
        )
        for key in keys
    )
    return Ruled("", (words.ENDS, words.FORWARD_END, words.AFTER_END), rows, f"ends:{work.run}", pitch=PITCH)


def _end_cells(refit: Refit, work: RunWork, where: Where) -> dict[str, str]:
    fmt, stated = numbers(refit.boat), run_end(refit.placed.runs[work.run], where)
    fittings, ranges = fitting_words(refit, work.run, where, fmt)
    thimble = line_end(refit.boat, refit.placed.runs[work.run], where).thimble
    stated_thimble = "-"
    if thimble is not None:
        stated_thimble = run_card_words.THIMBLE.format(pattern=thimble.pattern, girth=length(thimble.girth, fmt))
    return {
        "end": stated.end,
        "splice": splice_words(refit, work, where),
        "thimble": stated_thimble,
        "fittings": fittings,
        "range": ranges,
    }


def splice_words(refit: Refit, work: RunWork, where: Where) -> str:
    """Return the number of an end's splice on the splice sheets and its lock; a dash where nothing is spliced."""
    recipe = work.splices[where]
    if recipe is None:
        return "-"
    line = refit.placed.runs[work.run].spec.line
    number = next((s.number for s in strips(refit) if s.line == line and s.recipe == recipe), None)
    return recipe.lock if number is None else run_card_words.SPLICE.format(number=number, lock=recipe.lock)


def budget_table(refit: Refit, work: RunWork) -> Ruled:
    """Return the error of the run and what it asks of the adjusters each way, of what they can do."""
    fmt, found = numbers(refit.boat), work.budget
    head = (run_card_words.ERROR.format(unit=fmt.unit), words.SHORTEN, words.LENGTHEN)
    row = (
        cell(f"±{length(found.combined, fmt)}", f"budget:{work.run}:error"),
        cell(_checked(found.needed_shorten, found.shorten, fmt), f"budget:{work.run}:shorten"),
        cell(_checked(found.needed_lengthen, found.lengthen, fmt), f"budget:{work.run}:lengthen"),
    )
    return Ruled("", head, (row,), f"budget:{work.run}", pitch=PITCH)


def _checked(wants: float, has: float | None, fmt: LengthFormat) -> str:
    stated = run_card_words.ASKED_ONLY if has is None else run_card_words.ASKED
    return stated.format(wants=length(wants, fmt), has=length(has, fmt))


def alternatives_list(refit: Refit, work: RunWork) -> RuledList:
    """Return what would fit instead of a refused line; nothing in it is approved."""
    fmt = numbers(refit.boat)
    columns = (
        ListColumn(words.INSTEAD, 48.0), ListColumn(words.FIGURES, 131.5), ListColumn(words.STILL_TO_CHECK, 131.5),
    )  # fmt: skip
    rows = tuple(
        (
            Cell(in_words(other.what, fmt), f"instead:{work.run}:{number}:what"),
            Cell(in_words(other.figures, fmt), f"instead:{work.run}:{number}:figures"),
            Cell(in_words(other.to_check, fmt), f"instead:{work.run}:{number}:check"),
        )
        for number, other in enumerate(work.alternatives, start=1)
    )
    return RuledList("", columns, rows, f"instead:{work.run}")


def remark_lines(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return the remarks beside the error budget, the most serious first; those not determined in one line."""
    shown = [r for r in work.remarks if r.kind != "agreed" and r.code != "budget" and r.says not in work.refused]
    # An eye that bears on the boat itself, and whose pin is not given, says once more what the missing pin says.
    bare = {r.end for r in shown if r.code == "anchorage"} & _without_fittings(refit, work)
    shown = [r for r in shown if r.code != "eye-shape" or r.kind != "cannot tell" or r.end not in bare]
    # What bears on this line's own lengths comes first where not all find room; within that the most serious.
    shown.sort(key=lambda remark: (remark.kind != "refused", remark.code not in _FIRST))
    fmt, pins = numbers(refit.boat), _pins(refit, work)
    by_kind: dict[str, list[str]] = {}
    for remark in shown:
        text = pins if remark.code == "anchorage" else in_words(remark.says, fmt)
        if text not in by_kind.setdefault(remark.kind, []):
            by_kind[remark.kind].append(text)
    lines = []
    for kind, texts in by_kind.items():
        stated = ["; ".join(texts)] if kind == "cannot tell" else texts
        lines += [f"{words.REMARK_KIND[kind]}: {text}" for text in stated]
    return tuple(lines)


def _pins(refit: Refit, work: RunWork) -> str:
    """Return at which places the pin or bar is not given, in one statement for both ends."""
    run = refit.placed.runs[work.run]
    untold = [where for where in BOTH if run_end(run, where).anchorage is None]
    return run_card_words.NO_PIN.format(places=" and ".join(end_name(run_end(run, where)) for where in untold))


def _without_fittings(refit: Refit, work: RunWork) -> set[Where]:
    run = refit.placed.runs[work.run]
    return {where for where in BOTH if not run_end(run, where).fittings}


def beside(refit: Refit, work: RunWork, place: Rect, more: Rect | None = None) -> list[Item]:
    """Return error, verdict and remarks in what is left beside the tables; what finds no room at all is counted.

    Args:
        refit: the boat worked out.
        work: the run.
        place: where they stand [paper mm].
        more: where the remarks go on that do not stand there [paper mm].

    Raises:
        GeometryError: the place is narrower than the budget.
    """
    table = budget_table(refit, work)
    if math.fsum(table.widths) > place.width:
        raise GeometryError(f"the error budget of {work.run} does not stand on its card")
    items: list[Item] = [table.at((place.left, place.top))]
    verdict, wide = budget_words(work.budget), math.fsum(table.widths) + 2.6
    high = fitting_height(verdict, place.width, _VERDICT)
    if wide + text_width(verdict, _VERDICT) <= place.width:
        at, top = (place.left + wide, place.top - table.height + 1.0), place.top - table.height - 1.2
    else:
        at = (place.left, place.top - table.height - 2.5 - high)
        top = at[1] - 1.9
    items.append(Text(at, verdict, high, "TEXT", tag=f"budget:{work.run}:verdict"))
    if work.budget.bedding_to_come is None:
        items += lines_down([run_card_words.NO_BEDDING], place.left, top, f"bedding:{work.run}", _SMALL)
        top -= LINE_PITCH * _SMALL
    return [*items, *_remark_items(refit, work, (Rect(place.left, place.bottom, place.right, top), more))]


def _remark_items(refit: Refit, work: RunWork, places: Sequence[Rect | None]) -> list[Item]:
    """Return the remarks, each whole in the first place that still holds it, and how many none holds."""
    tag, items = f"remarks:{work.run}", list[Item]()
    left = list(remark_lines(refit, work))
    rooms = [place for place in places if place is not None]
    for place in rooms:
        room = int((place.height + 1e-6) / (LINE_PITCH * _SMALL)) if place.height > 0.0 else 0
        shown: list[str] = []
        while left:
            parts = broken(left[0], place.width)
            # In the last place a line is kept for the count of those that do not stand there.
            kept = 1 if place is rooms[-1] and len(left) > 1 else 0
            if len(shown) + len(parts) > room - kept:
                break
            shown += parts
            left.pop(0)
        if left and place is rooms[-1]:
            shown.append(run_card_words.MORE_REMARKS.format(count=len(left)))
        items += lines_down(shown, place.left, place.top, tag, _SMALL)
    return items
