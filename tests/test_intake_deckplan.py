"""Deck plans in DXF: the same boat out of every unit, version and way of lying; what is refused, and why."""

from __future__ import annotations

import io
import random
from pathlib import Path

import ezdxf
import pytest

from geom.boat.file import canonical_data, read_boat
from geom.errors import InputError
from geom.intake.deck_plan.drawing import MAX_BYTES, read_drawing
from geom.intake.deck_plan.mapping import read_mapping
from geom.intake.deck_plan.reading import read_plan
from geom.intake.deck_plan.write import write_plan
from geom.resources import template_bytes
from tests.plan_drawings import Plan, drawn, written_r12
from tests.some import some
from tests.survey_boats import ROOT, boat

YAML = (ROOT / "templates" / "boats" / "saltwhin-31.yaml").read_bytes()
BY_ANOTHER = Path(__file__).parent / "fixtures" / "plans" / "by-another-program.dxf"


def mapping(aft=(9000.0, 0.0), extra: str = "", posts: str = "{block: post, name: ID, lean: LEAN, rake: RAKE}"):
    text = f"""format: 1
units: {{length: mm}}
{extra}
axis: {{stem: {{layer: REF}}, aft: [{aft[0]!r}, {aft[1]!r}], aft_x: 9000}}
posts: {posts}
eyes: {{layer: eyes, name: ID}}
deck_edge: {{layer: EDGE}}
"""
    return read_mapping(text.encode(), "mapping")


def disturbed() -> bytes:
    """Return the boat file with its feet, eyes and edge elsewhere, so that a plan has something to put right."""
    rng = random.Random(4)
    lines = []
    for line in YAML.decode("utf-8").splitlines(keepends=True):
        if ("foot: [" in line and "brace" not in line) or "at: [" in line:
            head, _, rest = line.partition(": [") if "at: [" not in line else line.rpartition("at: [")
            numbers, bracket, tail = rest.partition("]")
            moved = [f"{float(number) + rng.uniform(-9, 9):.1f}" for number in numbers.split(",")]
            joint = ": [" if "at: [" not in line else "at: ["
            line = f"{head}{joint}{', '.join(moved)}{bracket}{tail}"
        lines.append(line)
    return "".join(lines).encode("utf-8")


def same_boat(data: bytes, tolerance: float = 0.1) -> None:
    """Hold a boat file against the YAML's: every place to a tenth of a millimetre."""
    ours, theirs = read_boat(data, "written").boat, boat()
    for one, other in some(zip(ours.posts, theirs.posts, strict=True)):
        assert one.foot == pytest.approx(other.foot, abs=tolerance)
        assert one.lean == pytest.approx(other.lean, abs=1e-4)
    for one, other in zip(ours.eyes, theirs.eyes, strict=True):
        assert one.at == pytest.approx(other.at, abs=tolerance)
    for side in ("S", "P"):
        for one, other in zip(ours.edge(side), theirs.edge(side), strict=True):
            assert one == pytest.approx(other, abs=tolerance)


@pytest.mark.parametrize("unit", ["mm", "in", "m"])
@pytest.mark.parametrize("bow", ["left", "right", "askew"])
@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_the_same_boat_out_of_every_drawing(unit, bow, version):
    data, aft = drawn(boat(), unit, bow, version)
    stated = f"drawing_units: {unit}" if version == "R12" else ""
    plan = read_plan(read_drawing(data, "plan.dxf"), mapping(aft, stated))
    edited = write_plan(disturbed(), "boat.yaml", plan)
    same_boat(edited.data)
    assert canonical_data(read_boat(edited.data, "x").boat) == canonical_data(boat())
    assert plan.units == unit


def test_comments_of_the_boat_file_are_kept():
    data, aft = drawn(boat(), "mm", "left")
    edited = write_plan(disturbed(), "boat.yaml", read_plan(read_drawing(data, "plan.dxf"), mapping(aft)))
    kept = [line for line in YAML.decode().splitlines() if "#" in line]
    assert [line for line in edited.data.decode().splitlines() if "#" in line] == kept
    # A plan that says what the file says changes nothing at all.
    assert write_plan(YAML, "boat.yaml", read_plan(read_drawing(data, "plan.dxf"), mapping(aft))).data == YAML


