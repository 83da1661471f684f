"""Readings as a table of three columns, PLACE, WHAT and VALUE, for the as-built record: of the making or of a season.

A place is a run, a stanchion, any other place that is looked at, or `record` for date, by and tool. Of a run
`finished`, `first_eye`, `eye_marks`, `tension`, `lot`, `certificate` and `note` are its own, any other word is one of
its adjusters.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from geom.boat.faults import closest
from geom.boat.model import Boat, Run
from geom.boat.quantity import Scalar
from geom.boat.tree import Location
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

    Returns:
        The tree; each value has the line of its row.

    Raises:
        InputError: no such headings, no date, maker or tool, a row without a value, a reading given twice, a place or
            word that the boat has not.
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
        if not place or not what or not value:
            faults.append(Fault("a row without place, what or value", key, line, value, "all three"))
        elif target is None and place not in words:
            faults.append(_no_such_place(key, line, place, what, boat, words))
        elif target is None:
            valid = ", ".join((*words[place], *_ANYWHERE))
            faults.append(Fault("no reading of that word there", key, line, what, valid))
        elif target[1] in target[0]:
            faults.append(Fault("this reading is given twice", key, line, value, "one row for it"))
        else:
            target[0][target[1]] = Scalar(value, line)
    missing = [key for key in (_OF_HEAD[:2] if season else _OF_HEAD) if key not in found["record"]]
    if missing and not faults:
        example = "a row each, such as record,date,2026-05-01"
        faults.append(Fault(f"the table states no {', no '.join(missing)}", _HEAD, line=1, valid=example))
    if faults:
        raise InputError(source, faults)
    return found


def lines_of(tree: Mapping[str, Any], place: Location = ()) -> dict[Location, int]:
    """Return the line of each reading of a table by its location in a tree.

    Args:
        tree: a tree with values as `read_readings` returns them.
        place: location of the tree in a larger one.
    """
    found: dict[Location, int] = {}
    for key, value in tree.items():
        if isinstance(value, Mapping):
            found |= lines_of(value, (*place, key))
        elif isinstance(value, Scalar):
            found[(*place, key)] = value.line
    return found


def _no_such_place(key: str, line: int, place: str, what: str, boat: Boat, words: dict[str, tuple[str, ...]]) -> Fault:
    """Return the fault of a place that the boat has not: no run or no stanchion, by the word that is read there."""
    runs, posts = [run.id for run in boat.runs], [post.id for post in boat.posts]
    if any(what in words[run] for run in runs) and what not in _OF_POSTS:
        return Fault("no such run in the boat file", key, line, place, closest(place, runs))
    if what in _OF_POSTS and not any(what in words[run] for run in runs):
        return Fault("no such stanchion in the boat file", key, line, place, closest(place, posts))
    return Fault("no such run or stanchion in the boat file", key, line, place, closest(place, [*runs, *posts]))


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
