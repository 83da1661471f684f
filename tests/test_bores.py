"""One bore and one direction for every hole, in whatever is printed; the edge of holes, and what a choice turns round.

The edge radius for rope, the proud bush and the makers are common practice, no source; the radius of a wall
polished to a full round is half the wall, and a bush leaves the hole less twice its wall: by hand.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

import pytest

from geom.boat.file import read_boat
from geom.cli.terminal import Screen
from geom.errors import InputError
from geom.export import check_report
from geom.figure import Text
from geom.placement.edge_options import edge_options
from geom.purchasing.parts_list import parts_list
from geom.refit import Refit, refit
from geom.sheets import drawing_set
from geom.sheets.aids import full_size_sets
from geom.sheets.stanchions.sheet import stanchion_sheets
from geom.tables.every import every_table
from geom.tables.table import csv_bytes
from geom.units import degrees
from geom.words import worded
from tests.boats import BOATS, refit_of, report_of
from tests.made import aids_of, set_of, sheets_by
from tests.random_boats import random_refit
from tests.sheet_texts import forged, texts_of
from tests.some import some

NAMES = ("saltwhin-31", "pipwing-25")
_HOLE = r"[PS]-[A-Z][A-Z0-9]*-[UML]"
# A boat that shares nothing with the demonstration boats: centimetres, X forward from the transom, 6 mm rope
# in holes of 14 mm in tubes of 30 x 2, one side given.
OTHER = """
format: 2
units: {length: cm, angle: deg}
axes: {origin: [720, 0, 0], x: forward, y: port, z_zero: keel}
boat: {name: OTHER, loa: 720, hull_length: 710, beam: 260, hulls: mono}
survey: as measured
revision: {mark: B, date: 2025-11-02, by: owner, note: made for a test}
mirror: true
deck_edge:
  port: [[710, 5, 150], [500, 90, 145], [300, 125, 142], [0, 100, 141]]
tubes: {post: {od: 3, wall: 0.2, grade: 316L}}
posts:
  - {id: P-S2, foot: [430, 100, 144], lean: 2, rake: 1, deck_falls: {aft: 1, outboard: 3}, tube: post, top: 64,
     holes: {U: {along: 61, as_found: {diameter: 14 mm}}}}
  - {id: P-S5, foot: [260, 118, 142], lean: 3, rake: 0, deck_falls: {aft: 0.5, outboard: 3}, tube: post, top: 64,
     holes: {U: {along: 61, as_found: {diameter: 14 mm}}}}
eyes:
  - {id: P-PULPIT-U, on: pulpit, at: [600, 55, 207]}
  - {id: P-PUSHPIT-U, on: pushpit, at: [70, 105, 203]}
lines: {cord: {construction: 12-strand HMPE, material: HMPE, diameter: 6 mm}}
ends: {loop: {family: bare eye, throat_to_pin: 3, eye_girth: 9, trim: 5}}
fittings: {tie: {family: lashing, length: {planned: 6, max: 10}}}
runs:
  - {id: P-W-U, line: cord, start: {eye: P-PULPIT-U, end: loop, fittings: [tie]}, through: [P-S2, P-S5],
     finish: {eye: P-PUSHPIT-U, end: loop}}
