"""Tension along a run against the strength of each of its links: the weakest governs."""

from __future__ import annotations

from operator import itemgetter

from geom.boat.model import Cord, LineEnd
from geom.data.table import Datum, datum
from geom.errors import OutsideTableError
from geom.frozen import cached_property, frozen
from geom.placement.line_ends import HAND_SPLICED, family
from geom.remark import Remark, Stated
from geom.units import N, Ratio, to_compare


@frozen
class Link:
    """One link of a run: breaking load, None where not known [N], and efficiency."""

    name: str
    breaking_load: N | None
    efficiency: Ratio
    source: Stated

    @cached_property
    def strength(self) -> N | None:
        """Breaking load times efficiency [N]."""
        return None if self.breaking_load is None else self.breaking_load * self.efficiency


@frozen
class LinkUse:
    """A link under a tension [N]; `utilisation` is tension over strength, None where the strength is not known."""

    link: Link
    tension: N
    utilisation: Ratio | None


@frozen
class WeakestLink:
    """The links of a run from the most to the least utilised, and those of unknown strength."""

    ranked: tuple[LinkUse, ...]
    unknown: tuple[LinkUse, ...]

    @property
    def governing(self) -> LinkUse | None:
        """The most utilised link of known strength."""
        return self.ranked[0] if self.ranked else None

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """Which link of known strength is weakest, and which strengths are not known."""
        names = tuple(use.link.name for use in self.unknown)
        apart = (Remark("links.not_known", links=names),) if names else ()
        use = self.governing
        if use is None or use.utilisation is None or use.link.strength is None:
            return (Remark("links.no_weakest"), *apart)
        weakest = Remark(
            "links.weakest", link=use.link.name, tension_n=use.tension, strength_n=use.link.strength,
            percent=100.0 * use.utilisation,
        )  # fmt: skip
        return (weakest, *apart)


def weakest_link(links: tuple[tuple[Link, float], ...]) -> WeakestLink:
    """Return links ranked by utilisation.

    Args:
        links: each link with its tension [N].
    """
    known: list[tuple[float, str, LinkUse]] = []
    unknown = []
    for link, tension in links:
        strength = link.strength
        if strength is None:
            unknown.append(LinkUse(link, tension, None))
        else:
            utilisation = tension / strength
            known.append((-to_compare(utilisation), link.name, LinkUse(link, tension, utilisation)))
    known.sort(key=itemgetter(0, 1))
    return WeakestLink(tuple([use for _, _, use in known]), tuple(unknown))


def lashing_strength(turns: float, cord_breaking_load: float, share: float) -> float:
    """Return the strength of a lashing of several turns [N]: both parts of every turn, times an efficiency.

    Source: common practice, no source for the model; efficiency from data/line_strength.csv.

    Args:
        turns: turns of the cord; each has two parts.
        cord_breaking_load: of the cord [N].
        share: efficiency, for bends and unequal load sharing.
    """
    return 2.0 * turns * cord_breaking_load * share


def pin_efficiency(pin: float, line: float) -> tuple[float, str] | None:
    """Return the efficiency of a line round a single pin (ratio) and its source; None below the range of the table.

    The row at or below the ratio of diameters applies; rows are not interpolated.

    Args:
        pin: diameter of the pin [mm].
        line: diameter of the line [mm].
    """
    for ratio in (5, 3, 2, 1):
        if pin / line >= ratio:
            try:
                row = datum("pin_bend", pin_over_line=str(ratio))
            except OutsideTableError:
                return None
            return row.value, row.source
    return None


# Row of data/line_strength.csv for each kind of end.
_BY_KIND = {"splice": "splice", "terminal": "terminal", "knot": "stop_knot_slip"}


def end_efficiency(end: LineEnd) -> Datum | None:
    """Return the efficiency of an end by its family; None where none is published.

    Source: data/line_strength.csv, by row; of a wire eye spliced by hand data/wire_splice.csv, key share_low.

    Raises:
        OutsideTableError: the family is not in the table.
    """
    if end.family == HAND_SPLICED:
        return datum("wire_splice", key="share_low")
    key = _BY_KIND.get(family(end)["kind"])
    return None if key is None else datum("line_strength", key=key)


def lashing_capacity(cord: Cord) -> tuple[float, Datum] | None:
    """Return the strength of a lashing [N] and its efficiency; None where the breaking load of the cord is not given.

    Source: data/line_strength.csv, key lashing_share.
    """
    if cord.breaking_load is None:
        return None
    share = datum("line_strength", key="lashing_share")
    return lashing_strength(cord.turns, cord.breaking_load.value, share.value), share
