"""A boat file in, one canonical boat out, however its author counted, measured and commented."""

from __future__ import annotations

import io
import json
import math
import re
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from geom import resources
from geom.boat import words
from geom.boat.file import LoadedBoat, canonical_data, load_boat, read_boat
from geom.boat.forms import FORMS
from geom.boat.migrate import migrate
from geom.boat.mirror import other_name
from geom.boat.quantity import Scalar
from geom.boat.schema import schema, schema_text
from geom.boat.tree import Tree, read_tree
from geom.errors import CannotFinishError, InputError

SOUND = Path(__file__).parent / "fixtures" / "sound.yaml"
TEXT = SOUND.read_text("utf-8")


def read(text: str) -> LoadedBoat:
    return read_boat(text.encode(), "made.yaml")


@pytest.mark.parametrize("name", resources.starter_names())
def test_starter_files_load(name: str) -> None:
    loaded = read(resources.starter_text(name))
    assert loaded.boat.runs
    assert {post.side for post in loaded.boat.posts} >= {"S", "P"}


def test_starter_names_are_sorted_and_an_unknown_one_is_refused() -> None:
    kinds = ("aft-gate-25", "catamaran-39", "keelboat-16", "open-transom-36", "yacht-52")
    assert resources.starter_names() == tuple(sorted((*kinds, "first-try", "pipwing-25", "saltwhin-31")))
    with pytest.raises(InputError, match="no such starter file"):
        resources.starter_text("../../pyproject")
    with pytest.raises(CannotFinishError):
        resources.template_bytes("boats/../../pyproject.toml")
    with pytest.raises(CannotFinishError):
        resources.template_bytes("boats/none.yaml")


def test_inches_and_fractions_become_millimetres() -> None:
    boat = read(resources.starter_text("pipwing-25")).boat
    assert boat.post("S-S1").foot == pytest.approx((92 * 25.4, 35 * 25.4, 42.125 * 25.4))
    assert boat.post("S-S1").holes["U"].diameter == pytest.approx(9.525)
    assert boat.post("S-S1").lean == pytest.approx(math.radians(3))
    assert boat.ends["terminal"].deduction == pytest.approx(38.1)


def test_a_length_in_another_unit_is_converted_and_echoed() -> None:
    loaded = read(resources.starter_text("pipwing-25"))
    assert loaded.boat.post("P-S2").holes["U"].diameter == 10.0
    assert [(echo.text, echo.value, echo.unit) for echo in loaded.echoes] == [("10 mm", 10.0, "mm")]
    assert any("'10 mm', where the file's unit is in, read as 0.3937 in" in note for note in loaded.notes)


def test_another_word_for_the_same_unit_is_not_echoed() -> None:
    assert (
        read(resources.starter_text("pipwing-25").replace("loa: 295.25", 'loa: 295.25"')).echoes
        == read(resources.starter_text("pipwing-25").replace("loa: 295.25", "loa: 295.25 inches")).echoes
    )


def test_a_comment_changes_the_file_hash_only() -> None:
    one, other = read(TEXT), read(TEXT + "# a remark\n")
    assert one.file_sha256 != other.file_sha256
    assert one.data_sha256 == other.data_sha256


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("top: 632", "top: 63.2 cm"),
        ("top: 632", "top: 24.88188976 in"),
        ("lean: 3\n", f"lean: {math.radians(3)!r} rad\n"),
        ("28 kN", "28000 N"),
        ("date: 2026-03-01", "date: '2026-03-01'"),
        ("units: {length: mm, angle: deg}", "units: {length: mm, angle: deg}\nmirror: null"),
    ],
)
def test_another_spelling_keeps_the_data_hash(old: str, new: str) -> None:
    assert old in TEXT
    assert read(TEXT.replace(old, new)).data_sha256 == read(TEXT).data_sha256


@pytest.mark.parametrize(
    ("old", "new"),
    [("top: 632", "top: 632.001"), ("name: TEST BOAT", "name: OTHER"), ("date: 2026-03-01", "date: 2026-03-02")],
)
def test_other_data_give_another_hash(old: str, new: str) -> None:
    assert read(TEXT.replace(old, new, 1)).data_sha256 != read(TEXT).data_sha256


def test_other_declared_units_keep_the_data_hash() -> None:
    spelled = re.sub(r"\b(lean|rake|aft|outboard|clocking|tilt): (\d+)", r"\1: \2 deg", TEXT)
    assert spelled.count(" deg") > 20
    undeclared = spelled.replace("units: {length: mm, angle: deg}", "units: {length: mm}")
    assert read(undeclared).data_sha256 == read(TEXT).data_sha256


