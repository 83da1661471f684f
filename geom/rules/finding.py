"""Findings of rules: one per clause and place, with measured value, limit and verdict."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import TYPE_CHECKING, Literal

from geom.errors import OutsideTableError
from geom.frozen import cached_property, frozen
from geom.remark import Remark, Stated, one_sentence
from geom.rules.measure import Condition as Condition
from geom.rules.measure import Known as Known
from geom.rules.measure import Limit as Limit
from geom.rules.measure import Measure as Measure
from geom.rules.measure import joined as joined
from geom.rules.measure import whole_boat as whole_boat
from geom.units import ROUNDING as ROUNDING
from geom.units import InItsUnit

if TYPE_CHECKING:
    from geom.placement.placed import Placed

Verdict = Literal["pass", "fail", "cannot tell", "not applicable", "notice"]
# Worst first, as reports list them.
ORDER: tuple[Verdict, ...] = ("fail", "cannot tell", "notice", "pass", "not applicable")


@frozen
class Finding:
    """One clause applied to one place of a boat.

    `limit`, `margin` and `uncertainty` are in the `unit` of the measure; the margin is positive where the limit is met.
    A quantity that is not determined is None, and its verdict `cannot tell`. The verdict goes by the measured value;
    `marginal` is whether it turns within the `uncertainty` of the value, which is stated, solved or assumed as
    `uncertainty_source` says. Of a limit printed in two units `limit` is the first figure, or the second where only
    that is met. `printed` is the limit as printed in the document, `sure` the confidence in it. `would` is the verdict
    of a finding reduced to a notice because its limit is doubtful or its document not binding. `waivers` never change
    the verdict.
    """

    id: str
    check: ClauseCheck
    measure: Measure
    verdict: Verdict
    limit: InItsUnit | None = None
    margin: InItsUnit | None = None
    printed: Stated = ""
    sure: str = ""
    notes: tuple[Remark, ...] = ()
    marginal: bool = False
    would: Verdict | None = None
    waivers: tuple[Remark, ...] = ()

    @property
    def document(self) -> str:
        """The title of the document."""
        return self.check.document

    @property
    def edition(self) -> str:
        """The edition of the document."""
        return self.check.edition

    @property
    def clause(self) -> str:
        """The number of the clause."""
        return self.check.clause

    @property
    def subject(self) -> str:
        """The subject of the clause."""
        return self.check.subject

    @property
    def binding(self) -> bool:
        """Whether the document binds this boat; else it is applied for comparison."""
        return self.check.binding

    @property
    def quantity(self) -> Remark:
        """The quantity that is measured."""
        return self.measure.quantity

    @property
    def measured(self) -> InItsUnit | None:
        """Its value, None where it is not determined."""
        return self.measure.value

    @property
    def unit(self) -> str:
        """The unit of the value."""
        return self.measure.unit

    @property
    def run(self) -> str | None:
        """The run that is measured."""
        return self.measure.run

    @property
    def post(self) -> str | None:
        """The post that is measured."""
        return self.measure.post

    @property
    def where(self) -> Remark | None:
        """The place that is measured."""
        return self.measure.where or Remark("place.named", name=self.measure.place)

    @property
    def demand(self) -> InItsUnit | None:
        """What orders findings without a margin, the greatest first."""
        return self.measure.demand

    @property
    def uncertainty(self) -> InItsUnit | None:
        """The expanded uncertainty of the value, None where it is not surveyed."""
        return None if self.measure.known is None else self.measure.known.within

    @property
    def uncertainty_source(self) -> Stated:
        """Where the uncertainty comes from."""
        return "" if self.measure.known is None else self.measure.known.source

    def restated(
        self, verdict: Verdict, notes: tuple[Remark, ...] | None = None, would: Verdict | None = None
    ) -> Finding:
        """Return the finding with another verdict.

        Args:
            verdict: the verdict.
            notes: in place of its notes; the same where None.
            would: the verdict by a certain limit or a binding document, for a notice.
        """
        return Finding(
            self.id, self.check, self.measure, verdict, self.limit, self.margin, self.printed, self.sure,
            self.notes if notes is None else notes, self.marginal, would, self.waivers,
        )  # fmt: skip

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


@dataclass(frozen=True)
class ClauseCheck:
    """A clause of an edition with its limits, which turns measures into findings."""

    word: str
    document: str
    edition: str
    clause: str
    subject: str
    limits: Mapping[str, Limit] = field(hash=False, repr=False)
    binding: bool = True

    @cached_property
    def quantity(self) -> Remark:
        """The subject of the clause, where it measures nothing."""
        return Remark("quantity.clause", title=self.subject)

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
        return self._judged(measure, limit, 1.0)

    def at_most(self, measure: Measure, limit: Limit) -> Finding:
        """Return the finding of a measure against a maximum."""
        return self._judged(measure, limit, -1.0)

    def undetermined(self, measure: Measure, limit: Limit) -> Finding:
        """Return the finding of a measure against a limit that has no figure for this boat."""
        return replace(self.say("cannot tell", measure), printed=limit.as_printed, sure=limit.sure)

    def eased_at_least(self, measure: Measure, strict: Limit, eased: Limit, exemption: Condition) -> Finding:
        """Return the finding of a measure against a minimum, or against a lower one where an exemption applies.

        Args:
            measure: the measure.
            strict: the minimum without exemption.
            eased: the minimum with exemption.
            exemption: whether the exemption applies.
        """
        return self._eased(measure, strict, eased, exemption, 1.0)

    def eased_at_most(self, measure: Measure, strict: Limit, eased: Limit, exemption: Condition) -> Finding:
        """Return the finding of a measure against a maximum, or against a higher one where an exemption applies.

        Args:
            measure: the measure.
            strict: the maximum without exemption.
            eased: the maximum with exemption.
            exemption: whether the exemption applies.
        """
        return self._eased(measure, strict, eased, exemption, -1.0)

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
        name, notes = self._id(measure), (*measure.notes, *notes)
        if limit is None:
            return Finding(name, self, measure, verdict, None, margin, "", "", notes)
        return Finding(name, self, measure, verdict, limit.value, margin, limit.as_printed, limit.sure, notes)

    def _id(self, measure: Measure) -> str:
        return f"{self._prefix}:{_slug(measure.place)}"

    @cached_property
    def _prefix(self) -> str:
        clause, tail = _slug(self.clause), self.word.rpartition("-")[2]
        if not self.word:
            return clause
        # Clauses of 46 CFR 169.327 begin with its number, which is not repeated.
        return f"{self.word}-{clause.removeprefix(f'{tail}-')}"

    def _judged(
        self, measure: Measure, limit: Limit, sense: float, reasons: tuple[Remark, ...] = (), certain: bool = True
    ) -> Finding:
        """Return the finding of a measure against a minimum (sense +1) or a maximum (sense -1).

        The reasons are its last notes; where it is not `certain` which limit applies, its verdict is `cannot tell`.
        """
        value, known = measure.value, measure.known
        if value is None:
            return self.say("cannot tell", measure, limit=limit)
        first, second = _margins(value, limit, sense)
        margin, figure = first, limit.value
        notes = [*measure.notes]
        if first < -ROUNDING <= second:
            notes.append(Remark("limit.met_as_also_printed", printed=limit.also_printed))
            margin, figure = second, limit.figures[-1]
        verdict: Verdict = "pass" if margin >= -ROUNDING else "fail"
        marginal = known is not None and abs(max(first, second)) < known.within
        if known is not None and marginal:
            notes.append(_known_within(value, known, measure.unit))
        notes += (*limit.doubts, *reasons)
        would = verdict if limit.doubts and certain else None
        verdict = "cannot tell" if not certain else "notice" if limit.doubts else verdict
        return Finding(
            self._id(measure), self, measure, verdict, figure, margin, limit.as_printed, limit.sure, tuple(notes),
            marginal, would,
        )  # fmt: skip

    def _eased(self, measure: Measure, strict: Limit, eased: Limit, exemption: Condition, sense: float) -> Finding:
        if measure.value is None:
            return self._judged(measure, strict, sense)
        if exemption.holds is not None:
            return self._judged(measure, eased if exemption.holds else strict, sense, exemption.reasons)
        # Meeting the strict limit passes and missing the eased one fails, whether or not the exemption applies.
        meets = [max(_margins(measure.value, limit, sense)) >= -ROUNDING for limit in (strict, eased)]
        if meets == [False, True]:
            return self._judged(measure, strict, sense, exemption.reasons, certain=False)
        return self._judged(measure, strict if meets[0] else eased, sense)


def _margins(value: float, limit: Limit, sense: float) -> tuple[float, float]:
    """Return the margins to both figures of a limit, twice the same where only one is printed."""
    first = sense * (value - limit.value)
    return first, first if limit.also is None else sense * (value - limit.also)


def _known_within(value: float, known: Known, unit: str) -> Remark:
    if unit == "deg":
        angle, within = math.radians(value), math.radians(known.within)
        return Remark("finding.angle_known_within", value_rad=angle, within_rad=within, source=known.source)
    return Remark("finding.known_within", value_mm=value, within_mm=known.within, source=known.source)


@cache
def _slug(text: str) -> str:
    """Return a text as part of an id: letters, digits, points and single hyphens."""
    return re.sub(r"[^A-Za-z0-9.]+", "-", text).strip("-")
