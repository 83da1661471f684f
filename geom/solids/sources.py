"""Where each named size of a drawn fitting comes from: the boat file, a row of the size tables, or other sizes."""

from __future__ import annotations

from collections.abc import Mapping

from geom.parts.catalogue import data_of

# Dimension name -> where its value comes from, in words for a sheet.
Sources = tuple[tuple[str, str], ...]

BOAT_FILE = "boat file"
INVENTED = "generic, invented"
STUB = "stub of the model, not the splice: see the splice sheet"
NOT_COVERED = "boat file; the shape drawn does not reach it"
UNSTATED_THREAD = "plain bar as drawn; the thread is not stated"
LOOSE_BOLT = f"{INVENTED}; the hole in the post is wider: whether it fits, cannot tell"


def sources(own: Mapping[str, str], table: str = "", size: str = "") -> Sources:
    """Return the words for every size: what the size rows say, replaced by what is told otherwise.

    Args:
        own: dimension name -> words, for sizes that are not the listed ones.
        table: of the size rows, none where empty.
        size: its name in the table.
    """
    listed = {name: datum.source for name, datum in data_of(table, size).items()} if table else {}
    return tuple({**listed, **own}.items())
