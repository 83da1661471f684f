"""What the owner looks at and when, by place: from published guidance and common practice, with the source of each.

Source: data/inspections.csv, data/service_life.csv.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from geom.data import table
from geom.data.table import Datum
from geom.errors import OutsideTableError
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, line_end, run_end
from geom.placement.place import PlacedRun
from geom.refit import Refit
from geom.remark import Remark, Stated
from geom.rigging.lengths import is_rope
from geom.rigging.terminals import is_terminal

_MONTHS_A_YEAR = 12
# What is looked at, by the key of its row in data/inspections.csv.
CHECKS: dict[str, Remark] = {
    "lashings": Remark("check.lashings"),
    "rope": Remark("check.rope"),
    "rope_tension": Remark("check.rope_tension"),
    "swages": Remark("check.swages"),
    "wire": Remark("check.wire"),
    "hooks": Remark("check.hooks"),
    "turnbuckles": Remark("check.turnbuckles"),
    "holes": Remark("check.holes"),
    "bases": Remark("check.bases"),
}
# The ends of a run in the names of places, on papers and in readings.
END: dict[Where, str] = {"start": "forward", "finish": "after"}


@dataclass(frozen=True)
class OwnerCheck:
    """One thing to look at or renew: what, where, every how many months, the day it is due next, its source.

    `months` is None for what is renewed once; `due` is None where the day to count from is not known. `sure` is the
    confidence in the figure.
    """

    key: str
    what: Remark
    places: tuple[str, ...]
    months: int | None
    due: str | None
    source: Stated
    sure: str


def owner_checks(refit: Refit, since: str | None, made: str | None) -> tuple[OwnerCheck, ...]:
    """Return what is to be looked at on a boat, then what is to be renewed.

    Args:
        refit: the calculated boat.
        since: day of the handover or of the last inspection, year-month-day; None where it is not known.
        made: day on which the lines were made, from which their age counts; None where it is not known.
    """
    return (*_looked_at(refit, since), *_renewed(refit, made))


def made_runs(refit: Refit) -> tuple[PlacedRun, ...]:
    """Return the runs that are not on hold."""
    return tuple(run for run in refit.placed.runs.values() if refit.work.runs[run.id].headline is not None)


def later(day: str, months: int) -> str:
    """Return the day so many months later, the last of its month where it has no such day.

    Args:
        day: year-month-day.
        months: whole months.
    """
    before = date.fromisoformat(day)
    years, month = divmod(before.month - 1 + months, _MONTHS_A_YEAR)
    year = before.year + years
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(before.day, last)).isoformat()


def _looked_at(refit: Refit, since: str | None) -> Iterator[OwnerCheck]:
    for row in table.rows("inspections"):
        places = tuple(_places(refit, row["applies_to"]))
        if places:
            months = int(row["value"])
            due = None if since is None else later(since, months)
            yield OwnerCheck(row["key"], CHECKS[row["key"]], places, months, due, row["source"], row["sure"])


def _places(refit: Refit, applies_to: str) -> Iterator[str]:
    """Yield the places of a row: runs, their ends, holes or stanchions."""
    boat = refit.boat
    if applies_to == "post":
        yield from (post.id for post in boat.posts)
        return
    for run in made_runs(refit):
        line = boat.lines[run.spec.line]
        if applies_to == "hole":
            yield from (passage.hole.id for passage in run.passages)
        elif applies_to == "wire":
            if not is_rope(line):
                yield run.id
        elif applies_to == line.material:
            yield run.id
        else:
            for where in BOTH:
                terminal = applies_to == "wire terminal" and is_terminal(line_end(boat, run, where))
                if terminal or applies_to in (boat.fittings[name].family for name in run_end(run, where).fittings):
                    yield f"{run.id} {END[where]}"


def _renewed(refit: Refit, made: str | None) -> Iterator[OwnerCheck]:
    """Yield the age at which the lines of each material are renewed, where the data have one."""
    by_material: dict[str, list[str]] = {}
    for run in made_runs(refit):
        by_material.setdefault(refit.boat.lines[run.spec.line].material, []).append(run.id)
    for material, runs in by_material.items():
        low, high = _age(material, "min"), _age(material, "max")
        if low is None:
            continue
        what = Remark("check.renew_from", material=material, min=low.value)
        if high is not None:
            what = Remark("check.renew_rope", material=material, min=low.value, max=high.value)
        due = None if made is None else later(made, round(low.value * _MONTHS_A_YEAR))
        yield OwnerCheck(f"renew {material}", what, tuple(runs), None, due, low.source, low.sure)


def _age(material: str, quantity: str) -> Datum | None:
    try:
        return table.datum("service_life", material=material, quantity=quantity)
    except OutsideTableError:
        return None