"""


@cache
def worked(text: str) -> Refit:
    return refit(read_boat(text.encode(), "made.yaml"))


def demo(name: str, edges: str = "", **replaced: str) -> str:
    text = (BOATS / f"{name}.yaml").read_text("utf-8")
    for old, new in replaced.items():
        if old not in text:
            raise KeyError(old)
        text = text.replace(old, new)
    return text + (f"\nhole_edges: {{{edges}}}\n" if edges else "")


def sheets_of(boat: Refit) -> list[Any]:
    name = boat.loaded.source.rpartition("/")[2].removesuffix(".yaml")
    if name in NAMES and boat is refit_of(name):
        return [*set_of(name), *(sheet for some_of in aids_of(name).values() for sheet in some_of)]
    return [*drawing_set(boat), *(sheet for some_of in full_size_sets(boat).values() for sheet in some_of)]


def _numbers(text: str) -> list[float]:
    return [float(one) for one in re.findall(r"\d*(?:\.\d+)|\d+", text)]


# Where a sheet prints a size of a hole: the pattern of the id, and whether it is the hole's or the bore that is left.
PRINTED = (
    (rf"holes:({_HOLE}):(?:diameter_mm|found|planned)", "hole", "number"),
    (rf"holes:({_HOLE}):bore_mm", "bore", "number"),
    (rf"hole:({_HOLE})", "hole", "number"),
    (rf"wrap:({_HOLE}):1", "hole", "all"),
    (rf"words:({_HOLE})", "hole", "after Ø"),
    (rf"bore:[A-Z0-9-]+:({_HOLE})", "bore", "first"),
)  # fmt: skip


def sizes_on_sheets(sheets: list[Any], mm: float) -> Iterator[tuple[str, str, str, float]]:
    """Yield hole, what (hole or bore), where, and the size [mm] of every hole on any sheet."""
    texts = texts_of(sheets)
    for tag, text in texts.items():
        # Full-size aids are in millimetres on every boat.
        unit = 1.0 if tag.startswith(("wrap:", "words:")) else mm
        for pattern, what, way in PRINTED:
            match = re.fullmatch(pattern, tag)
            if match is None or text == "-":
                continue
            if way == "after Ø":
                values = [float(one) for one in re.findall(r"Ø(\d*(?:\.\d+)|\d+)", text)]
            else:
                values = _numbers(text) if way == "all" else _numbers(text)[:1]
            if not values:
                raise ValueError(f"no size in {text!r} at {tag}")
            yield from ((match.group(1), what, tag, value * unit) for value in values)
        for hole, value in re.findall(rf"({_HOLE}) is (\d*(?:\.\d+)|\d+)", text):
            yield hole, "bore", tag, float(value) * mm


def sizes_in_files(boat: Refit, report: dict[str, Any]) -> Iterator[tuple[str, str, str, float]]:
    """Yield the same of check.json and the CSV files."""
    for hole in report["holes"]:
        yield hole["id"], "hole", "json diameter", hole["diameter_mm"]
        yield hole["id"], "bore", "json bore", hole["bore_mm"]
        if hole["eye"] is not None:
            yield hole["id"], "bore", "json eye", hole["eye"]["has_mm"]
    for finding in report["findings"]:
        place = re.fullmatch(rf".*:({_HOLE})", finding["id"])
        of_bore = finding["quantity"] == "bore" or finding["quantity"].startswith("bore against")
        if place is not None and of_bore:
            yield place.group(1), "bore", finding["id"], finding["measured"]
        if place is not None and finding["quantity"] == "diameter":
            yield place.group(1), "hole", finding["id"], finding["measured"]
    for text in _texts(report):
        for hole, value in re.findall(rf"({_HOLE}): [^;]*?it is (\d+(?:\.\d+)?)", text):
            yield hole, "rounded bore", text, float(value)
    for pair in report["pairs"]:
        if pair["quantity"] == "hole bore":
            yield f"S-{pair['name']}", "bore", "json pair", pair["starboard_mm"]
            yield f"P-{pair['name']}", "bore", "json pair", pair["port_mm"]
    for table in every_table(boat):
        if table.name == "holes":
            head, *rows = csv_bytes(table).decode().splitlines()
            keys = head.split(",")
            for row in rows:
                cells = dict(zip(keys, row.split(","), strict=True))
                yield cells["hole"], "hole", "csv", float(cells["diameter_mm"])
                yield cells["hole"], "bore", "csv", float(cells["bore_mm"])


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from _texts(one)


def holes_on_screen(boat: Refit) -> Iterator[dict[str, str]]:
    """Yield each row of the terminal's table of holes, as wide as it needs, by heading."""
    lines = list(Screen(boat, 400, frozenset({"holes"})).lines())
    first = next(n for n, line in enumerate(lines) if line.startswith("HOLES"))
    headings = re.split(r" {2,}", lines[first + 1].strip())
    for line in some(lines[first + 2 :]):
        if not line.strip():
            return
        yield dict(zip(headings, re.split(r" {2,}", line.strip()), strict=True))


