"""What is set and measured on board as ruled lists: adjusters while marking, push tests, boxes for the log."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from geom import vec
from geom.boat.model import Level, Side
from geom.data.table import datum
from geom.figure import Cell
from geom.refit import Refit
from geom.rules.measure_heights import levels, runs_at, sides
from geom.rules.measure_supports import support_points
from geom.runs.place import PlacedRun
from geom.runs.push_test import SpanPlace, sag_expected, tension_needed, widest_span
from geom.runs.run_line import run_line
from geom.runs.sag import sag_at_tension, tension_while_loaded
from geom.runs.settings import Setting, settings
from geom.schedules import numbers
from geom.sheets import words
from geom.sheets.ruled_list import ListColumn, RuledList
from geom.units import Numbers, decimal

# The two forces that editions of the rule ask for, the newer first.
FORCES = ("push test", "push test before 2014")
# Rows of the log: taller where few runs leave the room for it [mm].
_LOG_ROW, _LOG_ROW_OF_FEW, _FEW = 8.0, 14.0, 6


def adjusters(refit: Refit) -> RuledList:
    """Return every adjuster of every run end: at which opening it stands while the line is marked."""
    how = numbers(refit.boat)
    rows = []
    for run in refit.placed.runs.values():
        found = settings(refit.boat, run)
        rows += [_adjuster(run, setting, how) for setting in found] or [_no_adjuster(run)]
    columns = (
        ListColumn("RUN", 20), ListColumn("END", 20), ListColumn("AT", 36), ListColumn("ADJUSTER", 36),
        ListColumn("KIND", 50), ListColumn("LEAST", 20, "right"), ListColumn("MARK AT", 22, "right"),
        ListColumn("MOST", 20, "right"), ListColumn("OPENED BY", 25, "right"), ListColumn("PER STUD", 23, "right"),
        ListColumn("THREAD SHOWING", 38, "right"), ListColumn("THREAD", 24), ListColumn("HAND", 28),
        ListColumn("SET TO", 24),
    )  # fmt: skip
    return RuledList(words.SETTINGS.format(unit=how.unit), columns, tuple(rows), "settings", least=6.0)


def _adjuster(run: PlacedRun, setting: Setting, how: Numbers) -> tuple[Cell, ...]:
    tag = f"setting:{run.id}:{setting.end}:{setting.fitting}"
    at = run.names[0 if setting.end == "start" else -1]
    lengths = {
        "least": setting.least,
        "planned": setting.planned,
        "most": setting.most,
        "beyond_closed": setting.beyond_closed,
        "per_stud": setting.per_stud,
        "showing": setting.showing,
    }
    return (
        Cell(run.id, f"{tag}:run"),
        Cell(words.END[setting.end], f"{tag}:end"),
        Cell(at, f"{tag}:at"),
        Cell(setting.fitting, f"{tag}:fitting"),
        Cell(setting.family, f"{tag}:family"),
        *(Cell(length(value, how), f"{tag}:{key}") for key, value in lengths.items()),
        Cell(setting.thread or "-", f"{tag}:thread"),
        Cell(setting.hand or "-", f"{tag}:hand"),
        Cell(""),
    )


def _no_adjuster(run: PlacedRun) -> tuple[Cell, ...]:
    return (Cell(run.id, f"setting:{run.id}:run"), Cell("-"), Cell("-"), Cell(words.NO_ADJUSTER), *[Cell("-")] * 10)


@dataclass(frozen=True)
class PushCase:
    """A span to push and what to expect [mm, N]; None where nobody can tell.

    `needed_least` is the set tension on rigid ends with the line sliding free (0 where it passes slack),
    `needed_most` where the ends may give; `gives_least` and `gives_most` the sag at the stated tension.
    """

    run: str
    span: int
    start: str
    end: str
    supports: float
    force: float
    limit: float
    needed_least: float | None
    needed_most: float
    set_to: float | None
    gives_least: float | None
    gives_most: float | None
    straddles: bool


def push_cases(refit: Refit) -> tuple[PushCase, ...]:
    """Return the widest span aft of the mast on each side and level, in both readings where they differ.

    Empty where the file does not say where the mast stands.
    """
    mast = refit.boat.boat.mast_x
    if mast is None:
        return ()
    placed = refit.placed
    found = []
    for side in sides(placed):
        for rank, level in enumerate(levels(placed, side)):
            limit = datum("person_loads", case="push test sag upper" if rank == 0 else "push test sag other").value
            widest = widest_span(tuple(spans_at(refit, side, level)), mast)
            for span in dict.fromkeys((widest.wholly_aft, widest.with_straddling)):
                if span is not None:
                    forces = (datum("person_loads", case=case).value for case in FORCES)
                    found += [_case(refit, span, force, limit, mast) for force in forces]
    return tuple(found)


def spans_at(refit: Refit, side: Side, level: Level) -> Iterator[SpanPlace]:
    """Yield every span of a level by the distance of its supports."""
    for run in runs_at(refit.placed, side, level):
        for index, (a, b) in enumerate(pairwise(support_points(refit.placed, run))):
            yield SpanPlace(run.id, index, vec.distance(a, b), min(a[0], b[0]), max(a[0], b[0]))


def _case(refit: Refit, span: SpanPlace, force: float, limit: float, mast: float) -> PushCase:
    run = refit.placed.runs[span.run]
    line, own, tension = run_line(refit.placed, run), run.spans[span.span], run.told.set_tension
    by_hand = datum("person_loads", case="set tension by hand at most").value
    least = gives_least = None
    most = tension_while_loaded(force, own, limit)
    gives_most = None if tension is None else sag_at_tension(force, own, tension)
    if line.stiffness is not None:
        needed = tension_needed(line.line(line.stiffness.most), span.span, force, limit, by_hand)
        least, most = needed.lower or 0.0, needed.upper
        if tension is not None:
            gives_least = sag_expected(line.line(line.stiffness.most), span.span, force, tension).free
            gives_most = sag_expected(line.line(line.stiffness.least), span.span, force, tension).ends_giving
    return PushCase(
        run=run.id, span=span.span + 1, start=run.names[span.span], end=run.names[span.span + 1],
        supports=span.length, force=force, limit=limit, needed_least=least, needed_most=most, set_to=tension,
        gives_least=gives_least, gives_most=gives_most, straddles=span.forward < mast,
    )  # fmt: skip


def push_list(refit: Refit) -> RuledList:
    """Return the push tests with the tension they want, what to expect, and boxes for what was found."""
    how = numbers(refit.boat)
    rows = tuple(_push_row(case, how) for case in push_cases(refit))
    columns = (
        ListColumn("RUN", 19), ListColumn("SPAN FROM", 32), ListColumn("TO", 32), ListColumn("SUPPORTS", 24, "right"),
        ListColumn("PUSH N", 18, "right"), ListColumn("LIMIT", 18, "right"),
        ListColumn("SET N, RIGID ENDS", 27, "right"), ListColumn("SET N, ENDS GIVE", 27, "right"),
        ListColumn("STATED N", 26, "right"), ListColumn("GIVES AT LEAST", 27, "right"),
        ListColumn("GIVES AT MOST", 27, "right"), ListColumn("MAST", 22),
        ListColumn("FOUND", 28), ListColumn("DATE, BY", 42),
    )  # fmt: skip
    return RuledList(words.PUSHES.format(unit=how.unit), columns, rows, "pushes", least=6.5)


def _push_row(case: PushCase, how: Numbers) -> tuple[Cell, ...]:
    tag = f"push:{case.run}:{case.span}:{case.force:.0f}"
    return (
        Cell(case.run, f"{tag}:run"),
        Cell(case.start, f"{tag}:start"),
        Cell(case.end, f"{tag}:end"),
        Cell(length(case.supports, how), f"{tag}:supports"),
        Cell(decimal(case.force, 0), f"{tag}:force"),
        Cell(length(case.limit, how), f"{tag}:limit"),
        Cell(words.CANNOT_TELL if case.needed_least is None else _needed(case.needed_least), f"{tag}:needed_least"),
        Cell(decimal(case.needed_most, 0), f"{tag}:needed_most"),
        Cell("not stated" if case.set_to is None else decimal(case.set_to, 0), f"{tag}:set_to"),
        Cell(_told(case.gives_least, how), f"{tag}:gives_least"),
        Cell(_told(case.gives_most, how), f"{tag}:gives_most"),
        Cell(words.MAST_BESIDE if case.straddles else words.MAST_FORWARD, f"{tag}:mast"),
        Cell(""),
        Cell(""),
    )


def _needed(tension: float) -> str:
    return decimal(tension, 0) if tension > 0.0 else words.SLACK_PASSES


def _told(value: float | None, how: Numbers) -> str:
    return words.CANNOT_TELL if value is None else length(value, how)


def length(value: float | None, how: Numbers) -> str:
    """Return a length as it stands on paper; a dash where it is not told."""
    return "-" if value is None else decimal(value / how.mm, how.decimals)


def log_list(refit: Refit) -> RuledList:
    """Return boxes for each run: date, tension, deflection and hand, when set and at each tightening again."""
    rows = []
    for run in refit.placed.runs.values():
        stated = run.told.set_tension
        rows.append((
            Cell(run.id, f"log:{run.id}:run"),
            Cell("not stated" if stated is None else decimal(stated, 0), f"log:{run.id}:stated"),
            *[Cell("")] * (len(words.LOG_TIMES) * len(words.LOG_BOXES)),
        ))  # fmt: skip
    boxes = [
        ListColumn(f"{time} {box}" if index == 0 else box, share)
        for time in words.LOG_TIMES
        for index, (box, share) in enumerate(zip(words.LOG_BOXES, (34, 17, 17, 18), strict=True))
    ]
    columns = (ListColumn("RUN", 20), ListColumn("STATED N", 23, "right"), *boxes)
    title = words.LOG.format(unit=numbers(refit.boat).unit)
    least = _LOG_ROW_OF_FEW if len(rows) <= _FEW else _LOG_ROW
    return RuledList(title, columns, tuple(rows), "log", least)
