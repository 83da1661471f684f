"""The made-up line laid out straight: every mark from one zero, where its forward end bears [mm]."""

from __future__ import annotations

from dataclasses import dataclass

from geom.runs.fit import BuryFit
from geom.runs.place import PlacedRun, end_name


@dataclass(frozen=True)
class Station:
    """One mark on the finished line: distance from the zero [mm], what it is, at which end, hole or place."""

    at: float
    what: str
    place: str


def stations(run: PlacedRun, fit: BuryFit) -> tuple[Station, ...]:
    """Return the stations of a run in order along the line."""
    found = [Station(0.0, "bears", end_name(run.told.start)), Station(fit.finished, "bears", end_name(run.told.finish))]
    for bury in fit.buries:
        place = end_name(run.told.start if bury.end == "start" else run.told.finish)
        found.append(Station(bury.throat, "throat", place))
        if bury.full_end is not None:
            found.append(Station(bury.full_end, "taper begins", place))
        found.append(Station(bury.bury_end, "bury ends", place))
    found += [Station(hole.at, "hole", hole.hole) for hole in fit.holes]
    return tuple(sorted(found, key=lambda station: station.at))
