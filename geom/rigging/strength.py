"""The strength of each link of a run, as far as it is known, and the weakest.

A breaking load is an input and is never derived from a diameter alone. The one table is for wire sizes of a
published standard, looked up by construction, material and size.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from geom.boat.model import Boat, Cord, GuardLine
from geom.data import table
from geom.data.table import Datum
from geom.errors import OutsideTableError
from geom.mechanics.weakest_link import end_efficiency, lashing_capacity
from geom.placement.line_ends import BOTH, line_end, run_end
from geom.placement.place import PlacedRun
from geom.remark import Remark, Stated
from geom.units import N

_LBF = 4.4482216152605


@dataclass(frozen=True)
class Link:
    """One link with its strength [N], None where unknown, and the source of the figure."""

    name: str
    holds: N | None
    source: Stated


@dataclass(frozen=True)
class Strength:
    """The links of a run. `weakest` is the weakest of known strength; `unknown` names those of unknown strength."""

    run: str
    links: tuple[Link, ...]
    weakest: Link | None
    unknown: tuple[str, ...]


def published_wire(construction: str, material: str, diameter_in: str) -> Datum:
    """Return the published breaking load of a wire in lbf.

    Source: data/wire_strength.csv, the source of each row.

    Args:
        construction: such as `7x19 wire`.
        material: such as `stainless steel 302/304`.
        diameter_in: the size in inches as the table prints it: `3/16`.

    Raises:
        OutsideTableError: the table has no such size.
    """
    size = str(Fraction(diameter_in))
    return table.datum("wire_strength", construction=construction, material=material, diameter_in=size)


def line_strength(line: GuardLine) -> Link:
    """Return the strength of the line itself: by certificate, else a published table for its exact size, else unknown.

    A figure from memory is reported and not used.
    """
    if line.breaking_load is not None:
        return Link("line", line.breaking_load.value, line.breaking_load.source)
    size = Fraction(round(line.diameter / 25.4 * 64), 64)
    if abs(float(size) * 25.4 - line.diameter) < 1e-6:
        try:
            found = published_wire(line.construction, line.material, str(size))
        except OutsideTableError:
            return Link("line", None, Remark("strength.no_line_in_table"))
        if not found.sure.startswith("found"):
            memory = Remark("strength.from_memory", value=found.value, unit=found.unit)
            return Link("line", None, memory)
        return Link("line", found.value * _LBF, _source(found))
    return Link("line", None, Remark("strength.no_size_in_table"))


def lashing_link(name: str, cord: Cord) -> Link:
    """Return the strength of a lashing from its cord.

    Source: data/line_strength.csv, key lashing_share.
    """
    held = lashing_capacity(cord)
    if held is None:
        return Link(name, None, Remark("strength.no_cord_load"))
    holds, share = held
    return Link(name, holds, _source(share))


def _source(datum: Datum) -> Remark:
    page = datum.clause_or_page
    if page:
        return Remark("source.page", source=datum.source, page=page, sure=datum.sure)
    return Remark("source.sure", source=datum.source, sure=datum.sure)


def run_strength(boat: Boat, run: PlacedRun) -> Strength:
    """Return the links of a run from end to end."""
    line = boat.lines[run.spec.line]
    bare = line_strength(line)
    links = [bare]
    for where in BOTH:
        end, stated = line_end(boat, run, where), run_end(run, where)
        name = f"{where}: {stated.end}"
        share = end_efficiency(end)
        if end.strength is not None:
            links.append(Link(name, end.strength.value, end.strength.source))
        elif share is not None:
            holds = None if bare.holds is None else bare.holds * share.value
            links.append(
                Link(name, holds, Remark("strength.share", share=share.value, unit=share.unit, source=_source(share)))
            )
        else:
            links.append(Link(name, None, Remark("strength.not_given")))
        for word in stated.fittings:
            fitting = boat.fittings[word]
            if fitting.strength is not None:
                links.append(Link(f"{where}: {word}", fitting.strength.value, fitting.strength.source))
            elif fitting.cord is not None:
                links.append(lashing_link(f"{where}: {word}", fitting.cord))
            else:
                links.append(Link(f"{where}: {word}", None, Remark("strength.not_given")))
    if any(item.kind == "stop" for item in run.slide_on):
        share = table.datum("line_strength", key="stop_knot_slip")
        holds = None if bare.holds is None else bare.holds * share.value
        links.append(Link("stop on the line", holds, Remark("strength.stop_slips", source=_source(share))))
    known = [link for link in links if link.holds is not None]
    return Strength(
        run.id,
        tuple(links),
        min(known, key=lambda link: link.holds or 0.0) if known else None,
        tuple(link.name for link in links if link.holds is None),
    )
