"""What riggers and shops commonly ask of holes, lips and pairs; none of it has a published source."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geom.placement.eyes import ORDER
from geom.placement.placed import Placed
from geom.rules.finding import Clause, ClauseCheck, Finding, Limit, Measure, Verdict, joined
from geom.rules.measures.open_gates import open_gate_posts
from geom.units import degrees

WORD = "common-practice"
_NOT_SHOWN = "not shown by calculation"
# What the verdict on a leading end asks of the rigger.
_LEADING = {
    "passes": "",
    "squeeze": "goes through squeezed",
    "trial": "trial: draw a test piece through, or make that end in place",
    "in place": "does not go through: make that end in place",
}


def line_enters_hole(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The bore of each hole is at least the line's diameter; else drill out, bush larger or take a thinner line.

    Source: common practice, no source.
    """
    for run in placed.runs.values():
        line = placed.line(run).diameter
        for passage in run.passages:
            hole = passage.hole
            note = f"needs a bore of {line:g} mm: drill out, bush anew or take a thinner line"
            tight = note if hole.bore < line else ""
            measure = Measure(hole.id, "bore", hole.bore, run=run.id, post=hole.post, note=tight)
            yield clause.at_least(measure, _habit(line))


def hole_leaves_tube(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A hole is not wider than half its tube.

    Source: common practice, no source.
    """
    share = clause.limit("max hole over tube").value
    for post, hole in placed.holes():
        measure = Measure(hole.id, "diameter", hole.diameter, post=post.id)
        finding = clause.at_most(measure, _habit(share * post.tube_od))
        yield _as_notice(finding, "over half the tube's diameter: little tube is left beside it")


def hole_clear_of_top(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A hole's centre lies at least 1.5 hole diameters below the tube's top.

    Source: common practice, no source.
    """
    share = clause.limit("min top over hole").value
    for post, hole in placed.holes():
        measure = Measure(hole.id, "centre to top", post.top - hole.along, post=post.id)
        finding = clause.at_least(measure, _habit(share * hole.diameter))
        yield _as_notice(finding, "nearer to the top than 1.5 hole diameters")


def line_clears_lips(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """At rest the line touches one lip of each hole, not both.

    Of a hole whose direction was not measured nothing can be told; the note says how a square one would do.
    Source: geometry.
    """
    for hole_id, line_in_hole in placed.lines_in_holes.items():
        hole = line_in_hole.passage.hole
        unknown = hole.measured is None and hole.spec.planned is None
        rest = line_in_hole.if_square if unknown else line_in_hole.on_axis
        if rest is None:
            continue
        said = "touches both lips" if rest.touches_both_lips else "clear"
        angles = f"line at {degrees(rest.line_angle):.1f} deg, free to {degrees(rest.free_angle):.1f} deg"
        if unknown:
            verdict: Verdict = "cannot tell"
            note = f"the hole's direction was not measured; if square and fore-and-aft: {said}, {angles}"
        else:
            verdict = "fail" if rest.touches_both_lips else "pass"
            note = f"{said}: {angles}"
        line = placed.line(placed.runs[line_in_hole.run]).diameter
        measure = Measure(hole_id, "clear diameter", rest.clear, run=line_in_hole.run, post=hole.post, note=note)
        yield replace(clause.say(verdict, measure, limit=_habit(line)), margin=rest.clear - line)


def eye_goes_through(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The end that leads goes through every hole of its run, or is made in place.

    Source: common practice, no source; factors in data/eye_factors.csv.
    """
    for eyes in placed.eyes.values():
        for hole in eyes.holes:
            leading = getattr(hole, eyes.leading)
            kept = leading.verdict in ("passes", "squeeze")
            verdict: Verdict = "pass" if kept else "fail" if leading.verdict == ORDER[-1] else "notice"
            note = _LEADING.get(leading.verdict, leading.verdict)
            post = hole.hole.rpartition("-")[0]
            quantity = f"bore against {leading.factor.replace(' d', ' line diameters')}"
            measure = Measure(hole.hole, quantity, leading.has, run=eyes.run, post=post, note=note)
            finding = clause.say(verdict, measure, limit=None if leading.needs is None else _habit(leading.needs))
            yield replace(finding, margin=None if leading.needs is None else leading.has - leading.needs)


def levels_in_order(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper hole of a post stands above its lower one.

    Source: common practice, no source.
    """
    for post in placed.posts.values():
        upper, lower = post.hole("U"), post.hole("L")
        if upper is None or lower is None:
            continue
        above = upper.along - lower.along
        note = "" if above >= 0.0 else "the upper hole stands below the lower one"
        measure = Measure(post.id, "upper less lower along the tube", above, post=post.id, note=note)
        yield clause.at_least(measure, _habit(0.0))


def sides_alike(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Port and starboard lines are cut alike only where their paths differ by not more than 5 mm.

    Source: common practice, no source.
    """
    for pair in placed.pairs:
        if pair.quantity == "path":
            measure = Measure(pair.name, "difference of lines, pin to pin", abs(pair.difference))
            finding = clause.at_most(measure, clause.limit("max difference"))
            yield _as_notice(finding, "DO NOT PAIR: cut each side to its own length")


def gate_open_bending(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """With its gate open a gate post stays below the proof stress of its tube, at every section.

    Judged where the boat file states the proof stress: over the plastic moment the post collapses. Where the
    strength is the least of a grade the tube may well be stronger, and what is over it is not shown by calculation.
    Source: strength of materials; common practice, no source.
    """
    for post in open_gate_posts(placed):
        lines = ", ".join(f"{one.run} {one.tension:.0f} N" for one in post.tensions)
        note = joined(f"at {post.governing.place}", f"set to: {lines}" if lines else "no line pulls")
        measure = Measure(post.id, "bending stress, gate open", post.stress, "MPa", post=post.id, note=note)
        if post.proof_stress is None or post.plastic_share is None:
            yield clause.say("cannot tell", measure, f"{_NOT_SHOWN}: {post.proof_source}")
            continue
        limit = replace(_habit(post.proof_stress), unit="MPa", source=post.proof_source)
        verdict: Verdict = "pass" if post.state == "elastic" else "fail" if post.state == "collapsed" else "notice"
        text = f"{post.plastic_share:.2f} of the plastic moment"
        if verdict != "pass" and not post.proof_stated:
            verdict, text = "cannot tell", joined(text, f"{_NOT_SHOWN}: {post.proof_source}")
        yield clause.say(verdict, measure, text, limit, post.proof_stress - post.stress)


def _habit(value: float) -> Limit:
    """Return a limit that is worked out on board, with no source behind it [mm]."""
    return Limit(value, "mm", "", "common practice, no source", "common practice")


def _as_notice(finding: Finding, note: str) -> Finding:
    """Turn a failed habit into a notice: nothing published stands behind it."""
    return replace(finding, verdict="notice", note=note) if finding.verdict == "fail" else finding


CLAUSES = (
    Clause("line-enters", "line through hole", line_enters_hole),
    Clause("levels", "order of holes", levels_in_order, nothing="no post of this boat has two holes"),
    Clause("hole-in-tube", "hole in tube", hole_leaves_tube),
    Clause("hole-to-top", "hole below top", hole_clear_of_top),
    Clause("both-lips", "line at rest in hole", line_clears_lips),
    Clause("eye", "made-up end through hole", eye_goes_through),
    Clause("gate-open", "gate post, gate open", gate_open_bending, nothing="the boat file names no gate"),
    Clause("pair", "port against starboard", sides_alike, nothing="no line has a twin on the other side"),
)
