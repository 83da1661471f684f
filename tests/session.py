"""What takes long to make and is read by many tests: made once in a session, by the worker that needs it first.

It lies in a folder of the session (see conftest.py), one file for each thing, filled under a lock. A session
begins with an empty folder, so that nothing made by other sources is ever met.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

FOLDER = "TOERAIL_TESTS_FOLDER"
T = TypeVar("T")


def session_folder() -> Path:
    """Return the folder that the workers of this session share."""
    return Path(os.environ[FOLDER])


def made(name: str, make: Callable[[], T]) -> T:
    """Return a thing by its name: from the session's folder, or made now and put there."""
    if FOLDER not in os.environ:
        return make()
    path = session_folder() / hashlib.sha256(name.encode("utf-8")).hexdigest()
    with path.with_suffix(".lock").open("a") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not path.exists():
            thing = make()
            path.with_suffix(".new").write_bytes(pickle.dumps(thing))
            path.with_suffix(".new").rename(path)
            return thing
    return pickle.loads(path.read_bytes())
