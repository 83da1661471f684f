"""What the rigger cuts, marks, threads and orders, as schedules of their rows in `runs/line_rows`."""

from __future__ import annotations

from geom.refit import Refit
from geom.tables.line_rows import TABLES
from geom.tables.schedule import Column, Schedule

# Headings whose first column is the run; the rest of the table's rows are numbered within it.
TITLES = {
    "cut-list": "CUT LIST",
    "cut-terms": "CUT LENGTH, TERM BY TERM",
    "error-budget": "ERROR BUDGET",
    "setting-cards": "ADJUSTERS WHILE MARKING",
    "stations": "MARKS ALONG THE FINISHED LINE",
    "threading": "THREADING PLAN",
    "splices": "SPLICES",
    "alternatives": "WHAT WOULD FIT INSTEAD",
    "bill-by-end": "FITTINGS BY RUN END",
    "line-order": "ROPE AND WIRE BY REEL",
    "small-parts": "SMALL PARTS",
    "open-gates": "GATES OPEN",
    "strengths": "LINKS OF EACH RUN",
    "line-comparison": "LINES SIDE BY SIDE",
    "making-log": "LOG OF THE MAKING",
}
# A figure in the name makes the unit: these endings are lengths, the rest plain numbers or words.
_LENGTH = "_mm"


def work_schedule(refit: Refit, name: str) -> Schedule:
    """Return one table of the line work by its name in TITLES."""
    headings, rows = TABLES[name](refit)
    columns = tuple(
        Column(heading, heading.removesuffix(_LENGTH).replace("_", " ").upper(), "length")
        if heading.endswith(_LENGTH)
        else Column(heading, heading.replace("_", " ").upper(), "number" if _is_number(rows, index) else "text")
        for index, heading in enumerate(headings)
    )
    counts: dict[str, int] = {}
    ids = []
    for row in rows:
        first = str(row[0])
        counts[first] = counts.get(first, 0) + 1
        ids.append(f"{first}:{counts[first]}")
    return Schedule(name, TITLES[name], columns, tuple(ids), rows)


def work_schedules(refit: Refit) -> tuple[Schedule, ...]:
    """Return every table of the line work that has rows."""
    made = (work_schedule(refit, name) for name in TABLES)
    return tuple(schedule for schedule in made if schedule.rows)


def _is_number(rows: tuple[tuple[str | float | None, ...], ...], index: int) -> bool:
    return any(isinstance(row[index], float) for row in rows)
