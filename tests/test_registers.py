"""What is registered is whole: families and their shapes, size rows, sheets, output formats.

Each check names what was forgotten; the recipes of DEVELOPERS.md rely on them.
"""

from __future__ import annotations

import ast
import csv
import tomllib
from pathlib import Path
from typing import get_args

import pytest

from geom.boat.line_model import SlideOn
from geom.boat.words import known_words
from geom.data import table
from geom.errors import OutsideTableError
from geom.parts.catalogue import FAMILIES, sizes
from geom.parts.families.envelope import EnvelopeSpec
from geom.render.formats import FORMATS, Setting, written
from geom.sheets import SHEETS
from geom.solids import boat_parts, drawn, ends, fittings
from geom.solids.assembly import assemble, not_drawn
from tests.boats import ROOT, boat_of_all_families
from tests.render_sample import sample_sheet

DATA = ROOT / "geom" / "data"
TABLES = {
    "end_families": ends.MAKERS,
    "fitting_families": fittings.MAKERS,
    "boat_parts": boat_parts.SHAPES,
}
# Tables of words of our own, which hold nothing that others published.
WORDS_ONLY = {"table_headings", "table_words", "words"}
ROWS = [(name, row[heading]) for name, heading in drawn.TABLES.items() for row in table.rows(name)]
# Maker of SHEETS -> the file of tests that reads its sheets back.
READ_BACK = {
    "lines_across": "test_whole_boats.py",
    "deck_plan": "test_sheets_profiles.py",
    "profiles": "test_sheets_profiles.py",
    "post_schedule": "test_sheets_posts.py",
    "stanchion_sheets": "test_sheets_stanchions.py",
    "base_plates": "test_sheets_bases.py",
    "gate_sheets": "test_sheets_gate.py",
    "fabricated_sheets": "test_sheets_fabricated.py",
    "line_sheets": "test_line_sheets.py",
    "splice_sheet": "test_sheets_lines.py",
    "wire_ends_sheet": "test_wire_ends.py",
    "installation_check": "test_sheets_posts.py",
    "fitting_sheets": "test_sheets_fittings.py",
    "setting_card": "test_sheets_setting.py",
    "push_plot": "test_sheets_push_plot.py",
    "rule_sheet": "test_sheets_rules.py",
    "order_list": "test_sheets_lines.py",
    "making_log": "test_line_sheets.py",
}


def shapes(name: str, word: str) -> tuple[str, ...]:
    available = (drawn.ENVELOPE, *((drawn.LINE,) if name == "end_families" else ()), *TABLES[name])
    return drawn.shapes_of(name, word, available)


@pytest.mark.parametrize(("name", "word"), ROWS)
def test_every_family_says_how_it_is_drawn(name: str, word: str) -> None:
    assert shapes(name, word)


def test_every_shape_of_the_catalogue_stands_for_a_family() -> None:
    reached = {shape for name, word in ROWS for shape in shapes(name, word)}
    assert set(FAMILIES) - reached == set(), "shapes that no family row names in its column drawn_as"


