"""Tension along a run against what each of its links breaks at: the weakest governs."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Cord, LineEnd
from geom.data.table import Datum, datum
from geom.errors import OutsideTableError
from geom.placement.line_ends import family
from geom.remark import Remark, Stated
from geom.units import N, Ratio


@dataclass(frozen=True)
class Link:
    """One link of a run: what breaks it [N] times an efficiency; None where nobody knows."""

    name: str
    breaking_load: N | None
    efficiency: Ratio
    source: Stated

    @property
    def strength(self) -> N | None:
        """Breaking load with the efficiency in it [N]."""
        return None if self.breaking_load is None else self.breaking_load * self.efficiency


@dataclass(frozen=True)
class LinkUse:
    """A link under a tension; `share` is tension over strength, None where the strength is not known."""

    link: Link
    tension: N
    share: Ratio | None


@dataclass(frozen=True)
class WeakestLink:
    """The links of a run from the most to the least used; those of unknown strength stand apart."""

    ranked: tuple[LinkUse, ...]
    unknown: tuple[LinkUse, ...]

    @property
    def governing(self) -> LinkUse | None:
        """The most used link whose strength is known."""
        return self.ranked[0] if self.ranked else None

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """Which known link is weakest, and which are not known."""
        names = tuple(use.link.name for use in self.unknown)
        apart = (Remark("links.not_known", links=names),) if names else ()
        use = self.governing
        if use is None or use.share is None or use.link.strength is None:
            return (Remark("links.no_weakest"), *apart)
        weakest = Remark(
            "links.weakest", link=use.link.name, tension_n=use.tension, strength_n=use.link.strength,
            percent=100.0 * use.share,
        )  # fmt: skip
        return (weakest, *apart)


def weakest_link(links: tuple[tuple[Link, float], ...]) -> WeakestLink:
    """Return links ranked by how much of their strength is used.

    Args:
        links: each link with the tension that it carries [N].
    """
    uses = [
        LinkUse(link, tension, None if link.strength is None else tension / link.strength) for link, tension in links
    ]
    known = sorted((use for use in uses if use.share is not None), key=lambda use: (-(use.share or 0.0), use.link.name))
    return WeakestLink(tuple(known), tuple(use for use in uses if use.share is None))


def lashing_strength(turns: float, cord_breaking_load: float, share: float) -> float:
    """Return what a lashing of several turns holds [N]: both parts of every turn, less bends and poor sharing.

    Source: common practice, no source for the model; the share comes from data/line_strength.csv.

    Args:
        turns: turns of the cord; each has two parts.
        cord_breaking_load: of the cord [N].
        share: of the summed parts that counts.
    """
    return 2.0 * turns * cord_breaking_load * share


def pin_efficiency(pin: float, line: float) -> tuple[float, str] | None:
    """Return what is left of a line's strength round a single pin, and its source; None under the table's least.

    Takes the row at or below the ratio: nothing is put between the rows.

    Args:
        pin: diameter [mm].
        line: diameter [mm].
    """
    for ratio in (5, 3, 2, 1):
        if pin / line >= ratio:
            try:
                row = datum("pin_bend", pin_over_line=str(ratio))
            except OutsideTableError:
                return None
            return row.value, row.source
    return None


# Which row of data/line_strength.csv holds for a kind of end.
_BY_KIND = {"splice": "splice", "terminal": "terminal", "knot": "stop_knot_slip"}


def end_efficiency(end: LineEnd) -> Datum | None:
    """Return the share of the line's strength that an end of its family holds; None where none is published.

    Source: data/line_strength.csv, each row with its own.

    Raises:
        OutsideTableError: the data hold no such family.
    """
    key = _BY_KIND.get(family(end)["kind"])
    return None if key is None else datum("line_strength", key=key)


def lashing_holds(cord: Cord) -> tuple[float, Datum] | None:
    """Return what a lashing holds [N] and the share in it; None where the cord's breaking load is not given.

    Source: data/line_strength.csv, key lashing_share.
    """
    if cord.breaking_load is None:
        return None
    share = datum("line_strength", key="lashing_share")
    return lashing_strength(cord.turns, cord.breaking_load.value, share.value), share
