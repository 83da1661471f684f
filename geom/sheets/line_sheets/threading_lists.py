"""Ruled lists that go with the threading plan: hole pass table, gates open, boxes for the log of the making."""

from __future__ import annotations

from collections.abc import Iterable

from geom.boat.model import Side
from geom.drafting import text as words
from geom.drafting.line_text import fine_length, in_words, length
from geom.drafting.ruling import ListColumn, RuledList
from geom.drafting.symbols import eye_symbol
from geom.figure import Cell, Item, Text
from geom.placement.eyes import EyeVerdict, HoleEyes, Verdict, limits
from geom.refit import Refit
from geom.rigging.build_log import LogLine
from geom.rigging.gate_open import GateOpen
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import threading_text
from geom.tables import numbers
from geom.units import LengthFormat, decimal

# Steps of the log that the setting card has its own boxes for.
_ON_THE_SETTING_CARD = (
    "log.set", "log.after_a_day", "log.after_a_week", "log.after_a_month", "log.lashings_yearly", "log.each_season",
)  # fmt: skip
_SIGN = "sign:"


def hole_pass(refit: Refit) -> RuledList:
    """Return both ends of every run against every hole on its way; signs are put in by `with_signs`."""
    fmt = numbers(refit.boat)
    shares = (16, 14, 13, 14, 22, 24, 15, 10, 38, 24, 15, 10, 38, 18, 44)
    right = (2, 3, 6, 10)
    columns = tuple(
        ListColumn(head, share, "right" if index in right else "left")
        for index, (head, share) in enumerate(zip(threading_text.PASS_HEADS, shares, strict=True))
    )
    rows = tuple(_pass_row(refit, hole, fmt) for eyes in refit.placed.eyes.values() for hole in eyes.holes)
    return RuledList(threading_text.PASS_TITLE.format(unit=fmt.unit), columns, rows, "hole-pass")


def _pass_row(refit: Refit, hole: HoleEyes, fmt: LengthFormat) -> tuple[Cell, ...]:
    run, tag = refit.placed.runs[hole.run], f"pass:{hole.run}:{hole.hole}"
    line = refit.boat.lines[run.spec.line].diameter
    enters = hole.start.has + limits(refit.boat.eye_factors).tolerance >= line
    ends: list[Cell] = []
    for where, end, verdict in (("start", run.spec.start, hole.start), ("finish", run.spec.finish, hole.finish)):
        ends += [
            Cell(end.end, f"{tag}:{where}:end"),
            Cell(fine_length(verdict.needs, fmt), f"{tag}:{where}:needs"),
            Cell("X", f"{_SIGN}{verdict.verdict}"),
            Cell(_verdict_words(verdict), f"{tag}:{where}:verdict"),
        ]
    both = (hole.start, hole.finish)
    return (
        Cell(hole.hole, f"{tag}:hole"),
        Cell(hole.run, f"{tag}:run"),
        Cell(fine_length(hole.start.has, fmt), f"{tag}:bore"),
        Cell(fine_length(line, fmt), f"{tag}:line"),
        Cell(threading_text.PLAIN_LINE[enters], f"{tag}:plain"),
        *ends,
        Cell(_once(in_words(verdict.factor, fmt) for verdict in both), f"{tag}:factor"),
        Cell(_once(in_words(verdict.source, fmt) for verdict in both), f"{tag}:source"),
    )


def _verdict_words(verdict: EyeVerdict) -> str:
    text = threading_text.PASSES[verdict.verdict]
    return threading_text.PROVED.format(text=text) if verdict.proved else text


def _once(texts: Iterable[str]) -> str:
    return "; ".join(dict.fromkeys(texts))


def with_signs(items: Iterable[Item]) -> tuple[Item, ...]:
    """Return set items with the eye signs in place of the letters that keep their places."""
    found: list[Item] = []
    for item in items:
        if isinstance(item, Text) and item.tag.startswith(_SIGN):
            verdict: Verdict = item.tag.removeprefix(_SIGN)  # type: ignore[assignment]
            found += eye_symbol((item.at[0] + 1.2, item.at[1] + item.height / 2.0), verdict)
        else:
            found.append(item)
    return tuple(found)


