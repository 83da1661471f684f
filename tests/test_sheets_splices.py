"""Splice sheets read back: marks from one zero, the trim, the ends they are for, the eye that is drawn."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from geom.boat.model import Thimble
from geom.drafting.sheet import finish, lettered
from geom.figure import Ordinate, Polyline, Text
from geom.refit import refit
from geom.sheets.splices.figure import eye_radius
from geom.sheets.splices.sheet import splice_sheet
from geom.sheets.splices.text import LOCK
from geom.words import worded
from tests.boats import mirrored, refit_of
from tests.line_boats import with_end
from tests.made import sheets_by
from tests.random_boats import random_refit
from tests.sheet_texts import plain, texts_of
from tests.some import some
from tests.stated_boat import stated_refit

ROPED = ("saltwhin-31", "first-try", "told")


def worked(name):
    return stated_refit() if name == "told" else refit_of(name)


@cache
def sheets_of(name):
    return sheets_by(splice_sheet, worked(name))


def splices_on(sheets):
    """Return the number of each splice with the texts of its sheet."""
    found = [
        (re.fullmatch(r"splice:(\d+):for", tag), texts) for texts in (texts_of((s,)) for s in sheets) for tag in texts
    ]
    return sorted(((int(match[1]), texts) for match, texts in found if match), key=lambda one: one[0])


def for_end(name, run, where):
    """Return number and texts of the splice that an end of a run is made by."""
    words = {"start": "forward end of", "finish": "after end of"}
    for number, texts in splices_on(sheets_of(name)):
        said = texts[f"splice:{number}:for"].partition(": ")[2]
        for part in said.split("; "):
            if part.startswith(words[where]) and run in part.removeprefix(words[where]).replace(",", " ").split():
                return number, texts
    raise AssertionError(f"no sheet for the {where} of {run}")


@pytest.mark.parametrize("name", ROPED)
def test_the_rope_adds_up_to_its_cut(name):
    """Trim, both eye marks and what lies between them are the cut; what is over is the rounding up to 10 mm."""
    checked = 0
    for run, work in worked(name).work.runs.items():
        if work.cut is None or None in work.splices.values():
            continue
        first, last = work.making.first, work.making.last
        number, texts = for_end(name, run, first)
        trims = re.findall(r"cut the trim of ([\d.]+) off", texts[f"splice:{number}:steps"], re.IGNORECASE)
        trim = float(trims[0]) if trims else 0.0
        eye_first = float(texts[f"splice:{number}:big:eye"])
        number, texts = for_end(name, run, last)
        assert plain("FROM THE MADE EYE'S THROAT (its sheet)") in plain(texts[f"splice:{number}:steps"])
        kept = float(texts[f"splice:{number}:big:eye"])
        ends = worked(name).boat.ends
        stated = worked(name).placed.runs[run].spec
        bearings = sum(ends[end.end].throat_to_pin for end in (stated.start, stated.finish))
        take_ups = sum(recipe.take_up.expected for recipe in work.splices.values())
        between = work.lengths.marked - bearings + take_ups
        over = work.cut - trim - eye_first - between - kept
        # Beyond what the last end keeps stands its own trim, and the rounding.
        own = (ends[(stated.start if last == "start" else stated.finish).end].trim or 0.0) - (
            work.splices[last].lock_allowance
        )
        deducted = work.lengths.finished - work.lengths.marked
        assert -0.11 <= over - max(own, 0.0) - deducted < 10.0
        checked += 1
    assert checked > 0


@pytest.mark.parametrize("name", ROPED)
def test_all_three_big_marks_count_from_the_rope_s_end(name):
    drawn = (i for sheet in sheets_of(name) for view in sheet.views for i in view.items)
    ordinates = {i.tag: i.at[0] for i in drawn if isinstance(i, Ordinate)}
    for number, texts in some(splices_on(sheets_of(name))):
        for key in ("tail", "eye", "exit"):
            assert float(texts[f"splice:{number}:big:{key}"]) == pytest.approx(
                ordinates[f"splice:{number}:{key}"], abs=0.051
            )
        on = float(texts[f"splice:{number}:big:exit:from-eye"].split(" ")[0])
        exit_, eye = (float(texts[f"splice:{number}:big:{key}"]) for key in ("exit", "eye"))
        assert on == pytest.approx(exit_ - eye, abs=0.11)


@pytest.mark.parametrize("name", ROPED)
def test_each_spliced_end_stands_on_one_sheet_and_is_counted(name):
    ends = [
        (run, where)
        for run, work in worked(name).work.runs.items()
        for where, recipe in work.splices.items()
        if recipe is not None and not work.refused
    ]
    for run, where in ends:
        for_end(name, run, where)
    counts = [
        int(re.match(r"\d+", texts[f"splice:{number}:for"]).group()) for number, texts in splices_on(sheets_of(name))
    ]
    assert sum(counts) == len(ends)


def steps_of(worked_out):
    drafts = splice_sheet(worked_out)
    sheets = tuple(finish(worked_out, draft, len(drafts)) for draft in lettered(drafts))
    return [plain(texts[f"splice:{number}:steps"]) for number, texts in splices_on(sheets)]


def test_a_thimble_waits_for_the_threading_only_where_the_threading_plan_says_so():
    one_ended, locked = steps_of(refit_of("saltwhin-31"))
    late = plain("Open thimble: in when the eye is made, but at the forward end of P-F-U, P-F-L after threading")
    assert late in one_ended and one_ended.index("Openthimble") > one_ended.index("Setpull")
    assert locked.endswith(plain("Open thimble: in when the eye is made."))
    for run, work in refit_of("saltwhin-31").work.runs.items():
        waits = [where for where in ("start", "finish") if work.plan.thimble(where) == "after threading"]
        assert waits == (["start"] if run in ("P-F-U", "P-F-L") else []), run
        assert any("step.thimble_in" in one.codes() for step in work.plan.work for one in step.does) is bool(waits)


def test_a_thimble_that_may_not_go_in_after_threading_is_not_promised():
    worked_out = refit_of("saltwhin-31")
    stated = with_end(worked_out.boat, "lashing end", thimble=Thimble(girth=75.0, pattern="closed"))
    one_ended, locked = steps_of(refit(replace(worked_out.loaded, boat=stated)))
    assert (
        plain("it may not go in after threading; see the line's sheet. For: forward end of P-F-U, P-F-L") in one_ended
    )
    assert plain("Closed thimble: the rope goes round it before the eye is closed. For: forward end of S-F-U") in (
        one_ended
    )
    assert "Closedthimble" not in locked


def test_marks_are_laid_alike_on_splice_sheets_and_the_sheets_of_lines():
    """Marks of a splice count from the end that is left: they come after the step that cuts the trim off."""
    slack = plain("slack and straight, from the trimmed end")
    taut, under = plain("EYE MARK TO EYE MARK"), plain("under the marking tension")
    for text in some(steps_of(refit_of("saltwhin-31"))):
        assert slack in text and taut + under in text and plain("11 marks of the taper") in text
        trimmed = max(text.find(plain(words)) for words in ("Cut the trim", "cut off the rest, the trim"))
        assert 0 <= trimmed < text.index(slack)
    for run, work in some([one for one in refit_of("saltwhin-31").work.runs.items() if not one[1].refused]):
        first = plain(" ".join(worded(step.does) for step in work.plan.work[:3]))
        length = plain(f"{work.lengths.eye_to_eye:.0f} mm")
        assert slack in first and taut + length + under in first, run


def test_slack_is_stated_only_where_an_end_is_made_in_place():
    work = refit_of("saltwhin-31").work.runs
    for number, texts in some(splices_on(sheets_of("saltwhin-31"))):
        in_place = any(
            w.plan.in_place == where and for_end("saltwhin-31", run, where)[0] == number
            for run, w in work.items()
            for where in w.splices
        )
        assert (f"splice:{number}:mark:slack:mm" in texts) is in_place


def test_sources_are_of_this_splice_alone_and_in_plain_words():
    for number, texts in some(splices_on(sheets_of("saltwhin-31"))):
        locked = LOCK["locked Brummel"] in texts[f"splice:{number}:head:said"]
        stated = texts[f"splice:{number}:sources"]
        assert ("lock allowance" in stated) is locked
        assert "(" not in stated


def path(points):
    return sum(math.dist(a, b) for a, b in pairwise(points))


@pytest.mark.parametrize(("length", "girth", "rope"), [(25.0, 75.0, 5.0), (25.0, 62.0, 5.0), (40.0, 100.0, 6.0)])
def test_the_drawn_eye_takes_the_rope_that_is_stated(length, girth, rope):
    """The middle of the rope, traced independently: straight from the throat to a circle, round it, straight back."""
    inner = eye_radius(length, girth, rope)
    radius, centre = inner + rope / 2.0, (inner - length, 0.0)
    start = (0.0, rope / 2.0)
    away = math.dist(start, centre)
    straight = math.sqrt(away * away - radius * radius)
    # The bow's part that faces the throat is left out: twice the angle between the line of centres and the touch.
    facing = math.atan2(start[1], -centre[0]) + math.atan2(straight, radius)
    assert 2.0 * straight + radius * (2.0 * math.pi - 2.0 * facing) == pytest.approx(girth, abs=1e-4)


def test_the_eye_has_no_corner_but_at_its_throat():
    view = next(v for s in sheets_of("saltwhin-31") for v in s.views if v.name.endswith("B1"))
    eyes = [i for i in view.items if isinstance(i, Polyline) and min(x for x, _ in i.points) < -20.0]
    assert len(eyes) == 2
    for eye in eyes:
        turns = []
        for (a, b), (c, d) in pairwise(pairwise(eye.points)):
            assert b == c
            turn = math.atan2(d[1] - c[1], d[0] - c[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
            turns.append(abs((turn + math.pi) % (2.0 * math.pi) - math.pi))
        assert max(turns) < math.radians(9.0)
    inner = min(eyes, key=lambda eye: path(eye.points))
    assert min(x for x, _ in inner.points) == pytest.approx(-25.0, abs=0.1)


def test_an_inch_boat_has_inches_first():
    boat = next(one for seed in range(10) if (one := random_refit(seed)).boat.units.length == "in")
    drafts = splice_sheet(boat)
    assert drafts
    for draft in drafts:
        heads = [item for item in draft.items if isinstance(item, Text) and item.text in ("in", "mm")]
        tables = {head.tag: {one.text: one.at[0] for one in heads if one.tag == head.tag} for head in heads if head.tag}
        for columns in some(list(tables.values())):
            assert columns["in"] < columns["mm"]


def test_the_numbers_of_marks_stand_in_the_order_of_their_marks():
    """The second tuck lies within the stitching: else its leader crosses that of the stitching's begin."""
    for sheet in some(sheets_by(splice_sheet, random_refit(117))):
        for view in some(sheet.views):
            marks = [one for one in view.items if isinstance(one, Ordinate)]
            by_mark = sorted(marks, key=lambda one: one.at[0])
            assert by_mark == sorted(marks, key=lambda one: one.end[0]), view.name


def test_a_bare_eye_is_not_asked_for_a_thimble():
    """Its family has none; an eye that has one by its family, and none in the boat file, is asked for it."""
    assert "himble" not in "".join(steps_of(mirrored()))
    boat = with_end(mirrored().boat, "eye", family="thimbled eye", width=20.0)
    thimbled = refit(replace(mirrored().loaded, boat=boat))
    assert plain("Thimble: not stated in the boat file.") in "".join(steps_of(thimbled))
