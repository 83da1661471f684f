"""Fitting sheets read back: every fitting of the model once, its named sizes, where each comes from, its counts."""

from __future__ import annotations

import csv
import subprocess
import sys
from importlib import resources

import pytest

from geom.figure import Dimension, Table
from geom.parts.part import extents
from geom.sheets.draft import finish
from geom.sheets.fitting_figure import Shown, name_of
from geom.sheets.fitting_sheets import fitting_sheets, shown_fittings
from geom.solids.assembly import assemble
from geom.solids.names import file_name
from tests.boats import NAMES, refit_of
from tests.random_boats import random_refit
from tests.sheet_texts import forged, texts_of

# Every size that the outline gives a place must be dimensioned there: these are only in the table, for a reason.
TABLE_ONLY = {
    "lashing": {"line", "turns"},
    "soft eye": {"bury", "taper"},
    "open-body turnbuckle": {"least", "most", "screw", "bar"},
    "bush": {"mouth radius"},
    "line": {"diameter", "length"},
}
# Word of a family in the data tables, for the families whose sizes stand there as they are.
TABLES = {"lashing": "lashing", "open-body turnbuckle": "turnbuckle", "gate hook lever": "gate_hook_lever"}


def sheets_of(worked_out):
    drafts = fitting_sheets(worked_out)
    return tuple(finish(worked_out, draft, k + 1, len(drafts)) for k, draft in enumerate(drafts))


def models(worked_out):
    """Return product -> (part, count) of what the whole-boat model holds beside posts and lines."""
    found = {}
    for piece in assemble(worked_out).pieces:
        if piece.part is None or piece.part.family in ("post", "base plate") or piece.product.startswith("line "):
            continue
        part, count = found.get(piece.product, (piece.part, 0))
        assert part == piece.part, f"{piece.product} names two specifications"
        found[piece.product] = (part, count + 1)
    return found


def letters(sheets):
    """Return model file -> letter, as the sheets say."""
    texts = texts_of(sheets)
    counts = {tag: text for tag, text in texts.items() if tag.startswith("fitting:") and tag.endswith(":count")}
    return {text.partition("model ")[2]: tag.split(":")[1] for tag, text in counts.items()}


def faults(worked_out, sheets):
    """Return how the sheets differ from the model's own specifications."""
    texts, found, wrong = texts_of(sheets), letters(sheets), []
    inches = worked_out.boat.units.length in ("in", "ft")
    for product, (part, count) in models(worked_out).items():
        file = "boat.step" if part.family == "line" else f"{file_name(product)}.step"
        letter = found.get(file)
        if letter is None:
            wrong.append(f"{product} is not shown")
            continue
        if not texts[f"fitting:{letter}:count"].startswith(f"{count} OFF"):
            wrong.append(f"{product}: count")
        if not texts[f"fitting:{letter}:name"].startswith(f"{letter}  {name_of(part)}"):
            wrong.append(f"{product}: name")
        for dim in part.dims():
            text = texts.get(f"fitting:{letter}:{dim.name}", "0")
            scale = 25.4 if inches and dim.unit == "mm" else 1.0
            # Two decimals of a millimetre, three of an inch.
            if abs(float(text.rstrip("°")) * scale - dim.value) > (0.0127001 if inches else 0.0050001):
                wrong.append(f"{product}: {dim.name} {text}")
            if not texts.get(f"fitting:{letter}:{dim.name}:from"):
                wrong.append(f"{product}: {dim.name} has no source")
    return wrong


@pytest.mark.parametrize("name", NAMES)
def test_every_fitting_with_its_named_sizes(name):
    assert faults(refit_of(name), sheets_of(refit_of(name))) == []


@pytest.mark.parametrize("seed", range(10))
def test_random_boats(seed):
    boat = random_refit(seed)
    assert faults(boat, sheets_of(boat)) == []


def test_the_reading_back_can_fail():
    boat = refit_of("saltwhin-31")
    sheets = sheets_of(boat)
    letter = letters(sheets)["gate-eye-40-generic.step"]
    for tag, text in (("between", "40.1"), ("count", "9 OFF, model gate-eye-40-generic.step"), ("name", "Z")):
        assert faults(boat, changed(sheets, f"fitting:{letter}:{tag}", text)) != []
    assert faults(boat, changed(sheets, f"fitting:{letter}:bolt:from", None)) != []


def changed(sheets, tag, text):
    """Return the sheets with other lettering under an id, in a table too."""
    from dataclasses import replace

    made = []
    for sheet in forged(sheets, tag, text):
        items = []
        for item in sheet.items:
            if isinstance(item, Table):
                rows = tuple(
                    tuple(replace(c, text=text or "") if c.tag == tag else c for c in row) for row in item.rows
                )
                item = replace(item, rows=rows)
            items.append(item)
        made.append(replace(sheet, items=tuple(items)))
    return tuple(made)


