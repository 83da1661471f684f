"""A run straightened, bow at left: line, eyes, buries, holes and fittings, its marks, and the words under it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from geom.drafting.straight_line import Piece, Spot, Straight, spread, straighten, words_left
from geom.drafting.symbols import eye_symbol
from geom.errors import GeometryError
from geom.figure import Across, Circle, Hatch, Item, Line, Ordinate, Point, Polyline, Rect, Text, View
from geom.lettering import width as text_width
from geom.placement.eyes import Where
from geom.placement.line_ends import family, line_end, run_end
from geom.placement.place import end_name
from geom.placement.stack import closes_gap
from geom.refit import Refit
from geom.rigging.fit import Bury
from geom.rigging.work import RunWork
from geom.sheets.line_sheets import text as words
from geom.sheets.line_sheets.marks import (
    FIRST_ROW,
    LABELS,
    LETTERING,
    NAME,
    NAME_ROW,
    NUMBER,
    PITCH,
    ROUND,
    ROW,
    SYMBOL_ROOM,
    UNDER_BURIES,
    WORD_GAP,
    WRAPPED,
    ZERO_ROW,
    Straightened,
    end_lines,
    hole_lines,
    number,
    number_width,
    shows_buries,
    straightened,
    tube_outside,
)
from geom.sheets.line_sheets.signs import (
    BURIED,
    HOLE_TO,
    PLAIN,
    break_sign,
    eye,
    fitting,
    hole,
    terminal,
    turned,
    way_arrow,
    zero_sign,
)

# The whole line at the largest of these where one of them fits, else in pieces at one of the others.
WHOLE, BROKEN = (2, 5, 10, 20), (5, 10, 20, 50)
# A short line of thick rope with the buries that it needs may be smaller.
_WITH_BURIES = (50, 100)
# The least length of an eye, and how far a terminal is drawn inward of the wire's end [paper mm].
_EYE_LEAST, _TERMINAL_IN = 4.5, 5.0
# An eye's bow covers this much of what it is hooked to [paper mm].
_BOW = 1.6 * PLAIN
# Height of the words of direction over the axis, and of their arrow under them [paper mm].
_WAY, _WAY_ARROW = 13.0, 2.6


@dataclass(frozen=True)
class Layout:
    """A drawn run: its pieces on paper, their views, and the words on the sheet."""

    straight: Straight
    views: tuple[View, ...]
    items: tuple[Item, ...]


def fitted(refit: Refit, work: RunWork, width: float) -> Straightened:
    """Return the marks of a run with the widest words that leave its line unbroken at a width, else that fit.

    Args:
        refit: the boat as calculated.
        work: the run.
        width: of the layout [mm].
    """
    tried = [straightened(refit, work, wrapped) for wrapped in WRAPPED]
    for drawn in (_whole, _broken):
        for shown in tried:
            try:
                drawn(shown, 0.0, width)
            except GeometryError:
                continue
            return shown
    return tried[-1]


def _whole(shown: Straightened, left: float, width: float) -> Straight:
    """Return the line in one piece, with room for the buries that it needs where they are drawn."""
    one = tuple(replace(spot, part="whole") for spot in shown.spots)
    if not (shown.held and shows_buries(shown.work)):
        return straighten(one, left, width, PITCH, WHOLE)
    needed = [at for bury in shown.work.fit.buries for at in (bury.throat, bury.bury_end)]
    scales = (*WHOLE, *_WITH_BURIES)
    for mm in scales:
        try:
            straight = straighten(one, left, width, PITCH, [at for at in scales if at >= mm])
        except GeometryError:
            break
        (piece,) = straight.pieces
        low, high = (piece.left + (at - piece.low) / straight.mm for at in (min(needed), max(needed)))
        if left <= low and high <= left + width:
            return straight
    # Names longer than the line go on outward, under the buries.
    ends = [replace(spot, outward=True) for spot in one]
    ends += [Spot(at, "", "", "whole") for at in needed]
    return straighten(sorted(ends, key=lambda spot: spot.at), left, width, PITCH, scales)


def _broken(shown: Straightened, left: float, width: float) -> Straight:
    return straighten(shown.spots, left, width, PITCH, BROKEN)


def straight_of(shown: Straightened, left: float, width: float) -> Straight:
    """Return a run's line on paper, unbroken where a scale allows it, else broken between holes and buries.

    Args:
        shown: the run.
        left: left edge [mm].
        width: the width [mm].

    Raises:
        GeometryError: the width is too small.
    """
    try:
        return _whole(shown, left, width)
    except GeometryError:
        return _broken(shown, left, width)


def layout(shown: Straightened, place: Rect, axis: float) -> Layout:
    """Return the drawn run.

    Args:
        shown: the run.
        place: its rectangle on paper [mm].
        axis: height of the line's axis on paper [mm].

    Raises:
        GeometryError: the place is too narrow.
    """
    straight = straight_of(shown, place.left, place.width)
    views, items = [], []
    for index, piece in enumerate(straight.pieces):
        # The pin beyond an end may be drawn past the last mark.
        window = Rect(piece.left - 1.2, place.bottom, piece.right + 1.2, place.top)
        views.append(
            View(
                name=f"{shown.work.run}-{index + 1}",
                title="",
                scale=1.0 / straight.mm,
                origin=(piece.left - piece.low / straight.mm, axis),
                window=window,
                items=tuple(_piece_items(shown, straight, piece)),
                numbers=shown.numbers,
                description=f"Line {shown.work.run}, {piece.low:.0f} to {piece.high:.0f} mm from its forward bearing.",
            )
        )
        items += list(_under(shown, straight, piece, axis))
    if not shown.held:
        items += list(_way(shown, straight, axis))
    return Layout(straight, tuple(views), tuple(items))


def _piece_items(shown: Straightened, straight: Straight, piece: Piece) -> Iterator[Item]:
    mm = float(straight.mm)
    first, last = _line_begins(shown, "start", mm), _line_begins(shown, "finish", mm)
    yield from _band(shown, max(piece.low, first), min(piece.high, last), mm)
    for edge in (piece.low, piece.high):
        if 0.0 < edge < shown.finished and straight.broken:
            yield break_sign(edge, mm)
    ends = {spot.at for spot in piece.spots}
    if 0.0 in ends:
        yield from end_signs(shown, "start", mm)
    if shown.finished in ends:
        yield from end_signs(shown, "finish", mm)
    for one in shown.work.fit.holes:
        if one.at in ends:
            yield from hole(one.at, tube_outside(shown.refit, one.hole), mm, f"tube:{shown.work.run}:{one.hole}")
    yield from _ordinates(shown, piece, mm)


def _centres(piece: Piece, mm: float) -> list[float]:
    """Return where the numbers of a piece's marks are along it [paper mm from its left edge]."""
    wanted = [(spot.at - piece.low) / mm for spot in piece.spots if spot.word]
    return spread(wanted, [NUMBER] * len(wanted), PITCH - NUMBER, 0.5, (piece.high - piece.low) / mm - 0.5)


