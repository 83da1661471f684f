"""Survey files: the starter, short and long entries, what is refused with its line; coordinates into a boat file."""

from __future__ import annotations

import difflib
import math
import re

import pytest

from geom.boat.file import read_boat
from geom.errors import InputError
from geom.intake.boat_edit import write_survey
from geom.intake.survey.file import load_survey, read_survey
from geom.intake.survey.readings import LevelReading, SquareReading, TapeReading
from geom.intake.survey.solve import solve_survey
from geom.resources import template_bytes
from tests.survey_boats import boat, true_places

STARTER = template_bytes("survey/saltwhin-31.yaml")
YAML = template_bytes("boats/saltwhin-31.yaml")

SMALL = b"""format: 1
units: {length: mm, angle: deg}
survey: {boat: small, date: 2026-02-20, by: owner}
uncertainty: {tape: 2, square: 5, level: 3, lean: 0.3}
attitude: {heel: 0, trim: 0}
points:
  stem: {side: centreline, x: 0, z: 1000}
  stern: {side: centreline, near: [9000, 0, 900]}
posts:
  P-S1: [U]
eyes: [P-PULPIT-U]
tapes:
  - [stem, stern, 9001]
  - {start: stem, end: P-S1-FOOT, length: 2650, add: 12.5, sd: 3}
offsets:
  - [P-S1-FOOT, 965]
stations:
  - [P-S1-FOOT, 2500]
levels:
  - line: laser
    read: below
    at: {stem: 1400, P-S1-U: 700}
leans:
  P-S1: {lean: 4, rake: 0}
"""


def refused(change: tuple[bytes, bytes], message: str) -> None:
    assert change[0] in SMALL
    with pytest.raises(InputError, match=message):
        read_survey(SMALL.replace(*change), "survey.yaml")


def test_the_starter_leads_to_its_boat():
    """The starter survey was drawn up from the demonstration boat: solved, it comes back within its uncertainty."""
    result = solve_survey(read_survey(STARTER, "starter"))
    assert not result.blunders
    truth = true_places(boat())
    off = [
        abs(value - other) / sd
        for point in result.points
        if point.name in truth and "mark" not in point.name
        for value, other, sd in zip(point.at, truth[point.name], point.sd, strict=True)
        if sd > 0.0
    ]
    assert max(off) < 4.0
    assert result.unit_bounds[0] < result.unit_deviation < result.unit_bounds[1]


def test_entries_short_and_long():
    survey = read_survey(SMALL, "survey.yaml")
    tapes = [one for one in survey.readings if isinstance(one, TapeReading)]
    assert (tapes[0].value, tapes[0].sigma, tapes[0].text, tapes[0].line) == (9001.0, 2.0, "9001", 13)
    # Half a tube is added, and then the written digits are not those of the distance.
    assert (tapes[1].value, tapes[1].sigma, tapes[1].text) == (2662.5, 3.0, "")
    squares = [one for one in survey.readings if isinstance(one, SquareReading)]
    assert [(one.along, one.value) for one in squares] == [("y", -965.0), ("x", 2500.0)]
    levels = [one for one in survey.readings if isinstance(one, LevelReading)]
    assert [(one.point, one.value) for one in levels] == [("stem", -1400.0), ("P-S1-U", -700.0)]
    assert survey.point("stem").held == (0.0, 0.0, 1000.0)
    assert survey.posts[0].holes == ("P-S1-U",)


def test_what_is_refused_with_its_line():
    wrong_name = (b"[stem, stern, 9001]", b"[stem, stren, 9001]")
    refused(wrong_name, r"survey.yaml:13: tapes\[1\]: no such point .* did you mean stern")
    refused((b"[stem, stern, 9001]", b"[stem, stern, 9k]"), r"survey.yaml:13: tapes\[1\].length: unknown unit")
    refused((b"[stem, stern, 9001]", b"[stem, stern, 9001, 2, 7]"), r"survey.yaml:13: tapes\[1\]")
    refused((b"tape: 2, ", b""), r"survey.yaml:13: .*a reading without uncertainty - valid: `sd` here")
    refused((b"attitude: {heel: 0, trim: 0}\n", b""), "levels and leans need the key 'attitude'")
    refused((b"  P-S1: {lean", b"  P-S2: {lean"), "leans.P-S2: no such post")
    refused((b"eyes: [P-PULPIT-U]", b"eyes: [P-S1-U]"), r"survey.yaml:11: eyes\[1\]: two points with one name")
    refused((b"read: below", b"read: under"), "not a valid word here .read: under. - valid: one of above, below")
    refused((b"side: centreline, x: 0", b"x: 0"), "points.stem: the key 'side' is missing")
    refused((b"offsets:", b"ofsets:"), r"survey.yaml:15: ofsets: unknown key .* did you mean offsets")
    refused((b"add: 12.5", b"plus: 12.5"), r"tapes\[2\].plus: unknown key .* start, end, length, sd, add")
    refused((b"- [P-S1-FOOT, 965]", b"- [stem, 965]"), "an offset of a point on the centreline")
    refused((b"format: 1", b"format: 2"), "format")


