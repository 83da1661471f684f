"""A log of the making, YAML as the page writes it or a table of readings, taken into the as-built record."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from geom.boat.tree import Tree, read_tree
from geom.errors import Fault, InputError
from geom.intake.as_built import AsBuilt, as_built_of, blank_as_built, read_as_built
from geom.intake.readings_table import lines_of, read_readings
from geom.intake.record_edit import with_readings
from geom.refit import Refit

_HEAD = ("date", "by", "tool")
_LENGTHS = ("finished", "eye_marks", "first_eye")
_BARE = re.compile(r"\d+(\.\d+)?")


def read_log(data: bytes, source: str, refit: Refit) -> dict[str, Any]:
    """Return a log as parts of a record, its lengths with their units, its eye marks as laid off by this boat's data.

    Args:
        data: the bytes of the log, YAML, or CSV where the name ends so.
        source: its name, for messages.
        refit: the calculated boat.

    Raises:
        InputError: the log cannot be used, is of another boat, or states no date, maker or tool.
    """
    if source.lower().endswith(".csv"):
        table = read_readings(data, source, refit.boat)
        head, found = _checked(table, source, refit)
    else:
        read_as_built(data, source, refit.boat)
        found = _as_plain(read_tree(data, source).root)
        head = found.pop("as_built")
        if head["boat"] != refit.boat.boat.name:
            fault = Fault("the log is of another boat", "as_built.boat", read=head["boat"], valid=refit.boat.boat.name)
            raise InputError(source, [fault])
        _with_units(found)
    if head["data_sha256"] == refit.loaded.data_sha256:
        _lay_off(found, refit)
    return {"as_built": head, **{key: value for key, value in found.items() if key not in ("format", "units")}}


def _checked(table: dict[str, Any], source: str, refit: Refit) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return head and readings of a table, read once as the record that they go into, so that a fault has its line."""
    hashed, boat = refit.loaded.data_sha256, refit.boat
    head = {**table.pop("record"), "data_sha256": hashed}
    root = {
        "format": "1",
        "units": {"length": boat.units.length or "mm"},
        "as_built": {**head, "boat": boat.boat.name, "revision": boat.revision.mark},
        **{key: value for key, value in table.items() if value},
    }
    as_built_of(Tree(root, lines_of(root)), source, boat)
    return _as_plain(head), _as_plain(table)


def _as_plain(node: Any) -> Any:
    if isinstance(node, dict):
        return {str(key): _as_plain(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_as_plain(value) for value in node]
    return None if node is None else str(node)


def _with_units(found: dict[str, Any]) -> None:
    """Give bare lengths the unit that the log declares, as the record may declare another."""
    unit = (found.get("units") or {}).get("length")
    for entry in (found.get("runs") or {}).values():
        for part in (entry or {}, (entry or {}).get("settings") or {}):
            for key, value in part.items():
                if unit and (key in _LENGTHS or part is not entry) and _is_bare(value):
                    part[key] = f"{value} {unit}"


def _is_bare(value: Any) -> bool:
    return isinstance(value, str) and _BARE.fullmatch(value) is not None


def _lay_off(found: dict[str, Any], refit: Refit) -> None:
    """Add the distance between the eye marks of each first eye, as the sheets of these data have it."""
    for run, entry in (found.get("runs") or {}).items():
        laid = refit.work.runs[run].eye_to_eye
        if entry and entry.get("first_eye") and not entry.get("eye_marks") and laid is not None:
            entry["eye_marks"] = f"{laid:.1f} mm"


def taken_in(
    text: str | None, source: str, refit: Refit, log: Mapping[str, Any], replace: bool = False
) -> tuple[str, AsBuilt]:
    """Return the record of the boat with a log taken in, its comments kept, and what it then holds.

    Lines of a log that differs in date or maker from the record have their own. A first log begins the record.

    Args:
        text: of the record so far, None where there is none.
        source: its name, for messages.
        refit: the calculated boat.
        log: as `read_log` returns it.
        replace: whether a reading replaces another one of the same line.

    Raises:
        InputError: a reading differs from one that the record holds.
    """
    parts = {key: value for key, value in log.items() if key != "as_built"}
    head = log["as_built"]
    if text is None:
        finished = {run: work.lengths.finished for run, work in refit.work.runs.items()}
        text = blank_as_built(refit.boat, finished, head["data_sha256"], refit.boat.units.length or "mm")
        return with_readings(
            text, source, refit.boat, {"as_built": {key: head[key] for key in _HEAD}, **parts}, replace
        )
    began = read_as_built(text.encode("utf-8"), source, refit.boat).as_built
    runs = {}
    for run, entry in (parts.get("runs") or {}).items():
        own = {key: head[key] for key in ("date", "by") if head[key] != getattr(began, key)} if entry else {}
        runs[run] = {**(entry or {}), **own}
    return with_readings(text, source, refit.boat, {**parts, "runs": runs}, replace)