def _ordinates(shown: Straightened, piece: Piece, mm: float) -> Iterator[Item]:
    marked = [spot for spot in piece.spots if spot.word]
    for spot, centre in zip(marked, _centres(piece, mm), strict=True):
        start = HOLE_TO if spot.word == words.MARKS["hole"] else _half(shown, spot.at) - 0.4
        x = piece.low + centre * mm
        text = number(shown, spot) if shown.numbers.unit == "in" else "<>"
        yield Ordinate(
            (shown.zero, 0.0), (spot.at, start * mm), (x, LABELS * mm), "x", text, tag=spot.tag, height=NUMBER,
            weight="semibold",
        )  # fmt: skip
        up = LABELS + ROUND + number_width(shown, spot) + WORD_GAP
        yield Text((x, up * mm), spot.word, LETTERING, "NOTE", "left", "middle", 0.5 * math.pi, f"{spot.tag}:word")


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
    """Return the station from which the line itself is drawn: an eye's throat, a terminal's inner edge."""
    covered = _throat(shown, where, mm) or _terminal_in(shown, where, mm) or 0.0
    return covered * mm if where == "start" else shown.finished - covered * mm


def _half(shown: Straightened, at: float) -> float:
    """Return the line's half width at a station: thicker where a tail is buried [paper mm]."""
    half = PLAIN
    if shown.held:
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
    """Yield the line between two stations: its two edges, buries filled with the tail in them."""
    if high <= low:
        return
    tag = f"line:{shown.work.run}"
    if shown.held:
        for sign in (1.0, -1.0):
            yield Line((low, sign * 0.65 * mm), (high, sign * 0.65 * mm), "HOLD", tag)
        return
    corners = {low, high}
    for bury in shown.work.fit.buries:
        corners |= {at for at in (bury.throat, bury.full_end, bury.bury_end) if at is not None and low < at < high}
    stations = sorted(corners)
    for bury in shown.work.fit.buries:
        begin, end = sorted((bury.throat, bury.bury_end))
        inside = [at for at in stations if begin <= at <= end]
        if len(inside) > 1:
            upper = [(at, _half(shown, at) * mm) for at in inside]
            yield Hatch((*upper, *((at, -y) for at, y in reversed(upper))), "ROPE-FILL")
            yield Line((inside[0], 0.0), (inside[-1], 0.0), "HIDDEN")
    for sign in (1.0, -1.0):
        yield Polyline(tuple((at, sign * _half(shown, at) * mm) for at in stations), "ROPE", tag=tag)