def test_a_drawing_made_by_another_program():
    """Written by a geographic data converter, in inches, bow to the right; posts are numbered from the bow."""
    stated = read_mapping(
        b"format: 1\nunits: {length: mm}\naxis: {stem: {layer: STEM}, aft: {layer: AFT}, aft_x: 9000}\n"
        b"posts: {layer: POSTS}\ndeck_edge: {layer: EDGE}\n",
        "mapping",
    )
    plan = read_plan(read_drawing(BY_ANOTHER.read_bytes(), "plan.dxf"), stated)
    assert (plan.units, plan.bow) == ("in", "right")
    same_boat(write_plan(YAML, "boat.yaml", plan).data)
    assert "posts numbered from the bow" in " ".join(plan.head())


def test_a_drawing_written_by_hand():
    """R12 text without a header: the mapping has to state the units; the side comes from where a post stands."""
    stated = (
        b"format: 1\nunits: {length: mm}\n%saxis: {stem: {layer: STEM}, aft: {layer: AFT}, aft_x: 9000}\n"
        b"posts: {layer: POSTS, name: ID, lean: LEAN}\ndeck_edge: {layer: EDGE}\n"
    )
    drawing = read_drawing(written_r12(boat()), "plan.dxf")
    plan = read_plan(drawing, read_mapping(stated % b"drawing_units: mm\n", "mapping"))
    same_boat(write_plan(YAML, "boat.yaml", plan).data)
    with pytest.raises(InputError, match="states no units"):
        read_plan(drawing, read_mapping(stated % b"", "mapping"))


def test_mirrored_and_rotated_plans():
    data, aft = drawn(boat(), "mm", "top", mirrored=True)
    drawing = read_drawing(data, "plan.dxf")
    same_boat(write_plan(YAML, "boat.yaml", read_plan(drawing, mapping(aft, "mirrored: true"))).data)
    with pytest.raises(InputError, match="the plan is mirrored"):
        read_plan(drawing, mapping(aft))


def test_the_reading_is_echoed_before_use():
    data, aft = drawn(boat(), "in", "left")
    plan = read_plan(read_drawing(data, "plan.dxf"), mapping(aft))
    rows = plan.echo()
    assert rows[0] == ("what", "id", "X [mm]", "Y [mm]", "Z [mm]", "drawn as")
    assert ("post", "S-S2", "4185.0", "1321.0", "1021.0") in [row[:5] for row in rows]
    assert all("#" in row[5] for row in rows[1:])
    assert plan.head()[0] == "plan.dxf: 1 drawing unit is 1 in (by its header); bow to the left"


def with_a_side_view(named: bool) -> tuple[bytes, str]:
    """Return a flat plan with a side view below it, 8 m down, bow to the right, heights from a picked point."""
    plan = Plan("mm", "left")
    document = ezdxf.new("R2010", units=4)
    space = document.modelspace()
    for post in boat().posts:
        if not named and post.id.startswith("P"):
            continue
        place = plan.at(post.foot, flat=True)
        space.add_blockref(_block(document, "POST"), place).add_attrib("ID", post.id, place)
        seen = (20_000.0 - post.foot[0], -8000.0 + post.foot[2] - 1000.0)
        insert = space.add_blockref(_block(document, "SIDE"), seen)
        if named:
            insert.add_attrib("ID", post.id, seen)
    text = io.StringIO()
    document.write(text)
    stem, aft = plan.at((0.0, 0.0, 0.0)), plan.at((9000.0, 0.0, 0.0))
    stated = f"""format: 1
units: {{length: mm}}
axis: {{stem: [{stem[0]}, {stem[1]}], aft: [{aft[0]}, {aft[1]}]}}
posts: {{block: POST, name: ID}}
profile: {{marks: {{block: SIDE{", name: ID" if named else ""}}}, at: [20000, -8000], x: 0, z: 1000, bow: right}}
"""
    return text.getvalue().encode(), stated


def _block(document, name):
    if name not in document.blocks:
        document.blocks.new(name)
    return name


@pytest.mark.parametrize("named", [True, False])
def test_heights_from_a_side_view(named):
    data, stated = with_a_side_view(named)
    plan = read_plan(read_drawing(data, "plan.dxf"), read_mapping(stated.encode(), "mapping"))
    for point in some(plan.points):
        assert (point.x, point.y, point.z) == pytest.approx(boat().post(point.id).foot, abs=1e-6)


def test_heights_from_a_table_and_none_at_all():
    data, stated = with_a_side_view(True)
    flat = stated.split("profile:")[0]
    plan = read_plan(read_drawing(data, "plan.dxf"), read_mapping(flat.encode(), "mapping"))
    with pytest.raises(InputError, match="no height of S-S1"):
        write_plan(YAML, "boat.yaml", plan)
    heights = "heights: {" + ", ".join(f"{post.id}: {post.foot[2]}" for post in boat().posts) + "}\n"
    plan = read_plan(read_drawing(data, "plan.dxf"), read_mapping((flat + heights).encode(), "mapping"))
    same_boat(write_plan(YAML, "boat.yaml", plan).data)


