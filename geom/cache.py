"""Cache between runs: entries in the user's cache folder, each named by the hash of what it is made from.

An entry's content begins with the hash of name and content together, so that an entry under another name is none.
Entries are written to a temporary file and renamed, so that two processes may share the folder; a damaged one is not
read and is made again.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import sys
import tempfile
from pathlib import Path

_DIGEST = 32


def cache_folder(room: str) -> Path:
    """Return the user's cache folder for one kind of entry, by the convention of the operating system.

    Args:
        room: name of the kind, such as solids.
    """
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = str(Path.home() / "Library" / "Caches")
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "toerail" / room


def folder_of_others(room: str, key: str) -> Path | None:
    """Return a folder in which a library keeps its own entries; None where nothing can be written.

    Args:
        room: name of the kind.
        key: of what the entries are made from.
    """
    folder = cache_folder(room) / key
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return folder if os.access(folder, os.W_OK) else None


def read_entry(path: Path) -> bytes | None:
    """Return an entry's content, None where there is none or its hash is not that of name and content."""
    try:
        whole = path.read_bytes()
    except OSError:
        return None
    digest, content = whole[:_DIGEST], whole[_DIGEST:]
    return content if _digest(path.stem, content) == digest else None


def write_entry(path: Path, content: bytes) -> None:
    """Write an entry; a folder that cannot be written is not an error."""
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, made = tempfile.mkstemp(dir=path.parent, suffix=".new")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(_digest(path.stem, content) + content)
            Path(made).replace(path)
        except OSError:
            Path(made).unlink(missing_ok=True)
            raise


def _digest(name: str, content: bytes) -> bytes:
    return hashlib.sha256(name.encode("utf-8") + b"\0" + content).digest()
