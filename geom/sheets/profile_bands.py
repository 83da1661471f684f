"""The bands of figures under a large profile: a column at each post, a column in each span."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from geom.boat.model import Level, Side
from geom.figure import Item, Line, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.heights import openings
from geom.runs.place import PlacedPost
from geom.schedules import numbers
from geom.sheets import post_words
from geom.sheets.placing import spread
from geom.sheets.post_words import length
from geom.sheets.profile_view import facing
from geom.sheets.views import LETTERING

ROW = 4.2
HEADS = 38.0
_GUIDE = 9.0
_BETWEEN = 3.0
_GAP = 1.6
_LEVELS: tuple[Level, ...] = ("U", "M", "L")


@dataclass(frozen=True)
class _Entry:
    """One figure of a band: where its column would stand [view mm], its text, the id it is checked by."""

    x: float
    text: str
    tag: str


@dataclass(frozen=True)
class _Row:
    head: str
    entries: tuple[_Entry, ...]


def bands_height(refit: Refit, side: Side) -> float:
    """Return how tall both bands stand with the guides that lead to them [mm]."""
    return _GUIDE + ROW * (len(_post_rows(refit, side)) + sum(len(rows) for rows in _span_rows(refit, side))) + _BETWEEN


def band_items(refit: Refit, side: Side, top: float, low: float, high: float, mm: float) -> tuple[Item, ...]:
    """Return guides, rules, heads and figures.

    Args:
        refit: the boat worked out.
        side: of the boat.
        top: where the guides begin, below the deck edge [view mm].
        low: left end of the bands [view mm].
        high: right end of the bands [view mm].
        mm: view millimetres to a paper millimetre.
    """
    turn = facing(side)
    posts = _ordered(refit, side)
    rows = _post_rows(refit, side)
    y = top - _GUIDE * mm
    centres = _columns(rows, low + HEADS * mm, high, mm)
    items: list[Item] = []
    for post, centre in zip(posts, centres, strict=True):
        x, foot = turn * post.foot[0], post.foot[2]
        points = ((x, foot - 1.2 * mm), (x, y + 4.5 * mm), (centre, y + 0.8 * mm))
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


def _ordered(refit: Refit, side: Side) -> list[PlacedPost]:
    turn = facing(side)
    return sorted((p for p in refit.placed.posts.values() if p.side == side), key=lambda p: turn * p.foot[0])


def _columns(rows: Sequence[_Row], low: float, high: float, mm: float) -> list[float]:
    """Return the middle of each column, as near as may be to where it belongs [view mm]."""
    count = len(rows[0].entries)
    widths = [max(text_width(row.entries[k].text, LETTERING) for row in rows) for k in range(count)]
    wanted = [entry.x / mm for entry in rows[0].entries]
    return [place * mm for place in spread(wanted, widths, _GAP, low / mm, high / mm - 1.0)]


def _band(
    rows: Sequence[_Row], places: Sequence[Sequence[float]], top: float, low: float, high: float, mm: float
) -> list[Item]:
    items: list[Item] = []
    for number, (row, centres) in enumerate(zip(rows, places, strict=True)):
        y = top - number * ROW * mm
        items.append(Line((low, y), (high, y), "TABLE" if number == 0 else "HATCH"))
        base = y - (ROW - 0.8) * mm
        items.append(Text((low + 1.0 * mm, base), row.head, LETTERING, "NOTE"))
        for entry, centre in zip(row.entries, centres, strict=True):
            items.append(Text((centre, base), entry.text, LETTERING, "TABLE", "centre", tag=entry.tag))
    bottom = top - len(rows) * ROW * mm
    items.append(Line((low, bottom), (high, bottom), "TABLE"))
    return items


def _post_rows(refit: Refit, side: Side) -> list[_Row]:
    how, heights = numbers(refit.boat), refit.placed.hole_heights
    turn = facing(side)
    posts = _ordered(refit, side)
    used = [level for level in _LEVELS if any(post.hole(level) for post in posts)]

    def row(head: str, figures: Sequence[tuple[str, str]]) -> _Row:
        return _Row(
            head, tuple(_Entry(turn * p.foot[0], text, tag) for p, (text, tag) in zip(posts, figures, strict=True))
        )

    rows = [row(post_words.ROW_POST, [(post.id, f"name:{post.id}") for post in posts])]
    for level in used:
        found = [post.hole(level) for post in posts]
        rows.append(
            row(
                post_words.ROW_FOOT.format(level=level),
                [("-", "") if h is None else (length(heights[h.id].above_foot, how), f"height:{h.id}") for h in found],
            )
        )
        above = [None if h is None else heights[h.id].above_edge for h in found]
        rows.append(
            row(
                post_words.ROW_EDGE.format(level=level),
                [
                    ("-" if edge is None else length(edge, how), "" if h is None else f"edge:{h.id}")
                    for h, edge in zip(found, above, strict=True)
                ],
            )
        )
    for number in range(max(len(post.holes) for post in posts)):
        figures = []
        for post in posts:
            gaps = openings(post)
            told = number < len(gaps)
            figures.append((length(gaps[number], how) if told else "-", f"opening:{post.id}:{number + 1}"))
        rows.append(row(post_words.ROW_OPENING.format(between=number + 1), figures))
    return rows


def _span_rows(refit: Refit, side: Side) -> list[list[_Row]]:
    """Return for each level the rows of its spans: length, lowest height over the deck edge, its station."""
    how, turn = numbers(refit.boat), facing(side)
    groups = []
    for level in _LEVELS:
        found = []
        for run in refit.placed.runs.values():
            if run.side == side and run.level == level:
                lowest = refit.placed.span_heights[run.id]
                for number, ((a, b), span, low) in enumerate(
                    zip(pairwise(run.points), run.spans, lowest, strict=True), 1
                ):
                    found.append((turn * 0.5 * (a[0] + b[0]), f"{run.id}:{number}", span, low))
        found.sort(key=lambda one: one[0])
        if not found:
            continue
        spans = tuple(_Entry(x, length(span, how), f"length:{key}") for x, key, span, _ in found)
        least = tuple(
            _Entry(x, "-" if low.lowest is None else length(low.lowest, how), f"lowest:{key}")
            for x, key, _, low in found
        )
        at = tuple(
            _Entry(x, "-" if low.at_x is None else length(low.at_x, how), f"at:{key}") for x, key, _, low in found
        )
        groups.append(
            [
                _Row(post_words.ROW_SPAN.format(level=level), spans),
                _Row(post_words.ROW_LOWEST.format(level=level), least),
                _Row(post_words.ROW_AT, at),
            ]
        )
    return groups
