"""The written DXF read back by id and compared with the sheet; changed files must be caught."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import ezdxf
import pytest
from ezdxf.lldxf.tagwriter import TagWriter

from geom.errors import GeometryError
from geom.figure import (
    LAYERS,
    Arc,
    Block,
    Circle,
    Dimension,
    Hatch,
    Line,
    Ordinate,
    Polyline,
    Sheet,
    Text,
    View,
)
from geom.render.dxf import dxf_bytes
from geom.render.dxf_shapes import add_shape
from geom.render.dxf_strokes import Stroke
from geom.render.dxf_tables import STYLES, mark
from geom.render.explode import dimension_text, explode
from geom.render.pieces import Place
from geom.render.plane import baseline
from tests.render_sample import POSTS, sample_sheet
from tests.some import some


def read(flavour: str, sheet: Sheet | None = None):
    text = dxf_bytes(sheet or sample_sheet(), flavour).decode("utf-8" if flavour == "cad" else "cp1252")
    return ezdxf.read(io.StringIO(text))


@pytest.fixture(scope="module")
def cad():
    return read("cad")


@pytest.fixture(scope="module")
def plain():
    return read("plain")


def tag_of(entity) -> str:
    return entity.get_xdata("TOERAIL")[0].value if entity.has_xdata("TOERAIL") else ""


def measured(dimension) -> float:
    """Return what a reader shows: the measurement times the style's length factor."""
    value = dimension.get_measurement()
    if dimension.dimtype == 6:
        value = abs(value.x if dimension.dxf.dimtype & 64 else value.y)
    return value * dimension.override().get("dimlfac")


def block_text(dimension) -> str:
    return "".join(text.dxf.text for text in dimension.get_geometry_block().query("TEXT"))


def moved(view: View, point) -> tuple[float, float]:
    return (point[0] + view.model_at[0], point[1] + view.model_at[1])


def discrepancies(doc, sheet: Sheet) -> list[str]:
    """Return what a file says otherwise than its sheet, found by the ids on its entities."""
    found = []
    if (doc.header["$INSUNITS"], doc.header["$MEASUREMENT"]) != (4, 1):
        found.append("units")
    space = doc.modelspace()
    for view in sheet.views:
        for item in view.items:
            if isinstance(item, Dimension | Ordinate):
                entities = [d for d in space.query("DIMENSION") if tag_of(d) == item.tag]
                if len(entities) != 1:
                    found.append(f"{item.tag}: {len(entities)} dimensions")
                    continue
                (entity,) = entities
                if isinstance(item, Dimension):
                    delta = (item.end[0] - item.start[0], item.end[1] - item.start[1])
                    if item.along is None:
                        length = math.hypot(*delta)
                    else:
                        length = abs(delta[0] * math.cos(item.along) + delta[1] * math.sin(item.along))
                    ends = (item.start, item.end)
                else:
                    index = "xy".index(item.axis)
                    length, ends = abs(item.at[index] - item.zero[index]), (item.at, item.end)
                if abs(measured(entity) - length / view.numbers.mm) > 1e-6:
                    found.append(f"{item.tag}: measures {measured(entity)}")
                if block_text(entity) != dimension_text(item, view):
                    found.append(f"{item.tag}: reads {block_text(entity)}")
                if entity.dxf.text not in ("", "<>", item.text):
                    found.append(f"{item.tag}: text put over the value")
                for point, name in zip(ends, ("defpoint2", "defpoint3"), strict=True):
                    if math.dist(moved(view, point), entity.dxf.get(name).vec2) > 1e-6:
                        found.append(f"{item.tag}: {name}")
            if isinstance(item, Block):
                inserts = [e for e in space.query("INSERT") if tag_of(e) == item.tag]
                if [tuple(e.dxf.insert.vec2) for e in inserts] != [pytest.approx(moved(view, item.at))]:
                    found.append(f"{item.tag}: insert")
            if isinstance(item, Circle) and item.tag:
                circles = [e for e in space.query("CIRCLE") if tag_of(e) == item.tag]
                if [(*e.dxf.center.vec2, e.dxf.radius) for e in circles] != [
                    pytest.approx((*moved(view, item.centre), item.radius))
                ]:
                    found.append(f"{item.tag}: circle")
        ports = [v for v in doc.layout(sheet.name).query("VIEWPORT") if tag_of(v) == f"view:{view.name}"]
        if [v.dxf.height / v.dxf.view_height for v in ports] != [pytest.approx(view.scale, rel=1e-9)]:
            found.append(f"view {view.name}: scale")
    return found


def test_the_file_says_what_the_sheet_says(cad):
    assert discrepancies(cad, sample_sheet()) == []


