"""Readings as a table of three columns, PLACE, WHAT and VALUE, for the as-built record: of the making or of a season.

A place is a run, a stanchion, any other place that is looked at, or `record` for date, by and tool. Of a run
`finished`, `first_eye`, `eye_marks`, `tension`, `lot`, `certificate` and `note` are its own, any other word is one of
its adjusters.
"""

from __future__ import annotations

from typing import Any

from geom.boat.model import Boat, Run
from geom.errors import Fault, InputError
from geom.intake.as_built import PostReading, RunRecord, SeasonRun
from geom.intake.tables.grid import Grid, read_csv

HEADINGS = ("PLACE", "WHAT", "VALUE")
_HEAD = "record"
_OWN = tuple(key for key in RunRecord.model_fields if key != "settings")
_OF_SEASON = tuple(key for key in SeasonRun.model_fields if key != "settings")
_OF_POSTS = tuple(PostReading.model_fields)
_OF_HEAD = ("date", "by", "tool")
_ANYWHERE = ("seen", "photograph")


def read_readings(data: bytes, source: str, boat: Boat, season: bool = False) -> dict[str, Any]:
    """Return the readings of a table as a tree: record, runs, posts, seen, photographs.

    Args:
        data: the bytes of the CSV file.
        source: its name, for messages.
        boat: the boat they belong to.
        season: whether they are of a later season, and not of the making.

    Raises:
        InputError: no such headings, a row without a value, a reading given twice, a word that the place has not.
    """
    grid = read_csv(data, source, "readings")
    rows = _rows(grid, source)
    runs = {run.id: (*(_OF_SEASON if season else _OWN), *_adjusters(run)) for run in boat.runs}
    words = {_HEAD: _OF_HEAD, **runs, **{post.id: _OF_POSTS for post in boat.posts}}
    found: dict[str, Any] = {"record": {}, "runs": {}, "posts": {}, "seen": {}, "photographs": {}}
    faults = []
    for line, place, what, value in rows:
        key = f"{place} {what}"
        target = _target(found, place, what, words, set(runs))
        valid = ", ".join((*words[place], *_ANYWHERE) if place in words else _ANYWHERE)
        if not place or not what or not value:
            faults.append(Fault("a row without place, what or value", key, line, value, "all three"))
        elif target is None:
            faults.append(Fault("no reading of that word there", key, line, what, valid))
        elif target[1] in target[0]:
            faults.append(Fault("this reading is given twice", key, line, value, "one row for it"))
        else:
            target[0][target[1]] = value
    if faults:
        raise InputError(source, faults)
    return found


def _rows(grid: Grid, source: str) -> list[tuple[int, str, str, str]]:
    """Return line, place, what and value of each row under the headings."""
    if not grid.rows or tuple(cell.text.upper() for cell in grid.rows[0][:3]) != HEADINGS:
        read = ", ".join(cell.text for cell in grid.rows[0]) if grid.rows else "nothing"
        raise InputError(source, [Fault("not the headings of readings", line=1, read=read, valid=", ".join(HEADINGS))])
    found = []
    for row in grid.rows[1:]:
        texts = [cell.text for cell in row[:3]] + ["", "", ""]
        found.append((row[0].row, texts[0], texts[1].lower() if texts[0] == _HEAD else texts[1], texts[2]))
    return found


def _adjusters(run: Run) -> tuple[str, ...]:
    """Return the words of the fittings of a run; one at both ends is named with its end as well."""
    ends = (("start", run.start.fittings), ("finish", run.finish.fittings))
    return tuple(word for end, names in ends for name in names for word in (name, f"{name} {end}"))


def _target(
    found: dict[str, Any], place: str, what: str, words: dict[str, tuple[str, ...]], runs: set[str]
) -> tuple[dict[str, Any], str] | None:
    """Return the part of the tree that a reading goes into, and its key there; None where it has no place."""
    if what == "photograph":
        return found["photographs"], place
    if what == "seen":
        return found["seen"], place
    if what not in words.get(place, ()):
        return None
    if place == _HEAD:
        return found["record"], what
    if place not in runs:
        return found["posts"].setdefault(place, {}), what
    run = found["runs"].setdefault(place, {})
    return (run, what) if what in _OWN else (run.setdefault("settings", {}), what)
