"""F6: the list of fabricated parts, tubes by cut length and grade first, with masses."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from geom.drafting.columns import Column, ColumnTable
from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.sheet import GAP, Draft, field
from geom.drafting.shop_text import as_bought, shop, tube_size
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH
from geom.errors import GeometryError
from geom.figure import Cell, Item, LengthFormat, Point, Text
from geom.lettering import width as text_width
from geom.open_items import OpenItem, open_items
from geom.open_items.concerns import held_posts
from geom.open_items.to_come import lacking
from geom.purchasing.fabricated import FabricatedPart, fabricated_parts
from geom.refit import Refit
from geom.sheets.fabricated import text as words
from geom.sheets.stanchions import held as on_hold
from geom.sheets.stanchions.family import families
from geom.sheets.stanchions.family import rows as stanchion_rows
from geom.tables import numbers
from geom.units import decimal, in_unit

_HEADING, _BAR = 16.0, 13.0
_FOR_WIDE = 70.0
# Rows of a short list are taller [mm].
_TALLEST = 8.5
# Between the list and the table of the stanchions under it, with its title [mm].
_UNDER = 11.0
_OF_EACH = "table:each"


def fabricated_sheets(refit: Refit) -> tuple[Draft, ...]:
    """Return the list, on several sheets where it is long; none for a boat whose bases are not stated.

    Raises:
        GeometryError: a row fits no sheet.
    """
    if not any(post.base is not None for post in refit.boat.posts):
        return ()
    parts = fabricated_parts(refit.placed)
    items = open_items(refit)
    held = held_posts(refit, items)
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        table, of_each = _table(refit, parts, items), _of_each(refit, parts, held)
        whole = field(paper)
        notes = _notes(refit, parts, items, whole.width - BLOCK_WIDTH + 8.0 - GAP)
        low = max(whole.bottom + _BAR - 8.0 + notes.height, paper.frame.bottom + BLOCK_HEIGHT) + GAP
        room = whole.top - _HEADING - low
        rows = int((room - table.head_height) / table.row)
        wide = max(math.fsum(one.widths) for one in (table, of_each))
        if wide > whole.width or rows < 8 or room < of_each.height:
            continue
        pages = [(replace(table, rows=table.rows[k : k + rows]),) for k in range(0, len(table.rows), rows)]
        last = (*pages[-1], of_each)
        together = math.fsum(one.height for one in last) + _UNDER <= room
        filled = [*pages[:-1], last] if together else [*pages, (of_each,)]
        return tuple(
            _draft(refit, paper, _spread(page, room), notes, low, number) for number, page in enumerate(filled, start=1)
        )
    raise GeometryError("no sheet holds the list of fabricated parts")


def _spread(tables: tuple[ColumnTable, ...], room: float) -> tuple[ColumnTable, ...]:
    """Return the tables of a sheet with rows as high as its room allows [mm]."""
    fixed = math.fsum(one.head_height for one in tables) + (len(tables) - 1) * _UNDER
    row = min(_TALLEST, (room - fixed) / sum(len(one.rows) for one in tables))
    return tuple(replace(one, row=max(one.row, row)) for one in tables)


def _draft(refit: Refit, paper: Paper, tables: tuple[ColumnTable, ...], notes: Notes, low: float, number: int) -> Draft:
    whole = field(paper)
    at = (whole.left, whole.top - 5.0)
    beyond = (at[0] + text_width(words.HEAD, 5.0, "semibold") + 4.0, at[1])
    fmt = numbers(refit.boat)
    length = words.INCHES if fmt.unit == "in" else fmt.unit
    line = words.HEAD_LINE.format(length=length, mass=_heavy(fmt))
    items: tuple[Item, ...] = (
        Text(at, words.HEAD, 5.0, "TEXT", tag="heading", weight="semibold"),
        Text(beyond, line, 2.5, "SECOND", tag="heading:line"),
        *_placed(tables, (whole.left, whole.top - _HEADING), whole.width),
        *notes.items((whole.left, low - GAP)),
    )
    return Draft(
        number="F6",
        name=f"fabricated-parts-{number}" if number > 1 else "fabricated-parts",
        title=words.TITLE,
        subtitle=words.SUBTITLE,
        paper=paper,
        scale="none",
        items=items,
        units=f"{length}, {_heavy(fmt)}",
        stamped=True,
        description=words.SUBTITLE,
    )


def _placed(tables: tuple[ColumnTable, ...], at: Point, width: float) -> Iterator[Item]:
    """Yield the tables from their upper left corner down; the one of the stanchions has its title over it."""
    left, top = at
    for place, table in enumerate(tables):
        if table.tag == _OF_EACH:
            top -= _UNDER if place else 0.0
            title = (left, top + 2.5)
            beyond = (left + text_width(words.OF_EACH, 3.5, "semibold") + 4.0, title[1])
            yield Text(title, words.OF_EACH, 3.5, "TEXT", tag="heading:each", weight="semibold")
            yield Text(beyond, words.OF_EACH_LINE, 2.5, "SECOND", tag="heading:each:line")
        yield from table.items((left, top), width)
        top -= table.height


def _of_each(refit: Refit, parts: Sequence[FabricatedPart], held: on_hold.Held) -> ColumnTable:
    """Return the items of the list that each stanchion takes, with how many where it takes more than one."""
    kinds = [kind for kind in words.KINDS if any(part.kind == kind for part in parts)]
    columns = (Column(words.STANCHION), *(Column(words.KINDS[kind]) for kind in kinds))
    rows = []
    for post in refit.placed.posts:
        cells = [on_hold.name_cell(post, f"F6:each:{post}", held)]
        for kind in kinds:
            taken = [(part.on(post), number) for number, part in enumerate(parts, start=1) if part.kind == kind]
            texts = [words.TAKEN[count > 1].format(count=count, item=number) for count, number in taken if count]
            cells.append(Cell("; ".join(texts), f"F6:each:{post}:{kind}"))
        rows.append(tuple(cells))
    return ColumnTable(columns, tuple(rows), _OF_EACH)


def _table(refit: Refit, parts: Sequence[FabricatedPart], items: Sequence[OpenItem]) -> ColumnTable:
    fmt = numbers(refit.boat)
    braced = frozenset(name for row in families(stanchion_rows(refit, items))[1] for name in row.ids)
    held = frozenset(held_posts(refit, items))
    right = {0, 2, 4, 6, 7}
    columns = tuple(Column(head, "", "right" if k in right else "left") for k, head in enumerate(words.HEADS))
    rows = []
    for number, part in enumerate(parts, start=1):
        texts = (
            str(number),
            part.name if part.kind in ("plate", "pad", "bolt") else words.CALLED.get(part.kind, part.kind),
            str(part.count),
            _size(part, fmt),
            "" if part.cut is None else shop(part.cut, fmt),
            part.material or "",
            _mass(part.mass, fmt),
            _mass(part.mass_of_all, fmt),
            _for(part),
            _sheet(part, braced),
            _missing(refit, part, held),
        )
        rows.append(
            tuple(
                Cell(
                    text, f"F6:{number}:{key}", column.across, "semibold" if key in ("part", "cut") else "regular",
                    "HOLD" if key == "tbc" and _held(part, held) else "",
                )
                for text, key, column in zip(texts, _KEYS, columns, strict=True)
            )
        )  # fmt: skip
    return ColumnTable(columns, tuple(rows), "table:fabricated")


_KEYS = ("item", "part", "qty", "size", "cut", "material", "mass", "mass-all", "for", "sheet", "tbc")


def _size(part: FabricatedPart, fmt: LengthFormat) -> str:
    if part.kind == "tube":
        stated = dict(part.sizes)
        return tube_size(stated["od"], stated["wall"], fmt)
    # A slant is worked out, not bought: it is written as on F3.
    sizes = {name: (shop if name == "slant" else as_bought)(value, fmt) for name, value in part.sizes}
    template = {
        "plate": words.PLATE,
        "pad": words.PAD,
        "bush": words.BUSH,
        "spacer": words.SPACER,
        "bolt": words.BOLT,
        "brace tube": words.BRACE,
    }
    return template[part.kind].format(**sizes) if part.kind in template else ""


def _heavy(fmt: LengthFormat) -> str:
    return "lb" if fmt.unit == "in" else "kg"


def _mass(mass: float | None, fmt: LengthFormat) -> str:
    return "" if mass is None else decimal(in_unit(mass, _heavy(fmt), "mass"), 2)


def _for(part: FabricatedPart) -> str:
    listed = ", ".join(part.posts)
    return listed if text_width(listed, 2.5) <= _FOR_WIDE else words.MANY.format(count=len(part.posts))


def _sheet(part: FabricatedPart, braced: frozenset[str]) -> str:
    """Return the sheets that show a part: those of its stanchions, or the one of its kind."""
    first = words.SHEETS[part.kind]
    if first != words.SHEETS["tube"]:
        return first
    on = [first] if not braced.issuperset(part.posts) else []
    return ", ".join((*on, words.BRACED) if braced.intersection(part.posts) else on)


def _held(part: FabricatedPart, held: frozenset[str]) -> tuple[str, ...]:
    """Return the stanchions on hold that a part to be made is for."""
    return () if part.kind in words.BOUGHT else tuple(post for post in part.posts if post in held)


def _missing(refit: Refit, part: FabricatedPart, held: frozenset[str]) -> str:
    """Return what is to be confirmed of a part, and the stanchions on hold that it is for."""
    stated = lacking(refit, [words.ASKED[part.kind]], part.posts) if part.kind in words.ASKED else ()
    missing, waiting = ", ".join(words.SHORT[one.code] for one in stated), _held(part, held)
    if not waiting:
        return missing
    waits = words.ON_HOLD[len(waiting) == len(part.posts)].format(posts=", ".join(waiting))
    return f"{missing}; {waits}" if missing else waits


def _notes(refit: Refit, parts: Sequence[FabricatedPart], items: Sequence[OpenItem], width: float) -> Notes:
    found = [] if refit.boat.survey == "as designed" else [words.AS_FOUND]
    lines = [*found, *_stock(parts, numbers(refit.boat)), words.NET, words.MASS, words.SPARE]
    held = held_posts(refit, items)
    flags = [(len(lines) - 1, item.number) for item in items if item.cause.code == "item.fabrication"]
    bought = [str(number) for number, part in enumerate(parts, start=1) if part.kind in words.BOUGHT]
    if bought:
        lines.append(words.ORDERED[len(bought) > 1].format(items=", ".join(bought)))
    edges = [item.number for item in items if item.cause.code == "item.edges"]
    if edges:
        lines.append(words.EDGES)
        flags += [(len(lines) - 1, number) for number in edges]
    if held:
        lines.append(on_hold.note(held))
        flags += [(len(lines) - 1, number) for number in on_hold.stopped_by(held)]
    return Notes(words.NOTES, tuple(lines), width, 2, tuple(flags))


def _stock(parts: Sequence[FabricatedPart], fmt: LengthFormat) -> list[str]:
    """Return each tube's sum: how many, net length, mass."""
    tubes = [part for part in parts if part.kind == "tube"]
    lines = []
    for name in dict.fromkeys(part.name for part in tubes):
        found = [part for part in tubes if part.name == name]
        known = [part for part in found if part.cut is not None]
        length = math.fsum(part.count * (part.cut or 0.0) for part in known)
        masses = [part.mass_of_all for part in known]
        mass = math.fsum(one for one in masses if one is not None)
        lines.append(
            words.TOTAL.format(
                size=_size(found[0], fmt), grade=found[0].material, count=sum(part.count for part in known),
                length=shop(length, fmt), unit=fmt.unit, mass=_mass(mass, fmt), heavy=_heavy(fmt),
            )
        )  # fmt: skip
    return lines
