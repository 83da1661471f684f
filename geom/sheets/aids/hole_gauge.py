"""The hole gauge: common hole sizes at full size, each with the boat's finished ends in it and the eye verdicts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import Boat, LineEnd
from geom.data import table
from geom.drafting.symbols import eye_legend, eye_symbol
from geom.figure import Circle, Item, Line, Rect, Sheet, Text
from geom.placement.eyes import EyeVerdict, Verdict, end_through, limits
from geom.refit import Refit
from geom.sheets.aids import text as words
from geom.sheets.aids.page import Aid, AidPaper, lettering_that_fits, notes, page
from geom.units import decimal

_LABEL = 21.0
_VERDICT = 36.0
_HEAD = 18.0
_LEGEND = 26.0
# A folded bare eye is two ropes side by side.
_FOLDED = 2
_SURE = {"found": "found", "calc": "calculated", "memory": "from memory"}


@dataclass(frozen=True)
class Size:
    """A hole size: its name, diameter [mm] and source."""

    name: str
    diameter: float
    note: str


@dataclass(frozen=True)
class FinishedEnd:
    """A line with its finished end [mm]: the ends of the file with the same verdict, and the criterion."""

    line: str
    diameter: float
    ends: tuple[str, ...]
    judged_by: str
    end: LineEnd

    @property
    def outline(self) -> tuple[tuple[float, float], ...]:
        """The end seen along the hole, as circles by offset and diameter [mm]."""
        d = self.diameter
        if self.judged_by == "rope":
            return tuple(((k - (_FOLDED - 1) / 2.0) * d, d) for k in range(_FOLDED))
        if self.judged_by == "width" and self.end.width is not None:
            return ((0.0, self.end.width),)
        return ((0.0, d),)

    @property
    def across(self) -> float:
        """Width of the outline [mm]."""
        return max(abs(offset) + d / 2.0 for offset, d in self.outline) * 2.0


def common_sizes() -> tuple[Size, ...]:
    """Return the common hole and drill sizes of the data tables, smallest first."""
    rows = sorted(table.rows("hole_sizes"), key=lambda row: float(row["value"]))
    return tuple(Size(row["key"], float(row["value"]), _SURE[row["sure"].split()[0]]) for row in rows)


def own_sizes(refit: Refit) -> tuple[Size, ...]:
    """Return each different bore of the boat's holes with its holes, smallest first."""
    holes_of: dict[float, list[str]] = {}
    for _, hole in refit.placed.holes():
        holes_of.setdefault(round(hole.bore, 3), []).append(hole.id)
    return tuple(
        Size(ids[0] if len(ids) == 1 else f"{ids[0]} + {len(ids) - 1}", bore, "this boat")
        for bore, ids in sorted(holes_of.items())
    )


def finished_ends(boat: Boat) -> tuple[FinishedEnd, ...]:
    """Return every different line end of the boat's runs, ends with the same verdict combined."""
    ends: dict[tuple[str, str, float | None], FinishedEnd] = {}
    for run in boat.runs:
        for run_end in (run.start, run.finish):
            end = boat.ends[run_end.end]
            judged_by = table.row("end_families", family=end.family)["judged_by"]
            key = (run.line, judged_by, end.width if judged_by == "width" else None)
            known = ends.get(key)
            if known is None:
                ends[key] = FinishedEnd(run.line, boat.lines[run.line].outside, (run_end.end,), judged_by, end)
            elif run_end.end not in known.ends:
                ends[key] = FinishedEnd(known.line, known.diameter, (*known.ends, run_end.end), judged_by, known.end)
    return tuple(ends.values())


def verdict(boat: Boat, size: Size, end: FinishedEnd) -> EyeVerdict:
    """Return the verdict on an end at a hole of a size, as in `placement.eyes`.

    Args:
        boat: the boat.
        size: the hole size.
        end: the line's finished end.
    """
    return end_through(size.diameter, end.diameter, end.end, limits(boat.eye_factors))