def dimension(doc, tag: str = "span:S-F-U:2"):
    return next(entity for entity in doc.modelspace().query("DIMENSION") if tag_of(entity) == tag)


def forge_text(doc) -> None:
    dimension(doc).dxf.text = "1840.0"


def forge_block(doc) -> None:
    dimension(doc).get_geometry_block().query("TEXT").first.dxf.text = "1840.0"


def move_defpoint(doc) -> None:
    dimension(doc).dxf.defpoint3 += (0.01, 0.0, 0.0)


def wrong_factor(doc) -> None:
    doc.dimstyles.get(dimension(doc, "tube:width").dxf.dimstyle).dxf.dimlfac = 1.0


def wrong_units(doc) -> None:
    doc.header["$INSUNITS"] = 1


def lose_dimension(doc) -> None:
    doc.modelspace().delete_entity(dimension(doc))


def move_post(doc) -> None:
    insert = next(e for e in doc.modelspace().query("INSERT") if tag_of(e) == "post:S-S2")
    insert.dxf.insert += (1.0, 0.0, 0.0)


def grow_tube(doc) -> None:
    next(e for e in doc.modelspace().query("CIRCLE") if tag_of(e) == "tube").dxf.radius = 12.8


def stretch_viewport(doc) -> None:
    next(v for v in doc.layout("sample").query("VIEWPORT") if tag_of(v)).dxf.view_height *= 1.01


def move_ordinate(doc) -> None:
    dimension(doc, "x:S-S3").dxf.defpoint2 += (0.0, 1.0, 0.0)


@pytest.mark.parametrize(
    "change",
    [
        forge_text,
        forge_block,
        move_defpoint,
        wrong_factor,
        wrong_units,
        lose_dimension,
        move_post,
        grow_tube,
        stretch_viewport,
        move_ordinate,
    ],
    ids=lambda change: change.__name__,
)
def test_a_changed_file_is_caught(change):
    doc = read("cad")
    change(doc)
    assert discrepancies(doc, sample_sheet())


@pytest.mark.parametrize("flavour", ["cad", "plain"])
def test_the_library_audit_finds_nothing(flavour):
    auditor = read(flavour).audit()
    assert (auditor.errors, auditor.fixes) == ([], [])


@pytest.mark.parametrize("flavour", ["cad", "plain"])
def test_nothing_stands_on_layer_0_and_every_pen_is_right(flavour):
    doc = read(flavour)
    spaces = [doc.modelspace(), *(doc.layout(name) for name in doc.layout_names() if name != "Model")]
    used = {entity.dxf.layer for space in (*spaces, *doc.blocks) for entity in space if not space.name.startswith("_")}
    assert used <= {*LAYERS, "VIEWPORT"}
    for layer in LAYERS.values():
        entry = doc.layers.get(layer.name)
        assert (entry.dxf.lineweight, entry.dxf.color) == (round(layer.width * 100), layer.aci)
        assert (entry.dxf.linetype == "CONTINUOUS") == (layer.linetype == "continuous")


@pytest.mark.parametrize("flavour", ["cad", "plain"])
def test_header_states_millimetres_and_drafting_variables(flavour):
    header = read(flavour).header
    assert (header["$INSUNITS"], header["$MEASUREMENT"], header["$LWDISPLAY"], header["$PSLTSCALE"]) == (4, 1, 1, 0)
    assert (header["$DIMSCALE"], header["$DIMTXT"], header["$DIMDEC"], header["$DIMASZ"]) == (40.0, 2.5, 1, 2.5)


def test_versions(cad, plain):
    assert (cad.acad_release, plain.acad_release) == ("R2010", "R2000")


def test_one_dimension_style_for_each_scale_and_unit_with_nothing_overridden(cad):
    assert {d.dxf.dimstyle for d in cad.modelspace().query("DIMENSION")} == {"MM_1_40_1", "IN_1_1_3"}
    assert not [d for d in cad.modelspace().query("DIMENSION LEADER") if d.has_xdata("ACAD")]
    style = cad.dimstyles.get("IN_1_1_3").dxf
    assert (style.dimscale, style.dimdec, style.dimlfac) == (1.0, 3, pytest.approx(1.0 / 25.4))
    assert style.dimrnd == 0.0


def test_dimension_kinds(cad):
    kinds = {tag_of(d): d.dimtype for d in cad.modelspace().query("DIMENSION")}
    assert (kinds["span:S-F-U:1"], kinds["hole:S-S2-U"], kinds["x:S-S1"]) == (1, 0, 6)


