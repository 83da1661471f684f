"""Tables from CSV and XLSX: headings in the trade's words, units, both ways round, and what is refused where."""

from __future__ import annotations

import io
import zipfile

import pytest
from openpyxl import Workbook

from geom.boat.file import canonical_data, read_boat
from geom.boat.model import Boat
from geom.errors import InputError
from geom.intake.tables.files import boat_tables, csv_files, into_boat_file, workbook
from geom.intake.tables.headings import table_of
from geom.intake.tables.read import boat_parts, read_tables
from tests.some import some
from tests.survey_boats import ROOT, boat

BOATS = ROOT / "templates" / "boats"
MM = {"length": "mm", "angle": "deg"}

POSTS = (
    "stanchion;side;station;half breadth;height;lean out;rake aft;deck falls aft;deck falls outboard;tube;top;"
    "upper along;upper diameter;lower along;lower diameter\n"
    "S1;stbd;2500;965;1079;4,0;0;2,3;4;stanchion;632;615;12,7;308;12,7\n"
    "S1;port;2500;965;1079;4,0;0;2,3;4;stanchion;632;615;12,7;308;12,7\n"
)


def changed(of: Boat) -> bytes:
    """Return SALTWHIN's file with extras that tables have to carry: directions, liner, intended lean, condition."""
    text = (BOATS / "saltwhin-31.yaml").read_text("utf-8")
    text = text.replace(
        "      U: {along: 596, as_found: {diameter: 9.5}}",
        "      U: {along: 596, as_found: {diameter: 9.5, direction: {clocking: 12.25, tilt: -1}, lip_radius: 0.4, "
        "condition: worn}, planned: {diameter: 12.7, direction: {clocking: 9, tilt: 0.2}, lip_radius: 2, "
        "liner: {bore: 11, length: 4.5, mouth_radius: 2}}}",
    )
    return text.replace(
        "    lean: -1.5\n    rake: 0.5\n", "    lean: -1.5\n    rake: 0.5\n    intended: {lean: 3, rake: 0.5}\n"
    ).encode("utf-8")


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25", "changed"])
@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_boat_goes_out_to_tables_and_comes_back(name, kind):
    data = changed(boat()) if name == "changed" else (BOATS / f"{name}.yaml").read_bytes()
    loaded = read_boat(data, name)
    files = csv_files(loaded.boat) if kind == "csv" else {"boat.xlsx": workbook(loaded.boat)}
    tables = read_tables(files, {})
    again = into_boat_file(data, name, tables)
    assert read_boat(again, name).data_sha256 == loaded.data_sha256
    assert canonical_data(read_boat(again, name).boat) == canonical_data(loaded.boat)
    # Nothing has changed, so nothing is spelt anew: not a comment, not a fraction of an inch.
    assert again == data


def test_tables_lead_from_one_boat_file_to_another():
    """What the other file holds beyond the tables' own stays; what they say is not there goes."""
    rich, plain = changed(boat()), (BOATS / "saltwhin-31.yaml").read_bytes()
    for start, goal in ((rich, plain), (plain, rich)):
        tables = read_tables(csv_files(read_boat(goal, "goal").boat), {})
        assert read_boat(into_boat_file(start, "start", tables), "x").data_sha256 == read_boat(goal, "goal").data_sha256


def test_a_file_of_one_side_takes_no_tables_of_two():
    data = (BOATS / "first-try.yaml").read_bytes()
    tables = read_tables(csv_files(read_boat(data, "first-try").boat), {})
    with pytest.raises(InputError, match="tables contain both sides"):
        into_boat_file(data, "first-try", tables)


def test_tables_put_other_numbers_into_a_file_and_keep_its_comments():
    data = (BOATS / "saltwhin-31.yaml").read_bytes()
    feet = {post.id: (post.foot[0] + 0.25, post.foot[1], post.foot[2]) for post in boat().posts}
    posts = tuple(post.model_copy(update={"foot": feet[post.id]}) for post in boat().posts)
    moved = boat().model_copy(update={"posts": posts})
    again = into_boat_file(data, "boat.yaml", read_tables(csv_files(moved), {}))
    assert canonical_data(read_boat(again, "x").boat) == canonical_data(moved)
    assert [line for line in again.decode().splitlines() if line.strip().startswith("#")] == [
        line for line in data.decode().splitlines() if line.strip().startswith("#")
    ]
    assert b"foot: [2500.25, 965, 1079]" in again


