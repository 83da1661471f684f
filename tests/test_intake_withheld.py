"""No blunder is written: parts that two suspect readings leave open or that rest on one reading are withheld."""

from __future__ import annotations

import math
import random
import re
from collections import Counter
from dataclasses import replace

import pytest
from typer.testing import CliRunner

from geom.cli.app import app
from geom.errors import InputError
from geom.intake.survey.causes import LOOK_ALIKE
from geom.intake.survey.closure import foot_name
from geom.intake.survey.file import read_survey
from geom.intake.survey.readings import LeanReading, LevelReading, TapeReading
from geom.intake.survey.reliability import parts_of
from geom.intake.survey.solve import solve_survey
from geom.resources import template_bytes
from tests.counts import seeds
from tests.random_boats import random_boat
from tests.some import some
from tests.survey_boats import ROOT, as_read, boat, thorough_survey, true_places

STARTER = template_bytes("survey/saltwhin-31.yaml").decode()
# The slips of a survey in millimetres and of one in inches; those of one unit alone come twice as often.
OF_BOTH = (
    *(f"tape {slip}" for slip in ("transposed", "misread", "elsewhere", "zero", "12 mm", "-20 mm")),
    *(f"staff {slip}" for slip in ("transposed", "misread", "elsewhere", "12 mm", "-20 mm")),
    "lean sign",
)
SLIPS = {
    False: (*OF_BOTH, *2 * ("tape decimetre", "tape metre", "staff decimetre", "staff metre")),
    True: (*OF_BOTH, *2 * ("tape inch", "tape foot", "staff inch", "staff foot")),
}
STEPS = {
    "decimetre": -100.0, "metre": 1000.0, "inch": -25.4, "foot": 304.8, "12 mm": 12.0, "-20 mm": -20.0,
}  # fmt: skip
# The words that a cause of each slip begins with; an error of no particular size has none.
CAUSES = {
    "transposed": "digits transposed", "misread": "one digit misread", "zero": "tape started at its",
    "decimetre": "a whole decimetre misread", "metre": "a whole metre misread", "inch": "a whole inch misread",
    "foot": "a whole foot misread", "sign": "wrong sign",
}  # fmt: skip


def starter(text: str = STARTER):
    return solve_survey(read_survey(text.encode(), "survey"))