def test_a_plan_that_is_itself_one_block():
    """A plan brought in as one block, turned and in another place: what lies in it is found."""
    inner = ezdxf.new("R2010", units=4)
    block = inner.blocks.new("WHOLE")
    for name, x, y in (("STEM", 0.0, 0.0), ("AFT", 9000.0, 0.0), ("POSTS", 2500.0, 965.0), ("POSTS", 2500.0, -965.0)):
        block.add_point((x, y), dxfattribs={"layer": name})
    inner.modelspace().add_blockref("WHOLE", (300.0, 400.0), dxfattribs={"rotation": 50.0})
    text = io.StringIO()
    inner.write(text)
    stated = b"format: 1\naxis: {stem: {layer: STEM}, aft: {layer: AFT}}\nposts: {layer: POSTS}\n"
    plan = read_plan(read_drawing(text.getvalue().encode(), "plan.dxf"), read_mapping(stated, "mapping"))
    assert [(point.id, round(point.x, 6), round(point.y, 6)) for point in plan.points] == [
        ("S-S1", 2500.0, 965.0),
        ("P-S1", 2500.0, -965.0),
    ]


def refused(data: bytes, stated, message: str) -> None:
    with pytest.raises(InputError, match=message):
        read_plan(read_drawing(data, "plan.dxf"), stated)


def test_what_is_refused():
    data, aft = drawn(boat(), "mm", "left")
    refused(data, mapping(aft, "drawing_units: in"), "header says mm, the mapping says in")
    refused(drawn(boat(), "mm", "left", units=0)[0], mapping(aft), "states no units")
    refused(drawn(boat(), "mm", "left", units=13)[0], mapping(aft), "units that are not read")
    # Drawn in mm with inches in the header: the boat would be 229 m long.
    refused(drawn(boat(), "mm", "left", units=1)[0], mapping(aft), r"228\.600 m from the stem")
    # Drawn in cm with mm in the header, and in feet with inches.
    small, near = drawn(boat(), "cm", "left", units=4)
    refused(small, mapping(near), r"would be 0\.900 m")
    scaled, near = drawn(boat(), "ft", "left", units=6)
    refused(scaled, mapping(near), r"drawn 29527\.6 mm from the stem and stated as 9000\.0 mm: .* 3\.281 times")
    refused(data, mapping(aft, posts="{block: STANCHION, name: ID}"), "no such block in the drawing .read: STANCHION")
    refused(data, mapping(aft, posts="{block: post, name: NUMBER}"), r"insert #\w+ on layer POSTS: .* is missing")
    refused(data, mapping((aft[0] + 300.0, aft[1])), "is drawn .* mm from the stem and stated as 9000.0 mm")
    refused(data, mapping(aft, posts="{layer: REF, block: POST, name: ID}"), "no posts on layer REF")


def test_two_posts_with_one_name_by_their_handles():
    data, aft = drawn(boat(), "mm", "left")
    twice = data.replace(b"\nS-S2\r\n", b"\nS-S1\r\n").replace(b"\nS-S2\n", b"\nS-S1\n")
    refused(twice, mapping(aft), r"insert #\w+ on layer POSTS: duplicate post name, also on insert #\w+")


def test_files_that_are_no_drawing():
    with pytest.raises(InputError, match=r"too large .read: 100 MB."):
        read_drawing(bytes(100_000_000), "plan.dxf")
    assert MAX_BYTES < 100_000_000
    for data in (b"", b"not a drawing", b"  0\nSECTION\n  2\nENT", bytes(range(256)) * 20, YAML):
        with pytest.raises(InputError, match=r"not readable as DXF|states no units|no such"):
            read_plan(read_drawing(data, "plan.dxf"), mapping())


def test_the_starter_mapping_is_readable():
    stated = read_mapping(template_bytes("survey/deck-plan-mapping.yaml"), "starter")
    assert stated.posts.name == "ID" and stated.axis.aft_x == 9000.0


def test_a_mapping_with_an_unknown_key_says_what_there_is():
    with pytest.raises(InputError, match=r"mapping:2: axis.stern: unknown key .* stem, aft, aft_x"):
        read_mapping(b"format: 1\naxis: {stem: [0, 0], aft: [1, 1], stern: 3}\n", "mapping")
