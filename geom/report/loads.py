"""Loads -> their part of check.json."""

from __future__ import annotations

from geom.contract.loads import (
    AnchorageReport,
    FallReport,
    LoadsReport,
    OpenGateReport,
    PostLoadReport,
    PushReport,
    RailEyeReport,
    SectionReport,
    TensionReport,
)
from geom.mechanics.boat_loads import BoatLoads, EndReaction, SpanPush
from geom.mechanics.falls import Fall
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.posts_at_rest import OpenGate
from geom.mechanics.run_line import AssumedTension
from geom.report.numbers import o, r
from geom.words import worded


def loads_report(loads: BoatLoads) -> LoadsReport:
    """Return all loads in N, N m and MPa."""
    return {
        "set_tensions": _tensions(tuple(run.assumed for run in loads.runs.values())),
        "pushes": [_push(loads, push) for push in loads.pushes],
        "posts": [_post(post) for post in loads.posts],
        "open_gates": [row for gate in loads.gates for row in _gate(gate)],
        "falls": [_fall(fall) for fall in loads.falls],
        "rail_eyes": [_rail_eye(end) for end in loads.ends],
        "not_known": [worded(what) for what in loads.not_known],
    }


def _push(loads: BoatLoads, push: SpanPush) -> PushReport:
    needed, expected = push.needed, push.expected
    return {
        "run": push.run,
        "span": push.span + 1,
        "length_mm": r(loads.runs[push.run].run.spans[push.span]),
        "while_loaded_n": r(push.while_loaded),
        "needed_lower_n": None if needed is None else o(needed.lower),
        "needed_upper_n": None if needed is None else r(needed.upper),
        "slack_that_passes_mm": None if needed is None else o(needed.slack),
        "verdict": "cannot tell" if needed is None else needed.verdict,
        "expected_free_mm": None if expected is None else r(expected.free),
        "expected_locked_mm": None if expected is None else r(expected.locked),
    }


def _tensions(tensions: tuple[AssumedTension, ...]) -> list[TensionReport]:
    return [{"run": one.run, "set_tension_n": r(one.tension), "stated": one.stated} for one in tensions]


def _section(post: PostLoad) -> SectionReport:
    at = post.governing
    return {
        "governing_place": at.place,
        "moment_nm": r(at.moment / 1e3),
        "stress_mpa": r(at.stress),
        "share_of_proof_stress": o(post.yield_share),
        "share_of_plastic_moment": o(post.plastic_share),
        "state": post.state,
        "stress_concentration": None if at.concentration is None else r(at.concentration.factor),
        "stress_concentration_extrapolated": None if at.concentration is None else at.concentration.extrapolated,
        "peak_stress_mpa": o(at.peak),
    }


def _anchorage(post: PostLoad) -> AnchorageReport:
    return {
        "brace_n": o(post.brace_force),
        "pull_off_deck_n": r(post.base.pull_off),
        "bolt_tension_n": o(post.base.bolt_tension),
        "bolt_missing": post.base.bolt_missing,
        "weld_stress_mpa": o(post.base.weld_stress),
        "weld_missing": post.base.weld_missing,
    }


def _post(post: PostLoad) -> PostLoadReport:
    return {
        "id": post.id,
        "side_n": r(post.force_side),
        "fore_and_aft_n": r(post.force_fore_aft),
        "moment_at_foot_nm": r(post.moment / 1e3),
        **_section(post),
        **_anchorage(post),
        "words": worded(post.remark),
        "set_tensions": _tensions(post.tensions),
    }


def _gate(gate: OpenGate) -> list[OpenGateReport]:
    return [
        {
            "gate": gate.gate,
            "post": built.id,
            "moment_at_foot_nm": r(built.moment / 1e3),
            **_section(built),
            **_anchorage(built),
            "governing_place_unbraced": bare.governing.place,
            "moment_unbraced_nm": r(bare.governing.moment / 1e3),
            "stress_unbraced_mpa": r(bare.stress),
            "share_of_proof_stress_unbraced": o(bare.yield_share),
            "state_unbraced": bare.state,
            "hook_post": gate.hook_post,
            "set_tensions": _tensions(built.tensions),
        }
        for built, bare in zip(gate.as_built, gate.unbraced, strict=True)
    ]


def _fall(fall: Fall) -> FallReport:
    use, yields, collapses = fall.links.governing, fall.yields, fall.collapses
    return {
        "run": fall.run,
        "span": fall.span + 1,
        "place": worded(fall.place),
        "person": fall.person.name,
        "force_n": r(fall.line.force),
        "tension_n": r(fall.tension),
        "deflection_mm": r(fall.deflection),
        "weakest_link": None if use is None else use.link.name,
        "share_of_weakest": None if use is None else o(use.share),
        "first_post_yields_at_lower_n": None if yields is None else r(yields.lower),
        "first_post_yields_at_likely_n": None if yields is None else o(yields.likely),
        "first_post_collapses_at_lower_n": None if collapses is None else r(collapses.lower),
        "first_post_collapses_at_likely_n": None if collapses is None else o(collapses.likely),
        "first_post_to_collapse_lower": None if collapses is None else collapses.lower_post,
        "first_post_to_collapse_likely": None if collapses is None else collapses.likely_post,
        "reached": fall.reached,
        "set_tensions": _tensions((fall.assumed,)),
    }


def _rail_eye(end: EndReaction) -> RailEyeReport:
    return {
        "eye": end.eye,
        "run": end.run,
        "at_rest_n": r(end.at_rest_size),
        "worst_n": r(end.worst_size),
        "worst_fall": worded(end.worst_fall),
        "set_tensions": _tensions((end.assumed,)),
    }
