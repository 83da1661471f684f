"""What a rule says of a boat: one finding per place, with document, clause, measured value and limit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from geom.errors import OutsideTableError
from geom.remark import Remark, Stated, one_sentence
from geom.units import InItsUnit

if TYPE_CHECKING:
    from geom.placement.placed import Placed

Verdict = Literal["pass", "fail", "cannot tell", "not applicable", "notice"]
# Worst first, as reports list them.
ORDER: tuple[Verdict, ...] = ("fail", "cannot tell", "notice", "pass", "not applicable")


@dataclass(frozen=True)
class Finding:
    """One clause against one place of one boat.

    `measured`, `limit` and `margin` are in `unit`; margin is positive where the limit is kept. A
    quantity that cannot be measured is None, and its verdict `cannot tell`. `sure` says how well the
    limit is known, `printed` how the document itself writes it. `binding` is False where the document
    binds other boats and is put for comparison. `would` is the verdict that a notice stands for, where a
    doubtful limit or a document that binds other boats keeps it from being one. `where` is the place. `demand`
    orders findings that have no margin, the greatest first. `waivers` are what somebody put beside the
    finding; they never change the verdict.
    """

    id: str
    document: str
    edition: str
    clause: str
    subject: str
    quantity: Remark
    verdict: Verdict
    measured: InItsUnit | None = None
    limit: InItsUnit | None = None
    unit: str = ""
    margin: InItsUnit | None = None
    run: str | None = None
    post: str | None = None
    notes: tuple[Remark, ...] = ()
    uncertainty: InItsUnit | None = None
    sure: str = ""
    binding: bool = True
    waivers: tuple[Remark, ...] = ()
    would: Verdict | None = None
    where: Remark | None = None
    printed: Stated = ""
    demand: InItsUnit | None = None

    @property
    def note(self) -> Remark:
        """All notes in one sentence; empty where there are none."""
        return one_sentence(*self.notes)

    @property
    def waiver(self) -> Remark:
        """All waivers in one sentence; empty where there are none."""
        return one_sentence(*self.waivers)


@dataclass(frozen=True)
class Clause:
    """One clause: its number, what it is about, and the function from a placed boat to findings.

    `check` is None where the clause cannot be computed from a boat file; `why_not` says why. `nothing`
    says why it has nothing to ask of a boat for which `check` finds no place.
    """

    clause: str
    title: str
    check: Callable[[Placed, ClauseCheck], Iterator[Finding]] | None
    why_not: Remark | None = None
    nothing: Remark = Remark("clause.nothing_to_check")  # noqa: RUF009


# Noise of the arithmetic, not of the tape [any unit]: 600 mm worked out of inches is 600 mm.
ROUNDING = 1e-6


@dataclass(frozen=True)
class Limit:
    """A number of a clause in the unit it is held in, as the document prints it, and how sure it is."""

    value: InItsUnit
    unit: str
    as_printed: str
    source: str
    sure: str
    contested: str = ""

    @property
    def doubts(self) -> tuple[Remark, ...]:
        """Why a verdict by this limit is only a notice; none where it is not."""
        memory = (Remark("limit.from_memory", sure=self.sure),) if self.sure.startswith("memory") else ()
        contested = (Remark("limit.contested", dispute=self.contested),) if self.contested else ()
        return (*memory, *contested)

    def at(self, value: float) -> Limit:
        """Return the same limit worked out for this boat; the document does not print that number."""
        return replace(self, value=value, as_printed="")


@dataclass(frozen=True)
class Measure:
    """A quantity at a place of the boat; `value` is None where it cannot be told, and `notes` say why.

    `known_within` is half the band that holds the true value of a length [mm], None where nobody said how well it was
    measured. `where` is the place, where its short name does not say it; `demand` orders measures without a value.
    """

    place: str
    quantity: Remark
    value: InItsUnit | None
    unit: str = "mm"
    run: str | None = None
    post: str | None = None
    notes: tuple[Remark, ...] = ()
    known_within: InItsUnit | None = None
    where: Remark | None = None
    demand: InItsUnit | None = None


@dataclass(frozen=True)
class Exemption:
    """Whether an easement holds for this boat; None where the file does not say enough."""

    answer: bool | None
    reasons: tuple[Remark, ...]


@dataclass(frozen=True)
class ClauseCheck:
    """A clause of an edition with its limits, and the findings that it makes of measures."""

    word: str
    document: str
    edition: str
    clause: str
    subject: str
    limits: Mapping[str, Limit]
    binding: bool = True

    def limit(self, key: str) -> Limit:
        """Return a limit of this clause.

        Raises:
            OutsideTableError: this edition's table holds none of that name.
        """
        try:
            return self.limits[key]
        except KeyError:
            where = f"{self.document}, edition {self.edition}, clause {self.clause}"
            raise OutsideTableError(f"{where}: the table holds no '{key}'") from None

    def at_least(self, measure: Measure, limit: Limit) -> Finding:
        """Judge a measure that must not be less than a limit."""
        margin = None if measure.value is None else measure.value - limit.value
        return self._judged(measure, limit, margin)

    def at_most(self, measure: Measure, limit: Limit) -> Finding:
        """Judge a measure that must not be more than a limit."""
        margin = None if measure.value is None else limit.value - measure.value
        return self._judged(measure, limit, margin)

    def eased_at_least(self, measure: Measure, strict: Limit, eased: Limit, admission: Exemption) -> Finding:
        """Judge by the strict limit, or by a lower one where an easement holds."""
        return self._eased(self.at_least(measure, strict), self.at_least(measure, eased), admission)

    def eased_at_most(self, measure: Measure, strict: Limit, eased: Limit, admission: Exemption) -> Finding:
        """Judge by the strict limit, or by a higher one where an easement holds."""
        return self._eased(self.at_most(measure, strict), self.at_most(measure, eased), admission)

    def say(
        self,
        verdict: Verdict,
        measure: Measure,
        *notes: Remark,
        limit: Limit | None = None,
        margin: float | None = None,
    ) -> Finding:
        """Return a finding of a verdict that is already known."""
        return Finding(
            id=f"{self._prefix()}:{_slug(measure.place)}", document=self.document, edition=self.edition,
            clause=self.clause, subject=self.subject, quantity=measure.quantity, verdict=verdict,
            measured=measure.value, limit=None if limit is None else limit.value, unit=measure.unit,
            margin=margin, uncertainty=measure.known_within, run=measure.run, post=measure.post,
            notes=joined(measure.notes, notes), sure="" if limit is None else limit.sure, binding=self.binding,
            where=measure.where or Remark("place.named", name=measure.place),
            printed="" if limit is None else limit.as_printed, demand=measure.demand,
        )  # fmt: skip

    def _prefix(self) -> str:
        clause, tail = _slug(self.clause), self.word.rpartition("-")[2]
        if not self.word:
            return clause
        # 46 CFR 169.327 names its clauses by its own number, which need not stand twice.
        return f"{self.word}-{clause.removeprefix(f'{tail}-')}"

    def _judged(self, measure: Measure, limit: Limit, margin: float | None) -> Finding:
        if margin is None:
            return self.say("cannot tell", measure, limit=limit)
        kept = margin >= -ROUNDING
        verdict: Verdict = "pass" if kept else "fail"
        notes: tuple[Remark, ...] = ()
        if measure.value is not None and measure.known_within is not None and abs(margin) < measure.known_within:
            verdict = "cannot tell"
            notes = (Remark("finding.known_within", value_mm=measure.value, within_mm=measure.known_within),)
        if limit.doubts:
            finding = self.say("notice", measure, *notes, *limit.doubts, limit=limit, margin=margin)
            return replace(finding, would=verdict)
        return self.say(verdict, measure, *notes, limit=limit, margin=margin)

    def _eased(self, strict: Finding, eased: Finding, admission: Exemption) -> Finding:
        if strict.margin is None or eased.margin is None:
            return strict
        if admission.answer is None:
            # What keeps the strict limit passes and what breaks the eased one fails, whichever holds.
            if strict.margin >= -ROUNDING:
                return strict
            if eased.margin < -ROUNDING:
                return eased
            return replace(strict, verdict="cannot tell", notes=joined(strict.notes, admission.reasons))
        chosen = eased if admission.answer else strict
        return replace(chosen, notes=joined(chosen.notes, admission.reasons))


def joined(*notes: tuple[Remark, ...]) -> tuple[Remark, ...]:
    """Return remarks one after the other."""
    return tuple(note for some in notes for note in some)


def _slug(text: str) -> str:
    """Return a text as part of an id: letters, digits, points and single hyphens."""
    return re.sub(r"[^A-Za-z0-9.]+", "-", text).strip("-")