def test_a_file_with_its_own_axes_gets_its_own_numbers():
    data = (BOATS / "saltwhin-31.yaml").read_text("utf-8")
    own = "  origin: [9450, 0, 0]\n  x: forward\n  y: port"
    turned = data.replace("  origin: [0, 0, 0]\n  x: aft\n  y: starboard", own)
    tables = read_tables(csv_files(boat()), {})
    # The same numbers mean another boat in those axes; the tables, in boat axes, lead to the right one.
    again = into_boat_file(_sides_swapped(turned).encode(), "boat.yaml", tables)
    ours = read_boat(again, "x").boat
    assert [post.foot for post in ours.posts] == [pytest.approx(post.foot) for post in boat().posts]


def _sides_swapped(text: str) -> str:
    """Turn every point of the file to X forward of the transom and Y to port, by hand."""
    out = []
    for line in text.splitlines():
        start, bracket, rest = line.partition("[")
        numbers, _, tail = rest.partition("]")
        parts = numbers.split(",")
        if bracket and len(parts) == 3 and "origin" not in line and all(_is_number(part) for part in parts):
            x, y, z = (float(part) for part in parts)
            line = f"{start}[{9450 - x:g}, {-y:g}, {z:g}]{tail}"
        out.append(line)
    return "\n".join(out).replace("mast_x: 3900", "mast_x: 5550") + "\n"


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def test_a_continental_table_of_posts():
    """Semicolons, decimal commas, a byte order mark, a merged title row, half-breadths with a side."""
    text = "﻿Boat: invented;;;;;;;;;;;;;;\n" + POSTS
    parts = boat_parts(read_tables({"stanchions.csv": text.encode("utf-8")}, MM))
    starboard, port = parts["posts"]
    assert starboard["id"] == "S-S1" and port["id"] == "P-S1"
    assert starboard["foot"] == ["2500 mm", "965 mm", "1079 mm"]
    assert port["foot"] == ["2500 mm", "-965 mm", "1079 mm"]
    assert starboard["holes"]["U"] == {"along": "615 mm", "as_found": {"diameter": "12.7 mm"}}
    assert starboard["lean"] == "4 deg"


@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16"])
def test_text_codes(code):
    assert len(read_tables({"posts.csv": POSTS.encode(code)}, MM).rows["posts"]) == 2


def test_units_by_column():
    """Each column its own unit, cells with theirs: inches, feet, millimetres."""
    text = (
        'From,To,"Taped, in"\nS-S1-U,S-S2-U,68 1/4\nS-S2-U,S-S3-U,5 ft 3 in\nS-S3-U,S-S4-U,720 mm\n'
    )  # fmt: skip
    rows = read_tables({"tapes.csv": text.encode()}, {}).rows["tapes"]
    assert [row["length"] for row in rows] == pytest.approx([68.25 * 25.4, 63 * 25.4, 720.0])
    with pytest.raises(InputError, match="without a unit"):
        read_tables({"tapes.csv": b"from,to,taped\na,b,700\n"}, {})
    with pytest.raises(InputError, match=r"cell C1: not a unit of length .read: kg"):
        read_tables({"tapes.csv": b"from,to,taped [kg]\na,b,700\n"}, {})


def test_unknown_headings_are_listed_and_left_unread():
    text = "from,to,taped [mm],weather\na,b,700,fair\n"
    tables = read_tables({"tapes.csv": text.encode()}, {})
    assert tables.notes == ["tapes.csv cell D1: the column 'weather' is unknown and was not read"]
    assert tables.echo()[0] == "tapes: 1 rows"


