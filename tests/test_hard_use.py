"""Odd boats and hard use: what cannot be made is refused with its line, what is legal is drawn, nothing is lost."""

from __future__ import annotations

import io
import json
import math
import os
from itertools import pairwise
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from ezdxf import disassemble
from ruamel.yaml import YAML
from typer.testing import CliRunner

import geom.sheets
from geom.boat.file import read_boat
from geom.cli import app
from geom.drafting.sheet import finish
from geom.errors import Attempts, CannotFinishError, GeometryError, InputError
from geom.figure import Block, Circle, Hatch, Polyline, Sheet, Text
from geom.intake.deck_plan import drawing
from geom.lettering import width
from geom.placement.edge_options import edge_options
from geom.refit import Refit, refit
from geom.render.dxf_count import expanded_count
from geom.render.dxf_frame import MAX_BYTES
from geom.render.faults import layout
from geom.render.pdf import pdf_bytes
from geom.sheets import drawing_set
from geom.sheets.cover.sheet import with_cover
from geom.sheets.deck_plan.sheet import deck_plan
from geom.sheets.installation.sheet import installation_check
from geom.sheets.line_sheets.sheet import line_sheets
from geom.sheets.measuring_form.sheet import measuring_form
from geom.sheets.stanchions import section_figure
from geom.sheets.stanchions.sheet import stanchion_sheets
from tests.boats import BOATS, ROOT
from tests.fuzz.odd_boats import odd_boat
from tests.some import some

SOUND = (ROOT / "tests" / "fixtures" / "sound.yaml").read_text("utf-8")


def sound() -> dict[str, Any]:
    """Return the data of the sound boat, every value as its text."""
    return YAML(typ="safe", pure=True).load(SOUND)


def worked_out(data: dict[str, Any]) -> Refit:
    return refit(read_boat(json.dumps(data, default=str).encode(), "made.yaml"))


def refused(data: dict[str, Any]) -> str:
    with pytest.raises(InputError) as caught:
        worked_out(data)
    assert all(fault.line is not None and fault.key for fault in caught.value.faults), str(caught.value)
    return str(caught.value)


def two_posts_a_side() -> dict[str, Any]:
    """Return a small boat whose runs go through no post: both of a side are gate posts."""
    data = sound()
    data["posts"] = [post for post in data["posts"] if post["id"] in ("S-S2", "S-S3")]
    for post in data["posts"]:
        post["holes"] = {"U": post["holes"]["U"]}
    data["mirror"] = True
    del data["deck_edge"]["port"], data["tapes"], data["trials"]
    data["eyes"] = [eye for eye in data["eyes"] if eye["id"].startswith("S-") and eye["id"].endswith("U")]
    post_end = {"eye_offset": 20, "end": "eye end"}
    data["runs"] = [
        {"id": "S-F-U", "line": "guard rope", "start": {"eye": "S-PULPIT-U", "end": "eye end"},
         "finish": {"post": "S-S2", **post_end}},
        {"id": "S-G-U", "line": "guard rope", "start": {"post": "S-S2", **post_end},
         "finish": {"post": "S-S3", **post_end, "fittings": ["gate hook"]}},
        {"id": "S-A-U", "line": "guard rope", "start": {"post": "S-S3", **post_end},
         "finish": {"eye": "S-PUSHPIT-U", "end": "eye end"}},
    ]  # fmt: skip
    return data


def test_a_boat_whose_runs_go_through_no_post_is_drawn() -> None:
    small = worked_out(two_posts_a_side())
    assert not any(run.spec.through for run in some(small.placed.runs.values()))
    assert {"deck-plan", "profiles", "order"} <= {sheet.name.partition("-")[2] for sheet in drawing_set(small)}


@pytest.mark.parametrize("offset", [400.0, 500.0, 800.0, 2000.0])
def test_an_eye_that_reaches_half_way_to_the_next_post_is_refused(offset: float) -> None:
    data = sound()
    gate = data["runs"][1]
    gate["start"]["eye_offset"] = gate["finish"]["eye_offset"] = offset
    assert "runs.S-G-U.start.eye_offset: reaches half way from S-S2 to S-S3, or further" in refused(data)