def test_a_survey_of_one_post_says_what_else_it_needs():
    with pytest.raises(InputError, match=r"does not determine .*P-PULPIT-U.* - valid: these as well: .*tape"):
        solve_survey(read_survey(SMALL, "survey.yaml"))


@pytest.mark.parametrize("ending", [b"\n", b"\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_coordinates_are_written_and_nothing_else(ending, mark):
    data = mark + YAML.replace(b"\n", ending)
    result = solve_survey(read_survey(STARTER, "starter"))
    edited = write_survey(data, "boat.yaml", result)
    assert edited.data.startswith(mark) and edited.data.count(ending) == data.count(ending)
    before, after = data.decode("utf-8-sig").splitlines(), edited.data.decode("utf-8-sig").splitlines()
    assert len(before) == len(after)
    for old, new in zip(before, after, strict=True):
        if old != new:
            # All but the numbers themselves is as it was, blanks and comments too.
            assert re.sub(r"-?\d+(\.\d+)?", "n", old) == re.sub(r"-?\d+(\.\d+)?", "n", new)
            assert any(key in old for key in ("foot: [", "at: [", "lean:", "rake:", "{along:")), old
    written = read_boat(edited.data, "boat.yaml").boat
    for post in result.posts:
        ours = written.post(post.id)
        assert ours.foot == pytest.approx(result.point(post.foot).at, abs=0.051)
        assert ours.lean == pytest.approx(post.lean, abs=math.radians(0.0051))
        for hole in post.holes:
            assert ours.holes[hole.name[-1]].along == pytest.approx(hole.along, abs=0.051)
    for eye in written.eyes:
        assert eye.at == pytest.approx(result.point(eye.id).at, abs=0.051)
    assert all(change.sd > 0.0 for change in edited.changes)
    # Written once more, nothing changes.
    assert write_survey(edited.data, "boat.yaml", result).data == edited.data


def test_comments_on_changed_lines_stay():
    data = YAML.replace(b"    foot: [2500, 965, 1079]", b"    foot: [2500, 965, 1079]  # by plumb line")
    edited = write_survey(data, "boat.yaml", solve_survey(read_survey(STARTER, "starter")))
    changed = [
        line for line in difflib.ndiff(data.decode().splitlines(), edited.data.decode().splitlines()) if line[0] == "+"
    ]
    assert any("# by plumb line" in line for line in changed)


def test_an_inch_file_gets_inches():
    data = YAML.replace(b"    foot: [2500, 965, 1079]", b"    foot: [98 3/8 in, 965, 42.5 in]", 1)
    edited = write_survey(data, "boat.yaml", solve_survey(read_survey(STARTER, "starter")))
    # The file declares mm: a number written anew is in mm, which needs no unit.
    line = next(line for line in edited.data.decode().splitlines() if "foot: [2" in line)
    assert "in" not in line.partition("[")[2]


def test_what_the_boat_file_lacks_is_told():
    text = YAML.decode()
    start = text.index("  - {id: P-PUSHPIT-L")
    less = text.replace("  - {id: P-PUSHPIT-L, on: pushpit, at: [8241, -1438, 1267]}\n", "")
    assert start > 0 and less != text
    with pytest.raises(InputError, match="P-PUSHPIT-L"):
        write_survey(less.encode(), "boat.yaml", solve_survey(read_survey(STARTER, "starter")))


def short(*lines: str) -> bytes:
    return SMALL + "\n    ".join(("short:\n  port: |", *lines, "")).rstrip(" ").encode()


def test_the_short_form_gives_the_same_readings():
    """Each entry beside the long one of the same reading."""
    text = short(
        "S1 out 965, aft 2500, staff foot 1350",
        "S1 stem 2650, stern U 7013, foot-U 612, PULPIT U-U 1430",
        "S1 lean -2.5, rake 1, top 632, \u00d8 U 12.7, deck aft 2",
    )
    survey = read_survey(text, "survey.yaml")
    taken = {one.label: one for one in survey.readings if one.line is not None and one.line > 24}
    assert {label: one.value for label, one in taken.items()} == pytest.approx(
        {
            "offset of P-S1-FOOT": -965.0,
            "station of P-S1-FOOT": 2500.0,
            "level laser at P-S1-FOOT": -1350.0,
            "tape stem to P-S1-FOOT": 2650.0,
            "tape stern to P-S1-U": 7013.0,
            "tape P-S1-FOOT to P-S1-U": 612.0,
            "tape P-S1-U to P-PULPIT-U": 1430.0,
            "lean of P-S1": math.radians(-2.5),
            "rake of P-S1": math.radians(1.0),
        }
    )
    assert {one.sigma for label, one in taken.items() if label.startswith("tape")} == {2.0}
    facts = survey.facts["P-S1"]
    assert (facts.top, dict(facts.diameters), facts.falls_aft) == (632.0, {"U": 12.7}, math.radians(2.0))
    assert facts.falls_outboard is None


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("S1 staff L 700", r"survey.yaml:27: S1, staff L: P-S1 has no 'L' .read: 700. - valid: foot, U"),
        ("S2 lean 3", r"survey.yaml:27: S2, lean: .* is nothing that is read here"),
        ("S1 out 9k", r"survey.yaml:27: S1, out: unknown unit 'k'"),
        ("S1 lean", r"survey.yaml:27: S1: not a reading and its number .read: lean"),
        ("S1", r"survey.yaml:27: S1: no reading"),
        ("S1 PULLPIT U-U 1430", r"survey.yaml:27: .*'P-PULLPIT U' is no post or eye of the survey .*P-PULPIT-U"),
    ],
)
def test_what_the_short_form_refuses_with_its_line(line, message):
    with pytest.raises(InputError, match=message):
        read_survey(short(line), "survey.yaml")


