"""The left column of a run card: which line, how long it is cut, where its marks begin, what speaks against it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geom.drafting import text as words
from geom.drafting.line_text import (
    BIG,
    boxed,
    cut_words,
    fitting_height,
    in_words,
    length,
    line_of,
    lines_down,
    refusal,
    run_rope,
    tape_length,
)
from geom.drafting.ruling import broken
from geom.drafting.symbols import bow_arrow
from geom.drafting.tape_discrepancies import doubts_on_run
from geom.errors import GeometryError
from geom.figure import Item, Rect, Text
from geom.lettering import width as text_width
from geom.mechanics.tension import marking_range
from geom.refit import Refit
from geom.remark import Remark
from geom.render.plane import text_box
from geom.rigging.threading_steps import EYE_TO_EYE, FROM_THROAT
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import run_card_text as run_card_words
from geom.tables import numbers

WIDTH = 62.0
_BOX, _PAIR, _BOW_ROOM = 21.0, 5.0, 27.0
_SMALL = 2.5


def cut_height(refit: Refit) -> float:
    """Return one lettering height for the cut lengths of all runs, so that none looks lesser than another [mm]."""
    fmt = numbers(refit.boat)
    texts = [cut_words(w.headline, w.rope, fmt) for w in refit.work.runs.values() if w.headline is not None]
    # The stroke of a fraction reaches lower than figures do.
    return min((fitting_height(text, WIDTH - 4.0, 10.0 if "/" in text else BIG[0]) for text in texts), default=3.5)


def head(refit: Refit, work: RunWork, column: Rect, foot: float) -> list[Item]:
    """Return the column.

    Args:
        refit: the boat worked out.
        work: the run.
        column: where it stands [paper mm].
        foot: what is taken at its lower edge already [mm].

    Raises:
        GeometryError: it does not hold what is to be said.
    """
    fmt, run = numbers(refit.boat), refit.placed.runs[work.run]
    left = column.left
    high = min(fitting_height(name, WIDTH - _BOW_ROOM, 10.0) for name in refit.work.runs)
    y = column.top - high
    items: list[Item] = [Text((left, y), work.run, high, "TEXT", tag=f"run:{work.run}")]
    items += bow_arrow((column.right - 13.0, column.top - 5.0), -1.0, 1.0)
    side = words.SIDE[run.side]
    level = words.UPPER_LINE[run.level]
    y -= 3.5 + 2.6
    items.append(Text((left, y), side, 3.5, "TEXT", tag=f"side:{work.run}"))
    at = left + text_width(side, 3.5) + 2.0
    items.append(Text((at, y), level, 3.5, "TEXT", tag=f"level:{work.run}"))
    ends = words.FROM_TO.format(start=run.names[0], finish=run.names[-1])
    for text, key in ((ends, "ends"), (line_of(refit, work.run, fmt), "line")):
        y -= _SMALL + 2.4
        items.append(Text((left, y), text, fitting_height(text, WIDTH, _SMALL), "TEXT", tag=f"{key}:{work.run}"))
    box = Rect(left, y - 2.6 - _BOX, left + WIDTH, y - 2.6)
    items.append(boxed(box, "FRAME" if work.refused else "TITLE"))
    items += _cut_box(refit, work, box)
    y = box.bottom - 0.8
    for label, value, key in _lengths(refit, work):
        y -= _PAIR
        items += _pair(label, value, left, y, f"{key}:{work.run}")
        if text_width(label, _SMALL) + text_width(value, 3.5) + 3.0 > WIDTH:
            y -= _PAIR
    y -= 1.6
    for text, height, key in notes(refit, work):
        lines = broken(text, WIDTH, height)
        items += lines_down(lines, left, y, f"{key}:{work.run}", height)
        y -= 1.45 * height * len(lines) + 0.6
    if y < column.bottom + foot:
        raise GeometryError(f"what is to be said of {work.run} does not stand on its card")
    return items


def _pair(label: str, value: str, left: float, y: float, tag: str) -> Iterator[Item]:
    """Return a label with its value at the column's right edge, one row lower where both do not fit side by side."""
    yield Text((left, y), label, _SMALL, "NOTE")
    if text_width(label, _SMALL) + text_width(value, 3.5) + 3.0 > WIDTH:
        y -= _PAIR
    yield Text((left + WIDTH, y), value, 3.5, "TEXT", "right", tag=tag)


def _lengths(refit: Refit, work: RunWork) -> Iterator[tuple[str, str, str]]:
    """Yield the lengths under the cut: finished, marked where it is another, from eye mark to eye mark."""
    fmt, found = numbers(refit.boat), work.lengths
    yield run_card_words.FINISHED.format(unit=fmt.unit), tape_length(found.finished, fmt), "finished"
    if work.refused:
        return
    if abs(found.marked - found.finished) > 0.05:
        yield run_card_words.MARKED.format(unit=fmt.unit), tape_length(found.marked, fmt), "marked"
    after = found.from_throat(work.making.first)
    if found.eye_to_eye is not None and after is not None:
        yield in_words(EYE_TO_EYE, fmt), tape_length(found.eye_to_eye, fmt), "eye-to-eye"
        yield in_words(FROM_THROAT, fmt), tape_length(after, fmt), "from-throat"


