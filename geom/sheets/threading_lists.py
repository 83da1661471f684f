"""What goes with the threading plan as ruled lists: hole pass table, gates open, boxes for the log of the making."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from geom.figure import Cell, Item, Text
from geom.refit import Refit
from geom.runs.eye import EyeVerdict, HoleEyes, Verdict
from geom.runs.gate_open import GateOpen
from geom.schedules import numbers
from geom.sheets import words
from geom.sheets.line_words import fine_length, length
from geom.sheets.ruled_list import ListColumn, RuledList
from geom.sheets.symbols import eye_symbol
from geom.units import Numbers

# Steps of the log that the setting card has its own boxes for.
_ON_THE_SETTING_CARD = ("set", "after", "lashings", "look again")
_SIGN = "sign:"
_LOG_ROW, _LOG_ROW_OF_MANY, _FEW = 11.0, 8.0, 8


def hole_pass(refit: Refit) -> RuledList:
    """Return both ends of every run against every hole on its way; signs are put in by `with_signs`."""
    how = numbers(refit.boat)
    shares = (16, 14, 12, 12, 25, 14, 5, 32, 25, 14, 5, 32, 20, 52)
    right = (2, 3, 5, 9)
    columns = tuple(
        ListColumn(head, share, "right" if index in right else "left")
        for index, (head, share) in enumerate(zip(words.PASS_HEADS, shares, strict=True))
    )
    rows = tuple(_pass_row(refit, hole, how) for eyes in refit.placed.eyes.values() for hole in eyes.holes)
    return RuledList(words.PASS_TITLE.format(unit=how.unit), columns, rows, "hole-pass")


def _pass_row(refit: Refit, hole: HoleEyes, how: Numbers) -> tuple[Cell, ...]:
    run, tag = refit.placed.runs[hole.run], f"pass:{hole.run}:{hole.hole}"
    line = refit.boat.lines[run.told.line]
    ends: list[Cell] = []
    for where, told, verdict in (("start", run.told.start, hole.start), ("finish", run.told.finish, hole.finish)):
        ends += [
            Cell(told.end, f"{tag}:{where}:end"),
            Cell(fine_length(verdict.needs, how), f"{tag}:{where}:needs"),
            Cell("X", f"{_SIGN}{verdict.verdict}"),
            Cell(_verdict_words(verdict), f"{tag}:{where}:verdict"),
        ]
    both = (hole.start, hole.finish)
    return (
        Cell(hole.hole, f"{tag}:hole"),
        Cell(hole.run, f"{tag}:run"),
        Cell(fine_length(hole.start.has, how), f"{tag}:bore"),
        Cell(fine_length(line.diameter, how), f"{tag}:line"),
        *ends,
        Cell(_once(verdict.factor for verdict in both), f"{tag}:factor"),
        Cell(_once(verdict.source for verdict in both), f"{tag}:source"),
    )


def _verdict_words(verdict: EyeVerdict) -> str:
    return f"{verdict.verdict}, proved" if verdict.proved else verdict.verdict


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
    how = numbers(refit.boat)
    shares = (17, 15, 20, 20, 20, 34, 20, 16, 19, 16, 18, 100)
    columns = tuple(
        ListColumn(head, share, "right" if index in (3, 4, 6, 7, 8, 9) else "left")
        for index, (head, share) in enumerate(zip(words.GATE_HEADS, shares, strict=True))
    )
    rows = tuple(_gate_row(refit, gate, how) for gate in refit.work.gates)
    return RuledList(words.GATES_TITLE.format(unit=how.unit), columns, rows, "gates-open")


def _gate_row(refit: Refit, gate: GateOpen, how: Numbers) -> tuple[Cell, ...]:
    tag = f"gate:{gate.gate}:{gate.run}"
    posts = next(told.posts for told in refit.boat.gates if told.id == gate.gate)
    free, held = gate.without_stop, gate.with_stop
    text = words.GATE_OWN.format(first=posts[0], second=posts[1]) if free is None else words.GATE_THROUGH
    values = {
        "hangs": gate.hangs,
        "span": gate.widest_span,
        "between": gate.widest_between or "-",
        "free": None if free is None else free.free,
        "drop": None if free is None else free.under_hand,
        "free_stop": None if held is None else held.free,
        "drop_stop": None if held is None else held.under_hand,
        "stop": "-" if free is None else "yes" if gate.has_stop else "no",
    }
    cells = (
        Cell(value if isinstance(value, str) else length(value, how), f"{tag}:{key}") for key, value in values.items()
    )
    first = (
        Cell(gate.gate, f"{tag}:gate"),
        Cell(gate.run, f"{tag}:run"),
        Cell(words.PLANNED[gate.planned], f"{tag}:planned"),
    )
    return (*first, *cells, Cell(text, f"{tag}:says"))


def making_logs(refit: Refit) -> tuple[RuledList, ...]:
    """Return boxes for each run that is made and each step of it; runs of one kind of making stand together."""
    works = [work for work in refit.work.runs.values() if work.refused is None]
    many = len(works) > _FEW

    def steps(index: int) -> tuple[str, ...]:
        shown = (line.step for line in works[index].log if not line.step.startswith(_ON_THE_SETTING_CARD))
        return tuple(shown)

    found = []
    for names, members in groupby(range(len(works)), key=steps):
        columns = (ListColumn("RUN", 20.0), *(ListColumn(name, 58.0) for name in names))
        rows = tuple(
            (
                Cell(works[index].run, f"log:{works[index].run}:run"),
                *(
                    Cell(line.asked, f"log:{works[index].run}:{line.step}")
                    for line in works[index].log
                    if line.step in names
                ),
            )
            for index in members
        )
        found.append(RuledList(words.MAKING_LOG, columns, rows, "making-log", _LOG_ROW_OF_MANY if many else _LOG_ROW))
    return tuple(found)
