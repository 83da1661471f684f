"""The sheets of hole pass table, open gates and making log; on one sheet where they stand on one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import zip_longest

from geom.drafting.boat_view import SIDES
from geom.drafting.line_text import length, thimble_out
from geom.drafting.paper import Paper
from geom.drafting.ruling import RuledList, flow, list_height
from geom.drafting.sheet import Draft, list_area
from geom.figure import Item, Rect
from geom.refit import Refit
from geom.rigging.splice import practice
from geom.sheets.line_sheets import threading_text
from geom.sheets.line_sheets.threading_key import key
from geom.sheets.line_sheets.threading_lists import gates_list, hole_pass, making_log, with_signs
from geom.tables import numbers

_BETWEEN, _APART = 6.0, 6.0
# Heights of a row that is written into by hand, the tallest that stand on the sheet [mm].
_ROWS = (12.0, 10.0, 9.0, 8.0, 7.0, 6.0, 5.6)


def table_sheets(refit: Refit, paper: Paper) -> tuple[Draft, ...]:
    """Return the sheets of hole pass table, open gates and making log."""
    area = list_area(paper)
    tables = [ruled for ruled in (hole_pass(refit), gates_list(refit)) if ruled.rows]
    logs = [ruled for ruled in (making_log(refit, side) for side in SIDES) if ruled.rows]
    if tables and logs:
        used = math.fsum(list_height(table, area.width) + _BETWEEN for table in tables)
        rest = replace(area, top=area.top - used)
        log = _log_on_one(logs, rest)
        if log is not None:
            items = (*flow(tables, (area,), _BETWEEN)[0], *log)
            return (_draft(refit, paper, items, (*(table.tag for table in tables), logs[0].tag)),)
    drafts = []
    if tables:
        pages = flow(tables, (area,), _BETWEEN)
        names = tuple(table.tag for table in tables)
        drafts += [_draft(refit, paper, page, names, n, len(pages)) for n, page in enumerate(pages, start=1)]
    if logs:
        sheet = _log_on_one(logs, area)
        columns = [flow([log], (column,)) for log, column in zip(logs, _columns(area, len(logs)), strict=True)]
        pages = (sheet,) if sheet is not None else tuple(sum(page, ()) for page in zip_longest(*columns, fillvalue=()))
        drafts += [_draft(refit, paper, page, (logs[0].tag,), n, len(pages)) for n, page in enumerate(pages, start=1)]
    return tuple(drafts)


def _columns(area: Rect, count: int) -> tuple[Rect, ...]:
    """Return an area in columns side by side."""
    wide = (area.width - (count - 1) * _APART) / count
    lefts = [area.left + index * (wide + _APART) for index in range(count)]
    return tuple(Rect(left, area.bottom, left + wide, area.top) for left in lefts)


def _log_on_one(logs: Sequence[RuledList], area: Rect) -> tuple[Item, ...] | None:
    """Return the log in columns with the tallest rows that an area holds, None where it holds none."""
    columns = _columns(area, len(logs))
    for row in _ROWS:
        tall = [replace(log, minimum=row) for log in logs]
        if all(list_height(log, columns[0].width) <= area.height for log in tall):
            set_down = (flow([log], (column,))[0] for log, column in zip(tall, columns, strict=True))
            return tuple(item for items in set_down for item in items)
    return None


def _draft(
    refit: Refit, paper: Paper, items: Sequence[Item], shown: tuple[str, ...], number: int = 1, count: int = 1
) -> Draft:
    fmt = numbers(refit.boat)
    names = [threading_text.TABLE_NAMES[tag] for tag in shown]
    title = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    stop = length(practice("stop_clear"), fmt)
    lines = [line.format(stop=stop, unit=fmt.unit) for tag in shown for line in threading_text.TABLE_KEYS[tag]]
    steps = {line.step.code for work in refit.work.runs.values() for line in work.log}
    if "making-log" in shown and "log.pull_first" in steps:
        lines.append(threading_text.KEY_PULL)
    eyes = [
        eye.verdict for run in refit.placed.eyes.values() for hole in run.holes for eye in (hole.start, hole.finish)
    ]
    signs = threading_text.PASS_SIGNS.format(thimble=thimble_out(refit))
    return Draft(
        number="R9",
        name="making-log" if shown == ("making-log",) else "hole-pass",
        title=title + (threading_text.PART.format(number=number, count=count) if count > 1 else ""),
        subtitle=threading_text.LOG_KIND if shown == ("making-log",) else threading_text.TABLES_KIND,
        paper=paper,
        scale="none",
        items=(*with_signs(items), *key(paper, lines, signs, eyes if "hole-pass" in shown else ())),
        tolerance=threading_text.NO_TOLERANCE,
        description="Made-up ends through the holes, gates open, boxes for the log of the making.",
    )
