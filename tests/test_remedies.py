"""Remedies: each applied to the boat file closes its item, one step less does not, and nothing else is left unsaid."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from ruamel.yaml import YAML

from geom.boat.file import read_boat
from geom.open_items import open_items
from geom.open_items.item import OpenItem
from geom.open_items.remedies import remedies, remedies_of
from geom.open_items.remedies.edit import edited
from geom.open_items.remedies.remedy import Edits, Remedy
from geom.open_items.remedies.solve import is_same, smallest
from geom.placement.limits import placing_faults
from geom.placement.standing import Standing
from geom.refit import Refit, place, refit, refit_again
from tests.boats import BOATS, boat_of_all_families, refit_of, turned
from tests.counts import seeds
from tests.random_boats import random_data, random_refit
from tests.some import some

PLAIN = YAML(typ="safe", pure=True)


def in_file(data: dict[str, Any], edits: Edits, given: str | None) -> dict[str, Any]:
    """Return the data of a boat file with edits made as their texts say."""
    data = as_text(data)  # what a file gives twice stands there twice
    lines = {run["id"]: run for run in data["runs"]}
    for edit in edits:
        *way, last = edit.path
        if given is not None and edit.path[0] in ("posts", "runs", "eyes") and not edit.path[1].startswith(given):
            continue
        node: Any = data
        for step in way:
            node = step_in(node, step)
        if edit.value is None and isinstance(node, list):
            node.remove(step_in(node, last))
        elif edit.value is None:
            del node[last]
        elif last == "finish":
            node[last] = lines[edit.text.rpartition(" ")[2]][last]
        elif isinstance(node, list) and last.isdigit():
            node[int(last)] = PLAIN.load(edit.text)
        elif isinstance(node, list):
            node.append(PLAIN.load(edit.text))
        else:
            node[last] = PLAIN.load(edit.text)
    return data


def step_in(node: Any, step: str) -> Any:
    if isinstance(node, list):
        named = [one for one in node if isinstance(one, dict) and one.get("id") == step]
        return named[0] if named else node[int(step)]
    return node.setdefault(step, {})


def as_text(data: Any) -> Any:
    """Return data with every number as text, as JSON knows no more than YAML does of what was written."""
    if isinstance(data, dict):
        return {str(key): as_text(value) for key, value in data.items()}
    if isinstance(data, list):
        return [as_text(value) for value in data]
    return data if data is None or isinstance(data, bool) else str(data).lower() if data is True else str(data)


def read_again(data: dict[str, Any]) -> Refit:
    return refit(read_boat(json.dumps(as_text(data)).encode("utf-8"), "changed"))


def gone(item: OpenItem, changed: Refit) -> bool:
    return not any(is_same(item, other) for other in open_items(changed))


def prove(data: dict[str, Any], before: Refit, remedy: Remedy, items: tuple[OpenItem, ...], parts: int = 99) -> None:
    """Apply a remedy to the file, calculate the whole boat again, and compare with what the remedy says.

    One step less does not close the item, at so many of its parts: a boat calculated again in part stands for the
    whole, as both have just been found to agree.
    """
    item, candidate, given = items[remedy.item - 1], remedy.candidate, before.loaded.mirrored_from
    assert candidate is not None
    edits = candidate.edits(remedy.steps)
    changed = read_again(in_file(data, edits, given))
    assert gone(item, changed), remedy
    again = refit_again(before, edited(before.boat, edits))
    assert [(f.id, f.verdict) for f in again.findings] == [(f.id, f.verdict) for f in changed.findings]
    assert {r: w.cut for r, w in again.work.runs.items()} == {r: w.cut for r, w in changed.work.runs.items()}
    new = open_items(changed)
    made = [other.cause.code for other in new if not any(is_same(other, old) for old in items)]
    assert [one.code for one in remedy.makes] == made
    if candidate.step:
        for index in range(0, len(candidate.parts), max(len(candidate.parts) // parts, 1)):
            if given is not None and not candidate.parts[index].place.startswith(given):
                continue  # the other side follows the one in the file
            less = tuple(n - (i == index) for i, n in enumerate(remedy.steps))
            boat = edited(before.boat, candidate.edits(less))
            # On the way a boat may be one that cannot be made.
            assert placing_faults(boat, Standing(boat)) or not gone(item, refit_again(before, boat)), (remedy, less)


def prove_all(data: dict[str, Any], before: Refit, parts: int = 99) -> int:
    found = remedies(before)
    items = open_items(before)
    for remedy in found:
        prove(data, before, remedy, items, parts)
    return len(found)


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25"])
def test_every_remedy_of_a_demo_boat_is_proved(name: str) -> None:
    data = PLAIN.load((BOATS / f"{name}.yaml").read_text("utf-8"))
    assert prove_all(data, refit_of(name)) >= 1


def test_a_mirrored_boat_is_changed_on_the_side_that_its_file_gives() -> None:
    """FIRST TRY with shorter posts: both sides are one item, and the file is changed to starboard only."""
    data = PLAIN.load((BOATS / "first-try.yaml").read_text("utf-8"))
    for post in data["posts"]:
        post["holes"]["U"]["along"] = 440
    before = read_again(data)
    assert prove_all(data, before) >= 2
    changed = {change.key for one in remedies(before) for change in one.changes}
    assert changed and not any(".P-" in key for key in changed)


def test_changes_stand_in_the_axes_of_the_file() -> None:
    """SALTWHIN 31 from the transom forward, Y to port: what the remedies say to write closes the items there too."""
    data = PLAIN.load(turned("saltwhin-31", ("9000", "12.5", "-300"), "forward", "port"))
    before = read_again(data)
    assert prove_all(data, before) == len(remedies(refit_of("saltwhin-31")))
    moved = [change for one in remedies(before) for change in one.changes if change.key == "posts.S-S4.foot"]
    assert [change.from_ for change in moved] == ["[2480 mm, -1507.5 mm, 1273 mm]"]


@pytest.mark.long
def test_every_remedy_of_random_boats_is_proved() -> None:
    proved = [
        prove_all(data, read_again(data), parts=3) for data in some([random_data(seed) for seed in seeds(3)])
    ]  # fmt: skip
    assert sum(proved) > 0


def test_the_demo_s_remedies() -> None:
    """S-S2 is 4.6 mm low (boats' table): 5 mm of pad or tube; the gates lack 224.5 mm: 225 mm of width."""
    found = {(one.item, one.what.code): one for one in remedies(refit_of("saltwhin-31"))}
    items = {item.name: item.number for item in open_items(refit_of("saltwhin-31"))}
    pad = found[items["post.low"], "remedy.pad"]
    assert pad.what["by"]["by_mm"] == 5.0
    assert {change.key: change.to for change in pad.changes} == {
        "posts.S-S2.top": "617 mm", "posts.S-S2.holes.U.along": "601 mm", "posts.S-S2.holes.L.along": "303 mm",
    }  # fmt: skip
    assert found[items["line.gate"], "remedy.wider_gate"].what["by"]["by_mm"] == 225.0
    assert (items["line.gate"], "remedy.line_diameter") not in found
    assert "survey.bent" not in {name for name in items if (items[name], "remedy.replaced") not in found} & {
        "survey.bent"
    }


def test_figures_near_their_limits_are_one_item_whichever_they_are() -> None:
    """A remedy that brings other figures near their limits neither closes that item nor opens another."""
    before = next(item for seed in range(40) for item in open_items(random_refit(seed)) if item.name == "survey.within")
    assert is_same(before, replace(before, places=("other",)))
    assert not is_same(replace(before, name="post.low"), replace(before, name="post.low", places=("other",)))


def test_a_remedy_says_what_it_makes() -> None:
    """A lashing let out past 100 mm covers the error, and is over the gap that the rule allows."""
    data = PLAIN.load((BOATS / "saltwhin-31.yaml").read_text("utf-8"))
    data["fittings"]["lashing"]["length"] = {"min": "20", "planned": "60", "max": "65"}
    before = read_again(data)
    item = next(item for item in open_items(before) if item.name == "fitting.range")
    longer = [one for one in remedies(before) if one.item == item.number and one.what.code == "remedy.max_length"]
    assert longer and all(one.makes == () for one in longer)
    data["fittings"]["lashing"]["length"] = {"min": "20", "planned": "95", "max": "98"}
    before = read_again(data)
    item = next(item for item in open_items(before) if item.name == "fitting.range")
    longer = [one for one in remedies(before) if one.item == item.number and one.what.code == "remedy.max_length"]
    assert longer and all("item.gap" in [made.code for made in one.makes] for one in longer)


def test_what_is_kept_is_what_would_be_calculated() -> None:
    """A boat calculated again in part is the boat calculated whole."""
    before = refit_of("saltwhin-31")
    for remedy in some(remedies(before)):
        assert remedy.candidate is not None
        boat = edited(before.boat, remedy.candidate.edits(remedy.steps))
        assert place(boat, before.placed) == place(boat)


def test_the_smallest_number_of_steps() -> None:
    for least in some(range(1, 60)):
        for guess in (1, 2, 7, 30, 59):
            assert smallest(lambda n, least=least: n >= least, guess, 60) == least
    assert smallest(lambda n: False, 5, 60) is None


def test_remedies_of_all_families_are_found_without_fault() -> None:
    assert isinstance(remedies(boat_of_all_families()), tuple)


def lengthen_gates(data: dict[str, Any]) -> None:
    for post in data["posts"]:
        if post["id"].endswith("S4"):
            post["foot"][0] += 200
            post["brace"]["foot"][0] += 200


def plan_holes(data: dict[str, Any], upper: str) -> None:
    """Give both holes of S-S1 as planned, the upper one at another place."""
    holes = next(post for post in data["posts"] if post["id"] == "S-S1")["holes"]
    for hole in holes.values():
        hole["planned"] = hole.pop("as_found")
    holes["U"]["along"] = upper


PROVOKED: list[tuple[str, str, Callable[[dict[str, Any]], object]]] = [
    ("measure.over", "remedy.measured", lambda data: data["rules"]["measured"].update(pulpit_opening="400")),
    ("line.gate", "remedy.planned_length", lengthen_gates),
    ("line.material", "remedy.wire", lambda data: data["lines"]["guard rope"].update(
        construction="polyester braid", material="polyester")),
    ("hole.order", "remedy.upper_hole_higher", lambda data: plan_holes(data, "290")),
    ("hole.order", "remedy.lower_hole_lower", lambda data: plan_holes(data, "290")),
    ("post.low", "remedy.holes_higher", lambda data: plan_holes(data, "590")),
    ("fitting.stitching", "remedy.stitched", lambda data: data["ends"]["lashing end"].update(
        family="straight-bury eye", stitching="none")),
    ("strength.line", "remedy.strength", lambda data: data["rules"].update(
        own={"title": "owner", "min_breaking_load": "30 kN"})),
    ("fitting.pin", "remedy.pin", lambda data: [
        run["finish"].update(anchorage={"hole": "6", "thickness": "5"})
        for run in data["runs"] if run["id"] == "S-G-U"]),
    ("fitting.gap", "remedy.gap", lambda data: data["fittings"]["lashing"]["length"].update(max="140", planned="120")),
]  # fmt: skip


@pytest.mark.parametrize(("cause", "code", "change"), PROVOKED, ids=[f"{one[0]} {one[1]}" for one in PROVOKED])
def test_remedies_of_what_no_demo_boat_lacks(cause: str, code: str, change: Callable[[dict[str, Any]], object]) -> None:
    """SALTWHIN 31 with one fault more: its item has the remedy, and the remedy is proved."""
    data = PLAIN.load((BOATS / "saltwhin-31.yaml").read_text("utf-8"))
    change(data)
    before = read_again(data)
    items = open_items(before)
    item = next(one for one in items if one.name == cause)
    found = [one for one in remedies_of(before, item, items) if one.what.code == code]
    assert found
    for remedy in found:
        prove(data, before, remedy, items, parts=1)
