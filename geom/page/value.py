"""A value of check.json where it is shown: its pointer, the value, and its sentences in millimetres and in inches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from geom.export import Check, plain
from geom.units import LengthFormat
from geom.words import Units

INCHES = LengthFormat("in", 25.4, 2)
IN_INCHES = Units(INCHES, millimetres=True, pounds=True)


class Value:
    """One value of check.json, or a part of it, whose keys are read as attributes.

    `pointer` is its place (RFC 6901), `raw` the value, `inch` the same with lengths of sentences in inches.
    """

    def __init__(self, pointer: str, raw: Any, inch: Any) -> None:
        """Make a value.

        Args:
            pointer: its place in check.json.
            raw: what stands there.
            inch: the same with the sentences of an inch boat.
        """
        self.pointer = pointer
        self.raw = raw
        self.inch = inch

    def __getattr__(self, name: str) -> Value:
        """Return the value of a key."""
        if name.startswith("_") or not isinstance(self.raw, dict) or name not in self.raw:
            raise AttributeError(name)
        return self[name]

    def __getitem__(self, key: str | int) -> Value:
        """Return the value of a key or at an index."""
        return Value(f"{self.pointer}/{key}", self.raw[key], self.inch[key])

    def __iter__(self) -> Iterator[Value]:
        """Yield the values of a list."""
        return (self[index] for index in range(len(self.raw)))

    def __len__(self) -> int:
        """Return the number of values of a list."""
        return len(self.raw)

    def __bool__(self) -> bool:
        """Return whether there is a value: zero is one, an empty text or list is none."""
        return self.raw is not None and self.raw is not False and self.raw != "" and self.raw != []

    def __str__(self) -> str:
        """Return the text of a name, a word or a whole number."""
        if self.raw is None or isinstance(self.raw, float | dict | list):
            raise TypeError(f"{self.pointer} is not a text")
        return str(self.raw)

    @property
    def key(self) -> str:
        """The last name of its pointer, whose ending is the unit."""
        return next(part for part in reversed(self.pointer.split("/")) if not part.isdigit())


def value_of(check: Check, report: Mapping[str, Any] | None = None) -> Value:
    """Return check.json to be shown.

    Args:
        check: the results.
        report: the same as plain values, where they are made already.
    """
    # Lists that the page has no room for.
    shown = replace(check, findings=(), closure=(), pairs=())
    return Value("", plain(shown) if report is None else report, plain(shown, units=IN_INCHES))
