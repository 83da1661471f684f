"""Refit -> check.json and its schema, both derived from the result types.

`SHOWN` lists the exported values. A key is the name of the attribute with the unit of its type as ending; a value
with another key is listed as `name=path`. Keys and words may be added, never renamed, removed or redefined.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from geom.boat.file import Identity
from geom.intake.survey.causes import Cause
from geom.intake.survey.closure import ClosureRow
from geom.intake.survey.fairness import AsFound, FairRow, LeanRow
from geom.mechanics.boat_loads import BoatLoads, EndReaction, SpanPush
from geom.mechanics.falls import Fall
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.posts_at_rest import OpenGatePost
from geom.mechanics.tension import RunTension
from geom.open_items import OpenItem, open_items
from geom.open_items.item import Change, Choice, Entry
from geom.open_items.remedies import Remedy, remedies
from geom.placement.edges import HoleEdge
from geom.placement.eyes import EyeVerdict
from geom.placement.gates import GateLevel
from geom.placement.holes import Clearance
from geom.placement.nets import NetBay, NetEdge, PlacedNet
from geom.placement.summary import HoleSummary, PostSummary
from geom.placement.symmetry import Pair
from geom.purchasing.order import LineOrder
from geom.refit import Refit
from geom.remark import Remark, Stated
from geom.rigging.acceptance import Acceptance
from geom.rigging.alternatives import Alternative
from geom.rigging.budget import Budget
from geom.rigging.fit import BuryFit, Station
from geom.rigging.lengths import Term
from geom.rigging.reel import ReelLength, RopeMark
from geom.rigging.settings import Setting
from geom.rigging.splice import TaperMark
from geom.rigging.stopper import CaptivePost, Stopper
from geom.rigging.summary import RunSummary
from geom.rigging.threading_plan import ThreadingPlan
from geom.rigging.threading_steps import Step
from geom.rigging.wire.ends import EndInHole, MadeWireEnd
from geom.rigging.wire.eye import HandSplice
from geom.rigging.work import EndSplice, RunWork
from geom.rules.cautions import CAUTIONS, SHEET_CAUTION
from geom.rules.finding import ORDER, Finding
from geom.tables.field import Field, field
from geom.tables.push_cases import CollapseUnderTest, collapses_under_test
from geom.units import to_compare
from geom.words import METRIC, Units, worded

FORMAT = 2
DECIMALS = 6


@dataclass(frozen=True)
class Check:
    """The whole of check.json."""

    format: int
    caution: Remark
    boat: Identity
    open_items: tuple[OpenItem, ...]
    remedies: tuple[Remedy, ...]
    closure: tuple[ClosureRow, ...]
    as_found: AsFound
    runs: tuple[RunSummary, ...]
    posts: tuple[PostSummary, ...]
    holes: tuple[HoleSummary, ...]
    gates: tuple[GateLevel, ...]
    pairs: tuple[Pair, ...]
    nets: tuple[PlacedNet, ...]
    loads: BoatLoads
    collapses_under_test: tuple[CollapseUnderTest, ...]
    line_orders: tuple[LineOrder, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[Remark, ...]


# The exported values of each type of result, in order.
SHOWN: dict[type, str] = {
    Check: """
        format caution boat open_items remedies closure as_found runs posts holes gates pairs nets loads
        collapses_under_test line_orders findings cautions""",
    Identity: "name survey revision date file file_sha256 data_sha256 notes",
    OpenItem: """
        number kind cause=name title=cause who places settles why choices entries sheets findings=findings.id""",
    Remedy: "item what changes clears makes cut_anew",
    Change: "key from=from_ to",
    Choice: "what figures to_check",
    Entry: "under line",
    ClosureRow: "start end taped computed residual limit flagged causes",
    Cause: "name would_be",
    AsFound: "feet=fair tubes=leans",
    FairRow: "post off_curve inboard off_family off_line=out",
    LeanRow: "post lean usual_lean rake usual_rake hole_out=outboard hole_aft=aft bent",
    RunSummary: """
        run.id run.side run.level from_ to line through=run.passages.hole.id run.spans spans.lowest_above_edge
        work.lengths.path work.lengths.stack terminal_deductions=stack.deductions work.lengths.finished work.cut
        work.from_reel
        stack.shorten stack.lengthen leading_end=eyes.leading made_on_board eyes.reason work""",
    RunWork: """
        lengths.marked cut_min cut_max eye_to_eye from_made_throat terms reel marks alternatives
        stations threading=plan buries=fit budget settings lengths.missing refused=refusal splices=end_splices wire_ends
        set_pull=figures.set_pull.pull set_pull_of_break=figures.set_pull.share
        pre_stretch_min=figures.pre_stretch.lowest pre_stretch_max=figures.pre_stretch.highest
        figures.tensions.marking_tension figures.tensions.set_tension
        stopper captive_posts=figures.captive""",
    MadeWireEnd: """
        end name family on_board insertion diameter_before=before go no_go width rigid_length=rigid tail splice
        holes""",
    HandSplice: "tail whole_tucks half_tucks sources",
    EndInHole: "hole bore clear clear_before",
    EndSplice: """
        end recipe.bury recipe.lock rope_round=recipe.girth recipe.tail_mark recipe.eye_mark recipe.second_tuck
        recipe.exit_mark recipe.taper_length recipe.taper_marks recipe.full_section
        stitching_from=recipe.stitching.0 stitching_to=recipe.stitching.1 recipe.fid recipe.slack_in_place""",
    TaperMark: "from_end side strands_left",
    Stopper: "from_=low to=high hole room",
    CaptivePost: "post side_force stress place yields_at",
    Term: "name value formula",
    Alternative: "what figures to_check finished max_diameter=diameter joins",
    ReelLength: "in_line in_line_min take_up_spare=spare trim working_tail=tail rounding from_reel note=says",
    RopeMark: "at mark end",
    Station: "at from_end_made_first=from_first mark=what place",
    ThreadingPlan: """
        bench_ends=bench on_board_end=in_place direction from_point to_point possible slide_on=slide_on.item
        tools reason steps=work.remark captive work""",
    Step: "does=remark makes fastens marks cuts_off pull check",
    Acceptance: """
        measure expected accept_min=accept_low accept_max=accept_high reject_under=reject_low
        reject_over=reject_high""",
    BuryFit: "needs apart fits",
    Budget: """
        combined after_first_eye=after_first bias shorten lengthen needed_shorten needed_lengthen verdict note=says""",
    Setting: "end fitting family min=minimum planned max=maximum thread_showing=showing thread hand",
    PostSummary: """
        post.id post.side foot_x=post.foot.0 foot_y=post.foot.1 foot_z=post.foot.2 lean_out=post.lean
        rake_aft=post.rake post.tilt
        height_upper=upper.height.above_foot height_middle=middle.height.above_foot
        height_lower_middle=lower_middle.height.above_foot height_lower=lower.height.above_foot
        height_upper_above_edge=upper.height.above_edge
        height_middle_above_edge=middle.height.above_edge
        height_lower_middle_above_edge=lower_middle.height.above_edge
        height_lower_above_edge=lower.height.above_edge
        opening plate_out=post.plate.out plate_aft=post.plate.aft plate_total=post.plate.total
        post.offset_out_from_plate_at_600 post.offset_aft_from_plate_at_600
        post.offset_out_from_plumb_at_600 post.offset_aft_from_plumb_at_600""",
    HoleSummary: """
        hole.id post=post.id hole.level line.run x=hole.centre.0 y=hole.centre.1 z=hole.centre.2 hole.along
        hole.diameter hole.bore hole.edge direction axis_basis=drilling.basis line.passage.turn
        line.passage.turn_in_plan drilling.clocking drilling.tilt line.on_axis.free_angle line.on_axis.clear
        line.if_square eye""",
    HoleEdge: "edge bore_of radius min_radius made_by",
    Clearance: "line_angle free_angle clear touches_both_lips",
    EyeVerdict: "verdict needs has factor source",
    GateLevel: "id=gate level hole_to_hole clear",
    Pair: "name quantity starboard port difference",
    PlacedNet: "id spec.along spec.foot bar bays edges area edge_cord lacing meshes_along meshes_up",
    NetBay: "number from_ to top foot height_from height_to area braces",
    NetEdge: "edge length laced_to lacing",
    BoatLoads: "set_tensions=assumed pushes posts open_gates=gate_posts falls rail_eyes=ends missing",
    SpanPush: """
        run span=number length tension_while_loaded=while_loaded needed_lower=needed.lower needed_upper=needed.upper
        permitted_slack=needed.slack verdict set_tension=assumed.set_tension deflection_min=deflection.minimum
        deflection_max=deflection.maximum expected_sag_free=expected.free expected_sag_locked=expected.locked""",
    CollapseUnderTest: """
        run span from=start to=end test_load collapses_at_lower=collapses.lower collapses_at_likely=collapses.likely
        post""",
    LineOrder: "line construction diameter total",
    RunTension: """
        run set_tension stated set_by basis=source marking_tension marked_by marking_basis=marking_source
        test_span=test_span_number needed force limit tested""",
    PostLoad: """
        id force_outboard=force_side force_aft=force_fore_aft moment_at_foot=moment governing_place=governing.place
        governing.moment governing.stress proof_stress_utilisation=yield_utilisation
        plastic_moment_utilisation=plastic_utilisation state stress_concentration=governing.concentration.factor
        stress_concentration_extrapolated=governing.concentration.extrapolated peak_stress=governing.peak
        brace_force pull_off_deck=base.pull_off base.bolt_tension base.bolt_missing base.weld_stress
        base.weld_missing note=remark set_tensions=tensions""",
    OpenGatePost: """
        gate post=as_built.id moment_at_foot=as_built.moment as_built.state
        moment_at_foot_unbraced=unbraced.moment state_unbraced=unbraced.state
        hook_post=hook.post hook_either=hook.either as_built unbraced""",
    Fall: """
        run span=number place person=person.name line.force tension deflection
        weakest_link=links.governing.link.name weakest_link_utilisation=links.governing.utilisation
        first_post_yields_at_lower=yields.lower first_post_yields_at_likely=yields.likely
        first_post_collapses_at_lower=collapses.lower first_post_collapses_at_likely=collapses.likely
        first_post_to_collapse_lower=collapses.lower_post first_post_to_collapse_likely=collapses.likely_post
        reached set_tension=assumed.set_tension""",
    EndReaction: "eye run at_rest=at_rest_size worst=worst_size worst_fall set_tension=assumed.set_tension",
    Finding: """
        id run post document edition clause subject quantity measured limit limit_as_printed=printed unit margin
        uncertainty uncertainty_source marginal verdict would_be=would where binding confidence=sure waiver note""",
}  # fmt: skip


def check_report(refit: Refit, decimals: int = DECIMALS, with_remedies: bool = False) -> dict[str, Any]:
    """Return the contents of check.json, in millimetres, degrees, newtons and newton metres.

    Args:
        refit: the calculated boat.
        decimals: for rounding of numbers.
        with_remedies: whether the remedies of open items are worked out, which takes a second; else there are none.
    """
    return plain(check_of(refit, with_remedies), decimals)


def check_of(refit: Refit, with_remedies: bool = False) -> Check:
    """Return the whole of check.json as results.

    Args:
        refit: the calculated boat.
        with_remedies: as for `check_report`.
    """
    return Check(
        format=FORMAT,
        caution=SHEET_CAUTION,
        boat=refit.loaded.identity,
        open_items=open_items(refit),
        remedies=remedies(refit) if with_remedies else (),
        closure=refit.closure,
        as_found=refit.as_found,
        runs=refit.runs,
        posts=refit.posts,
        holes=refit.holes,
        gates=refit.placed.gate_levels,
        pairs=refit.placed.pairs,
        nets=refit.nets,
        loads=refit.loads,
        collapses_under_test=collapses_under_test(refit),
        line_orders=refit.order.lines,
        findings=worst_first(refit.findings),
        cautions=CAUTIONS,
    )


def plain(check: Check, decimals: int = DECIMALS, units: Units = METRIC) -> dict[str, Any]:
    """Return results as plain mappings, lists, texts and numbers, whose keys carry the metric units.

    Args:
        check: the results.
        decimals: for rounding of numbers.
        units: of the figures in sentences.
    """
    shown: dict[str, Any] = _shown(check, decimals, units)
    return shown


def json_bytes(report: dict[str, Any]) -> bytes:
    """Return the report as UTF-8 JSON, keys in the order of `SHOWN`."""
    return (json.dumps(report, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")


def json_schema() -> dict[str, Any]:
    """Return the JSON Schema of check.json; additional keys are valid."""
    kinds = {kind.__name__: _object_schema(kind) for kind in SHOWN if kind is not Check}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "check.json of toerail",
        **_object_schema(Check),
        "$defs": kinds,
    }


def worst_first(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return findings by verdict, the worst first, then by margin relative to the limit."""
    return tuple(sorted(findings, key=_rank))


