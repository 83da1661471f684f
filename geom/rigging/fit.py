"""The fit of a run's buries: against each other in a short line, and against the holes on the way.

Stations are along the finished line from the bearing point of its start [mm].
Source: clear lengths are common practice, no source; data/splice_practice.csv.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from geom.boat.model import Boat
from geom.data import table
from geom.errors import OutsideTableError
from geom.frozen import frozen
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, is_spliced, line_end, run_end
from geom.placement.place import PlacedRun, end_name
from geom.placement.stack import Stack, finished_length, travel
from geom.remark import Remark
from geom.rigging.lengths import bury_of, strands_of
from geom.rigging.line_remark import LineRemark, RemarkKind
from geom.rigging.splice import DEFAULT_TAPER, practice, taper_length
from geom.units import Mm


@frozen
class Bury:
    """One bury: stations of its throat, of the end of its full section and of its taper [mm].

    `forward` and `aft` are its travel over the adjusting range; None where not given.
    """

    end: Where
    throat: Mm
    full_end: Mm | None
    bury_end: Mm
    forward: Mm | None
    aft: Mm | None


@frozen
class HoleStation:
    """A hole on the line, with its station [mm]."""

    hole: str
    at: Mm


@dataclass(frozen=True)
class BuryNearHole:
    """A bury in or near a hole: min distance over the travel [mm], negative inside."""

    end: Where
    hole: str
    clear: Mm
    inside: bool


@frozen
class BuryFit:
    """The fit of a run's buries [mm]. `needs` is the min finished length, `apart` the gap between the bury ends.

    `buries` are those whose throat is known. Of the ends without one, `unknown`, `needs` counts the bury alone, a lower
    bound, so that the line may be too short for certain but never fits for certain.
    """

    run: str
    finished: Mm
    buries: tuple[Bury, ...]
    holes: tuple[HoleStation, ...]
    needs: Mm
    apart: Mm | None
    near: tuple[BuryNearHole, ...]
    fits: bool
    unknown: tuple[str, ...]
    remarks: tuple[LineRemark, ...]

    @property
    def too_short(self) -> bool:
        """Whether the line is too short for its buries, whatever is not stated."""
        return self.finished < self.needs - 1e-9


def bury_fit(boat: Boat, run: PlacedRun, stack: Stack) -> BuryFit:
    """Return the fit of a run's buries.

    Args:
        boat: the boat file.
        run: the placed run.
        stack: its fittings.
    """
    finished = finished_length(run, stack)
    spliced = tuple(where for where in BOTH if is_spliced(line_end(boat, run, where)))
    throats = {where: line_end(boat, run, where).throat_to_pin for where in spliced}
    length = bury_of(boat.lines[run.spec.line]) if spliced else 0.0
    buries = tuple(_bury(boat, run, where, finished, throat) for where, throat in throats.items() if throat is not None)
    holes = _holes(boat, run)
    needs = math.fsum(length + (throat or 0.0) for throat in throats.values())
    needs += practice("between_buries") if len(spliced) == 2 else 0.0
    apart = buries[1].bury_end - buries[0].bury_end if len(buries) == 2 else None
    unknown = tuple(run_end(run, where).end for where, throat in throats.items() if throat is None)
    near = tuple(found for bury in buries for hole in holes if (found := _near(bury, hole)) is not None)
    fits = finished >= needs - 1e-9 and not unknown
    bare = BuryFit(run.id, finished, buries, holes, needs, apart, near, fits, unknown, ())
    return replace(bare, remarks=tuple(_remarks(bare)))


def _bury(boat: Boat, run: PlacedRun, where: Where, finished: float, throat: float) -> Bury:
    line = boat.lines[run.spec.line]
    length = bury_of(line)
    strands = strands_of(line)
    taper = None
    if strands is not None:
        taper = taper_length(line.diameter, strands, length, line.taper or DEFAULT_TAPER)
    shorter, longer = travel([boat.fittings[name] for name in run_end(run, where).fittings])
    if where == "start":
        full = None if taper is None else throat + length - taper
        return Bury(where, throat, full, throat + length, shorter, longer)
    base = finished - throat
    full = None if taper is None else base - length + taper
    return Bury(where, base, full, base - length, longer, shorter)


def _holes(boat: Boat, run: PlacedRun) -> tuple[HoleStation, ...]:
    at = -math.fsum(boat.fittings[name].length.planned for name in run.spec.start.fittings)
    found = []
    for span, passage in zip(run.spans, run.passages, strict=False):
        at += span
        found.append(HoleStation(passage.hole.id, at))
    return tuple(found)


def _near(bury: Bury, hole: HoleStation) -> BuryNearHole | None:
    """Return a bury that ends too near a hole, or lies in it, anywhere on its travel; None where it stays clear."""
    low, high = bury.bury_end - (bury.forward or 0.0), bury.bury_end + (bury.aft or 0.0)
    distance = max(low - hole.at, hole.at - high, 0.0)
    inside = hole.at <= high if bury.end == "start" else hole.at >= low
    if not inside and distance >= practice("clear_of_hole"):
        return None
    depth = high - hole.at if bury.end == "start" else hole.at - low
    return BuryNearHole(bury.end, hole.hole, -depth if inside else distance, inside)


def _remarks(fit: BuryFit) -> Iterator[LineRemark]:
    between = table.datum("splice_practice", key="between_buries")
    run, finished, needs = fit.run, fit.finished, fit.needs
    if fit.unknown and not fit.too_short:
        says = Remark("bury.no_throat", needs_mm=needs, has_mm=finished, ends=fit.unknown)
        yield LineRemark("buries", "cannot tell", run, says)
    elif needs > 0.0:
        kind: RemarkKind = "refused" if fit.too_short else "agreed"
        says = Remark("bury.room", needs_mm=needs, has_mm=finished)
        yield LineRemark("buries", kind, run, says, finished, needs, "mm", between.source, between.sure)
    clear = table.datum("splice_practice", key="clear_of_hole")
    for place in fit.near:
        says = Remark("bury.in_hole", end=place.end, hole=place.hole)
        if not place.inside:
            says = Remark("bury.near_hole", end=place.end, hole=place.hole, clear_mm=place.clear)
        yield LineRemark("bury-hole", "notice", run, says, place.clear, clear.value, "mm", clear.source)


@dataclass(frozen=True)
class Station:
    """One mark on the finished line [mm]: its kind, and its end, hole or place.

    `at` is its distance from the forward bearing, `from_first` from the bearing of the end that is made first.
    """

    at: Mm
    what: str
    place: str
    from_first: Mm


def stations(run: PlacedRun, fit: BuryFit, first: Where) -> tuple[Station, ...]:
    """Return the stations of a run in order along the line from its forward end.

    Args:
        run: the placed run.
        fit: the stations of its buries and holes.
        first: the end that is made first, from which marks are measured.
    """
    found = [(0.0, "bears", end_name(run.spec.start)), (fit.finished, "bears", end_name(run.spec.finish))]
    for bury in fit.buries:
        place = end_name(run.spec.start if bury.end == "start" else run.spec.finish)
        found.append((bury.throat, "throat", place))
        if bury.full_end is not None:
            found.append((bury.full_end, "taper begins", place))
        found.append((bury.bury_end, "bury ends", place))
    found += [(hole.at, "hole", hole.hole) for hole in fit.holes]
    found.sort(key=lambda mark: mark[0])
    return tuple(Station(at, what, place, at if first == "start" else fit.finished - at) for at, what, place in found)


_INCH = 25.4


def largest_diameter(diameter: float) -> float | None:
    """Return the max diameter of a wire of nominal diameter [mm]; None for a size outside the table.

    Source: FAA Advisory Circular 43.13-1B (1998), table 7-3; data/wire_oversize.csv.
    """
    size = Fraction(round(diameter / _INCH * 64), 64)
    if abs(float(size) * _INCH - diameter) > 1e-6:
        return None
    try:
        over = table.datum("wire_oversize", diameter_in=str(size)).value
    except OutsideTableError:
        return None
    return diameter + over * _INCH


def wire_remarks(boat: Boat, run: PlacedRun) -> tuple[LineRemark, ...]:
    """Return a notice for each hole too small for a wire at its max diameter."""
    line = boat.lines[run.spec.line]
    bare = line.construction.endswith("wire") and not line.coated
    largest = largest_diameter(line.diameter) if bare else None
    if largest is None:
        return ()
    source = "FAA Advisory Circular 43.13-1B (1998), table 7-3"
    return tuple(
        LineRemark(
            "wire-oversize", "notice", run.id,
            Remark("wire.oversize", hole=passage.hole.id, wire_mm=largest, bore_mm=passage.hole.bore),
            passage.hole.bore, largest, "mm", source,
        )
        for passage in run.passages
        if passage.hole.bore < largest
    )  # fmt: skip