def plain(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(text)


def dumped(data: Any) -> str:
    """Return plain data as JSON, which YAML 1.2 holds whole."""
    return json.dumps(data, indent=1, default=str)


def from_the_transom(data: Any, stern: float) -> Any:
    """Return the same boat measured from the transom forward, with Y to port and Z from another zero."""

    def moved(point: list[float]) -> list[float]:
        return [stern - point[0], -point[1], point[2] - 100]

    data["axes"] = {"origin": [stern, 0, 100], "x": "forward", "y": "port", "z_zero": data["axes"]["z_zero"]}
    data["boat"]["mast_x"] = stern - data["boat"]["mast_x"]
    for side in ("starboard", "port"):
        data["deck_edge"][side] = [moved(point) for point in data["deck_edge"][side]]
    for post in data["posts"]:
        post["foot"] = moved(post["foot"])
        if "brace" in post:
            post["brace"]["foot"] = moved(post["brace"]["foot"])
    for eye in data["eyes"]:
        eye["at"] = moved(eye["at"])
    return data


@pytest.mark.parametrize("stern", [8000, 7999.37, 7123.456])
def test_a_boat_counted_from_the_transom_is_the_same_boat(stern: float) -> None:
    loaded = read(dumped(from_the_transom(plain(TEXT), stern)))
    straight = read(dumped(plain(TEXT)))
    assert canonical_data(loaded.boat) == canonical_data(straight.boat)
    assert loaded.data_sha256 == straight.data_sha256 == read(TEXT).data_sha256
    assert any("axes converted" in note for note in loaded.notes)
    assert not straight.notes


def one_side(text: str, side: str) -> dict[str, Any]:
    data: dict[str, Any] = plain(text)
    word, other = ("starboard", "port") if side == "S" else ("port", "starboard")
    del data["deck_edge"][other]
    for part in ("posts", "eyes", "gates", "runs"):
        data[part] = [entry for entry in data[part] if entry["id"].startswith(side)]
    data["tapes"] = [tape for tape in data["tapes"] if tape["end"].startswith(side)]
    data["trials"] = [trial for trial in data["trials"] if trial["hole"].startswith(side)]
    assert word in data["deck_edge"]
    return data


def with_image(data: dict[str, Any]) -> dict[str, Any]:
    """Write out the port side of a starboard file by swapping letters and signs in the plain data."""

    def flipped(node: Any, key: str = "") -> Any:
        if isinstance(node, dict):
            return {name: flipped(value, name) for name, value in node.items()}
        if key in ("foot", "at"):
            return [node[0], -node[1], node[2]]
        if isinstance(node, list):
            return [flipped(value, key) for value in node]
        return other_name(node) if isinstance(node, str) and node[:2] in ("S-", "P-") else node

    both = json.loads(json.dumps(data, default=str))
    both["deck_edge"]["port"] = [[x, -y, z] for x, y, z in data["deck_edge"]["starboard"]]
    for part in ("posts", "eyes", "gates", "runs"):
        both[part] = both[part] + flipped(both[part])
    return both


def test_a_mirrored_file_is_the_file_with_both_sides_written_out() -> None:
    starboard = one_side(TEXT, "S")
    loaded = read(dumped(starboard | {"mirror": True}))
    written = read(dumped(with_image(starboard)))
    assert loaded.mirrored_from == "S"
    assert loaded.boat.mirror is True
    assert any("mirrored from starboard: 3 posts, 4 eyes, 1 gate, 3 runs" in note for note in loaded.notes)
    assert loaded.boat.model_copy(update={"mirror": None}) == written.boat
    assert loaded.data_sha256 != written.data_sha256


def test_a_port_file_is_mirrored_to_starboard() -> None:
    data = one_side(TEXT, "P") | {"mirror": True}
    loaded = read(dumped(data))
    assert loaded.mirrored_from == "P"
    assert [post.id for post in loaded.boat.posts] == ["S-S1", "S-S2", "P-S1", "P-S2"]
    assert loaded.boat.post("S-S2").foot == (4200.0, 1240.0, 898.0)
    assert loaded.boat.post("S-S2").lean == loaded.boat.post("P-S2").lean


def test_nothing_is_mirrored_without_being_told() -> None:
    with pytest.raises(InputError, match="mirror: true"):
        read(dumped(one_side(TEXT, "S")))


def test_standard_input_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(TEXT.encode())))
    loaded = load_boat("-")
    assert loaded.source == "standard input"
    assert loaded.data_sha256 == load_boat(SOUND).data_sha256


def test_windows_line_ends_and_a_byte_order_mark_change_no_data() -> None:
    data = b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode()
    assert read_boat(data, "made.yaml").data_sha256 == read(TEXT).data_sha256


