"""One writer at a time: a lock file beside the target, with the id of the process that holds it.

The system releases the lock when the process ends, however it ends; a lock file left by a killed process is reused.
"""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from geom.errors import CannotFinishError

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_TEXT = re.compile(rb"toerail process (\d+)\n")


@contextmanager
def locked(place: Path) -> Iterator[None]:
    """Hold the lock of a target for the duration of the block.

    Raises:
        CannotFinishError: another process holds it, or a file of that name is not a lock file of this program.
        OSError: the lock file cannot be written.
    """
    path = place.with_name(f".{place.name}.toerail-lock")
    handle = _taken(path, place)
    try:
        yield
    finally:
        with suppress(OSError):
            path.unlink()
        os.close(handle)


def _taken(path: Path, place: Path) -> int:
    """Return the open lock file, locked, with the id of this process."""
    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644)
        try:
            text = os.read(handle, 100)
            owner = _TEXT.fullmatch(text)
            if text and owner is None:
                raise CannotFinishError(f"{path} is not a lock file of this program; move it elsewhere")
            if not _hold(handle):
                by = f"process {int(owner[1])}" if owner else "another process"
                raise CannotFinishError(f"{place} is in use by {by}; nothing is touched")
            # The previous holder may have released and deleted the file since it was opened here.
            if _is_at(handle, path):
                os.ftruncate(handle, 0)
                os.lseek(handle, 0, os.SEEK_SET)
                os.write(handle, b"toerail process %d\n" % os.getpid())
                return handle
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)


def _hold(handle: int) -> bool:
    try:
        if sys.platform == "win32":
            os.lseek(handle, 1000, os.SEEK_SET)  # beyond the text, which other processes may read
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def _is_at(handle: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), path.stat())
    except FileNotFoundError:
        return False
