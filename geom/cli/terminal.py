"""Refit -> the terminal output of `check`: the open items in rank, or the tables that are named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from geom.cli.layout import coloured, table_lines, wrapped
from geom.open_items import open_items
from geom.open_items.item import Choice, OpenItem
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.cautions import CAUTIONS, SHEET_CAUTION, main_cautions
from geom.rules.digest import Line, digest
from geom.rules.finding import ORDER, Finding
from geom.tables.lines import cut_terms, rope_marks, stations
from geom.tables.placing import gates, holes, net_bays, net_edges, pairs, posts, runs, spans
from geom.tables.table import Table, numbers
from geom.units import LengthFormat, decimal, decimals_apart, pounds_force
from geom.words import Units, worded
from geom.words.english import HEADINGS

# Columns of the schedules that a terminal leaves to the CSV files.
_HIDDEN = (
    "foot_x", "foot_y", "foot_z", "offset_out_from_plumb", "offset_aft_from_plumb", "lean_", "rake_", "line",
    "set_tensions_", "basis", "expected_sag_", "bore_of", "edge", "stress_concentration", "peak_stress",
    "moment_nm", "permitted_slack", "needed_",
)  # fmt: skip
_SHOWN_WITHOUT_ALL = ("fail", "cannot tell", "notice")
# From this width the list of items has a column for who closes them.
_WIDE = 90
VIEWS = (
    "items",
    "remedies",
    "runs",
    "holes",
    "posts",
    "gates",
    "nets",
    "loads",
    "cards",
    "findings",
    "cautions",
    "all",
)


@dataclass(frozen=True)
class Screen:
    """What a check shows: the refit, the width in characters, and the views that are named, none for the summary."""

    refit: Refit
    columns: int
    views: frozenset[str]

    @property
    def units(self) -> Units:
        """The units of its sentences."""
        return Units(numbers(self.refit.boat), pounds=True)

    def shows(self, *names: str) -> bool:
        """Return whether one of some views is shown."""
        return bool(self.views & {*names, "all"})

    def lines(self) -> Iterator[str]:
        """Yield the lines in order."""
        boat, loaded = self.refit.boat, self.refit.loaded
        revision = f"revision {boat.revision.mark} of {boat.revision.date}"
        yield from wrapped(
            f"{boat.boat.name}   {boat.survey}, {revision}, data {loaded.data_sha256[:12]}", self.columns, later="  "
        )
        for note in loaded.notes:
            yield from wrapped(note, self.columns, "  ")
        items = open_items(self.refit)
        yield from wrapped(_verdict(self.refit, items), self.columns, later="  ")
        yield ""
        if not self.views:
            yield from self._summary(items)
            return
        if self.shows("items", "remedies"):
            yield from (line for item in items for line in self._item(item, items))
        yield from self._tables()
        if self.shows("cards"):
            yield from (line for run in self.refit.placed.runs for line in self._card(run))
        if self.shows("findings"):
            yield from self._findings()
        yield from self._cautions(CAUTIONS if self.shows("cautions") else ())

    def _summary(self, items: tuple[OpenItem, ...]) -> Iterator[str]:
        for item in items:
            head = f"{item.number:>2}  {item.kind:<9}"
            if self.columns >= _WIDE:
                head += f"{item.who:<12}"
            settles = f" (settles {item.settles})" if item.kind in ("measure", "state") and item.settles > 1 else ""
            lines = wrapped(worded(item.cause, self.units) + settles, self.columns, head)
            yield lines[0].replace(item.kind, coloured(item.kind, item.kind), 1)
            yield from lines[1:]
        if items:
            yield ""
        yield worded(SHEET_CAUTION)
        yield from wrapped(" ".join(map(worded, main_cautions(self.refit.boat))), self.columns)
        yield from wrapped("More: " + " ".join(f"--{view}" for view in VIEWS), self.columns, later="  ")

    def _cautions(self, cautions: tuple[Remark, ...]) -> Iterator[str]:
        yield worded(SHEET_CAUTION)
        for caution in cautions:
            yield from wrapped(worded(caution), self.columns, "- ")

    def _item(self, item: OpenItem, items: tuple[OpenItem, ...]) -> Iterator[str]:
        """Yield an item in full: why, choices, remedies, lines for the boat file, and the sheets that show it."""
        head = wrapped(f"{worded(item.cause, self.units)}", self.columns, f"{item.number:>2}  {item.kind:<9}", " " * 4)
        yield head[0].replace(item.kind, coloured(item.kind, item.kind), 1)
        yield from head[1:]
        sheets = ", ".join(item.sheets).replace("_", " ")
        yield from wrapped(f"for the {item.who}; sheets: {sheets}", self.columns, "    ", "      ")
        if item.findings:
            yield from wrapped(f"why: {worded(item.why, self.units)}", self.columns, "    ", "      ")
        for choice in item.choices:
            yield from wrapped(_choice(choice, self.units), self.columns, "    - ", "      ")
        if self.shows("remedies"):
            yield from self._remedies(item, items)
        for entry in item.entries:
            yield from wrapped(f"under {entry.under}:", self.columns, "    add ", "      ")
            yield f"        {entry.line}"
        yield ""

    def _remedies(self, item: OpenItem, items: tuple[OpenItem, ...]) -> Iterator[str]:
        """Yield each single change that closes an item, with what else it does."""
        from geom.open_items.remedies import remedies_of

        found = tuple(remedies_of(self.refit, item, items))
        if item.kind in ("stop", "fails") and item.findings and not found:
            yield "    no single change of the boat file closes it"
        for remedy in found:
            yield from wrapped(f"closed by: {worded(remedy.what, self.units)}", self.columns, "    ", "      ")
            for change in remedy.changes:
                was = f"{change.from_} -> " if change.from_ else ""
                yield from wrapped(f"{change.key}: {was}{change.to}", self.columns, "        ", "          ")
            also = [f"closes item {number} too" for number in remedy.clears]
            also += [f"opens: {worded(cause, self.units)}" for cause in remedy.makes]
            if remedy.cut_anew:
                also.append(f"to be cut anew: {', '.join(remedy.cut_anew)}")
            for text in also:
                yield from wrapped(text, self.columns, "      ", "        ")

    def _tables(self) -> Iterator[str]:
        refit, found = self.refit, list[Table]()
        if self.shows("runs"):
            found += [runs(refit), spans(refit)]
        if self.shows("holes"):
            found.append(holes(refit))
        if self.shows("posts"):
            found.append(posts(refit))
        if self.shows("gates"):
            found.append(gates(refit))
        if self.shows("nets"):
            found += [net_bays(refit), net_edges(refit)]
        if "all" in self.views:
            found.append(pairs(refit))
        if self.shows("loads"):
            from geom.tables.loads import LOAD_TABLES

            # The tensions that these assume stand in the first of them.
            found += [replace(made, assumes="at the set tensions above" if made.assumes else "")
                      for made in (make(refit) for make in LOAD_TABLES)]  # fmt: skip
        yield from (line for table in found if table.rows for line in self._table(table))
        if self.shows("loads"):
            for missing in refit.loads.missing:
                yield from wrapped(worded(missing, self.units), self.columns, "not determined: ", "  ")

    def _table(self, table: Table) -> Iterator[str]:
        shown = replace(table, columns=tuple(one for one in table.columns if not one.key.startswith(_HIDDEN)))
        yield from table_lines(shown, numbers(self.refit.boat), self.columns)

    def _card(self, run: str) -> Iterator[str]:
        """Yield the card of one run: cut length with its terms, marks from one zero, threading step by step.

        A line on hold has no marks: its card says why, and what may be chosen in its place.
        """
        work, fmt = self.refit.work.runs[run], numbers(self.refit.boat)
        units = Units(fmt, millimetres=True, pounds=True)
        if work.headline is None:
            why = worded(work.refused, units) or f"not stated: {worded(work.lengths.missing)}"
            yield from wrapped(f"RUN {run}   DO NOT CUT: {why}", self.columns, later="  ")
            for other in work.alternatives:
                choice = Choice(other.what, other.figures, other.to_check)
                yield from wrapped(_choice(choice, units), self.columns, "  - ", "    ")
            yield ""
            return
        if work.rope and work.reel is not None:
            yield from wrapped(f"RUN {run}   FROM REEL {worded(work.reel.says, units)}", self.columns, later="  ")
        else:
            yield f"RUN {run}   {HEADINGS[work.heading]} {decimal(work.headline / fmt.mm, fmt.decimals)} {fmt.unit}"
        yield from wrapped(worded(work.budget.says, units), self.columns, "  ", "    ")
        before, after = work.eye_to_eye, work.from_made_throat
        if before is not None and after is not None:
            figures = [f"{decimal(value / fmt.mm, fmt.decimals)} {fmt.unit}" for value in (before, after)]
            marks = f"eye mark to eye mark {figures[0]}; from the made eye's throat to the other eye mark {figures[1]}"
            yield from wrapped(marks, self.columns, "  ", "    ")
        for table in (cut_terms(self.refit), stations(self.refit), rope_marks(self.refit)):
            own = tuple(row for row in table.results if row[0].run == run)
            if not own:
                continue
            columns = tuple(column for column in table.columns if column.key != "run")
            yield from table_lines(
                replace(table, title=f"{run}  {table.title}", columns=columns, results=own), fmt, self.columns
            )
        yield from wrapped(worded(work.plan.reason, units), self.columns, "  ", "    ")
        for number, step in enumerate(work.plan.work, start=1):
            yield from wrapped(worded(step.does, units), self.columns, f"{number:>4}. ")
        if any(step.pull is not None for step in work.plan.work):
            for source in work.figures.sources:
                yield from wrapped(worded(source, units), self.columns, "  ", "    ")
        yield ""

    def _findings(self) -> Iterator[str]:
        everything = "all" in self.views
        tally = Counter(finding.verdict for finding in self.refit.findings)
        yield "FINDINGS  " + ", ".join(f"{tally[verdict]} {verdict}" for verdict in ORDER if tally[verdict])
        for line in digest(self.refit.findings):
            if everything or _shown_by_default(line):
                yield from self._finding(line)
        if not everything:
            note = "(the tightest of each kind; --all adds passes and documents for comparison, --json every place)"
            yield from wrapped(note, self.columns, "  ")

    def _finding(self, line: Line) -> Iterator[str]:
        """Yield a finding as one line, with its note below."""
        finding, fmt = line.finding, numbers(self.refit.boat)
        place = worded(finding.where or finding.id) + (f" (+{line.count - 1})" if line.count > 1 else "")
        stated = f"{place}: {finding.document}, {finding.clause}: {finding.subject}"
        more = _more_decimals(finding, fmt)
        if finding.measured is not None:
            stated += f", {_with_unit(finding.measured, finding.unit, fmt, more)}"
        if finding.limit is not None:
            stated += f" against {_with_unit(finding.limit, finding.unit, fmt, more)}"
        lines = wrapped(stated, self.columns, f"{finding.verdict:<15}")
        yield lines[0].replace(finding.verdict, coloured(finding.verdict, finding.verdict), 1)
        yield from lines[1:]
        would = "" if finding.would is None else f"would be: {finding.would}"
        note = worded((would, *finding.notes), replace(self.units, more=more))
        note = f"{note} WAIVED: {worded(finding.waivers)}" if finding.waivers else note
        yield from wrapped(note, self.columns, " " * 17)


def _verdict(refit: Refit, items: tuple[OpenItem, ...]) -> str:
    """Return the verdict in one line: which items stop the work, or how many are open, and the findings."""
    tally = Counter(finding.verdict for finding in refit.findings)
    stops = sum(item.kind == "stop" for item in items)
    if stops:
        first = "item 1 is" if stops == 1 else f"items 1 to {stops} are"
        state = f"DO NOT CUT OR DRILL before {first} closed"
    else:
        state = _counted(len(items), "open item") if items else "no open item"
    return f"{state}; {tally['fail']} fail, {tally['cannot tell']} not determined"


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _choice(choice: Choice, units: Units) -> str:
    text = worded(choice.what, units)
    if choice.figures is not None:
        text += f": {worded(choice.figures, units)}"
    return text if choice.to_check is None else f"{text}; to check: {worded(choice.to_check, units)}"


def _shown_by_default(line: Line) -> bool:
    """Return whether a finding is shown without --all: it fails, or does not pass a binding document."""
    return line.finding.verdict in _SHOWN_WITHOUT_ALL and (line.finding.binding or line.finding.verdict == "fail")


def _more_decimals(finding: Finding, fmt: LengthFormat) -> int:
    """Return the decimals beyond the usual one that tell the value of a finding from its limit."""
    value, limit = finding.measured, finding.limit
    if value is None or limit is None:
        return 0
    unit = finding.unit
    write = lambda more: (_with_unit(value, unit, fmt, more), _with_unit(limit, unit, fmt, more))  # noqa: E731
    return decimals_apart(value, limit, write)


def _with_unit(value: float, unit: str, fmt: LengthFormat, more: int) -> str:
    """Return a figure of a finding; on an inch boat in inches with millimetres, or in lbf with newtons."""
    figure = f"{decimal(value, 1 + more)} {unit}".strip()
    if unit == "N" and fmt.unit != "mm":
        return f"{pounds_force(value, more=1 + more)} lbf ({figure})"
    if unit == "mm" and fmt.unit != "mm":
        return f"{decimal(value / fmt.mm, fmt.decimals + more)} {fmt.unit} ({figure})"
    return figure
