"""World Sailing Offshore Special Regulations, section 3.14, second part: tautness (3.14.2) and lines (3.14.6).

Limits with edition and source: data/rules/osr.csv; the history of HMPE: data/rules/osr-hmpe.csv.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from geom.data import table
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules import edition as documents
from geom.rules.finding import ROUNDING, Clause, ClauseCheck, Finding, Limit, Verdict
from geom.rules.measures import lines
from geom.rules.measures.boat_facts import offshore_category
from geom.rules.measures.push_test import judged_push, pushes
from geom.rules.measures.strength import end_strengths, fitting_strengths, weakest_wire

WORD = "osr"
_NO_LOWER, _NO_WIRE, _NO_HMPE = Remark("clause.no_lower_line"), Remark("clause.no_wire"), Remark("clause.no_hmpe")


def upper_line_tautness(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A small force midway between supports pushes the upper or single line in by no more than 50 mm.

    Measured on the widest span aft of the mast.
    Source: OSR 3.14.2 a).
    """
    yield from _tautness(placed, clause, upper=True)


def intermediate_line_tautness(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The same force pushes an intermediate line in by no more than 120 mm, on every span aft of the mast.

    A line that just passes may still not be taut in the sense of racing rule 49.2.
    Source: OSR 3.14.2 b); rules question and answer 2014-013.
    """
    yield from _tautness(placed, clause, upper=False)


def _tautness(placed: Placed, clause: ClauseCheck, upper: bool) -> Iterator[Finding]:
    """Yield the push tests of a clause; a force that is printed in two units may be either of them."""
    force, limit = clause.limit("force"), clause.limit("max deflection").value
    found = [judged_push(push, clause) for push in pushes(placed, force.value, limit, upper)]
    if force.also is not None and not all(map(_met, found)):
        also = [judged_push(push, clause) for push in pushes(placed, force.also, limit, upper)]
        met = Remark("limit.met_as_also_printed", printed=force.also_printed)
        found = [
            replace(second, notes=(*second.notes, met)) if _met(second) and not _met(first) else first
            for first, second in zip(found, also, strict=True)
        ]
    for finding in found:
        yield _under_force(finding, clause)


def _met(finding: Finding) -> bool:
    return finding.margin is not None and finding.margin >= -ROUNDING


def _under_force(finding: Finding, clause: ClauseCheck) -> Finding:
    """Return a push test's finding with force and limit, both as printed in the edition."""
    force = clause.limit("force").as_printed
    return replace(finding, printed=Remark("printed.under_force", limit=finding.printed, force=force))


def wire_diameter(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Wire is at least 3 mm under 8.5 m hull length, 4 mm to 13 m, 5 mm above.

    Source: OSR 3.14.6, table 8.
    """
    for line in lines.used_lines(placed, "wire"):
        yield clause.at_least(line.measure("wire_diameter", line.spec.diameter), _by_hull(placed, clause.limits))


def wire_material(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A line is stranded stainless steel wire; HMPE has a clause of its own.

    Source: OSR 3.14.6 a).
    """
    for line in lines.used_lines(placed):
        measure = line.measure(
            "material", None, "", Remark("line.made_of", line=line.spec.construction, material=line.spec.material)
        )
        if line.kind == "HMPE":
            yield clause.say("not applicable", measure, Remark("line.not_wire_but_hmpe"))
        elif line.kind != "wire":
            yield clause.say("fail", measure, Remark("line.neither_wire_nor_hmpe"))
        else:
            kept = lines.stainless(line)
            verdict: Verdict = "cannot tell" if kept is None else "pass" if kept else "fail"
            yield clause.say(verdict, measure, *((Remark("wire.stainless_not_stated"),) if kept is None else ()))


def wire_grade(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Grade 316 is recommended for wire; another grade is a notice, not a failure.

    Source: OSR 3.14.6 b).
    """
    for line in lines.used_lines(placed, "wire"):
        measure = line.measure("grade", None, "", Remark("line.material", material=line.spec.material))
        if "316" in line.spec.material:
            yield clause.say("pass", measure)
        else:
            yield clause.say("notice", measure, Remark("wire.grade_recommended"))


def uncoated(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Stainless wire is uncoated and without a close-fitting sleeve.

    Source: OSR 3.14.6 c).
    """
    for line in lines.used_lines(placed, "wire"):
        measure = line.measure("coating", None, "", Remark("line.construction", construction=line.spec.construction))
        if line.coated:
            yield clause.say("fail", measure)
        else:
            yield clause.say("pass", measure, Remark("wire.sleeves_not_in_file"))


def lanyard_gap(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A lanyard that secures a line closes a gap of no more than 100 mm.

    Source: OSR 3.14.6 c), in some editions d).
    """
    for measure in lines.lashing_gaps(placed):
        yield clause.at_most(measure, clause.limit("max gap"))


def system_strength(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lines, ends, fittings and lanyards are all at least as strong as the wire required for the boat.

    Any construction satisfies the table of diameters, so that the limit is the breaking load of the weakest one: by
    the metric table for metric lines, by the inch table for inch lines, by the lesser for ends and fittings.
    Source: OSR 3.14.6 d) and table 8; data/wire_breaking_metric.csv and data/wire_strength.csv.
    """
    required = _by_hull(placed, documents.limits(WORD)[clause.edition, "3.14.6 wire diameter"])
    used = lines.used_lines(placed)
    wires = {inches: weakest_wire(required, inches) for inches in dict.fromkeys(line.in_inches for line in used)}
    for line in used:
        yield clause.at_least(lines.breaking_load(line), wires[line.in_inches])
    weakest = min(wires.values(), key=lambda wire: wire.value)
    for measure in (*end_strengths(placed), *fitting_strengths(placed)):
        yield clause.at_least(measure, weakest)


