"""Ruled lists for work on board: adjusters while marking, boxes for the log."""

from __future__ import annotations

from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.mechanics.tension import marking_range
from geom.placement.place import PlacedRun
from geom.refit import Refit
from geom.rigging.lengths import is_rope
from geom.rigging.settings import Setting, settings
from geom.sheets.setting import text as words
from geom.sheets.setting.push_cases import (
    deflection_text,
    force_text,
    is_held,
    length,
    line_tests,
    push_named,
    set_text,
)
from geom.sheets.setting.push_lists import set_key
from geom.tables import numbers
from geom.units import LengthFormat, decimal, pounds_force

# Row heights: taller where few rows leave room [mm].
_FEW = 6
_LOG_ROW, _LOG_ROW_OF_FEW = 6.4, 14.0
_ADJUSTER_ROW, _ADJUSTER_ROW_OF_FEW = 5.6, 8.5
# Columns of the adjusters that are left out where no row fills them.
_OPTIONAL = ("studs", "per_stud", "showing", "thread", "hand")


def adjusters(refit: Refit) -> RuledList:
    """Return every adjuster of every run end with its opening while the line is marked."""
    fmt = numbers(refit.boat)
    rows = _adjuster_rows(refit, fmt)
    shown = list(rows[0])
    columns = {
        "run": ListColumn("RUN", 40 if _any_held(refit) else 18), "end": ListColumn("END", 26),
        "at": ListColumn("AT", 30),
        "adjuster": ListColumn("ADJUSTER", 48), "by": ListColumn("ADJUSTS BY", 36),
        "min": ListColumn("MIN", 20, "right"), "planned": ListColumn("SET AT", 20, "right"),
        "max": ListColumn("MAX", 20, "right"), "beyond_closed": ListColumn("OPENED BY", 24, "right"),
        "studs": ListColumn("STUDS", 16, "right"), "per_stud": ListColumn("PER STUD", 22, "right"),
        "showing": ListColumn("THREAD SHOWING", 34, "right"), "thread": ListColumn("THREAD", 22),
        "hand": ListColumn("HAND", 28), "set_to": ListColumn(f"LEFT AT ({fmt.unit})", 34),
    }  # fmt: skip
    cells = tuple(tuple(row[key] for key in shown) for row in rows)
    minimum = _ADJUSTER_ROW_OF_FEW if len(rows) <= _FEW else _ADJUSTER_ROW
    title = words.SETTINGS.format(unit=fmt.unit)
    return RuledList(title, tuple(columns[key] for key in shown), cells, "settings", minimum)


def _any_held(refit: Refit) -> bool:
    return any(is_held(refit, run) for run in refit.placed.runs)


def _run_words(refit: Refit, run: str) -> str:
    return words.HELD.format(run=run) if is_held(refit, run) else run


def _stated(cell: Cell) -> bool:
    return cell.text not in ("", words.NOT_APPLICABLE)


def _adjuster_rows(refit: Refit, fmt: LengthFormat) -> list[dict[str, Cell]]:
    """Return the cells of each row by column, without empty columns."""
    rows = []
    for run in refit.placed.runs.values():
        found = settings(refit.boat, run)
        name = _run_words(refit, run.id)
        rows += [_adjuster(run, name, setting, fmt) for setting in found] or [_no_adjuster(run, name)]
    shown = [key for key in rows[0] if key not in _OPTIONAL or any(_stated(row[key]) for row in rows)]
    return [{key: row[key] for key in shown} for row in rows]


def _adjuster(run: PlacedRun, name: str, setting: Setting, fmt: LengthFormat) -> dict[str, Cell]:
    ranged = setting.minimum is not None or setting.maximum is not None
    screw = setting.kind == "screw" and ranged
    known = setting.fitting in setting.family
    texts = {
        "run": name,
        "end": words.END[setting.end],
        "at": run.names[0 if setting.end == "start" else -1],
        "adjuster": setting.family if known else f"{setting.family} ({setting.fitting})",
        "by": _adjusts_by(setting) if ranged else words.NO_RANGE,
        "min": length(setting.minimum, fmt),
        "planned": length(setting.planned, fmt),
        "max": length(setting.maximum, fmt),
        "beyond_closed": length(setting.beyond_closed, fmt),
        "studs": str(setting.studs) if screw else words.NOT_APPLICABLE,
        "per_stud": length(setting.per_stud, fmt) if screw else words.NOT_APPLICABLE,
        "showing": length(setting.showing, fmt) if screw else words.NOT_APPLICABLE,
        "thread": (setting.thread or "") if screw else words.NOT_APPLICABLE,
        "hand": (setting.hand or "") if screw else words.NOT_APPLICABLE,
        "set_to": "",
    }
    tag = f"setting:{run.id}:{setting.end}:{setting.fitting}"
    return {key: Cell(text, f"{tag}:{key}" if text else "") for key, text in texts.items()}


