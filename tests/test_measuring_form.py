"""The blank measuring form: every point of a boat file, named as the file names it, on A4 and Letter."""

from __future__ import annotations

import io
import re
from itertools import product

import pdfplumber
import pytest

from geom.boat.model import Boat
from geom.errors import InputError
from geom.intake.survey.closure import named_points
from geom.intake.survey.file import read_survey
from geom.intake.survey.form import LEVELS_OF
from geom.render.faults import layout
from geom.render.pdf import pdf_bytes
from geom.sheets.measuring_form.sheet import MAX_POSTS, measuring_form
from tests.boats import refit_of
from tests.counts import SEED, TIMES
from tests.sheet_texts import texts_of
from tests.some import some

CASES = [(1, 1, "mm"), (3, 1, "in"), (4, 2, "mm"), (7, 2, "in"), (11, 3, "mm"), (5, 4, "mm"), (MAX_POSTS, 3, "in")]
# Without i, l and o, and two letters from the 24th page on.
LETTERS = [*"abcdefghjkmnpqrstuvwxyz", *(f"a{letter}" for letter in "abcdefghjkmnpqrstuvwxyz")]
SIZES = list(product(range(1, MAX_POSTS + 1), (1, 2, 3), ("mm", "in")))


@pytest.mark.parametrize(("posts", "levels", "units"), CASES)
def test_no_layout_fault_and_the_caution_on_every_sheet(posts, levels, units):
    only = len(measuring_form(posts, levels, units)) == 1
    for number, sheet in some(enumerate(measuring_form(posts, levels, units), start=1)):
        assert layout(sheet).faults == ()
        texts = texts_of((sheet,))
        assert texts["caution"] == "GUARD LINE (LIFELINE) - NOT A HARNESS ATTACHMENT"
        assert texts["title:Sheet"] == ("A7" if only else f"A7{LETTERS[number - 1]}")


@pytest.mark.long
@pytest.mark.parametrize(("posts", "levels", "units"), SIZES if TIMES > 1 else SIZES[SEED % 5 :: 5])
def test_no_layout_fault_at_any_size(posts, levels, units):
    assert [fault for sheet in measuring_form(posts, levels, units) for fault in layout(sheet).faults] == []


@pytest.mark.parametrize(("units", "size"), [("mm", (210.0, 297.0)), ("in", (215.9, 279.4))])
def test_pages_are_a4_or_letter_upright(units, size):
    with pdfplumber.open(io.BytesIO(pdf_bytes(measuring_form(4, 2, units), title="form"))) as pdf:
        for page in some(pdf.pages):
            assert (page.width / 72 * 25.4, page.height / 72 * 25.4) == pytest.approx(size, abs=1e-2)
            lengths = [abs(line["x1"] - line["x0"]) / 72 * 25.4 for line in page.lines if line["y0"] == line["y1"]]
            assert any(length == pytest.approx(100.0, abs=1e-3) for length in lengths)


def boxes_of(sheets):
    """Return the ids of all boxes to write in."""
    return {item.tag for sheet in sheets for item in sheet.items if getattr(item, "closed", False) and item.tag}


@pytest.mark.parametrize(("posts", "levels", "units"), CASES)
def test_every_post_has_a_box_for_every_measure(posts, levels, units):
    boxes = boxes_of(measuring_form(posts, levels, units))
    for side in "SP":
        for number in some(range(1, posts + 1)):
            name = f"form:{side}-S{number}"
            wanted = {"out", "staff foot", "stem", "mast", "stern", "lean", "rake", "deck aft", "deck out", "top"}
            for what in ("staff {}", "mast {}", "foot-{}", "Ø {}"):
                wanted |= {what.format(level) for level in LEVELS_OF[levels]}
            assert {f"{name}:{label}" for label in wanted} <= boxes
        for rail in ("PULPIT", "PUSHPIT"):
            for level in LEVELS_OF[levels]:
                name = f"form:{side}-{rail}-{level}"
                assert {f"{name}:{what} {level}" for what in ("staff", "stem", "mast", "stern")} <= boxes


