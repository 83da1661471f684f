"""A run straightened: its line with eyes, buries, holes and fittings, every mark counted from one zero."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from geom.data import table
from geom.figure import Across, Circle, Hatch, Item, Line, Ordinate, Polyline, Rect, Text, View
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.eye import Where
from geom.runs.fit import Bury
from geom.runs.line_work import RunWork
from geom.runs.making import BOTH, family, line_end, run_end
from geom.runs.place import PlacedRun, end_name
from geom.schedules import numbers
from geom.schedules.placing import leading_verdict
from geom.sheets import words
from geom.sheets.line_signs import BURIED, PLAIN, TUBE_HIGH, break_sign, eye, fitting, tube, turned
from geom.sheets.line_words import fine_length, length, made_where
from geom.sheets.placing import spread
from geom.sheets.straight_line import Piece, Spot, Straight, straighten
from geom.sheets.symbols import eye_symbol

LETTERING = 2.5
# Paper under and over the line's axis [mm].
BELOW, ABOVE = 18.0, 39.5
HEIGHT = BELOW + ABOVE
_LABELS = 9.5


@dataclass(frozen=True)
class Straightened:
    """What is to be drawn of a run: marks in order, the line's length, fittings beyond either end [mm]."""

    refit: Refit
    work: RunWork
    spots: tuple[Spot, ...]
    before: float
    after: float

    @property
    def finished(self) -> float:
        """The line between its bearing points [mm]."""
        return self.work.fit.finished


def straightened(refit: Refit, work: RunWork) -> Straightened:
    """Return the marks of a run; of a line that is not to be cut only its ends and holes."""
    run, fit = refit.placed.runs[work.run], work.fit
    before, after = (
        sum(refit.boat.fittings[name].length.planned for name in run_end(run, where).fittings) for where in BOTH
    )
    found = []
    # A line that is not to be cut is shown whole, so that its buries lie over each other.
    whole = work.run if work.refused and not fit.holes else None
    for station in work.stations:
        if work.refused and station.what not in ("bears", "hole"):
            continue
        hole = station.what == "hole"
        part = station.place if hole else whole or _part(run, station.place)
        room, edge = (_hole_room(refit, work.run, station.place), 0) if hole else (0.0, 0)
        if station.what == "bears":
            room, edge = _end_room(station.place), -1 if station.at == 0.0 else 1
        tag = f"mark:{work.run}:{station.what}:{station.place}"
        word = words.ZERO if station.what == "bears" and station.at == 0.0 else words.MARK_WORDS[station.what]
        found.append(Spot(station.at, word, tag, part, room, edge))
    for where, at in zip(BOTH, (0.0, fit.finished), strict=True):
        taken = line_end(refit.boat, run, where).deduction
        if taken is not None and not work.refused:
            place = end_name(run_end(run, where))
            inside = at + taken if where == "start" else at - taken
            found.append(
                Spot(inside, words.MARK_WORDS["wire ends"], f"mark:{work.run}:wire ends:{place}", whole or where)
            )
    for where, beyond, at in zip(BOTH, (before, after), (-before, fit.finished + after), strict=True):
        if beyond:
            place = end_name(run_end(run, where))
            found.append(Spot(at, words.MARK_WORDS["pin"], f"mark:{work.run}:pin:{place}", whole or where))
    return Straightened(refit, work, tuple(sorted(found, key=lambda spot: spot.at)), before, after)


def _part(run: PlacedRun, place: str) -> Where:
    return "start" if place == end_name(run.told.start) else "finish"


def _end_room(place: str) -> float:
    return max(text_width(f"{word}: {place}", LETTERING) for word in (words.FORWARD_END, words.AFTER_END)) + 3.0


def _hole_room(refit: Refit, run: str, hole: str) -> float:
    name, size, told = (text_width(line, LETTERING) for line in _hole_words(refit, run, hole))
    return max(name, size + 4.5, told) + 3.0


