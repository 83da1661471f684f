"""Journal of a fleet: a line for each boat done, in an append-only file, so that an interrupted run can go on."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from geom.boat.file import read_boat
from geom.boat.tree import shown
from geom.errors import Fault, InputError
from geom.files import LineFile, line_file
from geom.fleet.fleet_work import FleetBoat
from geom.fleet.row import Outcome, outcome_of

FORMAT = 1


class Journal:
    """The outcomes of boat files by file and hash; the latest line of a file holds."""

    def __init__(self, lines: LineFile) -> None:
        """Take in the lines of a file.

        Args:
            lines: the file; its first line says how the others were made.
        """
        self._lines = lines
        self._latest: dict[bytes, int] = {}
        for number in range(1, len(lines)):
            self._latest[_key(json.loads(lines[number])["file"])] = number

    def outcome(self, file: str) -> Outcome:
        """Return the outcome of a file.

        Raises:
            KeyError: it is not done.
        """
        return outcome_of(self._entry(file)["outcome"])

    def has(self, boat: FleetBoat) -> bool:
        """Return whether a boat is done: with the same bytes, or with other bytes and the same data.

        A file whose comments alone changed is read here, and its line repeated with the new hash.
        """
        if _key(boat.file) not in self._latest:
            return False
        entry = self._entry(boat.file)
        if entry["sha256"] == boat.sha256:
            return True
        data = entry["outcome"][0]["data_sha256"]
        if not data or data != _data_hash(boat):
            return False
        self._append(boat.file, boat.sha256, entry["outcome"])
        return True

    def add(self, outcome: Outcome, sha256: str) -> None:
        """Write down the outcome of a file.

        Args:
            outcome: of the file.
            sha256: hash of its bytes.
        """
        self._append(outcome.row.file, sha256, outcome.plain())

    def _append(self, file: str, sha256: str, plain: Any) -> None:
        entry = {"file": file, "sha256": sha256, "outcome": plain}
        self._latest[_key(file)] = self._lines.append(_line(entry))

    def _entry(self, file: str) -> Any:
        return json.loads(self._lines[self._latest[_key(file)]])


@contextmanager
def journal(place: Path, made_by: Mapping[str, Any], replace: bool = False) -> Iterator[Journal]:
    """Open the journal of a fleet.

    Args:
        place: the file, begun where it is not there.
        made_by: what all outcomes depend on beside the boat file.
        replace: whether one that was made in another way is begun again.

    Raises:
        InputError: it was made in another way, or is no journal, and may not be replaced.
        CannotFinishError: the file system refused.
    """
    head = _line({"journal": FORMAT, **made_by})
    with line_file(place) as lines:
        if len(lines) and lines[0] != head:
            if not replace:
                raise InputError(str(place), [_other(lines[0], head)])
            lines.clear()
        if not len(lines):
            lines.append(head)
        yield Journal(lines)


def _other(found: bytes, head: bytes) -> Fault:
    read = shown(found.decode("ascii", "replace"), 120)
    return Fault("the boats here were worked out in another way", read=read, valid=f"{head.decode()}, or --replace")


def _line(entry: Mapping[str, Any]) -> bytes:
    return json.dumps(entry, separators=(",", ":")).encode("ascii")


def _key(file: str) -> bytes:
    return hashlib.sha256(file.encode("utf-8", "surrogateescape")).digest()[:16]


def _data_hash(boat: FleetBoat) -> str:
    """Return the hash of the data of a boat, empty where it cannot be read."""
    try:
        return read_boat(boat.data, boat.file).data_sha256
    except InputError:
        return ""