def sizes_on_screen(boat: Refit, mm: float) -> Iterator[tuple[str, str, str, float]]:
    """Yield the same of the terminal's table of holes."""
    for row in holes_on_screen(boat):
        yield row["HOLE"], "hole", "screen", float(row["Ø"]) * mm
        yield row["HOLE"], "bore", "screen", float(row["BORE"]) * mm


def check_bores(boat: Refit, sheets: list[Any], report: dict[str, Any]) -> int:
    """Assert that every hole has one diameter and one bore wherever they are printed; return how often they are."""
    inches = boat.boat.units.length == "in"
    mm = 25.4 if inches else 1.0
    rounding = 0.0051 * 25.4 if inches else 0.051
    stands = {hole.id: {"hole": hole.diameter, "bore": hole.bore} for _, hole in boat.placed.holes()}
    count = 0
    found = (*sizes_on_sheets(sheets, mm), *sizes_in_files(boat, report), *sizes_on_screen(boat, mm))
    for hole, what, where, value in some(found):
        one = stands[hole][what.removeprefix("rounded ")]
        assert value == pytest.approx(one, abs=rounding), f"{what} of {hole} at {where}: {value:g}, elsewhere {one:g}"
        count += 1
    return count


@pytest.mark.parametrize("name", NAMES)
def test_one_bore_for_a_hole(name: str) -> None:
    """In every sheet, aid, CSV, JSON and terminal table of a demonstration boat: as found, since nothing is chosen."""
    boat = refit_of(name)
    assert check_bores(boat, sheets_of(boat), report_of(name)) > 12 * len(boat.placed.lines_in_holes)
    assert {hole["edge"]["bore_of"] for hole in report_of(name)["holes"]} == {"as found"}


def lined(text: str) -> str:
    """The boat of wire, to which no choice of edges applies, with a liner of 2 mm wall stated for each of its holes."""
    for size in some(("3/8", "10 mm")):
        bore = {"3/8": "5.525 mm", "10 mm": "6 mm"}[size]
        liner = f"liner: {{bore: {bore}, length: 27 mm, mouth_radius: 1 mm}}"
        if (found := f"as_found: {{diameter: {size}}}") not in text:
            raise KeyError(found)
        text = text.replace(found, f"{found}, planned: {{diameter: {size}, {liner}}}")
    return text


@pytest.mark.parametrize("name", NAMES)
def test_one_bore_for_a_bushed_hole(name: str) -> None:
    """With a bush of 2 mm wall the hole keeps its size, and the bore that is left is 4 mm less, everywhere."""
    boat = worked(demo(name, "choice: plastic bush, wall: 2 mm") if name == "saltwhin-31" else lined(demo(name)))
    report = check_report(boat)
    assert check_bores(boat, list(drawing_set(boat)), report) > 10 * len(boat.placed.lines_in_holes)
    for hole in some(one for one in report["holes"] if one["run"] is not None):
        assert hole["edge"]["bore_of"] == "bushed"
        assert hole["bore_mm"] == pytest.approx(hole["diameter_mm"] - 4.0)


def test_a_second_bore_is_found() -> None:
    """The check above can fail: another size on one sheet, another has_mm in the JSON."""
    boat, report = refit_of("saltwhin-31"), report_of("saltwhin-31")
    sheets = sheets_of(boat)
    with pytest.raises(AssertionError, match=r"bore of P-S2-U at bore:P-F-U:P-S2-U: 8\.7, elsewhere 12\.7"):
        check_bores(boat, list(forged(sheets, "bore:P-F-U:P-S2-U", "Ø8.7")), report)
    wrong = {**report, "holes": [{**hole, "bore_mm": 10.0} for hole in report["holes"]]}
    with pytest.raises(AssertionError, match="at json bore: 10"):
        check_bores(boat, sheets, wrong)


# --- one direction

MEASURED = {
    "  - id: S-S1\n    foot: [2500, 965, 1079]": ("S-S1", 11.0, -3.0),
    "  - id: P-S2\n    foot: [4150, -1316, 1022]": ("P-S2", -6.0, 2.5),
}


@cache
def with_directions() -> Refit:
    """Return SALTWHIN with the upper holes of S-S1 and P-S2 measured, well off their best axes."""
    text = demo("saltwhin-31")
    for head, (_, clocking, tilt) in MEASURED.items():
        before, after = text.split(head)
        direction = f"{{diameter: 12.7, direction: {{clocking: {clocking}, tilt: {tilt}}}}}"
        text = before + head + after.replace("{diameter: 12.7}", direction, 1)
    return worked(text)


