"""The numbered steps of the runs of a sheet, their figures in a column for each run; what is alike stands once."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby

from geom.drafting.line_text import capitalised, cut_words, in_words, length, tape
from geom.drafting.ruling import KEPT, broken
from geom.figure import Item, LengthFormat, Line, Text
from geom.lettering import Weight
from geom.lettering import width as text_width
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, OTHER, run_end
from geom.placement.place import end_name
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.acceptance import TAPE_PARTS, Acceptance
from geom.rigging.threading_steps import Step
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.marks import mark_numbers
from geom.tables.loads import yielding

LETTERING = 3.5
# Pitches of the lines, the largest that fits is taken; 1.4 times the lettering is the minimum [mm].
PITCHES = (6.4, 6.0, 5.6, 5.2, 4.9)
_HEAD, _NUMBER, _AFTER_HEAD, _UNDER = 5.8, 7.5, 4.2, 2.0
# A hairline leads from the words to their figure: its distance from both, its height over the base line [mm].
_LEADER, _LEADER_UP = 2.0, 0.9
# A figure wider than this goes on in its step's own line; between the columns of figures [mm].
_WIDEST, _APART = 46.0, 5.0

# The first of these steps is done on board.
_ON_BOARD = (
    "step.free_end_through", "step.finished_end_through", "step.fasten", "step.fasten_pin", "step.slide_on",
    "step.slide_on_for",
)  # fmt: skip

_MEASURES = ("step.measure_first_eye", "step.measure_finished", "step.eye_short_of_pin")


@dataclass(frozen=True)
class Row:
    """One line of a step: what is done, and the figure or place that is the run's own."""

    text: str
    figure: str = ""


@dataclass(frozen=True)
class RunStep:
    """A step of a run as its sheet says it; `governs` is whether the rest depends on it."""

    number: int
    rows: tuple[Row, ...]
    governs: bool

    @property
    def alike(self) -> tuple[int, tuple[str, ...], bool]:
        """What this step has in common with the same step of other runs."""
        return self.number, tuple(row.text for row in self.rows), self.governs


@dataclass(frozen=True)
class Section:
    """Steps that several runs share: where they are done, the runs, and for each step the step of each run.

    `widths` are those of the runs' columns of figures [mm].
    """

    head: str
    runs: tuple[str, ...]
    widths: tuple[float, ...]
    steps: tuple[tuple[RunStep, ...], ...]

    def lines(self, step: tuple[RunStep, ...], width: float) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Return the lines of a step: the words, and the figures of the runs at the end of the last line of a row.

        Args:
            step: the step of each run.
            width: of the whole section [mm].
        """
        return _lines(self.runs, self.widths, step, width)


@lru_cache(maxsize=2048)
def _lines(
    runs: tuple[str, ...], widths: tuple[float, ...], step: tuple[RunStep, ...], width: float
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    weight: Weight = "semibold" if step[0].governs else "regular"
    whole = width - _NUMBER
    room = whole - math.fsum(one + _APART for one in widths)
    found: list[tuple[str, tuple[str, ...]]] = []
    for index, row in enumerate(step[0].rows):
        figures = tuple(one.rows[index].figure for one in step)
        if not any(figures):
            found += [(line, ()) for line in broken(row.text, whole, LETTERING, weight)]
            continue
        if _long(step):
            of_runs = (words.OF_RUN.format(run=run, figure=one) for run, one in zip(runs, figures, strict=True))
            said = figures[0] if len(set(figures)) == 1 else "; ".join(of_runs)
            text = words.WITH_FIGURE.format(text=row.text, figure=said)
            found += [(line, ()) for line in broken(text, whole, LETTERING, weight)]
            continue
        parts = broken(row.text, whole, LETTERING, weight)
        if text_width(parts[-1], LETTERING, weight) > room:
            parts = broken(row.text, room, LETTERING, weight)
        found += [*((line, ()) for line in parts[:-1]), (parts[-1], figures)]
    return tuple(found)


def _long(step: Sequence[RunStep]) -> bool:
    """Return whether a step has a figure that no column holds."""
    return any(text_width(row.figure, LETTERING, "semibold") > _WIDEST for one in step for row in one.rows)


def _widths(runs: Sequence[str], steps: Sequence[tuple[RunStep, ...]]) -> tuple[float, ...]:
    """Return the width of each run's column of figures [mm]."""
    held = [step for step in steps if not _long(step)]
    return tuple(
        max(
            text_width(run, 2.5, "semibold"),
            *(text_width(row.figure, LETTERING, "semibold") for step in held for row in step[index].rows),
        )
        for index, run in enumerate(runs)
    )


