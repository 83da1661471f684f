"""Deck plans in DXF: the same boat out of every unit, version and way of lying; what is refused, and why."""

from __future__ import annotations

import io
import random
from itertools import product
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
from tests.counts import TIMES
from tests.plan_drawings import Plan, drawn, written_r12
from tests.some import some
from tests.survey_boats import ROOT, boat

UNITS, BOWS, VERSIONS = ("mm", "in", "m"), ("left", "right", "askew"), ("R12", "R2000", "R2018")
DRAWINGS = list(product(UNITS, BOWS, VERSIONS))
# Every unit once with every way that the bow lies, and both once with every version.
LATIN_SQUARE = [(unit, bow, VERSIONS[(a + b) % 3]) for a, unit in enumerate(UNITS) for b, bow in enumerate(BOWS)]
YAML = (ROOT / "templates" / "boats" / "saltwhin-31.yaml").read_bytes()
BY_A_MAP_LIBRARY = Path(__file__).parent / "fixtures" / "plans" / "by-a-map-library.dxf"
BY_A_DRAWING_PROGRAM = Path(__file__).parent / "fixtures" / "plans" / "by-a-drawing-program.dxf"
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


@pytest.mark.long
@pytest.mark.parametrize(("unit", "bow", "version"), DRAWINGS if TIMES > 1 else LATIN_SQUARE)
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


def test_a_drawing_made_by_a_map_library():
    """The same boat written by GDAL's ogr2ogr: points with heights, edges as lines, no units in the header."""
    stated = read_mapping(
        b"format: 1\naxis: {stem: {layer: STEM}, aft: {layer: AFT}, aft_x: 9000 mm}\n"
        b"posts: {layer: STANCHIONS}\ndeck_edge: {layer: SHEER}\n",
        "mapping",
    )
    plan = read_plan(read_drawing(BY_A_MAP_LIBRARY.read_bytes(), "plan.dxf"), stated)
    assert (plan.units, plan.bow) == ("mm", "right")
    written = read_boat(write_plan(YAML, "boat.yaml", plan).data, "written").boat
    for one, other in some(zip(written.posts, boat().posts, strict=True)):
        assert one.foot == pytest.approx(other.foot, abs=0.1)
    for side in ("S", "P"):
        for one, other in some(zip(written.edge(side), boat().edge(side), strict=True)):
            assert one == pytest.approx(other, abs=0.1)


def test_a_drawing_made_by_a_drawing_program():
    """Circles as curves end to end, edges as polylines, no unit in the header; heights from a table."""
    heights = ", ".join(f"{post.id}: {post.foot[2]}" for post in boat().posts)
    stated = read_mapping(
        b"format: 1\nunits: {length: mm}\naxis: {stem: {layer: STEM}, aft: {layer: AFT}, aft_x: 9000}\n"
        b"posts: {layer: POSTS}\ndeck_edge: {layer: EDGE}\nheights: {" + heights.encode() + b"}\n",
        "mapping",
    )
    plan = read_plan(read_drawing(BY_A_DRAWING_PROGRAM.read_bytes(), "plan.dxf"), stated)
    assert (plan.units, len(plan.points)) == ("mm", 8)
    for point in some(plan.points):
        true = boat().post(point.id).foot
        assert (point.x, point.y, point.z) == pytest.approx(true, abs=0.1)
    for edge in some(plan.edges):
        for one, other in some(zip(edge.points, boat().edge(edge.side), strict=True)):
            assert one[:2] == pytest.approx(other[:2], abs=0.1)


def test_a_drawing_written_by_hand():
    """R12 text without a header: the mapping has to state the units; the side comes from where a post stands."""
    stated = (
        b"format: 1\nunits: {length: mm}\n%saxis: {stem: {layer: STEM}, aft: {layer: AFT}, aft_x: 9000}\n"
        b"posts: {layer: POSTS, name: ID, lean: LEAN}\ndeck_edge: {layer: EDGE}\n"
    )
    drawing = read_drawing(written_r12(boat()), "plan.dxf")
    plan = read_plan(drawing, read_mapping(stated % b"drawing_units: mm\n", "mapping"))
    same_boat(write_plan(YAML, "boat.yaml", plan).data)
    proved = read_plan(drawing, read_mapping(stated % b"", "mapping"))
    assert (proved.units, proved.units_from) == ("mm", "proved by the distance to the aft point")
    assert proved.points == plan.points


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
    assert plan.head()[0] == "plan.dxf: 1 drawing unit is 1 in (by its header); bow to the left, starboard to the top"


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
axis: {{stem: [{stem[0]}, {stem[1]}], aft: [{aft[0]}, {aft[1]}], aft_x: 9000}}
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
    stated = b"format: 1\naxis: {stem: {layer: STEM}, aft: {layer: AFT}, aft_x: 9000 mm}\nposts: {layer: POSTS}\n"
    plan = read_plan(read_drawing(text.getvalue().encode(), "plan.dxf"), read_mapping(stated, "mapping"))
    assert [(point.id, round(point.x, 6), round(point.y, 6)) for point in plan.points] == [
        ("S-S1", 2500.0, 965.0),
        ("P-S1", 2500.0, -965.0),
    ]


