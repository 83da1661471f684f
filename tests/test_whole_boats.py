"""Starters of many kinds of boat against geometry worked out apart, to 0.1 mm and 0.02 degrees; what is refused."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import Any

import pytest

from geom.boat.file import read_boat
from geom.errors import InputError
from geom.export import check_report
from geom.refit import Refit, refit
from geom.render.faults import layout
from geom.sheets import drawing_set
from tests import whole_boats_reference
from tests.boats import BOATS, refit_of
from tests.some import some

KINDS = ("aft-gate-25",)
WITHOUT_GATES: tuple[str, ...] = ()
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
    posts, words = by_id(ours["posts"]), {"U": "upper", "M": "middle", "L": "lower"}
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
    numbers = {sheet.number.rstrip("abcdefgh") for sheet in some(sheets)}
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
def test_a_gate_that_cannot_be_is_told_with_line_and_key(new: str, fault: str) -> None:
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
