"""Run cards, splice sheets, threading plans and order lists read back from their written files."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from fractions import Fraction

import ezdxf
import pytest

from geom.drafting.line_text import in_words
from geom.figure import Cell, Ordinate, Table, Text
from geom.purchasing.parts_list import parts_list
from geom.refit import Refit
from geom.render.dxf import dxf_bytes
from geom.render.faults import layout
from geom.sheets.line_sheets.run_cards import run_cards
from geom.sheets.line_sheets.threading import threading_plan
from geom.sheets.order.sheet import order_list
from geom.sheets.order.tables import is_measured
from geom.sheets.splices.sheet import splice_sheet
from geom.tables import numbers
from geom.units import inch_fraction
from geom.words import worded
from tests.boats import NAMES, refit_of, report_of
from tests.made import sheets_by
from tests.sheet_texts import forged, plain, shows, texts_of
from tests.some import some
from tests.stated_boat import stated_refit

MAKERS = (run_cards, splice_sheet, threading_plan, order_list)
APPID = "TOERAIL"


def boat_of(name: str) -> Refit:
    return stated_refit() if name == "told" else refit_of(name)


@pytest.fixture(scope="module", params=(*NAMES, "told"))
def name(request):
    return request.param


@pytest.fixture(scope="module")
def cards(name):
    return sheets_by(run_cards, boat_of(name))


def buried(boat, run, end):
    """Return throat and buried length of a spliced end, None where it is no splice: 72 d where nothing else is told."""
    made, line = boat.ends[end.end], boat.lines[run.line]
    if "eye" not in made.family or "wire" in line.construction:
        return None
    return made.throat_to_pin, 72.0 * line.diameter


def marks_of(worked_out):
    """Return the marks of each line by their id, added up from spans and fittings [mm]."""
    boat, found = worked_out.boat, {}
    for stated, run in zip(boat.runs, worked_out.placed.runs.values(), strict=True):
        stacks = [sum(boat.fittings[n].length.planned for n in end.fittings) for end in (stated.start, stated.finish)]
        finished = sum(run.spans) - sum(stacks)
        ends = [end.eye or end.post for end in (stated.start, stated.finish)]
        tag = f"mark:{stated.id}"
        own = {f"{tag}:bears:{ends[0]}": 0.0, f"{tag}:bears:{ends[1]}": finished}
        for post, at in zip(stated.through, range(len(run.spans)), strict=False):
            own[f"{tag}:hole:{post}-{stated.id[-1]}"] = sum(run.spans[: at + 1]) - stacks[0]
        if stacks[0]:
            own[f"{tag}:pin:{ends[0]}"] = -stacks[0]
        if stacks[1]:
            own[f"{tag}:pin:{ends[1]}"] = finished + stacks[1]
        refused, last = worked_out.work.runs[stated.id].refused, worked_out.work.runs[stated.id].making.last
        for place, end, base, sign in zip(
            ends, (stated.start, stated.finish), (0.0, finished), (1.0, -1.0), strict=True
        ):
            made = boat.ends[end.end]
            if refused:
                continue
            if made.deduction is not None:
                own[f"{tag}:wire ends:{place}"] = base + sign * made.deduction
            bury = buried(boat, stated, end)
            if bury is not None:
                # The taper of a 12-strand rope: 11 cuts, one every 3 d (common practice, no source).
                taper = 33.0 * boat.lines[stated.line].diameter
                own[f"{tag}:throat:{place}"] = base + sign * bury[0]
                own[f"{tag}:taper begins:{place}"] = base + sign * (bury[0] + bury[1] - taper)
                own[f"{tag}:bury ends:{place}"] = base + sign * (bury[0] + bury[1])
        # Marks count from the end that is made first.
        found |= {key: finished - at if last == "start" else at for key, at in own.items()}
    return found


def marked(text, value, fmt, decimals):
    """Return whether a mark's lettering is a value: decimals, or whole inches and a fraction to 1/32."""
    number = text.split("  ")[0] if "  " in text else text.rpartition(" ")[0]
    if fmt.unit != "in" or "." in number:
        return bool(number) and shows(number, value / fmt.mm, decimals)
    sign = -1 if number.startswith("-") else 1
    read = sign * sum(Fraction(part) for part in number.removeprefix("-").split()) if number else math.inf
    return abs(read - value / 25.4) <= 1 / 64 + 1e-9


