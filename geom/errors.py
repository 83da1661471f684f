"""The error tree: every failure the program can foresee, with the exit code it leads to."""

from __future__ import annotations

from dataclasses import dataclass


class ToerailError(Exception):
    """Base of all errors raised on purpose by this package."""

    exit_code = 3


@dataclass(frozen=True)
class Fault:
    """One unusable place in an input: where it stands, what was read and what would be valid."""

    message: str
    key: str = ""
    line: int | None = None
    read: str = ""
    valid: str = ""

    def __str__(self) -> str:
        parts = [self.message]
        if self.key:
            parts.insert(0, f"{self.key}:")
        if self.read:
            parts.append(f"(read: {self.read})")
        if self.valid:
            parts.append(f"- valid: {self.valid}")
        return " ".join(parts)


class InputError(ToerailError, ValueError):
    """A file or an argument that cannot be used; nothing was written."""

    exit_code = 2

    def __init__(self, source: str, faults: list[Fault]) -> None:
        self.source = source
        self.faults = faults
        super().__init__("\n".join(self.lines()))

    def lines(self) -> list[str]:
        """Each fault as one line, `file:line: key: message (read: ...) - valid: ...`."""
        return [
            f"{self.source}:{fault.line}: {fault}" if fault.line is not None else f"{self.source}: {fault}"
            for fault in self.faults
        ]


class OutsideTableError(ToerailError, LookupError):
    """A value was asked for that a published table does not hold; nothing is extrapolated."""

    exit_code = 2


class GeometryError(ToerailError, ValueError):
    """A shape that cannot exist: a wall thicker than its tube, a hole off its tube."""

    exit_code = 2


class CannotFinishError(ToerailError, RuntimeError):
    """The work could not be finished: a missing system library, a full disk, a fault of our own."""

    exit_code = 3
