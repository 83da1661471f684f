"""The documents applied to a boat, their editions, and all findings with their waivers."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import replace
from functools import cache

from geom.boat.model import Boat, Waiver
from geom.data.editions import Edition, edition, in_force
from geom.frozen import frozen
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.documents import common_practice, own
from geom.rules.edition import clause_check
from geom.rules.finding import Clause, ClauseCheck, Finding, Measure, whole_boat
from geom.rules.register import DOCUMENTS as DOCUMENTS

_LANYARD = "3.14.6 c) lanyard"


@frozen
class AppliedEdition:
    """An edition applied to a boat; `chosen` is True where the boat file names its document."""

    edition: Edition
    chosen: bool

    @property
    def binding(self) -> bool:
        """Whether it is binding: for all boats, or because the boat file names it."""
        return self.chosen or not self.edition.binds


def applied(boat: Boat) -> tuple[AppliedEdition, ...]:
    """Return the editions applied to a boat: those named in its file, else the latest readable edition of each.

    Raises:
        OutsideTableError: the boat file names an edition that is not known.
    """
    rules = boat.rules
    named = () if rules is None else tuple(dict.fromkeys((*rules.documents, *rules.editions)))
    words = [word for word in DOCUMENTS if word != common_practice.WORD and (not named or word in named)]
    of_rules = [AppliedEdition(in_force(word, boat.named_editions), word in named) for word in words]
    return (*of_rules, AppliedEdition(edition(common_practice.WORD), chosen=True))


def check(placed: Placed, others: tuple[Finding, ...] = (), only: Container[str] | None = None) -> tuple[Finding, ...]:
    """Return the findings of all applied documents and of the limits in the boat file, with their waivers.

    Args:
        placed: the boat in space.
        others: findings from elsewhere, which may be waived too; they come last.
        only: the clauses to check, all where None.

    Raises:
        OutsideTableError: the boat file names an edition that is not known.
    """
    documents = applied(placed.boat)
    found = [finding for one in documents for finding in findings_of(placed, one, only)]
    found += _own_findings(placed, only)
    if not any(one.chosen and one.edition.word != common_practice.WORD for one in documents):
        found.append(_none_named())
    gaps = {finding.run for finding in found if finding.check.clause == _LANYARD}
    found += [finding for finding in others if not _already_judged(finding, gaps)]
    waivers = () if placed.boat.rules is None else placed.boat.rules.waivers
    if not waivers:
        return tuple(found)
    return (*(_waived(finding, waivers) for finding in found), *_unmatched(waivers, found))


def findings_of(placed: Placed, one: AppliedEdition, only: Container[str] | None = None) -> Iterator[Finding]:
    """Yield the findings of one edition for a boat, the status of the edition first.

    Args:
        placed: the boat in space.
        one: the edition.
        only: the clauses to check, all where None.
    """
    yield from _status(one.edition, one.binding)
    for clause, checked, nothing in _clauses(one.edition, one.binding):
        if clause.check is None or not (only is None or clause.clause in only):
            continue
        found = list(clause.check(placed, checked)) or [nothing]
        yield from found if one.binding else map(_for_comparison, found)


@cache
def _status(of: Edition, binding: bool) -> tuple[Finding, ...]:
    """Return the finding of what is to be known of an edition, if anything."""
    if not of.note:
        return ()
    check = ClauseCheck(of.word, of.title, of.edition, "edition", "edition", {}, binding)
    others = () if binding else (Remark("edition.binds_others", boats=of.binds),)
    return (check.say("notice", whole_boat(Remark("quantity.edition")), Remark("edition.note", note=of.note), *others),)


@cache
def _clauses(of: Edition, binding: bool) -> tuple[tuple[Clause, ClauseCheck, Finding], ...]:
    """Return the clauses of an edition whose text was read, with their limits, and the finding where none applies."""
    checks = ((clause, clause_check(of, clause, binding)) for clause in DOCUMENTS[of.word])
    return tuple(
        (clause, checked, checked.say("not applicable", whole_boat(checked.quantity), clause.nothing))
        for clause, checked in checks
        if checked is not None
    )


def _for_comparison(finding: Finding) -> Finding:
    """Return a finding of a document that is not binding: a failure becomes a notice."""
    if finding.verdict not in ("fail", "cannot tell"):
        return finding
    return finding.restated("notice", would=finding.verdict)


def _none_named() -> Finding:
    clause = ClauseCheck("", "boat file", "rules", "documents", "rules to be kept", {})
    return clause.say("notice", whole_boat(Remark("quantity.documents_named")), Remark("rules.none_named"))


def _already_judged(finding: Finding, gaps: set[str | None]) -> bool:
    """Whether a passed lashing gap of the line work repeats a finding of an applied document on one of some runs."""
    return finding.clause == "lashing-gap" and finding.verdict == "pass" and finding.run in gaps


def _own_findings(placed: Placed, only: Container[str] | None) -> Iterator[Finding]:
    limits = None if placed.boat.rules is None else placed.boat.rules.own
    if limits is None:
        return
    stated = own.limits(limits)
    for clause in own.CLAUSES:
        if clause.clause in stated and clause.check is not None and (only is None or clause.clause in only):
            limit = {"limit": stated[clause.clause]}
            own_check = ClauseCheck(own.WORD, limits.title, "boat file", clause.clause, clause.title, limit)
            yield from clause.check(placed, own_check)


def _waived(finding: Finding, waivers: tuple[Waiver, ...]) -> Finding:
    """Return a finding with the waivers that name it or its clause; its verdict stays."""
    notes = tuple(
        Remark("waiver.by", who=waiver.who, date=waiver.date, why=waiver.why)
        for waiver in waivers
        if waiver.finding in (finding.id, finding.id.partition(":")[0])
    )
    return replace(finding, waivers=notes) if notes else finding


def _unmatched(waivers: tuple[Waiver, ...], found: list[Finding]) -> Iterator[Finding]:
    """Yield a notice for each waiver that matches no finding, so that a typing error is found."""
    known = {part for finding in found for part in (finding.id, finding.id.partition(":")[0])}
    clause = ClauseCheck("", "boat file", "rules", "waivers", "waivers", {})
    for waiver in waivers:
        if waiver.finding not in known:
            measure = Measure(waiver.finding, Remark("quantity.waiver"), None, "")
            unmatched = Remark("waiver.of_nothing", finding=waiver.finding)
            whose = Remark("waiver.whose", who=waiver.who, date=waiver.date, why=waiver.why)
            yield clause.say("notice", measure, unmatched, whose)