def _adjusts_by(setting: Setting) -> str:
    if setting.kind == "gap":
        return words.ADJUSTS["gap"]
    return words.ADJUSTS["both" if setting.studs == 2 else "one"]


def _no_adjuster(run: PlacedRun, name: str) -> dict[str, Cell]:
    keys = (
        "run", "end", "at", "adjuster", "by", "min", "planned", "max", "beyond_closed", "studs", "per_stud",
        "showing", "thread", "hand", "set_to",
    )  # fmt: skip
    given = {"run": Cell(name, f"setting:{run.id}:run"), "adjuster": Cell(words.NO_ADJUSTER)}
    return {key: given.get(key, Cell(words.NOT_APPLICABLE)) for key in keys}


def log_list(refit: Refit) -> RuledList:
    """Return the tensions of each run, and boxes for date, tension, deflection and hand, when set and retightened."""
    fmt, tests = numbers(refit.boat), line_tests(refit)
    blank = [Cell("")] * (len(words.LOG_TIMES) * len(words.LOG_BOXES))
    rows = []
    for run in refit.placed.runs.values():
        test, tag, tensions = tests.get(run.id), f"log:{run.id}", refit.loads.runs[run.id].tensions
        head = [
            Cell(_run_words(refit, run.id), f"{tag}:run"),
            Cell(words.LOG_FORWARD if test is None else f"{test.start} to {test.end}", f"{tag}:span"),
            Cell(force_text(tensions.marking_tension, fmt), f"{tag}:marked_at"),
            Cell(set_text(tensions, fmt), f"{tag}:set_to"),
            Cell("" if test is None else length(test.limit, fmt), f"{tag}:limit"),
            Cell("" if test is None else deflection_text(test.deflection, fmt), f"{tag}:deflection"),
        ]
        rows.append((*head, *blank))
    force, alone = words.FORCE[fmt.unit], words.FORCE_ALONE[fmt.unit]
    columns = [
        ListColumn("RUN", 38 if _any_held(refit) else 17), ListColumn("TEST SPAN", 52),
        ListColumn(f"MARK AT {force}", 25, "right"), ListColumn(f"SET TO {force}", 23, "right"),
        ListColumn(f"LIMIT {fmt.unit}", 24, "right"), ListColumn("DEFLECTION", 29, "right"),
    ]  # fmt: skip
    groups = (("", len(columns)), *((time, len(words.LOG_BOXES)) for time in words.LOG_TIMES))
    for _ in words.LOG_TIMES:
        columns += [
            ListColumn(box.format(force=alone), share)
            for box, share in zip(words.LOG_BOXES, (21, 13, 18, 13), strict=True)
        ]
    title = words.LOG.format(unit=fmt.unit, force=alone, push=push_named(refit))
    minimum = _LOG_ROW_OF_FEW if len(rows) <= _FEW else _LOG_ROW
    return RuledList(title, tuple(columns), tuple(rows), "log", minimum, groups)


def _marking_range(fmt: LengthFormat) -> str:
    newtons = " to ".join(decimal(one, 0) for one in marking_range())
    if fmt.unit == "mm":
        return f"{newtons} N"
    return f"{' to '.join(pounds_force(one) for one in marking_range())} lbf ({newtons} N)"


def setting_key(refit: Refit, pushes_on_this_sheet: bool) -> list[str]:
    """Return the key to the headings and terms used in the adjusters and the log.

    Args:
        refit: the calculated boat.
        pushes_on_this_sheet: whether the push tests are below, so that the log need not refer to their sheet.
    """
    fmt, key = numbers(refit.boat), words.ADJUSTER_KEY
    rows = _adjuster_rows(refit, fmt)
    used = {cell.text for row in rows for cell in row.values()}
    kinds = {setting.kind for run in refit.placed.runs.values() for setting in settings(refit.boat, run)}
    lines = [key["opened"]]
    for column in ("per_stud", "showing"):
        if column in rows[0]:
            lines.append(key[column])
    lines.append(key["set_to"])
    if words.NO_RANGE in used:
        lines.append(key["no_range"])
    blank = any(not cell.text for row in rows for name, cell in row.items() if name != "set_to")
    marks = [words.HELD_KEY] if _any_held(refit) else []
    marks += [key["empty"]] if blank else []
    lines.append(" ".join([*marks, key["not_applicable"]] if words.NOT_APPLICABLE in used else marks))
    if not pushes_on_this_sheet:
        lines += set_key(refit)
    lines.append(words.MARK_KEY.format(range=_marking_range(fmt)))
    if refit.boat.boat.mast_x is None:
        lines.append(words.LOG_KEY_NO_MAST)
    if not pushes_on_this_sheet:
        lines.append(words.LOG_KEY)
    rope = any(is_rope(line) for line in refit.boat.lines.values())
    lines.append(words.ROPE_KEY if rope else words.TIMES_KEY)
    last = [words.LASHING_KEY] if "gap" in kinds else []
    lines.append(" ".join([*last, words.STUD_KEY] if "screw" in kinds else last))
    return [line for line in lines if line]
