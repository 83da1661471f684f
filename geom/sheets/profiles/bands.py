"""The bands of figures under a large profile: a column at each post and rail, a column in each span."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from geom.boat.model import LEVELS, Side
from geom.drafting import plan_text as plan_words
from geom.drafting.post_text import length
from geom.drafting.profile_view import facing
from geom.drafting.straight_line import spread
from geom.drafting.views import LETTERING
from geom.figure import Item, LengthFormat, Line, Text
from geom.lettering import Weight
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.sheets.deck_plan.text import rounded
from geom.sheets.profiles.stops import Stop, failing_limits, stops_of
from geom.tables import numbers

ROW = 4.7
HEADS = 36.0
_GUIDE = 9.0
_BETWEEN = 3.0
_GAP = 1.6
_STAR = 2.0
_PLAIN: Weight = "regular"
_BOLD: Weight = "semibold"


@dataclass(frozen=True)
class _Entry:
    """One figure of a band: preferred position of its column [view mm], text, id that it is checked by.

    `star` marks a height below the minimum of a rule, `named` a name.
    """

    x: float
    text: str
    tag: str
    star: bool = False
    named: bool = False


@dataclass(frozen=True)
class _Row:
    head: str
    entries: tuple[_Entry, ...]


def bands_height(refit: Refit, side: Side) -> float:
    """Return the height of both bands with their guides [mm]."""
    return _GUIDE + ROW * (len(_stop_rows(refit, side)) + sum(len(rows) for rows in _span_rows(refit, side))) + _BETWEEN


def starred(refit: Refit, side: Side) -> bool:
    """Return whether any height of a side is marked as below the minimum of a rule."""
    rows = [*_stop_rows(refit, side), *(row for group in _span_rows(refit, side) for row in group)]
    return any(entry.star for row in rows for entry in row.entries)


def band_items(refit: Refit, side: Side, top: float, low: float, high: float, mm: float) -> tuple[Item, ...]:
    """Return guides, rules, heads and figures.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        top: start of the guides, below the deck edge [view mm].
        low: left limit of the bands [view mm].
        high: right limit of the bands [view mm].
        mm: view millimetres to a paper millimetre.
    """
    turn = facing(side)
    stops = stops_of(refit, side)
    rows = _stop_rows(refit, side)
    # The headings are as close to the first column as possible.
    low = max(low, min(turn * stop.x for stop in stops) - (HEADS + 10.0) * mm)
    high = min(high, max(turn * stop.x for stop in stops) + 12.0 * mm)
    y = top - _GUIDE * mm
    centres = _columns(rows, low + HEADS * mm, high, mm)
    items: list[Item] = []
    for stop, centre in zip(stops, centres, strict=True):
        points = ((turn * stop.x, stop.deck - 1.2 * mm), (turn * stop.x, y + 4.5 * mm), (centre, y + 0.8 * mm))
        items += [Line(a, b, "DIM") for a, b in pairwise(points)]
    items += _band(rows, [centres] * len(rows), y, low, high, mm)
    y -= (ROW * len(rows) + _BETWEEN) * mm
    groups = _span_rows(refit, side)
    spans: list[_Row] = []
    places: list[Sequence[float]] = []
    for group in groups:
        spans += group
        places += [_columns(group, low + HEADS * mm, high, mm)] * len(group)
    return (*items, *_band(spans, places, y, low, high, mm))


def _columns(rows: Sequence[_Row], low: float, high: float, mm: float) -> list[float]:
    """Return the centre of each column, as close as possible to its preferred position [view mm]."""
    count = len(rows[0].entries)
    widths = [
        max(text_width(row.entries[k].text, LETTERING, _BOLD) + 2.0 * _STAR * row.entries[k].star for row in rows)
        for k in range(count)
    ]
    wanted = [entry.x / mm for entry in rows[0].entries]
    return [place * mm for place in spread(wanted, widths, _GAP, low / mm, high / mm - 1.0)]


def _band(
    rows: Sequence[_Row], places: Sequence[Sequence[float]], top: float, low: float, high: float, mm: float
) -> list[Item]:
    items: list[Item] = []
    for number, (row, centres) in enumerate(zip(rows, places, strict=True)):
        y = top - number * ROW * mm
        items.append(Line((low, y), (high, y), "HEAD-RULE" if number == 0 else "RULE"))
        base = y - (ROW - 1.15) * mm
        items.append(Text((low + 1.0 * mm, base), row.head, LETTERING, "NOTE", weight="semibold"))
        for entry, centre in zip(row.entries, centres, strict=True):
            layer, weight = ("OPEN-ITEM", _BOLD) if entry.star else ("TABLE", _BOLD if entry.named else _PLAIN)
            text = Text((centre, base), entry.text, LETTERING, layer, "centre", tag=entry.tag, weight=weight)
            items.append(text)
            if entry.star:
                at = (centre + (0.5 * text_width(entry.text, LETTERING, _BOLD) + 0.3) * mm, base)
                items.append(Text(at, "*", LETTERING, layer, tag=f"star:{entry.tag}", weight=_BOLD))
    bottom = top - len(rows) * ROW * mm
    items.append(Line((low, bottom), (high, bottom), "TABLE"))
    return items


def _figure(x: float, value: float | None, tag: str, limit: float | None, fmt: LengthFormat) -> _Entry:
    """Return a height, rounded as on the plan; one below a limit finer, so that it can be told from the limit."""
    if value is None:
        return _Entry(x, "", tag)
    low = limit is not None and value < limit
    return _Entry(x, length(value, fmt) if low else rounded(value, fmt), tag, low)


def _stop_rows(refit: Refit, side: Side) -> list[_Row]:
    """Return the rows of the posts and rails: names, heights of each level, openings where there are several lines."""
    fmt, turn = numbers(refit.boat), facing(side)
    stops = stops_of(refit, side)
    limits = failing_limits(refit)
    used = [level for level in LEVELS if any(level in stop.heights for stop in stops)]

    def row(head: str, figures: Sequence[tuple[float | None, str]], limit: float | None = None) -> _Row:
        entries = [
            _figure(turn * stop.x, value, "" if value is None else tag, limit, fmt)
            for stop, (value, tag) in zip(stops, figures, strict=True)
        ]
        return _Row(head, tuple(entries))

    names = (_Entry(turn * stop.x, stop.name, f"name:{stop.tag}", named=True) for stop in stops)
    rows = [_Row(plan_words.ROW_POST, tuple(names))]
    for level in used:
        limit = limits.get((side, level))
        heights = [stop.heights.get(level) for stop in stops]
        foot = [(None, "") if height is None else (height.above_foot, f"height:{height.tag}") for height in heights]
        edge = [(None, "") if height is None else (height.above_edge, f"edge:{height.tag}") for height in heights]
        rows.append(row(plan_words.ROW_FOOT.format(level=level, unit=fmt.unit), foot, limit))
        rows.append(row(plan_words.ROW_EDGE.format(level=level, unit=fmt.unit), edge, limit))
    maximum = max(len(stop.openings) for stop in stops)
    for number in range(maximum if maximum > 1 else 0):
        head = plan_words.ROW_OPENING.format(between=number + 1, unit=fmt.unit)
        rows.append(row(head, [_opening(stop, number) for stop in stops]))
    return rows


def _opening(stop: Stop, number: int) -> tuple[float | None, str]:
    if number >= len(stop.openings):
        return None, ""
    return stop.openings[number], f"opening:{stop.tag}:{number + 1}"


def _span_rows(refit: Refit, side: Side) -> list[list[_Row]]:
    """Return for each level the rows of its spans: lowest height over the deck edge, its station."""
    fmt, turn = numbers(refit.boat), facing(side)
    limits = failing_limits(refit)
    groups = []
    for level in LEVELS:
        level_spans = []
        for run in refit.placed.runs.values():
            if run.side == side and run.level == level:
                lowest = refit.placed.span_heights[run.id]
                for number, ((a, b), low) in enumerate(zip(pairwise(run.points), lowest, strict=True), 1):
                    level_spans.append((turn * 0.5 * (a[0] + b[0]), f"{run.id}:{number}", low))
        level_spans.sort(key=lambda entry: entry[0])
        if not level_spans:
            continue
        limit = limits.get((side, level))
        minimum = tuple(_figure(x, low.lowest, f"lowest:{key}", limit, fmt) for x, key, low in level_spans)
        at = tuple(
            _Entry(x, "" if low.at_x is None else rounded(low.at_x, fmt), f"at:{key}") for x, key, low in level_spans
        )
        groups.append(
            [
                _Row(plan_words.ROW_LOWEST.format(level=level, unit=fmt.unit), minimum),
                _Row(plan_words.ROW_AT.format(level=level, unit=fmt.unit), at),
            ]
        )
    return groups
