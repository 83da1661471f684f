"""ABYC H-41, rails and lifelines, as far as its limits could be read second hand.

Limits with edition and source: data/rules/abyc-h-41.csv.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geom import vec
from geom.mechanics.cable import load_with_friction
from geom.mechanics.elastic_line import PointLoad
from geom.mechanics.person_load import across_span
from geom.mechanics.run_line import links_of, links_under, run_lines
from geom.mechanics.weakest_link import WeakestLink
from geom.placement.place import PlacedRun, outward
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.finding import ROUNDING, Clause, ClauseCheck, Finding, Measure, joined
from geom.rules.measures.lines import used_lines
from geom.rules.measures.strength import end_strengths

WORD = "abyc-h-41"


def end_fittings(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """End fittings hold at least 90 % of the strength of their wire rope.

    Source: ABYC H-41.6.3.4 (1998).
    """
    limit = clause.limit("min end fitting share")
    for line in used_lines(placed, "wire"):
        load = line.spec.breaking_load
        for measure in end_strengths(placed, line.name):
            of_wire = replace(
                measure, place=f"{line.name}-{measure.place}", quantity=Remark("quantity.end_over_wire"), unit="%",
                where=Remark("place.end_on_line", place=measure.where or measure.place, line=line.name),
            )  # fmt: skip
            if measure.value is None or load is None:
                bare = () if load else (Remark("part.says", part=line.name, says=Remark("strength.no_breaking_load")),)
                yield clause.at_least(replace(of_wire, value=None, notes=joined(measure.notes, bare)), limit)
            else:
                yield clause.at_least(replace(of_wire, value=100.0 * measure.value / load.value), limit)


def static_load_on_line(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A line with its ends and fittings takes 400 lb (1.78 kN) across it: here outboard, amid the widest span.

    Posts are rigid, so that the tension is an upper bound; a link of less than half the load fails in any case, since
    the tension is at least that much.
    Source: ABYC H-41.6.3.6 (1998).
    """
    load = clause.limit("static load")
    static = min(load.figures)
    for run in placed.runs.values():
        under_load = _links_under(placed, run, static)
        strengths = [(link.strength, link.name) for link, _ in links_of(placed, run) if link.strength is not None]
        weakest = min(strengths, default=None)
        if weakest is not None and weakest[0] < 0.5 * static - ROUNDING:
            measure = Measure(
                run.id, Remark("quantity.weakest_link"), weakest[0], "N", run=run.id,
                notes=(Remark("link.named", link=weakest[1]),),
            )  # fmt: skip
            yield clause.at_least(measure, load.at(0.5 * static))
        elif under_load is None:
            yield clause.undetermined(_tension(run, None, Remark("push.no_stiffness")), load)
        elif under_load.unknown or under_load.governing is None or under_load.governing.link.strength is None:
            note = Remark("links.no_strength", links=tuple(use.link.name for use in under_load.unknown))
            yield clause.undetermined(_tension(run, None, note), load)
        else:
            use = under_load.governing
            finding = clause.at_most(_tension(run, use.tension, *under_load.remarks), load.at(use.link.strength or 0.0))
            over = (*under_load.remarks, Remark("posts.give_less_tension"))
            yield finding.restated("cannot tell", over) if finding.verdict == "fail" else finding


def _tension(run: PlacedRun, value: float | None, *notes: Remark) -> Measure:
    return Measure(run.id, Remark("quantity.tension_in_weakest"), value, "N", run=run.id, notes=notes)


def _links_under(placed: Placed, run: PlacedRun, force: float) -> WeakestLink | None:
    """Return the links of a run under a load at the middle of its widest span; None where its stiffness is unknown."""
    elastic = run_lines(placed)[run.id]
    if elastic.stiffest is None:
        return None
    line = elastic.stiffest[0].line
    span = max(range(len(line.spans)), key=line.spans.__getitem__)
    across = across_span(line, span, outward(run.spec))
    loaded = load_with_friction(elastic.stiffest, PointLoad(span, 0.5, vec.scale(across, force)))
    return links_under(links_of(placed, run), loaded)


CLAUSES = (
    Clause("H-41.6.3.4", "strength of end fittings", end_fittings, nothing=Remark("clause.no_wire")),
    Clause("H-41.6.3.6 line", "static load on line and links", static_load_on_line),
    Clause(
        "H-41.6.3.6 posts", "static load on posts", None,
        Remark("clause.posts_in_schedule"),
    ),
)  # fmt: skip
