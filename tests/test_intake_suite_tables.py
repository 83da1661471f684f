"""Tables written by an office suite in five locales, forty files, are read to one boat; damaged ones are refused."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from openpyxl import load_workbook

from geom.errors import InputError
from geom.intake.tables.read import boat_parts, read_tables
from geom.units import read_quantity
from tests.some import some
from tests.table_boat import TABLES, rows_of

WRITTEN = Path(__file__).parent / "fixtures" / "tables"
NAMES = sorted(path.name for path in WRITTEN.iterdir())


def files_of(name: str) -> dict[str, bytes]:
    path = WRITTEN / name
    if path.suffix == ".xlsx":
        return {name: path.read_bytes()}
    with zipfile.ZipFile(path) as packed:
        return {one: packed.read(one) for one in packed.namelist()}


def mm(text: str) -> float:
    return read_quantity(text, "length", None)[0]


def test_there_are_forty():
    assert len(NAMES) == 40
    assert len({name[:5] for name in NAMES}) == 5


@pytest.mark.parametrize("name", NAMES)
def test_the_same_boat_from_every_locale(name):
    """Hand-held against the values that were given to the office suite: points, angles, holes, tapes."""
    parts = boat_parts(read_tables(files_of(name), {}))
    posts = {post["id"]: post for post in parts["posts"]}
    keys, _, rows = rows_of("posts")
    for row in some(rows):
        given = dict(zip(keys, row, strict=True))
        post = posts[given["id"]]
        assert [mm(text) for text in post["foot"]] == pytest.approx([given[axis] for axis in "xyz"], abs=1e-6)
        assert float(post["lean"].split()[0]) == pytest.approx(given["lean"], abs=1e-6)
        assert float(post["deck_falls"]["outboard"].split()[0]) == pytest.approx(given["falls outboard"], abs=1e-6)
        assert (mm(post["top"]), post["tube"]) == (pytest.approx(given["top"], abs=1e-6), given["tube"])
        for level, word in (("U", "upper"), ("L", "lower")):
            hole = post["holes"][level]
            assert mm(hole["along"]) == pytest.approx(given[f"{word} along"], abs=1e-6)
            assert mm(hole["as_found"]["diameter"]) == pytest.approx(given[f"{word} diameter"], abs=1e-6)
    for row, eye in some(zip(rows_of("eyes")[2], parts["eyes"], strict=True)):
        assert (eye["id"], eye["on"]) == tuple(row[:2])
        assert [mm(text) for text in eye["at"]] == pytest.approx(row[2:], abs=1e-6)
    edge = [[side, *map(mm, point)] for side, word in (("S", "starboard"), ("P", "port"))
            for point in parts["deck_edge"][word]]  # fmt: skip
    for row, point in some(zip(rows_of("deck edge")[2], edge, strict=True)):
        assert point == [row[0], *(pytest.approx(value, abs=1e-6) for value in row[1:])]
    for row, tape in some(zip(rows_of("tapes")[2], parts["tapes"], strict=True)):
        assert (tape["start"], tape["end"], mm(tape["length"])) == (row[0], row[1], pytest.approx(row[2], abs=1e-6))
    assert set(TABLES) == {"posts", "eyes", "deck edge", "tapes"}


def text_of(lines: str) -> dict[str, bytes]:
    return {"tapes.csv": lines.encode()}


HEAD = "from;to;taped [mm]\n"
DAMAGED = [
    (text_of(HEAD + "a;b;1.736\n"), r"cell C2: is this 1.736 or 1736.*--decimal"),
    (text_of(HEAD + "a;b;1,736\n"), r"cell C2: is this 1736 or 1.736.*--decimal"),
    (text_of(HEAD + "a;b;967\nb;c;1.736\nc;d;2.104\n"), r"cell C3: is this .*, and 1 more"),
    (text_of(HEAD + "a;b;967,5\nb;c;736.25\n"), r"cell C2: a decimal comma, and a decimal point in cell C3"),
    (text_of(HEAD + "a;b;12,345,6\n"), r"cell C2: a comma is not read"),
    (text_of("from,to,taped [mm],note\na,b,1736,5\nb,c,967,0\n"), r"cell D1: are these the decimals of taped \[mm\]"),
    (text_of("from,to,taped [mm]\na,b,1736,5\n"), r"cell D2: a cell without a heading .read: 5"),
    (text_of(HEAD + "a;b;l736\n"), r"cell C2: not a number with a unit .read: l736"),
    (text_of(HEAD + "a;b;17O6\n"), r"cell C2: .*'?O6|not a number with a unit"),
    (text_of(HEAD + "a;b;\n"), r"row 2, column taped \[mm\]: no length"),
    (text_of(HEAD + "a;b;-1736\n"), r"cell C2: a tape must be longer than zero"),
    (text_of(HEAD + "a;b;0\n"), r"cell C2: a tape must be longer than zero"),
    (text_of(HEAD + "a;b;1e3\n"), r"cell C2: powers of ten are not read"),
    (text_of(HEAD + "a;b;=B1\n"), r"cell C2: a formula"),
    (text_of(HEAD + "a;b;736 kg\n"), r"cell C2: 'kg' is not a unit of length"),
    (text_of("from;to;taped [lb]\na;b;736\n"), r"cell C1: not a unit of length .read: lb"),
    (text_of("from;to;taped\na;b;736\n"), r"column taped states none .*taped \[mm\]"),
    (text_of("from;to\na;b\n"), r"row 1: table tapes has no column for length"),
    (text_of("from;to;taped [mm];reading [mm]\na;b;1;2\n"), r"cell D1: two columns for length"),
    (text_of("one;two;three\n1;2;3\n"), r"table tapes: no row of headings"),
    (text_of(HEAD + 'a;"b;736\n'), r"not readable as CSV"),
    ({"tapes.csv": HEAD.encode() + b"a;b;7\x0036\n"}, r"a control character"),
    ({"tapes.csv": b"\x81\x8d\x8f"}, r"neither UTF-8 nor Windows-1252"),
    ({"my figures.csv": HEAD.encode() + b"a;b;736\n"}, r"no table found .*--sheet posts=NAME"),
    ({"tapes.ods": b"PK"}, r"not a table that can be read .* .csv or .xlsx"),
]


def changed_book(change):
    def of() -> dict[str, bytes]:
        book = load_workbook(WRITTEN / "de-DE-2.xlsx")
        change(book)
        data = io.BytesIO()
        book.save(data)
        return {"boot.xlsx": data.getvalue()}

    return of


def cell_of(book, which, place):
    sheet = next(sheet for sheet in book.worksheets if sheet.title == which)
    return sheet[place]


BOOKS = [
    (lambda book: setattr(cell_of(book, "maße", "C2"), "value", "1.736"), r"cell C2: is this 1.736 or 1736"),
    (lambda book: setattr(cell_of(book, "maße", "C2"), "value", "=1+1"), r"maße cell C2: a formula"),
    (lambda book: setattr(cell_of(book, "maße", "C2"), "number_format", '0" ft"'), r"cell C2: the workbook shows 'ft'"),
    (lambda book: setattr(cell_of(book, "stützen", "B2"), "value", None), r"row 2, column x \[mm\]: no x"),
    (lambda book: book["maße"].merge_cells("A2:B2"), r"maße A2:B2: merged cells in the table"),
]


@pytest.mark.parametrize("case", range(len(DAMAGED) + len(BOOKS)))
def test_thirty_that_are_refused_with_row_and_column(case):
    files, message = DAMAGED[case] if case < len(DAMAGED) else BOOKS[case - len(DAMAGED)]
    if callable(files):
        files = changed_book(files)()
    with pytest.raises(InputError, match=message):
        boat_parts(read_tables(files, {}))


def test_there_are_thirty():
    assert len(DAMAGED) + len(BOOKS) == 30