def rope_run(worked_out, run):
    """Return whether a run is cut of rope, whose marks stand to whole millimetres."""
    work = worked_out.work.runs[run]
    return not work.refused and "wire" not in worked_out.boat.lines[worked_out.placed.runs[run].spec.line].construction


def marks_at_odds(sheets, worked_out, wanted):
    """Return the marks whose ordinates in the DXF, or whose lettering in the SVG, are not the wanted ones."""
    fmt, texts, measured = numbers(worked_out.boat), texts_of(sheets), {}
    for sheet in sheets:
        doc = ezdxf.read(io.StringIO(dxf_bytes(sheet, "cad").decode("utf-8")))
        for entity in doc.modelspace().query("DIMENSION"):
            tag = entity.get_xdata(APPID)[0].value
            if tag in wanted or tag.startswith("mark:"):
                factor = doc.dimstyles.get(entity.dxf.dimstyle).dxf.dimlfac
                measured[tag] = abs(entity.dxf.defpoint2.x - entity.dxf.defpoint.x) * factor
    wrong = [tag for tag in measured if tag not in wanted]
    for tag, value in wanted.items():
        whole = tag.startswith("mark:") and fmt.unit == "mm" and rope_run(worked_out, tag.split(":")[1])
        if not marked(texts.get(tag, ""), value, fmt, 0 if whole else fmt.decimals):
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


def forged_cell(sheets, tag, text):
    """Return the sheets with another text in one cell of a ruled table."""

    def rows(item):
        return tuple(tuple(Cell(text, tag) if cell.tag == tag else cell for cell in row) for row in item.rows)

    return tuple(
        replace(s, items=tuple(replace(item, rows=rows(item)) if isinstance(item, Table) else item for item in s.items))
        for s in sheets
    )


def test_every_mark_of_every_line_counts_from_its_zero(cards, name):
    worked_out = boat_of(name)
    assert marks_at_odds(cards, worked_out, marks_of(worked_out)) == []


def test_a_forged_or_moved_mark_is_caught():
    worked_out = refit_of("saltwhin-31")
    sheets, wanted = sheets_by(run_cards, worked_out), marks_of(worked_out)
    tag = "mark:S-F-U:hole:S-S1-U"

    def forge(item):
        return replace(item, text="1364 hole") if isinstance(item, Ordinate) else item

    def move(item):
        return replace(item, at=(item.at[0] + 0.2, item.at[1])) if isinstance(item, Ordinate) else item

    for change in (forge, move):
        assert marks_at_odds(changed_views(sheets, tag, change), worked_out, wanted) != []


def cards_at_odds(sheets, worked_out):
    """Return what the tables and big figures of run cards say otherwise than the line work."""
    texts, fmt, wrong = texts_of(sheets), numbers(worked_out.boat), []
    for run, work in worked_out.work.runs.items():
        stands = {tag: text for tag, text in texts.items() if f":{run}" in tag}
        if work.refused:
            if stands.get(f"stop:{run}") != "DO NOT CUT" or f"cut:{run}" in stands or f"refused:{run}" not in stands:
                wrong.append(f"{run} is not refused")
            for number, other in enumerate(work.alternatives, start=1):
                if plain(stands.get(f"instead:{run}:{number}:what", "")) != plain(worded(other.what)):
                    wrong.append(f"{run} instead {number}")
            continue
        rope = "wire" not in worked_out.boat.lines[worked_out.placed.runs[run].spec.line].construction
        whole = work.reel.from_reel if rope else work.cut
        cut = inch_fraction(whole, 32) if fmt.unit == "in" else f"{whole:.{0 if rope else 1}f}"
        if stands.get(f"cut:{run}") != cut or stands.get(f"term:{run}:cut") != cut:
            wrong.append(f"{run} is cut {stands.get(f'cut:{run}')}")
        for key, value in (
            ("finished", work.lengths.finished), ("eye-to-eye", eye_to_eye(worked_out, run)),
            ("from-throat", eye_to_eye(worked_out, run, 1.0)),
        ):  # fmt: skip
            text = stands.get(f"{key}:{run}", "-")
            if fmt.unit == "in" and text != "-":
                fraction, _, text = text.removesuffix(")").partition(" (")
                if fraction != inch_fraction(value, 32):
                    wrong.append(f"{run} {key} {fraction}")
            if not shows(text, None if value is None else value / fmt.mm, fmt.decimals):
                wrong.append(f"{run} {key} {text}")
        sums = [tag for tag in stands if tag.startswith(f"term:{run}:") and tag.endswith(":sum")]
        total = sum(float(stands[tag]) for tag in sums)
        if abs(total - float(stands[f"term:{run}:total"])) > 0.51 * len(sums) * 10.0**-fmt.decimals:
            wrong.append(f"{run} terms do not add up")
        by_term: dict[str, float] = {}
        for term in work.lengths.terms:
            where = term.end or "sum"
            by_term[f"term:{run}:{term.name}:{where}"] = term.value
        for tag, value in by_term.items():
            if not shows(stands.get(tag, "?."), value / fmt.mm, fmt.decimals):
                wrong.append(tag)
        budget = work.budget
        for key in ("shorten", "lengthen"):
            text = stands.get(f"budget:{run}:{key}", "?.")
            wants, has = getattr(budget, f"needed_{key}") / fmt.mm, getattr(budget, key)
            required_by, _, there = text.partition(" of " if has is not None else ";")
            if not shows(required_by, wants, fmt.decimals):
                wrong.append(f"budget:{run}:{key} {text}")
            if has is not None and not shows(there, has / fmt.mm, fmt.decimals):
                wrong.append(f"budget:{run}:{key} {text}")
        if (f"bedding:{run}" in stands) != (budget.bedding_to_come is None):
            wrong.append(f"bedding:{run}")
        if ("NOT" in stands[f"budget:{run}:verdict"]) != (budget.verdict == "refused"):
            wrong.append(f"budget:{run}:verdict")
        for where in ("start", "finish"):
            in_place = work.plan.in_place == where
            if stands.get(f"made:{run}:{where}") != ("ON BOARD" if in_place else "ON THE BENCH"):
                wrong.append(f"made:{run}:{where}")
    for run in report_of_runs(worked_out):
        side = {"S": "STARBOARD", "P": "PORT"}[run[0]]
        if texts.get(f"side:{run}") != side:
            wrong.append(f"side:{run}")
    return wrong