def slips_of(seed):
    """Return whether the survey of a seed is in inches, and which slips it gets: none, one or two, in turn."""
    inches, slips = bool(seed % 2), SLIPS[bool(seed % 2)]
    first = {1: 0, 5: 1, 2: 0, 4: 2}.get(seed % 6, 0) + 3 * (seed // 6)
    return inches, [slips[(first + number) % len(slips)] for number in range(seed % 3)]


def is_of(slip, reading):
    family = {"tape": TapeReading, "staff": LevelReading, "lean": LeanReading}[slip.split()[0]]
    return isinstance(reading, family)


def slipped(of, one, slip, rng, inches):
    """Return a reading as a slip leaves it; None where that slip makes no 12 mm of this reading."""
    if slip == "lean sign":
        # A wrong sign shows from about a degree on, and a degree is 12 mm at 600 mm.
        return replace(one, value=-one.value) if abs(one.value) > math.radians(2.0) else None
    family, kind = slip.split(" ", 1)
    size, sign = abs(one.value), 1.0 if one.value >= 0.0 else -1.0
    if kind in STEPS:
        value, text = as_read(size + STEPS[kind], inches)
    elif kind == "zero":
        value, text = as_read(size + (25.4 if inches else 100.0), inches)
    elif kind == "elsewhere":
        places = true_places(of)
        point = one.end if family == "tape" else one.point
        post, _, level = point.rpartition("-")
        other = f"{post}-{'L' if level == 'U' else 'U'}"
        if level == "U" and other not in places:
            # A single line: the hook or the staff goes to the foot.
            other = foot_name(post)
        if level not in ("U", "L") or other not in places or (family == "tape" and other == one.start):
            return None
        to_it = math.dist(places[one.start], places[other]) if family == "tape" else 0.0
        value, text = as_read(to_it if family == "tape" else size + places[point][2] - places[other][2], inches)
    else:
        whole, _, fraction = one.text.partition(" ")
        digits = list(whole)
        last = len(digits) - (kind == "transposed")
        spots = [spot for spot in range(last) if kind == "transposed" or _alike(digits[spot])]
        if not spots:
            return None
        spot = rng.choice(spots)
        if kind == "transposed":
            digits[spot], digits[spot + 1] = digits[spot + 1], digits[spot]
        else:
            digits[spot] = rng.choice(_alike(digits[spot])).replace(digits[spot], "")
        read = int("".join(digits))
        text = f"{read} {fraction}".strip()
        value = size + (read - int(whole)) * (25.4 if inches else 1.0)
    if abs(value - size) < 12.0 or value <= 20.0:
        return None
    return replace(one, value=sign * value, text=text)


def _alike(digit):
    return [pair for pair in LOOK_ALIKE if digit in pair]


@pytest.mark.long
def test_no_coordinate_far_from_the_truth_is_handed_on():
    """On twenty random boats and the demonstration boat, with no, one or two slips in each survey."""
    planted, found_of, right, wrongly = Counter(), Counter(), Counter(), Counter()
    alarms, held, refused, worst, names = 0, 0, [], 0.0, 0
    for seed in seeds(20):
        rng = random.Random(seed)
        of = random_boat(seed % 20).boat if seed % 21 else boat()
        inches, slips = slips_of(seed)
        survey = thorough_survey(of, rng, inches)
        readings, wrong = list(survey.readings), {}
        for slip in slips:
            rows = [row for row, one in enumerate(readings) if is_of(slip, one) and row not in wrong]
            rng.shuffle(rows)
            changed = ((row, slipped(of, readings[row], slip, rng, inches)) for row in rows)
            row, reading = next(((row, one) for row, one in changed if one is not None), (None, None))
            if row is not None:
                readings[row], wrong[row] = reading, slip
        survey = replace(survey, readings=tuple(readings))
        try:
            result = solve_survey(survey)
        except InputError:
            # Two slips in one triangle of tapes: the whole survey is refused, so nothing of it is handed on.
            assert len(wrong) == 2, seed
            refused.append(seed)
            continue
        found = {blunder.reading.label: blunder for blunder in result.blunders}
        suspects = {one.label for blunder in result.blunders for one in (blunder.reading, *blunder.alike)}
        truth = true_places(of)
        for row, slip in wrong.items():
            planted[slip] += 1
            one = readings[row]
            of_it = {getattr(one, "post", None), *(getattr(one, key, None) for key in ("start", "end", "point"))}
            parts = {part.name for part in parts_of(result.network) if part.point in of_it}
            assert one.label in suspects or parts <= result.withheld, (seed, one.label, slip)
            if one.label in found:
                causes = [cause.name for cause in found[one.label].causes]
                family, kind = slip.split(" ", 1)
                begins = CAUSES.get(
                    kind, {"tape": "hooked to", "staff": "held at"}[family] if kind == "elsewhere" else ""
                )
                named = any(name.startswith(begins) for name in causes) if begins else not causes
                found_of[slip] += 1
                right[slip] += named
                wrongly[slip] += bool(causes) and not named
                names += len(set(causes)) if begins else 0
        labels = {readings[row].label for row in wrong}
        alarms += any(
            not {blunder.reading.label, *(one.label for one in blunder.alike)} & labels for blunder in result.blunders
        )
        held += len(result.withheld)
        for point in result.points:
            if survey.point(point.name).where == "centreline":
                # A mark is not handed on.
                continue
            post = point.name.rsplit("-", 1)[0]
            if {point.name, f"{post}-FOOT", f"lean and rake of {post}"} & result.withheld:
                continue
            for at, true, sd in zip(point.at, truth[point.name], point.sd, strict=True):
                if sd > 0.0:
                    worst = max(worst, abs(at - true) / sd)
                    assert abs(at - true) <= 4.0 * sd, (seed, point)
    surveys, slips = len(seeds(20)), planted.total()
    print(f"{surveys} surveys, seeds {seeds(20)}, {len(refused)} refused {refused}; worst {worst:.2f} deviations")
    print(f"{slips} slips, {found_of.total()} found, the others withheld; {held} parts withheld")
    print(f"{alarms} false alarms; {names / max(1, found_of.total()):.2f} causes named for each slip that has one")
    print(f"{'slip':18} planted found right wrong cause")
    for slip in sorted(planted):
        print(f"{slip:18} {planted[slip]:7} {found_of[slip]:5} {right[slip]:5} {wrongly[slip]:5}")
    assert len(refused) <= 0.02 * surveys
    assert slips >= 0.9 * surveys
    # One in twenty surveys may give the alarm before 2 % is exceeded: the share is judged by the long run.
    assert alarms <= max(1, 0.02 * surveys)
    # An error of no particular size has no cause, and a wrong one is worse than none.
    assert wrongly.total() <= max(2, 0.05 * found_of.total())
    for slip, count in some(found_of.items()):
        if "mm" not in slip and count >= 5:
            assert right[slip] >= 0.8 * count, (slip, right[slip], count)


def test_nothing_of_the_starter_is_withheld():
    assert starter().doubts == ()


def test_a_staff_reading_eighty_millimetres_off_is_withheld_with_the_tape_that_settles_it():
    """1191 read for 1111 at a lower hole, which its tape and one other reading contradict."""
    result = starter(STARTER.replace("staff L 1111", "staff L 1191"))
    doubt = result.doubts[0]
    assert [part.name for part in doubt.parts] == ["S-S3-L"]
    assert doubt.further == "tape S-S3-L to S-S3-U"
    assert "S-S3-L: withheld" in doubt.words()
    assert "tape S-S3-L to S-S3-U" in doubt.words()


def test_two_suspects_make_a_deviation_that_covers_both_answers():
    """Without the tapes from the baseline, nothing tells a wrong staff from a wrong tape up the tube."""
    text = STARTER
    for reading in (", mast L 2441", ", S3 L-L 1622", ", S4 L-L 719"):
        assert text.count(reading) == 1
        text = text.replace(reading, "")
    honest = starter(text).point("S-S3-L").sd[2]
    result = starter(text.replace("staff L 1111", "staff L 1151"))
    (doubt,) = (one for one in result.doubts if one.cause == "contradicted")
    assert {one.label for one in doubt.readings} >= {"level laser at S-S3-L", "tape S-S3-FOOT to S-S3-L"}
    assert doubt.moves == pytest.approx(40.0, abs=8.0)
    assert result.point("S-S3-L").sd[2] > max(30.0, honest)
    assert "tape" in doubt.further and "S-S3-L" in doubt.further


def test_heights_that_rest_on_one_reading_are_withheld():
    """Without the tapes between the eyes nothing checks the staff at the lower eye of the pushpit."""
    result = starter(re.sub(r"(PUSHPIT.*?),? +(?:[PS]-PUSHPIT )?L-U \d+", r"\1", STARTER).replace("    PUSHPIT\n", ""))
    assert "S-PUSHPIT-L" in result.withheld
    doubt = next(one for one in result.doubts if any(part.name == "S-PUSHPIT-L" for part in one.parts))
    assert doubt.cause == "unchecked"
    assert doubt.further == "tape S-PUSHPIT-L to S-PUSHPIT-U"


def test_what_is_withheld_is_not_written_and_ends_with_one(tmp_path):
    survey, file = tmp_path / "survey.yaml", tmp_path / "boat.yaml"
    survey.write_text(STARTER.replace("staff L 1111", "staff L 1191"))
    text = (ROOT / "templates" / "boats" / "saltwhin-31.yaml").read_text("utf-8")
    file.write_text(text)
    done = CliRunner().invoke(app, ["survey", str(survey), "--boat", str(file), "--write"])
    assert done.exit_code == 1
    assert done.stdout.startswith("S-S3-L: withheld")
    written = file.read_text()
    assert written != text

    def holes(source):
        return [line for line in source.splitlines() if "L:" in line and "along" in line]

    changed = [index for index, pair in enumerate(zip(holes(text), holes(written), strict=True)) if pair[0] != pair[1]]
    assert len(changed) >= 5
    assert starter(STARTER).withheld == frozenset()
    survey.write_text(STARTER)
    assert CliRunner().invoke(app, ["survey", str(survey), "--boat", str(file), "--write"]).exit_code == 0


def test_signs_are_shown_as_they_were_typed():
    result = starter(STARTER.replace("out 1316", "out 1416").replace("staff U 710", "staff U 810"))
    words = {blunder.reading.label: blunder.words() for blunder in result.blunders}
    assert "read 1416 mm" in words["offset of P-S2-FOOT"]
    assert "read 810 mm" in words["level laser at S-S1-U"]
    assert "likely a whole decimetre misread (would be 710 mm)" in words["level laser at S-S1-U"]


def test_a_lean_of_the_wrong_sign_is_named():
    result = starter(STARTER.replace("lean 3.3, rake 0.1", "lean -3.3, rake 0.1"))
    (blunder,) = result.blunders
    assert "read -3.3 deg" in blunder.words()
    assert "likely wrong sign (would be 3.3 deg)" in blunder.words()


def test_a_thin_survey_names_what_is_loose_and_a_reading_for_it():
    """A hole whose distance along the tube only tapes along the line and the boat's middle see, nearly square to it."""
    rng = random.Random(149)
    survey = thorough_survey(boat(), rng)
    gone = ("tape P-S3-FOOT to P-S3-L", "tape P-S3-U to P-S3-L", "level laser at P-S3-L")
    thin = replace(survey, readings=tuple(one for one in survey.readings if one.label not in gone))
    for one in thin.readings:
        assert not (isinstance(one, LevelReading) and one.point == "P-S3-L")
    try:
        result = solve_survey(thin)
    except InputError as error:
        assert "P-S3-L" in str(error)
        assert "tape P-S3-FOOT to P-S3-L" in str(error)
    else:
        assert "P-S3-L" in result.withheld