def test_the_points_are_named_as_a_boat_file_names_them():
    """The names on SALTWHIN 31's form are those of its own boat file, and every check tape joins two of them."""
    boat: Boat = refit_of("saltwhin-31").boat
    texts = texts_of(measuring_form(4, 2, "mm"))
    assert {texts[f"form:{post.id}:name"] for post in boat.posts} == {post.id for post in boat.posts}
    assert {texts[f"form:{eye.id}:name"] for eye in boat.eyes} == {eye.id for eye in boat.eyes}
    known = set(named_points(boat)) | {"stem", "mast mark", "stern mark"}
    tapes = [tag.split(":")[1:] for tag in texts if tag.startswith("tape:")]
    # Along four lines, the baseline, from eight eyes to a foot, across at four posts and four pairs of eyes, diagonals.
    assert len(tapes) == 2 * 2 * 5 + 3 + 8 + 8 + 6
    assert all(start in known and end in known for start, end in tapes)
    asked = {(tape.start, tape.end) for tape in boat.tapes}
    assert asked <= {(start, end) for start, end in tapes}


@pytest.mark.parametrize("units", ["mm", "in"])
def test_usual_uncertainty_is_printed_in_the_forms_unit(units):
    """Customary bounds of a survey by tape: 5 mm, 5 mm, 0.3 deg, 2 mm (common practice, no source)."""
    lettering = {item.text for sheet in measuring_form(2, 1, units) for item in sheet.items if hasattr(item, "text")}
    five, two = ("5 mm", "2 mm") if units == "mm" else (".20 in", ".08 in")
    assert {
        f"X, Y ± (usual {five})",
        f"Z ± (usual {five})",
        "LEAN ± (usual 0.3 deg)",
        f"TAPE ± (usual {two})",
    } <= lettering


@pytest.mark.parametrize(
    ("posts", "levels", "units", "word"),
    [(0, 2, "mm", "posts"), (MAX_POSTS + 1, 2, "mm", "posts"), (4, 5, "mm", "levels"), (4, 2, "cm", "units")],
)
def test_what_has_no_form_is_refused(posts, levels, units, word):
    with pytest.raises(InputError, match=word):
        measuring_form(posts, levels, units)


def test_the_same_form_twice():
    assert pdf_bytes(measuring_form(4, 2, "mm"), title="f") == pdf_bytes(measuring_form(4, 2, "mm"), title="f")


@pytest.mark.parametrize("levels", [1, 2, 3, 4])
def test_what_is_written_on_the_form_is_typed_as_it_stands(levels):
    """Each box and line of a form, typed with a number into the survey file, is a reading of the point it names."""
    sheets = measuring_form(3, levels, "mm")
    typed: dict[str, list[str]] = {"S": [], "P": []}
    for tag in sorted(boxes_of(sheets)):
        found = re.fullmatch(
            r"form:([SP])-(S\d+|PULPIT|PUSHPIT)(?:-[UML]+)?:([^A-Z ]\S*( \S+)?|[UML]+-[UML]+|Ø \S+)", tag
        )
        if found:
            typed[found[1]].append(f"{found[2]} {found[3]} 3")
    texts = texts_of(sheets)
    for tag, text in texts.items():
        line = re.fullmatch(r"([SP])-(\S+): (.+)", text) if tag.startswith("tape:") else None
        if line:
            typed[line[1]].append(f"{line[2]} {line[3]} 1000")
    names = LEVELS_OF[levels]
    lines = ["format: 1", "units: {length: mm, angle: deg}", "survey: {boat: A, date: 2026-01-01, by: B}"]
    lines += ["uncertainty: {tape: 1, square: 1, level: 1, lean: 1}", "attitude: {heel: 0, trim: 0}"]
    lines += ["points: {stem: {side: centreline}, mast mark: {side: centreline}, stern mark: {side: centreline}}"]
    lines += ["posts:", *(f"  {side}-S{n}: [{', '.join(names)}]" for side in "SP" for n in (1, 2, 3)), "eyes:"]
    lines += [f"  - {side}-{rail}-{level}" for side in "SP" for rail in ("PULPIT", "PUSHPIT") for level in names]
    lines += ["levels: [{line: laser, read: below}]", "short:"]
    for word, side in (("starboard", "S"), ("port", "P")):
        lines += [f"  {word}: |", *(f"    {one}" for one in typed[side])]
    survey = read_survey("\n".join(lines).encode() + b"\n", "form")
    taken = len(survey.readings)
    facts = sum(3 + levels for _ in survey.facts)
    assert taken + facts == len(typed["S"]) + len(typed["P"])
    assert len(survey.facts) == 6
    # Every hole and every eye is read three times over, to be held by no single reading.
    for post in survey.posts:
        for hole in post.holes:
            assert sum(hole in _points(one) for one in survey.readings) >= 4
    for side in "SP":
        assert sum(f"{side}-PULPIT-U" in _points(one) for one in survey.readings) >= 5


def _points(reading):
    return {getattr(reading, key, None) for key in ("start", "end", "point")}