def eye_to_eye(worked_out, run, buries=2.0):
    """Return the rope from eye to eye mark with so many buries to come [mm], from the file; None if not two splices.

    The finished line (under the marking tension, where that is told), less both eyes, plus what buries to come take up.
    """
    stated, lengths = worked_out.placed.runs[run].spec, worked_out.work.runs[run].lengths
    line, ends = worked_out.boat.lines[stated.line], (stated.start, stated.finish)
    eyes = [buried(worked_out.boat, stated, end) for end in ends]
    if None in eyes:
        return None
    # Not measured on this rope: a tenth of each bury.
    each = 0.1 * eyes[0][1] if line.take_up is None else line.take_up.each
    return lengths.marked - sum(eye[0] for eye in eyes) + buries * each


def report_of_runs(worked_out):
    return [run.id for run in worked_out.boat.runs]


def test_cards_say_what_the_line_work_says(cards, name):
    assert cards_at_odds(cards, boat_of(name)) == []


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("cut:S-F-U", "5680"),
        ("finished:S-F-U", "4687.8"),
        ("eye-to-eye:S-A-U", "1638.8"),
        ("stop:S-G-U", None),
        ("side:P-F-U", "STARBOARD"),
        ("made:S-F-U:start", "ON THE BENCH"),
    ],
)
def test_a_forged_card_is_caught(tag, text):
    worked_out = refit_of("saltwhin-31")
    assert cards_at_odds(forged(sheets_by(run_cards, worked_out), tag, text), worked_out) != []


@pytest.mark.parametrize("tag", ["term:S-F-U:bury:start", "budget:S-F-U:shorten", "term:S-F-U:total"])
def test_a_forged_cell_is_caught(tag):
    worked_out = refit_of("saltwhin-31")
    assert cards_at_odds(forged_cell(sheets_by(run_cards, worked_out), tag, "361.0"), worked_out) != []


def test_wire_is_cut_to_a_thirty_second_of_an_inch():
    """Cut lengths of the demonstration boat worked by hand: path, fittings and two deductions of 1 1/2 in."""
    texts = texts_of(sheets_by(run_cards, refit_of("pipwing-25")))
    assert texts["cut:S-F-U"] == "206 21/32"
    assert texts["cut:P-F-U"] == "207 1/8"


