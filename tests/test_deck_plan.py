"""Sheet G2 read back from its written files: every dimension, id and cell against the model; layout faults."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET

import ezdxf
import pdfplumber
import pytest

from geom.drafting.boat_view import extent
from geom.figure import Dimension, Line, Text
from geom.intake.survey.closure import closure_limit
from geom.lettering import width
from geom.open_items import open_items
from geom.render.dxf import dxf_bytes
from geom.render.faults import layout
from geom.render.pdf import pdf_bytes
from geom.render.svg import svg_bytes
from geom.sheets.deck_plan.sheet import deck_plan
from geom.tables import numbers
from tests.boats import NAMES, by_id, refit_of, report_of
from tests.made import set_of, sheets_by
from tests.post_reference import hole_at
from tests.random_boats import random_refit
from tests.sheet_texts import rounded, texts_of
from tests.some import some

APPID = "TOERAIL"


@pytest.fixture(scope="module", params=NAMES)
def boat(request):
    return request.param


@pytest.fixture(scope="module")
def sheet(boat):
    return plan_of(boat)


def plan_of(boat):
    return next(sheet for sheet in set_of(boat) if sheet.name == "G2-deck-plan")


def file_of(boat):
    return ezdxf.read(io.StringIO(dxf_bytes(plan_of(boat), "cad").decode("utf-8")))


@pytest.fixture(scope="module")
def cad(boat):
    return file_of(boat)


def spans(boat):
    """Return every span by the tag of its dimension [mm]."""
    return {
        f"span:{run['id']}:{index + 1}": span
        for run in report_of(boat)["runs"]
        for index, span in enumerate(run["spans_mm"])
    }


def plan_text(value, boat):
    return rounded(value, numbers(refit_of(boat).boat))


def tags_of(space):
    """Return tag -> entity of everything that carries one."""
    return {entity.get_xdata(APPID)[0].value: entity for entity in space if entity.has_xdata(APPID)}


def faults_of(doc, boat):
    """Return what a reader of the file finds at odds with the model: dimensions, runs, posts, edges, scales."""
    refit, report, wrong = refit_of(boat), report_of(boat), []
    drawn_in = numbers(refit.boat).mm
    tagged = tags_of(doc.modelspace())
    held = {run.run.id for run in refit.runs if run.work.refused}
    offsets = {}
    for tag, span in spans(boat).items():
        dimension = tagged.get(tag)
        if dimension is None:
            wrong.append(f"{tag} is missing")
            continue
        lettering = [text.dxf.text for text in doc.blocks.get(dimension.dxf.geometry).query("TEXT")]
        if dimension.dxf.text != plan_text(span, boat) or lettering != [dimension.dxf.text]:
            wrong.append(f"{tag} shows {dimension.dxf.text}, {lettering}")
        # It lies parallel to its span, at the same distance as its neighbours.
        _, name, number = tag.split(":")
        a, b = refit.placed.runs[name].points[int(number) - 1 : int(number) + 1]
        start, end = dimension.dxf.defpoint2 * drawn_in, dimension.dxf.defpoint3 * drawn_in
        along = ((b[0] - a[0]) / math.dist(a[:2], b[:2]), (b[1] - a[1]) / math.dist(a[:2], b[:2]))
        for point in (start, end):
            off = (point[0] - a[0]) * -along[1] + (point[1] - a[1]) * along[0]
            offsets.setdefault(name, []).append(off)
    wrong += [f"{name} is dimensioned at {offs}" for name, offs in offsets.items() if max(offs) - min(offs) > 1e-3]
    for run in refit.placed.runs.values():
        chain = tagged.get(f"run:{run.id}")
        if run.id in held:
            # Drawn hollow, as two lines on a layer of its own.
            if chain is None or chain.dxf.layer != "HOLD":
                wrong.append(f"run:{run.id} is not drawn as on hold")
            continue
        points = [] if chain is None else [tuple(vertex.dxf.location * drawn_in) for vertex in chain.vertices]
        if len(points) != len(run.points) or any(
            max(abs(p - q) for p, q in zip(a, b, strict=True)) > 1e-6 * drawn_in
            for a, b in zip(points, run.points, strict=True)
        ):
            wrong.append(f"run:{run.id} lies elsewhere")
    for post in refit.placed.posts.values():
        block = tagged.get(f"post:{post.id}")
        if block is None or max(abs(block.dxf.insert[k] * drawn_in - post.foot[k]) for k in (0, 1)) > 1e-6 * drawn_in:
            wrong.append(f"post:{post.id} stands elsewhere")
            continue
        stated = {attribute.dxf.tag: attribute.dxf.text for attribute in block.attribs}
        height = by_id(report["posts"])[post.id]["height_upper_mm"]
        # To a tenth of a millimetre, or to a hundredth of an inch on an inch boat.
        unit, mm, within = ("IN", 25.4, 0.128) if "HEIGHT_U_IN" in stated else ("MM", 1.0, 0.051)
        if stated["ID"] != post.id or abs(float(stated[f"HEIGHT_U_{unit}"]) * mm - height) > within:
            wrong.append(f"post:{post.id} says {stated}")
    for side in "SP":
        edge = tagged.get(f"edge:{side}")
        points = [] if edge is None else [(x, y) for x, y, *_ in edge.get_points()]
        if [(round(x, 6), round(y, 6)) for x, y in points] != [
            (round(x / drawn_in, 6), round(y / drawn_in, 6)) for x, y, _ in refit.boat.edge(side)
        ]:
            wrong.append(f"edge:{side} lies elsewhere")
    if (doc.header["$INSUNITS"], doc.header["$MEASUREMENT"]) != ((4, 1) if drawn_in == 1.0 else (1, 0)):
        wrong.append("not in the unit of the boat")
    layout_ = doc.layout(doc.layouts.names_in_taborder()[1])
    scales = {round(view.dxf.height / view.dxf.view_height, 9) for view in layout_.query("VIEWPORT") if view.dxf.id > 1}
    if scales != {round(view.scale, 9) for view in plan_of(boat).views}:
        wrong.append(f"viewports at {scales}")
    return wrong


def test_the_file_says_what_the_model_says(cad, boat):
    assert faults_of(cad, boat) == []


def test_audit_finds_no_error(cad):
    auditor = cad.audit()
    assert not auditor.errors
    assert not auditor.fixes


def test_ids_in_the_file_are_those_of_the_model(cad, boat):
    refit = refit_of(boat)
    wanted = {f"run:{run}" for run in refit.placed.runs} | {f"post:{post}" for post in refit.placed.posts}
    wanted |= {f"eye:{eye.id}" for eye in refit.boat.eyes} | set(spans(boat)) | {"edge:S", "edge:P"}
    kinds = ("run:", "post:", "eye:", "span:", "edge:")
    assert {tag for tag in tags_of(cad.modelspace()) if tag.startswith(kinds)} == wanted


def test_nothing_stands_on_layer_0(cad):
    for space in (cad.modelspace(), *cad.blocks):
        assert {entity.dxf.layer for entity in space if entity.dxftype() not in ("VIEWPORT", "ATTDEF")} - {
            "0"
        } or not len(space)
        assert all(entity.dxf.layer != "0" for entity in space)


MUTATIONS = {
    "a span moved": lambda doc, tags: setattr(
        tags["span:S-F-U:1"].dxf, "defpoint3", tags["span:S-F-U:1"].dxf.defpoint3 + ezdxf.math.Vec3(0.2, 0, 0)
    ),
    "a forged number": lambda doc, tags: setattr(tags["span:S-F-U:1"].dxf, "text", "1400"),
    "a dimension gone": lambda doc, tags: doc.modelspace().delete_entity(tags["span:S-F-U:2"]),
    "a run moved": lambda doc, tags: setattr(tags["run:S-F-U"].vertices[1].dxf, "location", (2500, 1007.8, 1692.5)),
    "a post moved": lambda doc, tags: setattr(tags["post:S-S1"].dxf, "insert", (2501, 965, 0)),
    "a forged attribute": lambda doc, tags: setattr(tags["post:S-S1"].attribs[0].dxf, "text", "S-S9"),
    "an edge moved": lambda doc, tags: tags["edge:S"].__setitem__(3, (2000, 881, 0, 0, 0)),
    "an inch header": lambda doc, tags: doc.header.__setitem__("$INSUNITS", 1),
    "a viewport at another scale": lambda doc, tags: [
        setattr(view.dxf, "view_height", view.dxf.view_height * 1.01)
        for view in doc.layout(doc.layouts.names_in_taborder()[1]).query("VIEWPORT")
    ],
}


@pytest.mark.parametrize("mutation", MUTATIONS)
def test_each_mutation_is_caught(mutation):
    doc = file_of("saltwhin-31")
    assert faults_of(doc, "saltwhin-31") == []
    MUTATIONS[mutation](doc, tags_of(doc.modelspace()))
    assert faults_of(doc, "saltwhin-31") != []


def test_no_layout_fault(sheet):
    found = layout(sheet)
    print(f"{sheet.name}: {len(found.faults)} faults, {len(found.allowed)} allowed")
    assert found.faults == ()
    assert len(found.allowed) == 0


def test_every_hole_has_its_sign_and_every_post_its_label(sheet, boat):
    refit = refit_of(boat)
    svg = ET.fromstring(svg_bytes(sheet))
    tags = {element.get("data-tag") for element in svg.iter() if element.get("data-tag")}
    assert {f"sign:{hole}" for hole in refit.placed.lines_in_holes} <= tags
    assert {f"label:{post}" for post in refit.placed.posts} <= tags
    assert {f"posts:{post}:post" for post in refit.placed.posts} <= tags


def test_the_100_mm_bar_is_100_mm(sheet):
    svg = ET.fromstring(svg_bytes(sheet))
    assert svg.get("width") == f"{sheet.width:g}mm"
    assert svg.get("viewBox") == f"0 0 {sheet.width:g} {sheet.height:g}"
    bar = next(element for element in svg.iter() if element.get("data-tag") == "bar:100")
    assert float(bar.get("x2")) - float(bar.get("x1")) == pytest.approx(100.0, abs=5e-4)
    with pdfplumber.open(io.BytesIO(pdf_bytes((sheet,), title="t"))) as pdf:
        page = pdf.pages[0]
        assert float(page.width) / 72 * 25.4 == pytest.approx(sheet.width, abs=1e-3)
        lengths = [abs(line["x1"] - line["x0"]) / 72 * 25.4 for line in page.lines if line["y0"] == line["y1"]]
        assert any(length == pytest.approx(100.0, abs=1e-3) for length in lengths)


def test_cells_show_the_model_at_the_printed_precision(sheet, boat):
    cells = texts_of([sheet])
    for post in some(report_of(boat)["posts"]):
        key, placed = f"posts:{post['id']}", refit_of(boat).placed.posts[post["id"]]
        for axis, value in zip("xyz", placed.spec.foot, strict=True):
            assert cells[f"{key}:foot_{axis}_mm"] == plan_text(value, boat)
        assert cells[f"{key}:height_upper_mm"] == plan_text(post["height_upper_mm"], boat)
        assert float(cells[f"{key}:lean_out_deg"]) == pytest.approx(math.degrees(placed.spec.lean), abs=0.0501)


def test_an_independent_reader_finds_every_value_in_the_plain_file(sheet, boat, tmp_path):
    """GDAL's command line lists all lettering of the exploded flavour."""
    assert shutil.which("ogrinfo"), "the outside reader of DXF files is missing: install gdal-bin"
    path = tmp_path / "plain.dxf"
    path.write_bytes(dxf_bytes(sheet, "plain"))
    done = subprocess.run(["ogrinfo", "-al", "-q", str(path)], capture_output=True, text=True, check=True)
    lettering = set(re.findall(r"Text \(String\) = (.*)", done.stdout))
    for span in spans(boat).values():
        assert plan_text(span, boat) in lettering
    assert "GUARD LINE (LIFELINE) - NOT A HARNESS ATTACHMENT" in lettering
    assert {post["id"] for post in report_of(boat)["posts"]} <= lettering


