"""A new boat is a new boat: nothing of a starter goes into it, and what is missing stands in its file as a question."""

from __future__ import annotations

import json
import random
import re

import pytest
from ruamel.yaml import YAML
from typer.testing import CliRunner

from geom.boat.file import read_boat
from geom.cli.app import app
from geom.intake.survey.file import read_survey
from geom.intake.survey.readings import LeanReading, LevelReading, SquareReading, TapeReading
from geom.intake.tables.files import csv_files
from geom.resources import starter_text, template_bytes
from tests.filled_form import filled
from tests.random_boats import random_boat, random_data
from tests.some import some
from tests.survey_boats import boat, thorough_survey

TRUTH = 15
NAME = "REED HEN"


def run(*arguments, code=0):
    done = CliRunner().invoke(app, [str(one) for one in arguments])
    assert done.exit_code == code, done.output
    return done


def survey_text(survey, name=NAME):
    """Return a survey as the text of a survey file, as a surveyor types it."""
    lines = [
        "format: 1", "units: {length: mm, angle: deg}",
        f"survey: {{boat: {name}, date: 2026-05-04, by: the yard}}",
        "uncertainty: {tape: 1, square: 5, level: 1, lean: 0.3}", "attitude: {heel: 0, trim: 0}", "points:",
    ]  # fmt: skip
    for point in survey.points:
        if point.where == "centreline":
            z = "" if point.held[2] is None else f", x: 0, z: {point.held[2]:.1f}"
            lines.append(f"  {point.name}: {{side: centreline{z}}}")
    lines.append("posts:")
    lines += [f"  {post.id}: [{', '.join(hole[-1] for hole in reversed(post.holes))}]" for post in survey.posts]
    lines.append("eyes:")
    holes = {hole for post in survey.posts for hole in (post.foot, *post.holes)}
    lines += [f"  - {one.name}" for one in survey.points if one.where != "centreline" and one.name not in holes]
    by_kind = {
        "tapes": [
            f"  - [{one.start}, {one.end}, {one.text}]" for one in survey.readings if isinstance(one, TapeReading)
        ],
        "offsets": [f"  - [{one.point}, {one.text}]" for one in survey.readings if isinstance(one, SquareReading)],
    }
    for key, entries in by_kind.items():
        lines += [f"{key}:", *entries]
    lines += ["levels:", "  - line: laser", "    read: below", "    at:"]
    lines += [f"      {one.point}: {one.text}" for one in survey.readings if isinstance(one, LevelReading)]
    lines.append("leans:")
    angles = {}
    for one in survey.readings:
        if isinstance(one, LeanReading):
            angles.setdefault(one.post, {})[one.way] = one.text
    lines += [f"  {post}: {{lean: {way['lean']}, rake: {way['rake']}}}" for post, way in angles.items()]
    return "\n".join(lines) + "\n"


def test_a_survey_makes_a_new_boat(tmp_path):
    """Every number of it comes from the survey; the questions are those of the keys that a boat file must have."""
    truth = random_boat(TRUTH).boat
    (tmp_path / "survey.yaml").write_text(survey_text(thorough_survey(truth, random.Random(4))))
    file = tmp_path / "reed-hen.yaml"
    run("survey", tmp_path / "survey.yaml", "--to", file)
    text = file.read_text("utf-8")
    known = YAML(typ="safe").load(text)
    assert set(known) == {"format", "units", "survey", "revision", "posts", "eyes"}
    assert known["revision"]["by"] == "the yard"
    for post in some(known["posts"]):
        true = truth.post(post["id"])
        assert post["foot"] == pytest.approx(true.foot, abs=8.0)
    assert f"#? boat: {{name: {NAME}, loa: ?" in text
    # Each question, answered with anything, is a key that the file's grammar knows.
    refused = run("check", file, code=2).output
    for key in ("axes", "boat", "deck_edge", "tubes", "lines", "ends", "runs"):
        assert f"the key '{key}' is missing" in refused
        assert re.search(rf"^#\? {key}:", text, re.MULTILINE)
    for starter in ("saltwhin-31", "pipwing-25", "first-try"):
        assert not {
            str(x) for post in read_boat(starter_text(starter).encode(), starter).boat.posts for x in post.foot
        } & set(re.findall(r"[0-9.]+", text))


