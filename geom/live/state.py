"""The boat file and what is worked out from it: the last good refit, the faults of the file as it stands, changes."""

from __future__ import annotations

import hashlib
import threading
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from geom.boat.file import read_boat
from geom.boat.tree import MAX_BYTES
from geom.boat.turn import is_turned
from geom.changes import Change, changes, pointers
from geom.errors import Fault, InputError
from geom.export import check_report
from geom.figure import Sheet
from geom.files import write_file
from geom.intake.value_edit import write_values
from geom.lettering import letters
from geom.open_items import open_items
from geom.open_items.remedies import Remedy, remedies
from geom.package import drawing_sheets
from geom.page import body_of, drawn, listed_of, page_bytes, units_of
from geom.refit import Refit, refit


class StaleError(Exception):
    """The file is no longer the one that was edited; nothing was written."""


@dataclass(frozen=True)
class GoodState:
    """One good state of the boat file: its number, its refit, its page, its sheets; each made when it is first read."""

    number: int
    refit: Refit
    _making: threading.Lock = field(default_factory=threading.Lock, repr=False, compare=False)

    @cached_property
    def report(self) -> dict[str, Any]:
        """The contents of check.json."""
        return check_report(self.refit)

    @cached_property
    def remedies(self) -> tuple[Remedy, ...]:
        """The smallest changes that close each open item."""
        return remedies(self.refit)

    @cached_property
    def page(self) -> bytes:
        """The page as it is opened, without sheets, with every letter that a later state may need."""
        return page_bytes(self.refit, (), self.report, letters())

    def body(self, with_sheets: bool) -> str:
        """Return the sections of the page; a request that comes while they are made waits for them.

        Args:
            with_sheets: whether its sheets are listed.
        """
        with self._making:
            return self._body_with_sheets if with_sheets else self._body

    @cached_property
    def _body(self) -> str:
        return body_of(self.refit, (), self.report)

    @cached_property
    def _body_with_sheets(self) -> str:
        return body_of(self.refit, listed_of(self.sheets), self.report)

    @cached_property
    def sheets(self) -> tuple[Sheet, ...]:
        """The set of drawings, made when the first is opened: each states how many there are."""
        return drawing_sheets(self.refit)

    def sheet(self, name: str) -> str | None:
        """Return one sheet as SVG without its font, None where there is none of that name."""
        found = next((one for one in self.sheets if one.name == name), None)
        return None if found is None else drawn(found)


@dataclass(frozen=True)
class Reading:
    """The file as it stands: number, bytes, faults; the last good state, and what changed with it.

    `changed` is what changed in words, `places` every place in check.json; `is_there` is False while it cannot be read.
    """

    number: int
    data: bytes
    faults: tuple[Fault, ...]
    good: GoodState
    changed: tuple[Change, ...] = ()
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
        good = GoodState(1, refit(read_boat(data, str(path))))
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
                good = GoodState(number, refit(read_boat(data, str(self.path))))
            except InputError as error:
                self.now = Reading(number, data, tuple(error.faults), before.good)
                return self.now
            except Exception as error:
                # A defect of the program must not end the watch.
                fault = Fault(f"internal error: {type(error).__name__}: {error}")
                self.now = Reading(number, data, (fault,), before.good)
                return self.now
            old, new = before.good.report, good.report
            listed = changes(old, new, inches=units_of(good.refit) == "in")
            self.now = Reading(number, data, (), good, listed, pointers(old, new))
            return self.now

    def apply_remedy(self, number: int) -> str | None:
        """Return the file's text with a remedy in it, nothing written.

        Args:
            number: of the remedy, from 0.

        Returns:
            None where the file is faulty, in axes of its own or of one side, or where the remedy adds or leaves out a
            part.
        """
        now = self.now
        loaded = now.good.refit.loaded
        if now.faults or number >= len(now.good.remedies) or is_turned(loaded.axes) or loaded.mirrored_from is not None:
            return None
        remedy = now.good.remedies[number]
        item = next(one for one in open_items(now.good.refit) if one.number == remedy.item)
        try:
            data = write_values(now.data, str(self.path), {change.key: change.to for change in remedy.changes})
            after = refit(read_boat(data, str(self.path)))
        except InputError:
            return None
        # Written by hand it would be checked by eye: here it has to close the item that it is for.
        is_open = any((one.name, one.places) == (item.name, item.places) for one in open_items(after))
        return None if is_open else data.decode("utf-8")

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