@pytest.mark.parametrize("name", drawn.TABLES)
def test_an_unknown_shape_is_an_error_that_names_the_row(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = table.rows(name)
    word = rows[-1][drawn.TABLES[name]]
    for wrong in ("anchor", f"{next(iter(TABLES[name]))} + anchor", ""):
        changed = (*rows[:-1], {**rows[-1], "drawn_as": wrong})
        monkeypatch.setattr(table, "rows", lambda _, changed=changed: changed)
        drawn._checked.cache_clear()
        with pytest.raises(OutsideTableError, match=f"table {name}, row '{word}'.*can be drawn - valid: envelope"):
            shapes(name, rows[0][drawn.TABLES[name]])
    drawn._checked.cache_clear()


def test_every_family_stands_on_the_boat_of_all_families() -> None:
    boat = boat_of_all_families().boat
    run_ends = [end for run in boat.runs for end in (run.start, run.finish)]
    used = {boat.ends[end.end].family for end in run_ends}
    assert set(known_words("end")) - used == set(), "end families that stand at no end of tests/fixtures/all-families"
    used = {boat.fittings[name].family for end in run_ends for name in end.fittings}
    assert set(known_words("fitting")) - used == set(), "fitting families that no run of all-families has"
    assert set(known_words("eye")) == {eye.family for eye in boat.eyes} - {None}


def test_every_shape_of_the_catalogue_stands_in_the_model_of_the_boat_of_all_families() -> None:
    kinds = {type(piece.part) for piece in assemble(boat_of_all_families()).pieces}
    assert {word for word, kind in FAMILIES.items() if kind not in kinds} == set()
    assert EnvelopeSpec in kinds


@pytest.mark.parametrize("family", known_words("fitting"))
def test_a_fitting_is_made_of_the_shapes_that_its_row_names(family: str) -> None:
    """Each shape of the row and no other; an envelope only where the row says so."""
    boat = boat_of_all_families().boat
    stated = next(one for one in boat.fittings.values() if one.family == family)
    made = {type(member.part) for member in fittings.fitting_members(stated, 6.0)}
    assert made == kinds_of("fitting_families", family)


@pytest.mark.parametrize("family", known_words("end"))
def test_an_end_is_made_of_the_shapes_that_its_row_names(family: str) -> None:
    boat = boat_of_all_families().boat
    stated = next(one for one in boat.ends.values() if one.family == family)
    line = 5.0 if family.startswith(("compression", "swaged")) else 6.0
    made = {type(member.part) for member in ends.end_members(stated, ends.Seat(line, 8.0))}
    assert made == kinds_of("end_families", family)


def kinds_of(name: str, word: str) -> set[type]:
    """Return the types of part that a family's row names."""
    kinds = {**FAMILIES, drawn.ENVELOPE: EnvelopeSpec}
    return {kinds[shape] for shape in shapes(name, word) if shape != drawn.LINE}


def test_what_the_model_does_not_hold_is_named() -> None:
    assert not_drawn(boat_of_all_families()) == (("hook tongue", "at no hole of its run", 1),)


def test_every_kind_that_is_slid_on_a_line_has_its_row() -> None:
    kinds = set(get_args(SlideOn.model_fields["kind"].annotation))
    rows = {row["word"] for row in table.rows("boat_parts") if row["key"] == "runs: slide_on: kind"}
    assert kinds == rows


def test_every_table_of_sizes_has_its_family() -> None:
    assert {path.stem for path in (DATA / "parts").glob("*.csv")} == set(FAMILIES)
    assert all(sizes(word) for word in FAMILIES)


@pytest.mark.parametrize("path", sorted(DATA.rglob("*.csv")), ids=lambda path: str(path.relative_to(DATA)))
def test_every_row_of_every_table_names_its_source(path: Path) -> None:
    rows = list(csv.DictReader(path.read_text("utf-8").splitlines()))
    assert rows
    if path.stem in WORDS_ONLY:
        return
    for number, row in enumerate(rows, 2):
        assert None not in row and None not in row.values(), f"line {number} has not the columns of its heading"
        assert row["source"].strip(), f"line {number} names no source"


@pytest.mark.parametrize("maker", SHEETS, ids=lambda maker: maker.__name__)
def test_every_sheet_is_read_back(maker) -> None:
    """The test file that READ_BACK names imports the maker, and reads what stands on its sheets."""
    assert maker.__name__ in READ_BACK, f"no test reads the sheets of {maker.__name__} back: name one in READ_BACK"
    path = ROOT / "tests" / READ_BACK[maker.__name__]
    text = path.read_text("utf-8")
    imported = {
        (node.module, alias.name)
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    assert (maker.__module__, maker.__name__) in imported, f"{path.name} does not import {maker.__name__}"
    reading = {name for module, name in imported if module == "tests.sheet_texts"}
    assert reading & {"texts_of", "shows", "plain"}, f"{path.name} reads no sheet by tests/sheet_texts.py"


def test_no_reading_back_stands_for_a_sheet_that_is_not_made() -> None:
    made = {maker.__name__ for maker in SHEETS}
    assert set(READ_BACK) - made == set(), "READ_BACK names makers that are not in SHEETS"


def test_every_folder_of_code_is_packed() -> None:
    """Setuptools finds a package by its `__init__.py`."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    assert settings["tool"]["setuptools"]["packages"] == {
        "find": {"include": ["geom", "geom.*"], "exclude": ["geom.templates.page.node_modules*"]}
    }
    folders = {path.parent for path in (ROOT / "geom").rglob("*.py")}
    assert len(folders) > 30
    assert [str(folder) for folder in sorted(folders) if not (folder / "__init__.py").exists()] == []


def writers() -> set[str]:
    """Return the functions of `geom/render` that turn a sheet, or several, to bytes."""
    found = set()
    for path in sorted((ROOT / "geom" / "render").glob("*.py")):
        for node in ast.parse(path.read_text("utf-8")).body:
            if not isinstance(node, ast.FunctionDef) or node.name.startswith("_") or not node.args.args:
                continue
            first = ast.unparse(node.args.args[0].annotation) if node.args.args[0].annotation else ""
            if node.returns is not None and ast.unparse(node.returns) == "bytes" and first in SHEET_TYPES:
                found.add(node.name)
    return found


SHEET_TYPES = {"Sheet", "Sequence[Sheet]", "tuple[Sheet, ...]", "list[Sheet]"}


def test_every_writer_is_a_registered_format() -> None:
    register = (ROOT / "geom" / "render" / "formats.py").read_text("utf-8")
    assert len(writers()) >= 3
    assert {name for name in writers() if f"import {name}" not in register} == set(), "writers in no format"


def test_formats_have_endings_of_their_own() -> None:
    made = [one.ending for one in FORMATS.values()]
    assert len(set(made)) == len(made)
    assert all(name == one.name and one.ending.startswith((".", "-")) for name, one in FORMATS.items())


@pytest.mark.parametrize("name", FORMATS)
def test_every_format_writes_a_sheet_alike_twice(name: str) -> None:
    sheets, setting = (sample_sheet(),), Setting("a set")
    assert FORMATS[name].takes(sheets[0])
    files = [dict(written(sheets, (name,), "set", setting)) for _ in range(2)]
    assert files[0] == files[1]
    assert [file.endswith(FORMATS[name].ending) and len(data) > 0 for file, data in files[0].items()] == [True]


def test_package_and_commands_know_no_format_by_name() -> None:
    """They read the register of formats: a writer called directly would be wired in one place only."""
    text = (ROOT / "geom" / "package.py").read_text("utf-8")
    drawing = text[text.index("def drawing_files(") : text.index("def solid_files(")]
    assert "written(" in drawing and "_bytes" not in drawing
    commands = (ROOT / "geom" / "cli" / "boats.py").read_text("utf-8")
    assert "FORMATS" in commands
    assert not any(name in commands for name in writers())


def test_every_format_is_in_the_readme() -> None:
    text = (ROOT / "README.md").read_text("utf-8").lower()
    assert [name for name in FORMATS if name not in text] == []