def test_a_table_of_readings_is_the_short_form(tmp_path):
    """The starter's starboard lines typed as a table of one row for each post: the same readings."""
    text = STARTER.decode()
    begin, end = text.index("  starboard: |\n"), text.index("  port: |\n")
    rows: dict[str, dict[str, str]] = {}
    for line in text[begin:end].splitlines()[1:]:
        subject, _, rest = line.strip().partition(" ")
        for part in rest.split(","):
            what, _, number = part.strip().rpartition(" ")
            rows.setdefault(f"S-{subject}", {})[what.strip()] = number
    heads = list(dict.fromkeys(what for row in rows.values() for what in row))
    lines = [["post", *heads], *([name, *(row.get(head, "") for head in heads)] for name, row in rows.items())]
    table = tmp_path / "readings.csv"
    table.write_text("\n".join(";".join(line) for line in lines).replace(".", ",") + "\n", "utf-8")
    file = tmp_path / "survey.yaml"
    file.write_text(text[:begin] + text[end:])
    with_table, whole = load_survey(file, table), read_survey(STARTER, "starter")
    assert len(with_table.readings) == len(whole.readings)
    assert {one.label: one.value for one in with_table.readings} == pytest.approx(
        {one.label: one.value for one in whole.readings}
    )
    assert with_table.facts == whole.facts
    table.write_text("post;lean\nS1;3\n")
    with pytest.raises(InputError, match=r"cell A2: a post or rail without its side .read: S1"):
        load_survey(file, table)


def test_what_is_measured_beside_goes_into_the_boat_file():
    """Tube length, a hole's diameter and the fall of the deck, told apart from the file's own."""
    old, new = ("deck aft 1.7, deck out 4.0, top 612, \u00d8 U 9.5", "deck aft 2, deck out 3, top 615, \u00d8 U 9.6")
    assert old in STARTER.decode()
    text = STARTER.decode().replace(old, new)
    edited = write_survey(YAML, "boat.yaml", solve_survey(read_survey(text.encode(), "starter")))
    post = read_boat(edited.data, "boat.yaml").boat.post("S-S2")
    assert (post.top, post.holes["U"].as_found.diameter) == (615.0, 9.6)
    assert math.degrees(post.deck_falls.aft) == pytest.approx(2.0)
    assert math.degrees(post.deck_falls.outboard) == pytest.approx(3.0)
