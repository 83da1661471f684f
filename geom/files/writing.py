"""One file or one folder of files, written whole or not at all: beside its place, and then swapped in."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath

from geom.errors import CannotFinishError, Fault, InputError
from geom.files.manifest import compared
from geom.files.names import checked_name


def write_file(target: Path, data: bytes, replace: bool = False) -> None:
    """Write one file whole or not at all.

    Args:
        target: where it goes; its folder must exist.
        data: the bytes.
        replace: whether a file that stands there may be replaced.

    Raises:
        InputError: a file stands there and may not be replaced.
        CannotFinishError: the disk said no; what stood there still stands.
    """
    if target.exists() and not replace:
        fault = Fault("this file exists and is left as it is", valid="another name, or --replace")
        raise InputError(str(target), [fault])
    temporary: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
        temporary = Path(name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        temporary.chmod(0o644)
        temporary.replace(target)
        temporary = None
    except OSError as error:
        raise CannotFinishError(f"cannot write {target}: {error.strerror}") from error
    finally:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink()


def check_place(target: Path, replace: bool = False) -> None:
    """Refuse a folder that a package would not replace without loss.

    Args:
        target: the folder; new, empty, or a package that this program wrote.
        replace: whether files in it that were changed or added since are kept beside it.

    Raises:
        InputError: the folder holds something that is not a package of ours.
        CannotFinishError: the package holds changed or foreign files, or cannot be read.
    """
    try:
        if not target.exists() or (target.is_dir() and not any(target.iterdir())):
            return
        found = compared(target) if target.is_dir() else None
    except OSError as error:
        raise CannotFinishError(f"cannot read {target}: {error.strerror}") from error
    if found is None:
        fault = Fault("this is not a package folder, and nothing in it is touched", valid="a new or empty folder")
        raise InputError(str(target), [fault])
    if found.not_ours() and not replace:
        head = f"{target} holds files that differ from its manifest; nothing is touched"
        way = "move them elsewhere, or give --replace: they are then kept beside the folder"
        raise CannotFinishError("\n".join([head, *(f"  {line}" for line in found.not_ours()), way]))


def write_package(target: Path, files: Mapping[str, bytes], replace: bool = False) -> Path | None:
    """Write a folder of files whole or not at all, in place of an older package of ours.

    Args:
        target: the folder; new, empty, or a package that this program wrote.
        files: name below the folder -> bytes.
        replace: whether files in it that were changed or added since are kept beside it.

    Returns:
        Where changed and foreign files of the older package are kept, None where there were none.

    Raises:
        InputError: the folder holds something that is not a package of ours; nothing is touched.
        CannotFinishError: the package holds changed or foreign files, or the disk said no; the older package
            still stands.
    """
    names = [checked_name(name) for name in files]
    check_place(target, replace)
    work: Path | None = None
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        work = Path(tempfile.mkdtemp(prefix=f".{target.name}.toerail-", dir=target.parent))
        fresh, old = work / "new", work / "old"
        for name in names:
            path = fresh / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(files[name])
        if target.exists():
            target.rename(old)
        fresh.rename(target)
        return _set_aside(old, target)
    except OSError as error:
        raise CannotFinishError(f"cannot write {target}: {error.strerror}") from error
    finally:
        if work is not None:
            with suppress(OSError):
                if (work / "old").exists() and not target.exists():
                    (work / "old").rename(target)
            if not (work / "old").exists():
                shutil.rmtree(work, ignore_errors=True)


def _set_aside(old: Path, target: Path) -> Path | None:
    """Delete the files of an older package that are as its manifest lists them, and keep the rest beside."""
    if not old.exists():
        return None
    whole = found.whole if (found := compared(old)) else ()
    for name in whole:
        (old / name).unlink()
    emptied = {old} | {old / folder for name in whole for folder in PurePosixPath(name).parents}
    for folder in sorted(emptied, key=lambda path: len(path.parts), reverse=True):
        with suppress(OSError):
            folder.rmdir()
    if not old.exists():
        return None
    newest = max((path.lstat().st_mtime for path in old.rglob("*") if not path.is_dir()), default=old.stat().st_mtime)
    day = datetime.fromtimestamp(newest, UTC).date()
    number = 1
    while True:
        kept = target.with_name(f"{target.name}.kept-{day}" + (f"-{number}" if number > 1 else ""))
        with suppress(FileExistsError):
            kept.mkdir()
            return old.rename(kept)
        number += 1
