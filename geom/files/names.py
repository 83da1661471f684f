"""Names that every system can store and that stay inside their folder."""

from __future__ import annotations

import re
from pathlib import Path

from geom.errors import Fault, InputError

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
# Windows takes these for devices, with any ending.
_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)
_VALID = "letters, digits, dot, dash, underscore; not a device such as con or nul"


def checked_name(name: str) -> str:
    """Return a relative name of plain characters, parts joined by `/`.

    Raises:
        InputError: a part that could leave the folder or that some system cannot store.
    """
    for part in name.split("/"):
        if not _NAME.fullmatch(part) or len(part) > 120 or _RESERVED.fullmatch(part):
            fault = Fault("not a usable file name", read=name, valid=_VALID)
            raise InputError("output", [fault])
    return name


def check_portable(place: Path) -> None:
    """Refuse a file or folder whose name some system keeps for a device.

    Raises:
        InputError: such a name.
    """
    if _RESERVED.fullmatch(place.name):
        raise InputError(str(place), [Fault("some systems keep this name for a device", valid="another name")])
