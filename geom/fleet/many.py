"""What a process does before it works out many boats, which is not worth while for a few.

Compiling the solvers takes twenty seconds once a machine, reading them compiled a second. A process therefore goes on
with the solvers as they stand until another one beside it, which it begins, has compiled them.
"""

from __future__ import annotations

import gc
import os
import platform
import subprocess
import sys
from contextlib import suppress
from functools import cache
from pathlib import Path

from geom.boat.file import read_boat
from geom.errors import CannotFinishError
from geom.files.lock import locked
from geom.mechanics.kernels import compile_all, compiled_folder
from geom.refit import refit
from geom.resources import starter_names, starter_text

# Boats that a process works out before: loading compiled solvers takes as long as they save on about so many.
FEW = 12
# New objects between two collections: a boat has some 20,000 and leaves few cycles, and each collection goes through
# the whole boat.
_BETWEEN_COLLECTIONS = 100_000


class _Process:
    boats = 0
    is_prepared = False
    is_compiling = False


def count_boat() -> None:
    """Count a boat that this process begins with; prepare the process after a few, once the solvers are compiled."""
    _Process.boats += 1
    if _Process.boats <= FEW or _Process.is_prepared:
        return
    mark = _compiled_mark()
    if mark is None or mark.exists():
        prepare()
    elif not _Process.is_compiling:
        _Process.is_compiling = True
        _begin_to_compile()


def prepare() -> None:
    """Compile the solvers of the loads, and collect garbage rarely and among new objects alone."""
    _Process.is_prepared = True
    compile_all()
    gc.collect()
    gc.freeze()
    gc.set_threshold(_BETWEEN_COLLECTIONS, 20, 100)


@cache
def _compiled_mark() -> Path | None:
    """Return the file that says that all solvers are compiled for this machine; None where nothing can be kept."""
    folder = compiled_folder()
    return None if folder is None else folder / f"compiled for {platform.node()}"


def _begin_to_compile() -> None:
    """Begin the process that compiles the solvers; it outlives this one."""
    with suppress(OSError):
        subprocess.Popen(
            [sys.executable, "-m", __name__], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL, start_new_session=True,
        )  # fmt: skip


def compile_for_machine() -> None:
    """Compile the solvers by working out the starter boats, unless another process is at it."""
    mark = _compiled_mark()
    if mark is None or mark.exists():
        return
    with suppress(CannotFinishError, OSError), locked(mark):
        if compile_all():
            for name in starter_names():
                _ = refit(read_boat(starter_text(name).encode("utf-8"), name)).loads
            mark.touch()


if __name__ == "__main__":
    if hasattr(os, "nice"):
        os.nice(10)
    compile_for_machine()
