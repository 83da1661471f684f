"""Findings of rules: one per clause and place, with measured value, limit and verdict."""

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
    """One clause applied to one place of a boat.

    `measured`, `limit`, `margin` and `uncertainty` are in `unit`; the margin is positive where the limit is met. A
    quantity that is not determined is None, and its verdict `cannot tell`. `sure` is the confidence in the limit,
    `printed` the limit as printed in the document. `binding` is False where the document binds other boats and is
    applied for comparison. `would` is the verdict of a finding reduced to a notice because its limit is doubtful or its
    document not binding. `where` is the place. `demand` orders findings without a margin, the greatest first.
    `waivers` never change the verdict.
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
    """One clause: its number, its subject, and the function from a placed boat to findings.

    `check` is None where the clause cannot be computed from a boat file, and `why_not` is the reason. `nothing` is the
    reason why the clause is not applicable where `check` yields no finding.
    """

    clause: str
    title: str
    check: Callable[[Placed, ClauseCheck], Iterator[Finding]] | None
    why_not: Remark | None = None
    nothing: Remark = Remark("clause.nothing_to_check")  # noqa: RUF009


# Rounding tolerance of the arithmetic [any unit]: 600 mm converted from inches is 600 mm.
ROUNDING = 1e-6


@dataclass(frozen=True)
class Limit:
    """A limit of a clause: value in its unit, as printed in the document, source and confidence."""

    value: InItsUnit
    unit: str
    as_printed: str
    source: str
    sure: str
    contested: str = ""

    @property
    def doubts(self) -> tuple[Remark, ...]:
        """Why a verdict by this limit is only a notice; empty where it is not."""
        memory = (Remark("limit.from_memory", sure=self.sure),) if self.sure.startswith("memory") else ()
        contested = (Remark("limit.contested", reason=self.contested),) if self.contested else ()
        return (*memory, *contested)

    def at(self, value: float) -> Limit:
        """Return the same limit with a value calculated for the boat [unit of the limit]."""
        return replace(self, value=value, as_printed="")


@dataclass(frozen=True)
class Measure:
    """A quantity at a place of the boat, in `unit`; `value` is None where not determined, with the reason in `notes`.

    `known_within` is the expanded uncertainty of a length [mm], None where no survey accuracy is stated. `where` is the
    place where its id does not name it; `demand` orders measures without a value.
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
    """Whether an exemption applies to the boat; None where that is not determined."""

    answer: bool | None
    reasons: tuple[Remark, ...]


@dataclass(frozen=True)
class ClauseCheck:
    """A clause of an edition with its limits, which turns measures into findings."""

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
            OutsideTableError: the table of the edition has no such limit.
        """
        try:
            return self.limits[key]
        except KeyError:
            where = f"{self.document}, edition {self.edition}, clause {self.clause}"
            raise OutsideTableError(f"{where}: no '{key}' in the table") from None

    def at_least(self, measure: Measure, limit: Limit) -> Finding:
        """Return the finding of a measure against a minimum."""
        margin = None if measure.value is None else measure.value - limit.value
        return self._judged(measure, limit, margin)

    def at_most(self, measure: Measure, limit: Limit) -> Finding:
        """Return the finding of a measure against a maximum."""
        margin = None if measure.value is None else limit.value - measure.value
        return self._judged(measure, limit, margin)

    def eased_at_least(self, measure: Measure, strict: Limit, eased: Limit, admission: Exemption) -> Finding:
        """Return the finding of a measure against a minimum, or against a lower one where an exemption applies.

        Args:
            measure: the measure.
            strict: the minimum without exemption.
            eased: the minimum with exemption.
            admission: whether the exemption applies.
        """
        return self._eased(self.at_least(measure, strict), self.at_least(measure, eased), admission)

    def eased_at_most(self, measure: Measure, strict: Limit, eased: Limit, admission: Exemption) -> Finding:
        """Return the finding of a measure against a maximum, or against a higher one where an exemption applies.

        Args:
            measure: the measure.
            strict: the maximum without exemption.
            eased: the maximum with exemption.
            admission: whether the exemption applies.
        """
        return self._eased(self.at_most(measure, strict), self.at_most(measure, eased), admission)

    def say(
        self,
        verdict: Verdict,
        measure: Measure,
        *notes: Remark,
        limit: Limit | None = None,
        margin: float | None = None,
    ) -> Finding:
        """Return a finding with a given verdict.

        Args:
            verdict: the verdict.
            measure: the measure.
            *notes: notes to add to those of the measure.
            limit: the limit, where there is one.
            margin: margin to the limit [unit of the measure].
        """
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
        # Clauses of 46 CFR 169.327 begin with its number, which is not repeated.
        return f"{self.word}-{clause.removeprefix(f'{tail}-')}"

    def _judged(self, measure: Measure, limit: Limit, margin: float | None) -> Finding:
        if margin is None:
            return self.say("cannot tell", measure, limit=limit)
        met = margin >= -ROUNDING
        verdict: Verdict = "pass" if met else "fail"
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
            # Meeting the strict limit passes and missing the eased one fails, whether or not the exemption applies.
            if strict.margin >= -ROUNDING:
                return strict
            if eased.margin < -ROUNDING:
                return eased
            return replace(strict, verdict="cannot tell", notes=joined(strict.notes, admission.reasons))
        chosen = eased if admission.answer else strict
        return replace(chosen, notes=joined(chosen.notes, admission.reasons))


def joined(*notes: tuple[Remark, ...]) -> tuple[Remark, ...]:
    """Return several tuples of remarks as one."""
    return tuple(note for some in notes for note in some)


def _slug(text: str) -> str:
    """Return a text as part of an id: letters, digits, points and single hyphens."""
    return re.sub(r"[^A-Za-z0-9.]+", "-", text).strip("-")
