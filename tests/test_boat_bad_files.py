"""Each way to spoil a boat file has its own file: the message says what is wrong, and on which line."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from geom.boat.examples import example_of
from geom.boat.faults import _models_in
from geom.boat.file import load_boat, read_boat
from geom.boat.model import Boat, Model
from geom.boat.tree import MAX_BYTES
from geom.errors import InputError
from geom.refit import place, read_refit, refit
from tests.boats import BOATS

BAD = Path(__file__).parent / "fixtures" / "bad"

CASES: list[tuple[str, int | None, str]] = [
    ("a-list", 1, "not a list of keys"),
    ("alias", 36, "an alias is not read"),
    ("anchor", 36, "an anchor"),
    ("bad-date", 7, "no such day"),
    ("bare-number-with-no-declared-unit", 5, "a number without a unit"),
    ("breaking-load-of-a-thread", 78, "implausibly small"),
    ("brace-above-the-top", 34, "meets the tube above its top"),
    ("capital-m", 20, "unknown unit 'M'"),
    ("comma-with-a-unit", 20, "a comma is not read"),
    ("compared-line-that-does-not-exist", 113, "no such line"),
    ("date-the-other-way-round", 7, "not in the expected form"),
    ("decimal-comma", 20, "a comma is not read"),
    ("deck-edge-not-rising", 9, "aft of the point before it"),
    ("deck-edge-of-one-point", 10, "too few points"),
    ("deck-edge-on-the-wrong-side", 10, "wrong side for port"),
    ("duplicate-id", 35, "duplicate id"),
    ("empty", 1, "the file is empty"),
    ("end-at-eye-and-post", 90, "ends at an eye and at a post"),
    ("end-at-nothing", 90, "ends nowhere"),
    ("end-that-does-not-exist", 90, "valid: eye end"),
    ("eye-of-another-level", 97, "an eye of another level than run S-F-L"),
    ("eye-of-the-other-side", 97, "an eye of the other side than run S-F-L"),
    ("eye-on-the-wrong-side", 69, "wrong side of the centreline for port"),
    ("eye-that-does-not-exist", 97, "did you mean S-PULPIT-L"),
    ("eye-offset-over-half-the-spacing", 93, "reaches half way from S-S2 to S-S3"),
    ("fitting-shorter-than-its-least", 83, "less than planned"),
    ("fittings-longer-than-the-last-span", 100, "leave no line between S-S3-L and S-PUSHPIT-L"),
    ("fitting-that-does-not-exist", 94, "did you mean gate hook"),
    ("foot-above-the-boat", 25, "Z lies off the boat"),
    ("foot-off-the-boat-to-a-side", 25, "Y lies off the boat"),
    ("format-missing", 2, "the key 'format' is missing"),
    ("format-newer", 2, "format 3 is newer"),
    ("format-not-first", 3, "is not the first"),
    ("format-older", 2, "format 0 does not exist"),
    ("four-coordinates", 36, "too many entries"),
    ("gate-posts-not-adjacent", 72, "not next to each other"),
    ("gate-posts-of-two-sides", 72, "a post of the other side than gate S-GATE"),
    ("hole-above-the-top", 22, "not under the top of the tube"),
    ("hole-along-the-tube", 32, "a tilt under 60 deg"),
    ("hole-direction-a-wrong-word", 33, "not a valid word here"),
    ("hole-direction-in-millimetres", 32, "'mm' is not a unit of angle"),
    ("hole-neither-found-nor-planned", 22, "neither found nor planned"),
    ("hole-off-the-tube-by-its-tilt", 32, "with its tilt of 50.0 deg runs off the tube"),
    ("hole-wider-than-the-bore", 22, "not narrower than the bore of its tube"),
    ("hole-wider-than-the-tube", 22, "not narrower than its tube"),
    ("holes-that-touch-by-their-tilt", 32, "touches hole L"),
    ("holes-that-run-into-each-other", 23, "runs into hole U"),
    ("inches-read-as-millimetres", 5, "not the length of a boat"),
    ("infinity", 20, "not a number with a unit"),
    ("key-given-twice", 21, "given twice, in lines"),
    ("lashing-of-fifty-metres", 83, "implausibly large; check its unit (read: 50 m)"),
    ("lean-as-a-length", 16, "too steep for a post"),
    ("level-that-a-post-has-no-hole-for", 104, "P-S1 has no hole L for run P-F-L"),
    ("line-round-an-eye-of-metres", 81, "implausibly large"),
    ("line-round-an-eye-shorter-than-half-a-turn", 81, "at least 15.7 mm"),
    ("line-round-an-eye-too-short", 81, "there and back"),
    ("line-that-does-not-exist", 87, "valid: guard rope"),
    ("liner-as-wide-as-its-hole", 23, "not narrower than its hole"),
    ("list-for-a-number", 20, "expected a length"),
    ("mass-for-a-length", 20, "'kg' is not a unit of length"),
    ("mirror-not-true", 7, "not a valid word here"),
    ("mirror-with-both-sides", 7, "both sides are given"),
    ("missing-key", 14, "the key 'top' is missing"),
    ("misspelt-unit", 22, "unknown unit 'milimetre'"),
    ("name-with-a-line-break", 5, "not in the expected form"),
    ("negative-diameter", 77, "too small"),
    ("not-a-number", 20, "not a number with a unit"),
    ("not-a-number-of-yaml", 20, "not a number with a unit"),
    ("not-utf-8", 3, "not UTF-8"),
    ("one-side-only", 12, "`mirror: true`"),
    ("only-a-comment", 1, "the file is empty"),
    ("open-bracket", 37, "not readable as YAML"),
    ("port-y-positive", 46, "wrong side of the centreline for port"),
    ("post-end-without-its-offset", 90, "'eye_offset' is missing"),
    ("post-id-in-small-letters", 35, "not in the expected form"),
    ("posts-closer-than-their-tubes", 25, "closer to S-S1 than their tubes are thick"),
    ("posts-out-of-order-along-the-run", 98, "S-S1 does not lie aft of S-S2"),
    ("power-of-ten", 20, "powers of ten are not read"),
    ("run-that-doubles-back", 94, "S-S3 is not aft of S-S2 at this level"),
    ("run-through-a-post-of-the-other-side", 104, "a post of the other side than run P-F-U"),
    ("run-through-a-post-that-does-not-exist", 104, "no such post"),
    ("slide-on-at-a-hole-of-another-run", 100, "run S-F-L has no such hole"),
    ("strands-not-even", 78, "an even number"),
    ("strands-of-a-laid-rope", 78, "an even number: 8, 12 or 16"),
    ("strands-of-no-braid", 78, "implausibly large (read: 1000000)"),
    ("tag", 20, "a tag"),
    ("tape-to-a-place-that-does-not-exist", 108, "no such eye or hole"),
    ("trial-factor-above-squeeze", 110, "more than `squeeze`"),
    ("trial-in-a-hole-that-does-not-exist", 112, "no such hole"),
    ("tube-that-does-not-exist", 19, "valid: stanchion"),
    ("tube-too-flat-on-its-deck", 56, "too flat on its deck"),
    ("two-coordinates", 36, "too few values"),
    ("two-documents", 6, "a second document"),
    ("two-gates-on-the-same-posts", 73, "the posts of gate S-GATE"),
    ("two-runs-through-one-hole", 98, "run S-F-U goes through S-S1-U already"),
    ("two-posts-at-one-place", 36, "same place as S-S2"),
    ("unit-of-another-kind-declared", 3, "not a valid word here"),
    ("unknown-construction", 75, "did you mean 12-strand HMPE"),
    ("unknown-end-family", 81, "did you mean bare eye"),
    ("unknown-fitting-family", 83, "unknown family"),
    ("unknown-key", 17, "did you mean rake"),
    ("wall-too-thick", 12, "no less than half the diameter"),
    ("x-forward", 36, "X lies off the boat"),
]


@pytest.mark.parametrize(("name", "line", "fragment"), CASES)
def test_bad_file_is_refused_with_its_place(name: str, line: int | None, fragment: str) -> None:
    with pytest.raises(InputError) as caught:
        read_refit(str(BAD / f"{name}.yaml"))
    assert [fault for fault in caught.value.faults if fragment in str(fault) and fault.line == line], str(caught.value)


def refusal_of(name: str, along: float, folder: Path) -> str:
    """Return what is said of hole S-S2-U of a bad file with the hole at another height; nothing where it is taken."""
    text = (BAD / f"{name}.yaml").read_text("utf-8")
    found = re.findall(r"U: {along: \d+, as_found: {diameter: 12.7, direction", text)
    assert len(found) == 1
    changed = folder / "changed.yaml"
    changed.write_text(text.replace(found[0], re.sub(r"\d+", str(along), found[0], count=1)), "utf-8")
    try:
        read_refit(str(changed))
    except InputError as error:
        return "".join(str(fault) for fault in error.faults if "S-S2.holes.U" in str(fault))
    return ""


def test_the_range_that_a_refusal_of_a_hole_names_is_the_range_that_is_taken(tmp_path: Path) -> None:
    name = "hole-off-the-tube-by-its-tilt"
    says = refusal_of(name, 615.0, tmp_path)
    found = re.search(r"runs off the tube.*valid: between ([\d.]+) mm and ([\d.]+) mm", says)
    assert found
    low, high = float(found[1]), float(found[2])
    assert refusal_of(name, low + 0.1, tmp_path) == refusal_of(name, high - 0.1, tmp_path) == ""
    valid = found[0].partition("valid")[2]
    assert all(valid in refusal_of(name, along, tmp_path) for along in (low - 0.1, high + 0.1))


def test_the_distance_that_a_refusal_of_two_holes_names_is_the_distance_that_is_taken(tmp_path: Path) -> None:
    name, lower = "holes-that-touch-by-their-tilt", 308.0
    found = re.search(r"touches hole L.*valid: more than ([\d.]+) mm apart", refusal_of(name, 332.0, tmp_path))
    assert found
    apart = float(found[1])
    assert refusal_of(name, lower + apart + 0.1, tmp_path) == ""
    assert found[0].partition("valid")[2] in refusal_of(name, lower + apart - 0.1, tmp_path)


def test_the_offset_that_a_refusal_of_an_eye_names_is_the_offset_that_is_taken() -> None:
    text = (BAD / "eye-offset-over-half-the-spacing.yaml").read_text("utf-8")
    assert text.count("eye_offset: 410") == 1

    def refusal(offset: float) -> str:
        try:
            refit(read_boat(text.replace("eye_offset: 410", f"eye_offset: {offset:.1f}").encode(), "changed.yaml"))
        except InputError as error:
            return str(error)
        return ""

    found = re.search(r"reaches half way from S-S2 to S-S3.*valid: less than ([\d.]+) mm", refusal(410.0))
    assert found
    assert refusal(float(found[1]) - 0.1) == ""
    assert found[0].partition("valid")[2] in refusal(float(found[1]) + 0.1)


def test_the_length_that_a_refusal_of_fittings_names_is_the_length_that_is_taken() -> None:
    """Ten millimetres of the span stay for the line."""
    text = (BAD / "fittings-longer-than-the-last-span.yaml").read_text("utf-8")
    assert text.count("planned: 2900") == 1

    def refusal(length: float) -> str:
        try:
            refit(read_boat(text.replace("planned: 2900", f"planned: {length:.1f}").encode(), "changed.yaml"))
        except InputError as error:
            return str(error)
        return ""

    found = re.search(r"leave no line between S-S3-L and S-PUSHPIT-L.*valid: less than ([\d.]+) mm", refusal(2900.0))
    assert found
    short = read_boat(text.replace("planned: 2900", "planned: 60").encode(), "changed.yaml").boat
    assert float(found[1]) == pytest.approx(place(short).runs["S-F-L"].spans[-1] - 10.0, abs=0.05)
    assert refusal(float(found[1]) - 0.1) == ""
    assert found[0].partition("valid")[2] in refusal(float(found[1]) + 0.1)


def test_every_bad_file_is_a_case() -> None:
    assert {path.stem for path in BAD.glob("*.yaml")} == {name for name, _, _ in CASES}


def refused(data: bytes) -> str:
    with pytest.raises(InputError) as caught:
        read_boat(data, "made.yaml")
    return str(caught.value)


@pytest.mark.parametrize(
    ("units", "wanted"),
    [
        ("../..", "units: expected keys with values"),
        ("{lenght: mm}", "did you mean length"),
        ("[mm, deg]", "units"),
    ],
)
def test_units_that_are_none_are_refused_with_their_place(units: str, wanted: str) -> None:
    text = (BAD.parent / "sound.yaml").read_text("utf-8")
    changed = re.sub(r"^units:.*$", f"units: {units}", text, count=1, flags=re.MULTILINE)
    assert changed != text
    with pytest.raises(InputError) as caught:
        read_boat(changed.encode("utf-8"), "made.yaml")
    assert wanted in str(caught.value), str(caught.value)
    assert "units" in caught.value.faults[0].key and caught.value.faults[0].line


def test_a_file_over_the_limit_is_refused_before_it_is_parsed() -> None:
    assert "too large" in refused(b"[" * (MAX_BYTES + 1))
    assert "too large" not in refused(b"#" * MAX_BYTES)


@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_a_file_nested_3000_deep_is_refused(opening: str) -> None:
    assert "nested too deep" in refused(f"format: 2\nposts:\n  {opening * 3000}\n".encode())


def test_a_file_nested_3000_deep_by_indent_is_refused() -> None:
    text = "\n".join(" " * depth + "a:" for depth in range(400))
    assert "nested too deep" in refused(text.encode())


@pytest.mark.parametrize("given", ["no/such/file.yaml", "tests", "a\0b"])
def test_a_file_that_cannot_be_opened_is_bad_input(given: str) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        load_boat(given)


@pytest.mark.parametrize(
    "text", ['a: "\\UFFFFFFFF"', "%YAML 1.1.1.1", 'a: "\\xZZ"', "a: \x07", "\t", "a: b: c", "!<", "{", "a: |9x"]
)
def test_text_that_is_not_yaml_is_bad_input(text: str) -> None:
    assert "not readable as YAML" in refused(text.encode())


def test_all_faults_of_a_file_come_at_once_in_the_order_of_lines() -> None:
    text = (BAD.parent / "sound.yaml").read_text("utf-8").replace("top: 632", "top: 632 kg").replace("od: 25", "od: x")
    with pytest.raises(InputError) as caught:
        read_boat(text.encode(), "made.yaml")
    lines = [fault.line for fault in caught.value.faults]
    assert lines == [12, 20, 30, 41, 51, 61]


def test_many_faults_alike_are_told_a_few_times() -> None:
    with pytest.raises(InputError) as caught:
        load_boat(BAD / "bare-number-with-no-declared-unit.yaml")
    assert len(caught.value.faults) < 10
    assert "more places" in str(caught.value)


def test_control_characters_of_a_file_do_not_reach_the_screen() -> None:
    message = refused(b'format: 1\n"\\e[31mred": 1\n')
    assert "\x1b" not in message
    assert "\\x1b[31mred" in message


def test_a_key_of_an_older_format_is_named_as_the_file_spells_it() -> None:
    """A girth under half a turn round a pin as thick as the line, pi times 5 mm, in a file of format 1."""
    text = (Path(__file__).parent / "boats" / "first-try.yaml").read_text("utf-8")
    line = next(n for n, row in enumerate(text.splitlines(), 1) if "rope_round" in row)
    spoilt = text.replace("throat_to_pin: 25, rope_round: 75", "rope_round: 15")
    with pytest.raises(InputError) as refused:
        read_boat(spoilt.encode(), "made.yaml")
    (message,) = str(refused.value).splitlines()
    assert (
        message.startswith(f"made.yaml:{line}:")
        and "ends.eye end.rope_round" in message
        and "at least 15.7 mm" in message
    )


def required() -> list[tuple[str | int, ...]]:
    """Return the place of every key that has to be there, in every part of a boat file."""

    def walk(model: type[Model], place: tuple[str | int, ...]) -> Iterator[tuple[str | int, ...]]:
        for key, info in model.model_fields.items():
            if info.is_required():
                yield (*place, key)
            for inner in _models_in(info.annotation):
                step = (*place, key, 0) if "tuple" in str(info.annotation) else (*place, key)
                yield from walk(inner, (*step, "word") if "dict" in str(info.annotation) else step)

    return list(walk(Boat, ()))


def test_a_missing_key_has_the_line_of_its_parent_and_an_example() -> None:
    text = (BOATS / "saltwhin-31.yaml").read_text("utf-8")
    lines = text.splitlines()
    at = next(number for number, line in enumerate(lines) if "foot: [4185" in line)
    with pytest.raises(InputError) as refused:
        read_boat("\n".join(lines[:at] + lines[at + 1 :]).encode("utf-8"), "boat.yaml")
    (fault,) = refused.value.faults
    assert fault.line == at  # the line of `- id: S-S2`, counted from 1
    assert "'foot' is missing" in fault.message
    assert "foot: [2500, 965, 1079]" in fault.valid
    with pytest.raises(InputError) as refused:
        read_boat(text.replace("survey: as measured\n", "").encode("utf-8"), "boat.yaml")
    (fault,) = refused.value.faults
    assert fault.line == next(number for number, line in enumerate(lines, start=1) if line.startswith("format"))
    assert fault.valid == "for example survey: as measured"


def test_every_required_key_has_an_example() -> None:
    places = required()
    assert len(places) > 100
    assert [place for place in places if not example_of(place)] == []


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ("survey: as designed", "survey as designed", "survey as designed", "no colon after the key"),
        ("  - id: S-S1", "\t- id: S-S1", "\t- id: S-S1", "a tab at the beginning of a line"),
        ("    rake: 0\n", "   rake: 0\n", "   rake: 0", "does not stand under those before it"),
        ("{rim: 2, dome: 4}", "{rim: 2, dome: 4", "    top: 522", "a comma or the closing } is missing"),
    ],
)
def test_what_yaml_refuses_is_said_in_plain_words_with_its_line(old, new, line, says):
    text = (BOATS / "first-try.yaml").read_text("utf-8")
    broken = text.replace(old, new, 1)
    assert broken != text
    number = next(n for n, one in enumerate(broken.splitlines(), start=1) if one.startswith(line))
    refusal = refused(broken.encode())
    assert says in refusal and re.search(r":(\d+):", refusal).group(1) in {str(number), str(number - 1)}


def test_the_example_of_a_missing_key_is_whole():
    text = (BOATS / "first-try.yaml").read_text("utf-8")
    refusal = refused(text[: text.index("runs:")].encode())
    assert (
        "runs: [{id: S-F-U, line: guard rope, start: {...}, through: [...], finish: {...}, set_tension: 350 N}, ...]"
        in refusal
    )