def test_cards_agree_with_the_check_report():
    texts = texts_of(sheets_by(run_cards, refit_of("saltwhin-31")))
    for run in some(report_of("saltwhin-31")["runs"]):
        assert (f"cut:{run['id']}" in texts) == (run["from_reel_mm"] is not None)
        if run["from_reel_mm"] is not None:
            assert float(texts[f"cut:{run['id']}"]) == pytest.approx(run["from_reel_mm"], abs=0.5)


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
    assert len(sheets) == len(recipes)
    for number, recipe in enumerate(recipes, start=1):
        for key, value in (("tail", recipe.tail_mark), ("eye", recipe.eye_mark), ("exit", recipe.exit_mark)):
            assert shows(texts[f"splice:{number}:mark:{key}:mm"], value, 1)
            assert texts[f"splice:{number}:mark:{key}:in"] == inch_fraction(value, 16)
        sides = [texts[f"splice:{number}:taper:{k}:side"] for k in range(1, len(recipe.taper_marks) + 1)]
        assert sides == ["left" if k % 2 == 0 else "right" for k in range(len(sides))]
        for k, cut in enumerate(recipe.taper_marks, start=1):
            assert shows(texts[f"splice:{number}:taper:{k}:mm"], cut.from_end, 1)
            # Two ropes in one, equal packing: the square root of one and the share of strands left.
            outside = recipe.diameter * math.sqrt(1.0 + cut.strands_left / recipe.strands)
            assert shows(texts[f"splice:{number}:taper:{k}:od"], outside, 1)
        for warning in recipe.warnings:
            assert plain(worded(warning)) in plain(texts[f"splice:{number}:warnings"])
        assert f"splice:{number}:stitch-from" in texts


def test_nothing_is_spliced_on_wire():
    assert splice_sheet(refit_of("pipwing-25")) == ()


# Whether a finished end passes, as people say it.
PASSES = {"passes": "passes", "squeeze": "passes, squeezed through with a messenger line", "trial": "trial piece first",
          "in place": "does not pass as a finished end", "line does not pass": "plain line does not pass"}  # fmt: skip


def pointer_of(worked_out, work, step):
    """Return what a threading step adds to its words: the splice of an end that is made, the lengths of fittings."""
    stated, fmt = worked_out.placed.runs[work.run].spec, numbers(worked_out.boat)
    recipes = {}
    for other in worked_out.work.runs.values():
        for where in ("start", "finish"):
            if not other.refused and other.splices[where] is not None:
                recipes.setdefault(other.splices[where], len(recipes) + 1)
    if step.makes:
        recipe = work.splices[step.makes]
        return "" if recipe is None else f": SPLICE {recipes[recipe]}"
    if step.fastens:
        names = (stated.start if step.fastens == "start" else stated.finish).fittings
        assert len(names) <= 1
        if names:
            size = worked_out.boat.fittings[names[0]].length
            minimum, planned, maximum = (
                "not stated" if v is None else f"{v / fmt.mm:.{fmt.decimals}f}"
                for v in (size.min, size.planned, size.max)
            )
            return f": {planned} {fmt.unit} pin to pin ({minimum} to {maximum})"
    if step.marks:
        value = eye_to_eye(worked_out, work.run, 1.0)
        stated = f"{value / fmt.mm:.{fmt.decimals}f}"
        return f": {inch_fraction(value, 32)} ({stated}) in" if fmt.unit == "in" else f": {stated} mm"
    return ""


