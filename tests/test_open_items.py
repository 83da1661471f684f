"""Open items: every finding that fails or is not determined in exactly one, each item one cause, the demo's list."""

from __future__ import annotations

import ast
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from geom.boat.file import read_boat
from geom.boat.model import HoleEdges
from geom.figure import Text
from geom.open_items import open_items
from geom.open_items.causes import FAILS, LINE_FAILS, NOT_DETERMINED, UnclaimedError, causes_of
from geom.open_items.item import KINDS, OpenItem
from geom.open_items.rank import MAKERS, RANKS
from geom.refit import Refit
from geom.refit import refit as refit_of_boat
from geom.remark import Remark
from geom.rules.finding import ClauseCheck, Finding, whole_boat
from geom.rules.line_practice import _CHECKS
from geom.rules.register import DOCUMENTS
from geom.sheets.compliance.sheet import rule_sheet
from geom.words import worded
from tests.boats import BOATS, NAMES, ROOT, boat_of_all_families, mirrored, refit_of
from tests.counts import seeds
from tests.made import sheets_by
from tests.random_boats import random_refit
from tests.rule_cases import cases, placed_of
from tests.some import some

GEOM = Path(__file__).parent.parent / "geom"
# Items that are found in the survey, not in the findings.
OF_SURVEY = {"survey.tape", "survey.bent", "survey.off_line", "admission.hmpe"}
# Items of what a shop or a supplier needs and the boat file lacks: no rule requires it.
OF_SHOP = {"fact.fabrication", "fact.parts"}
# Of a notice: how edges are finished is a choice that no rule requires.
OF_NOTICES = {"hole.edges"}
WITHOUT_FINDINGS = (
    "item.tape", "item.bent", "item.several", "item.off_line", "item.off_curve", "item.fabrication", "item.parts",
)  # fmt: skip


def is_open(finding: Finding) -> bool:
    """Return whether a finding has to be in an item: it fails, is not determined, or is too near its limit to pass."""
    near = finding.verdict == "pass" and finding.marginal and finding.binding
    return near or finding.verdict in ("fail", "cannot tell")


def claimed(items: tuple[OpenItem, ...]) -> Counter[str]:
    return Counter(finding.id for item in items for finding in item.findings if is_open(finding))


def check_once_each(refit: Refit) -> None:
    items = open_items(refit)
    assert claimed(items) == Counter(finding.id for finding in refit.findings if is_open(finding))
    assert [item.number for item in items] == list(range(1, len(items) + 1))
    kinds = [KINDS.index(item.kind) for item in items]
    assert kinds == sorted(kinds)
    for item in items:
        assert worded(item.cause)
        assert item.findings or item.cause.code.startswith(WITHOUT_FINDINGS)


@pytest.mark.parametrize("name", NAMES)
def test_every_open_finding_of_a_demo_boat_is_in_exactly_one_item(name: str) -> None:
    check_once_each(refit_of(name))


def test_every_open_finding_of_all_families_is_in_exactly_one_item() -> None:
    check_once_each(boat_of_all_families())


@pytest.mark.long
def test_every_open_finding_of_random_boats_is_in_exactly_one_item() -> None:
    for seed in some(seeds(10)):
        check_once_each(random_refit(seed))


def test_every_clause_that_can_be_undone_has_a_cause() -> None:
    """Each case of the rules that fails or is not determined has a cause: the cases cover every clause both ways."""
    from tests.rule_cases import findings

    found = Counter[str]()
    for case in some(one for one in cases() if one.verdict in ("fail", "cannot tell")):
        for finding, cause in causes_of(placed_of(case), findings(case)):
            found[cause.name] += 1
            assert cause.name in MAKERS, finding.id
    assert len(found) > 15


def test_every_check_of_the_line_work_that_refuses_has_a_cause() -> None:
    refused = set(LINE_FAILS)
    assert refused <= {*_CHECKS, "threading", "thimble"}


def test_tables_makers_and_ranks_agree() -> None:
    both = {f"{name}.{way}" for name in ("post", "eye", "span") for way in ("low", "high")}
    named = {name for name in (*FAILS.values(), *NOT_DETERMINED.values(), *LINE_FAILS.values()) if "." in name}
    named = (named - {"line.buries"}) | both | {"line.gate", "line.short", "survey.within"}
    assert named == set(MAKERS)
    assert set(RANKS) == set(MAKERS) | OF_SURVEY | OF_SHOP | OF_NOTICES


def test_a_finding_without_a_cause_is_an_error() -> None:
    refit = refit_of("saltwhin-31")
    odd = ClauseCheck("odd", "document", "1", "1", "odd", {}).say("fail", whole_boat(Remark("quantity.waiver")))
    with pytest.raises(UnclaimedError):
        list(causes_of(refit.placed, (odd,)))


def test_every_quantity_of_a_rule_is_known() -> None:
    """A quantity that rules measure has a cause, or is named here as one that never fails."""
    never = {
        "admission", "centre_to_top", "clause", "diameter", "difference_of_lines", "documents_named", "edition",
        "gaps", "grade", "height_of_single_line", "single_line_height", "opening_under_single_line", "waiver",
        "upper_course_height", "course_height", "core_diameter", "hull_length", "none", "edge_radius",
        "edge_radius_of_wall", "retention", "gate_across", "line_across", "netting",
    }  # fmt: skip
    quantities = set()
    for path in (GEOM / "rules").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Remark":
                code = node.args[0]
                if isinstance(code, ast.Constant) and str(code.value).startswith("quantity."):
                    quantities.add(str(code.value))
    assert len(quantities) > 20
    assert {code for code in quantities if code not in FAILS} <= {f"quantity.{name}" for name in never}
    assert len(list(DOCUMENTS)) == 10


