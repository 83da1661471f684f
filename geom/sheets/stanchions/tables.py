"""The table of a stanchion sheet, its letters, and the general notes under it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom.boat.model import LEVELS, Level
from geom.drafting.columns import Column, ColumnTable
from geom.drafting.hole_text import is_computed
from geom.drafting.line_text import capitalised, in_words
from geom.drafting.shop_text import ATHWARTSHIPS, FORE_AND_AFT, as_bought, same_decimals, shop, turned
from geom.drafting.symbols import FLAG_RADIUS
from geom.figure import Cell, LengthFormat
from geom.open_items.to_come import lacking, stated_facts
from geom.placement.fabrication import shop_limits
from geom.placement.holes import Drilling
from geom.placement.place import PlacedHole
from geom.placement.tube_cut import clocking_from_mark
from geom.refit import Refit
from geom.sheets.stanchions import text as words
from geom.sheets.stanchions.edges import edge_word, edges_open, for_rope
from geom.sheets.stanchions.family import Row
from geom.tables import numbers
from geom.units import decimal, degrees

# Letters of columns, without I and O, and without those of the sections.
_LETTERS = "ABCDEFGHJKLMNPQRSTUVW"


@dataclass(frozen=True)
class _Shown:
    """One column: its key, its heading, and the text of each row."""

    key: str
    column: Column
    texts: tuple[str, ...]


def letters_of(rows: Sequence[Row]) -> dict[str, str]:
    """Return the letters of a sheet's dimensions by the keys of their columns."""
    mitred = any(row.cut.long_point is not None for row in rows)
    keys = ["length", *(["long"] if mitred else []), *(f"hole:{level}" for level in levels_of(rows)), "size",
            "clocking", "tilt", *(["mitre"] if mitred else [])]  # fmt: skip
    keys += ["brace"] if any(row.braced for row in rows) else []
    return dict(zip(keys, _LETTERS, strict=False))


def levels_of(rows: Sequence[Row]) -> tuple[Level, ...]:
    """Return the levels of the holes of some rows, the highest first."""
    return tuple(level for level in LEVELS if any(row.post.hole(level) is not None for row in rows))


def stanchion_table(refit: Refit, rows: Sequence[Row]) -> ColumnTable:
    """Return the table of a sheet.

    Args:
        refit: the boat as calculated.
        rows: of the sheet.
    """
    shown = tuple(_columns(refit, rows))
    cells = tuple(
        tuple(
            Cell(
                one.texts[number],
                f"F:{row.ids[0]}:{one.key}",
                one.column.across,
                "semibold" if one.key in ("ids", "length") else "regular",
                "OPEN-ITEM" if one.key == "action" and row.action == "hold" else "",
            )
            for one in shown
        )
        for number, row in enumerate(rows)
    )
    return ColumnTable(tuple(one.column for one in shown), cells, "table:stanchions")


