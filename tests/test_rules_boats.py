"""The demonstration boats under the rules, and what must hold for any boat: mirror, waivers, documents chosen."""

from __future__ import annotations

import dataclasses
import math
import re
from dataclasses import replace
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from geom.boat.file import read_boat
from geom.boat.mirror import other_name
from geom.boat.model import Boat, OwnLimits, Rules
from geom.errors import InputError
from geom.mechanics.cable import load_line
from geom.mechanics.elastic_line import set_line
from geom.mechanics.push_test import push_force
from geom.refit import place, refit
from geom.remark import Remark
from geom.rules.applied import check
from geom.rules.compare import compare
from geom.rules.coverage import coverage
from geom.rules.digest import counts, digest
from geom.rules.documents import own
from geom.rules.finding import ClauseCheck, Finding, Measure
from geom.words import worded
from tests.boats import BOATS, refit_of, without_tensions
from tests.random_boats import random_refit
from tests.rule_cases import boat_with
from tests.some import some


def of_document(findings: tuple[Finding, ...], document: str) -> list[Finding]:
    return [finding for finding in findings if finding.document == document]


def at_posts(findings: list[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.quantity.code == "quantity.height_at_post"]


def test_saltwhin_fails_exactly_the_upper_height_at_its_short_post() -> None:
    """Boat invented for the demonstration; 600 mm: OSR 3.14.1 b) i."""
    found = at_posts(of_document(refit_of("saltwhin-31").findings, "World Sailing OSR"))
    failed = [finding for finding in found if finding.verdict == "fail"]
    assert [finding.post for finding in failed] == ["S-S2"]
    assert failed[0].measured == pytest.approx(595.4, abs=0.05)
    assert failed[0].limit == 600.0
    assert failed[0].margin == pytest.approx(-4.6, abs=0.05)
    assert "595.4 mm above the deck at the foot, 599.7 mm above the deck edge" in worded(failed[0].notes)
    assert len([finding for finding in found if finding.verdict == "pass"]) == 15


def test_saltwhin_line_is_low_beside_the_short_post_too() -> None:
    low = [f for f in refit_of("saltwhin-31").findings if f.id == "osr-3.14.1-b-i:S-F-U"]
    assert [finding.verdict for finding in low] == ["fail"]
    assert worded(low[0].notes).startswith("at X 4150.0 mm: ")


def test_saltwhin_widest_span_aft_of_the_mast() -> None:
    """The mast stands at X 3900, beside the wider span S-S1 to S-S2: both readings are judged."""
    found = [f for f in refit_of("saltwhin-31").findings if f.clause == "3.14.2 a)" and f.run and f.run[0] == "S"]
    assert [finding.id.split(":")[1] for finding in found] == ["S-A-U-span-1", "S-F-U-span-2"]
    assert "1718.8 mm between supports, 1698.8 mm of line" in worded(found[0].notes)
    assert "this span straddles the mast" in worded(found[1].notes)


def test_a_finding_of_a_span_names_the_supports_on_either_side() -> None:
    """Spans count from 1; a run of n spans has n + 1 points with names."""
    worked_out = refit_of("saltwhin-31")
    for finding in some([f for f in worked_out.findings if "-span-" in f.id and f.clause.startswith("3.14.2")]):
        number = int(finding.id.rpartition("-")[2])
        names = worked_out.placed.runs[finding.run].names
        assert (finding.where["span"], finding.where["ends"]) == (number, tuple(names[number - 1 : number + 1]))


def test_the_tightest_span_stands_for_its_like() -> None:
    """At the recommended tensions the span with the smallest margin is the one to show, with its tension."""
    worked_out = without_tensions("saltwhin-31")
    lines = [line for line in digest(worked_out.findings) if line.finding.clause.startswith("3.14.2")]
    assert [line.finding.clause for line in lines] == ["3.14.2 a)", "3.14.2 b)"]
    for line in lines:
        margins = [one.margin for one in line.others]
        assert None not in margins
        assert 0.0 <= line.finding.margin <= min(margins)
        tension = worked_out.loads.runs[line.finding.run].tension
        assert f"set to {tension:.0f} N, recommended" in worded(line.finding.notes)


def test_the_force_of_a_push_test_stands_beside_its_limit() -> None:
    """4 kg in the later editions, from memory; 40 N by the amendment of 2014."""
    boat = refit_of("saltwhin-31").boat
    later = next(f for f in refit_of("saltwhin-31").findings if f.clause == "3.14.2 a)")
    assert (worded(later.printed), later.sure) == ("50 mm (2 in) under 4 kg (8.8 lb)", "memory mid")
    of_2014 = with_rules(boat, documents=["osr"], editions={"osr": "2014"})
    earlier = next(f for f in check(place(of_2014)) if f.clause == "3.14.2 a)")
    assert (worded(earlier.printed), earlier.sure) == ("50 mm under 40 N", "found")
    assert (worded(later.quantity), worded(earlier.quantity)) == (
        "deflection midway under 39.2 N, flexible ends", "deflection midway under 40.0 N, flexible ends",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("boat", "levels"), [(refit_of("saltwhin-31").boat, "UL"), (random_refit(3).boat, "UML")], ids=["two", "three"]
)
def test_a_boat_without_its_mast_has_no_span_judged_on_any_line(boat: Boat, levels: str) -> None:
    boat = boat.model_copy(update={"boat": boat.boat.model_copy(update={"mast_x": None})})
    found = [f for f in check(place(boat)) if f.clause.startswith("3.14.2")]
    assert {(f.where["side"], f.where["level"]) for f in found} == set(product("SP", levels))
    assert all(f.verdict == "cannot tell" and "position of the mast" in worded(f.notes) for f in found)


def test_every_clause_that_is_checked_says_something() -> None:
    for name in ("saltwhin-31", "pipwing-25"):
        said = {(f.document, f.edition, f.clause) for f in refit_of(name).findings}
        for one in some(coverage(refit_of(name).boat)):
            assert {(one.document, one.edition, clause) for clause in one.checked} <= said


def test_nothing_is_said_of_a_hole_whose_direction_was_not_measured() -> None:
    for name in ("saltwhin-31", "pipwing-25"):
        posts = {post.id: post for post in refit_of(name).boat.posts}
        lips = [f for f in refit_of(name).findings if f.clause == "both-lips"]
        assert lips
        for finding in lips:
            post, _, level = finding.id.partition(":")[2].rpartition("-")
            if posts[post].holes[level].as_found.direction == "unknown":
                assert finding.verdict == "cannot tell"


def test_a_lashing_gap_has_one_verdict() -> None:
    """The making agrees to what the regulations judge: it is said once, by the edition in force."""
    found = refit_of("saltwhin-31").findings
    judged = [f for f in found if f.clause == "3.14.6 c) lanyard"]
    assert judged
    assert not [f for f in found if f.clause == "lashing-gap"]
    boat = with_rules(refit_of("saltwhin-31").boat, documents=["iso-15085"])
    alone = [f for f in check(place(boat), tuple(_gap(f.run) for f in judged)) if f.clause == "lashing-gap"]
    assert len(alone) == len(judged)


def _gap(run: str | None) -> Finding:
    clause = ClauseCheck("line", "line work", "x", "lashing-gap", "x", {})
    return clause.say("pass", Measure(str(run), Remark("quantity.none"), None, run=run))


def test_in_a_comparison_no_place_that_keeps_a_clause_hides_one_that_does_not() -> None:
    """PIPWING 25 keeps the 450 mm of the French text everywhere but at P-S3."""
    lines = [line for line in digest(refit_of("pipwing-25").findings) if not line.finding.binding]
    clauses = [(line.finding.document, line.finding.clause) for line in lines]
    assert len(set(clauses)) == len(clauses)
    height = next(line for line in lines if line.finding.clause == "240-2.58 height")
    assert (height.finding.post, height.finding.would, height.would_fail) == ("P-S3", "fail", 1)
    assert {one.verdict for one in height.others} == {"pass"}


def test_pipwing_fails_the_single_line_at_its_short_post_and_cannot_tell_the_rest() -> None:
    """LH 292 in is under 8.5 m, no category is stated: OSR 3.14.1 b) iv."""
    found = of_document(refit_of("pipwing-25").findings, "World Sailing OSR")
    failed = [finding for finding in at_posts(found) if finding.verdict == "fail"]
    assert [(finding.post, finding.clause) for finding in failed] == [("P-S3", "3.14.1 b) iv")]
    # The table of the boat gives 17.48 in, which is 444.0 mm.
    assert failed[0].measured == pytest.approx(17.48 * 25.4, abs=0.2)
    assert failed[0].limit == 450.0
    single = [f for f in found if f.clause == "3.14.1 b) iv" and f.post != "P-S3"]
    assert {finding.verdict for finding in single} == {"cannot tell"}
    assert all("no category is stated" in worded(finding.notes) for finding in single)


@pytest.mark.parametrize(
    ("hull", "iso", "osr"),
    [(8499.0, "pass", "pass"), (8500.0, "pass", "pass"), (8510.0, "fail", "pass"), (28 * 304.8, "fail", "fail")],
)
def test_a_hull_of_eight_and_a_half_metres_gets_two_answers(hull: float, iso: str, osr: str) -> None:
    """OSR 3.14.1 b) iv says under 8.5 m (28 ft), which is 8534.4 mm; ISO 15085:2003, table 4, says 8.50 m and less."""
    single = {
        "boat/hull_length": hull,
        "boat/rule_category": "3",
        "rules/design_category": "C",
        "runs/S-F-L": None, "runs/S-G-L": None, "runs/S-A-L": None,
        "posts/S-S1/holes/U/along": 500.0,
    }  # fmt: skip
    found = {f.id: f for f in check(place(boat_with(single)))}
    assert found["iso-15085-10.2-height:S-S1-U"].verdict == iso
    if osr == "pass":
        line = found["osr-3.14.1-b-iv:S-S1-U"]
        assert line.verdict == "pass"
        upper = found["osr-3.14.1-b-i:S-single"]
        assert upper.verdict == "not applicable"
        assert ("meets the 28 ft that the rule prints as well" in worded(upper.notes)) == (hull >= 8500.0)
    else:
        assert found["osr-3.14.1-b-iv:S-single"].verdict == found["osr-3.14.1-b-i:S-S1-U"].verdict == "fail"


def test_pairs_that_differ_are_a_notice_and_pairs_alike_pass() -> None:
    found = {f.id: f for f in refit_of("saltwhin-31").findings if f.clause == "pair"}
    assert found["pair:F-U"].verdict == "notice"
    assert "DO NOT PAIR" in worded(found["pair:F-U"].notes)
    alike = mirror_of(refit_of("saltwhin-31").boat, keep="S")
    assert {f.verdict for f in check(place(alike)) if f.clause == "pair"} == {"pass"}


def test_a_waiver_stands_beside_and_never_passes() -> None:
    waiver = {"finding": "osr-3.14.1-b-i:S-S2-U", "who": "inspector", "why": "post on order", "date": "2026-03-02"}
    boat = with_rules(refit_of("saltwhin-31").boat, waivers=[waiver])
    before = {f.id: f for f in check(place(with_rules(boat)))}
    after = {f.id: f for f in check(place(boat))}
    waived = after["osr-3.14.1-b-i:S-S2-U"]
    assert waived.verdict == before[waived.id].verdict == "fail"
    assert worded(waived.waivers) == "waived by inspector, 2026-03-02: post on order"
    assert [f.id for f in after.values() if f.waivers] == [waived.id]
    assert {f.id: f.verdict for f in before.values()} == {f.id: f.verdict for f in after.values()}


def test_a_waiver_of_a_whole_clause_and_one_of_nothing() -> None:
    who = {"who": "inspector", "why": "old boat", "date": "2026-03-02"}
    boat = with_rules(refit_of("saltwhin-31").boat, waivers=[{"finding": "pair", **who}, {"finding": "no-such", **who}])
    found = check(place(boat))
    assert all(f.waivers for f in found if f.clause == "pair")
    idle = [f for f in found if f.clause == "waivers"]
    assert [(f.verdict, f.notes[0].code) for f in idle] == [("notice", "waiver.of_nothing")]


def test_findings_from_elsewhere_may_be_waived_too() -> None:
    clause = ClauseCheck("line", "line work", "common practice", "x", "x", {})
    other = clause.say("fail", Measure("S-F-U", Remark("quantity.none"), None))
    who = {"who": "rigger", "why": "seen", "date": "2026-03-02"}
    boat = with_rules(refit_of("saltwhin-31").boat, waivers=[{"finding": other.id, **who}])
    last = check(place(boat), (other,))[-1]
    assert (last.id, last.verdict, worded(last.waivers)) == (other.id, "fail", "waived by rigger, 2026-03-02: seen")


def test_documents_and_editions_that_the_file_names_are_the_only_ones() -> None:
    boat = with_rules(refit_of("saltwhin-31").boat, documents=["osr", "cfr-169.327"], editions={"osr": "2014"})
    found = check(place(boat))
    kinds = [(document, edition) for document, edition, _ in counts(found)]
    assert kinds == [("World Sailing OSR", "2014"), ("46 CFR 169.327", "undated"), ("common practice", "no source")]
    assert any(f.verdict == "fail" for f in of_document(found, "46 CFR 169.327")), "named, so it binds"
    assert all(f.binding for f in found)


def test_documents_not_named_bind_no_boat_of_another_use() -> None:
    found = of_document(check(place(with_rules(refit_of("saltwhin-31").boat))), "46 CFR 169.327")
    assert {f.verdict for f in found} == {"notice", "pass"}
    assert not any(f.binding for f in found)
    assert any(f.would == "fail" and f.margin is not None and f.margin < 0.0 for f in found)
    assert "binding for sailing school vessels" in worded(found[0].notes)


@pytest.mark.parametrize(("named", "said"), [(None, True), (["iso-15085"], False)])
def test_a_boat_that_names_no_rules_has_a_notice(named: list[str] | None, said: bool) -> None:
    boat = refit_of("saltwhin-31").boat
    boat = boat.model_copy(update={"rules": None}) if named is None else with_rules(boat, documents=named)
    assert any("rules.none_named" in {note.code for note in f.notes} for f in check(place(boat))) is said


def test_own_limits_are_checked_where_they_are_given() -> None:
    limits = {"title": "owner's limits", "min_upper_height": 620.0, "max_tilt": math.radians(2.0)}
    boat = with_rules(refit_of("saltwhin-31").boat, documents=["osr"], own=limits)
    found = [f for f in check(place(boat)) if f.document == "owner's limits"]
    assert {f.clause for f in found} == {"min upper height", "max tilt"}
    by_post = {f.post: f.verdict for f in found if f.clause == "max tilt"}
    assert by_post["P-S3"] == "pass"
    assert by_post["S-S1"] == "fail"


# Each limit as the plain boat just keeps it, and just does not.
OWN = {
    "min_upper_height": (610.0, 611.0),
    "min_lower_height": (300.0, 301.0),
    "max_opening": (310.0, 309.0),
    "max_support_spacing": (2000.0, 1999.0),
    "max_tilt": (0.01, 0.0099),
    "max_base_inboard": (38.0, 37.0),
    "max_lashing_gap": (60.0, 59.0),
    "min_line_diameter": (5.0, 5.1),
    "min_breaking_load": (18000.0, 18001.0),
}


@pytest.mark.parametrize("key", OWN)
def test_each_own_limit_passes_and_fails(key: str) -> None:
    lean = {"posts/S-S1/lean": 0.01} if key == "max_tilt" else {}
    said = []
    for value in OWN[key]:
        limits = {"title": "own", key: value}
        found = [f for f in check(place(boat_with({"rules/own": limits, **lean}))) if f.document == "own"]
        said.append({f.verdict for f in found if f.verdict != "pass"})
    assert said == [set(), {"fail"}]


def test_every_own_limit_is_tried() -> None:
    assert set(OWN) == set(OwnLimits.model_fields) - {"title"} == {c.clause.replace(" ", "_") for c in own.CLAUSES}


def test_coverage_counts_every_clause_once() -> None:
    table = {(row.document, row.edition): row for row in coverage(refit_of("saltwhin-31").boat)}
    osr = table["World Sailing OSR", "2024"]
    assert "3.14.1 b) i" in osr.checked
    assert "3.14.1 d)" in [clause for clause, _ in osr.not_computable]
    assert "3.14.6 HMPE diameter" in [clause for clause, _ in osr.not_read]
    iso = table["ISO 15085", "2003"]
    assert {"10.3", "10.4"} <= {clause for clause, _ in iso.not_read}
    boat = with_rules(refit_of("saltwhin-31").boat, documents=["iso-15085"], editions={"iso-15085": "2024"})
    newest = coverage(boat)[0]
    assert newest.checked == ()
    assert newest.not_read
    assert {f.verdict for f in of_document(check(place(boat)), "ISO 15085")} == {"notice"}


def test_two_editions_side_by_side() -> None:
    """The push test's force was 50 N before 2014 and 40 N then: rules question and answer 2014-013."""
    placed = place(boat_with({"runs/S-A-U/set_tension": 450.0}))
    rows = {(row.clause, row.place): row for row in compare(placed, "osr", "2008", "2014")}
    push = rows["3.14.2 a)", "S-A-U-span-1"]
    assert push.differs
    assert (push.first.verdict, push.second.verdict) == ("cannot tell", "pass")  # type: ignore[union-attr]
    coating = rows["3.14.6 c) coating", "wire"]
    assert coating.second is None
    assert coating.only == Remark("edition.not_read", edition="2014")
    assert not any(row.differs for row in compare(placed, "osr", "2014", "2014"))


@pytest.mark.parametrize(
    ("margins", "lines"),
    [((-1.0, 1.0), 2), ((1.0, 2.0), 1), ((-2.0, -1.0), 1), ((0.0, None), 1), ((0.0, -1.0), 2), ((-1.0, -1.0, None), 2)],
)
def test_findings_beyond_a_limit_and_within_it_share_no_line(margins: tuple[float | None, ...], lines: int) -> None:
    """A margin is positive where the limit is met; a finding of no figure is beyond none."""
    same = replace(_gap("S-F-U"), verdict="notice")
    assert len(digest(tuple(replace(same, id=str(k), margin=one) for k, one in enumerate(margins)))) == lines


def test_digest_is_short_and_hides_no_failure() -> None:
    findings = refit_of("saltwhin-31").findings
    lines = digest(findings)
    assert sum(line.count for line in lines) == len(findings)
    failed = [f.id for f in findings if f.verdict == "fail"]
    assert [line.finding.id for line in lines[: len(failed)]] == failed
    assert len(lines) < 80
    assert all(line.count == 1 for line in lines if line.finding.verdict == "fail")


@pytest.mark.parametrize(
    "rules",
    [
        {"documents": ["osr-2024"]},
        {"editions": {"osr": "1066"}},
        {"waivers": [{"finding": "pair", "who": "inspector", "why": "old boat"}]},
        {"own": {"title": "own", "upper_hight_least": 600.0}},
    ],
)
def test_a_slip_in_the_rules_is_refused(rules: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        Rules.model_validate(rules)


def test_the_reader_names_line_and_valid_editions() -> None:
    text = (BOATS / "pipwing-25.yaml").read_text("utf-8") + "\nrules:\n  documents: [osr]\n  editions: {osr: 2013}\n"
    with pytest.raises(InputError) as refused:
        read_boat(text.encode(), "boat.yaml")
    assert "edition 2013 of osr is not known" in str(refused.value)
    assert "2008, 2010, 2014" in str(refused.value)
    assert read_boat(text.replace("2013", "2014").encode(), "boat.yaml").boat.rules.editions == {"osr": "2014"}  # type: ignore[union-attr]


@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25"])
def test_mirrored_boat_mirrored_findings(name: str) -> None:
    assert_mirrored(refit_of(name).boat)


@settings(max_examples=15, deadline=None)
@given(
    lean=st.floats(-0.3, 0.3), rake=st.floats(-0.3, 0.3), along=st.floats(200.0, 900.0),
    y=st.floats(-400.0, 300.0), length=st.floats(7000.0, 14000.0), tension=st.floats(50.0, 900.0),
)  # fmt: skip
def test_any_mirrored_boat_mirrored_findings(
    lean: float, rake: float, along: float, y: float, length: float, tension: float
) -> None:
    change = {
        "posts/S-S1/lean": lean,
        "posts/S-S1/rake": rake,
        "posts/S-S1/holes/U/along": along,
        "posts/S-S1/foot": [2000.0, 1450.0 + y, 1000.0],
        "boat/hull_length": length,
        "runs/S-A-U/set_tension": tension,
    }
    assert_mirrored(boat_with(change))


@given(along=st.floats(300.0, 900.0), more=st.floats(0.1, 50.0))
@settings(max_examples=25, deadline=None)
def test_a_higher_line_has_no_less_margin_in_height(along: float, more: float) -> None:
    def margin(height: float) -> float:
        found = check(place(boat_with({"posts/S-S1/holes/U/along": height})))
        value = next(f.margin for f in found if f.id == "osr-3.14.1-b-i:S-S1-U")
        assert value is not None
        return value

    assert margin(along + more) == pytest.approx(margin(along) + more, abs=1e-6)


def assert_mirrored(boat: Boat) -> None:
    ours = {f.id: f for f in check(place(boat))}
    theirs = {f.id: f for f in check(place(mirror_of(boat)))}
    assert {swapped(id_) for id_ in ours} == set(theirs)
    for id_, finding in ours.items():
        image = theirs[swapped(id_)]
        assert image.verdict == finding.verdict, id_
        assert swapped(worded(finding.notes)) == worded(image.notes)
        for ours_value, their_value in ((finding.measured, image.measured), (finding.margin, image.margin)):
            assert (ours_value is None) == (their_value is None)
            if ours_value is not None:
                assert their_value == pytest.approx(ours_value, abs=1e-6)


def swapped(text: str) -> str:
    return re.sub(r"\b([PS])-(?=[A-Za-z])", lambda match: "P-" if match.group(1) == "S" else "S-", text)


def with_rules(boat: Boat, **rules: Any) -> Boat:
    return boat.model_copy(update={"rules": Rules.model_validate(rules)})


def mirror_of(boat: Boat, keep: str | None = None) -> Boat:
    """Return the boat seen in a mirror along its centreline; with `keep`, both sides made from that one."""
    data = boat.model_dump(exclude_none=True)
    image = _mirrored(data)
    if keep is None:
        return Boat.model_validate(image)
    for part in ("posts", "eyes", "gates", "runs"):
        own = [one for one in data[part] if one["id"].startswith(keep)]
        data[part] = [*own, *(one for one in image[part] if not one["id"].startswith(keep))]
    data["deck_edge"][{"S": "port", "P": "starboard"}[keep]] = image["deck_edge"][{"S": "port", "P": "starboard"}[keep]]
    return Boat.model_validate(data)


def _mirrored(node: Any, key: str = "") -> Any:
    if isinstance(node, dict):
        if key == "deck_edge":
            other = {"port": "starboard", "starboard": "port"}
            return {other[side]: [_flip(point) for point in edge] for side, edge in node.items()}
        return {inner: _mirrored(value, inner) for inner, value in node.items()}
    if key in ("foot", "at"):
        return _flip(node)
    if isinstance(node, (list, tuple)):
        return [_mirrored(value, key) for value in node]
    named = key in ("id", "posts", "through", "post", "eye", "start", "end", "hole")
    return other_name(node) if named and isinstance(node, str) and re.match(r"[PS]-[A-Z]", node) else node


def _flip(point: Any) -> list[float]:
    return [point[0], -point[1], point[2]]


def test_slack_that_passes_is_never_rounded_up():
    """Each allowance printed keeps the limit: the line with that slack, untensioned, still passes (39.2 N)."""
    loaded = refit_of("saltwhin-31").loaded
    runs = tuple(run.model_copy(update={"set_tension": 340.0}) for run in loaded.boat.runs)
    worked_out = refit(dataclasses.replace(loaded, boat=loaded.boat.model_copy(update={"runs": runs})))
    stated = [
        (finding, float(found.group(1)))
        for finding in worked_out.findings
        if (found := re.search(r"up to ([\d.]+) mm of slack", worded(finding.notes)))
    ]
    assert len(stated) > 5
    for finding, slack in stated:
        run_id, span = re.fullmatch(r".*:(.+)-span-(\d+)", finding.id).groups()
        run = worked_out.loads.runs[run_id]
        line = run.stiff.free
        loaded = load_line(set_line(line, 0.0, slack), push_force(line, int(span) - 1, 4.0 * 9.80665))
        assert loaded.deflection <= finding.limit, finding.id
