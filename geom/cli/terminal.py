"""Refit -> the terminal output of `check`: the tables, then the findings, the worst first."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from geom.refit import Refit
from geom.rules.cautions import CAUTIONS, SHEET_CAUTION
from geom.rules.digest import Line, digest
from geom.rules.finding import ORDER, Finding
from geom.tables.placing import gates, holes, posts, runs, spans
from geom.tables.table import Table, cells, numbers
from geom.units import decimal, decimals_apart
from geom.words import Units, worded

if TYPE_CHECKING:
    from rich.table import Table as ScreenTable
    from rich.text import Text

_HIDDEN = (
    "foot_x", "foot_y", "foot_z", "offset_out_from_plumb", "offset_aft_from_plumb", "lean_", "rake_", "line",
    "set_tensions_", "bore_of", "edge",
)  # fmt: skip
_SHOWN_WITHOUT_ALL = ("fail", "cannot tell", "notice")
_COLOURS = {"fail": "bold red", "cannot tell": "yellow", "notice": "cyan", "pass": "green"}


def screen(
    refit: Refit, everything: bool, loads: bool = False, cards: bool = False
) -> Iterator[str | ScreenTable | Text]:
    """Yield the lines and tables of a check in order.

    Args:
        refit: the calculated boat.
        everything: whether spans, and findings that pass or do not apply, are listed too.
        loads: whether tensions, push tests and post loads are calculated and shown.
        cards: whether the run cards are shown: cut length, marks and threading of every run.
    """
    boat, loaded = refit.boat, refit.loaded
    yield (
        f"{boat.boat.name}   {boat.survey}, revision {boat.revision.mark} of {boat.revision.date},"
        f" data {loaded.data_sha256[:12]}"
    )
    yield from (f"  {note}" for note in loaded.notes)
    shown = [runs(refit), holes(refit), posts(refit), gates(refit)]
    if everything:
        shown.insert(1, spans(refit))
    if loads:
        from geom.tables.loads import LOAD_TABLES

        shown += [make(refit) for make in LOAD_TABLES]
    yield from (_table(refit, table) for table in shown if table.rows)
    if cards:
        for run in refit.placed.runs:
            yield from _run_card(refit, run)
    tally = Counter(finding.verdict for finding in refit.findings)
    yield "FINDINGS  " + ", ".join(f"{tally[verdict]} {verdict}" for verdict in ORDER if tally[verdict])
    lines = digest(refit.findings)
    for line in lines:
        if everything or _shown_by_default(line):
            yield from _finding(line)
    if loads:
        yield from (f"  not determined: {worded(what)}" for what in refit.loads.missing)
    if not everything:
        yield "  (the tightest of each kind; --all adds spans, passes and documents for comparison, --json every place)"
    yield SHEET_CAUTION
    yield from (f"- {line}" for line in CAUTIONS)


def _table(refit: Refit, table: Table) -> ScreenTable:
    from rich import box
    from rich.table import Table as ScreenTable

    fmt = numbers(refit.boat)
    shown = replace(table, columns=tuple(one for one in table.columns if not one.key.startswith(_HIDDEN)))
    screen_table = ScreenTable(title=f"{table.title} ({fmt.unit}, deg)", title_justify="left", box=box.SIMPLE_HEAD)
    for column in shown.columns:
        screen_table.add_column(column.heading, justify="left" if column.kind == "text" else "right", no_wrap=True)
    for row in cells(shown, fmt):
        screen_table.add_row(*row)
    return screen_table


def _run_card(refit: Refit, run: str) -> Iterator[str | ScreenTable]:
    """Yield the card of one run: cut length with its terms, marks from one zero, threading step by step."""
    from geom.tables.lines import cut_terms, stations

    work, fmt = refit.work.runs[run], numbers(refit.boat)
    units = Units(fmt, millimetres=True)
    if work.cut is None:
        yield f"RUN {run}   DO NOT CUT: {worded(work.refused, units) or 'not stated: ' + worded(work.lengths.missing)}"
        yield from (f"  alternative: {worded((other.what, other.figures), units)}" for other in work.alternatives)
    else:
        cut = decimal(work.cut / fmt.mm, fmt.decimals)
        yield f"RUN {run}   CUT {cut} {fmt.unit}   {worded(work.budget.says, units)}"
    for table in (cut_terms(refit), stations(refit)):
        own = tuple(row for row in table.results if row[0].run == run)
        yield _table(refit, replace(table, title=f"{run}  {table.title}", results=own))
    yield f"  {worded(work.plan.reason, units)}"
    yield from (f"  {number}. {worded(step.does, units)}" for number, step in enumerate(work.plan.work, start=1))


def _shown_by_default(line: Line) -> bool:
    """Return whether a finding is shown without --all: it fails, or does not pass a binding document."""
    return line.finding.verdict in _SHOWN_WITHOUT_ALL and (line.finding.binding or line.finding.verdict == "fail")


def _finding(line: Line) -> Iterator[str | Text]:
    """Yield a finding as one line, with its note wrapped below."""
    from rich.text import Text

    finding = line.finding
    place = finding.id.rsplit(":", 1)[-1] + (f" (+{line.count - 1})" if line.count > 1 else "")
    stated = f"{place:<18} {finding.document}, {finding.clause}: {finding.subject}"
    more = _more_decimals(finding)
    if finding.measured is not None:
        stated += f", {_with_unit(finding.measured, finding.unit, more)}"
    if finding.limit is not None:
        stated += f" against {_with_unit(finding.limit, finding.unit, more)}"
    yield Text.assemble((f"{finding.verdict:<15}", _COLOURS.get(finding.verdict, "")), stated)
    would = "" if finding.would is None else f"would be: {finding.would}"
    note = worded((would, *finding.notes), Units(more=more))
    note = f"{note} WAIVED: {worded(finding.waivers)}" if finding.waivers else note
    yield from textwrap.wrap(note, 130, initial_indent=" " * 34, subsequent_indent=" " * 34)


def _more_decimals(finding: Finding) -> int:
    """Return the decimals beyond the usual one that tell the value of a finding from its limit."""
    value, limit = finding.measured, finding.limit
    if value is None or limit is None:
        return 0
    return decimals_apart(value, limit, lambda more: (decimal(value, 1 + more), decimal(limit, 1 + more)))


def _with_unit(value: float, unit: str, more: int) -> str:
    return f"{decimal(value, 1 + more)} {unit}".strip()
