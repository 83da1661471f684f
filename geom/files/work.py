"""The work folder beside a target: the new package is written in it, and the old one is removed from it.

`new` is the folder being written, identified by its inode in the marker file; after an exchange the old package
has that name. `old` is the old package where folders cannot be exchanged.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath

from geom.files.exchange import exchanged
from geom.files.manifest import MANIFEST, compare_with_manifest

_MARKER = ".toerail-work"
_MARK = "made by toerail, new is inode "
_TEXT = re.compile(rf"{_MARK}(\d+)\n")


def new_work(place: Path) -> Path:
    """Make a work folder for a target, with an empty folder `new` in it."""
    work = Path(tempfile.mkdtemp(prefix=_prefix(place), dir=place.parent))
    (work / "new").mkdir()
    (work / _MARKER).write_text(f"{_MARK}{(work / 'new').stat().st_ino}\n", "ascii")
    return work


def left_overs(place: Path) -> list[Path]:
    """Return the work folders of a target left by killed runs."""
    return [
        path
        for path in sorted(place.parent.iterdir())
        if path.name.startswith(_prefix(place)) and path.is_dir() and not path.is_symlink()
    ]


def fill(work: Path, files: Mapping[str, bytes]) -> None:
    """Write files into the folder `new` and sync them to disk; file modes do not depend on the umask."""
    fresh = work / "new"
    for name, data in files.items():
        path = fresh / name
        path.parent.mkdir(parents=True, exist_ok=True)
        write_synced(path, data)
    for folder, _, _ in os.walk(fresh, topdown=False):
        Path(folder).chmod(0o755)
        sync_folder(Path(folder))


def write_synced(path: Path, data: bytes) -> None:
    """Write a file and sync it to disk, readable by all."""
    with path.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    path.chmod(0o644)


def sync_folder(folder: Path) -> None:
    """Sync the entries of a folder to disk, where the system supports it."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def swap(work: Path, place: Path) -> None:
    """Move the folder `new` to the target; the old package stays in the work folder."""
    fresh = work / "new"
    if not place.exists():
        fresh.rename(place)
    elif not exchanged(fresh, place):
        place.rename(work / "old")
        fresh.rename(place)
    sync_folder(place.parent)


def tidy(work: Path, place: Path) -> Path | None:
    """Remove a work folder, whenever its run ended, without losing files that are not of this program.

    Returns:
        The folder with the changed and foreign files of the old package, None where there were none.
    """
    fresh, old, marker = work / "new", work / "old", work / _MARKER
    kept = None
    # Without a marker nothing was written, or the folder is foreign: only empty folders are removed.
    text = marker.read_text("ascii", "replace") if marker.is_file() else None
    if text is not None and _is_cut_short(text):
        marker.unlink()
    elif text is not None and (made := _TEXT.fullmatch(text)):
        if old.exists() and not place.exists():
            old.rename(place)
        if fresh.exists() and fresh.stat().st_ino == int(made[1]):
            shutil.rmtree(fresh)
        for older in (fresh, old):
            if older.exists():
                kept = _set_aside(older, place)
        marker.unlink()
    for folder in (fresh, work):
        with suppress(OSError):
            folder.rmdir()
    return kept


def _is_cut_short(text: str) -> bool:
    """Return whether a marker is only the beginning of one: the run was killed while it wrote it."""
    return _MARK.startswith(text) or bool(re.fullmatch(rf"{_MARK}\d*", text))


def _set_aside(older: Path, place: Path) -> Path | None:
    """Delete the unchanged files of an old package, and keep the rest beside the target."""
    if found := compare_with_manifest(older):
        for name in found.whole:
            if name != MANIFEST:
                (older / name).unlink()
        ours = {folder for name in (*found.whole, *found.missing) for folder in PurePosixPath(name).parents}
        for folder in sorted(ours - {PurePosixPath()}, key=lambda path: len(path.parts), reverse=True):
            with suppress(OSError):
                (older / folder).rmdir()
        # Last: without it a later run would not know the rest as files and folders of this program.
        if MANIFEST in found.whole:
            (older / MANIFEST).unlink()
    with suppress(OSError):
        older.rmdir()
    if not older.exists():
        return None
    files = [path for path in older.rglob("*") if path.is_symlink() or not path.is_dir()]
    newest = max(path.lstat().st_mtime for path in files or [older])
    stem = f"{place.name}.kept-{datetime.fromtimestamp(newest, UTC).date()}"
    number = 1
    while True:
        kept = place.with_name(stem if number == 1 else f"{stem}-{number}")
        with suppress(FileExistsError):
            kept.mkdir()
            return older.rename(kept)
        number += 1


def _prefix(place: Path) -> str:
    return f".{place.name}.toerail-"
