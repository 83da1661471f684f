"""One file or one folder of files, written whole or not at all: beside its place, and then swapped in."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from geom.errors import CannotFinishError, Fault, InputError
from geom.files.lock import locked
from geom.files.manifest import Kind, compared, kind_of
from geom.files.names import check_portable, checked_name
from geom.files.work import fill, left_overs, new_work, swap, sync_folder, tidy, write_synced


def write_file(target: Path, data: bytes, replace: bool = False) -> None:
    """Write one file whole or not at all.

    Args:
        target: where it goes; its folder must exist. A symbolic link is followed.
        data: the bytes.
        replace: whether a file that stands there may be replaced.

    Raises:
        InputError: a file stands there and may not be replaced, or some system reserves its name.
        CannotFinishError: the disk said no; what stood there still stands.
    """
    temporary: Path | None = None
    with _disk_errors(f"cannot write {target}"):
        place = target.resolve()
        check_portable(place)
        if place.exists() and not replace:
            fault = Fault("this file exists and is left as it is", valid="another name, or --replace")
            raise InputError(str(target), [fault])
        try:
            with tempfile.NamedTemporaryFile(prefix=f".{place.name}.", dir=place.parent, delete=False) as stream:
                temporary = Path(stream.name)
            write_synced(temporary, data)
            temporary.replace(place)
            temporary = None
            sync_folder(place.parent)
        finally:
            if temporary is not None:
                with suppress(OSError):
                    temporary.unlink()


def check_place(target: Path, kind: Kind, replace: bool = False) -> None:
    """Refuse a folder that a package would not replace without loss.

    Args:
        target: the folder; new, empty, or a package that this program wrote.
        kind: what is to be written.
        replace: whether files in it that were changed or added since are kept beside it.

    Raises:
        InputError: the folder holds something that is not a package of ours, or cannot be replaced at all.
        CannotFinishError: the package is of another kind, holds changed or foreign files, or cannot be read.
    """
    with _disk_errors(f"cannot read {target}"):
        place = _folder_place(target)
        if not place.exists() or (place.is_dir() and not any(place.iterdir())):
            return
        found = compared(place) if place.is_dir() else None
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
    """Write a folder of files whole or not at all, in place of an older package of ours.

    Args:
        target: the folder; new, empty, or a package that this program wrote. A symbolic link is followed.
        files: name below the folder -> bytes.
        replace: whether files in it that were changed or added since are kept beside it.

    Returns:
        Where changed and foreign files of an older package are kept.

    Raises:
        InputError: the folder holds something that is not a package of ours; nothing is touched.
        CannotFinishError: the package is of another kind, holds changed or foreign files or is being written by
            another process, or the disk said no; the older package still stands.
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
    """Return where a folder goes, behind symbolic links; it may not be the working folder, nor hold it."""
    place = target.resolve()
    check_portable(place)
    if Path.cwd().is_relative_to(place):
        fault = Fault("the folder that you stand in would be replaced whole", valid="`cd` out of it and give its name")
        raise InputError(str(target), [fault])
    return place


@contextmanager
def _disk_errors(message: str) -> Iterator[None]:
    """Turn what the system says into an error of ours; a loop of symbolic links is one, too."""
    try:
        yield
    except OSError as error:
        raise CannotFinishError(f"{message}: {error.strerror}") from error
    except RuntimeError as error:
        if isinstance(error, CannotFinishError):
            raise
        raise CannotFinishError(f"{message}: {error}") from error