def test_a_tape_that_disagrees_is_flagged_between_its_ends(sheet, boat):
    """A tape goes from hole to hole; it disagrees where it is further off the coordinates than the limit."""
    stated = refit_of(boat).boat
    places = {f"{post.id}-{level}": hole_at(post, level) for post in stated.posts for level in post.holes}
    places |= {eye.id: eye.at for eye in stated.eyes}
    apart = [t for t in stated.tapes if abs(t.length - math.dist(places[t.start], places[t.end])) > closure_limit()]
    flagged = {item.text for item in sheet.items if isinstance(item, Text) and item.tag.startswith("item:")}
    for tape in apart:
        number = next(one.number for one in open_items(refit_of(boat)) if set(one.places) == {tape.start, tape.end})
        assert str(number) in flagged
    assert len(apart) == (1 if boat == "saltwhin-31" else 0)


def test_every_rail_eye_stands_in_the_table_with_its_coordinates(sheet, boat):
    cells = texts_of([sheet])
    for eye in some(refit_of(boat).boat.eyes):
        assert cells[f"eyes:{eye.id}:eye"] == eye.id
        for axis, value in zip("xyz", eye.at, strict=True):
            assert cells[f"eyes:{eye.id}:{axis}"] == plan_text(value, boat)


def test_gates_show_their_clear_opening():
    for name, gate in some((boat, one) for boat in NAMES for one in refit_of(boat).boat.gates):
        worked_out = refit_of(name)
        a, b = (worked_out.boat.post(name) for name in gate.posts)
        level = "U" if "U" in a.holes else "L"
        tubes = [worked_out.boat.tubes[post.tube].od for post in (a, b)]
        clear = math.dist(hole_at(a, level), hole_at(b, level)) - sum(tubes) / 2.0
        drawn = {
            item.tag: item.text for view in plan_of(name).views for item in view.items if isinstance(item, Dimension)
        }
        assert drawn[f"clear:{gate.id}"] == plan_text(clear, name)


