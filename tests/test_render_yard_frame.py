"""A yard's own frame in the DXF sheets: its block set on the layout with our title fields; an unfit one is refused."""

from __future__ import annotations

import io
import json
from dataclasses import replace

import ezdxf
import pytest
from typer.testing import CliRunner

from geom.cli import app
from geom.drafting.title_block import clear_space
from geom.errors import InputError
from geom.figure import Block
from geom.package import drawing_files
from geom.render.dxf import dxf_bytes
from geom.render.dxf_frame import YardFrame
from geom.render.formats import FORMATS
from geom.render.svg import svg_bytes
from geom.resources import template_bytes
from geom.rules.cautions import SHEET_CAUTION
from geom.sheets import drawing_set
from geom.words import worded
from tests.boats import BOATS, drawn, refit_of
from tests.made import set_of
from tests.make_frame_template import TEMPLATE, template
from tests.some import some

YARD = YardFrame("yard-frame.dxf", template_bytes("frames/yard-frame.dxf"))


def read(data: bytes):
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


def changed(change) -> YardFrame:
    """Return the template with its A3 block changed."""
    doc = ezdxf.read(io.StringIO(YARD.data.decode("cp1252")))
    change(doc, doc.blocks.get("YARD-FRAME-A3"))
    stream = io.StringIO()
    doc.write(stream)
    return YardFrame("changed.dxf", stream.getvalue().encode("cp1252"))


@pytest.fixture(scope="module")
def sheet():
    sheets = set_of("first-try")
    return next(sheet for sheet in sheets if sheet.views and dict(sheet.border.fields)["PAPER"] == "A3")


def layout_of(doc):
    return next(layout for layout in doc.layouts if not layout.is_modelspace)


def frame_of(doc):
    (insert,) = [e for e in layout_of(doc).query("INSERT") if e.dxf.name.startswith("YARD-FRAME")]
    return insert


def test_the_committed_template_is_what_its_program_draws():
    assert template() == TEMPLATE.read_bytes()


@pytest.mark.parametrize(("name", "series"), [("saltwhin-31", "ISO"), ("pipwing-25", "ANSI")])
def test_every_sheet_says_its_title_fields_in_the_yards_attributes(name, series):
    worked_out = drawn(name, "third", series)
    sheets = drawing_set(worked_out)
    for sheet in some(sheets):
        doc = read(dxf_bytes(sheet, "cad", {}, YARD))
        insert = frame_of(doc)
        said = {attribute.dxf.tag: attribute.dxf.text for attribute in insert.attribs}
        fields = dict(sheet.border.fields)
        assert said == {"PROJECTION": "", **fields}
        assert insert.dxf.name == f"YARD-FRAME-{fields['PAPER'].replace(' ', '-')}"
        assert (fields["SHEETS"], fields["NUMBER"]) == (str(len(sheets)), sheet.keywords[0][1])
        assert fields["DATE"] == worked_out.boat.revision.date
        assert not doc.audit().errors


def block_of(sheet):
    (block,) = (item for item in sheet.items[: sheet.border.items] if isinstance(item, Block))
    return block


def test_the_fields_are_what_our_own_block_says(sheet):
    """Everything that our title block letters as a value stands in the fields as well."""
    ours = [item.text for item in block_of(sheet).items if getattr(item, "tag", "").startswith("title:")]
    fields = dict(sheet.border.fields)
    boat, _, own = fields["TITLE"].partition(": ")
    assert len(ours) >= 10 and set(ours) <= {*fields.values(), boat, own.upper()}
    assert dict(block_of(sheet).attributes) == fields


