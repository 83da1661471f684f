"""Boat files of format 1 give the figures that format 1 gave, under today's keys.

`tests/boats` holds three boat files as format 1 was written and their reports as it gave them, with all their digits.
"""

from __future__ import annotations

import copy
import json
import math
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from geom.export import check_report
from geom.refit import Refit, read_refit, refit
from tests.boats import NAMES
from tests.some import some

FOLDER = Path(__file__).parent / "boats"
CLOSE = 1e-9

# Key of format 1 -> key of today, in the same place. What stands in no list is called as it was.
RENAMED = {
    "runs[].deductions_mm": "terminal_deductions_mm",
    "runs[].made_in_place": "made_on_board",
    "runs[].work.cut_least_mm": "cut_min_mm",
    "runs[].work.cut_most_mm": "cut_max_mm",
    "runs[].work.stations[].what": "mark",
    "runs[].work.threading.in_place_end": "on_board_end",
    "runs[].work.budget.wants_shorten_mm": "needed_shorten_mm",
    "runs[].work.budget.wants_lengthen_mm": "needed_lengthen_mm",
    "runs[].work.budget.text": "note",
    "runs[].work.settings[].least_mm": "min_mm",
    "runs[].work.settings[].most_mm": "max_mm",
    "loads.pushes[].while_loaded_n": "tension_while_loaded_n",
    "loads.pushes[].slack_that_passes_mm": "permitted_slack_mm",
    "loads.pushes[].expected_free_mm": "expected_sag_free_mm",
    "loads.pushes[].expected_locked_mm": "expected_sag_locked_mm",
    "loads.posts[].side_n": "force_outboard_n",
    "loads.posts[].fore_and_aft_n": "force_aft_n",
    "loads.posts[].share_of_proof_stress": "proof_stress_utilisation",
    "loads.posts[].words": "note",
    "loads.falls[].share_of_weakest": "weakest_link_utilisation",
    "loads.falls[].first_post_folds_at_n": "first_post_collapses_at_lower_n",
    "loads.not_known": "missing",
    "loads.open_gates[].moment_nm": "moment_at_foot_nm",
    "loads.open_gates[].moment_unbraced_nm": "moment_at_foot_unbraced_nm",
    "findings[].printed": "limit_as_printed",
    "findings[].would": "would_be",
    "findings[].sure": "confidence",
}
# Words of format 1 -> words of today.
REWORDED = {
    "holes[].direction": {"told": "stated"},
    "findings[].subject": {
        "made-up end through hole": "finished end through hole",
        "what the end takes hold of": "attachment",
        "error against one shop's habit": "error against shop practice",
    },
    "findings[].quantity": {
        "height at post": "height at stanchion",
        "largest opening at deck stations between posts": "largest opening at deck stations between stanchions",
        "lowest height at deck stations between posts": "lowest height at deck stations between stanchions",
        "opening above deck at post": "opening above deck at stanchion",
        "opening between lines at post": "opening between lines at stanchion",
    },
    "loads.posts[].state": {"folded": "collapsed"},
    "loads.open_gates[].state": {"folded": "collapsed"},
    "loads.open_gates[].state_unbraced": {"folded": "collapsed"},
}
# Sentences, which may be worded anew; only whether there are any is checked.
SENTENCES = {
    "runs[].reason", "runs[].work.refused", "runs[].work.alternatives", "runs[].work.terms[].formula",
    "runs[].work.missing", "runs[].work.threading.reason", "runs[].work.threading.steps",
    "runs[].work.threading.captive", "runs[].work.budget.text", "loads.posts[].words", "loads.not_known",
    "findings[].note", "caution", "cautions", "holes[].axis_basis",
}  # fmt: skip
# The number of the format itself, the hash of the data, in which the boat file's own keys stand, and the note that the
# file was migrated.
OTHERWISE = {"format", "boat.data_sha256", "boat.notes"}
# Figures that format 1 gave wrongly, each with what is right now.
CORRECTED = {
    "findings[].uncertainty": "by common practice where the boat file states none; it was left out",
    "loads.posts[].stress_mpa": "of the worst section, drilled holes included; it was of the gross tube alone",
    "loads.posts[].share_of_proof_stress": "of the worst section",
    "loads.open_gates[].hook_post": "by the plastic utilisation of the worst section, holes included",
    "loads.falls[].deflection_mm": "the largest within the range of the line's stiffness",
    "loads.falls[].weakest_link": "of equal ones the first by its name; it hung on the last digit",
    "loads.falls[].first_post_folds_at_n": "of every drilled section; now the lower bound of a bracket",
    "loads.pushes[].while_loaded_n": "under the load of the edition in force, 4 kg; it was that of the edition of 2014",
    "loads.pushes[].needed_upper_n": "under the load of the edition in force",
    "loads.pushes[].slack_that_passes_mm": "under the load of the edition in force",
    "loads.pushes[].expected_free_mm": "at the recommended set tension where none is stated; it was left open",
    "loads.pushes[].expected_locked_mm": "at the recommended set tension where none is stated",
    "runs[].cut_mm": "of wire: less its stretch from marking to the recommended set tension",
    "runs[].work.cut_least_mm": "of wire: less its stretch from marking to the set tension",
    "runs[].work.cut_most_mm": "of wire: less its stretch from marking to the set tension",
    "runs[].work.marked_mm": "less the stretch from marking to the set tension, where a stiffness is known",
    "runs[].work.terms": "of wire: with its stretch from marking to the set tension",
    "runs[].work.budget.combined_mm": "take-ups of two ends of one rope are one common error, not two",
    "runs[].work.budget.wants_shorten_mm": "by the error as corrected",
    "runs[].work.budget.wants_lengthen_mm": "by the error as corrected",
}
# Findings of format 1, by the beginning of their id, that judge otherwise today.
REJUDGED = {
    "osr-3.14.2-": "at the recommended set tension where none is stated; it could not tell",
    "line-set-tension:": "one notice for the boat; it was one of each run",
}
# Findings whose figures format 1 gave wrongly, by clause.
CORRECTED_FINDINGS = {
    "iso-15085-10-load-without-set": "both ways and with the drilled holes; a grade alone shows no strength",
    "line-budget": "take-ups of two ends of one rope are one common error, not two",
    "line-budget-shop": "by the error as corrected",
    "osr-3.14.6-d": "by the weakest wire of the required size; it was by one construction in inches",
}
# What a line on hold no longer gives, of runs[].work: nobody is to lay off a line that is not to be cut.
WITHHELD = ("cut_least_mm", "cut_most_mm", "terms", "stations", "settings")
# Lists whose order is a ranking: rows are compared by what they are of.
RANKED = {
    "findings": ("id",), "loads.posts": ("id",), "loads.falls": ("run", "span", "place", "person"),
}  # fmt: skip


