"""Consistency checks of nets: what each hangs from and reaches down to."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from geom.boat.faults import LocatedFault, closest
from geom.boat.model import LEVELS, Boat, Net, Run
from geom.boat.tree import Location


def supports_along(run: Run) -> tuple[str, ...]:
    """Return the names of the supports of a run in order, those of eyes without their level."""
    eyes = (run.start.eye, run.finish.eye)
    first, last = (None if eye is None else eye.rpartition("-")[0] for eye in eyes)
    return (first or run.start.post or "", *run.through, last or run.finish.post or "")


def supports_of_net(net: Net, run: Run) -> tuple[str, ...]:
    """Return the supports that a net hangs between, in order along its run.

    Args:
        net: netting under a guard line.
        run: its run.
    """
    names = supports_along(run)
    if net.between is None:
        return names
    first, last = sorted(names.index(name) for name in net.between)
    return names[first : last + 1]


def run_below(boat: Boat, run: Run, bay: tuple[str, str]) -> Run | None:
    """Return the nearest run below another between two neighbouring supports, None where there is none.

    Args:
        boat: the boat file.
        run: the run above.
        bay: the names of both supports.
    """
    levels = list(LEVELS)
    for level in levels[levels.index(run.level) + 1 :]:
        for other in boat.runs:
            if (other.side, other.level) == (run.side, level) and bay in pairwise(supports_along(other)):
                return other
    return None


def faults(boat: Boat) -> Iterator[LocatedFault]:
    """Yield the faults of a boat's nets."""
    runs = {run.id: run for run in boat.runs}
    for index, net in enumerate(boat.nets):
        place: Location = ("nets", index)
        if (net.along is None) == (net.corners is None):
            message = "the net has neither a run nor corners" if net.along is None else "the net has a line and corners"
            yield LocatedFault(place, message, valid="either along a run, or corners in the deck")
        elif net.along is None:
            for key in ("between", "foot"):
                if getattr(net, key) is not None:
                    message = "belongs to netting under a guard line"
                    yield LocatedFault((*place, key), message, valid="along a run in place of corners")
        elif net.along not in runs:
            yield LocatedFault((*place, "along"), "no such run", valid=closest(net.along, runs))
        else:
            yield from _hanging(boat, net, runs[net.along], place)


def _hanging(boat: Boat, net: Net, run: Run, place: Location) -> Iterator[LocatedFault]:
    if net.side != run.side:
        yield LocatedFault((*place, "along"), f"a run of the other side than net {net.id}", valid="a run of its side")
    if net.foot is None:
        yield LocatedFault(place, "the key 'foot' is missing", valid="deck edge, or lower line")
    names = supports_along(run)
    for position, name in enumerate(net.between or ()):
        if name not in names:
            message = f"run {run.id} has no such support"
            yield LocatedFault((*place, "between", position), message, valid=closest(name, names))
    if net.between is not None and net.between[0] == net.between[1]:
        yield LocatedFault((*place, "between"), "a net from a support to itself", valid="two different supports")
    elif net.foot == "lower line" and all(name in names for name in net.between or ()):
        for bay in pairwise(supports_of_net(net, run)):
            if run_below(boat, run, bay) is None:
                message = f"no line below {run.id} from {bay[0]} to {bay[1]}"
                yield LocatedFault((*place, "foot"), message, valid="deck edge")