def directions(boat: Refit, sheets: list[Any]) -> Iterator[tuple[str, str, str, float]]:
    """Yield hole, angle (clocking or tilt), where and value [deg] of every direction printed."""
    texts = texts_of(sheets)
    places = (
        (rf"holes:({_HOLE}):clocking(?:_deg)?", "clocking"), (rf"holes:({_HOLE}):tilt(?:_deg)?", "tilt"),
        (rf"wrap:({_HOLE}):3", "clocking"), (rf"wrap:({_HOLE}):4", "tilt"),
    )  # fmt: skip
    for tag, text in texts.items():
        for pattern, angle in places:
            match = re.fullmatch(pattern, tag)
            if match is not None:
                yield from ((match.group(1), angle, tag, float(one)) for one in text.split())
        match = re.fullmatch(rf"words:({_HOLE})", tag)
        if match is not None:
            for clocking, tilt in re.findall(r"clocking ([+-]?[\d.]+)° tilt ([+-]?[\d.]+)°", text):
                yield match.group(1), "clocking", tag, float(clocking)
                yield match.group(1), "tilt", tag, float(tilt)
        match = re.fullmatch(rf"card:({_HOLE}):tilt", tag)
        if match is not None:
            value = 0.0 if "square" in text else _numbers(text)[0] * (-1.0 if "down" in text else 1.0)
            yield match.group(1), "tilt", tag, value
    for hole in check_report(boat)["holes"]:
        yield hole["id"], "clocking", "json", hole["clocking_deg"]
        yield hole["id"], "tilt", "json", hole["tilt_deg"]
    for table in every_table(boat):
        if table.name == "holes":
            keys = [column.key for column in table.columns]
            for row in table.rows:
                cells = dict(zip(keys, row, strict=True))
                yield str(cells["hole"]), "clocking", "csv", float(cells["clocking_deg"] or 0.0)
                yield str(cells["hole"]), "tilt", "csv", float(cells["tilt_deg"] or 0.0)
    for row in holes_on_screen(boat):
        yield row["HOLE"], "clocking", "screen", float(row["CLOCKING"])
        yield row["HOLE"], "tilt", "screen", float(row["TILT"])


def check_directions(boat: Refit, sheets: list[Any]) -> None:
    stands = {
        name: {"clocking": degrees(one.clocking), "tilt": degrees(one.tilt)}
        for name, one in boat.placed.drillings.items()
    }
    for hole, angle, where, value in some(directions(boat, sheets)):
        assert value == pytest.approx(stands[hole][angle], abs=0.051), f"{angle} of {hole} at {where}"


def test_one_direction_for_a_hole() -> None:
    """A measured direction is printed as measured everywhere, and any other as the axis it is drilled on."""
    boat = with_directions()
    for post, clocking, tilt in MEASURED.values():
        drilling = boat.placed.drillings[f"{post}-U"]
        assert degrees(drilling.clocking) == pytest.approx(clocking)
        assert degrees(drilling.tilt) == pytest.approx(tilt)
        best = boat.placed.lines_in_holes[f"{post}-U"].passage
        assert abs(degrees(best.clocking) - clocking) > 3.0, "the best axis would not be told apart"
    sheets = sheets_of(boat)
    check_directions(boat, sheets)
    with pytest.raises(AssertionError, match="clocking of S-S1-U"):
        check_directions(boat, list(forged(sheets, "holes:S-S1-U:clocking", "15.7")))


# --- the edge of holes


