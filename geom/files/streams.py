"""A file written piece by piece, whole or not at all: beside its target, and moved there when it is complete."""

from __future__ import annotations

import os
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from geom.errors import CannotFinishError
from geom.files.names import check_portable
from geom.files.work import sync_folder
from geom.files.writing import refuse_existing


@contextmanager
def written_whole(target: Path, replace: bool = False) -> Iterator[IO[bytes]]:
    """Open a file to be written piece by piece; where the writing fails an existing file stays as it is.

    Args:
        target: the file; its folder must exist.
        replace: whether an existing file may be replaced.

    Raises:
        InputError: the file exists and may not be replaced, or its name is reserved on some systems.
        CannotFinishError: the file system refused; an existing file is unchanged.
    """
    place = target.resolve()
    check_portable(place)
    if not replace:
        refuse_existing(target)
    temporary: Path | None = None
    try:
        with tempfile.NamedTemporaryFile(prefix=f".{place.name}.", dir=place.parent, delete=False) as stream:
            temporary = Path(stream.name)
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        temporary.chmod(stat.S_IMODE(place.stat().st_mode) if place.exists() else 0o644)
        temporary.replace(place)
        temporary = None
        sync_folder(place.parent)
    except OSError as error:
        raise CannotFinishError(f"cannot write {target}: {error.strerror}") from error
    finally:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink()
