"""Which documents are put to a boat, in which editions, and all findings with their waivers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from geom.boat.model import Boat, Waiver
from geom.data.editions import Edition, edition, in_force
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules.documents import common_practice, own
from geom.rules.edition import clause_check
from geom.rules.finding import ClauseCheck, Finding, Measure
from geom.rules.register import DOCUMENTS as DOCUMENTS

_LANYARD = "3.14.6 c) lanyard"
_BOAT = Remark("place.boat")


@dataclass(frozen=True)
class Applied:
    """An edition that is put to a boat; `chosen` where the boat file names its document."""

    edition: Edition
    chosen: bool

    @property
    def binding(self) -> bool:
        """Tell whether it is more than a comparison: it binds all boats, or the file names it."""
        return self.chosen or not self.edition.binds


def applied(boat: Boat) -> tuple[Applied, ...]:
    """Return the editions put to a boat: those that its file names, else all in their latest readable edition.

    Raises:
        OutsideTableError: the file names an edition that is not known.
    """
    rules = boat.rules
    named = () if rules is None else tuple(dict.fromkeys((*rules.documents, *rules.editions)))
    words = [word for word in DOCUMENTS if word != common_practice.WORD and (not named or word in named)]
    of_rules = [Applied(in_force(word, boat.named_editions), word in named) for word in words]
    return (*of_rules, Applied(edition(common_practice.WORD), chosen=True))


def check(placed: Placed, others: tuple[Finding, ...] = ()) -> tuple[Finding, ...]:
    """Return what every applied document and the boat's own limits say of a boat, waivers beside.

    Args:
        placed: the boat in space.
        others: findings from elsewhere, that waivers may name too; they come last.

    Raises:
        OutsideTableError: the file names an edition that is not known.
    """
    documents = applied(placed.boat)
    found = [finding for one in documents for finding in findings_of(placed, one)]
    found += _own_findings(placed)
    if not any(one.chosen and one.edition.word != common_practice.WORD for one in documents):
        found.append(_none_named())
    found += [finding for finding in others if not _judged_already(finding, found)]
    waivers = () if placed.boat.rules is None else placed.boat.rules.waivers
    return (*(_waived(finding, waivers) for finding in found), *_idle(waivers, found))


def findings_of(placed: Placed, one: Applied) -> Iterator[Finding]:
    """Yield what one edition says of a boat, its own standing first."""
    if one.edition.note:
        of = one.edition
        standing = ClauseCheck(of.word, of.title, of.edition, "edition", "edition", {}, one.binding)
        notes = [Remark("edition.note", note=of.note)]
        if not one.binding:
            notes.append(Remark("edition.binds_others", boats=of.binds))
        edition_of_it = Measure("boat", Remark("quantity.edition"), None, "", where=_BOAT)
        yield standing.say("notice", edition_of_it, *notes)
    for clause in DOCUMENTS[one.edition.word]:
        put = clause_check(one.edition, clause, one.binding)
        if clause.check is None or put is None:
            continue
        found = list(clause.check(placed, put))
        for finding in found:
            yield finding if finding.binding else _for_comparison(finding)
        if not found:
            whole = Measure("boat", Remark("quantity.clause", title=clause.title), None, "", where=_BOAT)
            yield put.say("not applicable", whole, clause.nothing)


def _for_comparison(finding: Finding) -> Finding:
    """Soften what fails by a document that binds other boats and that the file does not name."""
    if finding.verdict not in ("fail", "cannot tell"):
        return finding
    return replace(finding, verdict="notice", would=finding.verdict)


def _none_named() -> Finding:
    put = ClauseCheck("", "boat file", "rules", "documents", "rules to be kept", {})
    named = Measure("boat", Remark("quantity.documents_named"), None, "", where=_BOAT)
    return put.say("notice", named, Remark("rules.none_named"))


def _judged_already(finding: Finding, found: list[Finding]) -> bool:
    """Tell whether the making agrees to a lashing gap that a document put to the boat has judged by itself."""
    judged = any(other.clause == _LANYARD and other.run == finding.run for other in found)
    return finding.clause == "lashing-gap" and finding.verdict == "pass" and judged


def _own_findings(placed: Placed) -> Iterator[Finding]:
    limits = None if placed.boat.rules is None else placed.boat.rules.own
    if limits is None:
        return
    stated = own.limits(limits)
    for clause in own.CLAUSES:
        if clause.clause in stated and clause.check is not None:
            limit = {"limit": stated[clause.clause]}
            put = ClauseCheck(own.WORD, limits.title, "boat file", clause.clause, clause.title, limit)
            yield from clause.check(placed, put)


def _waived(finding: Finding, waivers: tuple[Waiver, ...]) -> Finding:
    """Return a finding with the waivers that name it or its clause; its verdict stays."""
    said = tuple(
        Remark("waiver.by", who=waiver.who, date=waiver.date, why=waiver.why)
        for waiver in waivers
        if waiver.finding in (finding.id, finding.id.partition(":")[0])
    )
    return replace(finding, waivers=said) if said else finding


def _idle(waivers: tuple[Waiver, ...], found: list[Finding]) -> Iterator[Finding]:
    """Yield a notice for each waiver that names nothing: a slip of the pen must not look like a waiver."""
    known = {part for finding in found for part in (finding.id, finding.id.partition(":")[0])}
    put = ClauseCheck("", "boat file", "rules", "waivers", "waivers", {})
    for waiver in waivers:
        if waiver.finding not in known:
            measure = Measure(waiver.finding, Remark("quantity.waiver"), None, "")
            idle = Remark("waiver.of_nothing", finding=waiver.finding)
            whose = Remark("waiver.whose", who=waiver.who, date=waiver.date, why=waiver.why)
            yield put.say("notice", measure, idle, whose)