def test_ours_is_gone_and_the_rest_stays(sheet):
    before, after = (read(dxf_bytes(sheet, "cad", {}, yard)) for yard in (None, YARD))
    drawn_before, drawn_after = ([e.dxf.text for e in layout_of(d).query("TEXT")] for d in (before, after))
    assert worded(SHEET_CAUTION) in drawn_after
    blocks = [{insert.dxf.name for insert in layout_of(d).query("INSERT")} for d in (before, after)]
    assert "TITLE-BLOCK" in blocks[0] and "TITLE-BLOCK" not in blocks[1]
    border = {item.text for item in sheet.items[: sheet.border.items] if hasattr(item, "text")}
    assert set(drawn_before) - border <= set(drawn_after) <= set(drawn_before)
    assert not [e for e in layout_of(after).query("LWPOLYLINE") if e.dxf.layer == "GRID"]
    shapes = [[(e.dxftype(), e.dxf.layer) for e in d.modelspace()] for d in (before, after)]
    assert shapes[0] == shapes[1] and len(shapes[0]) > 50
    assert [v.dxf.view_height for v in layout_of(before).query("VIEWPORT")] == [
        v.dxf.view_height for v in layout_of(after).query("VIEWPORT")
    ]


def test_attributes_stand_in_the_yards_cells_and_its_layers_come_along(sheet):
    doc = read(dxf_bytes(sheet, "cad", {"FRAME": "A-BORDER"}, YARD))
    insert = frame_of(doc)
    cells = {e.dxf.tag: tuple(e.dxf.insert.vec2) for e in doc.blocks.get(insert.dxf.name).attdefs()}
    assert {a.dxf.tag: pytest.approx(tuple(a.dxf.insert.vec2)) for a in insert.attribs} == cells
    assert insert.dxf.layer == "A-BORDER"
    assert {"YARD-FRAME", "YARD-TITLE", "A-BORDER"} <= {layer.dxf.name for layer in doc.layers}
    assert doc.styles.get("YARD").dxf.font == "arial.ttf"


def test_a_frame_in_inches_is_set_at_its_size(sheet):
    def inches(doc, block):
        doc.header["$INSUNITS"] = 1
        for entity in block:
            entity.scale(*[1.0 / 25.4] * 3) if entity.dxftype() != "ATTDEF" else entity.transform(
                ezdxf.math.Matrix44.scale(1.0 / 25.4)
            )

    insert = frame_of(read(dxf_bytes(sheet, "cad", {}, changed(inches))))
    assert insert.dxf.xscale == insert.dxf.yscale == 25.4
    owner = next(a for a in insert.attribs if a.dxf.tag == "OWNER")
    assert tuple(owner.dxf.insert.vec2) == pytest.approx((231.0, 10.0 + 23.5 + 1.4))
    assert owner.dxf.height == pytest.approx(2.5)


def test_the_yards_own_attributes_keep_their_text(sheet):
    one = changed(lambda doc, block: block.add_attdef("CLIENT", (400.0, 5.0), "to be named", height=2.5))
    said = {a.dxf.tag: a.dxf.text for a in frame_of(read(dxf_bytes(sheet, "cad", {}, one))).attribs}
    assert (said["CLIENT"], said["PAPER"]) == ("to be named", "A3")


def drop(*tags):
    def change(doc, block):
        for entity in [e for e in block.attdefs() if e.dxf.tag in tags]:
            block.delete_entity(entity)

    return change


def rename(name):
    return lambda doc, block: doc.blocks.rename_block("YARD-FRAME-A3", name)


def unit(value):
    return lambda doc, block: doc.header.__setitem__("$INSUNITS", value)


def line(start, end):
    return lambda doc, block: block.add_line(start, end)


def moved_base(doc, block):
    block.block.dxf.base_point = (-100.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (drop("SCALE"), r"an attribute is missing .*lacks SCALE\) - valid: a block with OWNER, TITLE, NUMBER"),
        (drop("SCALE", "DATE", "TITLE"), "lacks TITLE, DATE, SCALE"),
        (rename("SOMETHING"), "no block for paper A3 .*valid: one block whose name ends in A3: FRAME-A3"),
        (rename("FRAMEA3"), "no block for paper A3"),
        (lambda doc, block: doc.blocks.new("OTHER A3"), "more than one block for paper A3"),
        (unit(0), "the drawing unit is not stated"),
        (unit(6), "the drawing unit is not stated"),
        (unit(1), "not drawn for this paper"),
        (line((0, 0), (500, 0)), "not drawn for this paper"),
        (moved_base, "not drawn for this paper"),
        (line((20, 150), (410, 150)), r"crosses the drawing space.*from \(20, 150\)"),
        (line((200, 10), (200, 40)), "crosses the drawing space"),
        (lambda doc, block: block.add_circle((120, 200), 30), "crosses the drawing space"),
        (lambda doc, block: block.add_text("APPROVED").set_placement((100, 100)), "crosses the drawing space"),
    ],
)  # fmt: skip
def test_a_frame_that_does_not_fit_is_refused(sheet, change, message):
    assert dict(sheet.border.fields)["PAPER"] == "A3"
    with pytest.raises(InputError, match=message) as error:
        dxf_bytes(sheet, "cad", {}, changed(change))
    assert error.value.source == "changed.dxf"


