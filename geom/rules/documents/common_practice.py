"""Common practice for holes, lips, eyes, gate posts, coated wire and pairs of lines, without a published rule."""

from __future__ import annotations

from collections.abc import Iterator

from geom.mechanics.post_loads import PostLoad
from geom.mechanics.posts_at_rest import open_gates, posts_at_rest
from geom.placement.edge_options import EdgeOption, edge_options, open_holes
from geom.placement.eyes import ORDER
from geom.placement.eyes import Verdict as EyeWord
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import Clause, ClauseCheck, Finding, Limit, Measure, Verdict
from geom.rules.measures.lines import used_lines
from geom.rules.measures.post_strength import equal_top_pull, not_shown

WORD = "common-practice"
# Remark for each verdict on a leading end.
_LEADING = {
    "squeeze": Remark("eye.goes_squeezed"),
    "trial": Remark("eye.trial"),
    "in place": Remark("eye.make_on_board"),
}


def line_enters_hole(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The bore of each hole is at least the line's diameter; else drill out, fit a larger bush or use a thinner line.

    Source: common practice, no source.
    """
    for run in placed.runs.values():
        for passage in run.passages:
            hole = passage.hole
            line = placed.lines_in_holes[hole.id].diameter
            tight = (Remark("bore.too_small", needs_mm=line),) if hole.bore < line else ()
            measure = Measure(hole.id, Remark("quantity.bore"), hole.bore, run=run.id, post=hole.post, notes=tight)
            yield clause.at_least(measure, _practice_limit(line))


def hole_leaves_tube(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A hole is not wider than half its tube.

    Source: common practice, no source.
    """
    share = clause.limit("max hole over tube").value
    for post, hole in placed.holes():
        measure = Measure(hole.id, Remark("quantity.diameter"), hole.diameter, post=post.id)
        finding = clause.at_most(measure, _practice_limit(share * post.tube_od))
        yield _as_notice(finding, Remark("hole.wide_for_tube"))


def hole_clear_of_top(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A hole's centre lies at least 1.5 hole diameters below the tube's top.

    Source: common practice, no source.
    """
    share = clause.limit("min top over hole").value
    for post, hole in placed.holes():
        measure = Measure(hole.id, Remark("quantity.centre_to_top"), post.top - hole.along, post=post.id)
        finding = clause.at_least(measure, _practice_limit(share * hole.diameter))
        yield _as_notice(finding, Remark("hole.near_top"))


def line_clears_lips(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """At rest the line touches one lip of each hole, not both.

    For a hole of unknown direction this is not determined; the note gives the result for a square hole.
    Source: geometry.
    """
    for hole_id, line_in_hole in placed.lines_in_holes.items():
        hole = line_in_hole.passage.hole
        unknown = hole.measured is None and hole.spec.planned is None
        rest = line_in_hole.if_square if unknown else line_in_hole.on_axis
        if rest is None:
            continue
        code = "lips.touch" if rest.touches_both_lips else "lips.clear"
        says = Remark(code, line_rad=rest.line_angle, free_rad=rest.free_angle)
        if unknown:
            verdict: Verdict = "cannot tell"
            notes: tuple[Remark, ...] = (Remark("lips.direction_not_measured"), Remark("lips.if_square", says=says))
        else:
            verdict, notes = "fail" if rest.touches_both_lips else "pass", (says,)
        line = line_in_hole.diameter
        quantity = Remark("quantity.clear_diameter")
        measure = Measure(hole_id, quantity, rest.clear, run=line_in_hole.run, post=hole.post, notes=notes)
        yield clause.say(verdict, measure, limit=_practice_limit(line), margin=rest.clear - line)


def eye_goes_through(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The leading end passes every hole of its run, or is made on board.

    Source: common practice, no source; factors in data/eye_factors.csv.
    """
    for eyes in placed.eyes.values():
        for hole in eyes.holes:
            leading = getattr(hole, eyes.leading)
            passes = leading.verdict in ("passes", "squeeze")
            verdict: Verdict = "pass" if passes else "fail" if leading.verdict == ORDER[-1] else "notice"
            post = hole.hole.rpartition("-")[0]
            quantity = Remark("quantity.bore_against", by=leading.factor)
            if leading.factor.code == "eye.factor":
                quantity = Remark("quantity.bore_against_times", times=leading.factor["times"])
            notes = _leading_notes(leading.verdict)
            measure = Measure(hole.hole, quantity, leading.has, run=eyes.run, post=post, notes=notes)
            limit = None if leading.needs is None else _practice_limit(leading.needs)
            margin = None if leading.needs is None else leading.has - leading.needs
            yield clause.say(verdict, measure, limit=limit, margin=margin)


def _leading_notes(verdict: EyeWord) -> tuple[Remark, ...]:
    if verdict == "passes":
        return ()
    return (_LEADING.get(verdict) or Remark("eye.verdict", verdict=verdict),)


def edges_rounded(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The edges of the holes that rope passes are rounded to at least 2 mm, or as the boat file chooses.

    Where the boat file chooses nothing one notice names the choices, and every figure is for the bare holes.
    Source: common practice, no source; data/shop_limits.csv and data/hole_edges.csv.
    """
    options = edge_options(placed)
    if options:
        radius, min_radius = min(one.radius for one in options if one.wall is None), options[0].min_radius
        holes = tuple(hole.id for _, hole in open_holes(placed))
        notes = (Remark("edge.not_chosen", count=len(holes)), *_edge_choices(options))
        where = Remark("place.boat")
        measure = Measure("boat", Remark("quantity.edge_radius_of_wall"), radius, notes=notes, where=where)
        yield clause.say("notice", measure, limit=_practice_limit(min_radius), margin=radius - min_radius)
    for post, hole in placed.holes():
        edge = hole.edge
        if edge.min_radius is None or edge.radius is None:
            continue
        measure = Measure(hole.id, Remark("quantity.edge_radius"), edge.radius, post=post.id)
        finding = clause.at_least(measure, _practice_limit(edge.min_radius))
        yield _as_notice(finding, Remark("edge.short", edge=edge.edge))


def tube_retained(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A tube in a socket is held by more than a set screw.

    Source: common practice, no source.
    """
    for post in placed.posts.values():
        base = None if post.spec.base is None else placed.boat.bases[post.spec.base]
        if base is None or base.socket is None:
            continue
        held = base.socket.retention
        measure = Measure(post.id, Remark("quantity.retention"), None, "", post=post.id)
        if held is None:
            yield clause.say("cannot tell", measure, Remark("retention.not_stated"))
        elif held == "set screw":
            yield clause.say("notice", measure, Remark("retention.set_screw_alone"))
        else:
            yield clause.say("pass", measure, Remark("retention.by", held=held))


def _edge_choices(options: tuple[EdgeOption, ...]) -> Iterator[Remark]:
    """Yield a remark for each choice: the bores that it leaves, the radius reached, who makes it, what turns round."""
    for choice, wall in dict.fromkeys((one.choice, one.wall) for one in options):
        same = [one for one in options if (one.choice, one.wall) == (choice, wall)]
        first = same[0]
        bores = tuple(sorted({one.bore for one in same}))
        narrow = tuple(sorted({one.hole for one in options} - {one.hole for one in same}))
        radius = min(one.radius for one in same)
        values = {"choice": choice, "bores_mm": bores, "radius_mm": radius, "made_by": first.made_by}
        said = Remark("edge.option", **values) if wall is None else Remark("edge.option_lined", wall_mm=wall, **values)
        if narrow:
            said = Remark("edge.option_narrow", says=said, holes_mm=narrow)
        yield Remark("edge.option_turns", says=said, runs=first.turned) if first.turned else said


def levels_in_order(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper hole of a post stands above its lower one.

    Source: common practice, no source.
    """
    for post in placed.posts.values():
        upper, lower = post.hole("U"), post.hole("L")
        if upper is None or lower is None:
            continue
        above = upper.along - lower.along
        notes = () if above >= 0.0 else (Remark("holes.upper_below_lower"),)
        measure = Measure(post.id, Remark("quantity.upper_less_lower"), above, post=post.id, notes=notes)
        yield clause.at_least(measure, _practice_limit(0.0))


def sides_alike(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Port and starboard lines are cut to the same length only where their paths differ by no more than 5 mm.

    Source: common practice, no source.
    """
    for pair in placed.pairs:
        if pair.quantity == "path":
            measure = Measure(pair.name, Remark("quantity.difference_of_lines"), abs(pair.difference))
            finding = clause.at_most(measure, clause.limit("max difference"))
            yield _as_notice(finding, Remark("pair.do_not"))


def gate_open_bending(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """With its gate open a gate post stays below the proof stress of its tube, at every section.

    Source: common practice, no source; stress by strength of materials.
    """
    quantity, says = Remark("quantity.stress_gate_open"), Remark("strength.not_shown")
    for post in (post for gate in open_gates(placed) for post in gate.as_built):
        yield _bending(placed, clause, post, quantity, says, at_yield="notice")


def bending_as_set(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Under its lines as set, all gates shut, a post stays below the proof stress of its tube, at every section.

    Source: common practice, no source; stress by strength of materials.
    """
    quantity, says = Remark("quantity.stress_as_set"), Remark("strength.as_set_not_shown")
    for post in (post for post in posts_at_rest(placed) if post.tensions):
        yield _bending(placed, clause, post, quantity, says, at_yield="fail")


def _bending(
    placed: Placed, clause: ClauseCheck, post: PostLoad, quantity: Remark, says: Remark, at_yield: Verdict
) -> Finding:
    """Return the finding on the stress of a post.

    With a stated proof stress a post fails at its plastic moment, and `at_yield` is said of it where its worst section
    yields alone. With the minimum proof stress of a grade the tube may be stronger, and a stress above it is not
    determined.
    """
    tensions = tuple(Remark("tension.of_run", run=one.run, tension_n=one.set_tension) for one in post.tensions)
    notes = (
        Remark("post.at", place=post.governing.place),
        Remark("tension.assumed", tensions=tensions) if tensions else Remark("tension.none_pulls"),
        Remark("proof_stress.from", source=post.proof_source),
    )
    measure = Measure(post.id, quantity, post.stress, "MPa", post=post.id, notes=notes)
    if post.proof_stress is None or post.plastic_utilisation is None:
        finding = clause.say("cannot tell", measure)
    else:
        limit = _practice_limit(post.proof_stress, "MPa")
        verdict: Verdict = "pass" if post.state == "elastic" else "fail" if post.state == "collapsed" else at_yield
        share = Remark("post.plastic_share", share=post.plastic_utilisation)
        finding = clause.say(verdict, measure, share, limit=limit, margin=post.proof_stress - post.stress)
        if verdict == "pass" or post.proof_stated:
            return finding
    return not_shown(finding, says, post.stress, equal_top_pull(placed, post))


def coated_wire(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Coated wire corrodes unseen under its coat: a notice, whatever the documents applied say of it.

    Source: common practice, no source, save the strength of corroded lines: sailing test magazine, September 2012.
    """
    share = clause.limit("share of rating, corroded")
    for line in used_lines(placed, "wire"):
        if line.coated:
            measure = line.measure(
                "coating", None, "", Remark("line.construction", construction=line.spec.construction)
            )
            found = Remark("wire.coated", percent=share.value, source=share.source)
            yield clause.say("notice", measure, found, Remark("wire.coated_remedy"))


def netted(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A net loads the posts and hides its line: a notice for each.

    Source: common practice, no source.
    """
    for net in placed.boat.nets:
        if net.along is not None:
            measure = Measure(net.id, Remark("quantity.netting"), None, "")
            notes = Remark("net.loads_and_hides"), Remark("net.not_in_the_loads")
            yield clause.say("notice", measure, *notes)


def _practice_limit(value: float, unit: str = "mm") -> Limit:
    """Return a limit of common practice.

    Args:
        value: in `unit`.
        unit: of the value.
    """
    return Limit(value, unit, "", "common practice, no source", "common practice")


def _as_notice(finding: Finding, note: Remark) -> Finding:
    """Return a failure as a notice, since the limit is not published."""
    return finding.restated("notice", (note,)) if finding.verdict == "fail" else finding


CLAUSES = (
    Clause("line-enters", "line through hole", line_enters_hole),
    Clause("levels", "order of holes", levels_in_order, nothing=Remark("clause.no_post_with_two_holes")),
    Clause("hole-in-tube", "hole in tube", hole_leaves_tube),
    Clause("hole-to-top", "hole below top", hole_clear_of_top),
    Clause("both-lips", "line at rest in hole", line_clears_lips),
    Clause("eye", "finished end through hole", eye_goes_through),
    Clause("lines-set", "stanchion, lines as set", bending_as_set, nothing=Remark("clause.no_line_on_posts")),
    Clause("gate-open", "gate stanchion, gate open", gate_open_bending, nothing=Remark("clause.no_gate")),
    Clause("hole-edge", "edge of holes for rope", edges_rounded, nothing=Remark("clause.no_rope_in_holes")),
    Clause("retention", "tube in its socket", tube_retained, nothing=Remark("clause.no_socket")),
    Clause("coated-wire", "coated wire", coated_wire, nothing=Remark("clause.no_coated_wire")),
    Clause("netting", "netting under a guard line", netted, nothing=Remark("clause.no_net")),
    Clause("pair", "port against starboard", sides_alike, nothing=Remark("clause.no_twin")),
)
