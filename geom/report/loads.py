"""Loads -> their part of check.json."""

from __future__ import annotations

from geom.contract.loads import FallReport, LoadsReport, OpenGateReport, PostLoadReport, PushReport
from geom.mechanics.boat_loads import BoatLoads, OpenGate, SpanPush
from geom.mechanics.falls import Fall
from geom.mechanics.post_loads import PostLoad
from geom.report.numbers import o, r
from geom.words import worded


def loads_report(loads: BoatLoads) -> LoadsReport:
    """Return all loads in N, N m and MPa."""
    return {
        "pushes": [_push(loads, push) for push in loads.pushes],
        "posts": [_post(post) for post in loads.posts],
        "open_gates": [row for gate in loads.gates for row in _gate(gate)],
        "falls": [_fall(fall) for fall in loads.falls],
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


def _post(post: PostLoad) -> PostLoadReport:
    return {
        "id": post.id,
        "side_n": r(post.force_side),
        "fore_and_aft_n": r(post.force_fore_aft),
        "moment_at_foot_nm": r(post.moment / 1e3),
        "stress_mpa": r(post.stress),
        "share_of_proof_stress": o(post.yield_share),
        "state": post.state,
        "words": worded(post.remark),
    }


def _gate(gate: OpenGate) -> list[OpenGateReport]:
    return [
        {
            "gate": gate.gate,
            "post": built.id,
            "moment_nm": r(built.moment / 1e3),
            "state": built.state,
            "moment_unbraced_nm": r(bare.moment / 1e3),
            "state_unbraced": bare.state,
            "hook_post": gate.hook_post,
        }
        for built, bare in zip(gate.as_built, gate.unbraced, strict=True)
    ]


def _fall(fall: Fall) -> FallReport:
    use = fall.links.governing
    return {
        "run": fall.run,
        "span": fall.span + 1,
        "place": worded(fall.place),
        "person": fall.person.name,
        "force_n": r(fall.line.force),
        "tension_n": r(fall.line.loaded.greatest),
        "deflection_mm": r(fall.line.loaded.sag),
        "weakest_link": None if use is None else use.link.name,
        "share_of_weakest": None if use is None else o(use.share),
        "first_post_folds_at_n": None if fall.collapse is None else r(fall.collapse.force),
        "reached": fall.reached,
    }
