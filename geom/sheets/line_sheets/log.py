"""The making log, a form of the appendix to fill in by hand: each step of each line with what is wanted.

Each row names its run: a page may begin between two steps.
"""

from __future__ import annotations

from geom.drafting.line_text import in_words
from geom.drafting.page import Document
from geom.drafting.ruling import ListColumn, RuledList
from geom.drafting.sheet import Draft
from geom.figure import Cell, LengthFormat
from geom.refit import Refit
from geom.rigging.acceptance import Acceptance
from geom.rigging.build_log import LogLine
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.marks import is_held, mark_numbers
from geom.sheets.line_sheets.steps import measured
from geom.tables import numbers

_SHARES = (13, 41, 65, 28, 16, 16)
_ROW = 6.4


_DOCUMENT = Document(
    "A6", "making-log", words.LOG_TITLE, words.LOG_KIND,
    "Boxes for each step of each line, to be filled in by whoever makes it.",
)  # fmt: skip


def making_log(refit: Refit) -> tuple[Draft, ...]:
    """Return the pages of the making log, portrait A4 or Letter."""
    return _DOCUMENT.pages(refit, [log_list(refit)], words.LOG_UNITS[numbers(refit.boat).unit])


def log_list(refit: Refit) -> RuledList:
    """Return boxes for each step of each run in its order; a run on hold says so."""
    fmt = numbers(refit.boat)
    heads = (head.format(unit=fmt.unit, force=words.LOG_FORCE[fmt.unit]) for head in words.LOG_HEADS)
    columns = tuple(ListColumn(head, share) for head, share in zip(heads, _SHARES, strict=True))
    rows = tuple(row for work in refit.work.runs.values() for row in _rows(refit, work, fmt))
    return RuledList("", columns, rows, "making-log", minimum=_ROW)


def _rows(refit: Refit, work: RunWork, fmt: LengthFormat) -> list[tuple[Cell, ...]]:
    blank = (Cell(""), Cell(""), Cell(""))
    run = Cell(work.run, f"log:{work.run}:run", weight="semibold")
    if is_held(work):
        return [(run, Cell(words.ON_HOLD, f"log:{work.run}:held", layer="HOLD"), Cell(""), *blank)]
    checks = (step.check for step in work.plan.work if step.check is not None)
    wanted: dict[str, Acceptance] = {check.measure: check for check in checks}

    def figure(line: LogLine) -> str:
        if line.figure is not None:
            return in_words(line.figure, fmt)
        check = wanted.get(words.LOG_MEASURES.get(line.step.code, ""))
        if check is None:
            return ""
        first = next(measured(check, mark_numbers(refit, work)))
        said = words.SENTENCES.get(first.text, words.WITH_FIGURE)
        return said.format(text=first.text, figure=first.figure)

    return [
        (
            run if number == 1 else Cell(work.run, f"log:{work.run}:run", layer="SECOND"),
            Cell(in_words(line.step, fmt), f"log:{work.run}:{number}:step"),
            Cell(figure(line), f"log:{work.run}:{number}"),
            *blank,
        )
        for number, line in enumerate(work.log, start=1)
    ]
