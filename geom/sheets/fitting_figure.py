"""One fitting on paper: its views with dimensions, the table of its sizes and where each comes from."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from geom.figure import Dimension, Item, Numbers, Rect, Text, View
from geom.lettering import width as text_width
from geom.parts.part import Dim, Part, extents
from geom.sheets import fitting_words as words
from geom.sheets.draft import scale_words
from geom.sheets.fitting_dims import placed
from geom.sheets.ruled import Ruled, cell
from geom.sheets.ruled_list import broken
from geom.sheets.views import LETTERING, TITLE
from geom.solids.sources import STUB, Sources
from geom.units import decimal

# Enlarged views are kept small, reduced ones may be as tall as a sheet lets them [paper mm].
_SCALES = ((5.0, 60.0), (2.0, 75.0), (1.0, 150.0), (0.5, 150.0), (0.2, 150.0), (0.1, 150.0))
_WIDEST = 170.0
_HEAD_ROOM, _BETWEEN, _FOOT, _LINE = 12.0, 6.0, 6.0, 3.8
# Words of a source that are longer stand in a note.
_SHORT = 24


@dataclass(frozen=True)
class Shown:
    """A fitting to be shown: its specification, sources, model file, the places where it is used, and how many."""

    part: Part
    sources: Sources
    file: str
    places: tuple[str, ...]
    count: int


@dataclass(frozen=True)
class _Look:
    """One view before it has its place: its name, its edges and dimensions, the paper that it takes."""

    name: str
    items: tuple[Item, ...]
    room: Rect


@dataclass(frozen=True)
class Panel:
    """A fitting laid out: the paper that it takes and how it is drawn under a letter from its upper left corner."""

    width: float
    height: float
    draw: Callable[[str, float, float], tuple[list[View], list[Item]]]


def name_of(part: Part) -> str:
    """Return what a sheet calls a part."""
    return words.NAMES.get(part.family, part.family.upper())


def numbers_for(part: Part, how: Numbers) -> Numbers:
    """Return how a part's sizes are written: millimetres to the decimals that they have, two at most; inches to three.

    Args:
        part: the fitting.
        how: how lengths are written for its boat.
    """
    if how.unit != "mm":
        return Numbers(how.unit, how.mm, 3)
    values = [dim.value for dim in part.dims() if dim.unit == "mm"]
    exact = (n for n in (0, 1) if all(abs(round(v, n) - v) < 1e-6 for v in values))
    return Numbers("mm", 1.0, next(exact, 2))


def panel(shown: Shown, how: Numbers, note: Callable[[str], int]) -> Panel:
    """Return a fitting laid out: views at the left, table at the right, its places below.

    Args:
        shown: what is drawn.
        how: how lengths are written for the boat.
        note: gives a text its number among the notes of the sheet.
    """
    fine = numbers_for(shown.part, how)
    scale = _scale(shown.part)
    looks = _looks(shown, scale, fine)
    table = size_table("", shown, fine, note)
    across = sum(look.room.width + _BETWEEN for look in looks)
    bottom = min(look.room.bottom for look in looks)
    top = max(look.room.top for look in looks)
    wide = across + sum(table.widths)
    head = f"{name_of(shown.part)}  {scale_words(scale)}"
    count = words.COUNT.format(count=shown.count, file=shown.file)
    wide = max(wide, text_width(words.HEAD.format(letter="WW", name=head), TITLE), text_width(count, LETTERING))
    places = broken(words.AT.format(places=", ".join(shown.places)), wide)
    body = max(top - bottom + _FOOT, table.height + 2.0)
    height = _HEAD_ROOM + body + _LINE * len(places) + 2.0

    def draw(letter: str, x: float, y: float) -> tuple[list[View], list[Item]]:
        tag = f"fitting:{letter}"
        titled = words.HEAD.format(letter=letter, name=head)
        items: list[Item] = [
            Text((x, y - TITLE - 0.5), titled, TITLE, "TEXT", tag=f"{tag}:name"),
            Text((x, y - TITLE - 5.0), count, LETTERING, "NOTE", tag=f"{tag}:count"),
            size_table(letter, shown, fine, note).at((x + wide - sum(table.widths), y - _HEAD_ROOM)),
        ]
        views: list[View] = []
        left, level = x, y - _HEAD_ROOM - top
        for look in looks:
            origin = (left - look.room.left, level)
            window = Rect(left, y - _HEAD_ROOM - body, left + look.room.width, y - _HEAD_ROOM)
            views.append(
                View(f"{letter}-{look.name}", "", scale, origin, window, look.items, numbers=fine,
                     description=f"{name_of(shown.part)}, {look.name}")
            )  # fmt: skip
            middle = 0.5 * (window.left + window.right)
            items.append(Text((middle, y - _HEAD_ROOM - body + 1.0), look.name, LETTERING, "NOTE", "centre"))
            left = window.right + _BETWEEN
        foot = y - _HEAD_ROOM - body - _LINE
        items += [
            Text((x, foot - k * _LINE), line, LETTERING, "NOTE", tag=f"{tag}:at") for k, line in enumerate(places)
        ]
        return views, items

    return Panel(wide, height, draw)


def _edges(items: tuple[Item, ...]) -> tuple[Item, ...]:
    return tuple(item for item in items if not isinstance(item, Dimension))


def _named(part: Part) -> list[tuple[str, tuple[Item, ...]]]:
    """Return the views that say something: the front, the side where it differs, the plan where it is dimensioned."""
    outline = part.outline()
    found = [(words.FRONT, outline.front)]
    if any(isinstance(i, Dimension) for i in outline.side) or set(outline.side) != set(_edges(outline.front)):
        found.append((words.SIDE, outline.side))
    if any(isinstance(item, Dimension) for item in outline.plan):
        found.append((words.PLAN, outline.plan))
    return found


def _scale(part: Part) -> float:
    """Return the largest scale at which a part's views stay small enough beside their table."""
    spans = [extents(_edges(items)) for _, items in _named(part)]
    tall, wide = max(s[3] - s[1] for s in spans), sum(s[2] - s[0] for s in spans)
    return next((s for s, most in _SCALES if tall * s <= most and wide * s <= min(most, _WIDEST)), _SCALES[-1][0])