@pytest.mark.parametrize("name", NAMES)
def test_sources_are_those_of_the_data_tables(name):
    """Read from the CSV files themselves: a listed size carries the row's own words, in its cell or in a note."""
    boat = refit_of(name)
    sheets = sheets_of(boat)
    texts, found = texts_of(sheets), letters(sheets)
    notes = [text.text for sheet in sheets for text in sheet.items if hasattr(text, "text")]
    checked = 0
    for product, (part, _) in models(boat).items():
        if part.family not in TABLES:
            continue
        path = resources.files("geom.data").joinpath(f"parts/{TABLES[part.family]}.csv")
        listed = list(csv.DictReader(path.read_text("utf-8").splitlines()))
        size = product.split(" size ")[1].split()[0] if " size " in product else listed[0]["size"]
        rows = {row["dimension"]: row for row in listed if row["size"] == size}
        for dim in part.dims():
            said = texts[f"fitting:{found[file_name(product) + '.step']}:{dim.name}:from"]
            if said == "boat file":
                continue
            assert float(rows[dim.name]["value"]) == pytest.approx(dim.value)
            if said.startswith("see note "):
                assert any(
                    note.startswith(f"{said.split()[-1]} ") and rows[dim.name]["source"][:40] in note for note in notes
                )
            else:
                assert said == rows[dim.name]["source"]
            checked += 1
    assert checked >= (2 if name == "first-try" else 8)


def views_of(worked_out):
    """Yield each fitting shown with its views, found by the view's letter."""
    sheets = sheets_of(worked_out)
    found = {letter: file for file, letter in letters(sheets).items()}
    shown = {one.file: one for one in shown_fittings(worked_out)}
    for sheet in sheets:
        for view in sheet.views:
            letter, _, name = view.name.partition("-")
            yield shown[found[letter]], name, view


@pytest.mark.parametrize("name", NAMES)
def test_dimensions_measure_the_named_sizes_and_all_that_have_a_place_are_drawn(name):
    drawn: dict[str, tuple[Shown, set[str]]] = {}
    for one, _, view in views_of(refit_of(name)):
        told = {f"dim:{dim.name}": dim.value for dim in one.part.dims()}
        for item in view.items:
            if not isinstance(item, Dimension):
                continue
            k = 0 if item.along == 0.0 else 1
            drawn.setdefault(one.file, (one, set()))[1].add(item.tag)
            if item.tag in told:
                assert abs(item.end[k] - item.start[k]) == pytest.approx(told[item.tag], abs=1e-9), (one.file, item.tag)
    for one, tags in drawn.values():
        missing = {dim.name for dim in one.part.dims()} - {tag.removeprefix("dim:") for tag in tags}
        assert missing == TABLE_ONLY.get(one.part.family, set()), one.file


@pytest.mark.parametrize("name", NAMES)
def test_views_are_as_large_as_the_part(name):
    for one, look, view in views_of(refit_of(name)):
        box = one.part.box()
        across = 1 if look == "from the right" else 0
        wanted = (box.low[across], box.low[2], box.high[across], box.high[2])
        edges = tuple(item for item in view.items if not isinstance(item, Dimension))
        assert extents(edges) == pytest.approx(wanted, abs=1e-6), (one.file, look)


def test_two_specifications_never_share_a_product_name():
    """Two lashings of one length on different pins are two fittings, on paper and in the model."""
    from dataclasses import replace

    from geom.refit import refit

    boat = refit_of("saltwhin-31")
    word = next(word for word, told in boat.boat.fittings.items() if told.family == "lashing")
    other = boat.boat.fittings[word].model_copy(update={"pin": 9.0})
    run = next(run for run in boat.boat.runs if word in run.start.fittings)
    names = tuple("thick" if name == word else name for name in run.start.fittings)
    start = run.start.model_copy(update={"fittings": names})
    runs = tuple(one.model_copy(update={"start": start}) if one is run else one for one in boat.boat.runs)
    changed_boat = boat.boat.model_copy(update={"runs": runs, "fittings": {**boat.boat.fittings, "thick": other}})
    two = refit(replace(boat.loaded, boat=changed_boat))
    lashings = [part for part, _ in models(two).values() if part.family == "lashing"]
    assert sorted(part.pin for part in lashings) == [5.0, 9.0]
    assert faults(two, sheets_of(two)) == []


def test_no_solid_kernel_is_loaded():
    code = (
        "import sys\nfrom tests.boats import refit_of\nfrom geom.sheets import drawing_set\n"
        "assert any('fittings' in sheet.name for sheet in drawing_set(refit_of('saltwhin-31')))\n"
        "sys.exit(bool({'cadquery', 'OCP', 'vtk'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0