def _hole_words(refit: Refit, run: str, hole: str) -> tuple[str, ...]:
    """Return what stands under a hole: its id, its size, the eye's verdict, what is slid on there."""
    how = numbers(refit.boat)
    passage = next(p for p in refit.placed.runs[run].passages if p.hole.id == hole)
    size = f"Ø{fine_length(passage.hole.bore, how)}"
    verdict = leading_verdict(refit, run, hole).verdict
    items = [item for item in refit.placed.runs[run].told.slide_on if item.hole == hole]
    slid = [item.item if item.length is None else f"{item.item} {length(item.length, how)}" for item in items]
    return (hole, size, ", ".join((verdict, *slid)))


def figure(shown: Straightened, place: Rect) -> tuple[Straight, list[View], list[Item]]:
    """Return the pieces, their views and the words under them.

    Args:
        shown: the run.
        place: where it stands, HEIGHT tall [paper mm].

    Raises:
        GeometryError: the place is too narrow.
    """
    straight = straighten(shown.spots, place.left, place.width)
    axis = place.bottom + BELOW
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
                numbers=numbers(shown.refit.boat),
                description=f"Line {shown.work.run}, {piece.low:.0f} to {piece.high:.0f} mm from its forward bearing.",
            )
        )
        items += _under(shown, straight, piece, axis)
    return straight, views, items


def _piece_items(shown: Straightened, straight: Straight, piece: Piece) -> Iterator[Item]:
    mm = float(straight.mm)
    low, high = max(piece.low, 0.0), min(piece.high, shown.finished)
    yield from _band(shown, low, high, mm)
    for edge, first, last in ((piece.low, 0.0, shown.finished), (piece.high, 0.0, shown.finished)):
        if first < edge < last and straight.broken:
            yield break_sign(edge, mm)
    ends = {spot.at for spot in piece.spots}
    if 0.0 in ends:
        yield from _end(shown, "start", mm)
    if shown.finished in ends:
        yield from _end(shown, "finish", mm)
    for hole in shown.work.fit.holes:
        if hole.at in ends:
            yield from tube(hole.at, mm, f"tube:{shown.work.run}:{hole.hole}")
    yield from _ordinates(piece, mm)


def _ordinates(piece: Piece, mm: float) -> Iterator[Item]:
    wanted = [(spot.at - piece.low) / mm for spot in piece.spots]
    centres = spread(wanted, [3.0] * len(wanted), 1.2, 1.0, (piece.high - piece.low) / mm - 1.0)
    for spot, centre in zip(piece.spots, centres, strict=True):
        sign = "-" if spot.at < 0.0 else ""
        start = TUBE_HIGH if spot.word == words.MARK_WORDS["hole"] else 2.6
        end = (piece.low + centre * mm, _LABELS * mm)
        yield Ordinate((0.0, 0.0), (spot.at, start * mm), end, "x", f"{sign}<>  {spot.word}", tag=spot.tag)


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
            if bury.end == "start" and low < bury.throat:
                corners.discard(low)
            if bury.end == "finish" and high > bury.throat:
                corners.discard(high)
    xs = sorted(corners)
    for sign in (1.0, -1.0):
        edge = tuple((x, sign * _half(shown, x) * mm) for x in xs)
        yield Polyline(edge, "FITTING", tag=f"line:{shown.work.run}")
    if not shown.work.refused:
        for bury in shown.work.fit.buries:
            yield from _buried(bury, low, high, mm)


def _buried(bury: Bury, low: float, high: float, mm: float) -> Iterator[Item]:
    """Return the tail inside the standing part, as far as it is shown."""
    start, end = sorted((bury.throat, bury.bury_end))
    start, end = max(start, low), min(end, high)
    if end > start:
        yield Line((start, 0.0), (end, 0.0), "HIDDEN")
    if low <= bury.throat <= high:
        yield Line((bury.throat, -BURIED * 1.6 * mm), (bury.throat, BURIED * 1.6 * mm), "FITTING")


