"""The headline of a stamped sheet: its title, what it is about, and a quiet line of notes, over a rule."""

from __future__ import annotations

from geom.drafting.paper import Paper
from geom.drafting.ruling import broken
from geom.drafting.sheet import FOOT, field
from geom.drafting.title_block import STAMP_HEIGHT
from geom.figure import Item, Line, Rect, Text
from geom.lettering import width as text_width

_TITLE, _SAID, _NOTE = 7.0, 3.5, 2.5
# The rule under the headline from the field's upper edge, and the room under it [mm].
HEADLINE, UNDER_HEADLINE = STAMP_HEIGHT + 2.0, 2.8
# Space that the stamp takes at the right, over the foot's key [mm].
_STAMP, _OVER_KEY = 64.0, 2.0


def headline(paper: Paper, title: str, said: str, tag: str, note: str = "") -> tuple[tuple[Item, ...], float]:
    """Return the headline of a sheet, and where its words end along the title's line [mm].

    Args:
        paper: of the sheet.
        title: of the sheet.
        said: what it is about.
        tag: id of the title.
        note: one line of notes under it.
    """
    place = field(paper)
    y, rule = place.top - 8.2, place.top - HEADLINE
    x = place.left + text_width(title, _TITLE, "semibold") + 6.0
    room = place.right - _STAMP - x
    lines = broken(said, room, _SAID) if said else ()
    items: list[Item] = [Text((place.left, y), title, _TITLE, "TEXT", tag=tag, weight="semibold")]
    if lines:
        items.append(Text((x, y), lines[0], _SAID, "TEXT", tag=f"{tag}:said"))
    if note:
        items.append(Text((place.left, place.top - 14.6), note, _NOTE, "SECOND", tag="notes"))
    items.append(Line((place.left, rule), (place.right, rule), "HEAD-RULE"))
    return tuple(items), x + (text_width(lines[0], _SAID) if lines else 0.0)


def headed_area(paper: Paper) -> Rect:
    """Return the space for lists between the headline and the foot with title block and key."""
    place = field(paper)
    return Rect(
        place.left, paper.frame.bottom + FOOT + _OVER_KEY + 2.0, place.right, place.top - HEADLINE - UNDER_HEADLINE
    )  # fmt: skip