def _columns(refit: Refit, rows: Sequence[Row]) -> Iterator[_Shown]:
    fmt, letters, levels = numbers(refit.boat), letters_of(rows), levels_of(rows)

    def each(key: str, column: Column, texts: Iterator[str]) -> _Shown:
        return _Shown(key, column, tuple(texts))

    known = rows[0].base is not None
    yield each("ids", Column(words.STANCHION), (row.label for row in rows))
    yield each("qty", Column(words.QTY), (_quantity(row) for row in rows))
    head = words.LENGTH if known else words.LENGTH_DECK
    yield each("length", Column(head, letters["length"], "right"), (shop(row.cut.length, fmt) for row in rows))
    if "long" in letters:
        texts = (shop(row.cut.over_long_point, fmt) if row.cut.long_point else "" for row in rows)
        yield each("long", Column(words.LONG, letters["long"], "right"), texts)
    for level in levels:
        heading = Column(words.HOLE_AT.format(level=level), letters[f"hole:{level}"], "right")
        yield each(f"along:{level}", heading, (_along(row, level, fmt) for row in rows))
    yield from _sizes(rows, levels, letters["size"], fmt)
    group = words.CLOCKING.format(letter=letters["clocking"])
    for level in levels:
        yield each(
            f"clocking:{level}", Column(level, "", "right", group), (_clocking(refit, row, level) for row in rows)
        )
    group = words.TILT.format(letter=letters["tilt"])
    for level in levels:
        yield each(f"tilt:{level}", Column(level, "", "right", group), (_tilt(refit, row, level) for row in rows))
    if known:
        heading = Column(words.MITRE, letters.get("mitre", ""), "right")
        yield each("mitre", heading, (decimal(degrees(row.cut.mitre), 1) if row.cut.long_point else "" for row in rows))
        yield each("long-point", Column(words.LONG_POINT_HEAD), (long_point_words(row) for row in rows))
    if "brace" in letters:
        heading = Column(words.BRACE_AT, letters["brace"], "right")
        yield each("brace", heading, (_brace(row, fmt) for row in rows))
    yield each("lean", Column(words.LEAN_HEAD, "", "right"), (turned(row.post.lean, *ATHWARTSHIPS) for row in rows))
    yield each("rake", Column(words.RAKE_HEAD, "", "right"), (turned(row.post.rake, *FORE_AND_AFT) for row in rows))
    edges = [edge_word(row.post, fmt) for row in rows]
    if any(edges):
        yield each("edge", Column(words.EDGE), iter(edges))
    if known:
        yield each("base", Column(words.BASE), (row.post.spec.base or "" for row in rows))
    flags = 2.0 * FLAG_RADIUS * max(len(row.items) for row in rows)
    yield each("action", Column(words.ACTION, beside=flags), (action_words(row) for row in rows))


def _quantity(row: Row) -> str:
    sides = [sum(name.startswith(side) for name in row.ids) for side in ("S", "P")]
    return " + ".join(f"{count} {side}" for count, side in zip(sides, ("S", "P"), strict=True) if count)


def _along(row: Row, level: Level, fmt: LengthFormat) -> str:
    hole = row.post.hole(level)
    return "" if hole is None else shop(row.cut.from_foot(hole.along), fmt)


def _sizes(rows: Sequence[Row], levels: tuple[Level, ...], letter: str, fmt: LengthFormat) -> Iterator[_Shown]:
    """Yield the diameters of holes, in one column where each stanchion has holes of one size."""
    if all(len({hole.diameter for hole in row.post.holes}) == 1 for row in rows):
        texts = same_decimals([as_bought(row.post.holes[0].diameter, fmt) for row in rows])
        yield _Shown("size", Column(words.HOLE_SIZE, letter, "right"), texts)
        return
    for level in levels:
        found = [row.post.hole(level) for row in rows]
        sizes = same_decimals(["" if hole is None else as_bought(hole.diameter, fmt) for hole in found])
        yield _Shown(f"size:{level}", Column(level, "", "right", f"{letter} {words.HOLE_SIZE}"), sizes)


def _drilled(refit: Refit, row: Row, level: Level) -> tuple[PlacedHole, Drilling] | None:
    hole = row.post.hole(level)
    return None if hole is None else (hole, refit.placed.drillings[hole.id])


def _clocking(refit: Refit, row: Row, level: Level) -> str:
    found = _drilled(refit, row, level)
    return "" if found is None else turned(clocking_from_mark(row.post, found[1]), *ATHWARTSHIPS)


def _tilt(refit: Refit, row: Row, level: Level) -> str:
    found = _drilled(refit, row, level)
    return "" if found is None else turned(found[1].tilt, "up", "down")


def long_point_words(row: Row) -> str:
    """Return the side of the long point and its direction from the AFT mark, `SQUARE` for a square foot."""
    way = row.cut.long_point
    if way is None:
        return words.LONG_POINT[None]
    turn = turned(row.cut.from_mark, *ATHWARTSHIPS)
    return words.LONG_POINT[way].rsplit(" ", 1)[1] + ("" if float(turn.split()[0]) == 0.0 else f", {turn}")


def _brace(row: Row, fmt: LengthFormat) -> str:
    brace = row.post.spec.brace
    return "" if brace is None else shop(row.cut.from_foot(brace.along), fmt)


