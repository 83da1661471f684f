"""Line work as tables: headings with their units, rows of plain values (mm, N, g; None where nothing can be told)."""

from __future__ import annotations

from geom.placement.line_ends import BOTH
from geom.refit import Refit
from geom.tables.splice_rows import recipe_rows
from geom.words import worded

Value = str | float | None
HELD_BACK = "held back: do not cut"
Table = tuple[tuple[str, ...], tuple[tuple[Value, ...], ...]]


def cut_list(refit: Refit) -> Table:
    """Return one row per run: path, fittings, finished, marked and cut length, the formula, the verdict."""
    heads = (
        "run", "path_mm", "fittings_mm", "finished_mm", "marked_mm", "cut_mm", "cut_min_mm", "cut_max_mm",
        "formula", "verdict",
    )  # fmt: skip
    rows = []
    for run in refit.work.runs.values():
        found = run.lengths
        stop = worded(run.refused or found.missing)
        rows.append(
            (
                run.run, found.path, found.stack, found.finished, found.marked, run.cut,
                None if stop else found.cut_min, None if stop else found.cut_max,
                "" if stop else worded(found.formula), stop or "cut",
            )
        )  # fmt: skip
    return heads, tuple(rows)


def cut_terms(refit: Refit) -> Table:
    """Return one row per term of each cut length."""
    rows = [(run.run, term.name, term.value, term.end, worded(term.formula))
            for run in refit.work.runs.values() for term in run.lengths.terms]  # fmt: skip
    return ("run", "term", "value_mm", "end", "how"), tuple(rows)


def budgets(refit: Refit) -> Table:
    """Return one row per run: the error, what it asks of the adjusters each way and what they can do."""
    heads = ("run", "error_mm", "wants_shorten_mm", "can_shorten_mm", "wants_lengthen_mm", "can_lengthen_mm", "verdict")
    rows = [
        (b.run, b.combined, b.wants_shorten, b.shorten, b.wants_lengthen, b.lengthen, worded(b.says))
        for b in (run.budget for run in refit.work.runs.values())
    ]
    return heads, tuple(rows)


def setting_cards(refit: Refit) -> Table:
    """Return one row per adjuster while the lines are marked."""
    heads = (
        "run", "end", "fitting", "min_mm", "planned_mm", "max_mm", "open_beyond_closed_mm", "each_stud_mm",
        "thread_showing_mm", "thread", "hand",
    )  # fmt: skip
    rows = [
        (
            run.run, s.end, s.fitting, s.minimum, s.planned, s.maximum, s.beyond_closed, s.per_stud, s.showing,
            s.thread, s.hand,
        )
        for run in refit.work.runs.values()
        for s in run.settings
    ]  # fmt: skip
    return heads, tuple(rows)


def station_list(refit: Refit) -> Table:
    """Return one row per mark of each made-up line, from one zero."""
    rows = [(run.run, mark.at, mark.what, mark.place) for run in refit.work.runs.values() for mark in run.stations]
    return ("run", "from_forward_end_mm", "mark", "place"), tuple(rows)


def threading(refit: Refit) -> Table:
    """Return one row per step of each threading plan; a line that is held back has one row that says why."""
    rows: list[tuple[Value, ...]] = []
    for run in refit.work.runs.values():
        if run.refused:
            rows.append((run.run, "", HELD_BACK, worded(run.refused)))
            continue
        why = worded(run.plan.reason)
        steps = enumerate(run.plan.work, start=1)
        rows += [(run.run, str(number), worded(step.does), why if number == 1 else "") for number, step in steps]
    return ("run", "step", "work", "reason"), tuple(rows)


def splices(refit: Refit) -> Table:
    """Return one row per mark of each splice."""
    rows: list[tuple[Value, ...]] = []
    for run in refit.work.runs.values():
        for where in BOTH:
            recipe = run.splices[where]
            if recipe is not None:
                rows += [(run.run, where, *row) for row in recipe_rows(recipe)]
    return ("run", "end", "mark", "measured_from", "mm", "in", "note"), tuple(rows)


def alternatives_list(refit: Refit) -> Table:
    """Return one row per alternative of each refused run."""
    rows = [(run.run, worded(other.what), worded(other.figures), worded(other.to_check))
            for run in refit.work.runs.values() for other in run.alternatives]  # fmt: skip
    return ("run", "alternative", "figures", "still_to_check"), tuple(rows)


