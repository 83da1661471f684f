"""The check sheet of a deck plan: what was read stands over what the plan has drawn, each with its name."""

from __future__ import annotations

import io
import math

import ezdxf
import pdfplumber
import pytest
from typer.testing import CliRunner

from geom.cli.app import app
from geom.figure import Circle, Dimension, Polyline, Text
from geom.intake.deck_plan.drawing import read_drawing
from geom.intake.deck_plan.mapping import read_mapping
from geom.intake.deck_plan.reading import read_plan
from geom.render.faults import layout
from geom.render.pdf import pdf_bytes
from geom.sheets.plan_check.sheet import plan_check
from tests.plan_drawings import drawn
from tests.some import some
from tests.survey_boats import boat
from tests.test_intake_deckplan import mapping

MAPPING = """format: 1
units: {{length: {units}}}
axis: {{stem: {{layer: REF}}, aft: [{x!r}, {y!r}], aft_x: 9000 mm}}
posts: {{block: post, name: ID}}
eyes: {{layer: eyes, name: ID}}
deck_edge: {{layer: EDGE}}
"""


def checked(unit="mm", bow="left", name="saltwhin-31", units="mm", more=None, **kinds):
    """Return the plan, its reading and the check sheets; `more` draws on the plan before it is read."""
    data, aft = drawn(boat(name), unit, bow, **kinds)
    if more is not None:
        document = ezdxf.read(io.StringIO(data.decode()))
        more(document)
        text = io.StringIO()
        document.write(text)
        data = text.getvalue().encode()
    drawing = read_drawing(data, "plan.dxf")
    reading = read_plan(drawing, mapping(aft, "mirrored: true" if kinds.get("mirrored") else ""))
    return drawing, reading, plan_check(drawing, reading, "SALTWHIN 31", units)


def marks(view):
    return {item.tag: item.centre for item in view.items if isinstance(item, Circle) and item.tag}


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25"])
@pytest.mark.parametrize(("unit", "bow", "units"), [("mm", "left", "mm"), ("in", "askew", "in"), ("m", "top", "mm")])
def test_no_layout_fault_and_everything_named_once(name, unit, bow, units):
    _, reading, sheets = checked(unit, bow, name, units)
    for sheet in some(sheets):
        assert layout(sheet).faults == ()
    names = [item.text for item in sheets[0].items if isinstance(item, Text) and item.tag.startswith("name:")]
    for point in some(reading.points):
        assert names.count(point.id) == 1
    assert {"STEM, X 0", "AFT POINT"} <= set(names)


@pytest.mark.parametrize(("unit", "bow", "mirrored"), [("mm", "left", 0), ("in", "askew", 0), ("m", "right", 1)])
def test_marks_stand_over_the_symbols_of_the_plan(unit, bow, mirrored):
    """Each symbol of a post is a circle of 12 mm in the plan: its grey circle lies round the mark of that post."""
    _, _, sheets = checked(unit, bow, mirrored=bool(mirrored))
    (view,) = sheets[0].views
    grey = [item.points for item in view.items if isinstance(item, Polyline) and item.layer == "UNDERLAY"]
    found = marks(view)
    for post in some(boat().posts):
        at = found[f"post:{post.id}"]
        assert at == pytest.approx(post.foot[:2], abs=0.1)
        rounds = [chain for chain in grey if all(abs(math.dist(point, at) - 12.0) < 0.2 for point in chain)]
        assert len(rounds) == 1, post.id
    for eye in some(boat().eyes):
        assert found[f"eye:{eye.id}"] == pytest.approx(eye.at[:2], abs=0.1)
    for side in ("S", "P"):
        (edge,) = (item.points for item in view.items if getattr(item, "tag", "") == f"edge:{side}")
        for one, other in some(zip(edge, boat().edge(side), strict=True)):
            assert one == pytest.approx(other[:2], abs=0.1)


def test_the_measured_distance_is_dimensioned_to_scale():
    _, reading, sheets = checked("in", "askew")
    (view,) = sheets[0].views
    (dimension,) = (item for item in view.items if isinstance(item, Dimension))
    assert math.dist(dimension.start, dimension.end) == pytest.approx(9000.0, abs=0.01)
    assert reading.drawn_aft == pytest.approx(9000.0, abs=0.01)
    texts = [item.text for item in sheets[0].items if isinstance(item, Text)]
    assert "Stem to aft point: drawn 9000.0 mm, measured on board 9000.0 mm, 0.0 mm apart." in texts