def test_the_library_draws_the_same_numbers_from_style_and_points():
    """The library's own dimension renderer, given our style and points, must write the number that we wrote."""
    doc = read("cad")
    for style in doc.dimstyles:
        # Read from a file, 0 makes this library round to whole numbers; by the DXF reference it means no rounding.
        style.dxf.discard("dimrnd")
    for entity in some(entity for entity in doc.modelspace().query("DIMENSION") if entity.dimtype in (0, 1)):
        ours = block_text(entity)
        entity.render()
        texts = entity.get_geometry_block().query("MTEXT TEXT")
        shown = [t.text if t.dxftype() == "MTEXT" else t.dxf.text for t in texts]
        assert [text.split(";")[-1] for text in shown] == [ours]


def test_blocks_carry_their_attributes(cad):
    inserts = cad.modelspace().query("INSERT")
    assert {insert.dxf.name for insert in inserts} == {"POST"}
    values = {tag_of(i): {a.dxf.tag: a.dxf.text for a in i.attribs} for i in inserts}
    assert values["post:S-S2"] == {"ID": "S-S2", "X_MM": "3980.0", "Y_MM": "-1505.0"}
    assert all(attribute.is_invisible for insert in inserts for attribute in insert.attribs)


def test_the_run_keeps_its_heights(cad):
    (run,) = cad.modelspace().query("POLYLINE")
    assert tag_of(run) == "run:S-F-U"
    assert [tuple(vertex) for vertex in run.points()] == list(POSTS)


def test_hatch_pitch_is_paper_size_blown_up(cad):
    hatch = next(h for h in cad.modelspace().query("HATCH") if tag_of(h) == "hatch:1")
    (line,) = hatch.pattern.lines
    assert math.hypot(*line.offset) == pytest.approx(3.0 * 40.0)
    assert line.angle == pytest.approx(45.0)


def test_broken_lines_are_as_long_in_every_space(cad, plain):
    for doc in (cad, plain):
        line = next(e for e in doc.modelspace().query("LINE") if tag_of(e) == "centreline")
        assert line.dxf.ltscale == pytest.approx(40.0)
        pattern = doc.linetypes.get("CENTER").pattern_tags.tags
        assert [tag.value for tag in pattern if tag.code == 49] == pytest.approx([4.32, -0.54, 0.09, -0.54])
    assert cad.layout("sample").dxf_layout.dxf.layout_flags == 0


def test_paper_is_the_sheet_and_viewports_show_their_windows(cad):
    layout = cad.layout("sample")
    assert (layout.dxf.paper_width, layout.dxf.paper_height) == (420.0, 297.0)
    bar = next(e for e in layout.query("LINE") if tag_of(e) == "bar:100")
    assert (tuple(bar.dxf.start.vec2), tuple(bar.dxf.end.vec2)) == ((200.0, 40.0), (300.0, 40.0))
    plan = sample_sheet().views[0]
    port = next(v for v in layout.query("VIEWPORT") if tag_of(v) == "view:plan")
    for post in POSTS:
        on_paper = [
            centre + (value - seen) * port.dxf.height / port.dxf.view_height
            for centre, value, seen in zip(port.dxf.center, post[:2], port.dxf.view_center_point, strict=False)
        ]
        assert on_paper == pytest.approx([plan.origin[0] + post[0] / 40.0, plan.origin[1] + post[1] / 40.0])


def test_every_tag_is_on_an_entity(cad, plain):
    tags = {shape.tag for group in explode(sample_sheet()) for shape in group.items} - {""}
    for doc in (cad, plain):
        spaces = [doc.modelspace(), *(doc.layout(name) for name in doc.layout_names() if name != "Model")]
        found = {tag_of(entity) for space in (*spaces, *doc.blocks) for entity in space}
        assert tags <= found


def test_keywords_are_properties_of_the_file(cad):
    assert list(cad.header.custom_vars) == [("revision", "A"), ("data", "0123abcd")]


