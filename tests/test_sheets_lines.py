"""Splice sheets and order lists read back from their written files."""

from __future__ import annotations

import io
import math
import re
from dataclasses import replace
from fractions import Fraction

import ezdxf
import pytest

from geom.purchasing.parts_list import parts_list
from geom.refit import Refit
from geom.render.dxf import dxf_bytes
from geom.render.faults import layout
from geom.sheets.line_sheets.sheet import line_sheets
from geom.sheets.order.sheet import order_list
from geom.sheets.order.tables import is_measured
from geom.sheets.splices.sheet import splice_sheet
from geom.tables import numbers
from geom.units import inch_fraction
from geom.words import worded
from tests.boats import NAMES, refit_of
from tests.made import sheets_by
from tests.random_boats import random_refit
from tests.sheet_texts import forged, plain, shows, texts_of
from tests.stated_boat import stated_refit

MAKERS = (splice_sheet, order_list)
APPID = "TOERAIL"


LONG = {"m": 1000.0, "ft": 304.8, "in": 25.4}


def boat_of(name: str) -> Refit:
    return stated_refit() if name == "told" else refit_of(name)


@pytest.fixture(scope="module", params=(*NAMES, "told"))
def name(request):
    return request.param


def marked(text, value, fmt, decimals):
    """Return whether a mark's lettering is a value: decimals, or whole inches and a fraction to 1/32."""
    number = text.split("  ")[0] if "  " in text else text.rpartition(" ")[0]
    if fmt.unit != "in" or "." in number:
        return bool(number) and shows(number, value / fmt.mm, decimals)
    sign = -1 if number.startswith("-") else 1
    read = sign * sum(Fraction(part) for part in number.removeprefix("-").split()) if number else math.inf
    return abs(read - value / 25.4) <= 1 / 64 + 1e-9


def marks_at_odds(sheets, worked_out, wanted):
    """Return the marks whose ordinates in the DXF, or whose lettering in the SVG, are wrong."""
    fmt, texts, measured = numbers(worked_out.boat), texts_of(sheets), {}
    for sheet in sheets:
        doc = ezdxf.read(io.StringIO(dxf_bytes(sheet, "cad").decode("utf-8")))
        for entity in doc.modelspace().query("DIMENSION"):
            tag = entity.get_xdata(APPID)[0].value
            if tag in wanted:
                factor = doc.dimstyles.get(entity.dxf.dimstyle).dxf.dimlfac
                measured[tag] = abs(entity.dxf.defpoint2.x - entity.dxf.defpoint.x) * factor
    wrong = []
    for tag, value in wanted.items():
        if not marked(texts.get(tag, ""), value, fmt, fmt.decimals):
            wrong.append(f"{tag} shows {texts.get(tag)!r}, {value / fmt.mm}")
        if abs(measured.get(tag, math.inf) - abs(value) / fmt.mm) > 1e-6:
            wrong.append(f"{tag} measures {measured.get(tag)}")
    return wrong


def changed_views(sheets, tag, change):
    """Return the sheets with one item of a view changed."""
    return tuple(
        replace(
            sheet,
            views=tuple(
                replace(view, items=tuple(change(item) if item.tag == tag else item for item in view.items))
                for view in sheet.views
            ),
        )
        for sheet in sheets
    )


def splice_marks(number, diameter, girth, locked):
    """Return the marks of a splice of 12-strand rope by their id [mm]: common practice, no source.

    Tail 72 d, 4 d more where the standing part is passed; taper by 11 cuts, one every 3 d; exit 7/6 of the tail.
    """
    tail = (76.0 if locked else 72.0) * diameter
    tag = f"splice:{number}"
    found = {f"{tag}:cut:{k}": 3.0 * k * diameter for k in range(1, 12)}
    found |= {f"{tag}:tail": tail, f"{tag}:eye": tail + girth, f"{tag}:exit": tail + girth + tail * 7.0 / 6.0}
    return found | {f"{tag}:bury": 72.0 * diameter, f"{tag}:full": 39.0 * diameter, f"{tag}:throat": 0.0}


@pytest.mark.parametrize(("boat", "locks"), [("saltwhin-31", (False, True)), ("first-try", (True, False))])
def test_splices_are_marked_as_common_practice_has_it(boat, locks):
    worked_out = refit_of(boat)
    sheets = sheets_by(splice_sheet, worked_out)
    wanted = {}
    for number, locked in enumerate(locks, start=1):
        wanted |= splice_marks(number, 5.0, 75.0, locked)
    assert marks_at_odds(sheets, worked_out, wanted) == []
    moved = changed_views(sheets, "splice:1:tail", lambda item: replace(item, at=(item.at[0] + 1.0, item.at[1])))
    assert marks_at_odds(moved, worked_out, wanted) != []