def sections(refit: Refit, works: Sequence[RunWork]) -> tuple[Section, ...]:
    """Return the steps of runs that are not on hold, on the bench first; runs that share every step share a section.

    Args:
        refit: the boat as calculated.
        works: the runs of the sheet.
    """
    found: list[Section] = []
    for head in (words.BENCH, words.BOARD):
        shared: dict[tuple[object, ...], list[tuple[str, tuple[RunStep, ...]]]] = {}
        for work in works:
            steps = tuple(step for place, step in _run_steps(refit, work) if place == head)
            if steps:
                shared.setdefault(tuple(step.alike for step in steps), []).append((work.run, steps))
        for alike in shared.values():
            runs = tuple(run for run, _ in alike)
            of_all = tuple(zip(*(of_run for _, of_run in alike), strict=True))
            found.append(Section(head, runs, _widths(runs, of_all), of_all))
    return tuple(found)


def _run_steps(refit: Refit, work: RunWork) -> Iterator[tuple[str, RunStep]]:
    place = words.BENCH
    for number, step in enumerate(work.plan.work, start=1):
        if any(remark.code in _ON_BOARD for remark in step.does):
            place = words.BOARD
        governs = step.check is not None and step.check.measure == "on board"
        yield place, RunStep(number, tuple(_rows(refit, work, step)), governs)


def decisions(refit: Refit, work: RunWork) -> tuple[str, ...]:
    """Return what has to be decided before a line is cut: whether a line on hold becomes one with it."""
    held = [other.run for other in refit.work.runs.values() if any(one.joins == work.run for one in other.alternatives)]
    return tuple(words.DECIDE.format(held=run) for run in held)


def _rows(refit: Refit, work: RunWork, step: Step) -> Iterator[Row]:
    """Yield the lines of a step: sentences up to a figure, then what follows it."""
    said: list[str] = []
    for remark in step.does:
        for row in _said(refit, work, step, remark):
            if remark.code in words.NEXT_LINE and said:
                yield Row(f"{'. '.join(said)}.")
                said = []
            if row.text:
                said.append(capitalised(row.text))
            if row.figure:
                yield Row(". ".join(said), row.figure)
                said = []
    if said:
        yield Row(f"{'. '.join(said)}.")


def _said(refit: Refit, work: RunWork, step: Step, remark: Remark) -> Iterator[Row]:
    """Yield a remark of a step as its sheet says it."""
    fmt, values, code = mark_numbers(refit, work), dict(remark.values), remark.code
    if code in words.ON_SPLICE_SHEET and any((work.run, where) in refit.work.splice_numbers for where in BOTH):
        return
    if code == "step.make" and step.makes is not None:
        yield Row(_made(refit, work, step.makes, remark), str(values["at"]))
    elif code in _MEASURES and step.check is not None:
        yield from measured(step.check, fmt)
    elif code == "step.set":
        pull = values["pull"]
        assert isinstance(pull, Remark)
        if found := yielding(refit, work.run):
            yield Row(words.SET_YIELDS, ", ".join(found))
        recommended = pull.code == "pull.recommended"
        figure = Remark("pull.at_top", pull_n=dict(pull.values)["pull_n"]) if recommended else pull
        yield Row(words.SET_RECOMMENDED if recommended else words.SET, in_words(figure, fmt))
    elif code in words.STEPS:
        shown = {name: _value(value, name, fmt) for name, value in values.items()}
        run = refit.placed.runs[work.run]
        where = next((where for where in BOTH if end_name(run_end(run, where)) == values.get("at")), None)
        if where is not None:
            shown["which"] = words.WHICH[work.making.first == where]
            shown["fittings"] = _fittings(refit, work, where, fmt)
        yield Row(words.STEPS[code].format(**shown), _figure(work, step, remark, fmt))
    else:
        yield Row(in_words(remark, fmt))