def plans_at_odds(sheets, worked_out):
    """Return what threading plans, hole pass table, gates and log say otherwise than the line work."""
    texts, fmt, wrong = texts_of(sheets), numbers(worked_out.boat), []
    fine = fmt.decimals + (fmt.unit == "in")
    for run, work in worked_out.work.runs.items():
        if work.refused:
            stated = (texts.get(f"plan:{run}:verdict", ""), texts.get(f"plan:{run}:stopped", ""))
            if "DO NOT CUT" not in stated[0] or f"run card of {run}" not in stated[1] or f"plan:{run}:step:1" in texts:
                wrong.append(f"{run} is not stopped")
            if "DO NOT CUT" not in texts.get(f"log:{run}:held", ""):
                wrong.append(f"{run} is not on hold in the log")
            continue
        for number, step in enumerate(work.plan.work, start=1):
            wanted = f"{number} {in_words(step.does, numbers(worked_out.boat))}{pointer_of(worked_out, work, step)}"
            if plain(texts.get(f"plan:{run}:step:{number}", "")) != plain(wanted):
                wrong.append(f"{run} step {number}")
        setting = next(k for k, line in enumerate(work.log) if line.step.code == "log.set")
        for number, line in enumerate(work.log[:setting], start=1):
            if texts.get(f"log:{run}:{number}:step") != worded(line.step):
                wrong.append(f"{run} log {number}")
        holes = [passage.hole.id for passage in worked_out.placed.runs[run].passages]
        order = holes if work.plan.direction == "aft" else holes[::-1]
        wrong += [f"{run} order {h}" for k, h in enumerate(order, 1) if texts.get(f"plan:{run}:order:{h}") != str(k)]
        if holes and texts.get(f"plan:{run}:direction") != f"THREAD {work.plan.direction.upper()}":
            wrong.append(f"{run} direction")
        for item in work.plan.slide_on:
            if plain(item.item) not in plain(texts[f"plan:{run}:notes"]):
                wrong.append(f"{run} leaves out {item.item}")
    for eyes in worked_out.placed.eyes.values():
        for hole in eyes.holes:
            tag = f"pass:{hole.run}:{hole.hole}"
            if not shows(texts.get(f"{tag}:bore", "?."), hole.start.has / fmt.mm, fine):
                wrong.append(f"{tag}:bore")
            for where, eye in (("start", hole.start), ("finish", hole.finish)):
                needs = None if eye.needs is None else eye.needs / fmt.mm
                if texts.get(f"{tag}:{where}:verdict") != PASSES[eye.verdict]:
                    wrong.append(f"{tag}:{where}:verdict")
                if not shows(texts.get(f"{tag}:{where}:needs", "?."), needs, fine):
                    wrong.append(f"{tag}:{where}:needs")
    for gate in worked_out.work.gates:
        tag = f"gate:{gate.gate}:{gate.run}"
        free = gate.without_stop
        if not shows(texts.get(f"{tag}:hangs", "?."), gate.hangs / fmt.mm, fmt.decimals):
            wrong.append(f"{tag}:hangs")
        for key, drop in (("drop", free), ("drop_stop", gate.with_stop)):
            down, text = None if drop is None else drop.by_hand, texts.get(f"{tag}:{key}", "?.")
            if down is not None and down >= highest_of(worked_out, gate.widest_between):
                if text != "to the deck":
                    wrong.append(f"{tag}:{key}")
            elif text == "to the deck" or not shows(text, down and down / fmt.mm, fmt.decimals - 1):
                wrong.append(f"{tag}:{key}")
    return wrong


def highest_of(worked_out, between):
    """Return how high over its post's foot the higher hole at the ends of a span stands [mm]."""
    found = [-math.inf]
    for post in worked_out.boat.posts:
        for level, hole in post.holes.items():
            if f"{post.id}-{level}" in between:
                found.append(hole.along / math.hypot(1.0, math.tan(post.lean), math.tan(post.rake)))
    return found[-1] if len(found) < 2 else max(found)


def test_threading_says_what_the_line_work_says(name):
    worked_out = boat_of(name)
    sheets = sheets_by(threading_plan, worked_out)
    assert plans_at_odds(sheets, worked_out) == []
    # Both ends, made up or not, are told of; each end drawn as it is made.
    for run, work in worked_out.work.runs.items():
        texts = texts_of(sheets)
        for where in ("start", "finish"):
            made = "ON BOARD" if work.plan.in_place == where else "ON THE BENCH"
            assert texts.get(f"plan:{run}:{where}:made") == (None if work.refused else made)
    # No placeholder of a sign is left as a letter.
    assert not any(isinstance(i, Text) and i.tag.startswith("sign:") for s in sheets for i in s.items)


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("plan:S-F-U:step:4", "4 through S-S1-U: the free end, taped"),
        ("plan:S-F-U:step:2", None),
        ("log:S-F-U:4:step", "second splice"),
        ("log:S-G-U:held", None),
        ("plan:S-F-U:order:S-S1-U", "1"),
        ("plan:S-F-U:direction", "THREAD AFT"),
        ("plan:S-G-U:stopped", None),
        ("pass:S-F-U:S-S2-U:start:verdict", "passes"),
        ("pass:S-F-U:S-S2-U:bore", "12.7"),
        ("gate:S-GATE:S-F-U:drop", "149"),
        ("gate:S-GATE:S-F-U:drop_stop", "to the deck"),
    ],
)
def test_a_forged_plan_is_caught(tag, text):
    worked_out = refit_of("saltwhin-31")
    assert plans_at_odds(forged(sheets_by(threading_plan, worked_out), tag, text), worked_out) != []