def test_splice_tables_say_the_recipe(name):
    worked_out = boat_of(name)
    sheets = sheets_by(splice_sheet, worked_out)
    texts = texts_of(sheets)
    recipes = {
        recipe: None
        for work in worked_out.work.runs.values()
        for recipe in work.splices.values()
        if recipe is not None and not work.refused
    }
    assert len(sheets) == math.ceil(len(recipes) / 2)
    for number, recipe in enumerate(recipes, start=1):
        for key, value in (("tail", recipe.tail_mark), ("eye", recipe.eye_mark), ("exit", recipe.exit_mark)):
            assert shows(texts[f"splice:{number}:mark:{key}:mm"], value, 1)
            assert texts[f"splice:{number}:mark:{key}:in"] == inch_fraction(value, 16)
        for warning in recipe.warnings:
            assert plain(worded(warning)) in plain(texts[f"splice:{number}:warnings"])
        assert f"splice:{number}:stitch-from" in texts


def test_nothing_is_spliced_on_wire():
    assert splice_sheet(refit_of("pipwing-25")) == ()


def long_length(text):
    """Return a length to buy as read: metres, or feet and inches [mm]."""
    return sum(float(figure) * LONG[unit] for figure, unit in re.findall(r"([\d.]+) (m|ft|in)", text))


def order_at_odds(sheets, worked_out):
    """Return what an order list says or draws otherwise than the order."""
    texts, fmt, wrong = texts_of(sheets), numbers(worked_out.boat), []
    step = 25.4 + 1e-6 if fmt.unit == "in" else 10.0 + 1e-6
    doc = ezdxf.read(io.StringIO(dxf_bytes(sheets[0], "cad").decode("utf-8")))
    widths = {}
    for entity in doc.modelspace().query("LWPOLYLINE"):
        if entity.has_xdata(APPID):
            xs = [point[0] for point in entity.get_points()]
            widths[entity.get_xdata(APPID)[0].value] = (max(xs) - min(xs)) * sheets[0].unit
    order = worked_out.order
    for line in order.lines:
        reels = [(0, line.pieces)] if line.plan is None else list(enumerate((r.pieces for r in line.plan.reels), 1))
        for number, pieces in reels:
            for piece in pieces:
                drawn = widths.get(f"reel:{line.line}:{number}:{piece.name}", 0.0)
                if abs(drawn - piece.length) > 2e-6 * sheets[0].unit:
                    wrong.append(f"reel {number} {piece.name}")
        bought = line.total if line.plan is None else line.plan.bought
        shown = long_length(texts[f"order:{line.line}:bought"])
        if not -1e-6 <= shown - bought <= step:
            wrong.append(f"{line.line} to buy {shown}")
        total = long_length(texts[f"order:{line.line}:total"])
        if not -1e-6 <= total - line.total <= step:
            wrong.append(f"{line.line} total")
        held = texts.get(f"order:{line.line}:held", "").split(" ")[0]
        if held != (str(len(line.on_hold)) if line.on_hold else ""):
            wrong.append(f"{line.line} on hold")
        for piece in line.pieces:
            tag = f"piece:{line.line}:{piece.name}" if piece in line.trials else f"piece:{piece.name}"
            if not shows(texts.get(f"{tag}:length", "?."), piece.length / fmt.mm, 0):
                wrong.append(f"piece {piece.name}")
        wrong += [f"held {run}" for run, _ in line.on_hold if f"held:{run}" not in texts]
    counts: dict[str, int] = {}
    for end in order.ends:
        key = f"{end.run}:{end.end}"
        counts[key] = counts.get(key, 0) + 1
        tag = f"end:{key}:{counts[key]}"
        if (f"{tag}:part" in texts) != is_measured(worked_out, end):
            wrong.append(f"{tag}: asked for or not")
        if f"{tag}:part" not in texts:
            continue
        for name, value in {"min": end.minimum, "planned": end.planned, "max": end.maximum}.items():
            if not shows(texts.get(f"{tag}:{name}", "?."), None if value is None else value / fmt.mm, fmt.decimals):
                wrong.append(f"{tag}:{name}")
        for name, value in {"pin": end.pin, "jaw": end.jaw}.items():
            text = texts.get(f"{tag}:{name}")
            if end.part not in worked_out.boat.fittings:
                # A terminal has no pin or jaw to be measured.
                wrong += [] if text == "-" else [f"{tag}:{name} {text}"]
                continue
            if not (text is None if value is None else text is not None and shows(text, value / fmt.mm, fmt.decimals)):
                wrong.append(f"{tag}:{name} {text}")
        if texts.get(f"{tag}:hand") != end.hand or texts.get(f"{tag}:thread") != end.thread:
            wrong.append(f"{tag}: thread or hand")
    wrong += parts_at_odds(texts, worked_out)
    small = sum(one.count for one in order.small)
    if sum(int(text) for tag, text in texts.items() if tag.startswith("small:") and tag.endswith(":count")) != small:
        wrong.append("small parts")
    if order.cost and not shows(texts["sum:cost"], order.cost, 2):
        wrong.append("cost")
    for choice in worked_out.line_options:
        value = None if choice.stretch is None else choice.stretch / fmt.mm
        if not shows(texts.get(f"compare:{choice.line}:stretch", "?."), value, fmt.decimals):
            wrong.append(f"compare {choice.line}")
    return wrong


