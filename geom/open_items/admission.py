"""Items that a person decides: what an organiser admits, which rule is meant, and how the lines are laid out."""

from __future__ import annotations

from collections.abc import Iterator

from geom.open_items.group import Draft, Group, Maker, measured, some_of
from geom.open_items.item import Choice, Entry
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import Finding


def hmpe(refit: Refit) -> Iterator[tuple[Draft, tuple[Finding, ...]]]:
    """Yield the item of HMPE lines that the edition in force does not plainly allow, with its notices."""
    of_hmpe = refit.findings_of.get("quantity.admission", ())
    found = [(one, said) for one in of_hmpe if one.binding and (said := _admission(one)) is not None]
    if not found:
        return
    lines = tuple(dict.fromkeys(str(one.where["name"]) for one, _ in found if one.where is not None))
    said = found[0][1]
    why = said["why"]
    assert isinstance(why, Remark)
    choices = (
        Choice(Remark("choice.ask_organiser"), why, Remark("hmpe.national_rules")),
        Choice(Remark("instead.wire"), None, Remark("instead.wire_to_check_holes")),
    )
    entries = (Entry("boat", 'rule_category: "..."'),) if why.code == "hmpe.no_category" else ()
    yield (
        Draft(Remark("item.hmpe", answer=str(said["answer"])), lines, choices, entries),
        tuple(one for one, _ in found),
    )


def _admission(finding: Finding) -> Remark | None:
    """Return what an edition says of HMPE, where it does not simply allow it."""
    said = next((note for note in finding.notes if note.code == "hmpe.admission"), None)
    return None if said is None or said["answer"] == "allowed" else said


def _single_line(refit: Refit, group: Group) -> Draft:
    sides = tuple(str(finding.where["side"]) for finding in group.findings if finding.where is not None)
    second = Choice(Remark("choice.second_line"))
    return Draft(Remark("item.single_line"), tuple(dict.fromkeys(sides)), (second,))


def _low_line(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.low_line"), group.posts, (Choice(Remark("choice.read_rule")),))


def _service(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.service"), group.posts, (Choice(Remark("choice.read_rule")),))


def _length(refit: Refit, group: Group) -> Draft:
    boat = refit.boat.boat
    title = Remark("item.length", hull_mm=boat.hull_length, overall_mm=boat.loa)
    return Draft(title, group.posts, (Choice(Remark("choice.read_rule")),))


def _ends(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.ends"), ())


def _near_end(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.near_end"), (), (Choice(Remark("choice.read_rule")),))


def _across(refit: Refit, group: Group) -> Draft:
    runs = tuple(run.id for run in refit.placed.runs.values() if run.side == "C")
    return Draft(Remark("item.across", at=some_of(runs, "runs")), runs, (Choice(Remark("choice.read_rule")),))


def _gates(refit: Refit, group: Group) -> Draft:
    gates = tuple(refit.placed.gates)
    return Draft(Remark("item.gates", at=some_of(gates, "gates")), gates)


def _courses(refit: Refit, group: Group) -> Draft:
    worst = min(group.findings, key=lambda finding: finding.margin or 0.0)
    return Draft(Remark("item.courses", has=measured(worst), min=worst.limit or 0.0), ())


MAKERS: dict[str, Maker] = {
    "admission.single_line": _single_line,
    "admission.low_line": _low_line,
    "admission.service": _service,
    "admission.length": _length,
    "layout.ends": _ends,
    "layout.near_end": _near_end,
    "layout.across": _across,
    "layout.gates": _gates,
    "layout.courses": _courses,
}