def test_the_sheets_of_an_item_are_folders_of_sheets() -> None:
    folders = {path.name for path in (GEOM / "sheets").iterdir() if path.is_dir()}
    assert {sheet for rank in RANKS.values() for sheet in rank.sheets} <= folders


def test_the_demo_has_these_items() -> None:
    """What a designer would write to the owner by hand: the faults of boats/README first, then what is missing."""
    items = open_items(refit_of("saltwhin-31"))
    assert len(items) <= 13
    first = [(item.kind, item.cause.code, item.places) for item in items[:9]]
    assert first == [
        ("stop", "item.cannot_be_spliced", ("S-G-U", "S-G-L", "P-G-U", "P-G-L")),
        ("stop", "item.bent", ("P-S3",)),
        ("stop", "item.tape", ("S-S3-U", "S-S4-U")),
        ("fails", "item.too_low", ("S-S2",)),
        ("decide", "item.post_strength", POSTS),
        ("decide", "item.edges", BY_POST),
        ("decide", "item.hmpe", ("guard rope",)),
        ("measure", "item.hole_direction", HOLES),
        ("state", "item.part_strength", ("lashing end", "eye end", "lashing", "gate hook")),
    ]  # fmt: skip
    gate, bent, tape, low = items[:4]
    assert gate.cause["has_mm"] == pytest.approx(575.5, abs=0.05)
    assert gate.cause["needs_mm"] == pytest.approx(800.0)
    codes = [choice.what.code for choice in gate.choices]
    assert codes == ["instead.wire", "instead.webbing", "choice.one_line", "choice.loop"]
    assert low.cause["short_mm"] == pytest.approx(4.6, abs=0.05)
    assert low.settles == 4
    assert tape.cause["off_mm"] == pytest.approx(18.5, abs=0.05)
    assert bent.choices[0].what.code == "choice.replace_post"
    assert bent.choices[0].to_check is not None


BY_POST = tuple(f"{side}-S{n}-{level}" for side in "SP" for n in (1, 2) for level in "UL")
HOLES = tuple(f"{side}-S{n}-{level}" for side in "SP" for level in "UL" for n in (1, 2))
# The tubes are known by their grade alone, whose minimum does not show that any of them holds 280 N.
POSTS = tuple(f"{side}-S{n}" for side in "SP" for n in (1, 2, 3, 4))


def test_edges_that_the_wall_cannot_round_are_to_be_decided() -> None:
    """Practice, no source: R 2 for rope; a wall of 1.5 polished to a full round has R 0.75. A choice closes it."""
    item = next(one for one in open_items(refit_of("saltwhin-31")) if one.name == "hole.edges")
    assert (item.kind, item.settles) == ("decide", 0)
    assert item.cause["min_mm"] == 2.0
    said = " ".join(worded(choice.what) for choice in item.choices)
    for word in ("radius 0.75 mm", "welded through-tube", "plastic bush", "sleeve on the line"):
        assert word in said
    assert not any(one.name == "hole.edges" for one in open_items(refit_of("pipwing-25"))), "wire needs no radius"
    boat = refit_of("saltwhin-31").boat.model_copy(update={"hole_edges": HoleEdges(choice="polished edge")})
    chosen = refit_of_boat(replace(refit_of("saltwhin-31").loaded, boat=boat))
    assert not any(one.name == "hole.edges" for one in open_items(chosen))


def test_the_first_try_passes_what_can_be_calculated() -> None:
    """Nothing fails, nothing is undetermined, by its own rules and by all of them; open is the organiser's word."""
    text = (BOATS / "first-try.yaml").read_text("utf-8")
    of_all = refit_of_boat(read_boat(text.replace("  documents: [osr, iso-15085]\n", "").encode(), "all documents"))
    assert {one.document for one in of_all.findings} > {one.document for one in refit_of("first-try").findings}
    for refit in some((refit_of("first-try"), of_all)):
        assert [finding.id for finding in refit.findings if finding.verdict in ("fail", "cannot tell")] == []
        assert [item.name for item in open_items(refit)] == ["admission.hmpe"]


def test_a_mirrored_boat_has_one_item_for_a_reading_named_by_the_side_that_was_surveyed() -> None:
    """S-S3 stands 11 mm further inboard of the deck edge than usual; port is its image, and was never measured."""
    (item,) = (item for item in open_items(mirrored()) if item.name == "survey.off_line")
    assert item.places == ("S-S3",) and worded(item.cause).startswith("foot of S-S3: 11 mm inboard of the usual")
    text = (ROOT / "tests" / "fixtures" / "mirrored-24.yaml").read_text("utf-8")
    leaning = text.replace("foot: [3700, 1120, 816]\n    lean: 3", "foot: [3700, 1120, 816]\n    lean: 8")
    assert leaning != text
    (bent,) = (
        item for item in open_items(refit_of_boat(read_boat(leaning.encode(), "bent"))) if item.name == "survey.bent"
    )
    assert bent.places == ("S-S2", "P-S2") and worded(bent.cause).startswith("S-S2 probably bent")


def test_the_survey_sheet_says_by_what_feet_are_checked() -> None:
    lettering = (item for sheet in sheets_by(rule_sheet, mirrored()) for item in sheet.items if isinstance(item, Text))
    texts = [item.text for item in lettering]
    assert "OFF EDGE" in texts
    assert any(text.startswith("Feet are checked by the deck edge alone") for text in texts)