def hole_gauge(refit: Refit, paper: AidPaper) -> tuple[Sheet, ...]:
    """Return the pages of the gauge."""
    aid = Aid("hole-gauge", words.GAUGE, refit.boat.boat.name, words.BOTH_SIDES)
    area = paper.room
    sizes = [(size, words.GAUGE_COMMON) for size in common_sizes()]
    sizes += [(size, words.GAUGE_OWN) for size in own_sizes(refit)]
    ends = finished_ends(refit.boat)
    widest = max([size.diameter for size, _ in sizes] + [end.across for end in ends])
    cell = widest + 4.0 + _VERDICT
    pitch = widest + 2.4
    group = max(1, int((area.width - _LABEL) // cell))
    content: list[list[Item]] = []
    for first in range(0, len(ends), group):
        columns = ends[first : first + group]
        stack = max(1, int(area.width // (_LABEL + len(columns) * cell)))
        tall = area.height - _HEAD - _LEGEND
        rows = min(max(1, int(tall // pitch)), math.ceil(len(sizes) / stack))
        high = min(tall / rows, 1.5 * pitch)
        for start in range(0, len(sizes), rows * stack):
            part = sizes[start : start + rows * stack]
            content.append(_page_items(refit, area, part, columns, rows, cell, high, widest))
    return tuple(page(refit, aid, paper, index, len(content), items) for index, items in enumerate(content, start=1))


def _page_items(
    refit: Refit,
    area: Rect,
    sizes: list[tuple[Size, str]],
    ends: tuple[FinishedEnd, ...],
    rows: int,
    cell: float,
    pitch: float,
    widest: float,
) -> list[Item]:
    items, _ = notes(words.GAUGE_NOTES, (area.left, area.top), area.width, 1.8)
    full = _LABEL + len(ends) * cell
    for start in range(0, len(sizes), rows):
        left = area.left + (start // rows) * full
        for k, end in enumerate(ends):
            items += _column_head(end, left + _LABEL + k * cell, area.top - 13.0, cell)
        previous = ""
        for row, (size, kind) in enumerate(sizes[start : start + rows]):
            y = area.top - _HEAD - (row + 0.5) * pitch
            if previous and kind != previous:
                items.append(Line((left, y + pitch / 2.0), (left + full - 3.0, y + pitch / 2.0), "THIN"))
                height = lettering_that_fits(kind, full - 3.0, 1.8)
                if height is not None:
                    items.append(Text((left + full - 3.0, y + pitch / 2.0 - 2.8), kind, height, "NOTE", "right"))
            previous = kind
            items += _label(size, (left, y))
            for k, end in enumerate(ends):
                items += _cell(refit, size, end, (left + _LABEL + k * cell, y), widest)
    legend, _ = eye_legend((area.left, area.bottom + _LEGEND - 1.0), area.width, limits(refit.boat.eye_factors).source)
    return [*items, *legend]


def _column_head(end: FinishedEnd, x: float, y: float, cell: float) -> list[Item]:
    head = f"{end.line} Ø{decimal(end.diameter, 1)}"
    below = ", ".join(end.ends)
    items: list[Item] = []
    for text, level, wanted in ((head, y, 2.5), (below, y - 3.6, 1.8)):
        height = lettering_that_fits(text, cell - 2.0, wanted)
        if height is not None:
            items.append(Text((x, level), text, height, "TEXT"))
    return items


def _label(size: Size, at: tuple[float, float]) -> list[Item]:
    x, y = at
    number = f"Ø{decimal(size.diameter, 1)}" if size.note != "calculated" else f"Ø{decimal(size.diameter, 2)}"
    items: list[Item] = [Text((x, y + 1.2), number, 3.5, "TEXT", tag=f"size:{size.name}")]
    if not size.name.endswith("mm"):
        height = lettering_that_fits(size.name, _LABEL - 1.0, 2.5) or 1.8
        items.append(Text((x, y - 2.4), size.name, height, "NOTE"))
    items.append(Text((x, y - 5.4), size.note, 1.8, "NOTE"))
    return items


def _cell(refit: Refit, size: Size, end: FinishedEnd, at: tuple[float, float], widest: float) -> list[Item]:
    x, y = at[0] + widest / 2.0, at[1]
    fit: Verdict = verdict(refit.boat, size, end).verdict
    items: list[Item] = [
        Circle((x, y), size.diameter / 2.0, "THIN", tag=f"gauge:{size.name}:{end.line}:{end.ends[0]}"),
        *(Circle((x + offset, y), d / 2.0, "HIDDEN") for offset, d in end.outline),
    ]
    right = at[0] + widest + 3.0
    items += eye_symbol((right + 1.3, y), fit)
    tag = f"verdict:{size.name}:{end.line}:{end.ends[0]}"
    items.append(Text((right + 4.2, y), fit, 2.5, "TEXT", upright="middle", tag=tag))
    return items
