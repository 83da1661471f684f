"""Cache between runs: entries in the user's cache folder, each named by the hash of what it is made from.

An entry's content begins with the hash of name and content together, so that one under a wrong name is rejected.
Entries are written to a temporary file and renamed, so that two processes may share the folder; a damaged one is not
read and is made again. Where there is no folder, or none that can be written, nothing is kept.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import sys
import tempfile
from pathlib import Path

_DIGEST = 32


def cache_folder(kind: str) -> Path | None:
    """Return the user's cache folder for one kind of entry, None for a user without a home folder.

    Source: XDG Base Directory Specification 0.8, by which a relative path is ignored; the conventions of Windows and
    macOS, from memory.

    Args:
        kind: of the entries, such as solids.
    """
    variable = {"win32": "LOCALAPPDATA", "darwin": ""}.get(sys.platform, "XDG_CACHE_HOME")
    base = Path(os.environ.get(variable, ""))
    if not base.is_absolute():
        try:
            home = Path.home()
        except RuntimeError:
            return None
        base = home / {"win32": "AppData/Local", "darwin": "Library/Caches"}.get(sys.platform, ".cache")
    return base / "toerail" / kind


def library_folder(kind: str, key: str) -> Path | None:
    """Return a folder in which a library keeps its own entries; None where nothing can be written.

    Args:
        kind: of the entries.
        key: hash of what they are made from.
    """
    above = cache_folder(kind)
    if above is None:
        return None
    folder = above / key
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return folder if os.access(folder, os.W_OK) else None


def read_entry(path: Path) -> bytes | None:
    """Return an entry's content, None where there is none or its hash is not that of name and content."""
    try:
        entry = path.read_bytes()
    except OSError:
        return None
    digest, content = entry[:_DIGEST], entry[_DIGEST:]
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
        except BaseException:
            Path(made).unlink(missing_ok=True)
            raise


def _digest(name: str, content: bytes) -> bytes:
    return hashlib.sha256(name.encode("utf-8") + b"\0" + content).digest()
