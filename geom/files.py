"""The only place that writes to disk: whole or not at all, beside the target and then swapped in."""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from geom.errors import CannotFinishError, Fault, InputError

MANIFEST = "manifest.json"
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")


def checked_name(name: str) -> str:
    """Return a relative name of plain characters, parts joined by `/`.

    Raises:
        InputError: a part that could leave the folder or that some system cannot store.
    """
    for part in name.split("/"):
        if not _NAME.fullmatch(part) or len(part) > 120:
            fault = Fault("not a usable file name", read=name, valid="letters, digits, dot, dash, underscore")
            raise InputError("output", [fault])
    return name


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


def write_package(target: Path, files: Mapping[str, bytes]) -> None:
    """Write a folder of files whole or not at all, in place of an older package of ours.

    Args:
        target: the folder; where it stands already it must hold a manifest, or be empty.
        files: name below the folder -> bytes.

    Raises:
        InputError: the folder holds something that is not a package of ours; nothing is touched.
        CannotFinishError: the disk said no; the older package still stands.
    """
    names = [checked_name(name) for name in files]
    if target.exists() and (not target.is_dir() or (any(target.iterdir()) and not (target / MANIFEST).is_file())):
        fault = Fault("this is not a package folder, and nothing in it is touched", valid="a new or empty folder")
        raise InputError(str(target), [fault])
    fresh: Path | None = None
    old = target.with_name(f".{target.name}.old")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        _restore(target, old)
        fresh = Path(tempfile.mkdtemp(prefix=f".{target.name}.new-", dir=target.parent))
        fresh.chmod(0o755)
        for name in names:
            path = fresh / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(files[name])
        if target.exists():
            target.rename(old)
        fresh.rename(target)
        fresh = None
        shutil.rmtree(old, ignore_errors=True)
    except OSError as error:
        raise CannotFinishError(f"cannot write {target}: {error.strerror}") from error
    finally:
        with suppress(OSError):
            _restore(target, old)
        if fresh is not None:
            shutil.rmtree(fresh, ignore_errors=True)


def _restore(target: Path, old: Path) -> None:
    """Put an older package back whose swap was broken off."""
    if old.exists():
        if target.exists():
            shutil.rmtree(old, ignore_errors=True)
        else:
            old.rename(target)