def test_tables_make_a_new_boat(tmp_path):
    truth = random_boat(TRUTH).boat
    files = []
    for name, data in csv_files(truth).items():
        (tmp_path / name).write_bytes(data)
        files += ["--from", tmp_path / name]
    file = tmp_path / "reed-hen.yaml"
    run("new", *files, "--to", file)
    known = YAML(typ="safe").load(file.read_text("utf-8"))
    assert {"deck_edge", "posts", "eyes"} <= set(known)
    assert not {"boat", "lines", "runs", "tubes"} & set(known)
    assert known["posts"][0]["foot"] == pytest.approx(truth.posts[0].foot, abs=1e-6)
    assert "#? runs:" in file.read_text("utf-8")


def test_a_starter_is_another_boat(tmp_path):
    (tmp_path / "posts.csv").write_bytes(csv_files(boat())["posts.csv"])
    refused = run("new", "saltwhin-31", "--from", tmp_path / "posts.csv", "--to", tmp_path / "x.yaml", code=2)
    assert "a starter is another boat" in refused.output
    assert not (tmp_path / "x.yaml").exists()


def test_a_survey_is_not_written_into_the_file_of_another_boat(tmp_path):
    (tmp_path / "survey.yaml").write_text(survey_text(thorough_survey(boat(), random.Random(4))))
    (tmp_path / "boat.yaml").write_text(starter_text("saltwhin-31"))
    done = run("survey", tmp_path / "survey.yaml", "--boat", tmp_path / "boat.yaml", "--write", code=2)
    assert f"the survey is of {NAME}, the boat file of SALTWHIN 31" in done.output
    assert (tmp_path / "boat.yaml").read_text() == starter_text("saltwhin-31")


def test_tapes_that_new_coordinates_contradict_are_told_at_once(tmp_path):
    """A foot put 200 mm aft by a table: the tapes to its holes, all good before, are told with their values."""
    (tmp_path / "boat.yaml").write_text(starter_text("saltwhin-31"))
    for name, data in csv_files(boat()).items():
        (tmp_path / name).write_bytes(data.replace(b"4185,", b"4385,"))
    told = run(
        "new", tmp_path / "boat.yaml", "--from", tmp_path / "posts.csv", "--from", tmp_path / "holes.csv",
        "--to", tmp_path / "moved.yaml",
    ).output  # fmt: skip
    assert "tapes of the file contradict the new coordinates" in told
    assert re.search(r"S-S1-U to S-S2-U: taped \d+\.\d mm, now \d+\.\d mm", told)


def test_an_edited_schema_stays_as_it_is(tmp_path):
    schema = tmp_path / "boat.schema.json"
    schema.write_text("{}")
    run("new", "first-try", "--to", tmp_path / "boat.yaml")
    assert schema.read_text() == "{}"
    schema.write_bytes(template_bytes("boat.schema.json"))
    run("new", "first-try", "--to", tmp_path / "again.yaml")
    assert schema.read_bytes() == template_bytes("boat.schema.json")


def test_the_typed_survey_is_the_survey():
    """The text of the test's own survey file gives the readings that it was written from."""
    survey = thorough_survey(random_boat(TRUTH).boat, random.Random(4))
    read = read_survey(survey_text(survey).encode(), "survey")
    assert len(read.readings) == len(some(survey.readings))
    assert {one.label for one in read.readings} == {one.label for one in survey.readings}
    values = {one.label: one.value for one in survey.readings}
    for one in read.readings:
        assert one.value == pytest.approx(values[one.label], abs=1e-9)


