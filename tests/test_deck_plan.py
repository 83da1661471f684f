"""Sheet 1 read back from its written files: every dimension, id and cell against the model; layout faults."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from itertools import pairwise

import ezdxf
import pdfplumber
import pytest

from geom.drafting.sheet import finish
from geom.figure import Dimension, Rect, Text
from geom.intake.survey.closure import closure_limit
from geom.render.dxf import dxf_bytes
from geom.render.faults import layout
from geom.render.pdf import pdf_bytes
from geom.render.svg import svg_bytes
from geom.sheets.deck_plan.tables import plan_tables, tables_shown
from geom.sheets.line_sheets.run_cards import run_cards
from geom.tables import numbers
from tests.boats import NAMES, by_id, refit_of, report_of
from tests.made import dxf_of, set_of
from tests.post_reference import hole_at
from tests.sheet_texts import shows, texts_of
from tests.some import some

APPID = "TOERAIL"


@pytest.fixture(scope="module", params=NAMES)
def boat(request):
    return request.param


@pytest.fixture(scope="module")
def sheet(boat):
    return set_of(boat)[0]


@pytest.fixture(scope="module")
def cad(boat):
    return ezdxf.read(io.StringIO(dxf_of(boat, 0).decode("utf-8")))


def spans(boat):
    """Return the spans of each side's highest line by the tag of their dimension."""
    runs = report_of(boat)["runs"]
    highest = {side: min((run["level"] for run in runs if run["side"] == side), key="UML".index) for side in "SP"}
    return {
        f"span:{run['id']}:{index + 1}": span
        for run in runs
        if run["level"] == highest[run["side"]]
        for index, span in enumerate(run["spans_mm"])
    }


def tags_of(space):
    """Return tag -> entity of everything that carries one."""
    return {entity.get_xdata(APPID)[0].value: entity for entity in space if entity.has_xdata(APPID)}


def faults_of(doc, boat):
    """Return what a reader of the file finds at odds with the model: dimensions, runs, posts, edges, scales."""
    refit, report, wrong = refit_of(boat), report_of(boat), []
    tagged = tags_of(doc.modelspace())
    per_unit = numbers(refit.boat).mm
    for tag, span in spans(boat).items():
        dimension = tagged.get(tag)
        if dimension is None:
            wrong.append(f"{tag} is missing")
            continue
        shown = dimension.get_measurement() * doc.dimstyles.get(dimension.dxf.dimstyle).dxf.dimlfac
        if abs(shown * per_unit - span) > 0.05:
            wrong.append(f"{tag} measures {shown * per_unit}")
        lettering = [text.dxf.text for text in doc.blocks.get(dimension.dxf.geometry).query("TEXT")]
        if (
            dimension.dxf.get("text", "<>") not in ("", "<>", "<>*")
            or abs(float(lettering[0].removesuffix("*")) * per_unit - span) > 0.6 * per_unit
        ):
            wrong.append(f"{tag} shows {lettering}")
    for run in refit.placed.runs.values():
        chain = tagged.get(f"run:{run.id}")
        points = [] if chain is None else [tuple(vertex.dxf.location) for vertex in chain.vertices]
        if len(points) != len(run.points) or any(
            max(abs(p - q) for p, q in zip(a, b, strict=True)) > 1e-6 for a, b in zip(points, run.points, strict=True)
        ):
            wrong.append(f"run:{run.id} lies elsewhere")
    for post in refit.placed.posts.values():
        block = tagged.get(f"post:{post.id}")
        if block is None or max(abs(block.dxf.insert[k] - post.foot[k]) for k in (0, 1)) > 1e-6:
            wrong.append(f"post:{post.id} stands elsewhere")
            continue
        stated = {attribute.dxf.tag: attribute.dxf.text for attribute in block.attribs}
        height = by_id(report["posts"])[post.id]["height_upper_mm"]
        if stated["ID"] != post.id or abs(float(stated["HEIGHT_U_MM"]) - height) > 0.051:
            wrong.append(f"post:{post.id} says {stated}")
    for side in "SP":
        edge = tagged.get(f"edge:{side}")
        points = [] if edge is None else [(x, y) for x, y, *_ in edge.get_points()]
        if [(round(x, 6), round(y, 6)) for x, y in points] != [
            (round(x, 6), round(y, 6)) for x, y, _ in refit.boat.edge(side)
        ]:
            wrong.append(f"edge:{side} lies elsewhere")
    if doc.header["$INSUNITS"] != 4 or doc.header["$MEASUREMENT"] != 1:
        wrong.append("not in millimetres")
    layout_ = doc.layout(doc.layouts.names_in_taborder()[1])
    scales = {round(view.dxf.height / view.dxf.view_height, 9) for view in layout_.query("VIEWPORT") if view.dxf.id > 1}
    if scales != {round(view.scale, 9) for view in set_of(boat)[0].views}:
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
    "a scaled dimension style": lambda doc, tags: setattr(
        doc.dimstyles.get(tags["span:S-F-U:1"].dxf.dimstyle).dxf, "dimlfac", 1.001
    ),
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
    doc = ezdxf.read(io.StringIO(dxf_of("saltwhin-31", 0).decode("utf-8")))
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
    assert {f"height:{hole.id}" for _, hole in refit.placed.holes()} <= tags
    for schedule, ids in (
        ("runs", refit.placed.runs),
        ("posts", refit.placed.posts),
        ("holes", refit.placed.lines_in_holes),
    ):
        assert {f"{schedule}:{row}:{schedule[:-1]}" for row in ids} <= tags


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
    report, fmt = report_of(boat), numbers(refit_of(boat).boat)
    svg = ET.fromstring(svg_bytes(sheet))
    cells = {element.get("data-tag"): "".join(element.itertext()) for element in svg.iter() if element.get("data-tag")}
    for run in some(report["runs"]):
        assert float(cells[f"runs:{run['id']}:path_mm"]) * fmt.mm == pytest.approx(
            run["path_mm"], abs=0.51 * fmt.mm / 10**fmt.decimals
        )
    for post in report["posts"]:
        shown = float(cells[f"posts:{post['id']}:height_upper_mm"]) * fmt.mm
        assert shown == pytest.approx(post["height_upper_mm"], abs=0.51 * fmt.mm / 10**fmt.decimals)
    for hole in report["holes"]:
        if hole["run"] is not None:
            assert float(cells[f"holes:{hole['id']}:clocking_deg"]) == pytest.approx(hole["clocking_deg"], abs=0.051)
            assert cells[f"holes:{hole['id']}:eye"] == hole["eye"]["verdict"]