def notes(refit: Refit, work: RunWork) -> Iterator[tuple[str, float, str]]:
    """Yield what else is to be known before cutting: text, lettering [mm], key of its id."""
    fmt = numbers(refit.boat)
    if work.refused:
        yield refusal(work, fmt), _SMALL, "refused"
    for row in doubts_on_run(refit, work.run):
        by = length(abs(row.residual), fmt)
        yield f"{run_card_words.TAPE_DISAGREES.format(by=by)} {run_card_words.TAPE_AGAIN}", 3.5, "tape"
        stated = run_card_words.TAPED.format(
            start=row.start, end=row.end, taped=length(row.taped, fmt), computed=length(row.computed, fmt),
            unit=fmt.unit,
        )  # fmt: skip
        yield stated, _SMALL, "taped"
    if work.refused:
        return
    yield in_words(_tensions(refit, work), fmt), _SMALL, "tensions"
    for other in refit.work.runs.values():
        if other.refused and any(way.joins == work.run for way in other.alternatives):
            yield run_card_words.DECIDE_FIRST.format(run=other.run), _SMALL, "decide"
    minimum, maximum = work.lengths.cut_min, work.lengths.cut_max
    if work.cut is not None and minimum is not None and maximum is not None and maximum > minimum:
        rope = run_rope(refit, work.run)
        stated = words.CUT_RANGE.format(minimum=cut_words(minimum, rope, fmt), maximum=cut_words(maximum, rope, fmt))
        yield stated, _SMALL, "cut-range"
    if work.plan.in_place is not None:
        yield _reckoned(work), _SMALL, "reckoned"
    if work.from_reel is not None and work.reel is not None:
        yield in_words(work.reel.says, fmt), _SMALL, "reel"
    start, finish = work.splices["start"], work.splices["finish"]
    if start is not None and finish is not None and work.lengths.eye_to_eye is not None:
        stated = run_card_words.TRIM_OFF.format(start=length(start.eye_mark, fmt), finish=length(finish.eye_mark, fmt))
        yield stated, _SMALL, "trim"


def _tensions(refit: Refit, work: RunWork) -> tuple[Remark, ...]:
    """Return under which tension the line is marked and to which it is set."""
    tensions, by = refit.work.tensions[work.run], work.lengths.deduction.by_marking
    low, high = marking_range()
    change = () if not by else (Remark("marking.change", by_mm=by, low_n=low, high_n=high),)
    return (
        Remark("marking.at", pull_n=tensions.marking_tension, change=change),
        Remark("set_tension.to", pull=tensions.set_pull),
    )


def _reckoned(work: RunWork) -> str:
    """Return at which step of its threading plan the end made in place is cut."""
    assert work.plan.in_place is not None
    end = run_card_words.END_WORDS[work.plan.in_place]
    step = next((number for number, step in enumerate(work.plan.work, start=1) if step.cuts), None)
    if step is None:
        return run_card_words.RECKONED_LOOSE.format(end=end)
    return run_card_words.RECKONED.format(end=end, step=step)


def _cut_box(refit: Refit, work: RunWork, box: Rect) -> list[Item]:
    """Return the cut length big, or that the line is not to be cut."""
    fmt = numbers(refit.boat)
    middle = (box.left + box.right) / 2.0
    if work.refused:
        return [
            Text((middle, box.top - 9.6 - 10.0 * row), line, 7.0, "TEXT", "centre", tag=f"stop:{work.run}")
            for row, line in enumerate(words.DO_NOT_CUT)
        ]
    if work.headline is None:
        missing = broken(in_words(work.lengths.missing, fmt), box.width - 3.0)
        return [
            Text((middle, box.top - 6.0), words.NO_CUT, 3.5, "TEXT", "centre", tag=f"cut:{work.run}"),
            *lines_down(missing, box.left + 1.5, box.top - 7.6, f"missing:{work.run}"),
        ]
    high = cut_height(refit)
    number = Text(
        (middle, 0.0), cut_words(work.headline, work.rope, fmt), high, "TEXT", "centre", tag=f"cut:{work.run}"
    )
    # What the stroke of a fraction takes under the figures' foot.
    under = -min(y for _, y in text_box(number))
    at = (middle, box.bottom + under + (box.height - 4.6 - under - high) / 2.0)
    heads = run_card_words.FROM_REEL if work.rope else run_card_words.CUT
    label = Text((box.left + 1.5, box.top - 4.0), heads.format(unit=fmt.unit), _SMALL, "NOTE")
    return [label, replace(number, at=at)]