def test_plain_is_only_simple_entities_at_the_size_of_the_first_view(plain):
    kinds = {entity.dxftype() for entity in plain.modelspace()}
    assert kinds == {"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "TEXT", "SOLID", "HATCH"}
    assert not [e for name in plain.layout_names() if name != "Model" for e in plain.layout(name).query("LINE TEXT")]
    (run,) = [e for e in plain.modelspace().query("LWPOLYLINE") if tag_of(e) == "run:S-F-U"]
    for (x, y), post in zip(run.get_points("xy"), POSTS, strict=True):
        assert (x, y) == pytest.approx(post[:2], abs=1e-6)
    texts = [entity.dxf.text for entity in plain.modelspace().query("TEXT")]
    wanted = [s.text for g in explode(sample_sheet()) for s in g.items if isinstance(s, Text)]
    assert sorted(texts) == sorted([*wanted, "1 unit = 1 mm, true for the view Plan, starboard only"])


def test_text_lands_on_its_anchor(plain):
    note = next(e for e in plain.modelspace().query("TEXT") if e.dxf.text.startswith("100 mm"))
    assert note.dxf.halign == 1 and note.dxf.height == pytest.approx(100.0)
    assert tuple(note.dxf.align_point.vec2) == pytest.approx(((250.0 - 45.0) * 40.0, (44.0 - 230.0) * 40.0))


def test_a_block_name_stands_for_one_shape():
    sheet = sample_sheet()
    other = Block("POST", (1000.0, 0.0), (Circle((0, 0), 30.0, "POST"),))
    view = replace(sheet.views[0], items=(*sheet.views[0].items, other))
    with pytest.raises(GeometryError, match="two different shapes"):
        dxf_bytes(replace(sheet, views=(view,)), "cad")


def test_a_block_at_two_scales_has_two_definitions():
    sheet = sample_sheet()
    block = sheet.views[0].items[3]
    view = replace(sheet.views[1], items=(*sheet.views[1].items, block))
    doc = read("cad", replace(sheet, views=(sheet.views[0], view)))
    assert {insert.dxf.name for insert in doc.modelspace().query("INSERT")} == {"POST", "POST-1_1"}


def test_a_sheet_without_views_is_written_at_paper_size():
    sheet = replace(sample_sheet(), views=())
    bar = next(e for e in read("plain", sheet).modelspace().query("LINE") if tag_of(e) == "bar:100")
    assert bar.dxf.end.x - bar.dxf.start.x == 100.0
    assert len(read("cad", sheet).layout("sample").query("VIEWPORT")) == 1


PLACES = (
    "insert", "start", "end", "center", "vtx0", "vtx1", "vtx2", "align_point", "defpoint", "defpoint2", "defpoint3",
    "text_midpoint", "view_center_point",
)  # fmt: skip
SIZES = ("height", "radius", "ltscale", "view_height")


@pytest.mark.parametrize("flavour", ["cad", "plain"])
def test_in_inches_everything_is_where_it_was(flavour):
    """DXF reference: $INSUNITS 1 is inches, $MEASUREMENT 0 the English defaults; an inch is 25.4 mm."""
    metric, inch = read(flavour), read(flavour, replace(sample_sheet(), unit=25.4))
    assert (inch.header["$INSUNITS"], inch.header["$MEASUREMENT"]) == (1, 0)
    assert not inch.audit().errors
    checked = set()
    for layout in some(one for one in metric.layouts if len(one)):
        pairs = zip(layout, inch.layout(layout.name), strict=True)
        for ours, theirs in some((a, b) for a, b in pairs if a.dxftype() == b.dxftype() != "LEADER"):
            assert tag_of(ours) == tag_of(theirs)
            for name, value in ours.dxfattribs().items():
                if name in PLACES:
                    assert (theirs.dxf.get(name) * 25.4).isclose(value, abs_tol=6e-5), (ours, name)
                elif name in SIZES:
                    assert theirs.dxf.get(name) * 25.4 == pytest.approx(value, abs=6e-5), (ours, name)
                    checked.add(name)
    assert checked >= {"height", "radius", "ltscale"}
    for ours, theirs in zip(metric.modelspace().query("DIMENSION"), inch.modelspace().query("DIMENSION"), strict=True):
        assert measured(theirs) == pytest.approx(measured(ours), abs=1e-4)
        assert block_text(theirs) == block_text(ours)
    for ours, theirs in zip(metric.modelspace().query("HATCH"), inch.modelspace().query("HATCH"), strict=True):
        if ours.pattern is not None:
            spacing = [math.hypot(*hatch.pattern.lines[0].offset) for hatch in (ours, theirs)]
            assert spacing[1] * 25.4 == pytest.approx(spacing[0], rel=1e-5)
    notes = [text.dxf.text for text in inch.modelspace().query("TEXT") if tag_of(text) == "unit-note"]
    assert flavour == "cad" or [note.partition(",")[0] for note in notes] == ["1 unit = 1 in"]


def library_entity(space, shape, place: Place, blow: float):
    """Return a shape as the library's own entity."""
    look = {"layer": shape.layer, "ltscale": blow}
    if isinstance(shape, Line):
        return space.add_line(place.paper(shape.start), place.paper(shape.end), look)
    if isinstance(shape, Polyline):
        return space.add_lwpolyline([place.paper(point) for point in shape.points], close=shape.closed, dxfattribs=look)
    if isinstance(shape, Hatch):
        return space.add_solid([place.paper(point) for point in shape.outline], look)
    if isinstance(shape, Circle):
        return space.add_circle(place.paper(shape.centre), shape.radius * place.scale, look)
    if isinstance(shape, Arc):
        angles = math.degrees(shape.start), math.degrees(shape.end)
        return space.add_arc(place.paper(shape.centre), shape.radius * place.scale, *angles, dxfattribs=look)
    placed = replace(shape, at=place.paper(shape.at), height=shape.height * blow)
    text = space.add_text(shape.text, dxfattribs={"layer": shape.layer, "style": STYLES[shape.weight][0]})
    text.dxf.height, text.dxf.rotation, text.dxf.insert = placed.height, math.degrees(shape.rotation), baseline(placed)
    if shape.across != "left":
        text.dxf.halign, text.dxf.align_point = {"centre": 1, "right": 2}[shape.across], baseline(placed)
    return text


STROKES = [
    Line((0.0, 1.5), (2.0, -3.25), "EDGE", "a line"),
    Line((4.0, 1.5), (2.0, 0.1 + 0.2), "EDGE"),
    Line((4.0, 1.5), (7.0, 8.0), "DIM", "100 % of it"),
    Polyline(((0.0, 0.0), (1.0, 2.0), (3.0, 3.0)), "OUTLINE", closed=True, tag="round"),
    Polyline(((0.0, 0.0), (1.0, 2.0), (3.0, 3.0)), "OUTLINE"),
    Polyline(((0.0, 0.0), (1.0, 2.0), (3.0, 3.5)), "OUTLINE", closed=True),
    Polyline(((5.0, 0.0), (1.0, 2.5)), "OUTLINE"),
    Hatch(((0.0, 0.0), (1.0, 2.0), (3.0, 3.0)), "OUTLINE", tag="arrow"),
    Circle((2.0, 3.0), 4.0, "POST"),
    Arc((2.0, 3.0), 4.0, 0.1, 2.0, "POST", "bend"),
    Arc((2.0, 3.0), 5.0, 6.0, 7.0, "POST", "bend"),
    Text((1.0, 2.0), "50 % s", 3.5, "NOTE", "left"),
    Text((1.0, 2.0), "%s %(x)s %%", 2.5, "NOTE", "centre", "middle", tag="words"),
    Text((3.0, 2.0), "turned", 2.5, "NOTE", "right", "top", rotation=0.5, weight="semibold"),
    Text((3.0, 2.0), "again", 5.0, "DIM", "right", "top", rotation=0.5, weight="semibold"),
    Text((3.0, 2.0), "another turn", 5.0, "DIM", "right", "top", rotation=0.25, weight="semibold"),
    Text((3.0, 2.0), "another weight", 5.0, "DIM", "right", "top", rotation=0.5),
]


@pytest.mark.parametrize("version", ["R2000", "R2010"])
@pytest.mark.parametrize("blow", [1.0, 40.0])
def test_a_stroke_is_written_as_the_library_writes_it(version, blow):
    # The DXF library's own writer of each entity; twice over, as the second of a look is filled in.
    place = Place(1.0 / blow, (10.0, 20.0))
    for space_of in (lambda doc: doc.modelspace(), lambda doc: doc.layout("Layout1")):
        ours, theirs = ezdxf.new(version), ezdxf.new(version)
        for shape in (*STROKES, *STROKES):
            stroke = add_shape(space_of(ours), shape, place, blow)
            entity = mark(library_entity(space_of(theirs), shape, place, blow), shape.tag)
            assert written(stroke, version) == written(entity, version)


def written(entity, version: str) -> str:
    stream = io.StringIO()
    entity.export_dxf(TagWriter(stream, {"R2000": "AC1015", "R2010": "AC1024"}[version]))
    return stream.getvalue()


def test_a_value_that_the_library_leaves_out_of_the_first_of_a_look_is_refused():
    space = ezdxf.new("R2010").modelspace()
    stroke = Stroke("TEXT", {"layer": "0"}, {"insert": (0.0, 0.0), "height": 2.5, "text": "x", "rotation": 0.0}, "")
    space.add_entity(stroke)
    with pytest.raises(AssertionError, match="belongs to its look"):
        written(stroke, "R2010")


def test_the_library_setting_is_put_back():
    before = ezdxf.options.write_fixed_meta_data_for_testing
    with pytest.raises(GeometryError):
        dxf_bytes(replace(sample_sheet(), keywords=(("a", "\x00"),)), "cad")
    assert ezdxf.options.write_fixed_meta_data_for_testing == before is False
