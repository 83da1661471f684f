"""Refit -> what `check` shows on a screen: the tables first, then the findings, the worst on top."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING

from geom.refit import Refit
from geom.report import worst_first
from geom.rules.cautions import CAUTIONS, SHEET_CAUTION
from geom.rules.rule import ORDER, Finding
from geom.schedules import Schedule, cells, gates, holes, numbers, posts, runs
from geom.units import decimal

if TYPE_CHECKING:
    from rich.table import Table

_HIDDEN = ("foot_", "plumb", "lean_", "rake_", "line")
_SHOWN_WITHOUT_ALL = ("fail", "cannot tell", "notice")
_COLOURS = {"fail": "bold red", "cannot tell": "yellow", "notice": "cyan", "pass": "green"}


def screen(refit: Refit, everything: bool) -> Iterator[str | Table]:
    """Yield the lines and tables of a check in order.

    Args:
        refit: the boat worked out.
        everything: whether findings that passed or do not apply are listed too.
    """
    boat, loaded = refit.boat, refit.loaded
    yield (
        f"{boat.boat.name}   {boat.survey}, revision {boat.revision.mark} of {boat.revision.date},"
        f" data {loaded.data_sha256[:12]}"
    )
    yield from (f"  {note}" for note in loaded.notes)
    for schedule in (runs(refit), holes(refit), posts(refit), gates(refit)):
        if schedule.rows:
            yield _table(refit, schedule)
    counts = Counter(finding.verdict for finding in refit.findings)
    yield "FINDINGS  " + ", ".join(f"{counts[verdict]} {verdict}" for verdict in ORDER if counts[verdict])
    yield _findings([f for f in worst_first(refit.findings) if everything or f.verdict in _SHOWN_WITHOUT_ALL])
    if not everything:
        yield "  (--all lists what passes, too)"
    yield SHEET_CAUTION
    yield from (f"- {line}" for line in CAUTIONS)


def _table(refit: Refit, schedule: Schedule) -> Table:
    from rich import box
    from rich.table import Table

    how = numbers(refit.boat)
    table = Table(title=f"{schedule.title} ({how.unit}, deg)", title_justify="left", box=box.SIMPLE_HEAD)
    shown = [
        index for index, column in enumerate(schedule.columns) if not any(part in column.key for part in _HIDDEN)
    ]
    for index in shown:
        column = schedule.columns[index]
        table.add_column(column.head, justify="left" if column.kind == "text" else "right", no_wrap=True)
    for row in cells(schedule, how):
        table.add_row(*(row[index] for index in shown))
    return table


def _findings(findings: list[Finding]) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD)
    for head in ("VERDICT", "PLACE", "ASKED BY", "SUBJECT"):
        table.add_column(head, no_wrap=True)
    for head in ("MEASURED", "LIMIT"):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_column("NOTE")
    for finding in findings:
        colour = _COLOURS.get(finding.verdict, "")
        verdict = f"[{colour}]{finding.verdict}[/]" if colour else finding.verdict
        place = finding.id.split(":", 1)[-1]
        asked = " ".join(part for part in (finding.document, finding.clause) if part)
        table.add_row(
            verdict, place, asked, finding.subject, _with_unit(finding.measured, finding.unit),
            _with_unit(finding.limit, finding.unit), finding.note,
        )  # fmt: skip
    return table


def _with_unit(value: float | None, unit: str) -> str:
    return "-" if value is None else f"{decimal(value, 1)} {unit}".strip()