def test_the_projection_is_required_where_the_sheet_states_it():
    sheets = drawing_set(drawn("saltwhin-31", "third"))
    card = next(sheet for sheet in sheets if "PROJECTION" in dict(sheet.border.fields))
    without = changed(drop("PROJECTION"))
    assert frame_of(read(dxf_bytes(sheets[0], "cad", {}, without)))
    with pytest.raises(InputError, match="lacks PROJECTION"):
        dxf_bytes(card, "cad", {}, without)


@pytest.mark.parametrize("data", [b"", b"not a drawing", b"\x00\x01" * 100, b"0\nSECTION\n"])
def test_what_is_no_dxf_is_refused(sheet, data):
    with pytest.raises(InputError, match=r"^junk\.dxf: (not readable as DXF|broken DXF|no block for paper A3)"):
        dxf_bytes(sheet, "cad", {}, YardFrame("junk.dxf", data))


def test_only_the_cad_files_carry_it(sheet):
    assert dxf_bytes(sheet, "plain", {}, YARD) == dxf_bytes(sheet, "plain")
    assert dxf_bytes(replace(sheet, border=None), "cad", {}, YARD) == dxf_bytes(sheet, "cad")
    assert dxf_bytes(sheet, "cad", {}, YARD) == dxf_bytes(sheet, "cad", {}, YardFrame(YARD.source, bytes(YARD.data)))
    stated = refit_of("first-try")
    ours, theirs = (drawing_files(stated, lambda _: None, tuple(FORMATS), yard) for yard in (None, YARD))
    differ = {name for name in ours if ours[name] != theirs[name]}
    assert differ == {name for name in ours if name.endswith(".dxf") and "plain" not in name}
    assert b"Drawing number" in svg_bytes(sheet)


def test_our_own_frame_leaves_the_space_clear(sheet):
    """The space that a yard's frame must leave is one that our own frame and block leave."""
    rooms = clear_space(sheet.frame)
    assert rooms
    block = block_of(sheet)
    places = [item.at for item in sheet.items[: sheet.border.items] if hasattr(item, "text")]
    places += [(block.at[0] + item.at[0], block.at[1] + item.at[1]) for item in block.items if hasattr(item, "text")]
    for x, y in some(places):
        assert not any(r.left < x < r.right and r.bottom < y < r.top for r in rooms)


def test_the_command_takes_a_frame_and_says_so_in_the_manifest(tmp_path):
    boat = str(BOATS / "first-try.yaml")
    run = CliRunner().invoke(app, ["draw", boat, "--to", str(tmp_path / "d"), "--frame", str(TEMPLATE)])
    assert run.exit_code == 0, run.output
    manifest = json.loads((tmp_path / "d" / "manifest.json").read_text("utf-8"))
    assert manifest["frame_file"] == "yard-frame.dxf" and len(manifest["frame_sha256"]) == 64
    drawn_file = next((tmp_path / "d").glob("*stanchions*.dxf"))
    assert b"YARD-FRAME-A3" in drawn_file.read_bytes()
    bad = CliRunner().invoke(app, ["draw", boat, "--to", str(tmp_path / "e"), "--frame", str(tmp_path / "none.dxf")])
    assert bad.exit_code == 2 and not (tmp_path / "e").exists()