def test_what_is_chosen_leaves_its_bore() -> None:
    """12.7 in a wall of 1.5: polished it keeps 12.7 with R 0.75; a bush of 1.35 leaves 10.0 with R 1.35. By hand."""
    polished = worked(demo("saltwhin-31", "choice: polished edge")).placed.posts["P-S1"].holes[0].edge
    assert (polished.bore, polished.bore_of, polished.radius, polished.reached) == (12.7, "as found", 0.75, False)
    bush = worked(demo("saltwhin-31", "choice: plastic bush, wall: 1.35")).placed.posts["P-S1"].holes[0].edge
    assert bush.bore == pytest.approx(10.0) and bush.radius == 1.35 and bush.bush is not None
    # Proud of the tube of 25 by 1 on both sides.
    assert bush.bush.length == pytest.approx(27.0)
    tube = worked(demo("saltwhin-31", "choice: welded through-tube, wall: 2, length: 25"))
    edge = tube.placed.posts["P-S1"].holes[0].edge
    assert edge.bore == pytest.approx(8.7) and edge.reached and edge.made_by == "fabricator"
    sleeve = worked(demo("saltwhin-31", "choice: sleeve on the line, wall: 1, length: 60"))
    assert sleeve.placed.posts["P-S1"].holes[0].bore == 12.7
    # The line in its sleeve is 5 + 2 mm thick, and each hole for rope has one.
    assert {one.diameter for one in sleeve.placed.lines_in_holes.values()} == {7.0}
    assert len(sleeve.placed.runs["P-F-U"].slide_on) == 2


def test_the_bush_is_ordered_and_drawn() -> None:
    boat = worked(demo("saltwhin-31", "choice: plastic bush, wall: 2"))
    rows = [row for row in parts_list(boat.boat, boat.placed.runs, frozenset()) if row.part == "liner"]
    assert [(row.kind, row.count, dict(row.sizes)["bore"]) for row in rows] == [
        ("plastic bush of a hole", 6, pytest.approx(8.7)),
        ("plastic bush of a hole", 2, pytest.approx(5.5)),
    ]
    bare = parts_list(refit_of("saltwhin-31").boat, refit_of("saltwhin-31").placed.runs, frozenset())
    (question,) = [row for row in bare if row.part == "edge of holes"]
    assert question.count == 8 and question.missing == ("choice",)


def test_a_hole_s_own_statement_is_stronger_than_the_choice() -> None:
    text = demo("saltwhin-31", "choice: plastic bush, wall: 2").replace(
        "{diameter: 9.5}", "{diameter: 9.5, lip_radius: 2}"
    )
    boat = worked(text)
    own = boat.placed.posts["S-S2"].holes[0].edge
    assert (own.edge, own.bore, own.radius) == ("own radius", 9.5, 2.0)


TURNED = {
    # Holes of 12.7 pass the eye of 5 mm rope (10.0), a bush of 2 mm wall leaves 8.7.
    "saltwhin-31": (demo("saltwhin-31"), "P-F-U", "2 mm"),
    # A stud of 1/4 in (6.35) passes holes of 9.5 mm, a liner of 2 mm wall, stated for each hole, leaves 5.5.
    "pipwing-25": (
        demo("pipwing-25", **{"family: compression terminal, width: 0.47": "family: swaged stud, width: 0.25"}),
        "S-F-U",
        "2 mm",
    ),
    # Holes of 14 pass the eye of 6 mm rope (12.0), a bush of 1.5 mm wall leaves 11.0.
    "other": (OTHER, "P-W-U", "1.5 mm"),
}


@pytest.mark.parametrize("name", TURNED)
def test_the_choice_turns_the_plan_round(name: str) -> None:
    text, run, wall = TURNED[name]
    bare = worked(text)
    assert bare.work.runs[run].plan.in_place is None
    assert bare.work.runs[run].plan.bench == ("start", "finish")
    bush = lined(text) if name == "pipwing-25" else f"{text}\nhole_edges: {{choice: plastic bush, wall: {wall}}}\n"
    bushed = worked(bush)
    plan = bushed.work.runs[run].plan
    assert plan.in_place is not None and len(plan.bench) == 1
    if name == "pipwing-25":
        assert plan.work == () and bushed.work.runs[run].refused, "a swage is not made on board"
    else:
        assert any("free_end_through" in step.remark["parts"][0].code for step in plan.work)  # type: ignore[index,union-attr]
    polished = worked(f"{text}\nhole_edges: {{choice: polished edge}}\n")
    assert polished.work.runs[run].plan.in_place is None


