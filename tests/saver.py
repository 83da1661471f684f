"""Saves a boat file again and again until it is killed: `python -m tests.saver FILE`, one process for each line read.

Each process says its number, and `gone` is said when it has ended. Nothing is worked out between the saves, so that a
kill at any moment is one in the middle of a save.
"""

from __future__ import annotations

import hashlib
import os
import sys
from pathlib import Path

from geom.boat.tree import MAX_BYTES
from geom.live.state import Reading, State


class Saver(State):
    """The boat file, written only."""

    def refresh(self) -> Reading:
        """Return what was read at first."""
        return self.now


def texts(path: Path) -> tuple[bytes, bytes]:
    """Return two contents of a boat file, so long that writing them takes a while."""
    own = path.read_bytes()
    rest = MAX_BYTES - len(own)
    return own + b"# one\n" * (rest // 6), own + b"# two\n" * (rest // 12)


def main() -> None:
    """Start a process for each line of the standard input."""
    path = Path(sys.argv[1])
    state, contents = Saver(path), texts(path)
    for _ in sys.stdin:
        number = os.fork()
        if number == 0:
            while True:
                for data in contents:
                    state.save(data, hashlib.sha256(path.read_bytes()).hexdigest())
        print(number, flush=True)
        os.waitpid(number, 0)
        print("gone", flush=True)


if __name__ == "__main__":
    main()
