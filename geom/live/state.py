"""The boat file and what is worked out from it: the last good refit, the faults of the file as it stands, changes."""

from __future__ import annotations

import hashlib
import threading
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from geom.boat.file import read_boat
from geom.boat.tree import MAX_BYTES
from geom.errors import Fault, InputError
from geom.export import check_report
from geom.files import write_file
from geom.live.changes import Changed, changes, pointers
from geom.package import drawing_sheets, page_file
from geom.refit import Refit, refit


class StaleError(Exception):
    """The file is no longer the one that was edited; nothing was written."""


@dataclass(frozen=True)
class Worked:
    """One good state of the boat file: its number, its refit, its page with and without sheets."""

    number: int
    refit: Refit

    @cached_property
    def report(self) -> dict[str, Any]:
        """The contents of check.json."""
        return check_report(self.refit)

    @cached_property
    def page(self) -> bytes:
        """The page without sheets."""
        return page_file(self.refit, ())

    @cached_property
    def page_with_sheets(self) -> bytes:
        """The page with its sheets, drawn when first opened."""
        return page_file(self.refit, drawing_sheets(self.refit))


@dataclass(frozen=True)
class Reading:
    """The file as it stands: number, bytes, faults; the last good state, and what changed with it.

    `changed` is what changed in words, `places` every place in check.json; `is_there` is False while it cannot be read.
    """

    number: int
    data: bytes
    faults: tuple[Fault, ...]
    good: Worked
    changed: tuple[Changed, ...] = ()
    places: tuple[str, ...] = ()
    is_there: bool = True

    @property
    def digest(self) -> str:
        """The hash of the bytes."""
        return hashlib.sha256(self.data).hexdigest()


class State:
    """The boat file on disk, read again when it changes; one thread at a time works it out."""

    def __init__(self, path: Path) -> None:
        """Read the boat file.

        Args:
            path: of the boat file.

        Raises:
            InputError: the file cannot be used.
        """
        self.path = path
        self._lock = threading.Lock()
        data = self._bytes()
        good = Worked(1, refit(read_boat(data, str(path))))
        self.now = Reading(1, data, (), good)

    def _bytes(self) -> bytes:
        with self.path.open("rb") as file:
            return file.read(MAX_BYTES + 1)

    def refresh(self) -> Reading:
        """Return the file as it stands, worked out afresh where it changed; a faulty one leaves the last good state."""
        with self._lock:
            before = self.now
            try:
                data = self._bytes()
            except OSError as error:
                # An editor that writes beside the file and moves it there leaves it away for a moment.
                if before.is_there:
                    fault = Fault(f"cannot be read: {error.strerror}")
                    self.now = Reading(before.number + 1, before.data, (fault,), before.good, is_there=False)
                return self.now
            if data == before.data and before.is_there:
                return before
            number = before.number + 1
            try:
                good = Worked(number, refit(read_boat(data, str(self.path))))
            except InputError as error:
                self.now = Reading(number, data, tuple(error.faults), before.good)
                return self.now
            except Exception as error:
                # A defect of the program must not end the watch.
                fault = Fault(f"internal error: {type(error).__name__}: {error}")
                self.now = Reading(number, data, (fault,), before.good)
                return self.now
            old, new = before.good.report, good.report
            self.now = Reading(number, data, (), good, changes(old, new), pointers(old, new))
            return self.now

    def save(self, data: bytes, expected: str) -> Reading:
        """Write the boat file whole, where it is still the one that was edited, and return it worked out.

        Args:
            data: the new bytes.
            expected: hash of the bytes that were edited.

        Raises:
            StaleError: the file has other bytes by now.
            CannotFinishError: the file system refused; the file is unchanged.
        """
        with self._lock:
            if hashlib.sha256(self._bytes()).hexdigest() != expected:
                raise StaleError
            write_file(self.path, data, replace=True)
        return self.refresh()