def hmpe_admission(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Whether HMPE lines are admitted depends on edition, category and hull; sources differ, so that it is a notice.

    Source: OSR 3.14.6 in its editions, compiled in data/rules/osr-hmpe.csv.
    """
    for line in lines.used_lines(placed, "HMPE"):
        answer, reason = admission_of_hmpe(clause.edition, placed.boat.boat.hulls, offshore_category(placed))
        measure = line.measure("admission", None, "", Remark("hmpe.admission", answer=answer, why=reason))
        yield clause.say("notice", measure, Remark("hmpe.national_rules"))


def admission_of_hmpe(edition: str, hulls: str, category: int | None) -> tuple[str, Remark]:
    """Return `allowed`, `not allowed` or `ask`, and the reason.

    Args:
        edition: a year of data/rules/osr-hmpe.csv.
        hulls: mono or multi.
        category: 0 to 4, None where none is stated.
    """
    known = table.rows("rules/osr-hmpe")
    found = [row for row in known if row["edition"] == edition and row["hulls"] in ("any", hulls)]
    for row in found:
        if row["category"] == "any" or str(category) in row["category"].split():
            return row["answer"], Remark("hmpe.by_table", reason=row["reason"], source=row["source"])
    if category is None and found:
        return "ask", Remark("hmpe.no_category")
    if category is None:
        return "ask", Remark("hmpe.edition_not_known", edition=edition, hulls=hulls)
    return "ask", Remark("hmpe.category_not_known", edition=edition, hulls=hulls, category=category)


def hmpe_diameter(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """HMPE is at least 4 mm under 8.5 m hull length and 5 mm above; for a covered rope that of the core.

    Source: OSR table of 3.14.6 in the editions 2010 to 2015, from memory.
    """
    limit = _by_hull(placed, clause.limits)
    for line in lines.used_lines(placed, "HMPE"):
        if line.spec.construction == "covered HMPE":
            measure = line.measure("core_diameter", None, "mm", Remark("hmpe.diameter_over_cover"))
            yield clause.say("cannot tell", measure, limit=limit)
        else:
            yield clause.at_least(line.measure("hmpe_diameter", line.spec.diameter), limit)


def _by_hull(placed: Placed, limits: Mapping[str, Limit]) -> Limit:
    """Return the diameter of a table by hull length: under 8.5 m, to 13 m (43 ft), above."""
    length = placed.boat.boat.hull_length
    if length < max(limits["hull length below, first step"].figures) - ROUNDING:
        return limits["min diameter, first step"]
    if length <= max(limits["max hull length, second step"].figures) + ROUNDING:
        return limits["min diameter, second step"]
    return limits["min diameter, third step"]


CLAUSES = (
    Clause("3.14.2 a)", "tautness, upper or single line", upper_line_tautness),
    Clause("3.14.2 b)", "tautness, intermediate line", intermediate_line_tautness, nothing=_NO_LOWER),
    Clause("3.14.6 a)", "line material", wire_material),
    Clause("3.14.6 wire diameter", "wire diameter", wire_diameter, nothing=_NO_WIRE),
    Clause("3.14.6 b)", "wire grade", wire_grade, nothing=_NO_WIRE),
    Clause("3.14.6 c) coating", "coating of wire", uncoated, nothing=_NO_WIRE),
    Clause("3.14.6 c) lanyard", "lanyard gap", lanyard_gap, nothing=Remark("clause.no_lashing")),
    Clause("3.14.6 d)", "strength of the system", system_strength),
    Clause("3.14.6 d) anchorages", "strength of anchorages", None, Remark("clause.anchorages_not_in_file")),
    Clause("3.14.6 HMPE", "admission of HMPE", hmpe_admission, nothing=_NO_HMPE),
    Clause("3.14.6 HMPE diameter", "HMPE diameter", hmpe_diameter, nothing=_NO_HMPE),
    Clause(
        "3.14.6 HMPE splice", "HMPE splices and chafe", None,
        Remark("clause.splices_seen"),
    ),
)  # fmt: skip