def test_what_was_not_read_is_grey_and_has_no_name():
    """A post on a layer that the mapping does not name, and one that nobody sees: the one is grey, the other is not."""

    def more(document):
        space = document.modelspace()
        space.add_circle((1234.5 + 5000.0, -876.0 + 1400.0), 12.0, dxfattribs={"layer": "FORGOTTEN"})
        document.layers.add("OLD").freeze()
        space.add_circle((1234.5 + 3000.0, -876.0 + 900.0), 12.0, dxfattribs={"layer": "OLD"})
        space.add_text("MAST")

    _, reading, sheets = checked(more=more)
    (view,) = sheets[0].views
    grey = [item.points for item in view.items if isinstance(item, Polyline) and item.layer == "UNDERLAY"]

    def drawn_round(at):
        return sum(all(abs(math.dist(point, at) - 12.0) < 0.2 for point in chain) for chain in grey)

    assert drawn_round((5000.0, 1400.0)) == 1
    assert drawn_round((3000.0, 900.0)) == 0
    assert all(math.dist(at, (5000.0, 1400.0)) > 100.0 for at in some(marks(view).values()))
    texts = [item.text for sheet in sheets for item in sheet.items if isinstance(item, Text)]
    assert "Not shown of the plan: 1 TEXT." in texts
    assert "Notes on the reading, on the next sheet: 1." in texts
    assert reading.notes[0] in " ".join(texts)


def test_letters_that_the_font_lacks_are_question_marks():
    """A layer and a file with names in another script."""
    data, aft = drawn(boat(), "mm", "left")
    named = data.replace(b"EYES", "\u7532\u677f".encode())
    drawing = read_drawing(named, "\u7532.dxf")
    stated = MAPPING.format(units="mm", x=aft[0], y=aft[1]).replace("eyes: {layer: eyes", "eyes: {layer: \u7532\u677f")
    sheets = plan_check(drawing, read_plan(drawing, read_mapping(stated.encode(), "mapping")))
    assert len(pdf_bytes(sheets, title="Deck plan as read")) > 10_000
    texts = [item.text for sheet in sheets for item in sheet.items if isinstance(item, Text)]
    assert "?.dxf" in texts
    assert any(text.endswith("on layer ??") for text in texts)


def test_nothing_goes_over_the_edge_of_the_view():
    """A side view and a frame elsewhere in the drawing are cut off."""

    def more(document):
        document.modelspace().add_lwpolyline([(-9e4, -9e4), (9e4, -9e4), (9e4, 9e4), (-9e4, 9e4), (9e4, -8e4)])

    _, _, sheets = checked(more=more)
    (view,) = sheets[0].views
    scale, (x0, y0) = view.scale, view.origin
    for item in some([item for item in view.items if isinstance(item, Polyline)]):
        for x, y in some(item.points):
            assert view.window.left - 0.01 <= x0 + x * scale <= view.window.right + 0.01
            assert view.window.bottom - 0.01 <= y0 + y * scale <= view.window.top + 0.01


def test_the_command_writes_it_beside_the_boat_file(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    data, aft = drawn(boat(), "mm", "left")
    (tmp_path / "plan.dxf").write_bytes(data)
    (tmp_path / "mapping.yaml").write_text(MAPPING.format(units="mm", x=aft[0], y=aft[1]))
    arguments = ["new", "--plan", "plan.dxf", "--mapping", "mapping.yaml", "--to", "ours.yaml"]
    assert CliRunner().invoke(app, arguments).exit_code == 0
    check, file = tmp_path / "ours-plan-check.pdf", tmp_path / "ours.yaml"
    with pdfplumber.open(check) as pdf:
        first, second = (page.extract_text() for page in pdf.pages)
    for post in some(boat().posts):
        assert post.id in first and post.id in second
        assert f"{post.foot[0]:.1f}" in second
    drawing = read_drawing(data, "plan.dxf")
    sheets = plan_check(drawing, read_plan(drawing, mapping(aft)))
    assert pdf_bytes(sheets, title="Deck plan as read") == check.read_bytes()
    # Neither is replaced unasked, and nothing is written where one of them is there.
    file.unlink()
    refused = CliRunner().invoke(app, arguments)
    assert refused.exit_code == 2 and not file.exists()
    assert CliRunner().invoke(app, [*arguments, "--replace"]).exit_code == 0
    assert file.exists()
