"""What lies along a finished line: its bearings, throats, buries and holes."""

from __future__ import annotations

from dataclasses import dataclass

from geom.placement.eyes import Where
from geom.placement.place import PlacedRun, end_name
from geom.rigging.fit import BuryFit
from geom.units import Mm


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