def end_signs(shown: Straightened, where: Where, mm: float) -> Iterator[Item]:
    """Yield what is made on an end and its fittings, looking outward from the line.

    Args:
        shown: the run.
        where: which end.
        mm: mm along the line to a paper mm.
    """
    refit, run = shown.refit, shown.run
    out, at = (-1.0, 0.0) if where == "start" else (1.0, shown.finished)
    throat, inner = _throat(shown, where, mm), _terminal_in(shown, where, mm)
    layer = "HOLD" if shown.held else "ROPE" if throat is not None else "FITTING"
    signs: list[Item] = []
    if throat is not None:
        signs += eye(throat, layer)
    elif inner is not None:
        taken = line_end(refit.boat, run, where).deduction
        signs += terminal(inner, None if taken is None else taken / mm, layer)
    else:
        signs.append(Circle((0.0, 0.0), 1.8, layer))
    reach = (shown.before if where == "start" else shown.after) / mm
    if reach:
        gap = all(closes_gap(refit.boat.fittings[name]) for name in run_end(run, where).fittings)
        signs += fitting(reach, gap, 0.0 if throat is None else _BOW)
    for item in signs:
        yield turned(item, at, out, mm)


def _under(shown: Straightened, straight: Straight, piece: Piece, axis: float) -> Iterator[Item]:
    """Yield the words under a piece: its holes, its ends."""
    for one in shown.work.fit.holes:
        if any(spot.at == one.at for spot in piece.spots):
            x = piece.left + (one.at - piece.low) / straight.mm
            yield from _hole_words(shown, one.hole, x, axis)
    run = shown.run
    for spot in piece.spots:
        if spot.edge:
            where: Where = "start" if spot.edge < 0 else "finish"
            left = words_left(piece, spot, straight.mm)
            x = left if where == "start" else left + spot.room
            bears = piece.left + ((0.0 if where == "start" else shown.finished) - piece.low) / straight.mm
            across: Across = "left" if where == "start" else "right"
            name = end_name(run_end(run, where))
            low = axis - (UNDER_BURIES if shown.held and shows_buries(shown.work) else 0.0)
            tag = f"{run.id}:{where}"
            yield Text((x, low - NAME_ROW), name, NAME, "TEXT", across, tag=f"end:{tag}", weight="semibold")
            for row, line in enumerate(end_lines(shown.refit, shown.work, where, shown.wrapped[0])):
                yield Text((x, low - FIRST_ROW - ROW * row), line, LETTERING, "NOTE", across, tag=f"made:{tag}")
            if not shown.held and shown.work.making.first == where:
                edge = piece.right if where == "start" else piece.left
                holes = (piece.left + (one.at - piece.low) / straight.mm for one in shown.work.fit.holes)
                room = min([abs(edge - bears), *(abs(at - bears) - 2.0 for at in holes)])
                yield from _zero((bears, axis), where, run.id, room)


def _zero(at: Point, where: Where, run: str, room: float) -> Iterator[Item]:
    """Yield the triangle of the zero under an end's bearing point, its words inward of it where there is room."""
    yield zero_sign((at[0], at[1] - 3.4))
    full = text_width(words.ZERO_FULL, LETTERING, "semibold") + 5.0 <= room
    text = words.ZERO_FULL if full else words.ZERO
    inward = text_width(text, LETTERING, "semibold") + 3.0 <= room
    to_right = (where == "start") is inward
    across: Across = "left" if to_right else "right"
    place = (at[0] + (2.6 if to_right else -2.6), at[1] - ZERO_ROW + 0.2)
    yield Text(place, text, LETTERING, "TEXT", across, tag=f"zero:{run}", weight="semibold")


def _hole_words(shown: Straightened, name: str, x: float, axis: float) -> Iterator[Item]:
    run = shown.work.run
    half = 0.5 * text_width(name, NAME, "semibold")
    verdict = shown.refit.placed.eye(name).verdict
    yield from eye_symbol((x - half - 0.4, axis - NAME_ROW + 0.5 * NAME), verdict)
    at = (x + SYMBOL_ROOM / 2.0, axis - NAME_ROW)
    yield Text(at, name, NAME, "TEXT", "centre", tag=f"hole:{run}:{name}", weight="semibold")
    for row, line in enumerate(hole_lines(shown.refit, run, name, shown.wrapped[1])):
        yield Text((x, axis - FIRST_ROW - ROW * row), line, LETTERING, "NOTE", "centre", tag=f"bore:{run}:{name}")


def _way(shown: Straightened, straight: Straight, axis: float) -> Iterator[Item]:
    """Yield the direction of threading over the line, in the widest gap between its marks."""
    text = words.THREAD[shown.work.plan.direction] if shown.work.fit.holes else words.NO_HOLES
    taken = sorted(piece.left + centre for piece in straight.pieces for centre in _centres(piece, float(straight.mm)))
    low, high = max(pairwise(taken), key=lambda gap: gap[1] - gap[0])
    wide = text_width(text, NAME, "semibold")
    middle = 0.5 * (low + high)
    if high - low < wide + 8.0:
        return
    at = (middle, axis + _WAY)
    yield Text(at, text, NAME, "TEXT", "centre", tag=f"way:{shown.work.run}", weight="semibold")
    if shown.work.fit.holes:
        half = min(0.5 * wide, 18.0)
        yield from way_arrow(
            middle - half, middle + half, axis + _WAY - _WAY_ARROW, shown.work.plan.direction == "forward"
        )
