"""The adjusters as they stand while the line is marked, and the key to them."""

from __future__ import annotations

from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.mechanics.tension import marking_range
from geom.placement.place import PlacedRun
from geom.refit import Refit
from geom.rigging.lengths import is_rope
from geom.rigging.settings import Setting, settings
from geom.sheets.setting import text as words
from geom.sheets.setting.push_text import length
from geom.tables import numbers
from geom.tables.push_cases import is_held
from geom.units import LengthFormat, decimal, pounds_force

# Columns of the adjusters that are left out where no row fills them.
_OPTIONAL = ("min", "max", "beyond_closed", "studs", "per_stud", "showing", "thread", "hand")


def adjusters(refit: Refit) -> RuledList:
    """Return the adjusters with their opening while the line is marked, those that are set alike in one row."""
    fmt = numbers(refit.boat)
    rows = _adjuster_rows(refit, fmt)
    shown = list(rows[0]) if rows else []
    columns = {
        "adjuster": ListColumn("ADJUSTER", 38), "at": ListColumn("AT", 150), "by": ListColumn("BY", 30),
        "min": ListColumn("MIN", 18, "right"), "planned": ListColumn("SET AT", 18, "right"),
        "max": ListColumn("MAX", 18, "right"), "beyond_closed": ListColumn("OPENED BY", 22, "right"),
        "studs": ListColumn("STUDS", 16, "right"), "per_stud": ListColumn("PER STUD", 22, "right"),
        "showing": ListColumn("THREAD SHOWING", 34, "right"), "thread": ListColumn("THREAD", 22),
        "hand": ListColumn("HAND", 28),
    }  # fmt: skip
    cells = tuple(tuple(row[key] for key in shown) for row in rows)
    return RuledList(words.SETTINGS.format(unit=fmt.unit), tuple(columns[key] for key in shown), cells, "settings")


def _adjustable(refit: Refit, run: PlacedRun) -> list[Setting]:
    """Return what adjusts a run: all that has a range."""
    found = settings(refit.boat, run)
    return [one for one in found if one.minimum is not None or one.maximum is not None]


def _stated(text: str) -> bool:
    return text not in ("", words.NOT_APPLICABLE)


def _adjuster_rows(refit: Refit, fmt: LengthFormat) -> list[dict[str, Cell]]:
    """Return the cells of each row by column, without empty columns."""
    alike: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for run in refit.placed.runs.values():
        for setting in _adjustable(refit, run):
            at = run.names[0 if setting.end == "start" else -1]
            place = words.HELD.format(run=at) if is_held(refit, run.id) else at
            alike.setdefault(tuple(_adjuster(setting, fmt).items()), []).append(place)
    rows = [
        {"adjuster": texts["adjuster"], "at": ", ".join(dict.fromkeys(places)), **texts}
        for texts, places in ((dict(found), places) for found, places in alike.items())
    ]
    shown = [key for key in rows[0] if key not in _OPTIONAL or any(_stated(row[key]) for row in rows)] if rows else []
    return [
        {key: Cell(row[key], f"setting:{number}:{key}" if row[key] else "") for key in shown}
        for number, row in enumerate(rows, start=1)
    ]


def _adjuster(setting: Setting, fmt: LengthFormat) -> dict[str, str]:
    screw = setting.kind == "screw"
    known = setting.fitting in setting.family
    return {
        "adjuster": setting.family if known else f"{setting.family} ({setting.fitting})",
        "by": _adjusts_by(setting),
        "min": length(setting.minimum, fmt),
        "planned": length(setting.planned, fmt),
        "max": length(setting.maximum, fmt),
        "beyond_closed": length(setting.beyond_closed, fmt),
        "studs": str(setting.studs) if screw else words.NOT_APPLICABLE,
        "per_stud": length(setting.per_stud, fmt) if screw else words.NOT_APPLICABLE,
        "showing": length(setting.showing, fmt) if screw else words.NOT_APPLICABLE,
        "thread": (setting.thread or "") if screw else words.NOT_APPLICABLE,
        "hand": (setting.hand or "") if screw else words.NOT_APPLICABLE,
    }


def _adjusts_by(setting: Setting) -> str:
    if setting.kind == "gap":
        return words.ADJUSTS["gap"]
    return words.ADJUSTS["both" if setting.studs == 2 else "one"]


def _marking_range(fmt: LengthFormat) -> str:
    newtons = " to ".join(decimal(one, 0) for one in marking_range())
    if fmt.unit == "mm":
        return f"{newtons} N"
    return f"{' to '.join(pounds_force(one) for one in marking_range())} lbf [{newtons} N]"


def setting_key(refit: Refit) -> list[str]:
    """Return the key to the adjusters, the tensions and the times at which they are looked at again.

    Args:
        refit: the calculated boat.
    """
    fmt, key = numbers(refit.boat), words.ADJUSTER_KEY
    rows = _adjuster_rows(refit, fmt)
    kinds = {setting.kind for run in refit.placed.runs.values() for setting in _adjustable(refit, run)}
    short = [key[column] for column in ("beyond_closed", "per_stud", "showing") if rows and column in rows[0]]
    lines = [" ".join(short)] if short else []
    lines.append(words.MARK_KEY.format(range=_marking_range(fmt)))
    rope = any(is_rope(line) for line in refit.boat.lines.values())
    times = [words.ROPE_KEY if rope else words.TIMES_KEY, *([words.LASHING_KEY] if "gap" in kinds else [])]
    last = [words.TIMES_SOURCE.format(times="; ".join(times)), *([words.STUD_KEY] if "screw" in kinds else [])]
    return [*lines, " ".join(last)]