def parts_at_odds(texts, worked_out):
    """Return which rows of the parts to buy differ from the parts counted, or repeat as missing what is known."""
    held = frozenset(run for line in worked_out.order.lines for run, _ in line.on_hold)
    wrong = []
    for number, row in enumerate(parts_list(worked_out.boat, worked_out.placed.runs, held), start=1):
        tag = f"buy:{number}"
        said = (texts.get(f"{tag}:count"), texts.get(f"{tag}:held"), texts.get(f"{tag}:part"))
        if said != (str(row.count), str(row.on_hold) if row.on_hold else None, row.part):
            wrong.append(f"{tag}: {said}")
        if not all(name in texts.get(f"{tag}:known", "") for name, _ in row.sizes):
            wrong.append(f"{tag}: known")
        if (texts.get(f"{tag}:load") is None) != (row.strength is None):
            wrong.append(f"{tag}: load")
    return wrong


def test_order_says_what_is_to_be_bought(name):
    worked_out = boat_of(name)
    assert order_at_odds(sheets_by(order_list, worked_out), worked_out) == []


def test_pieces_of_whole_inches_are_no_shorter_than_they_have_to_be_and_add_up():
    """Twine of 1 m a splice: 40 in, as 39 would be short; the total is of what is cut, count by count."""
    worked_out = random_refit(117)
    texts = texts_of(sheets_by(order_list, worked_out))
    needed = {one.length for one in worked_out.order.small if one.length is not None}
    numbers_of = [tag.split(":")[1] for tag in texts if tag.startswith("small:") and tag.endswith(":length")]
    assert numbers_of
    for number in numbers_of:
        count, each, total = (texts[f"small:{number}:{key}"] for key in ("count", "length", "total"))
        feet, _, inches = total.partition(" ft")
        assert 12 * int(feet) + float(inches.split()[0] if inches.strip() else 0) == int(count) * int(each)
        assert any(0.0 <= int(each) * 25.4 - length < 25.4 for length in needed)


def test_a_line_on_hold_waits_for_the_items_flagged_on_its_sheet():
    texts = texts_of(sheets_by(order_list, refit_of("saltwhin-31")))
    flags = texts_of(sheets_by(line_sheets, refit_of("saltwhin-31")))
    flagged = {tag.split(":")[2] for tag in flags if tag.startswith("flag:S-G-U:")}
    assert set(texts["held:S-G-U:items"].split(", ")) == flagged


def test_lines_are_set_side_by_side_where_the_file_asks():
    texts = texts_of(sheets_by(order_list, stated_refit()))
    assert {"compare:guard rope:eye", "compare:guard wire:eye"} <= set(texts)


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("order:guard rope:bought", "35.75 m"),
        ("order:guard rope:total", "35.75 m"),
        ("piece:S-F-U:length", "5960"),
        ("held:S-G-U", None),
        ("buy:1:count", "24"),
        ("buy:2:held", "3"),
        ("small:1:count", "7"),
    ],
)
def test_a_forged_order_is_caught(tag, text):
    worked_out = refit_of("saltwhin-31")
    assert order_at_odds(forged(sheets_by(order_list, worked_out), tag, text), worked_out) != []


def test_a_bar_of_another_length_is_caught():
    worked_out = stated_refit()
    tag = "reel:guard rope:3:P-F-L"
    cut = changed_views(
        sheets_by(order_list, worked_out), tag,
        lambda item: replace(item, points=tuple((x * 0.99, y) for x, y in item.points)),
    )  # fmt: skip
    assert order_at_odds(cut, worked_out) != []


def layout_faults(make, worked_out):
    return [f"{sheet.name}: {fault}" for sheet in sheets_by(make, worked_out) for fault in layout(sheet).faults]


@pytest.mark.parametrize("make", MAKERS, ids=lambda make: make.__name__)
def test_no_layout_fault(make, name):
    assert layout_faults(make, boat_of(name)) == []
