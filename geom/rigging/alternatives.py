"""What may be made where two buries do not fit. Nothing is approved here: each says what is still to be checked."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat, Gate, Run
from geom.placement.place import PlacedPost, PlacedRun, place_run
from geom.placement.stack import finished_length, stack
from geom.rigging.fit import BuryFit, bury_fit
from geom.rigging.lengths import bury_of
from geom.rigging.splice import DEFAULT_RULE, bury_length, practice
from geom.units import Mm


@dataclass(frozen=True)
class Alternative:
    """Another way to make a line that does not fit: what, by which figures, and what is still to be checked.

    `finished` is its finished length where that is another one [mm], `diameter` its thickest rope [mm]; `joins` is
    the run that it is made in one piece with.
    """

    what: str
    figures: str
    to_check: str
    finished: Mm | None = None
    diameter: Mm | None = None
    joins: str | None = None


def alternatives(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun, fit: BuryFit) -> tuple[Alternative, ...]:
    """Return what else may be made of a run whose buries do not fit; nothing where they do."""
    if fit.fits:
        return ()
    passes = ", whether its terminals pass the holes" if run.passages else ""
    bearing = f"finished {fit.finished:.1f} mm bearing to bearing{_beyond(boat, run)}; no bury"
    found = [
        Alternative(
            "wire with terminals",
            bearing,
            f"the rule in force, the wire's breaking load{passes}; broken wires cut hands",
        ),
        Alternative(
            "webbing sewn round rings",
            bearing,
            "the rule in force, the webbing's breaking load as sewn, sunlight, its hook",
        ),
    ]
    continuous = _continuous(boat, posts, run)
    if continuous is not None:
        found.append(continuous)
    thinner = thinnest_that_fits(boat, run, fit)
    if thinner is not None:
        found.append(
            Alternative(
                "a thinner rope",
                f"up to {thinner:.1f} mm in diameter two buries of "
                f"{bury_of(boat.lines[run.spec.line]) / boat.lines[run.spec.line].diameter:g} d fit",
                "the least diameter and the breaking load of the rule in force; most likely it is too thin",
                diameter=thinner,
            )
        )
    return tuple(found)


def _beyond(boat: Boat, run: PlacedRun) -> str:
    """Return the fittings that stand between the line's ends and the boat, which are not in the finished length."""
    names = (*run.spec.start.fittings, *run.spec.finish.fittings)
    stated = " and ".join(f"{name} {boat.fittings[name].length.planned:.1f} mm" for name in names)
    return f", plus {stated}" if stated else ""


def thinnest_that_fits(boat: Boat, run: PlacedRun, fit: BuryFit) -> float | None:
    """Return the thickest rope whose buries fit this finished length [mm]; None where none does."""
    line = boat.lines[run.spec.line]
    per_d = bury_length(1.0, line.splice_rule or DEFAULT_RULE)
    fixed = fit.needs - len(fit.buries) * bury_of(line)
    left = fit.finished - fixed
    return left / (len(fit.buries) * per_d) if left > 0.0 and fit.buries else None


def continuous_run(boat: Boat, run: PlacedRun) -> tuple[Run, Gate] | None:
    """Return the run that goes on from the line before a gate through its post to the hook, if there is one.

    The line before the gate ends at the post where the gate's line begins; as one line it goes through
    that post's hole instead, and a stop knot on its gate side holds the side when the gate is open.
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
    its_stack = stack(boat, placed)
    fit = bury_fit(boat, placed, its_stack)
    if not fit.fits:
        return None
    finished = finished_length(placed, its_stack)
    bore = placed.passages[-1].hole
    return Alternative(
        f"one continuous line with {stated.id}, a stop knot at {bore.post}",
        f"finished {finished:.1f} mm, the buries need {fit.needs:.0f} mm; "
        f"stop {practice('stop_clear'):.1f} mm clear of the post",
        f"the stop's size against the {bore.bore:g} mm bore of {bore.id}, its slip, and how far the side drops",
        finished=finished,
        joins=stated.id,
    )