def test_a_tree_knows_lines_and_names() -> None:
    tree = read_tree(TEXT.encode(), "made.yaml")
    assert tree.line(("posts", 2, "holes", "U", "along")) == 43
    assert tree.line(("posts", 2, "holes", "M", "along")) == 42
    # A key that is not there has the line of its parent.
    assert tree.line(("nowhere",)) == tree.line(())
    assert tree.dotted(("posts", 2, "holes", "U", "along")) == "posts.S-S3.holes.U.along"
    assert tree.dotted(("tapes", 1, "end")) == "tapes[2].end"
    assert tree.root["posts"][0]["foot"] == ["2200", "790", "945"]


def test_scalars_keep_their_exact_text() -> None:
    tree = read_tree(b"a: 1.50\nb: yes\nc: null\nd: 'null'\ne: ~\nf:\ng: 0x10\nh: 2026-03-01\n", "made.yaml")
    assert list(tree.root.values()) == ["1.50", "yes", None, "null", None, None, "0x10", "2026-03-01"]
    assert tree.root["g"].line == 7


def test_an_older_format_goes_through_its_steps() -> None:
    def rename(tree: Tree) -> str:
        tree.root["boat"] = tree.root.pop("ship")
        return "the key ship is now boat"

    tree = Tree({"format": Scalar("0", 1), "ship": Scalar("x", 2)}, {("format",): 1, ("ship",): 2})
    notes, fault = migrate(tree, {0: rename}, present=1)
    assert fault is None
    assert notes == ["migrated from format 0 to 1: the key ship is now boat"]
    assert tree.root == {"format": "1", "boat": "x"}


def test_the_committed_schema_is_current() -> None:
    assert resources.template_bytes("boat.schema.json").decode() == schema_text()
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("name", [*resources.starter_names(), "sound"])
def test_starter_files_meet_the_schema(name: str) -> None:
    text = TEXT if name == "sound" else resources.starter_text(name)
    data = json.loads(json.dumps(plain(text), default=lambda value: str(value) if isinstance(value, date) else None))
    meets = jsonschema.Draft202012Validator(schema())
    meets.validate(data)
    data["posts"][0]["leen"] = 3
    assert not meets.is_valid(data)


def test_every_text_form_has_words_for_its_messages() -> None:
    patterns = {match for match in _patterns(schema())}
    assert patterns
    assert patterns <= set(FORMS)


def _patterns(node: Any) -> list[str]:
    if isinstance(node, dict):
        own = [node["pattern"]] if isinstance(node.get("pattern"), str) else []
        return own + [pattern for value in node.values() for pattern in _patterns(value)]
    return [pattern for value in node for pattern in _patterns(value)] if isinstance(node, list) else []


def test_names_hold_only_letters_that_the_sheets_can_draw() -> None:
    from fontTools.ttLib import TTFont

    from geom.lettering import WEIGHTS, font_bytes

    found = [set(TTFont(io.BytesIO(font_bytes(weight))).getBestCmap()) for weight in WEIGHTS]
    drawable = found[0] & found[1]
    name = next(pattern for pattern in FORMS if pattern.endswith("{1,60}$"))
    allowed = {code for code in range(0x10000) if re.fullmatch(name, chr(code))}
    assert allowed - drawable == set()
    assert {ord(letter) for letter in "AZaz09 äöüÅØéčğ-'"} <= allowed


def test_known_words_are_unique() -> None:
    for kind in ("construction", "end", "fitting"):
        found = words.known_words(kind)
        assert found
        assert len(set(found)) == len(found)


LINES = TEXT.splitlines()
JUNK = [
    "\t",
    "&a *a",
    "!!x y",
    "{",
    "]",
    "'",
    '"',
    ": :",
    "- - -",
    "---",
    "...",
    "%YAML 1.1",
    "\x00",
    "\x85",
    "<<: *x",
    "? ",
]


@st.composite
def mangled(draw: st.DrawFn) -> bytes:
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 4))):
        index = draw(st.integers(0, len(lines) - 1))
        match draw(st.integers(0, 5)):
            case 0:
                lines.pop(index)
            case 1:
                lines.insert(index, lines[index])
            case 2:
                lines[index] = draw(st.sampled_from(LINES))
            case 3:
                column = draw(st.integers(0, len(lines[index])))
                lines[index] = lines[index][:column] + draw(st.characters()) + lines[index][column + 1 :]
            case 4:
                column = draw(st.integers(0, len(lines[index])))
                lines[index] = lines[index][:column] + draw(st.sampled_from(JUNK)) + lines[index][column:]
            case _:
                lines.insert(index, draw(st.text(max_size=30)))
    return "\n".join(lines).encode("utf-8", "surrogatepass")


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(mangled())
def test_a_mangled_file_is_a_boat_or_bad_input(data: bytes) -> None:
    try:
        assert isinstance(read_boat(data, "mangled.yaml"), LoadedBoat)
    except InputError as error:
        assert error.faults
        assert all(str(line).isprintable() for line in error.lines())


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_are_bad_input(data: bytes) -> None:
    with pytest.raises(InputError):
        read_boat(data, "any.yaml")
