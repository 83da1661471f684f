"""The pulls of the making: the pre-stretch of new rope, and the set pull of each finished splice.

A set pull seats a splice; it is a few per cent of the breaking load and proves nothing.
Source: data/splice_practice.csv, keys set_pull, pre_stretch_low and pre_stretch_high.
"""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import GuardLine
from geom.data import table
from geom.mechanics.person_load import STANDARD_GRAVITY
from geom.remark import Remark, Stated
from geom.rigging.strength import line_strength
from geom.units import N, Ratio


@dataclass(frozen=True)
class SetPull:
    """The pull that sets a splice [N], its share of the breaking load (None where that is not stated), its source."""

    pull: N
    share: Ratio | None
    source: Stated

    @property
    def says(self) -> Remark:
        """The pull in newtons and kilograms, with its share of the breaking load."""
        hung = self.pull / STANDARD_GRAVITY
        if self.share is None:
            return Remark("pull.set_of_unknown_break", pull_n=self.pull, hung_kg=hung)
        return Remark("pull.set", pull_n=self.pull, hung_kg=hung, percent=100.0 * self.share)


@dataclass(frozen=True)
class PreStretch:
    """The pull that new rope is stretched at, as shares of its breaking load, and that load [N] where it is stated."""

    low: Ratio
    high: Ratio
    breaking_load: N | None
    source: Stated

    @property
    def lowest(self) -> N | None:
        """The lowest pull [N]; None where the breaking load is not stated."""
        return None if self.breaking_load is None else self.low * self.breaking_load

    @property
    def highest(self) -> N | None:
        """The highest pull [N]; None where the breaking load is not stated."""
        return None if self.breaking_load is None else self.high * self.breaking_load

    @property
    def says(self) -> Remark:
        """The pull in newtons and kilograms, or as shares of a breaking load that is not stated."""
        shares = {"low_percent": 100.0 * self.low, "high_percent": 100.0 * self.high}
        low, high = self.lowest, self.highest
        if low is None or high is None:
            return Remark("pull.pre_stretch_share", **shares)
        hung = {"low_kg": low / STANDARD_GRAVITY, "high_kg": high / STANDARD_GRAVITY}
        return Remark("pull.pre_stretch", low_n=low, high_n=high, **hung, **shares)


def set_pull(line: GuardLine) -> SetPull:
    """Return the pull that sets a splice of a line."""
    found = table.datum("splice_practice", key="set_pull")
    holds = line_strength(line).holds
    return SetPull(found.value, None if holds is None else found.value / holds, found.source)


def pre_stretch(line: GuardLine) -> PreStretch:
    """Return the pull that new rope of a line is stretched at before it is marked."""
    low, high = (table.datum("splice_practice", key=f"pre_stretch_{end}") for end in ("low", "high"))
    return PreStretch(low.value, high.value, line_strength(line).holds, low.source)