def action_words(row: Row) -> str:
    """Return what is done to a row's stanchions, in words."""
    work = [
        words.WORK_HOLE[hole.spec.takes_new_tube].format(level=hole.level)
        for hole in row.post.holes
        if hole.spec.planned is not None
    ]
    intended = row.post.spec.intended
    if intended is not None:
        turns = {"lean": turned(intended.lean, *ATHWARTSHIPS, "°"), "rake": turned(intended.rake, *FORE_AND_AFT, "°")}
        work.append(words.WORK_ATTITUDE.format(**turns))
    return words.ACTIONS[row.action].format(work=", ".join(work))


def notes_about(refit: Refit, rows: Sequence[Row]) -> tuple[tuple[str, str], ...]:
    """Return the general notes of a sheet without their numbers, each with the code of the open item that it is about.

    The code is empty for a note that holds whatever is open.

    Args:
        refit: the boat as calculated.
        rows: of the sheet.
    """
    fmt, limits, letters = numbers(refit.boat), shop_limits(), letters_of(rows)
    known = rows[0].base is not None
    pair = {"letter": letters["clocking"], "tilt": letters["tilt"]}
    zero = words.ZERO_LONG if "long" in letters else words.ZERO_NOTE
    computed = [is_computed(hole) for row in rows for hole in row.post.holes]
    lines = [
        words.TOLERANCES.format(
            length=shop(limits.tube_length, fmt), clocking=f"{degrees(limits.clocking):g}",
            plate=f"{degrees(limits.tube_to_plate):g}", letter=letters["clocking"],
        ),
        zero.format(long=letters.get("long"), axis=letters["length"]) if known else words.ZERO_DECK_NOTE,
    ]  # fmt: skip
    notes = [(lines[0], ""), (lines[1], "" if known else "item.fabrication")]
    if any(computed):
        said = words.COMPUTED if all(computed) else words.COMPUTED_SOME
        notes.append((said.format(**pair), "item.hole_direction"))
    else:
        notes.append((words.CLOCKING_NOTE.format(**pair), ""))
    notes.append((words.MARK, ""))
    if any(name.startswith("P") for row in rows for name in row.ids):
        notes.append((words.MIRROR, ""))
    if "brace" in letters:
        notes.append((words.BRACE_NOTE.format(letter=letters["brace"]), ""))
    if known:
        legs = {row.base.weld_leg for row in rows if row.base is not None and row.base.socket is None}
        stated = ", ".join(as_bought(leg, fmt) for leg in sorted(leg for leg in legs if leg is not None))
        leg = "" if None in legs else words.WELD_LEG_NOTE.format(leg=stated)
        # A tube in a bought socket is not welded.
        notes += [(words.WELD.format(leg=leg), "")] if legs else []
    edges = words.EDGES
    if any(for_rope(row.post) for row in rows):
        chosen = not any(edges_open(row.post) for row in rows)
        edges += words.EDGES_CHOSEN if chosen else words.EDGES_ROPE
    notes.append((edges.format(polish=f"{limits.polish:g}"), ""))
    if any(edges_open(row.post) for row in rows):
        walls = ", ".join(sorted({as_bought(row.post.tube_wall, fmt) for row in rows}))
        radius = shop(limits.edge_radius, fmt)
        notes.append((words.EDGES_TBC.format(radius=radius, wall=walls), "item.edges"))
    tubes = [refit.boat.tubes[row.post.spec.tube] for row in rows]
    made_of = [words.MATERIAL.format(grade=", ".join(sorted({tube.grade for tube in tubes})))]
    finishes = sorted({tube.finish for tube in tubes if tube.finish is not None})
    made_of += [words.FINISHED.format(finish=", ".join(finishes))] if finishes else []
    names = [name for row in rows for name in row.ids]
    missing = lacking(refit, words.ASKED, names)
    if missing:
        made_of.append(words.TO_COME.format(what=", ".join(in_words(one, fmt) for one in missing)))
    notes.append((" ".join(made_of), "item.fabrication" if missing else ""))
    notes += [(f"{capitalised(in_words(one, fmt))}.", "") for one in stated_facts(refit, words.ASKED, names)]
    return tuple(notes)
