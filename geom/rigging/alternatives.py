"""Alternatives for a line too short for its buries. None is approved; each lists what is still to be checked."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import Boat, Gate, Run
from geom.data.editions import Number, edition, number
from geom.placement.gate_lines import is_own_line
from geom.placement.line_ends import BOTH, is_spliced, line_end
from geom.placement.place import PlacedPost, PlacedRun, place_run
from geom.placement.stack import finished_length, stack
from geom.remark import Remark
from geom.rigging.fit import BuryFit, bury_fit
from geom.rigging.lengths import bury_of
from geom.rigging.splice import DEFAULT_RULE, bury_length, practice
from geom.units import Mm

_INCH = 25.4


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
    if not fit.too_short:
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
        found.append(_thinner(boat, run, thinner))
    return tuple(found)


def _thinner(boat: Boat, run: PlacedRun, diameter: float) -> Alternative:
    """Return a thinner rope as an alternative, against the minimum diameter of the rule in force.

    Source: OSR 3.14.6, table for HMPE; data/rules/osr.csv, with how sure the number is.
    """
    line = boat.lines[run.spec.line]
    fits = {"diameter_mm": diameter, "times": bury_of(line) / line.diameter}
    if line.material != "HMPE":
        return Alternative(
            Remark("instead.thinner"), Remark("instead.thinner_fits", **fits), Remark("instead.thinner_to_check"),
            diameter=diameter,
        )  # fmt: skip
    rule = min_hmpe_diameter(boat)
    code = "instead.thinner_too_thin" if diameter < rule.value else "instead.thinner_kept"
    figures = Remark(code, min_mm=rule.value, source=edition("osr", rule.edition).title, sure=rule.sure, **fits)
    return Alternative(
        Remark("instead.thinner"), figures, Remark("instead.thinner_to_check"), diameter=diameter
    )  # fmt: skip


def min_hmpe_diameter(boat: Boat) -> Number:
    """Return the minimum diameter of HMPE rope by the rule in force, for the boat's hull length [mm].

    Source: OSR 3.14.6, table for HMPE.
    """
    return min_line_diameter(boat, "3.14.6 HMPE diameter")


def min_line_diameter(boat: Boat, clause: str) -> Number:
    """Return the minimum diameter of a line by the rule in force, for the boat's hull length [mm].

    Source: OSR 3.14.6 and its tables.

    Args:
        boat: the boat file.
        clause: clause of data/rules/osr.csv that holds the table.
    """
    named = boat.named_editions
    hull = boat.boat.hull_length
    first = number("osr", named, clause, "hull length below, first step").value
    second = number("osr", named, clause, "max hull length, second step").value
    step = "first" if hull < first else "second" if hull <= second else "third"
    return number("osr", named, clause, f"min diameter, {step} step")


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
    spliced = sum(is_spliced(line_end(boat, run, where)) for where in BOTH)
    fixed = fit.needs - spliced * bury_of(line)
    left = fit.finished - fixed
    if left <= 0.0 or not spliced:
        return None
    # Rounded down, so that a rope of the diameter as printed does fit.
    step = _INCH / 64.0 if boat.units.length in ("in", "ft") else 0.1
    return math.floor(left / (spliced * per_d) / step + 1e-9) * step


def continuous_run(boat: Boat, run: PlacedRun) -> tuple[Run, Gate] | None:
    """Return the run that continues the line before a gate through the gate post to the hook, None without one.

    The line before the gate ends at the post where the gate's line begins. As one line it goes through that post's
    hole instead, and a stop spliced on or seized on the gate side holds the rest of the line when the gate is open; a
    knot in the line would take most of its strength.
    """
    for gate in boat.gates:
        if not is_own_line(gate, run):
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
