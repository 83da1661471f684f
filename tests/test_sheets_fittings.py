"""The page of bought fittings read back: every fitting of the model once, its envelope, sizes, counts and places."""

from __future__ import annotations

import subprocess
import sys
from itertools import pairwise

import pytest

from geom.boat.model import Adjust, Fitting
from geom.figure import Line
from geom.render.faults import layout
from geom.sheets.fittings.sheet import fitting_sheets, name_of, shown_fittings
from geom.solids.assembly import assemble
from geom.solids.fittings import fitting_members
from tests.boats import NAMES, boat_of_all_families
from tests.boats import refit_of as demo_boat
from tests.counts import seeds
from tests.made import sheets_by
from tests.random_boats import ODD, random_refit
from tests.sheet_texts import forged, plain, texts_of
from tests.some import some

# Sizes that the page does not show: an eye's stub stands for no splice, a turnbuckle's screw is inside its body.
NOT_SHOWN = {"soft eye": {"bury", "taper"}, "open-body turnbuckle": {"screw"}}
# Names of sizes that say what they are measured between: facts of the trade, no source.
RENAMED = {("gate eye", "between"): "pins apart", ("open-body turnbuckle", "opening"): "set at"}
ALL = "all families"
EVERY = (*NAMES, ALL)


def refit_of(name):
    return boat_of_all_families() if name == ALL else demo_boat(name)


def sheets_of(worked_out):
    return sheets_by(fitting_sheets, worked_out)


def models(worked_out):
    """Return product -> (part, count, on hold) of the whole-boat model, lines and what is drawn of posts aside."""
    found = {}
    for piece in some(assemble(worked_out).pieces):
        if (
            piece.part is None
            or piece.part.family in ("post", "base plate", "pad", "rail")
            or piece.product.startswith("line ")
        ):
            continue
        part, count, held = found.get(piece.product, (piece.part, 0, 0))
        assert part == piece.part, f"{piece.product} names two specifications"
        run = worked_out.work.runs.get(piece.instance.split()[0])
        waits = run is not None and run.cut is None
        found[piece.product] = (part, count + (not waits), held + waits)
    return found


def faults(worked_out, sheets):
    """Return how the page differs from the model's own specifications, row by row in the model's order."""
    texts, wrong = texts_of(sheets), []
    mm, decimals = (25.4, 3) if worked_out.boat.units.length in ("in", "ft") else (1.0, 1)
    found = models(worked_out)
    rows = [one.product for one in shown_fittings(worked_out)]
    wrong += [] if sorted(rows) == sorted(found) else [f"rows {sorted(set(rows) ^ set(found))}"]
    for number, product in enumerate(rows, start=1):
        part, count, held = found[product]
        tag = f"fitting:{number}"
        wanted = {"name": name_of(part, product), "count": f"{count} + {held} held" if held else str(count)}
        wrong += [f"{product} {key}" for key, value in wanted.items() if texts.get(f"{tag}:{key}") != value]
        box = part.box()
        sides = [float(side) * mm for side in texts[f"{tag}:envelope"].split(" x ")]
        size = [high - low for low, high in zip(box.low, box.high, strict=True)]
        wrong += (
            [] if sides == pytest.approx(size, abs=0.5001 * mm * 10**-decimals) else [f"{product} envelope {sides}"]
        )
        shown = plain(texts.get(f"{tag}:sizes", ""))
        for dim in part.dims():
            if dim.name in NOT_SHOWN.get(part.family, ()):
                continue
            value = f"{dim.value / mm:.{decimals}f}" if dim.unit == "mm" else f"{dim.value:g}"
            up = f"{dim.value / mm + 1e-9:.{decimals}f}"
            if mm == 25.4 and dim.unit == "mm" and float(value):
                value, up = value.removeprefix("0"), up.removeprefix("0")
            name = RENAMED.get((part.family, dim.name), "")
            if plain(f"{name} {value}") not in shown and up not in shown:
                wrong.append(f"{product}: {dim.name} {value} not in {shown}")
    return wrong


@pytest.mark.parametrize("name", EVERY)
def test_every_fitting_stands_with_envelope_and_sizes(name):
    assert faults(refit_of(name), sheets_of(refit_of(name))) == []


@pytest.mark.long
@pytest.mark.parametrize("seed", dict.fromkeys((*ODD, *seeds(1))))
def test_random_boats(seed):
    assert faults(random_refit(seed), sheets_of(random_refit(seed))) == []


@pytest.mark.parametrize(
    ("key", "text"), [("sizes", "pins apart 40.1"), ("count", "9"), ("name", "Z"), ("envelope", "18.0 x 18.0 x 57.2")]
)
def test_the_reading_back_can_fail(key, text):
    boat = refit_of("saltwhin-31")
    number = next(n for n, one in enumerate(shown_fittings(boat), start=1) if one.part.family == "gate eye")
    assert faults(boat, forged(sheets_of(boat), f"fitting:{number}:{key}", text)) != []


