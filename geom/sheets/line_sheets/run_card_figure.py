"""A run straightened: its line with eyes, buries, holes and fittings, every mark counted from one zero."""

from __future__ import annotations

from collections.abc import Iterator

from geom.data import table
from geom.drafting.label_places import spread
from geom.drafting.straight_line import Piece, Straight, straighten
from geom.figure import Circle, Item, Line, Ordinate, Polyline, Rect, View
from geom.placement.eyes import Where
from geom.placement.line_ends import family, line_end, run_end
from geom.rigging.fit import Bury
from geom.sheets.line_sheets import run_card_text as run_card_words
from geom.sheets.line_sheets.line_signs import (
    BURIED,
    PLAIN,
    TUBE_HIGH,
    break_sign,
    eye,
    fitting,
    terminal,
    tube,
    turned,
)
from geom.sheets.line_sheets.run_card_below import finished_line, under
from geom.sheets.line_sheets.run_card_buries import needed_buries
from geom.sheets.line_sheets.run_card_marks import LABELS, MARK, PITCH, Straightened, mark_text, tube_outside

# The least length of an eye, and how far a terminal is drawn inward of the wire's end [paper mm].
_EYE_LEAST, _TERMINAL_IN = 4.0, 5.0
# An eye's bow covers this much of what it is hooked to [paper mm].
_BOW = 1.6 * PLAIN


def figure(shown: Straightened, place: Rect) -> tuple[Straight, list[View], list[Item]]:
    """Return the pieces, their views and the words under them.

    Args:
        shown: the run.
        place: where it stands, with the run's own room under its axis [paper mm].

    Raises:
        GeometryError: the place is too narrow.
    """
    straight = straighten(shown.spots, place.left, place.width, PITCH)
    axis = place.bottom + shown.below
    views: list[View] = []
    items: list[Item] = []
    for index, piece in enumerate(straight.pieces):
        window = Rect(piece.left - 1.2, place.bottom, piece.right + 1.2, place.top)
        origin = (piece.left - piece.low / straight.mm, axis)
        views.append(
            View(
                name=f"{shown.work.run}-{index + 1}",
                title="",
                scale=1.0 / straight.mm,
                origin=origin,
                window=window,
                items=tuple(_piece_items(shown, straight, piece)),
                numbers=shown.numbers,
                description=f"Line {shown.work.run}, {piece.low:.0f} to {piece.high:.0f} mm from its forward bearing.",
            )
        )
        items += under(shown, straight, piece, axis)
    if not shown.shows_buries:
        items += finished_line(shown, straight, axis)
    return straight, views, items


def _piece_items(shown: Straightened, straight: Straight, piece: Piece) -> Iterator[Item]:
    mm = float(straight.mm)
    first, last = _line_begins(shown, "start", mm), _line_begins(shown, "finish", mm)
    yield from _band(shown, max(piece.low, first), min(piece.high, last), mm)
    for edge in (piece.low, piece.high):
        if 0.0 < edge < shown.finished and straight.broken:
            yield break_sign(edge, mm)
    ends = {spot.at for spot in piece.spots}
    if 0.0 in ends:
        yield from _end(shown, "start", mm)
    if shown.finished in ends:
        yield from _end(shown, "finish", mm)
    for hole in shown.work.fit.holes:
        if hole.at in ends:
            yield from tube(hole.at, tube_outside(shown.refit, hole.hole), mm, f"tube:{shown.work.run}:{hole.hole}")
    yield from _ordinates(shown, piece, mm)
    if shown.shows_buries:
        yield from needed_buries(shown, mm)


def _ordinates(shown: Straightened, piece: Piece, mm: float) -> Iterator[Item]:
    wanted = [(spot.at - piece.low) / mm for spot in piece.spots]
    centres = spread(wanted, [MARK] * len(wanted), 1.5, 1.0, (piece.high - piece.low) / mm - 1.0)
    for spot, centre in zip(piece.spots, centres, strict=True):
        # Numbers lead down to the line itself; a stroke begins a millimetre off what it belongs to.
        start = TUBE_HIGH if spot.word == run_card_words.MARKS["hole"] else _half(shown, spot.at) - 0.6
        end = (piece.low + centre * mm, LABELS * mm)
        text = mark_text(shown, spot)
        yield Ordinate((shown.zero, 0.0), (spot.at, start * mm), end, "x", text, "NOTE", spot.tag, MARK)


