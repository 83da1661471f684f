"""Write one file or one folder whole or not at all: written beside the target, then moved there."""

from __future__ import annotations

import stat
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from geom.errors import CannotFinishError, Fault, InputError
from geom.files.lock import locked
from geom.files.manifest import Kind, compare_with_manifest, kind_of
from geom.files.names import check_portable, checked_name
from geom.files.work import fill, left_overs, new_work, swap, sync_folder, tidy, write_synced


def write_file(target: Path, data: bytes, replace: bool = False) -> None:
    """Write one file whole or not at all.

    Args:
        target: the file; its folder must exist. A symbolic link is followed, the mode of an existing file stays.
        data: its bytes.
        replace: whether an existing file may be replaced.

    Raises:
        InputError: the file exists and may not be replaced, or its name is reserved on some systems.
        CannotFinishError: the file system refused; an existing file is unchanged.
    """
    temporary: Path | None = None
    with _disk_errors(f"cannot write {target}"):
        place = target.resolve()
        check_portable(place)
        if not replace:
            refuse_existing(target)
        try:
            with tempfile.NamedTemporaryFile(prefix=f".{place.name}.", dir=place.parent, delete=False) as stream:
                temporary = Path(stream.name)
            write_synced(temporary, data)
            if place.exists():
                temporary.chmod(stat.S_IMODE(place.stat().st_mode))
            temporary.replace(place)
            temporary = None
            sync_folder(place.parent)
        finally:
            if temporary is not None:
                with suppress(OSError):
                    temporary.unlink()


def make_folder(folder: Path) -> None:
    """Make a folder, and those that it stands in, where it is not there.

    Args:
        folder: its path.

    Raises:
        CannotFinishError: the file system refused.
    """
    with _disk_errors(f"cannot write {folder}"):
        folder.mkdir(parents=True, exist_ok=True)


def refuse_existing(*targets: Path) -> None:
    """Refuse to go on where a file exists, before any of several is written.

    Raises:
        InputError: one of the files exists.
        CannotFinishError: the file system refused.
    """
    faults = [Fault("this file exists and is left as it is", valid="another name, or --replace")]
    for target in targets:
        with _disk_errors(f"cannot write {target}"):
            exists = target.resolve().exists()
        if exists:
            raise InputError(str(target), faults)


def check_place(target: Path, kind: Kind, replace: bool = False) -> None:
    """Refuse a folder that a package could not replace without loss.

    Args:
        target: the folder; new, empty, or a package written by this program.
        kind: of package to be written.
        replace: whether files changed or added since are kept beside the folder.

    Raises:
        InputError: the folder is not a package of this program, or cannot be replaced.
        CannotFinishError: the package is of another kind, holds changed or foreign files, or cannot be read.
    """
    with _disk_errors(f"cannot read {target}"):
        place = _folder_place(target)
        if not place.exists() or (place.is_dir() and not any(place.iterdir())):
            return
        found = compare_with_manifest(place) if place.is_dir() else None
    if found is None:
        fault = Fault("this is not a package folder, and nothing in it is touched", valid="a new or empty folder")
        raise InputError(str(target), [fault])
    if found.kind != kind:
        raise CannotFinishError(f"{target} holds {found.kind}, which {kind} would replace: give another folder")
    if found.not_ours() and not replace:
        head = f"{target} holds files that differ from its manifest; nothing is touched"
        way = "move them elsewhere, or give --replace: they are then kept beside the folder"
        raise CannotFinishError("\n".join([head, *(f"  {line}" for line in found.not_ours()), way]))


def write_package(target: Path, files: Mapping[str, bytes], replace: bool = False) -> tuple[Path, ...]:
    """Write a folder of files whole or not at all, replacing an old package of this program.

    Args:
        target: the folder; new, empty, or a package written by this program. A symbolic link is followed.
        files: bytes by name relative to the folder.
        replace: whether files changed or added since are kept beside the folder.

    Returns:
        The folders with changed and foreign files of an old package.

    Raises:
        InputError: the folder is not a package of this program; nothing is changed.
        CannotFinishError: the package is of another kind, holds changed or foreign files, or is being written by
            another process, or the file system refused; the old package is unchanged.
    """
    named = {checked_name(name): data for name, data in files.items()}
    kept: list[Path | None] = []
    with _disk_errors(f"cannot write {target}"):
        place = _folder_place(target)
        place.parent.mkdir(parents=True, exist_ok=True)
        with locked(place):
            for left in left_overs(place):
                with suppress(OSError):
                    kept.append(tidy(left, place))
            check_place(target, kind_of(named), replace)
            work = new_work(place)
            try:
                fill(work, named)
                swap(work, place)
            except BaseException:
                with suppress(OSError):
                    tidy(work, place)
                raise
            kept.append(tidy(work, place))
    return tuple(folder for folder in kept if folder is not None)


def _folder_place(target: Path) -> Path:
    """Return the resolved path of a target folder; the working folder and its parents are refused."""
    place = target.resolve()
    check_portable(place)
    if Path.cwd().is_relative_to(place):
        fault = Fault("the working folder would be replaced", valid="`cd` out of it and give its name")
        raise InputError(str(target), [fault])
    return place


@contextmanager
def _disk_errors(message: str) -> Iterator[None]:
    """Turn system errors, a loop of symbolic links included, into a CannotFinishError."""
    try:
        yield
    except OSError as error:
        raise CannotFinishError(f"{message}: {error.strerror}") from error
    except RuntimeError as error:
        if isinstance(error, CannotFinishError):
            raise
        raise CannotFinishError(f"{message}: {error}") from error
