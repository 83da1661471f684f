"""An append-only file of lines, each read back by its number; a line cut off by a crash is dropped."""

from __future__ import annotations

import tempfile
from array import array
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from geom.errors import CannotFinishError
from geom.files.lock import locked


class LineFile:
    """Lines of bytes in a file, appended one by one; where each begins is held, the lines are not."""

    def __init__(self, stream: IO[bytes]) -> None:
        """Take in the complete lines of a file and drop an incomplete last one.

        Args:
            stream: the file, open for reading and writing.
        """
        self._stream = stream
        self._begins = array("q", [0])
        end = 0
        stream.seek(0)
        for line in stream:
            if line.endswith(b"\n"):
                end += len(line)
                self._begins.append(end)
        stream.truncate(end)

    def __len__(self) -> int:
        """Return the number of lines."""
        return len(self._begins) - 1

    def __iter__(self) -> Iterator[bytes]:
        """Yield the lines in the order in which they were appended."""
        return (self[number] for number in range(len(self)))

    def __getitem__(self, number: int) -> bytes:
        """Return a line without its end.

        Raises:
            IndexError: there is no such line.
        """
        if not 0 <= number < len(self):
            raise IndexError(number)
        begin, end = self._begins[number], self._begins[number + 1]
        self._stream.seek(begin)
        return self._stream.read(end - begin - 1)

    def append(self, line: bytes) -> int:
        """Write a line at the end, and return its number.

        Args:
            line: without its end; it holds no line feed.
        """
        self._stream.seek(self._begins[-1])
        self._stream.write(line + b"\n")
        self._stream.flush()
        self._begins.append(self._begins[-1] + len(line) + 1)
        return len(self) - 1

    def clear(self) -> None:
        """Drop all lines."""
        self._stream.truncate(0)
        del self._begins[1:]


@contextmanager
def line_file(place: Path | None = None) -> Iterator[LineFile]:
    """Open a file of lines for reading and appending, a temporary one where no place is named.

    Args:
        place: the file, begun with its folder where it is not there; None for a temporary one.

    Raises:
        CannotFinishError: another process has it open, or the file system refused.
    """
    try:
        if place is None:
            with tempfile.TemporaryFile() as stream:
                yield LineFile(stream)
            return
        place.parent.mkdir(parents=True, exist_ok=True)
        with locked(place):
            place.touch()
            with place.open("r+b") as stream:
                yield LineFile(stream)
    except OSError as error:
        raise CannotFinishError(f"cannot write {place or 'a temporary file'}: {error.strerror}") from error