def _rank(finding: Finding) -> tuple[int, float, str]:
    margin, limit = finding.margin, finding.limit
    spare = 0.0 if margin is None or not limit else to_compare(margin / abs(limit))
    return ORDER.index(finding.verdict), spare, finding.id


@cache
def _fields(kind: Any) -> tuple[Field, ...]:
    return tuple(field(kind, path) for path in SHOWN[kind].split())


def _shown(value: Any, decimals: int, units: Units) -> Any:
    """Return a result as plain mappings, lists, texts and rounded numbers, without negative zero."""
    kind: Any = type(value)
    if kind is float:
        return round(value, decimals) + 0.0
    if kind is Remark:
        return worded(value, units)
    if kind is tuple:
        return [_shown(one, decimals, units) for one in value]
    if kind not in SHOWN:
        return value
    return {one.key: _shown(one.read(value), decimals, units) for one in _fields(kind)}


def _object_schema(kind: type) -> dict[str, Any]:
    properties = {one.key: _field_schema(one) for one in _fields(kind)}
    return {"type": "object", "properties": properties, "required": list(properties)}


def _field_schema(one: Field) -> dict[str, Any]:
    schema = _type_schema(one.hint)
    # In a tuple the element may be None, never the tuple itself.
    if one.optional:
        schema = {"anyOf": [schema, {"type": "null"}]}
    return {"type": "array", "items": schema} if one.many else schema


def _type_schema(hint: Any) -> dict[str, Any]:
    # Before unions, as a stated text is a union of text and remark.
    if hint in (Remark, Stated):
        return {"type": "string"}
    if get_origin(hint) is Literal:
        return {"enum": list(get_args(hint))}
    if get_origin(hint) in (Union, UnionType):
        return {"enum": [word for part in get_args(hint) for word in get_args(part)]}
    if hint in SHOWN:
        return {"$ref": f"#/$defs/{hint.__name__}"}
    return {"type": {bool: "boolean", int: "integer", float: "number", str: "string"}[hint]}