def test_a_missing_column_names_the_unknown_ones():
    message = r"row 1: table tapes has no column for length .read: unknown headings: metres"
    with pytest.raises(InputError, match=message):
        read_tables({"tapes.csv": b"from,to,metres\na,b,7\n"}, MM)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("from,to,taped\na,b,seven hundred\n", r"tapes.csv: cell C2: not a number with a unit"),
        ("from,to,taped\na,b,\n", r"tapes.csv: row 2, column taped: no length"),
        ("from,to,taped\na,b,=A1+2\n", r"tapes.csv: cell C2: a formula"),
        ("from,to,taped\na,b,1e3\n", r"cell C2: powers of ten"),
        ("from,to,taped,from\na,b,1,c\n", r"cell D1: two columns for start, the other in cell A1"),
        ('from,to,taped\na,b,"1,234"\n', r"cell C2: is this 1234 or 1.234: a decimal sign, or one between thousands"),
        ("from,to,taped\na,b,1.736\nb,c,967\n", r"cell C2: is this 1.736 or 1736.*--decimal"),
        ("from;to;taped\na;b;700,5\nb;c;80.5\n", r"cell C2: a decimal comma, and a decimal point in cell C3"),
        ("from;to;taped\na;b;1.234,5\nb;c;80.5\n", r"cell C2: a decimal comma, and a decimal point in cell C3"),
        ("from,to,taped,more\na,b,1736,5\n", r"cell D1: are these the decimals of taped"),
        ("from,to,taped\na,b,-7\n", r"cell C2: a tape must be longer than zero"),
        ("from,to,taped\na,b,7,extra\n", r"cell D2: a cell without a heading .read: extra"),
        ("one,two\n3,4\n", r"no row of headings .read: one, two"),
        ('from,to,taped\na,"b,7\n', r"not readable as CSV"),
    ],
)
def test_cells_that_cannot_be_used(text, place):
    with pytest.raises(InputError, match=place):
        read_tables({"tapes.csv": text.encode()}, MM)


def test_a_fourth_hole_in_the_table_of_posts_and_in_that_of_holes():
    posts = POSTS.replace("lower along;", "lower middle along;lower middle dia;lower along;").replace(
        "12,7;308;12,7", "12,7;410;12,7;308;12,7"
    )
    first = boat_parts(read_tables({"posts.csv": posts.encode()}, MM))["posts"][0]
    assert first["holes"]["LM"]["along"] == "410 mm" and set(first["holes"]) == {"U", "LM", "L"}
    holes = "post;level;along\nS-S1;lower middle;410\nP-S1;LM;411\n"
    both = boat_parts(read_tables({"posts.csv": POSTS.encode(), "holes.csv": holes.encode()}, MM))["posts"]
    assert [post["holes"]["LM"]["along"] for post in both] == ["410 mm", "411 mm"]


def test_posts_that_cannot_be_used():
    twice = POSTS.replace("S1;port", "S1;stbd")
    with pytest.raises(InputError, match=r"row 3: S-S1 is also in row 2"):
        read_tables({"posts.csv": twice.encode()}, MM)
    with pytest.raises(InputError, match=r"cell B2: not a side .read: left. - valid: s, stb"):
        read_tables({"posts.csv": POSTS.replace("stbd", "left").encode()}, MM)
    signed = POSTS.replace("half breadth", "y")
    with pytest.raises(InputError, match="row 3: Y is not on the side of P-S1"):
        read_tables({"posts.csv": signed.encode()}, MM)
    with pytest.raises(InputError, match="a table of holes without a table of posts"):
        boat_parts(read_tables({"holes.csv": b"post,level,along\nS-S1,upper,615\n"}, MM))


def test_binary_and_wrong_files():
    for name, data, message in (
        ("posts.ods", b"x", "not a table that can be read"),
        ("posts.csv", b"\xff\x00\x81", "neither UTF-8 nor Windows-1252"),
        ("posts.csv", b"a\x00b", "a control character"),
        ("posts.csv", b"a;" * 3_000_000, "too large"),
        ("posts.xlsx", b"PK\x03\x04 no", "not a workbook"),
        ("weather.csv", POSTS.encode(), "no table found"),
    ):
        with pytest.raises(InputError, match=message):
            read_tables({name: data}, MM)


def book(change) -> bytes:
    made = Workbook()
    sheet = made.active
    sheet.title = "tapes"
    for row in (["Check tapes", None, None], ["from", "to", "taped [mm]"], ["a", "b", 700.5]):
        sheet.append(row)
    sheet.merge_cells("A1:C1")
    change(sheet)
    data = io.BytesIO()
    made.save(data)
    return data.getvalue()