def test_the_options_say_what_they_turn_round() -> None:
    """On SALTWHIN a wall of 2 mm turns the port runs round; the thickest that turns nothing is (12.7 - 10) / 2."""
    options = edge_options(refit_of("saltwhin-31").placed)
    by = {(one.choice, one.wall, one.hole): one for one in options}
    assert by["plastic bush", 2.0, 12.7].turned == ("P-F-U", "P-F-L")
    assert by["plastic bush", 2.0, 12.7].bore == pytest.approx(8.7)
    assert by["plastic bush", 2.0, 12.7].hole_needed == pytest.approx(14.0)
    (thin,) = [one for one in options if one.choice == "plastic bush" and one.wall != 2.0 and one.hole == 12.7]
    assert thin.wall == pytest.approx(1.35) and thin.bore == pytest.approx(10.0) and thin.turned == ()
    assert by["polished edge", None, 12.7].radius == 0.75
    assert edge_options(worked(demo("saltwhin-31", "choice: polished edge")).placed) == ()


def test_a_tube_that_leaves_no_bore_for_the_line_is_no_choice() -> None:
    """A tube of 2 mm leaves 4 mm of a hole of 8, and the line is 5: it is said to be too narrow there."""
    found = random_refit(92)
    left = [(one.hole, one.bore) for one in edge_options(found.placed) if one.wall == 2.0]
    assert left and 8.0 not in {hole for hole, _ in left} and min(bore for _, bore in left) > 5.0
    (finding,) = (one for one in found.findings if one.id == "hole-edge:boat")
    assert "bore 5.5 mm, 8 mm, 8.7 mm" in worded(finding.notes) and "too narrow in holes of 8 mm" in worded(
        finding.notes
    )


def test_wire_requires_neither_radius_nor_polish() -> None:
    boat = refit_of("pipwing-25")
    edges = {hole.edge.edge for _, hole in boat.placed.holes()}
    assert edges == {"not required"} and edge_options(boat.placed) == ()
    rope, wire = (" ".join(_notes(sheets_by(stanchion_sheets, refit_of(name)))) for name in NAMES)
    for words in ("Rope holes", "polish to 600 grit", "which way is not chosen", "Holes are figured bare"):
        assert words in rope and words not in wire
    assert "deburr" in wire


@pytest.mark.parametrize("edges", ["choice: plastic bush, wall: 1", "choice: sleeve on the line, wall: 1, length: 60"])
def test_a_choice_for_rope_leaves_the_holes_of_wire_as_they_are(edges: str) -> None:
    """The bush of a rope boat narrows every hole by 2; on the wire boat each keeps its bore, and nothing is bought."""
    bare = {hole.id: hole.bore for _, hole in refit_of("pipwing-25").placed.holes()}
    lined = worked(demo("pipwing-25", edges.replace("wall: 1", "wall: 1 mm").replace("length: 60", "length: 60 mm")))
    assert {hole.id: hole.bore for _, hole in lined.placed.holes()} == bare
    assert all(hole.edge.bush is None and hole.edge.sleeve is None for _, hole in lined.placed.holes())
    bought = parts_list(lined.boat, lined.placed.runs, frozenset())
    assert not any("bush" in row.part or "sleeve" in row.part for row in bought)


def _notes(sheets: Iterable[Any]) -> list[str]:
    return [item.text for sheet in sheets for item in sheet.items if isinstance(item, Text)]


@pytest.mark.parametrize(
    ("edges", "message"),
    [
        ("choice: plastic bush", "hole_edges: the key 'wall' is missing"),
        ("choice: sleeve on the line, wall: 1", "hole_edges: the key 'length' is missing"),
        ("choice: polished edge, wall: 1", "hole_edges.wall: a polished edge has no wall"),
        ("choice: plastic bush, wall: 1, mouth_radius: 1.5", "hole_edges.mouth_radius: more than the wall"),
        ("choice: plastic bush, wall: 5", "hole_edges.wall: leaves no bore in hole S-S2-U of 9.5 mm"),
        ("choice: grommet", "hole_edges.choice: not a valid word here"),
    ],
)
def test_a_choice_that_cannot_be_is_refused_with_its_line(edges: str, message: str) -> None:
    text = demo("saltwhin-31", edges)
    line = len(text.splitlines())
    with pytest.raises(InputError) as refused:
        read_boat(text.encode(), "made.yaml")
    assert str(refused.value).startswith(f"made.yaml:{line}: {message}")
