"""Traps on the way from the dock to a boat file, each with the correct answer; those of plans are in odd_plans.py."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys

import pytest
from openpyxl import Workbook

from geom.errors import InputError
from geom.intake.survey.file import read_survey
from geom.intake.survey.solve import solve_survey
from geom.intake.tables.read import read_tables
from geom.resources import template_bytes
from tests.some import some

STARTER = template_bytes("survey/saltwhin-31.yaml").decode()
LOWER = [f"{side}-S{number}-L" for side in "SP" for number in range(1, 5)]


def solved(text):
    return solve_survey(read_survey(text.encode(), "survey"))


def spoiled(hole, error):
    """Return the starter survey with the staff at a lower hole read wrongly."""
    side, post, _ = hole.split("-")
    head, port = STARTER.split("  port: |")
    part = head if side == "S" else port
    changed = re.sub(
        rf"(?m)^(    {post} .*staff L )(\d+)", lambda found: f"{found[1]}{int(found[2]) + error}", part, count=1
    )
    assert changed != part
    return "  port: |".join((changed, port) if side == "S" else (head, changed))


@pytest.mark.slow
@pytest.mark.parametrize("error", [80, -80])
def test_no_staff_reading_80_mm_off_moves_a_lower_hole(error):
    """At each of the eight lower holes: the place stays within its uncertainty, or is withheld."""
    good = solved(STARTER)
    for hole in some(LOWER):
        result = solved(spoiled(hole, error))
        assert any(f"at {hole}" in blunder.reading.label for blunder in result.blunders), hole
        if hole in result.withheld:
            continue
        point, true = result.point(hole), good.point(hole)
        for at, wanted, sd in zip(point.at, true.at, point.sd, strict=True):
            assert abs(at - wanted) <= 4.0 * sd, hole


def test_what_is_missing_of_an_eye_is_taken_from_the_marks():
    """Without a single reading of the port pulpit: tapes from the centreline, which one person can take."""
    head, port = STARTER.split("  port: |")
    with pytest.raises(InputError) as refused:
        solved(head + "  port: |" + re.sub(r"(?m)^    PULPIT .*\n", "", port))
    (fault,) = refused.value.faults
    assert "P-PULPIT-U" in fault.message and "P-PULPIT-L" in fault.message
    further = fault.valid.removeprefix("these as well: ").split(", ")
    assert all(re.fullmatch(r"tape (stem|mast mark|stern mark) to P-PULPIT-[UL]", one) for one in some(further))


def test_heights_of_posts_that_nothing_fixes_are_required_one_by_one():
    """Neither staff nor lean of the posts: each foot gets a staff reading of its own proposed, not one rake for all."""
    text = re.sub(r"staff (foot|U|L|M) \d+, ?", "", STARTER)
    text = re.sub(r", lean [-\d.]+, rake [-\d.]+", "", text.replace(", mast mark: 1336, stern mark: 1440", ""))
    with pytest.raises(InputError) as refused:
        solved(text)
    (fault,) = refused.value.faults
    for side, number in some([(side, number) for side in "SP" for number in range(1, 5)]):
        assert f"level laser at {side}-S{number}-FOOT" in fault.valid


def test_text_in_a_workbook_is_read_as_in_a_table_of_text():
    """`1736,5` typed as text into a cell, which a spreadsheet of another language does not make a number of."""
    book = Workbook()
    sheet = book.active
    sheet.title = "tapes"
    for row in (("from", "to", "taped [mm]"), ("a", "b", "1736,5"), ("b", "c", "967,25")):
        sheet.append(row)
    data = io.BytesIO()
    book.save(data)
    rows = read_tables({"boat.xlsx": data.getvalue()}, {}).rows["tapes"]
    assert [row["length"] for row in rows] == [1736.5, 967.25]


def test_the_program_keeps_the_linear_algebra_to_one_thread():
    """Unless more are requested: OpenBLAS itself says how many threads it has, on Linux by its threads."""
    code = (
        "import sys; sys.argv = ['toerail', '--version']\n"
        "import geom.__main__ as entry, os\n"
        "try: entry.main()\nexcept SystemExit: pass\n"
        "import numpy as np; np.linalg.inv(np.eye(600) + 0.1)\n"
        "print('threads', len(os.listdir('/proc/self/task')))"
    )
    environment = {key: value for key, value in os.environ.items() if not key.endswith("_NUM_THREADS")}
    done = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True)
    assert "threads 1" in done.stdout.splitlines()
