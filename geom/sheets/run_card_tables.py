"""The tables under a run card's line: the cut length term by term, both ends, error against range, remarks."""

from __future__ import annotations

from geom.errors import GeometryError
from geom.figure import Cell, Item, Rect, Text
from geom.refit import Refit
from geom.runs.eye import Where
from geom.runs.line_work import RunWork
from geom.runs.making import BOTH, run_end
from geom.runs.place import end_name
from geom.schedules import numbers
from geom.sheets import words
from geom.sheets.aids.splice_strip import strips
from geom.sheets.line_words import (
    LINE_PITCH,
    budget_words,
    cut_words,
    fitting_words,
    length,
    lines_down,
    made_where,
    run_rope,
)
from geom.sheets.ruled import Ruled, cell
from geom.sheets.ruled_list import ListColumn, RuledList, broken

PITCH = 4.0
_SMALL = 2.5
_FIRST = ("take-up", "bury-hole", "short-bury", "fid-room", "thimble", "deduction", "budget-skewed", "set-tension")


def terms_table(refit: Refit, work: RunWork) -> Ruled:
    """Return the cut length as a sum: one row per term, what each end adds, the sum, the cut."""
    how, found = numbers(refit.boat), work.lengths
    names = list(dict.fromkeys(term.name for term in found.terms))
    rows = []
    for name in names:
        by_end = {term.end: term.value for term in found.terms if term.name == name}
        whole = sum(by_end.values())
        tag = f"term:{work.run}:{name}"
        rows.append((
            Cell(name),
            cell(length(by_end["start"], how) if "start" in by_end else "", f"{tag}:start"),
            cell(length(by_end["finish"], how) if "finish" in by_end else "", f"{tag}:finish"),
            cell(length(whole, how), f"{tag}:sum"),
        ))  # fmt: skip
    total = sum(term.value for term in found.terms)
    rows.append((Cell(words.SUM), cell(""), cell(""), cell(length(total, how), f"term:{work.run}:total")))
    if work.cut is not None:
        rope = run_rope(refit, work.run)
        told = (Cell(words.CUT_UP if rope else words.CUT_TO[how.unit]), cell(""), cell(""))
        rows.append((*told, cell(cut_words(work.cut, rope, how), f"term:{work.run}:cut")))
    head = (words.TERMS.format(unit=how.unit), words.FORWARD_END, words.AFTER_END, words.SUM)
    return Ruled("", head, tuple(rows), f"terms:{work.run}", pitch=PITCH)


def ends_table(refit: Refit, work: RunWork) -> Ruled:
    """Return both ends side by side: where, how and from what they are made, with the fittings' range."""
    how, run = numbers(refit.boat), refit.placed.runs[work.run]
    columns: dict[str, list[str]] = {}
    for where in BOTH:
        told = run_end(run, where)
        fittings, ranges = fitting_words(refit, work.run, where, how)
        columns[where] = [
            end_name(told), made_where(work, where).lower(), told.end, splice_words(refit, work, where), fittings,
            ranges,
        ]  # fmt: skip
    keys = ("at", "made", "end", "splice", "fittings", "range")
    rows = tuple(
        (
            Cell(words.ENDS_ROWS[key]),
            Cell(columns["start"][index], f"ends:{work.run}:start:{key}"),
            Cell(columns["finish"][index], f"ends:{work.run}:finish:{key}"),
        )
        for index, key in enumerate(keys)
    )
    return Ruled("", (words.ENDS, words.FORWARD_END, words.AFTER_END), rows, f"ends:{work.run}", pitch=PITCH)


def splice_words(refit: Refit, work: RunWork, where: Where) -> str:
    """Return the number of an end's splice on the splice sheets and its lock; a dash where nothing is spliced."""
    recipe = work.splices[where]
    if recipe is None:
        return "-"
    line = refit.placed.runs[work.run].told.line
    number = next((s.number for s in strips(refit) if s.line == line and s.recipe == recipe), None)
    return recipe.lock if number is None else f"{number}, {recipe.lock}"


def budget_table(refit: Refit, work: RunWork) -> Ruled:
    """Return the error of the run and what it asks of the adjusters each way."""
    how, found = numbers(refit.boat), work.budget
    head = (words.ERROR, words.SHORTEN, words.CAN, words.LENGTHEN, words.CAN)
    values = (
        (f"±{length(found.combined, how)}", "error"),
        (length(found.wants_shorten, how), "wants_shorten"),
        (words.NOT_GIVEN if found.shorten is None else length(found.shorten, how), "shorten"),
        (length(found.wants_lengthen, how), "wants_lengthen"),
        (words.NOT_GIVEN if found.lengthen is None else length(found.lengthen, how), "lengthen"),
    )
    row = tuple(cell(text, f"budget:{work.run}:{key}") for text, key in values)
    return Ruled("", head, (row,), f"budget:{work.run}", pitch=PITCH)


def alternatives_list(work: RunWork) -> RuledList:
    """Return what would fit instead of a refused line; nothing in it is approved."""
    columns = (
        ListColumn(words.INSTEAD, 62.0), ListColumn(words.FIGURES, 105.0), ListColumn(words.STILL_TO_CHECK, 132.0),
    )  # fmt: skip
    rows = tuple(
        (
            Cell(other.what, f"instead:{work.run}:{number}:what"),
            Cell(other.figures, f"instead:{work.run}:{number}:figures"),
            Cell(other.to_check, f"instead:{work.run}:{number}:check"),
        )
        for number, other in enumerate(work.alternatives, start=1)
    )
    return RuledList("", columns, rows, f"instead:{work.run}")


def remark_lines(work: RunWork) -> tuple[str, ...]:
    """Return what is to be looked at beside the error budget, the gravest first."""
    shown = [
        r for r in work.remarks if r.kind != "agreed" and r.code != "budget" and r.text not in (work.refused or "")
    ]
    # What bears on this line's own lengths comes first where not all find room; within that the gravest.
    shown.sort(key=lambda remark: (remark.kind != "refused", remark.code not in _FIRST))
    lines = [f"{words.REMARK_KIND[remark.kind]}: {remark.text}" for remark in shown]
    if work.budget.bedding_to_come is None:
        lines.append(words.NO_BEDDING)
    return tuple(lines)


def beside(refit: Refit, work: RunWork, place: Rect) -> list[Item]:
    """Return error, verdict and remarks in what is left beside the tables; what finds no room is counted.

    Raises:
        GeometryError: the place is narrower than the budget.
    """
    table = budget_table(refit, work)
    if sum(table.widths) > place.width:
        raise GeometryError(f"the error budget of {work.run} does not stand on its card")
    items: list[Item] = [table.at((place.left, place.top))]
    top = place.top - table.height - 2.5
    verdict = budget_words(work.budget)
    items.append(Text((place.left, top - 3.5), verdict, 3.5, "TEXT", tag=f"budget:{work.run}:verdict"))
    top -= 6.0
    room = int((top - place.bottom) / (LINE_PITCH * _SMALL))
    lines = [part for line in remark_lines(work) for part in broken(line, place.width)]
    if len(lines) > room:
        whole = remark_lines(work)
        shown: list[str] = []
        for count, line in enumerate(whole):
            parts = broken(line, place.width)
            if len(shown) + len(parts) > room - 1:
                shown.append(words.MORE_REMARKS.format(count=len(whole) - count))
                break
            shown += parts
        lines = shown
    return [*items, *lines_down(lines, place.left, top, f"remarks:{work.run}", _SMALL)]