def test_a_workbook_with_a_merged_title():
    rows = read_tables({"boat.xlsx": book(lambda _: None)}, {}).rows["tapes"]
    assert rows[0]["length"] == 700.5


def test_workbooks_that_cannot_be_used():
    import datetime

    def set_cell(value):
        return lambda sheet: sheet.__setitem__("C3", value)

    for change, message in (
        (set_cell("=SUM(1,2)"), r"boat.xlsx: tapes cell C3: a formula"),
        (set_cell(datetime.date(2026, 1, 2)), r"tapes cell C3: a date"),
        (set_cell(True), r"tapes cell C3: a true or false"),
        (set_cell("#REF!"), r"tapes cell C3: an error value"),
        (lambda sheet: sheet.merge_cells("A3:B3"), r"tapes A3:B3: merged cells in the table"),
        (lambda sheet: sheet.__setitem__("A9999", "x"), r"tapes: the table is too large"),
    ):
        with pytest.raises(InputError, match=message):
            read_tables({"boat.xlsx": book(change)}, {})


def repacked(extra: dict[str, bytes]) -> bytes:
    data = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(book(lambda _: None))) as old,
        zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            if name not in extra:
                new.writestr(name, old.read(name))
        for name, body in extra.items():
            new.writestr(name, body)
    return data.getvalue()


def test_a_zip_bomb_and_its_kin():
    bomb = repacked({"xl/media/image1.bin": bytes(300_000_000)})
    assert len(bomb) < 1_000_000
    with pytest.raises(InputError, match=r"unpacks to an implausible size .read: 300 MB"):
        read_tables({"boat.xlsx": bomb}, {})
    with pytest.raises(InputError, match=r"unpacks to an implausible size .read: 20 MB"):
        read_tables({"boat.xlsx": repacked({"xl/media/image1.bin": bytes(20_000_000)})}, {})
    laughs = b'<?xml version="1.0"?><!DOCTYPE l [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]><sst>&b;</sst>'
    with pytest.raises(InputError, match="document type declaration"):
        read_tables({"boat.xlsx": repacked({"xl/sharedStrings.xml": laughs})}, {})
    with pytest.raises(InputError, match="macros or links"):
        read_tables({"boat.xlsx": repacked({"xl/vbaProject.bin": b"x"})}, {})
    with pytest.raises(InputError, match="not a workbook"):
        data = io.BytesIO()
        with zipfile.ZipFile(data, "w") as package:
            package.writestr("mimetype", "text")
        read_tables({"boat.xlsx": data.getvalue()}, {})


def test_the_same_boat_gives_the_same_workbook():
    assert workbook(boat()) == workbook(boat())
    assert list(boat_tables(boat())) == ["posts", "holes", "eyes", "deck edge", "tapes"]


def test_a_boat_that_the_tables_would_spoil_is_not_made():
    wrong = {"tapes.csv": b"start,end,length [mm]\nS-S1-U,S-S9-U,700\n"}
    data = (BOATS / "saltwhin-31.yaml").read_bytes()
    with pytest.raises(InputError, match=r"with the tables merged:\d+: tapes\[1\].end: no such eye or hole"):
        into_boat_file(data, "boat.yaml", read_tables(wrong, {}))


def test_names_of_tables():
    assert table_of("Rail eyes") == "eyes" and table_of("deck-edge") == "deck edge" and table_of("Sheet1") is None


@pytest.mark.parametrize(
    ("cells", "wanted"),
    [
        (["1.736", "967,5"], [1736.0, 967.5]),
        (["1,736", "967.5"], [1736.0, 967.5]),
        (["1.736,5", "12.000"], [1736.5, 12000.0]),
        (["1.736", "0.967"], [1.736, 0.967]),
        (["1.736.000 mm", "1.736"], [1736000.0, 1736.0]),
        (["1\u202f736,5", "12"], [1736.5, 12.0]),
        (["1'736.5", "12"], [1736.5, 12.0]),
        (["736,25", "8,5"], [736.25, 8.5]),
    ],
)
def test_one_decimal_sign_for_a_file(cells, wanted):
    """By hand: what the cells of one file leave as the only reading."""
    lines = "".join(f"a{row};b;{cell}\n" for row, cell in enumerate(cells))
    rows = read_tables({"tapes.csv": f"from;to;taped\n{lines}".encode()}, MM).rows["tapes"]
    assert [row["length"] for row in rows] == pytest.approx(wanted)