def answered(text: str, seed: int) -> str:
    """Return a new boat's file with the questions answered by her owner: what a survey cannot know, post by post."""
    data = random_data(seed)
    posts = {post["id"]: post for post in data["posts"]}
    lines, post = [], None
    for line in text.splitlines():
        found = re.match(r"  - id: (\S+)", line)
        post = posts.get(found.group(1)) if found else post if line.startswith((" ", "#?  ")) else None
        asked = re.match(r"#\? ( +)(\w+): ?(.*)", line)
        if asked is None:
            lines.append(line)
        elif post is not None and len(asked[1]) == 4 and asked[2] in post:
            lines.append(f"    {asked[2]}: {json.dumps(post[asked[2]])}")
        elif post is not None and len(asked[1]) == 6 and asked[2] in post["holes"]:
            along = re.search(r"along: ([0-9.]+)", asked[3])
            hole = {key: value for key, value in post["holes"][asked[2]].items() if key != "along"}
            lines.append(f"      {asked[2]}: {json.dumps({'along': float(along[1]), **hole})}")
    known = set(YAML(typ="safe").load(text))
    rest = {key: value for key, value in data.items() if key not in known | {"units", "format"}}
    rest["boat"] = {**rest["boat"], "name": NAME}
    return "\n".join([*lines, *(f"{key}: {json.dumps(value)}" for key, value in rest.items())]) + "\n"


def starters():
    return [read_boat(starter_text(name).encode(), name).boat for name in ("saltwhin-31", "pipwing-25", "first-try")]


def numbers_of(value):
    """Return the numbers of a parsed JSON document, its hashes and texts left out."""
    if isinstance(value, dict):
        return {one for inner in value.values() for one in numbers_of(inner)}
    if isinstance(value, list):
        return {one for inner in value for one in numbers_of(inner)}
    return {abs(value)} if isinstance(value, float) else set()


@pytest.mark.slow
def test_nothing_of_a_starter_comes_into_the_package_of_a_new_boat(tmp_path):
    """Form to survey to boat file to package: no name and no place of a starter is in any file of it."""
    seed = 38
    truth = random_boat(seed).boat
    form, file = tmp_path / "form.pdf", tmp_path / "reed-hen.yaml"
    run("form", "--posts", 5, "--lines", 1, "--units", "mm", "--to", form)
    survey = form.with_suffix(".yaml")
    survey.write_text(filled(survey.read_text("utf-8"), truth, NAME, random.Random(4)), "utf-8")
    run("survey", survey, "--to", file)
    file.write_text(answered(file.read_text("utf-8"), seed), "utf-8")
    new = read_boat(file.read_bytes(), "reed-hen").boat
    for post in some(new.posts):
        assert post.foot == pytest.approx(truth.post(post.id).foot, abs=12.0)
    run("package", file, "--to", tmp_path / "out")
    names = re.compile("|".join(sorted(one.boat.name for one in starters())), re.IGNORECASE)
    written = [path for path in (tmp_path / "out").rglob("*") if path.is_file()]
    assert {".svg", ".csv", ".json", ".html", ".dxf", ".step", ".pdf"} <= {path.suffix for path in written}
    # Places of the starters; round ones are left out, which a limit of a rule or a size may have as well.
    points = [post.foot for one in starters() for post in one.posts] + [
        eye.at for one in starters() for eye in one.eyes
    ]
    places = {abs(at) for point in points for at in point if abs(at) >= 100.0 and at % 50.0}
    assert len(places) > 30
    own = {abs(float(number)) for number in re.findall(r"-?\d+(?:\.\d+)?", file.read_text("utf-8"))}
    for path in some(written):
        text = path.read_bytes().decode("utf-8", "ignore")
        assert not names.search(text), path
        if path.suffix == ".json":
            assert not places & numbers_of(json.loads(text)) - own, path
        elif path.suffix == ".csv":
            found = {abs(float(number)) for number in re.findall(r"(?<![\d.])-?\d+\.\d+(?![\d.])", text)}
            assert not places & found - own, path