def _figure(work: RunWork, step: Step, remark: Remark, fmt: LengthFormat) -> str:
    """Return the figure or place of a remark that is its run's own, empty where it has none."""
    values, code, lengths = dict(remark.values), remark.code, work.lengths
    known: float | None = None
    if code == "step.off_the_reel":
        return cut_words(_number(remark, "from_reel_mm"), True, fmt)
    if code == "step.check_marks" and work.heading == "final cut" and work.headline is not None:
        return cut_words(work.headline, work.rope, fmt)
    if code == "step.long_marks":
        known = lengths.marked if lengths.eye_to_eye is None else lengths.eye_to_eye
    elif code in ("step.mark_rope", "step.mark_wire_under"):
        known = lengths.marked
    elif code == "step.mark_eye_again" and step.marks is not None:
        known = lengths.from_throat(OTHER[step.marks])
    elif code == "step.stopper":
        low, high = _inside(_number(remark, "low_mm"), _number(remark, "high_mm"), fmt)
        return words.FROM_TO.format(low=low, high=high)
    elif code in ("step.free_end_through", "step.finished_end_through", "step.try_through"):
        holes = values["holes"]
        assert isinstance(holes, tuple)
        return ", ".join(map(str, holes))
    elif code == "step.slide_on_for":
        return str(values["hole"])
    return "" if known is None else tape(known, fmt)


def measured(check: Acceptance, fmt: LengthFormat) -> Iterator[Row]:
    """Yield what is measured with what is accepted, and beyond what the work is done again.

    Args:
        check: of a step.
        fmt: format of lengths as marked.
    """
    low, high = _inside(check.accept_low, check.accept_high, fmt)
    beyond = check.measure == "on board" and check.accept_low < 0.0
    # A line that nothing adjusts has one reading that is accepted, and the open item that says so.
    accepted = low if low == high else words.FROM_TO.format(low=low, high=high)
    if check.measure == "on board" and check.accept_high < 0.0:
        low, high = _inside(-check.accept_high, -check.accept_low, fmt)
        yield Row(words.ALL_BEYOND, low if low == high else words.FROM_TO.format(low=low, high=high))
        return
    yield Row(words.BEYOND if beyond else words.MEASURE[check.measure], accepted)
    if check.reject_low is not None and check.reject_high is not None:
        low, high = _inside(check.reject_low, check.reject_high, fmt)
        if low == high:
            return
        yield Row(words.REJECT[check.measure], words.LOW_HIGH.format(low=low, high=high))


def _inside(low: float, high: float, fmt: LengthFormat) -> tuple[str, str]:
    """Return two limits [mm] as read on a tape, not wider than they are; the nearest reading where none is between."""
    part = fmt.mm / TAPE_PARTS if fmt.unit == "in" else 10.0**-fmt.decimals
    up, down = math.ceil(low / part - 1e-6) * part, math.floor(high / part + 1e-6) * part
    if up > down:
        up = down = 0.5 * (low + high)
    return tape(up, fmt), tape(down, fmt)


def _made(refit: Refit, work: RunWork, where: Where, remark: Remark) -> str:
    """Return the making of an end: first or second, where, as what, by which splice."""
    values = dict(remark.values)
    splice = refit.work.splice_numbers.get((work.run, where))
    details = values["details"]
    assert isinstance(details, tuple)
    lock = work.making.lock(where)
    parts = [str(values["family"])] if lock is None else [str(values["family"]), words.LOCKS[lock]]
    said = (one for one in details if isinstance(one, Remark) and one.code != "step.with_lock")
    parts += [in_words(one, mark_numbers(refit, work)) for one in said]
    if splice is not None:
        parts.append(words.SPLICE.format(number=splice).replace(" ", KEPT))
    which = words.WHICH[work.making.first == where]
    board = words.ON_BOARD if values["where"] == "board" else ""
    return words.MAKE.format(which=which, board=board, made=", ".join(parts))


def _number(remark: Remark, name: str) -> float:
    value = dict(remark.values)[name]
    assert isinstance(value, float | int)
    return float(value)


def _value(value: object, name: str, fmt: LengthFormat) -> str:
    """Return a value of a remark in words: a pull, a length as read on a tape, or a name."""
    if isinstance(value, Remark):
        short = words.SHORT_PULLS.get(value.code)
        return in_words(value if short is None else Remark(short, **dict(value.values)), fmt)
    if isinstance(value, float) and name.endswith("_mm"):
        return f"{tape(value, fmt)} {fmt.unit}"
    return str(value)