def test_the_boat_takes_most_of_the_sheet(sheet, boat):
    """The hull is at least three quarters of the frame wide."""
    view, (low, high, _, _) = sheet.views[0], extent(refit_of(boat))
    share = (high - low) * view.scale / sheet.frame.width
    print(f"{boat}: hull {100.0 * share:.0f} % of the frame's width at 1:{1.0 / view.scale:g} on {sheet.width:g} mm")
    # Between two of the usual scales a boat can be smaller than that.
    assert (0.75 if boat in ("saltwhin-31", "pipwing-25") else 0.58) <= share <= 0.88


def test_stanchions_without_room_are_referred_to_their_schedule():
    many = next(refit for refit in map(random_refit, range(60)) if len(refit.placed.posts) >= 20)
    draft = deck_plan(many)[0]
    said = {item.text for item in draft.items if isinstance(item, Text)}
    stood = any(item.tag == "posts:S-S1:post" for item in draft.items if isinstance(item, Text))
    assert stood or "Stanchion feet and line heights: sheet G4" in said


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25"])
def test_no_line_of_the_grid_runs_through_the_words_of_sides_and_bow(name):
    (sheet,) = sheets_by(deck_plan, refit_of(name))
    (view,) = sheet.views
    words = [one for one in view.items if isinstance(one, Text) and one.text in ("STARBOARD", "PORT", "BOW")]
    grid = [one for one in view.items if isinstance(one, Line) and one.layer == "UNDERLAY"]
    assert len(words) == 3
    assert grid
    for word in words:
        low = word.at[1] * view.scale - (0.5 * word.height if word.upright == "middle" else 0.0)
        left, wide = word.at[0] * view.scale, width(word.text, word.height, word.weight)
        for line in (one for one in grid if one.start[0] == one.end[0]):
            x, (start, end) = line.start[0] * view.scale, (at[1] * view.scale for at in (line.start, line.end))
            assert not (left < x < left + wide and start < low + word.height and end > low), word.text