def gates_list(refit: Refit) -> RuledList:
    """Return every line of every gate as it is when the gate stands open."""
    fmt = numbers(refit.boat)
    shares = (17, 15, 21, 18, 20, 34, 18, 22, 20, 22, 20, 92)
    columns = tuple(
        ListColumn(head, share, "right" if index in (3, 4, 6, 7, 8, 9) else "left")
        for index, (head, share) in enumerate(zip(threading_text.GATE_HEADS, shares, strict=True))
    )
    rows = tuple(_gate_row(refit, gate, fmt) for gate in refit.work.gates)
    return RuledList(threading_text.GATES_TITLE.format(unit=fmt.unit), columns, rows, "gates-open")


def _gate_row(refit: Refit, gate: GateOpen, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag = f"gate:{gate.gate}:{gate.run}"
    posts = next(found.posts for found in refit.boat.gates if found.id == gate.gate)
    free, held = gate.without_stop, gate.with_stop
    text = (
        threading_text.GATE_OWN.format(first=posts[0], second=posts[1]) if free is None else threading_text.GATE_THROUGH
    )
    values = {
        "hangs": length(gate.hangs, fmt),
        "span": length(gate.widest_span, fmt),
        "between": " to ".join(gate.widest_between) if gate.widest_between else "-",
        "free": "-" if free is None else length(free.free, fmt),
        "drop": "-" if free is None else _down(refit, gate, free.by_hand, fmt),
        "free_stop": "-" if held is None else length(held.free, fmt),
        "drop_stop": "-" if held is None else _down(refit, gate, held.by_hand, fmt),
        "stop": "-" if free is None else "yes" if gate.has_stop else "no",
    }
    first = (
        Cell(gate.gate, f"{tag}:gate"),
        Cell(gate.run, f"{tag}:run"),
        Cell(threading_text.PLANNED[gate.planned], f"{tag}:planned"),
    )
    return (*first, *(Cell(value, f"{tag}:{key}") for key, value in values.items()), Cell(text, f"{tag}:says"))


def _down(refit: Refit, gate: GateOpen, drop: float, fmt: LengthFormat) -> str:
    """Return how far a span goes down, to a decimal less than lengths; "to the deck" where no hole stands so high."""
    heights = refit.placed.hole_heights
    high = [heights[name].above_foot for name in gate.widest_between or () if name in heights]
    return threading_text.TO_DECK if high and drop >= max(high) else decimal(drop / fmt.mm, fmt.decimals - 1)


def making_log(refit: Refit, side: Side) -> RuledList:
    """Return boxes for each step of each run of a side in its order; a run on hold says so."""
    fmt = numbers(refit.boat)
    works = [work for work in refit.work.runs.values() if refit.placed.runs[work.run].side == side]
    rows = tuple(row for work in works for row in _log_rows(work, fmt))
    shares = (17, 46, 34, 24, 20, 36)
    columns = tuple(
        ListColumn(head.format(unit=fmt.unit), share)
        for head, share in zip(threading_text.LOG_HEADS, shares, strict=True)
    )
    return RuledList(threading_text.MAKING_LOG.format(side=words.SIDE[side]), columns, rows, "making-log")


def _log_rows(work: RunWork, fmt: LengthFormat) -> list[tuple[Cell, ...]]:
    blank = (Cell(""), Cell(""), Cell(""))
    if work.refused:
        struck = (Cell("-"),) * (1 + len(blank))
        return [
            (Cell(work.run, f"log:{work.run}:run"), Cell(threading_text.HELD_BACK, f"log:{work.run}:held"), *struck)
        ]
    shown = [line for line in work.log if line.step.code not in _ON_THE_SETTING_CARD]
    return [
        (
            Cell(work.run, f"log:{work.run}:{number}:run"),
            Cell(in_words(line.step, fmt), f"log:{work.run}:{number}:step"),
            Cell(
                _asked(line, fmt),
                f"log:{work.run}:{number}",
            ),
            *blank,
        )
        for number, line in enumerate(shown, start=1)
    ]


def _asked(line: LogLine, fmt: LengthFormat) -> str:
    if line.figure is not None:
        return in_words(line.figure, fmt)
    return threading_text.TENSION_NOT_STATED if line.step.code == "log.mark" else "-"