@pytest.mark.parametrize("boat", ["saltwhin-31", "pipwing-25"])
def test_a_key_names_each_sign_that_its_sheet_draws_and_no_other(boat):
    worked_out = refit_of(boat)
    for sheet in some(sheets_by(threading_plan, worked_out)):
        texts = {item.tag: item.text for item in sheet.items if isinstance(item, Text)}
        eyes = [eye for run in worked_out.placed.eyes.values() for eye in run.holes]
        drawn = set()
        for hole in eyes:
            if f"plan:{hole.run}:order:{hole.hole}" in texts:
                leading = worked_out.placed.eyes[hole.run].leading
                drawn.add((hole.start if leading == "start" else hole.finish).verdict)
            if f"pass:{hole.run}:{hole.hole}:bore" in texts:
                drawn |= {hole.start.verdict, hole.finish.verdict}
        named = {tag.removeprefix("key:sign:"): text for tag, text in texts.items() if tag.startswith("key:sign:")}
        assert named == {verdict: PASSES[verdict] for verdict in drawn}


def test_why_is_told_in_the_sheets_unit():
    """0.47 in of terminal at 3/8 in holes, whichever way; 2 x 5 mm of folded eye at a 9.5 mm hole."""
    notes = texts_of(sheets_by(threading_plan, refit_of("pipwing-25")))["plan:S-F-U:notes"]
    assert "needs a hole of 0.470 in, S-S1-U is 0.375: does not pass, either way" in notes
    assert "mm" not in notes
    notes = texts_of(sheets_by(threading_plan, refit_of("saltwhin-31")))["plan:S-F-U:notes"]
    assert "lashing end needs a hole of 10.0 mm, S-S2-U is 9.5: passes only if a trial piece does" in notes


def order_at_odds(sheets, worked_out):
    """Return what an order list says or draws otherwise than the order."""
    texts, fmt, wrong = texts_of(sheets), numbers(worked_out.boat), []
    unit = 304.8 if fmt.unit == "in" else 1000.0
    doc = ezdxf.read(io.StringIO(dxf_bytes(sheets[0], "cad").decode("utf-8")))
    widths = {}
    for entity in doc.modelspace().query("LWPOLYLINE"):
        if entity.has_xdata(APPID):
            xs = [point[0] for point in entity.get_points()]
            widths[entity.get_xdata(APPID)[0].value] = max(xs) - min(xs)
    order = worked_out.order
    for line in order.lines:
        reels = [(0, line.pieces)] if line.plan is None else list(enumerate((r.pieces for r in line.plan.reels), 1))
        for number, pieces in reels:
            for piece in pieces:
                if abs(widths.get(f"reel:{line.line}:{number}:{piece.name}", 0.0) - piece.length) > 1e-6:
                    wrong.append(f"reel {number} {piece.name}")
        bought = line.total if line.plan is None else line.plan.bought
        shown = float(texts[f"order:{line.line}:bought"].split(" ")[0]) * unit
        if not -1e-6 <= shown - bought <= 0.0100001 * unit:
            wrong.append(f"{line.line} to buy {shown}")
        total = float(texts[f"order:{line.line}:total"].split(" ")[0]) * unit
        if not -1e-6 <= total - line.total <= 0.0100001 * unit:
            wrong.append(f"{line.line} total")
        held = texts.get(f"order:{line.line}:held", "").split(" ")[0]
        # The column stands only where the line of some run is held back.
        nothing = "-" if any(one.on_hold for one in order.lines) else ""
        if held != (str(len(line.on_hold)) if line.on_hold else nothing):
            wrong.append(f"{line.line} held back")
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
    """Return which rows of the parts to buy differ from the parts counted, or repeat what is known as asked for."""
    held = frozenset(run for line in worked_out.order.lines for run, _ in line.on_hold)
    wrong = []
    for number, row in enumerate(parts_list(worked_out.boat, worked_out.placed.runs, held), start=1):
        tag = f"buy:{number}"
        said = (texts.get(f"{tag}:count"), texts.get(f"{tag}:held"), texts.get(f"{tag}:part"))
        if said != (str(row.count), str(row.on_hold) if row.on_hold else "-" if held else None, row.part):
            wrong.append(f"{tag}: {said}")
        if not all(name in texts.get(f"{tag}:known", "") for name, _ in row.sizes):
            wrong.append(f"{tag}: known")
        if (texts.get(f"{tag}:load") == "not stated") != (row.strength is None):
            wrong.append(f"{tag}: load")
    return wrong


def test_order_says_what_is_to_be_bought(name):
    worked_out = boat_of(name)
    assert order_at_odds(sheets_by(order_list, worked_out), worked_out) == []


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