def test_a_stated_decimal_sign_settles_it():
    data = {"tapes.csv": b"from,to,taped [mm]\na,b,1.736\n"}
    assert read_tables(data, {}, decimal=",").rows["tapes"][0]["length"] == 1736.0
    assert read_tables(data, {}, decimal=".").rows["tapes"][0]["length"] == 1.736
    with pytest.raises(InputError, match=r"cell C2: '.' is used as decimal sign, and ',' is stated"):
        read_tables({"tapes.csv": b"from,to,taped [mm]\na,b,736.5\n"}, {}, decimal=",")


def test_a_figure_too_long_for_a_boat_has_decimals():
    """24.125 in cannot be 24125 in, nor 5.167 m 5167 m; 1.736 m is a metre and three quarters."""
    for unit, cell, wanted in (("in", "24.125", 612.775), ("m", "5.167", 5167.0), ("m", "1,736", 1736.0)):
        rows = read_tables({"tapes.csv": f"from;to;taped [{unit}]\na;b;{cell}\n".encode()}, {}).rows["tapes"]
        assert rows[0]["length"] == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("heading", "cell", "wanted"),
    [
        ("taped mm", "700", 700.0),
        ("taped/mm", "700", 700.0),
        ('"taped ("")"', "74\u00bd", 74.5 * 25.4),
        ("taped", "6'-2 1/2\"", 74.5 * 25.4),
        ("taped (in)", "74 \u215b", 74.125 * 25.4),
        ("L\u00e4nge [mm]", "700", 700.0),
        ("longueur (mm)", "700", 700.0),
    ],
)
def test_usual_spellings(heading, cell, wanted):
    text = f"von;bis;{heading}\n;;\na;b;{cell}\n"
    for code in some(("utf-8", "cp1252") if "\u215b" not in cell else ("utf-8",)):
        tables = read_tables({"tapes (1).csv": text.encode(code)}, {})
        assert tables.rows["tapes"][0]["length"] == pytest.approx(wanted)


def test_a_row_of_units_and_a_title_of_two_cells():
    text = "Boat;invented\nfrom;to;taped\n;;cm\na;b;70,5\n"
    assert read_tables({"tapes.csv": text.encode()}, {}).rows["tapes"][0]["length"] == 705.0


def test_a_bad_cell_is_told_once():
    with pytest.raises(InputError) as caught:
        read_tables({"tapes.csv": b"from,to,taped [mm]\na,b,seven\n"}, {})
    assert str(caught.value).count("cell C2") == 1
    assert "row 2" not in str(caught.value)


def test_advice_on_a_missing_unit_fits_a_table():
    with pytest.raises(InputError, match=r"a heading such as 'taped \[mm\]'"):
        read_tables({"tapes.csv": b"from,to,taped\na,b,700\n"}, {})


def test_a_file_of_any_name_is_named():
    data = {"measures of monday.csv": b"from,to,taped [mm]\na,b,700\n"}
    with pytest.raises(InputError, match="--sheet posts=NAME"):
        read_tables(data, {})
    assert read_tables(data, {}, named={"measures of monday": "tapes"}).rows["tapes"][0]["length"] == 700.0


def test_what_a_workbook_hides_or_shows_behind_a_number():
    def hide(sheet):
        sheet.row_dimensions[3].hidden = True

    notes = read_tables({"boat.xlsx": book(hide)}, {}).notes
    assert notes == ["boat.xlsx tapes: hidden rows were read as well: 3"]

    def shows(text):
        return lambda sheet: setattr(sheet["C3"], "number_format", text)

    with pytest.raises(InputError, match=r"cell C3: the workbook shows 'ft' behind it, and the column is in mm"):
        read_tables({"boat.xlsx": book(shows('0" ft"'))}, {})
    with pytest.raises(InputError, match="the workbook shows '%'"):
        read_tables({"boat.xlsx": book(shows("0.00%"))}, {})
    assert read_tables({"boat.xlsx": book(shows('0.0" mm"'))}, {}).rows["tapes"][0]["length"] == 700.5