def test_an_independent_reader_finds_every_value_in_the_plain_file(sheet, boat, tmp_path):
    """GDAL's command line lists all lettering of the exploded flavour."""
    assert shutil.which("ogrinfo"), "the outside reader of DXF files is missing: install gdal-bin"
    path = tmp_path / "plain.dxf"
    path.write_bytes(dxf_bytes(sheet, "plain"))
    done = subprocess.run(["ogrinfo", "-al", "-q", str(path)], capture_output=True, text=True, check=True)
    lettering = set(re.findall(r"Text \(String\) = (.*)", done.stdout))
    fmt = numbers(refit_of(boat).boat)
    for span in spans(boat).values():
        assert {f"{span / fmt.mm:.{fmt.decimals}f}", f"{span / fmt.mm:.{fmt.decimals}f}*"} & lettering
    for schedule in ("STANCHIONS", "HOLES", "RUNS"):
        assert any(text.startswith(schedule) for text in lettering)
    assert "GUARD LINE (LIFELINE) - NOT A HARNESS ATTACHMENT" in lettering
    assert {post["id"] for post in report_of(boat)["posts"]} <= lettering


def starred_spans(sheet):
    """Return the tags of the span dimensions whose number carries a star."""
    items = [item for view in sheet.views for item in view.items if isinstance(item, Dimension)]
    return {item.tag for item in items if item.tag.startswith("span:") and "*" in item.text}


def test_spans_whose_tape_disagrees_carry_a_star_and_a_note(sheet, boat):
    """A tape goes from hole to hole; it disagrees where it is further off the coordinates than the limit."""
    stated, wanted = refit_of(boat).boat, set()
    places = {f"{post.id}-{level}": hole_at(post, level) for post in stated.posts for level in post.holes}
    places |= {eye.id: eye.at for eye in stated.eyes}
    apart = [t for t in stated.tapes if abs(t.length - math.dist(places[t.start], places[t.end])) > closure_limit()]
    for run in refit_of(boat).placed.runs.values():
        for index, pair in enumerate(pairwise(run.names)):
            ends = {name if name in places else f"{name}-{run.level}" for name in pair}
            if any(ends == {tape.start, tape.end} for tape in apart):
                wanted.add(f"span:{run.id}:{index + 1}")
    assert starred_spans(sheet) == wanted & spans(boat).keys()
    assert len(wanted) == (1 if boat == "saltwhin-31" else len(apart))
    notes = " ".join(item.text for item in sheet.items if isinstance(item, Text))
    for tape in apart:
        assert f"Tape {tape.start} to {tape.end}: {tape.length:.1f}" in notes


def test_every_rail_eye_stands_in_the_table_with_its_coordinates(sheet, boat):
    fmt, cells = numbers(refit_of(boat).boat), texts_of([sheet])
    finer = fmt.decimals + (fmt.unit == "in")
    for eye in some(refit_of(boat).boat.eyes):
        assert cells[f"eyes:{eye.id}:eye"] == eye.id
        for axis, value in zip("xyz", eye.at, strict=True):
            assert shows(cells[f"eyes:{eye.id}:{axis}"], value / fmt.mm, finer)


def test_gates_show_their_clear_opening():
    for name, gate in some((boat, one) for boat in NAMES for one in refit_of(boat).boat.gates):
        worked_out, cells = refit_of(name), texts_of(set_of(name)[:1])
        fmt = numbers(worked_out.boat)
        a, b = (worked_out.boat.post(name) for name in gate.posts)
        level = "U" if "U" in a.holes else "L"
        tubes = [worked_out.boat.tubes[post.tube].od for post in (a, b)]
        clear = math.dist(hole_at(a, level), hole_at(b, level)) - sum(tubes) / 2.0
        assert shows(cells[f"gate:{gate.id}"].removeprefix("GATE "), clear / fmt.mm, fmt.decimals)


def test_cut_lengths_are_those_of_the_run_cards(sheet, boat):
    worked_out = refit_of(boat)
    cards = texts_of([finish(worked_out, draft, 1) for draft in run_cards(worked_out)])
    cells = texts_of([sheet])
    for run in some(worked_out.placed.runs):
        card = cards.get(f"cut:{run}", "")
        assert cells[f"runs:{run}:cut_mm"] == (card if card[:1].isdigit() else "-"), run


def test_a_sheet_without_room_names_where_its_tables_stand():
    worked_out = refit_of("saltwhin-31")
    assert tables_shown(worked_out, 1000.0, 175.0) == ("posts", "eyes", "holes", "runs")
    shown = tables_shown(worked_out, 170.0, 175.0)
    assert shown == ("posts", "eyes", "runs")
    said = [item.text for item in plan_tables(worked_out, Rect(0, 0, 175, 170), shown) if isinstance(item, Text)]
    assert said == ["HOLES: on the post schedule"]
    assert tables_shown(worked_out, 20.0, 175.0) is None
