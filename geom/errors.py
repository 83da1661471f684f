"""The error classes of the program, with their exit codes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

T = TypeVar("T")


class ToerailError(Exception):
    """Base of all errors of this package."""

    exit_code = 3


@dataclass(frozen=True)
class Fault:
    """One fault of an input: message, key, line, what was read and what is valid."""

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
    """A value outside a published table; nothing is extrapolated."""

    exit_code = 2


class GeometryError(ToerailError, ValueError):
    """An impossible shape, such as a wall thicker than its tube or a hole off its tube."""

    exit_code = 2


class CannotFinishError(ToerailError, RuntimeError):
    """The work cannot be finished: a missing system library, a full disk, an internal error."""

    exit_code = 3


@dataclass
class Attempts:
    """The parts of a set as they are made: one that fails ends the work, or is left out where the rest is wanted.

    `missing` holds what was left out, each with its cause.
    """

    keep_going: bool = False
    missing: dict[str, str] = field(default_factory=dict)

    def make(self, what: str, maker: Callable[[], T], otherwise: T) -> T:
        """Return what a maker makes, or what stands for it where it fails and the rest is wanted.

        Args:
            what: name of the part, for the message.
            maker: makes it.
            otherwise: what stands for a part left out.

        Raises:
            InputError: the fault is in the input.
            CannotFinishError: the part cannot be made; the message names it and the cause.
        """
        try:
            return maker()
        except InputError:
            raise
        except Exception as error:
            cause = str(error) if isinstance(error, ToerailError) else f"{type(error).__name__}: {error}"
            if not self.keep_going:
                raise CannotFinishError(f"{what} cannot be made: {cause}") from error
            self.missing[what] = cause
            return otherwise
