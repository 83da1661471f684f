"""What a refusal of a boat file says: the comma that was meant as a decimal sign, limits that hold, the file's unit."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from geom.boat.file import load_boat, read_boat
from geom.errors import InputError
from geom.fleet.settings import variants_of
from geom.intake.survey.blank import blank_survey
from geom.intake.survey.file import read_survey
from geom.refit import refit
from tests.boats import BOATS

FIRST_TRY = (BOATS / "first-try.yaml").read_text("utf-8")
INCHES = (BOATS / "pipwing-25.yaml").read_text("utf-8")


def said(text: str, old: str, new: str) -> str:
    """Return what is said of a boat file with something else in a place."""
    assert old in text, old
    with pytest.raises(InputError) as caught:
        refit(read_boat(text.replace(old, new, 1).encode(), "boat.yaml"))
    return str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("{diameter: 12}", "{diameter: 12,5, lip_radius: 1}",
         r"posts\.S-S1\.holes\.U\.planned\.diameter: a comma is not read as decimal sign: in braces it ends the entry "
         r"\(read: 12,5\) - valid: a point: 12\.5$"),
        ("{diameter: 12}", "{diameter: 12,5 mm}", r"\(read: 12,5 mm\) - valid: a point: 12\.5 mm$"),
        ("{along: 505, planned", "{along: 505,5, planned", r"posts\.S-S1\.holes\.U\.along: .*\(read: 505,5\)"),
        ("{diameter: 12}", "{diameter: 12,5, lip_radius: 1,5}", r"is given twice.* a point as decimal sign, such"),
        ("    - [800, 420, 690]", "    - [800,5, 420, 690]",
         r"deck_edge\.starboard\[2\]: too many entries .*a comma ends an entry, the decimal sign is a point: 800\.5"),
    ],
)  # fmt: skip
def test_a_decimal_comma_in_braces_and_brackets_is_named(old: str, new: str, message: str) -> None:
    assert re.search(rf"boat\.yaml:\d+: .*{message}", said(FIRST_TRY, old, new), re.MULTILINE)


def test_a_key_that_is_no_number_is_an_unknown_key() -> None:
    assert "planned.lip: unknown key" in said(FIRST_TRY, "{diameter: 12}", "{diameter: 12, lip}")
    assert "planned.5: unknown key" in said(FIRST_TRY, "{diameter: 12}", "{5, diameter: 12}")
    assert said(FIRST_TRY, "[800, 420, 690]", "[800, a, b, c]").endswith("valid: at most 3")


def test_the_example_of_an_empty_quantity_is_in_its_usual_unit_and_valid() -> None:
    says = said(FIRST_TRY, "    lean: 3\n", "    lean:\n")
    assert re.search(r"S-S\d\.lean: expected an angle \(read: nothing\) - valid: one value such as 2\.5 deg$", says)
    read_boat(FIRST_TRY.replace("    lean: 3\n", "    lean: 2.5 deg\n", 1).encode(), "boat.yaml")
    says = said(FIRST_TRY, "proof_stress: 420 MPa", "proof_stress: []")
    assert says.endswith("expected a stress - valid: one value such as 12 MPa")


def test_a_hole_under_the_top_is_given_the_limit_that_holds() -> None:
    for top, limit in (("510", "504"), ("508", "502")):
        says = said(FIRST_TRY, "    top: 522", f"    top: {top}")
        assert "posts.S-S1.holes.U.along: the hole is not under the top of the tube (read: 505)" in says
        assert f"valid: less than {limit} mm, `top` less half the hole" in says
    says = said(FIRST_TRY, "along: 505", "along: 5")
    assert "the hole runs into the deck (read: 5) - valid: more than 6 mm, half its diameter" in says


def test_a_wall_that_leaves_no_bore_is_refused_itself_and_not_the_holes() -> None:
    says = said(FIRST_TRY, "    wall: 1.5\n", "    wall: 15\n")
    assert "tubes.stanchion.wall: no less than half the diameter (read: 15) - valid: less than 12.5 mm, half of" in says
    assert "narrower" not in says and "-5 mm" not in says


def test_limits_of_a_file_in_inches_are_in_inches() -> None:
    says = said(INCHES, "top: 20.75", "top: 19")
    limits = re.findall(r"valid: less than ([\d.]+) in, `top`", says)
    assert limits and "mm" not in says
    says = said(INCHES, "wall: 0.065", "wall: 5/8")
    assert "(read: 5/8) - valid: less than 0.5 in, half of `od`" in says
    shank = "width: 0.47, swage: {before: 0.5, go: 0.48}"
    says = said(INCHES.replace("family: compression terminal", "family: swaged stud"), "width: 0.47", shank)
    assert "narrower than its own shank (read: 0.47) - valid: at least 0.48 in, its shank after swaging" in says


def test_a_table_in_place_of_a_boat_file_is_named_with_the_way_in(tmp_path: Path) -> None:
    table = tmp_path / "posts.csv"
    for data in (b"post,foot_x_mm\nS-S1,2100.0\n", b"\xff\xfe", b""):
        table.write_bytes(data)
        with pytest.raises(InputError, match=r"posts\.csv: this is a table, .*\(read: \.csv\).*new --from .*posts"):
            load_boat(table)
        with pytest.raises(InputError, match="this is a table"):
            variants_of(data, "posts.csv", [("boat.name", ["A"])])
    table.write_bytes(FIRST_TRY.encode())
    assert load_boat(table).boat.boat.name == "FIRST TRY"


def test_a_blank_survey_is_refused_with_an_example_that_is_read() -> None:
    blank = blank_survey(3, 1, "mm")
    with pytest.raises(InputError) as caught:
        read_survey(blank.encode(), "form.yaml")
    example = re.search(r"the key 'survey' is missing - valid: for example (survey: \{.*\})", str(caught.value))
    assert example is not None
    with pytest.raises(InputError) as after:
        read_survey(blank.replace("#? survey: {boat: ?, date: ?, by: ?}", example[1]).encode(), "form.yaml")
    assert "survey" not in str(after.value).replace("form.yaml", "")
