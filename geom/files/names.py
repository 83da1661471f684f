"""Names that every system can store and that stay inside their folder."""

from __future__ import annotations

import re

from geom.errors import Fault, InputError

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