def test_files_that_are_no_drawing():
    with pytest.raises(InputError, match=r"too large .read: 100 MB."):
        read_drawing(bytes(100_000_000), "plan.dxf")
    assert MAX_BYTES < 100_000_000
    for data in (b"", b"not a drawing", b"  0\nSECTION\n  2\nENT", bytes(range(256)) * 20, YAML):
        with pytest.raises(InputError, match=r"not readable as DXF|the drawing is empty|no such"):
            read_plan(read_drawing(data, "plan.dxf"), mapping())


def test_the_starter_mapping_is_readable():
    stated = read_mapping(template_bytes("survey/deck-plan-mapping.yaml"), "starter")
    assert stated.posts.name == "ID" and stated.axis.aft_x == 9000.0


def test_a_mapping_with_an_unknown_key_says_what_there_is():
    with pytest.raises(InputError, match=r"mapping:2: axis.stern: unknown key .* stem, aft, aft_x"):
        read_mapping(b"format: 1\naxis: {stem: [0, 0], aft: [1, 1], stern: 3}\n", "mapping")


@pytest.mark.parametrize(
    ("drawn_in", "header", "said"),
    [("mm", 1, "in"), ("cm", 4, "mm"), ("ft", 6, "m"), ("in", 4, "mm"), ("mm", 0, None)],
)
def test_the_measured_distance_overrules_the_header(drawn_in, header, said):
    data, aft = drawn(boat(), drawn_in, "left", units=header)
    plan = read_plan(read_drawing(data, "plan.dxf"), mapping(aft))
    assert plan.units == drawn_in
    same_boat(write_plan(YAML, "boat.yaml", plan).data)
    notes = [note for note in plan.head() if note.startswith(f"not {said}")]
    assert len(notes) == (said is not None)


def test_a_distance_is_asked_for():
    with pytest.raises(InputError, match=r"the key 'aft_x' is missing$"):
        read_mapping(b"format: 1\naxis: {stem: [0, 0], aft: [1, 1]}\n", "mapping")


def plan_of(change, posts="posts: {layer: POSTS}\n", edge=False):
    """Return the reading of a small plan in mm that a function draws: stem at 0, a point at 9000 aft."""
    document = ezdxf.new("R2010", units=4)
    space = document.modelspace()
    space.add_point((0, 0), dxfattribs={"layer": "STEM"})
    space.add_point((9000, 0), dxfattribs={"layer": "AFT"})
    change(document, space)
    text = io.StringIO()
    document.write(text)
    stated = "format: 1\naxis: {stem: {layer: STEM}, aft: {layer: AFT}, aft_x: 9000 mm}\n" + posts
    stated += "deck_edge: {layer: EDGE}\n" if edge else ""
    return read_plan(read_drawing(text.getvalue().encode(), "plan.dxf"), read_mapping(stated.encode(), "mapping"))


def unnamed(places):
    def change(document, space):
        for x, y in places:
            space.add_point((x, y, 1000.0), dxfattribs={"layer": "POSTS"})

    return plan_of(change)


def test_posts_without_names_are_matched_by_place():
    """The boat's posts a few millimetres off; three of the eight alone; one where no post is; port for starboard."""
    feet = {post.id: post.foot for post in boat().posts}
    some_of = ["S-S2", "S-S4", "P-S3"]
    plan = unnamed([(feet[name][0] + 4.0, feet[name][1] - 3.0) for name in some_of])
    written = read_boat(write_plan(YAML, "boat.yaml", plan).data, "x").boat
    for name in some_of:
        assert written.post(name).foot[:2] == pytest.approx((feet[name][0] + 4.0, feet[name][1] - 3.0), abs=0.1)
    assert written.post("S-S1").foot == boat().post("S-S1").foot
    with pytest.raises(InputError, match=r"a post at X 3300, Y 1200 mm; the nearest of the boat is S-S[12], \d+ mm"):
        write_plan(YAML, "boat.yaml", unnamed([(3300.0, 1200.0)]))
    over = unnamed([(x, -y) for x, y, _ in feet.values()])
    with pytest.raises(InputError, match="fit the boat better with port and starboard exchanged"):
        write_plan(YAML, "boat.yaml", over)
