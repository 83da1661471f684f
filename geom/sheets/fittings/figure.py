"""Figure of one fitting: its views with dimensions, and the table of its sizes with sources."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from geom.drafting.ruling import Ruled, broken, cell
from geom.drafting.sheet import scale_words
from geom.drafting.views import LETTERING, TITLE
from geom.figure import Circle, Dimension, Item, LengthFormat, Line, Rect, Text, View
from geom.lettering import width as text_width
from geom.parts.families.envelope import EnvelopeSpec
from geom.parts.part import Dim, Part, extents
from geom.sheets.fittings import text as words
from geom.sheets.fittings.dimensions import placed
from geom.sheets.fittings.leaders import stands_at_leader
from geom.solids.sources import BOAT_FILE, INVENTED, STUB, Sources
from geom.units import decimal

# Enlarged views are kept small, reduced ones may fill the height of a sheet [paper mm].
_SCALES = ((5.0, 60.0), (2.0, 75.0), (1.0, 150.0), (0.5, 150.0), (0.2, 150.0), (0.1, 150.0))
_WIDEST = 170.0
_HEAD_ROOM, _BETWEEN, _FOOT, _LINE = 8.0, 6.0, 6.0, 3.8
# Gap above a table below its views [mm].
_TABLE_GAP = 3.0
# A longer source goes into a note.
_SHORT = 24
# Extension of centre lines beyond an edge [paper mm].
_BEYOND = 2.0

Note = Callable[[str], int]


@dataclass(frozen=True)
class Shown:
    """A fitting to be shown: its specification, sources, model file, places of use, and quantity.

    `held` are the places at lines on hold and `held_count` the quantity there, both in addition to the others.
    Fittings of one `group` are on one sheet. `file` is empty for a picture of several members.
    """

    part: Part
    sources: Sources
    file: str
    places: tuple[str, ...]
    count: int
    held: tuple[str, ...] = ()
    held_count: int = 0
    group: str = ""

    @property
    def is_envelope(self) -> bool:
        """Whether it is shown as a plain body."""
        return isinstance(self.part, EnvelopeSpec)

    @property
    def generic(self) -> bool:
        """Whether any of its sizes is generic, or the whole is a plain body."""
        return (
            self.is_envelope
            or not self.file
            or not all(stated.endswith(BOAT_FILE) or stated.startswith("hole in") for _, stated in self.sources)
        )


@dataclass(frozen=True)
class _Look:
    """One view before placing: its name, edges, dimensions and centre, and its rectangle on paper."""

    name: str
    items: tuple[Item, ...]
    middle: float
    room: Rect


@dataclass(frozen=True)
class Panel:
    """A fitting laid out: its size on paper, and the function that draws it under a letter from its top left corner."""

    width: float
    height: float
    draw: Callable[[str, float, float, Note], tuple[list[View], list[Item]]]


def name_of(part: Part) -> str:
    """Return the name of a part on the sheets; an envelope has the name of the part it represents."""
    if isinstance(part, EnvelopeSpec):
        return words.STANDS_FOR.format(family=part.stands_for.upper())
    return words.NAMES.get(part.family, part.family.upper())


def fine_numbers(fmt: LengthFormat) -> LengthFormat:
    """Return the length format of fitting sizes: millimetres to one decimal, inches to three."""
    return LengthFormat("mm", 1.0, 1) if fmt.unit == "mm" else LengthFormat(fmt.unit, fmt.mm, 3)


def panel(shown: Shown, fmt: LengthFormat, below: bool, reduced: bool = False) -> Panel:
    """Return a fitting laid out: its views, its table of sizes beside or below them, its places of use at the foot.

    Args:
        shown: the fitting.
        fmt: length format of the boat.
        below: whether the table is below the views.
        reduced: whether the views are at the next smaller scale.
    """
    fine, scale = fine_numbers(fmt), _scale(shown.part, reduced)
    looks = _looks(shown, scale, fine)
    # The widest number of a note.
    table = size_table("", shown, fine, lambda _: 99)
    across = math.fsum(look.room.width for look in looks) + _BETWEEN * (len(looks) - 1)
    bottom = min(look.room.bottom for look in looks)
    top = max(look.room.top for look in looks)
    head = f"{name_of(shown.part)}  {scale_words(scale)}"
    said = _head_lines(shown)
    wide = max(across, math.fsum(table.widths)) if below else across + _BETWEEN + math.fsum(table.widths)
    wide = max(wide, text_width(words.HEAD.format(letter="WW", name=head), TITLE))
    wide = max(wide, *(text_width(line, LETTERING) for _, line in said))
    places = _place_lines(shown, wide)
    views_tall = top - bottom + _FOOT - 1.0
    body = views_tall + _TABLE_GAP + table.height if below else max(views_tall, table.height + 2.0)
    head_room = _HEAD_ROOM + _LINE * len(said)
    height = head_room + body + _LINE * len(places) + 3.0

    def draw(letter: str, x: float, y: float, note: Note) -> tuple[list[View], list[Item]]:
        tag = f"fitting:{letter}"
        sizes = size_table(letter, shown, fine, note)
        level = y - head_room
        foot = level - (views_tall if below else body)
        corner = (x, foot - _TABLE_GAP) if below else (x + wide - math.fsum(sizes.widths), level)
        items: list[Item] = [
            Text((x, y - TITLE - 0.5), words.HEAD.format(letter=letter, name=head), TITLE, "TEXT", tag=f"{tag}:name"),
            sizes.at(corner),
        ]
        items += [
            Text((x, y - TITLE - 5.0 - k * _LINE), line, LETTERING, "NOTE", tag=f"{tag}:{key}")
            for k, (key, line) in enumerate(said)
        ]
        views: list[View] = []
        left = x
        for look in looks:
            window = Rect(left, foot, left + look.room.width, level)
            origin = (left - look.room.left, level - top)
            views.append(
                View(f"{letter}-{look.name}", "", scale, origin, window, look.items, numbers=fine,
                     description=f"{name_of(shown.part)}, {look.name}")
            )  # fmt: skip
            items.append(Text((origin[0] + look.middle, foot + 1.0), look.name, LETTERING, "NOTE", "centre"))
            left = window.right + _BETWEEN
        under = level - body - _LINE
        items += [
            Text((x, under - k * _LINE), line, LETTERING, "NOTE", tag=f"{tag}:{key}")
            for k, (key, line) in enumerate(places)
        ]
        return views, items

    return Panel(wide, height, draw)


def _head_lines(shown: Shown) -> tuple[tuple[str, str], ...]:
    count = words.COUNT.format(count=shown.count)
    if shown.held_count:
        count += words.HELD.format(held=shown.held_count)
    kind = words.ENVELOPE if shown.is_envelope else words.GENERIC if shown.generic else words.TO_SIZE
    use = ("use", kind)
    if not shown.file:
        return ("count", count), ("members", words.MEMBERS), use
    file = ("file", words.MODEL.format(file=shown.file))
    return ("count", count), file, use


def _place_lines(shown: Shown, wide: float) -> list[tuple[str, str]]:
    """Return the places of use of a fitting; for a member of a group see the picture of the group."""
    lines: list[tuple[str, str]] = []
    if shown.group and shown.file:
        return lines
    if shown.places:
        lines += [("at", line) for line in broken(words.AT.format(places=", ".join(shown.places)), wide)]
    if shown.held:
        lines += [("held", line) for line in broken(words.HELD_AT.format(places=", ".join(shown.held)), wide)]
    return lines


def _is_stub(shown: Shown) -> bool:
    return any(stated == STUB for _, stated in shown.sources)


def _edges(items: tuple[Item, ...]) -> tuple[Item, ...]:
    return tuple(item for item in items if not isinstance(item, Dimension))


@cache
def _named(part: Part) -> tuple[tuple[str, tuple[Item, ...]], ...]:
    """Return the views needed: the front, the side where it differs, the plan where it is dimensioned."""
    outline = part.outline()
    found = [(words.FRONT, outline.front)]
    if any(isinstance(i, Dimension) for i in outline.side) or set(outline.side) != set(_edges(outline.front)):
        found.append((words.SIDE, outline.side))
    if any(isinstance(item, Dimension) for item in outline.plan):
        found.append((words.PLAN, outline.plan))
    return tuple(found)


def _scale(part: Part, reduced: bool) -> float:
    """Return the largest scale at which the views of a part fit beside their table, or the next smaller one."""
    spans = [extents(_edges(items)) for _, items in _named(part)]
    tall, wide = max(s[3] - s[1] for s in spans), math.fsum(s[2] - s[0] for s in spans)
    fitting = [s for s, room in _SCALES if tall * s <= room and wide * s <= min(room, _WIDEST)] or [_SCALES[-1][0]]
    return fitting[min(reduced, len(fitting) - 1)]


def _looks(shown: Shown, scale: float, fine: LengthFormat) -> list[_Look]:
    stated = dict(shown.sources)
    left_out = {f"dim:{name}" for name, source in shown.sources if source == STUB}
    found: list[_Look] = []
    for name, items in _named(shown.part):
        edges = _edges(items)
        left, bottom, right, top = extents(edges)
        reach = Rect(left * scale, bottom * scale, right * scale, top * scale)
        dims = [_plain_bar(item, stated) for item in items if isinstance(item, Dimension) and item.tag not in left_out]
        noted = [item for item in dims if stands_at_leader(item, edges)]
        centres = _centre_lines(edges, scale)
        made, room = placed([item for item in dims if item not in noted], noted, edges, reach, scale, fine)
        name = words.CUT_SHORT.format(view=name) if _is_stub(shown) and not found else name
        wide = text_width(name, LETTERING) + 1.0
        middle = 0.5 * (reach.left + reach.right)
        clear = _BEYOND + 0.5
        room = Rect(
            min(room.left, middle - 0.5 * wide, reach.left - clear) - 0.5,
            min(room.bottom - 0.5, reach.bottom - clear),
            max(room.right, middle + 0.5 * wide, reach.right + clear) + 0.5,
            max(room.top + 0.5, reach.top + clear),
        )
        # A hole seen from the side has its own centre line, which may reach further.
        for line in (item for item in edges if isinstance(item, Line) and item.layer == "CENTRE"):
            (x0, y0), (x1, y1) = line.start, line.end
            room = Rect(
                min(room.left, x0 * scale, x1 * scale),
                min(room.bottom, y0 * scale, y1 * scale),
                max(room.right, x0 * scale, x1 * scale),
                max(room.top, y0 * scale, y1 * scale),
            )
        found.append(_Look(name, (*edges, *centres, *made), middle, room))
    return found


def _plain_bar(item: Dimension, stated: dict[str, str]) -> Dimension:
    """Return the size of a thread by its designation, or as that of the bar drawn where the boat file states none."""
    if item.tag != "dim:thread":
        return item
    source = stated.get("thread", "")
    designation = source.removeprefix(f"{BOAT_FILE}, ") if source.startswith(f"{BOAT_FILE}, ") else ""
    return replace(item, text=designation or "Ø<>")


def _centre_lines(edges: tuple[Item, ...], scale: float) -> tuple[Item, ...]:
    """Return crosses through round holes, and the axis of a symmetrical view."""
    beyond = _BEYOND / scale
    found: list[Item] = []
    left, bottom, right, top = extents(edges)
    even = abs(left + right) < 1e-6 and right - left < top - bottom
    if even:
        found.append(Line((0.0, bottom - beyond), (0.0, top + beyond), "CENTRE"))
    largest: dict[tuple[float, float], float] = {}
    for edge in edges:
        if isinstance(edge, Circle) and edge.layer == "OUTLINE":
            key = (round(edge.centre[0], 6), round(edge.centre[1], 6))
            largest[key] = max(edge.radius, largest.get(key, 0.0))
    for (x, y), radius in largest.items():
        arm = radius + beyond
        found.append(Line((x - arm, y), (x + arm, y), "CENTRE"))
        if not (even and abs(x) < 1e-6):
            found.append(Line((x, y - arm), (x, y + arm), "CENTRE"))
    return tuple(found)


def size_table(letter: str, shown: Shown, fine: LengthFormat, note: Note) -> Ruled:
    """Return a row for each named size shown: its name, value and source.

    Args:
        letter: of the fitting on the sheets.
        shown: the fitting.
        fine: length format of fitting sizes.
        note: returns the number of the note for a long source.
    """
    stated = dict(shown.sources)
    family = shown.part.family
    rows = []
    for dim in shown.part.dims():
        source = stated[dim.name]
        if source == STUB or (family, dim.name) in words.UNSEEN:
            continue
        short = words.SOURCES.get(source, source)
        said = short if len(short) <= _SHORT else words.SEE_NOTE.format(number=note(source))
        tag = f"fitting:{letter}:{dim.name}"
        name = words.SIZES.get((family, dim.name), dim.name)
        rows.append((cell(name, "", "left"), cell(value_words(dim, fine), tag), cell(said, f"{tag}:from", "left")))
    return Ruled("", (words.SIZE, fine.unit, words.FROM), tuple(rows), f"table:fitting:{letter}")


def value_words(dim: Dim, fine: LengthFormat) -> str:
    """Return a size as text for the table; angles and counts are marked as such."""
    if dim.unit == "mm":
        return decimal(dim.value / fine.mm, fine.decimals)
    return f"{dim.value:g}°" if dim.unit == "deg" else f"{dim.value:g}"


def sentence(source: str) -> str:
    """Return a source as a note, a full sentence."""
    return f"{source[:1].upper()}{source[1:]}{'' if source.endswith('.') else '.'}"


def has_invented(shown: Shown) -> bool:
    """Return whether any size in the table is marked as invented."""
    return any(stated.startswith(INVENTED) for _, stated in shown.sources)
