"""The user's cache folder, by the convention of the operating system."""

from __future__ import annotations

import os
import sys
from pathlib import Path


def cache_folder(name: str) -> Path:
    """Return the folder of one of the program's caches; it may not be there yet.

    Args:
        name: of the cache.
    """
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = str(Path.home() / "Library" / "Caches")
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "toerail" / name
