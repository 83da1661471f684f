"""Sources of the sizes of a drawn fitting: the boat file, a row of the size tables, or other sizes."""

from __future__ import annotations

from collections.abc import Mapping

from geom.parts.catalogue import data_of

# Dimension name -> source of its value, as printed on a sheet.
Sources = tuple[tuple[str, str], ...]

BOAT_FILE = "boat file"
INVENTED = "generic, invented"
STUB = "stub of the model, not the splice: see the splice sheet"
NOT_COVERED = "boat file; the shape drawn does not reach it"
UNSTATED_THREAD = "plain bar as drawn; the thread is not stated"
LOOSE_BOLT = f"{INVENTED}; the hole in the post is wider: a spacer tube fills it"


def sources(own: Mapping[str, str], table: str = "", size: str = "") -> Sources:
    """Return the source of every size: that of the size table, unless given in `own`.

    Args:
        own: dimension name -> source, for sizes from elsewhere.
        table: name of the size table, none where empty.
        size: name of the size in the table.
    """
    listed = {name: datum.source for name, datum in data_of(table, size).items()} if table else {}
    return tuple({**listed, **own}.items())
