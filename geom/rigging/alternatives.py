"""Alternatives for a line too short for its buries. None is approved; each lists what is still to be checked."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat, Gate, Run
from geom.placement.place import PlacedPost, PlacedRun, place_run
from geom.placement.stack import finished_length, stack
from geom.remark import Remark
from geom.rigging.fit import BuryFit, bury_fit
from geom.rigging.lengths import bury_of
from geom.rigging.splice import DEFAULT_RULE, bury_length, practice
from geom.units import Mm


@dataclass(frozen=True)
class Alternative:
    """An alternative to a line that does not fit: what it is, its figures, and what is still to be checked.

    `finished` is its finished length where that differs [mm], `diameter` the largest rope diameter that fits [mm],
    `joins` the run it is made in one piece with.
    """

    what: Remark
    figures: Remark
    to_check: Remark
    finished: Mm | None = None
    diameter: Mm | None = None
    joins: str | None = None


def alternatives(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun, fit: BuryFit) -> tuple[Alternative, ...]:
    """Return the alternatives for a run whose buries do not fit; none where they fit.

    Args:
        boat: the boat file.
        posts: every placed post by its id.
        run: the placed run.
        fit: the fit of its buries.
    """
    if fit.fits:
        return ()
    bearing = Remark("instead.bearing", finished_mm=fit.finished, beyond=_beyond(boat, run))
    wire = "instead.wire_to_check_holes" if run.passages else "instead.wire_to_check"
    found = [
        Alternative(Remark("instead.wire"), bearing, Remark(wire)),
        Alternative(Remark("instead.webbing"), bearing, Remark("instead.webbing_to_check")),
    ]
    continuous = _continuous(boat, posts, run)
    if continuous is not None:
        found.append(continuous)
    thinner = thinnest_that_fits(boat, run, fit)
    if thinner is not None:
        found.append(
            Alternative(
                Remark("instead.thinner"),
                Remark(
                    "instead.thinner_fits",
                    diameter_mm=thinner,
                    times=bury_of(boat.lines[run.spec.line]) / boat.lines[run.spec.line].diameter,
                ),
                Remark("instead.thinner_to_check"),
                diameter=thinner,
            )
        )
    return tuple(found)


def _beyond(boat: Boat, run: PlacedRun) -> tuple[Remark, ...]:
    """Return the fittings between the line's ends and the boat, which the finished length leaves out."""
    names = (*run.spec.start.fittings, *run.spec.finish.fittings)
    fittings = tuple(
        Remark("instead.fitting", fitting=name, length_mm=boat.fittings[name].length.planned) for name in names
    )
    return (Remark("instead.plus", fittings=fittings),) if fittings else ()


def thinnest_that_fits(boat: Boat, run: PlacedRun, fit: BuryFit) -> float | None:
    """Return the largest rope diameter whose buries fit this finished length [mm]; None where none does.

    Args:
        boat: the boat file.
        run: the placed run.
        fit: the fit of its buries.
    """
    line = boat.lines[run.spec.line]
    per_d = bury_length(1.0, line.splice_rule or DEFAULT_RULE)
    fixed = fit.needs - len(fit.buries) * bury_of(line)
    left = fit.finished - fixed
    return left / (len(fit.buries) * per_d) if left > 0.0 and fit.buries else None


def continuous_run(boat: Boat, run: PlacedRun) -> tuple[Run, Gate] | None:
    """Return the run that continues the line before a gate through the gate post to the hook, None without one.

    The line before the gate ends at the post where the gate's line begins. As one line it goes through that post's
    hole instead, and a stop knot on the gate side holds the rest of the line when the gate is open.
    """
    for gate in boat.gates:
        if {run.spec.start.post, run.spec.finish.post} != set(gate.posts):
            continue
        post = run.spec.start.post
        before = next((other for other in boat.runs if other.level == run.level and other.finish.post == post), None)
        if before is None or post is None:
            continue
        through = (*before.through, post)
        return before.model_copy(update={"through": through, "finish": run.spec.finish}), gate
    return None


def _continuous(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun) -> Alternative | None:
    joined = continuous_run(boat, run)
    if joined is None:
        return None
    stated, _ = joined
    placed = place_run(boat, posts, stated)
    fittings = stack(boat, placed)
    fit = bury_fit(boat, placed, fittings)
    if not fit.fits:
        return None
    finished = finished_length(placed, fittings)
    bore = placed.passages[-1].hole
    return Alternative(
        Remark("instead.continuous", run=stated.id, post=bore.post),
        Remark("instead.continuous_fits", finished_mm=finished, needs_mm=fit.needs, stop_mm=practice("stop_clear")),
        Remark("instead.continuous_to_check", bore_mm=bore.bore, hole=bore.id),
        finished=finished,
        joins=stated.id,
    )