@pytest.mark.parametrize(
    ("run", "planned", "refuses"),
    [(1, 20.0, False), (1, 740.0, False), (1, 760.0, True), (1, 3000.0, True), (0, 740.0, False), (0, 3000.0, True)],
)
def test_fittings_longer_than_the_span_beside_their_end_are_refused(run: int, planned: float, refuses: bool) -> None:
    data = sound()
    gate = data["runs"][run]
    data["fittings"] = {**data.get("fittings", {}), "cord": {"family": "lashing", "length": {"planned": planned}}}
    gate["finish"]["fittings"] = ["cord"]
    if refuses:
        assert f"runs.{gate['id']}.finish.fittings: the fittings leave no line between" in refused(data)
    else:
        assert worked_out(data).work.runs[gate["id"]].lengths.finished > 0.0


@pytest.mark.parametrize("bore", [4.0, 3.0, 2.0])
def test_a_hole_too_narrow_for_a_bush_is_worked_out(bore: float) -> None:
    data = sound()
    for hole in data["posts"][0]["holes"].values():
        hole["planned"] = {"diameter": bore}
    narrow = {hole for one in edge_options(worked_out(data).placed) if one.wall == 2.0 for hole in one.holes}
    assert narrow
    assert not narrow & {f"{data['posts'][0]['id']}-{level}" for level in data["posts"][0]["holes"]}


def steep(lean: float, rake: float) -> Refit:
    data = sound()
    for post in data["posts"]:
        post |= {"lean": lean, "rake": rake, "top": 660}
    return worked_out(data)


@pytest.mark.parametrize(("lean", "rake"), [(35, 35), (45, 45), (45, -45)])
def test_posts_leaned_and_raked_hard_are_drawn(lean: float, rake: float) -> None:
    boat = steep(lean, rake)
    assert stanchion_sheets(boat)


@pytest.mark.parametrize(
    ("tilt", "walls", "faces", "area"),
    [
        # Parted ring: two walls. Notched and whole rings: face and bore, hatched in two halves.
        (10.0, 2, 0, None),
        (32.0, 0, 1, None),
        (50.0, 0, 1, math.pi * (12.5**2 - 11.0**2)),
    ],
)
def test_ring_is_parted_notched_or_whole_by_the_tilt_of_its_hole(
    tilt: float, walls: int, faces: int, area: float | None
) -> None:
    """A 12.7 mm hole leaves the plane of its centre at 6.35 / sin(tilt): beyond, within or inside a 1.5 mm wall."""
    items = section_figure._ring(12.5, 11.0, 0.3, 12.7, math.radians(tilt))
    outlines = [item for item in items if isinstance(item, Polyline)]
    assert len([item for item in items if isinstance(item, Circle)]) == faces
    assert len(outlines) == (walls or 1)
    hatched = sum(_area(item.outline) for item in items if isinstance(item, Hatch))
    if area is not None:
        assert hatched == pytest.approx(area, rel=0.01)
    else:
        assert 0.5 < hatched / (math.pi * (12.5**2 - 11.0**2)) < 1.0
    if faces and area is None:
        reach = max(math.hypot(*point) for point in outlines[0].points)
        assert reach == pytest.approx(6.35 / math.sin(math.radians(tilt)))