def _end(shown: Straightened, where: str, mm: float) -> Iterator[Item]:
    """Return what is made on an end and its fittings, looking outward from the line."""
    refit, work = shown.refit, shown.work
    run = refit.placed.runs[work.run]
    which = BOTH[0] if where == "start" else BOTH[1]
    out = -1.0 if where == "start" else 1.0
    at = 0.0 if where == "start" else shown.finished
    kind = family(line_end(refit.boat, run, which))["kind"]
    taken = line_end(refit.boat, run, which).deduction
    bury = next((bury for bury in work.fit.buries if bury.end == which), None)
    if kind in ("splice", "sewn") or bury is not None:
        throat = abs((at if bury is None else bury.throat) - at) / mm
        yield from (turned(item, at, out, mm) for item in eye(max(throat, 4.0)))
    elif kind == "terminal":
        inner = (taken or 0.0) / mm + 5.0
        yield turned(Polyline(((1.5, 1.7), (1.5, -1.7), (-inner, -1.7), (-inner, 1.7)), "FITTING", True), at, out, mm)
    else:
        yield Circle((at, 0.0), 1.8 * mm, "FITTING")
    reach = (shown.before if where == "start" else shown.after) / mm
    if reach:
        parts = [refit.boat.fittings[name].family for name in run_end(run, which).fittings]
        gap = all(table.row("fitting_families", word=word)["stands_in"] == "gap" for word in parts)
        for item in fitting(reach, gap):
            yield turned(item, at, out, mm)


def _under(shown: Straightened, straight: Straight, piece: Piece, axis: float) -> Iterator[Item]:
    """Return the words under a piece: holes with their size and sign, the two ends by name and where they are made."""
    refit, work = shown.refit, shown.work
    run = refit.placed.runs[work.run]
    stations = {spot.at for spot in piece.spots}
    for hole in work.fit.holes:
        if hole.at not in stations:
            continue
        x = piece.left + (hole.at - piece.low) / straight.mm
        lines = _hole_words(refit, work.run, hole.hole)
        for row, (line, key) in enumerate(zip(lines, ("hole", "size", "verdict"), strict=True)):
            left = x + (1.9 if row == 1 else 0.0)
            tag = f"{key}:{work.run}:{hole.hole}"
            yield Text((left, axis - 9.6 - 3.6 * row), line, LETTERING, "NOTE", "centre", tag=tag)
        wide = text_width(lines[1], LETTERING)
        yield from eye_symbol((x - wide / 2.0 - 0.6, axis - 12.0), leading_verdict(refit, work.run, hole.hole).verdict)
    for where, at in zip(BOTH, (0.0, shown.finished), strict=True):
        if at not in stations:
            continue
        word = words.FORWARD_END if where == "start" else words.AFTER_END
        x = piece.left + 0.5 if where == "start" else piece.right - 0.5
        across: Across = "left" if where == "start" else "right"
        place = f"{word}: {end_name(run_end(run, where))}"
        low = 15.8 if work.refused else 9.6
        yield Text((x, axis - low), place, LETTERING, "TEXT", across, tag=f"end:{work.run}:{where}")
        if not work.refused:
            yield Text((x, axis - 15.8), made_where(work, where), 3.5, "TEXT", across, tag=f"made:{work.run}:{where}")


def needed_buries(shown: Straightened, straight: Straight, piece: Piece) -> Iterator[Item]:
    """Return the buries that a refused line asks for as bars that lie over each other."""
    mm = float(straight.mm)
    how, buries = numbers(shown.refit.boat), shown.work.fit.buries
    bars = [(max(min(b.throat, b.bury_end), 0.0), min(max(b.throat, b.bury_end), shown.finished)) for b in buries]
    if not bars or piece.low > min(low for low, _ in bars) or piece.high < max(high for _, high in bars):
        return
    for row, (bury, (low, high)) in enumerate(zip(buries, bars, strict=True)):
        top = -(3.4 + 3.4 * row) * mm
        corners = ((low, top), (high, top), (high, top - 2.2 * mm), (low, top - 2.2 * mm))
        yield Hatch(corners, "HATCH", 1.2)
        yield Polyline(corners, "FITTING", True)
        text = f"{words.MARK_WORDS['bury ends']} {length(abs(bury.bury_end - bury.throat), how)}"
        across: Across = "left" if bury.end == "start" else "right"
        x = max(edge for _, edge in bars) + 1.5 * mm if across == "left" else min(edge for edge, _ in bars) - 1.5 * mm
        at = (x, top - 1.1 * mm)
        yield Text(at, text, LETTERING, "NOTE", across, "middle", tag=f"needs:{shown.work.run}:{bury.end}")