@cache
def reports(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the report of format 1 and today's of the same boat file, its loads at the set tensions of format 1."""
    old = json.loads((FOLDER / f"{name}.format-1.json").read_text("utf-8"))
    old["findings"] = [row for row in old["findings"] if not row["id"].startswith(tuple(REJUDGED))]
    found = read_refit(str(FOLDER / f"{name}.yaml"))
    new = check_report(found, decimals=15)
    for then, now in some(zip(old["runs"], new["runs"], strict=True)):
        if now["work"]["refused"] is not None:
            for key in WITHHELD:
                del then["work"][key]
            del then["work"]["threading"]["steps"]
    new["loads"] = check_report(at_tensions_of(old, found), decimals=15)["loads"]
    return old, new


def at_tensions_of(old: dict[str, Any], found: Refit) -> Refit:
    """Return the boat with the set tensions that format 1 took: what the widest span of each run needs under 40 N."""
    needed: dict[str, float] = {}
    for push in old["loads"]["pushes"]:
        needed[push["run"]] = max(needed.get(push["run"], 0.0), push["while_loaded_n"])
    boat = found.boat
    runs = tuple(run.model_copy(update={"set_tension": needed[run.id]}) for run in boat.runs)
    return refit(replace(found.loaded, boat=boat.model_copy(update={"runs": runs})))


def differences(old: Any, new: Any, place: str = "") -> list[str]:
    """Return in words what stands otherwise today."""
    if place in OTHERWISE or place in CORRECTED:
        return []
    if place in SENTENCES:
        return [] if bool(old) == bool(new) else [f"{place}: {old!r} then, {new!r} now"]
    if isinstance(old, dict):
        found = []
        for key, value in old.items():
            inner = f"{place}.{key}".lstrip(".")
            name = RENAMED.get(inner, key)
            found += differences(value, new[name], inner) if name in new else [f"{inner}: '{name}' is gone"]
        return found
    if isinstance(old, list):
        if place in RANKED:
            old, new = (sorted(rows, key=lambda row: [row[key] for key in RANKED[place]]) for rows in (old, new))
        if place == "findings":
            # Rules may be added; a finding of format 1 that is gone leaves its list shorter.
            old = [row for row in old if row["id"].partition(":")[0] not in CORRECTED_FINDINGS]
            known = {row["id"] for row in old}
            new = [row for row in new if row["id"] in known]
        if len(old) != len(new):
            return [f"{place}: {len(old)} then, {len(new)} now"]
        return [one for a, b in zip(old, new, strict=True) for one in differences(a, b, f"{place}[]")]
    if isinstance(old, float) and isinstance(new, float):
        return [] if math.isclose(old, new, rel_tol=CLOSE, abs_tol=CLOSE) else [f"{place}: {old!r} then, {new!r} now"]
    old = REWORDED.get(place, {}).get(old, old) if isinstance(old, str) else old
    return [] if old == new else [f"{place}: {old!r} then, {new!r} now"]


@pytest.mark.parametrize("name", NAMES)
def test_a_boat_file_of_format_1_gives_the_same_figures(name):
    old, new = reports(name)
    assert (old["format"], new["format"]) == (1, 2)
    assert differences(old, new) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_comparison_can_fail(name):
    """A figure off by a hundred-thousandth, a key that vanished and a row too few are each found."""
    old, new = reports(name)
    off = copy.deepcopy(new)
    off["runs"][0]["path_mm"] += 1e-5
    del off["posts"][0]["tilt_deg"]
    off["holes"].pop()
    assert [line.partition(":")[0] for line in differences(old, off)] == ["runs[].path_mm", "posts[].tilt_deg", "holes"]


def test_every_listed_rename_is_in_use():
    """A list that names keys which format 1 did not have would hide a fault."""
    used: set[str] = set()

    def walk(value: Any, place: str) -> None:
        used.add(place)
        if isinstance(value, dict):
            for key, inner in value.items():
                walk(inner, f"{place}.{key}".lstrip("."))
        elif isinstance(value, list):
            for inner in value:
                walk(inner, f"{place}[]")

    for name in NAMES:
        walk(reports(name)[0], "")
    assert {*RENAMED, *REWORDED, *SENTENCES, *OTHERWISE, *CORRECTED, *RANKED} <= used
    ids = [
        row["id"]
        for name in NAMES
        for row in json.loads((FOLDER / f"{name}.format-1.json").read_text("utf-8"))["findings"]
    ]
    assert all(any(one.startswith(beginning) for one in ids) for beginning in REJUDGED)


def test_a_line_on_hold_gives_nothing_to_lay_off():
    _, new = reports("saltwhin-31")
    held = [run["work"] for run in new["runs"] if run["work"]["refused"] is not None]
    for work in some(held):
        assert not any(work[RENAMED.get(f"runs[].work.{key}", key)] for key in WITHHELD)
        assert work["threading"]["steps"] == work["marks"] == []