def _area(points: Any) -> float:
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return abs(math.fsum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2.0


def _posts(count: int, first: float, last: float) -> dict[str, Any]:
    """Return the sound boat with many posts a side between two stations."""
    data = sound()
    edges = {"holes": {"U": {"along": 615, "as_found": {"diameter": 12.7}}}, "tube": "stanchion", "top": 632}
    edges |= {"lean": 3, "rake": 0, "deck_falls": {"aft": 1, "outboard": 4}}
    data |= {"posts": [], "runs": [], "gates": [], "tapes": [], "trials": []}
    for side, sign in (("S", 1), ("P", -1)):
        names = [f"{side}-S{number + 1}" for number in range(count)]
        for number, name in enumerate(names):
            x = first + (last - first) * number / max(1, count - 1)
            data["posts"].append({"id": name, "foot": [f"{x:.1f}", f"{sign * 1000.0:.1f}", 945], **edges})
        start, finish = ({"eye": f"{side}-{rail}-U", "end": "eye end"} for rail in ("PULPIT", "PUSHPIT"))
        run = {"id": f"{side}-F-U", "line": "guard rope", "start": start, "through": names, "finish": finish}
        data["runs"].append(run)
    data["eyes"] = [eye for eye in data["eyes"] if eye["id"].endswith("U")]
    return data


def test_twenty_posts_in_200_mm_are_refused_by_their_tubes() -> None:
    assert "closer to S-S1 than their tubes are thick" in refused(_posts(20, 3000.0, 3200.0))


def _broken(_: Refit) -> Any:
    raise GeometryError("no sheet holds the reels of this boat")


_broken.__name__ = "order_list"


def _with_a_broken_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(geom.sheets, "SHEETS", (deck_plan, _broken))


def test_a_sheet_that_cannot_be_made_is_named_with_its_cause(monkeypatch: pytest.MonkeyPatch) -> None:
    _with_a_broken_sheet(monkeypatch)
    boat = worked_out(sound())
    with pytest.raises(CannotFinishError, match="drawing order list cannot be made: no sheet holds the reels"):
        drawing_set(boat)
    attempts = Attempts(keep_going=True)
    assert [sheet.name for sheet in drawing_set(boat, attempts)] == ["G1-cover", "G2-deck-plan"]
    assert attempts.missing == {"drawing order list": "no sheet holds the reels of this boat"}


@pytest.mark.parametrize("command", [["draw"], ["package", "--no-solids"]])
def test_the_rest_is_written_with_keep_going(
    command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _with_a_broken_sheet(monkeypatch)
    target = tmp_path / "set"
    arguments = [*command, str(BOATS / "first-try.yaml"), "--to", str(target)]
    done = CliRunner().invoke(app, arguments)
    assert done.exit_code == 3 and not target.exists()
    assert "drawing order list cannot be made: no sheet holds the reels" in done.output
    done = CliRunner().invoke(app, [*arguments, "--keep-going"])
    assert done.exit_code == 3
    manifest = json.loads((target / "manifest.json").read_text("utf-8"))
    assert manifest["missing"] == [{"what": "drawing order list", "cause": "no sheet holds the reels of this boat"}]
    assert any(entry["file"].endswith("G2-deck-plan.svg") for entry in manifest["files"])
    assert CliRunner().invoke(app, ["verify", str(target)]).exit_code == 0


@pytest.mark.parametrize("epoch", ["1700000000", "0", "yesterday"])
def test_dates_of_pdf_files_come_from_the_revision_alone(epoch: str, monkeypatch: pytest.MonkeyPatch) -> None:
    boat = worked_out(sound())
    sheets = measuring_form(4, 2, "mm")
    usual = pdf_bytes(sheets, "t", dated=boat.boat.revision.date)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    assert pdf_bytes(sheets, "t", dated=boat.boat.revision.date) == usual
    assert os.environ["SOURCE_DATE_EPOCH"] == epoch
    assert b"/CreationDate (D:20260301000000" in usual and b"/ModDate (D:20260301000000" in usual


def _nested(levels: int, copies: int) -> bytes:
    """Return a DXF of blocks in blocks, each holding some copies of the next, as the frame of an A3 sheet."""
    doc = ezdxf.new("R2010")
    names = ["FRAME-A3", *(f"B{level}" for level in range(levels))]
    for name in names:
        doc.blocks.new(name)
    for name, inner in pairwise(names):
        for copy in range(copies):
            doc.blocks.get(name).add_blockref(inner, (copy, 0))
    doc.blocks.get(names[-1]).add_line((0, 0), (1, 0))
    doc.modelspace().add_blockref("FRAME-A3", (0, 0))
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode()


@pytest.mark.parametrize(
    ("frame", "message"),
    [
        (lambda: _nested(5, 20), "too much in a block"),
        (lambda: _nested(8, 1), "blocks within blocks too deep"),
        (lambda: bytes(MAX_BYTES + 10), "the file is too large"),
        (lambda: b"no drawing", "not readable as DXF"),
    ],
)
def test_a_frame_of_too_much_is_refused_before_anything_is_drawn(
    frame: Any, message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(geom.sheets, "SHEETS", (lambda _: pytest.fail("drawn"),))
    (tmp_path / "frame.dxf").write_bytes(frame())
    arguments = ["draw", str(BOATS / "first-try.yaml"), "--to", str(tmp_path / "set"), "--frame"]
    done = CliRunner().invoke(app, [*arguments, str(tmp_path / "frame.dxf")])
    assert done.exit_code == 2 and message in done.output
    assert not (tmp_path / "set").exists()


def test_a_block_that_holds_itself_is_no_frame() -> None:
    doc = ezdxf.new("R2010")
    one, other = doc.blocks.new("ONE"), doc.blocks.new("OTHER")
    one.add_blockref("OTHER", (0, 0))
    other.add_blockref("ONE", (0, 0))
    assert expanded_count(doc, one, 5) is None


def test_blocks_are_counted_as_the_drawing_library_expands_them() -> None:
    doc = ezdxf.read(io.StringIO(_nested(3, 4).decode()))
    expanded = list(disassemble.recursive_decompose(doc.modelspace()))
    inserts = 1 + 4 + 16 + 64
    assert expanded_count(doc, doc.modelspace(), 5) == len(expanded) + inserts


def _points(count: int) -> bytes:
    point = "  0\nPOINT\n  8\nPOSTS\n 10\n1.0\n 20\n2.0\n"
    return ("  0\nSECTION\n  2\nENTITIES\n" + count * point + "  0\nENDSEC\n  0\nEOF\n").encode()


def test_a_plan_of_200000_points_is_refused_before_it_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawing, "_open", lambda *_: pytest.fail("read"))
    with pytest.raises(InputError, match=r"too many entities \(read: 200003\)"):
        drawing.read_drawing(_points(200_000), "plan.dxf")


def test_a_plan_of_nested_blocks_is_refused_before_they_are_expanded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawing, "_walk", lambda *_: pytest.fail("expanded"))
    with pytest.raises(InputError, match="too many entities"):
        drawing.read_drawing(_nested(5, 20), "plan.dxf")


def test_names_too_wide_for_their_cells_are_cut_short_and_given_in_full_on_the_list() -> None:
    """Sixty W's are wider than any cell at the smallest lettering: nothing runs over its neighbour."""
    data = sound()
    data["boat"]["name"] = "W" * 60
    data["drawing"] = {"owner": "W" * 40}
    boat = worked_out(data)
    sheets = _plan_and_list(boat)
    for sheet in sheets:
        (block,) = (item for item in sheet.items if isinstance(item, Block))
        entries = {item.tag: item for item in block.items if isinstance(item, Text)}
        for tag in ("title:Boat", "title:Owner"):
            assert width(entries[tag].text, entries[tag].height, entries[tag].weight) <= 52.0 - 2.8
            assert entries[tag].text.endswith("W...")
    said = "".join(item.text for item in sheets[0].items if isinstance(item, Text))
    assert "Owner: " in said and said.count("W") >= 100
    assert [fault for sheet in sheets for fault in layout(sheet).faults] == []


def _plan_and_list(boat: Refit) -> tuple[Sheet, ...]:
    drafts = with_cover(boat, deck_plan(boat))
    return tuple(finish(boat, draft, len(drafts)) for draft in drafts)


@pytest.mark.parametrize(
    ("seed", "make"),
    # Long eyes of runs on hold, notes beside the title block of one post a side, ids of eight letters.
    [(37, line_sheets), (30, installation_check), (16, deck_plan)],
)
def test_odd_boats_have_their_sheets(seed: int, make: Any) -> None:
    assert make(refit(read_boat(odd_boat(seed), "odd.yaml")))


def test_thirty_posts_a_side_stand_on_a_sheet_from_the_roll() -> None:
    data = _posts(30, 4800.0, 20400.0)
    data["boat"] |= {"loa": 24000, "hull_length": 23500, "beam": 5500}
    data["eyes"] = [eye | {"at": [2400 if "PULPIT" in eye["id"] else 22800, *eye["at"][1:]]} for eye in data["eyes"]]
    for side, sign in (("starboard", 1), ("port", -1)):
        data["deck_edge"][side] = [[0, 0, 1000], [7000, sign * 1100, 950], [24000, sign * 1100, 900]]
    assert deck_plan(worked_out(data))[0].paper.name in ("A1", "A0", "A0 x 2")