def _bury(shown: Straightened, where: Where) -> Bury | None:
    return next((bury for bury in shown.work.fit.buries if bury.end == where), None)


def _throat(shown: Straightened, where: Where, mm: float) -> float | None:
    """Return how far an eye's throat is drawn from its bearing point [paper mm]; None where no eye is made."""
    bury = _bury(shown, where)
    kind = family(line_end(shown.refit.boat, shown.run, where))["kind"]
    if bury is None and kind not in ("splice", "sewn"):
        return None
    at = 0.0 if where == "start" else shown.finished
    return max(abs((at if bury is None else bury.throat) - at) / mm, _EYE_LEAST)


def _terminal_in(shown: Straightened, where: Where, mm: float) -> float | None:
    """Return how far a terminal is drawn inward of its bearing point [paper mm]; None where there is none."""
    end = line_end(shown.refit.boat, shown.run, where)
    return (end.deduction or 0.0) / mm + _TERMINAL_IN if family(end)["kind"] == "terminal" else None


def _line_begins(shown: Straightened, where: Where, mm: float) -> float:
    """Return the station from which the line itself shows: an eye's throat, a terminal's inner edge."""
    covered = _throat(shown, where, mm) or _terminal_in(shown, where, mm) or 0.0
    return covered * mm if where == "start" else shown.finished - covered * mm


def _half(shown: Straightened, at: float) -> float:
    """Return the line's half width at a station: thicker where a tail is buried [paper mm]."""
    half = PLAIN
    if shown.work.refused:
        return half
    for bury in shown.work.fit.buries:
        whole = bury.bury_end if bury.full_end is None else bury.full_end
        inside, taper = sorted((bury.throat, whole)), sorted((whole, bury.bury_end))
        if inside[0] - 1e-9 <= at <= inside[1] + 1e-9:
            half = max(half, BURIED)
        elif taper[0] < at < taper[1]:
            share = abs(at - bury.bury_end) / (taper[1] - taper[0])
            half = max(half, PLAIN + share * (BURIED - PLAIN))
    return half


def _band(shown: Straightened, low: float, high: float, mm: float) -> Iterator[Item]:
    """Return the line between two stations as its two edges."""
    if high <= low:
        return
    corners = {low, high}
    if not shown.work.refused:
        for bury in shown.work.fit.buries:
            corners |= {s for s in (bury.throat, bury.full_end, bury.bury_end) if s is not None and low < s < high}
    for sign in (1.0, -1.0):
        edge = tuple((x, sign * _half(shown, x) * mm) for x in sorted(corners))
        yield Polyline(edge, "FITTING", tag=f"line:{shown.work.run}")
    for bury in shown.work.fit.buries:
        yield from _buried(bury, low, high, mm, tail=not shown.work.refused)


def _buried(bury: Bury, low: float, high: float, mm: float, tail: bool) -> Iterator[Item]:
    """Return the throat as a bar, and the tail inside the standing part as far as it is shown."""
    start, end = sorted((bury.throat, bury.bury_end))
    start, end = max(start, low), min(end, high)
    if tail and end > start:
        yield Line((start, 0.0), (end, 0.0), "HIDDEN")
    if low - 1e-9 <= bury.throat <= high + 1e-9:
        yield Line((bury.throat, -BURIED * 1.6 * mm), (bury.throat, BURIED * 1.6 * mm), "FITTING")


def _end(shown: Straightened, where: Where, mm: float) -> Iterator[Item]:
    """Return what is made on an end and its fittings, looking outward from the line."""
    refit, run = shown.refit, shown.run
    out, at = (-1.0, 0.0) if where == "start" else (1.0, shown.finished)
    throat, inner = _throat(shown, where, mm), _terminal_in(shown, where, mm)
    signs: list[Item] = []
    if throat is not None:
        signs += eye(throat)
    elif inner is not None:
        taken = line_end(refit.boat, run, where).deduction
        signs += terminal(inner, None if taken is None else taken / mm)
    else:
        signs.append(Circle((0.0, 0.0), 1.8, "FITTING"))
    reach = (shown.before if where == "start" else shown.after) / mm
    if reach:
        parts = [refit.boat.fittings[name].family for name in run_end(run, where).fittings]
        gap = all(table.row("fitting_families", word=word)["stands_in"] == "gap" for word in parts)
        signs += fitting(reach, gap, 0.0 if throat is None else _BOW)
    for item in signs:
        yield turned(item, at, out, mm)
