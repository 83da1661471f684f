"""File names that are portable and stay inside their folder."""

from __future__ import annotations

import re
from pathlib import Path

from geom.errors import Fault, InputError

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
# Device names on Windows, with any extension.
_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)
_VALID = "letters, digits, dot, dash, underscore; not a device such as con or nul"


def checked_name(name: str) -> str:
    """Return a relative name of plain characters, parts joined by `/`.

    Raises:
        InputError: a part could leave the folder, or is not portable.
    """
    for part in name.split("/"):
        if not _NAME.fullmatch(part) or len(part) > 120 or _RESERVED.fullmatch(part):
            fault = Fault("not a usable file name", read=name, valid=_VALID)
            raise InputError("output", [fault])
    return name


def check_portable(place: Path) -> None:
    """Refuse a file or folder with a reserved device name.

    Raises:
        InputError: the name is reserved on some systems.
    """
    if _RESERVED.fullmatch(place.name):
        raise InputError(str(place), [Fault("a reserved device name on some systems", valid="another name")])
