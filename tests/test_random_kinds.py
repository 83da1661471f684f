"""Random boats of the other kinds: geometry computed independently, mirror images, the whole chain."""

from __future__ import annotations

import json
from typing import Any

import pytest

from geom.boat.file import read_boat
from geom.export import check_report
from geom.refit import Refit, refit
from geom.tables.every import every_table
from tests import whole_boats_reference
from tests.boats import text_in_own_units, text_turned
from tests.counts import seeds
from tests.random_kinds import EXTRAS, KINDS, LINES, random_kind, random_kind_data, shares
from tests.some import some

MM, DEG = 0.1, 0.02


def test_every_kind_is_drawn() -> None:
    assert shares(range(300)).keys() == {*KINDS, *LINES, *EXTRAS, "four lines"}
    assert min(shares(range(300)).values()) >= 20


@pytest.mark.long
@pytest.mark.parametrize("seed", seeds(20))
def test_geometry_computed_independently(seed: int) -> None:
    data = random_kind_data(seed)
    report = check_report(refit(random_kind(seed)))
    mm = 25.4 if data["units"]["length"] == "in" else 1.0
    theirs = whole_boats_reference.figures_of(data)
    runs = {run["id"]: run for run in report["runs"]}
    for name, run in some(theirs["runs"].items()):
        assert runs[name]["spans_mm"] == pytest.approx([span * mm for span in run["spans"]], abs=MM)
        for low, other in zip(runs[name]["lowest_above_edge_mm"], run["lowest"], strict=True):
            assert (low is None) == (other is None)
            assert low is None or low == pytest.approx(other * mm, abs=MM)
    holes = {hole["id"]: hole for hole in report["holes"]}
    for name, angles in theirs["turns"].items():
        assert holes[name]["turn_deg"] == pytest.approx(angles["turn"], abs=DEG)
    widths = {f"{row['id']}-{row['level']}": row for row in report["gates"]}
    assert widths.keys() == theirs["gates"].keys()
    for name, width in theirs["gates"].items():
        assert widths[name]["clear_mm"] == pytest.approx(width["clear"] * mm, abs=MM)


@pytest.mark.long
@pytest.mark.parametrize("seed", seeds(20))
def test_the_mirror_image_has_the_same_figures_on_the_other_side(seed: int) -> None:
    one, image = refit(random_kind(seed)), refit(_read(_mirrored(random_kind_data(seed))))
    for run in some(one.placed.runs.values()):
        other = image.placed.runs[_other(run.id)]
        spans = other.spans[::-1] if run.side == "C" else other.spans
        assert run.spans == pytest.approx(spans, abs=1e-6)
    for gate in one.placed.gates.values():
        widths = [level.clear for level in image.placed.gates[_other(gate.id)].levels]
        assert [level.clear for level in gate.levels] == pytest.approx(widths, abs=1e-6)
    assert _verdicts(one) == _verdicts(image)


@pytest.mark.long
@pytest.mark.parametrize("seed", seeds(20))
def test_the_whole_chain_is_worked_out(seed: int) -> None:
    worked_out = refit(random_kind(seed))
    assert json.loads(json.dumps(check_report(worked_out)))["boat"]["name"] == f"RANDOM {seed}"
    assert {table.name for table in some(every_table(worked_out))} >= {"posts", "runs", "spans", "post-loads"}


@pytest.mark.long
@pytest.mark.parametrize("seed", seeds(20))
def test_other_axes_and_other_units_give_the_same_boat(seed: int) -> None:
    """Stations forward of a point aft, Y to port, heights from another zero; and every value with its own unit."""
    data = random_kind_data(seed)
    text, loa = json.dumps(data), float(data["boat"]["loa"])
    here = check_report(refit(random_kind(seed)))
    other = [text_turned(text, (f"{loa + 33.25:.2f}", "3.5", "-25.75"), "forward", "port"), text_in_own_units(text)]
    for written in some(other):
        there = check_report(refit(read_boat(written, "the same boat")))
        for key in some(("runs", "posts", "holes", "gates", "nets", "loads", "findings", "open_items")):
            assert there[key] == here[key], key


def _read(data: dict[str, Any]) -> Any:
    return read_boat(json.dumps(data).encode("utf-8"), "mirror image")


def _other(name: str) -> str:
    return name if name[0] == "C" else {"S": "P", "P": "S"}[name[0]] + name[1:]


def _verdicts(of: Refit) -> list[tuple[str, str, str]]:
    found = [(one.document, one.clause, one.verdict) for one in of.findings]
    return sorted(found)


def _mirrored(data: dict[str, Any]) -> dict[str, Any]:
    """Return the boat with port and starboard exchanged; what goes across still goes from port to starboard."""

    def flip(point: list[str]) -> list[str]:
        return [point[0], str(-float(point[1])), point[2]]

    def renamed(node: Any) -> Any:
        if isinstance(node, dict):
            return {key: renamed(value) for key, value in node.items()}
        if isinstance(node, list):
            return [renamed(value) for value in node]
        return _other(node) if isinstance(node, str) and node[:2] in ("S-", "P-") else node

    image = data | {key: renamed(data[key]) for key in ("posts", "eyes", "gates", "runs", "nets") if key in data}
    for post in image["posts"]:
        post["foot"] = flip(post["foot"])
    for eye in image["eyes"]:
        eye["at"] = flip(eye["at"])
    for run in image["runs"]:
        if run["id"][0] == "C":
            run["start"], run["finish"] = run["finish"], run["start"]
    for gate in image["gates"]:
        if gate["id"][0] == "C":
            gate["between"] = gate["between"][::-1]
    sides = {"starboard": "port", "port": "starboard"}
    edges = {}
    for word, points in data["deck_edge"].items():
        side, _, inner = word.partition("_")
        flipped = [flip(point) for point in points]
        edges["_".join(filter(None, (sides.get(side, side), inner)))] = flipped if side in sides else flipped[::-1]
    image["deck_edge"] = edges
    for net in image.get("nets", []):
        if "corners" in net:
            net["corners"] = [flip(point) for point in net["corners"]]
    return image