def _fittings(refit: Refit, work: RunWork, where: Where, fmt: LengthFormat) -> str:
    """Return what an end is fastened by: each fitting with its length and the range of it."""
    found = []
    for name in run_end(refit.placed.runs[work.run], where).fittings:
        size = refit.boat.fittings[name].length
        text = words.FITTING.format(name=name, planned=length(size.planned, fmt))
        if size.min is not None and size.max is not None:
            text = words.RANGE.format(text=text, minimum=length(size.min, fmt), maximum=length(size.max, fmt))
        found.append(text)
    return ", ".join(found)


@dataclass(frozen=True)
class Flow:
    """Sections in a column of a width [mm], one beneath the other."""

    sections: tuple[Section, ...]
    width: float

    def height(self, pitch: float) -> float:
        """Return the height over all [mm]."""
        lines = sum(len(one.lines(step, self.width)) for one in self.sections for step in one.steps)
        gaps = max(0, len(self.sections) - 1) * _UNDER
        return len(self.sections) * _HEAD + lines * pitch + gaps

    def items(self, left: float, top: float, pitch: float) -> Iterator[Item]:
        """Yield the sections from their upper left corner down.

        Args:
            left: left edge [mm].
            top: upper edge [mm].
            pitch: of the lines [mm].
        """
        y = top
        for one in self.sections:
            edges = _edges(one, left + self.width)
            name = f"steps:{'+'.join(one.runs)}"
            yield Text((left, y - 3.0), one.head, 2.5, "TEXT", tag=name, weight="semibold")
            for run, edge in zip(one.runs, edges, strict=True):
                yield Text((edge, y - 3.0), run, 2.5, "TEXT", "right", tag=f"{name}:{run}", weight="semibold")
            yield Line((left, y - _AFTER_HEAD), (left + self.width, y - _AFTER_HEAD), "TABLE")
            y -= _HEAD
            for step in one.steps:
                for row, (text, figures) in enumerate(one.lines(step, self.width)):
                    base = y - LETTERING
                    if row == 0:
                        at = (left + _NUMBER - 2.3, base)
                        yield Text(at, str(step[0].number), LETTERING, "TEXT", "right", weight="semibold",
                                   tag=f"{name}:number:{step[0].number}")  # fmt: skip
                    weight: Weight = "semibold" if step[0].governs else "regular"
                    tag = f"step:{'+'.join(one.runs)}:{step[0].number}"
                    yield Text((left + _NUMBER, base), text, LETTERING, "TEXT", tag=tag, weight=weight)
                    begin = left + _NUMBER + text_width(text, LETTERING, weight)
                    for run, figure, edge in zip(one.runs, figures, edges, strict=False):
                        end = edge - text_width(figure, LETTERING, "semibold")
                        if end - begin > 2.0 * _LEADER + 1.0:
                            y_lead = base + _LEADER_UP
                            yield Line((begin + _LEADER, y_lead), (end - _LEADER, y_lead), "RULE")
                        begin = edge
                        own = f"step:{run}:{step[0].number}:figure"
                        yield Text((edge, base), figure, LETTERING, "TEXT", "right", tag=own, weight="semibold")
                    y -= pitch
            y -= _UNDER


def _edges(one: Section, right: float) -> list[float]:
    """Return the right edge of each run's column of figures [mm]."""
    edges: list[float] = []
    for width in reversed(one.widths):
        edges.insert(0, right)
        right -= width + _APART
    return edges


def divided(whole: Sequence[Section]) -> Iterator[tuple[int, tuple[Section, ...], tuple[Section, ...]]]:
    """Yield all divisions of sections into two columns, each with its rank: the best is between bench and board.

    Args:
        whole: the sections in their order.
    """
    single = [replace(one, steps=(step,)) for one in whole for step in one.steps]
    for k in range(len(single) + 1):
        first, second = _joined(single[:k]), _joined(single[k:])
        # All in the right column leaves the left half of the sheet empty.
        rank = 2 if first else 3
        if first and (not second or (first[-1].head, first[-1].runs) != (second[0].head, second[0].runs)):
            rank = 1 if second and first[-1].head == second[0].head else 0
        yield rank, first, second


def _joined(steps: Sequence[Section]) -> tuple[Section, ...]:
    """Return single steps joined again to sections."""
    parts = (list(group) for _, group in groupby(steps, key=lambda one: (one.head, one.runs)))
    return tuple(replace(part[0], steps=tuple(step for one in part for step in one.steps)) for part in parts)
