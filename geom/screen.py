"""Refit -> what `check` shows on a screen: the tables first, then the findings, the worst on top."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING

from geom.refit import Refit
from geom.rules.cautions import CAUTIONS, SHEET_CAUTION
from geom.rules.digest import Line, digest
from geom.rules.rule import ORDER
from geom.schedules import Schedule, cells, gates, holes, numbers, posts, runs, spans
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
    for schedule in (runs(refit), spans(refit), holes(refit), posts(refit), gates(refit)):
        if schedule.rows:
            yield _table(refit, schedule)
    tally = Counter(finding.verdict for finding in refit.findings)
    yield "FINDINGS  " + ", ".join(f"{tally[verdict]} {verdict}" for verdict in ORDER if tally[verdict])
    lines = digest(refit.findings)
    yield _findings([line for line in lines if everything or line.finding.verdict in _SHOWN_WITHOUT_ALL])
    if not everything:
        yield "  (the tightest of each kind; --all adds what passes, --json lists every place)"
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


def _findings(lines: list[Line]) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD)
    for head in ("VERDICT", "PLACE"):
        table.add_column(head, no_wrap=True)
    table.add_column("ASKED BY", max_width=34)
    table.add_column("SUBJECT", max_width=20)
    for head in ("MEASURED", "LIMIT"):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_column("NOTE", ratio=1)
    for line in lines:
        finding = line.finding
        colour = _COLOURS.get(finding.verdict, "")
        place = finding.id.rsplit(":", 1)[-1] + (f" (+{line.count - 1})" if line.count > 1 else "")
        table.add_row(
            f"[{colour}]{finding.verdict}[/]" if colour else finding.verdict,
            place, f"{finding.document}, {finding.clause}", finding.subject,
            _with_unit(finding.measured, finding.unit), _with_unit(finding.limit, finding.unit), finding.note,
        )  # fmt: skip
    return table


def _with_unit(value: float | None, unit: str) -> str:
    return "-" if value is None else f"{decimal(value, 1)} {unit}".strip()
