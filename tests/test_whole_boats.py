"""Starters of many kinds of boat against geometry computed independently, to 0.1 mm and 0.02 degrees; refusals."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import Any

import pytest

from geom.boat.file import read_boat
from geom.errors import InputError
from geom.export import check_report
from geom.figure import Line, Polyline
from geom.refit import Refit, refit
from geom.render.faults import layout
from geom.sheets import drawing_set
from geom.sheets.deck_plan.sheet import deck_plan
from geom.sheets.profiles.across import lines_across
from tests import whole_boats_reference
from tests.boats import BOATS, refit_of
from tests.made import sheets_by
from tests.sheet_texts import texts_of
from tests.some import some

KINDS = ("aft-gate-25", "open-transom-36", "keelboat-16", "yacht-52", "catamaran-39")
WITHOUT_GATES = ("keelboat-16", "catamaran-39")
MM, DEG = 0.1, 0.02


@pytest.fixture(scope="module", params=KINDS)
def kind(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture(scope="module")
def ours(kind: str) -> dict[str, Any]:
    return check_report(refit_of(kind))


@pytest.fixture(scope="module")
def theirs(kind: str) -> dict[str, Any]:
    return whole_boats_reference.figures(BOATS / f"{kind}.yaml")


def by_id(rows: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    return {row["id"]: row for row in rows}


def test_the_reference_imports_nothing_of_the_program() -> None:
    tree = ast.parse(Path(whole_boats_reference.__file__).read_text("utf-8"))
    names = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    names |= {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert not any(node.level for node in ast.walk(tree) if isinstance(node, ast.ImportFrom))
    assert names == {"__future__", "json", "sys", "itertools", "pathlib", "typing", "numpy", "yaml"}


def test_paths_spans_and_heights_over_the_edge(ours: dict[str, Any], theirs: dict[str, Any]) -> None:
    runs = by_id(ours["runs"])
    assert runs.keys() == theirs["runs"].keys()
    for name, run in some(theirs["runs"].items()):
        assert runs[name]["path_mm"] == pytest.approx(run["path"], abs=MM)
        assert runs[name]["spans_mm"] == pytest.approx(run["spans"], abs=MM)
        for low, other in zip(runs[name]["lowest_above_edge_mm"], run["lowest"], strict=True):
            assert (low is None) == (other is None)
            assert low is None or low == pytest.approx(other, abs=MM), name


def test_heights_at_posts_and_tilt(ours: dict[str, Any], theirs: dict[str, Any]) -> None:
    posts, words = by_id(ours["posts"]), {"U": "upper", "M": "middle", "LM": "lower_middle", "L": "lower"}
    assert posts.keys() == theirs["posts"].keys()
    for name, post in some(theirs["posts"].items()):
        assert posts[name]["tilt_deg"] == pytest.approx(post["tilt"], abs=DEG)
        for level, word in words.items():
            height, above = posts[name][f"height_{word}_mm"], posts[name][f"height_{word}_above_edge_mm"]
            assert (height is None) == (level not in post["above_deck"])
            if height is not None:
                assert height == pytest.approx(post["above_deck"][level], abs=MM)
                assert (above is None) == (post["above_edge"][level] is None)
                assert above is None or above == pytest.approx(post["above_edge"][level], abs=MM)


def test_turn_clocking_and_tilt_of_holes(ours: dict[str, Any], theirs: dict[str, Any]) -> None:
    holes = by_id(ours["holes"])
    for name, angles in some(theirs["turns"].items()):
        assert holes[name]["turn_deg"] == pytest.approx(angles["turn"], abs=DEG)
        assert holes[name]["clocking_deg"] == pytest.approx(angles["clocking"], abs=DEG)
        assert holes[name]["tilt_deg"] == pytest.approx(angles["tilt"], abs=DEG)


def test_widths_of_gates(kind: str, ours: dict[str, Any], theirs: dict[str, Any]) -> None:
    widths = {f"{row['id']}-{row['level']}": row for row in ours["gates"]}
    assert widths.keys() == theirs["gates"].keys()
    for name, width in theirs["gates"].items() if kind in WITHOUT_GATES else some(theirs["gates"].items()):
        assert widths[name]["hole_to_hole_mm"] == pytest.approx(width["between"], abs=MM)
        assert widths[name]["clear_mm"] == pytest.approx(width["clear"], abs=MM)


@pytest.mark.long
def test_every_sheet_is_drawn_without_a_fault_of_layout(kind: str) -> None:
    sheets = drawing_set(refit_of(kind))
    assert [f"{sheet.name}: {fault}" for sheet in sheets for fault in layout(sheet).faults] == []
    wanted = {"G1", "G2", "G3", "G4", "R1", "R6", "R7", "A1", "A5"}
    numbers = {sheet.name.split("-")[0].rstrip("abcdefgh") for sheet in some(sheets)}
    assert wanted <= numbers
    assert kind in WITHOUT_GATES or "F4" in numbers


def refused(kind: str, *replaced: tuple[str, str]) -> tuple[str, ...]:
    """Return the faults of a starter with parts of its text replaced, each as `key: message`."""
    text = (BOATS / f"{kind}.yaml").read_text("utf-8")
    for old, new in replaced:
        assert old in text
        text = text.replace(old, new)
    with pytest.raises(InputError) as raised:
        read_refit_of(text, kind)
    assert all(fault.line for fault in raised.value.faults)
    return tuple(f"{fault.key}: {fault.message}" for fault in raised.value.faults)


def read_refit_of(text: str, name: str) -> Refit:
    return refit(read_boat(text.encode(), name))


AFT_GATE = "between: [S-S3, S-PUSHPIT]"


@pytest.mark.parametrize(
    ("new", "fault"),
    [
        ("between: [S-S2, S-PUSHPIT]", "gates.S-GATE.between: the gate supports are not next to each other"),
        ("between: [S-S3, S-PULPIT]", "gates.S-GATE.between[2]: S-PULPIT does not stand aft of S-S3"),
        ("between: [S-PUSHPIT, S-PUSHPIT]", "gates.S-GATE.between[2]: a gate from a support to itself"),
        ("between: [S-S3, S-STERN]", "gates.S-GATE.between[2]: no such support"),
        ("between: [S-S3, P-PUSHPIT]", "gates.S-GATE.between[2]: a support of the other side than gate S-GATE"),
        ("posts: [S-S3, S-PUSHPIT]", "gates.S-GATE.posts[2]: not in the expected form"),
        ("posts: [S-S2, S-S3], between: [S-S2, S-S3]", "gates.S-GATE: posts and between are both given"),
        ("note: wide", "gates.S-GATE.note: unknown key"),
    ],
)  # fmt: skip
def test_a_gate_that_cannot_be_is_refused_with_line_and_key(new: str, fault: str) -> None:
    assert fault in refused("aft-gate-25", (AFT_GATE, new))


def test_a_gate_beside_a_rail_needs_a_run_between_its_supports() -> None:
    by_passed = ("through: [S-S1, S-S2]", "through: [S-S2]")
    faults = refused("aft-gate-25", (AFT_GATE, "between: [S-PULPIT, S-S1]"), by_passed)
    assert faults == ("gates.S-GATE.between: no run goes from S-PULPIT to S-S1 with nothing between them",)


def test_a_gate_between_a_rail_and_a_stanchion_is_the_same_whichever_key_names_two_posts() -> None:
    text = (BOATS / "aft-gate-25.yaml").read_text("utf-8")
    named = [text.replace(AFT_GATE, f"{key}: [S-S2, S-S3]") for key in ("posts", "between")]
    first, second = (read_refit_of(one, "made").placed.gates["S-GATE"].levels for one in named)
    assert first == second
    assert {level.level for level in first} == {"U", "L"}


ACROSS = "    across: stern\n    start: {eye: P-STERN-U"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (ACROSS, ACROSS.replace("    across: stern\n", ""), "runs.C-G-U: the key 'across' is missing"),
        (
            ACROSS,
            ACROSS.replace("stern", "bow"),
            "runs.C-G-U.start: the run crosses the deck at P-STERN-U, not at the bow",
        ),
        (
            "start: {eye: P-STERN-U,",
            "start: {post: P-S1, eye_offset: 20,",
            "runs.C-G-U.start: the run crosses the deck at P-S1, not at the stern",
        ),
        (
            "start: {eye: S-PULPIT-U,",
            "across: stern\n    start: {eye: S-PULPIT-U,",
            "runs.S-F-U.across: run S-F-U goes along a side",
        ),
        (
            "finish: {eye: S-STERN-U,",
            "finish: {eye: P-PUSHPIT-U,",
            "runs.C-G-U.finish: P-PUSHPIT-U does not lie to starboard of P-STERN-U",
        ),
        (
            "between: [P-STERN, S-STERN]",
            "between: [S-STERN, P-STERN]",
            "gates.C-GATE.between[2]: P-STERN does not stand to starboard of S-STERN",
        ),
        (
            "between: [P-STERN, S-STERN]",
            "between: [P-PUSHPIT, S-PUSHPIT]",
            "gates.C-GATE.between: no run goes from P-PUSHPIT to S-PUSHPIT with nothing between them",
        ),
    ],
)
def test_a_run_across_the_boat_that_cannot_be_is_refused_with_line_and_key(old: str, new: str, fault: str) -> None:
    assert fault in refused("open-transom-36", (old, new))


def test_a_line_may_cross_the_deck_where_the_file_says_so() -> None:
    text = (BOATS / "open-transom-36.yaml").read_text("utf-8").replace("across: stern", "across: deck")
    worked_out = read_refit_of(text, "across the deck")
    # No deck edge is under a line across the deck, so that its height is not determined.
    assert [low.lowest for low in worked_out.placed.span_heights["C-G-U"]] == [None]


def test_what_the_offshore_rules_do_not_say_of_a_line_across_is_not_determined() -> None:
    """OSR 3.14.1 a) speaks of lines made fast at or near bow and stern and of a gate on each side."""
    findings = [one for one in refit_of("open-transom-36").findings if one.document == "World Sailing OSR"]
    across = [one for one in findings if one.clause.startswith("3.14.1 a)") and one.verdict == "cannot tell"]
    assert {one.id.rpartition(":")[2] for one in across} == {"C-U", "C-L", "C-GATE"}
    heights = [one for one in findings if one.run in ("C-G-U", "C-G-L") and one.verdict == "pass"]
    assert {round(one.measured) for one in heights if one.measured is not None} >= {635, 320}


def test_a_push_on_a_line_across_the_stern_goes_aft() -> None:
    loads = refit_of("open-transom-36").loads
    (fall, *_) = [one for one in loads.falls if one.run == "C-G-U"]
    ends = {end.eye: end for end in loads.ends if end.run == "C-G-U"}
    # A body pushes the line aft, so that either end is pulled aft and towards the middle.
    assert all(end.worst[0] > 0.0 for end in some(ends.values()))
    assert ends["P-STERN-U"].worst[1] > 0.0 > ends["S-STERN-U"].worst[1]
    assert fall.run == "C-G-U"


def test_the_sheet_of_lines_across_reads_back_spans_and_heights() -> None:
    """1050 between the eyes; 1735 and 1420 above zero, over a stern edge at 1100: 635 and 320."""
    kind = "open-transom-36"
    texts = texts_of(sheets_by(lines_across, refit_of(kind)))
    for run in ("C-G-U", "C-G-L"):
        assert texts[f"across:{run}:1"] == "1050.0"
    for name, height in {
        "P-STERN-U": "635.0",
        "P-STERN-L": "320.0",
        "S-STERN-U": "635.0",
        "S-STERN-L": "320.0",
    }.items():
        assert texts[f"across-height:{name}"] == height
        assert texts[f"across-name:{name}"] == name
    assert sheets_by(lines_across, refit_of("aft-gate-25")) == ()


def test_a_gate_goes_past_a_removable_stanchion_but_not_past_a_fixed_one() -> None:
    kind = "yacht-52"
    gate = refit_of(kind).placed.gates["S-AFTGATE"]
    assert [post.id for post in gate.loose] == ["S-S8"]
    assert refused(kind, ("    stands: removable\n", ""))[0] == (
        "gates.S-AFTGATE.posts: the gate posts are not next to each other"
    )
    hinged = (BOATS / f"{kind}.yaml").read_text("utf-8").replace("stands: removable", "stands: hinged")
    assert read_refit_of(hinged, kind).placed.gates["S-AFTGATE"].levels == gate.levels


def test_with_the_wide_gate_open_its_posts_have_the_lines_of_one_side_alone() -> None:
    """The lines of the gate, past the removable stanchion, are off: each post is pulled by its other lines only."""
    worked_out = refit_of("yacht-52")
    (gate,) = [one for one in worked_out.loads.gates if one.gate == "S-AFTGATE"]
    assert [post.id for post in gate.as_built] == ["S-S7", "S-S9"]
    pulling = [{tension.run for tension in post.tensions} for post in gate.as_built]
    assert pulling == [{"S-M-U", "S-M-M", "S-M-L"}, {"S-A-U", "S-A-M", "S-A-L"}]


def test_a_line_that_comes_down_to_the_deck_is_judged_by_the_rule_of_small_boats() -> None:
    """ISO 15085 has a height for the line of a small boat; eyes on deck stand a few millimetres over it."""
    low = [one for one in refit_of("keelboat-16").findings if one.verdict == "fail" and one.quantity.code in LOW]
    assert {one.id.rpartition(":")[2] for one in low} >= {"S-BOW-U", "S-QTR-U", "P-BOW-U", "P-QTR-U"}


LOW = ("quantity.height_at_eye", "quantity.lowest_at_stations")


def test_an_inboard_edge_is_of_a_multihull_and_is_given_where_something_stands_on_it() -> None:
    kind = "catamaran-39"
    assert "deck_edge.starboard_inner: a monohull has no inboard edge" in refused(kind, ("hulls: multi", "hulls: mono"))
    text = (BOATS / f"{kind}.yaml").read_text("utf-8")
    inner = text[text.index("  starboard_inner:") : text.index("  bow:")]
    assert refused(kind, (inner, ""))[0] == "deck_edge: the key 'starboard_inner' is missing"


def test_a_post_of_an_inboard_edge_leans_over_it_towards_the_other_hull() -> None:
    posts = refit_of("catamaran-39").placed.posts
    assert posts["SI-S1"].axis[1] < 0.0 < posts["PI-S1"].axis[1]
    assert posts["P-S1"].axis[1] < 0.0 < posts["S-S1"].axis[1]


def test_the_bows_of_a_catamaran_are_not_closed_across_in_the_plan() -> None:
    """Two stems: the edges that are drawn across the boat at the bow are those of the crossbeam alone."""
    (sheet,) = sheets_by(deck_plan, refit_of("catamaran-39"))
    (view,) = (view for view in sheet.views if view.name == "plan")
    lines = [item for item in view.items if isinstance(item, Line) and item.layer == "DECK-EDGE"]
    assert [line for line in lines if line.start[1] * line.end[1] < 0.0] == []
    crossbeam = [
        i for i in view.items if isinstance(i, Polyline) and i.layer == "DECK-EDGE" and i.points[0][1] < -2000.0
    ]
    assert any(polyline.points[-1][1] > 2000.0 for polyline in crossbeam)