def test_a_size_that_the_boat_file_does_not_state_has_an_asterisk():
    """The gate eye's holes are 40 apart by the boat file; the shape is generic. The lashing is set at 60."""
    boat = refit_of("saltwhin-31")
    texts = texts_of(sheets_of(boat))
    rows = {one.part.family: texts[f"fitting:{n}:sizes"] for n, one in enumerate(shown_fittings(boat), start=1)}
    assert "pins apart 40.0" in rows["gate eye"] and "pins apart 40.0*" not in rows["gate eye"]
    assert "pin to pin 60.0;" in rows["lashing"] and "inside, as drawn 9.8*" in rows["lashing"]


@pytest.mark.parametrize("name", EVERY)
def test_the_page_stands_upright_without_a_fault(name):
    sheets = sheets_of(refit_of(name))
    assert all(sheet.height > sheet.width for sheet in sheets)
    assert [fault for sheet in sheets for fault in layout(sheet).faults] == []


def test_places_and_lines_on_hold_are_named():
    boat = refit_of("saltwhin-31")
    texts = texts_of(sheets_of(boat))
    hooks = [n for n, one in enumerate(shown_fittings(boat), start=1) if one.part.family == "gate hook body"]
    for number in some(hooks):
        assert texts[f"fitting:{number}:at"] == "on hold: after end: S-G-U, S-G-L, P-G-U, P-G-L"


def test_a_turnbuckle_has_the_range_of_the_boat_file():
    """5, 6, 7 1/2 in: no listed size reaches from the least to the most, and the sheet says so."""
    turnbuckle = next(o for o in shown_fittings(refit_of("pipwing-25")) if o.part.family == "open-body turnbuckle")
    part, stated = turnbuckle.part, turnbuckle.sources
    assert (part.minimum, part.opening, part.maximum) == pytest.approx((127.0, 152.4, 190.5))
    assert stated["minimum"] == "boat file" and "does not reach" in stated["maximum"]


def test_a_range_that_a_listed_size_covers_takes_that_size():
    fitting = Fitting(family="open-body turnbuckle", length=Adjust(min=160, planned=165, max=215))
    member = fitting_members(fitting, 5.0)[0]
    assert " size 6 " in member.product and dict(member.sources)["maximum"] == "boat file"


def test_what_has_no_shape_is_said_to_be_a_plain_body():
    """On paper by its name, in the model by its name: never without a word."""
    boat = refit_of(ALL)
    texts = texts_of(sheets_of(boat))
    bodies = {product: part for product, (part, _, _) in models(boat).items() if part.family == "envelope"}
    wanted = {"ring", "rope tail", "eye on a ring", "eye on a hook", "webbing end", "stop", "liner"}
    assert {part.stands_for for part in bodies.values()} == wanted
    names = {one.product: texts[f"fitting:{n}:name"] for n, one in enumerate(shown_fittings(boat), start=1)}
    assert all(names[product] == f"{part.stands_for} (plain body)" for product, part in bodies.items())


def test_what_is_not_listed_is_named():
    texts = texts_of(sheets_of(refit_of(ALL)))
    stated = " ".join(text for tag, text in texts.items() if tag.startswith("fittings:notes"))
    assert "Not listed: 1 x hook tongue: at no hole of its run" in stated


def test_two_specifications_never_share_a_product_name():
    """Two lashings of one length on different pins are two fittings, on paper and in the model."""
    from dataclasses import replace

    from geom.refit import refit

    boat = refit_of("saltwhin-31")
    word = next(word for word, stated in boat.boat.fittings.items() if stated.family == "lashing")
    other = boat.boat.fittings[word].model_copy(update={"pin": 9.0})
    run = next(run for run in boat.boat.runs if word in run.start.fittings)
    names = tuple("thick" if name == word else name for name in run.start.fittings)
    start = run.start.model_copy(update={"fittings": names})
    runs = tuple(one.model_copy(update={"start": start}) if one is run else one for one in boat.boat.runs)
    changed_boat = boat.boat.model_copy(update={"runs": runs, "fittings": {**boat.boat.fittings, "thick": other}})
    two = refit(replace(boat.loaded, boat=changed_boat))
    lashings = [part for part, _, _ in models(two).values() if part.family == "lashing"]
    pins = sorted(part.pin for part in lashings)
    assert len(set(pins)) == len(pins) == 2 and 9.0 in pins
    assert faults(two, sheets_of(two)) == []


def test_no_solid_kernel_is_loaded():
    code = (
        "import sys\nfrom tests.boats import refit_of\nfrom geom.sheets import drawing_set\n"
        "assert any('fittings' in sheet.name for sheet in drawing_set(refit_of('saltwhin-31')))\n"
        "sys.exit(bool({'cadquery', 'OCP', 'vtk'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0


def test_a_list_without_a_title_has_one_rule_over_it():
    for sheet in some(sheets_by(fitting_sheets, demo_boat("saltwhin-31"))):
        heads = sorted(item.start[1] for item in sheet.items if isinstance(item, Line) and item.layer == "HEAD-RULE")
        assert all(above - below > 5.0 for below, above in pairwise(heads))