def _looks(shown: Shown, scale: float, fine: Numbers) -> list[_Look]:
    stubs = {f"dim:{name}" for name, told in shown.sources if told == STUB}
    found = []
    for name, items in _named(shown.part):
        edges = _edges(items)
        left, bottom, right, top = extents(edges)
        reach = Rect(left * scale, bottom * scale, right * scale, top * scale)
        dims = [_metric(item) for item in items if isinstance(item, Dimension) and item.tag not in stubs]
        made, room = placed(dims, reach, scale, fine)
        wide = text_width(name, LETTERING) + 1.0
        spare = max(0.0, 0.5 * (wide - room.width))
        room = Rect(room.left - spare - 0.5, room.bottom - 0.5, room.right + spare + 0.5, room.top + 0.5)
        found.append(_Look(name, (*edges, *made), room))
    return found


def _metric(item: Dimension) -> Dimension:
    """Return a thread's dimension by its metric name, whatever the boat counts in."""
    if not item.text.startswith("M"):
        return item
    size = math.dist(item.start, item.end)
    return Dimension(item.start, item.end, item.offset, item.along, f"M{size:g}", tag=item.tag)


def size_table(letter: str, shown: Shown, fine: Numbers, note: Callable[[str], int]) -> Ruled:
    """Return a row for each named size: its name, its value, where it comes from."""
    told = dict(shown.sources)
    rows = []
    for dim in shown.part.dims():
        source = told[dim.name]
        said = source if len(source) <= _SHORT else words.SEE_NOTE.format(number=note(source))
        tag = f"fitting:{letter}:{dim.name}"
        rows.append((cell(dim.name, "", "left"), cell(value_words(dim, fine), tag), cell(said, f"{tag}:from", "left")))
    return Ruled("", (words.SIZE, fine.unit, words.FROM), tuple(rows), f"table:fitting:{letter}")


def value_words(dim: Dim, fine: Numbers) -> str:
    """Return a size as the table writes it; angles and counts say what they are."""
    if dim.unit == "mm":
        return decimal(dim.value / fine.mm, fine.decimals)
    return f"{dim.value:g}°" if dim.unit == "deg" else f"{dim.value:g}"
