"""From the printed form to a boat: the blank survey file has the readings of the form, and they are enough."""

from __future__ import annotations

import random
import re

import pytest
from typer.testing import CliRunner

from geom.cli.app import app
from geom.errors import InputError
from geom.intake.survey.blank import blank_survey
from geom.intake.survey.file import read_survey
from geom.intake.survey.solve import solve_survey
from geom.sheets.measuring_form.sheet import measuring_form
from tests.filled_form import filled
from tests.random_boats import random_boat
from tests.sheet_texts import texts_of
from tests.some import some
from tests.survey_boats import of_readings, true_places

# Random boats with as many posts to port as to starboard: one, two and three lines, in mm and in inches.
SEEDS = (38, 50, 36, 49)


def form_of(of):
    posts = sum(post.side == "S" for post in of.posts)
    return posts, len(of.posts[0].holes), "in" if of.units.length == "in" else "mm"


def asked_in_file(text):
    """Return the readings of a blank survey file, as `S-S1 foot-U`."""
    side, found = "", []
    for line in text.splitlines():
        if line.strip() in ("starboard: |", "port: |"):
            side = line.strip()[0].upper()
        elif side and line.strip():
            subject, words = line.split(maxsplit=1)
            found += [f"{side}-{subject} {what}" for what in re.findall(r"(\S.*?) -(?:, |$)", words)]
    return found


def asked_on_form(sheets):
    """Return the readings of the boxes and lists of a printed form, as `S-S1 foot-U`."""
    found = []
    for sheet in sheets:
        for item in sheet.items:
            tag = getattr(item, "tag", "") if getattr(item, "closed", False) else ""
            box = re.fullmatch(r"form:([SP]-(?:S\d+|PULPIT|PUSHPIT))(?:-[UML]+)?:([^A-Z ].*|[UML]+-[UML]+|Ø \S+)", tag)
            if box:
                found.append(f"{box[1]} {box[2]}")
    for tag, text in texts_of(sheets).items():
        if tag.startswith("tape:") and ": " in text:
            found.append(text.replace(": ", " ", 1))
    return found


@pytest.mark.parametrize(("posts", "levels", "units"), [(1, 1, "mm"), (3, 2, "in"), (5, 3, "mm"), (4, 4, "mm")])
def test_the_file_and_the_form_have_the_same_readings(posts, levels, units):
    in_file = asked_in_file(blank_survey(posts, levels, units))
    on_form = asked_on_form(measuring_form(posts, levels, units))
    assert sorted(in_file) == sorted(some(on_form))
    assert len(set(in_file)) == len(in_file)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_form_filled_in_is_a_whole_survey(seed):
    """Nothing is withheld of a boat measured by the form, and no place is further off than four deviations."""
    of = random_boat(seed).boat
    result = solve_survey(
        read_survey(filled(blank_survey(*form_of(of)), of, "REED HEN", random.Random(seed)).encode(), "s")
    )
    assert [doubt.words() for doubt in result.doubts] == []
    truth = true_places(of)
    for point in some(result.points):
        for at, true, sd in zip(point.at, truth[point.name], point.sd, strict=True):
            assert abs(at - true) <= 4.0 * sd + 0.05, point
    assert max(max(of_readings(point.sd)) for point in result.points) < 4.0
    for post in some(of.posts):
        assert result.survey.facts[post.id].top == pytest.approx(post.top, abs=1.0)


def test_a_dash_is_nothing_read():
    """A file of dashes is refused for its missing readings, not because a dash is no number."""
    answers = {"#? survey: {boat: ?, date: ?, by: ?}": "survey: {boat: A, date: 2026-01-01, by: B}"}
    text = blank_survey(2, 1, "mm")
    for question, answer in some(answers.items()):
        text = text.replace(question, answer)
    with pytest.raises(InputError, match="tapes: expected a list") as refused:
        read_survey(text.encode(), "survey.yaml")
    assert len(refused.value.faults) == 1
    with pytest.raises(InputError, match=r"the key 'survey' is missing - valid: for example survey: "):
        read_survey(blank_survey(2, 1, "mm").replace("tapes:", "tapes: []").encode(), "survey.yaml")
    whole = (
        text.replace("#?   - [stem", "  - [stem")
        .replace("mark, ?]", "mark, 4000]")
        .replace("#?   - [mast", "  - [mast")
    )
    with pytest.raises(InputError, match="the survey does not determine"):
        solve_survey(read_survey(whole.encode(), "survey.yaml"))


def test_the_command_writes_both_or_none(tmp_path):
    done = CliRunner().invoke(
        app, ["form", "--posts", "3", "--lines", "2", "--units", "mm", "--to", str(tmp_path / "f.pdf")]
    )
    assert done.exit_code == 0, done.output
    assert (tmp_path / "f.yaml").read_text("utf-8") == blank_survey(3, 2, "mm")
    (tmp_path / "f.pdf").unlink()
    again = CliRunner().invoke(
        app, ["form", "--posts", "2", "--lines", "2", "--units", "mm", "--to", str(tmp_path / "f.pdf")]
    )
    assert again.exit_code == 2
    assert not (tmp_path / "f.pdf").exists()
    assert (tmp_path / "f.yaml").read_text("utf-8") == blank_survey(3, 2, "mm")