def bill_by_end(refit: Refit) -> Table:
    """Return one row per part at each run end; unknown sizes and hands are None, boxes to fill in."""
    heads = (
        "run", "end", "at", "part", "family", "min_mm", "planned_mm", "max_mm", "pin_mm", "jaw_mm",
        "thread", "hand", "mass_g", "price",
    )  # fmt: skip
    rows = [
        (
            e.run, e.end, e.at, e.part, e.family, e.minimum, e.planned, e.maximum, e.pin, e.jaw, e.thread, e.hand,
            e.mass, e.price,
        )
        for e in refit.order.ends
    ]  # fmt: skip
    return heads, tuple(rows)


def line_orders(refit: Refit) -> Table:
    """Return one row per piece of each kind of line with the reel that it is cut from, and each reel's rest."""
    rows: list[tuple[Value, ...]] = []
    for order in refit.order.lines:
        if order.plan is None:
            rows += [(order.line, "", None, piece.name, piece.length, None) for piece in order.pieces]
        else:
            for number, reel in enumerate(order.plan.reels, start=1):
                rows += [(order.line, str(number), reel.stock, p.name, p.length, None) for p in reel.pieces]
                rows.append((order.line, str(number), reel.stock, "left over", None, reel.left))
            rows += [(order.line, "none holds it", None, p.name, p.length, None) for p in order.plan.too_long]
        rows += [(order.line, "not ordered", None, run, None, None) for run, _ in order.held_back]
    return ("line", "reel", "reel_mm", "piece", "order_mm", "left_mm"), tuple(rows)


def small_parts(refit: Refit) -> Table:
    """Return one row per cord and sleeve."""
    rows = [
        (s.run, worded(s.what), float(s.count), s.diameter, s.length, s.turns, s.price, s.source)
        for s in refit.order.small
    ]
    return ("run", "part", "count", "diameter_mm", "length_mm", "turns", "price", "source"), tuple(rows)


def open_gates(refit: Refit) -> Table:
    """Return one row per line of each open gate."""
    heads = (
        "gate", "run", "planned", "hangs_mm", "free_without_stop_mm", "drop_without_stop_mm", "free_with_stop_mm",
        "drop_with_stop_mm", "says",
    )  # fmt: skip
    rows: list[tuple[Value, ...]] = []
    for gate in refit.work.gates:
        free, held = gate.without_stop, gate.with_stop
        rows.append(
            (
                gate.gate, gate.run, "planned" if gate.planned else "alternative", gate.hangs,
                free.free if free else None, free.under_hand if free else None,
                held.free if held else None, held.under_hand if held else None, worded(gate.says),
            )
        )  # fmt: skip
    return heads, tuple(rows)


def strengths(refit: Refit) -> Table:
    """Return one row per link of each run; None where nobody told what it holds."""
    rows = [
        (run.run, link.name, link.holds, "weakest known" if link is run.strength.weakest else "", worded(link.source))
        for run in refit.work.runs.values()
        for link in run.strength.links
    ]
    return ("run", "link", "holds_N", "weakest", "source"), tuple(rows)


def comparison(refit: Refit) -> Table:
    """Return one row per line that the file sets side by side."""
    heads = (
        "line", "construction", "diameter_mm", "breaking_load_N", "stretch_at_445_N_mm", "mass_g", "cost", "eye",
        "worst_hole", "years_min", "years_max", "notices",
    )  # fmt: skip
    rows: list[tuple[Value, ...]] = []
    for c in refit.line_options:
        years = c.service_years or (None, None)
        rows.append(
            (
                c.line, c.construction, c.diameter, c.strength.holds, c.stretch, c.mass, c.cost, c.eye, c.worst_hole,
                *years, worded(c.notices),
            )
        )  # fmt: skip
    return heads, tuple(rows)


def logs(refit: Refit) -> Table:
    """Return one row per step of each making log, with the boxes to fill in; a line that is held back has one row."""
    rows: list[tuple[Value, ...]] = []
    for run in refit.work.runs.values():
        if run.refused:
            rows.append((run.run, HELD_BACK, "", ""))
            continue
        rows += [(run.run, worded(step.step), worded(step.figure or ""), " / ".join(step.boxes)) for step in run.log]
    return ("run", "step", "asked", "boxes"), tuple(rows)


TABLES = {
    "cut-list": cut_list, "cut-terms": cut_terms, "error-budget": budgets, "setting-cards": setting_cards,
    "stations": station_list, "threading": threading, "splices": splices, "alternatives": alternatives_list,
    "bill-by-end": bill_by_end, "line-order": line_orders, "small-parts": small_parts, "open-gates": open_gates,
    "strengths": strengths, "line-comparison": comparison, "making-log": logs,
}  # fmt: skip
