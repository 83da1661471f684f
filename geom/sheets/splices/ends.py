"""The run ends of one splice sheet: their order of making, trim and thimbles."""

from __future__ import annotations

from dataclasses import dataclass

from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, OTHER, family, line_end
from geom.refit import Refit
from geom.sheets.aids.splice_strip import Strip
from geom.sheets.splices import text as splice_words


@dataclass(frozen=True)
class SplicedEnd:
    """One end of a run for a splice sheet.

    `trim` is the rope cut off beyond the splice [mm]; `other_spliced` is whether the other end of the run has an eye
    mark; `takes_thimble` is whether an end of its family has a thimble, `thimble` is its pattern and `thimble_when` the
    time it goes in by the threading plan; `before` lists what goes on the line before the eye is closed.
    """

    run: str
    where: Where
    made_last: bool
    in_place: bool
    other_spliced: bool
    trim: float
    takes_thimble: bool
    thimble: str | None
    thimble_when: str | None
    before: str
    throat_to_pin: float | None


def ends_of(refit: Refit, strip: Strip) -> tuple[SplicedEnd, ...]:
    """Return the run ends of a splice, in the order of the runs."""
    found = []
    for run_id, work in refit.work.runs.items():
        run = refit.placed.runs[run_id]
        for where in BOTH:
            if work.splices[where] != strip.recipe or run.spec.line != strip.line or work.refused:
                continue
            end = line_end(refit.boat, run, where)
            found.append(
                SplicedEnd(
                    run=run_id,
                    where=where,
                    made_last=work.making.last == where,
                    in_place=work.plan.in_place == where,
                    other_spliced=work.splices[OTHER[where]] is not None,
                    trim=max((end.trim or 0.0) - strip.recipe.lock_allowance, 0.0),
                    takes_thimble="thimble" in family(end)["drawn_as"],
                    thimble=None if end.thimble is None else end.thimble.pattern,
                    thimble_when=work.plan.thimble(where),
                    before=family(end)["before"],
                    throat_to_pin=end.throat_to_pin,
                )
            )
    return tuple(found)


def named(ends: tuple[SplicedEnd, ...]) -> str:
    """Return ends as text, forward ends together and after ends together."""
    found = []
    for where in BOTH:
        runs = ", ".join(end.run for end in ends if end.where == where)
        if runs:
            found.append(splice_words.END[where].format(runs=runs))
    return "; ".join(found)
