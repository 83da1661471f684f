"""The words under a straightened line: holes with their size and sign, ends by name, the finished length."""

from __future__ import annotations

from collections.abc import Iterator

from geom.drafting.line_text import tape_length
from geom.drafting.straight_line import Piece, Spot, Straight, words_left
from geom.drafting.symbols import eye_symbol
from geom.drafting.views import arrow_to
from geom.figure import Across, Item, Line, Text
from geom.lettering import width as text_width
from geom.placement.eyes import Where
from geom.placement.line_ends import family, line_end
from geom.sheets.line_sheets import run_card_text as run_card_words
from geom.sheets.line_sheets.run_card_marks import LETTERING, MARK, Straightened, end_words, hole_words
from geom.tables import numbers

# From the line's axis down: names of fittings, the first row of words, where an end is made, the finished length [mm].
_FITTINGS, _WORDS, _MADE, _FINISHED = 6.2, 10.2, 15.2, 22.2
_ROW = 3.6
_NAME_UNDER_BURIES = 22.5
# Which way an end looks, and to which side words stand that begin at it.
OUTWARD: dict[Where, tuple[float, Across]] = {"start": (-1.0, "right"), "finish": (1.0, "left")}


def under(shown: Straightened, straight: Straight, piece: Piece, axis: float) -> Iterator[Item]:
    """Return the words under a piece.

    Args:
        shown: the run.
        straight: its pieces.
        piece: this one.
        axis: height of the line's axis on paper [mm].
    """
    for hole in shown.work.fit.holes:
        if any(spot.at == hole.at for spot in piece.spots):
            x = piece.left + (hole.at - piece.low) / straight.mm
            yield from _hole(shown, hole.hole, x, axis)
    for spot in piece.spots:
        if spot.edge:
            yield from _end(shown, "start" if spot.edge < 0 else "finish", spot, straight, piece, axis)


def _hole(shown: Straightened, hole: str, x: float, axis: float) -> Iterator[Item]:
    run = shown.work.run
    lines = hole_words(shown.refit, run, hole)
    for row, (line, key) in enumerate(zip(lines, ("hole", "size", "verdict"), strict=True)):
        at = (x + (1.9 if row == 1 else 0.0), axis - _WORDS - _ROW * row)
        yield Text(at, line, LETTERING, "NOTE", "centre", tag=f"{key}:{run}:{hole}")
    wide = text_width(lines[1], LETTERING)
    verdict = shown.refit.placed.eye(hole).verdict
    yield from eye_symbol((x - wide / 2.0 - 0.6, axis - _WORDS - _ROW + 1.2), verdict)


def _end(
    shown: Straightened, where: Where, spot: Spot, straight: Straight, piece: Piece, axis: float
) -> Iterator[Item]:
    """Return the names of an end's fittings and terminal, the end's own, and where it is made."""
    run = shown.work.run
    across: Across = "left" if where == "start" else "right"
    left = words_left(piece, spot, straight.mm)
    # The words keep a little apart from their neighbours.
    x = left if where == "start" else left + spot.room
    fittings, name, made = end_words(shown.refit, shown.work, where)
    if family(line_end(shown.refit.boat, shown.run, where))["kind"] == "terminal":
        bears = piece.left + ((0.0 if where == "start" else shown.finished) - piece.low) / straight.mm
        inward = 1.0 if where == "start" else -1.0
        if not fittings or abs(bears - x) > text_width(fittings, LETTERING) + 2.0:
            at = (bears + inward, axis - _FITTINGS)
            yield Text(at, run_card_words.TERMINAL, LETTERING, "NOTE", across, tag=f"terminal:{run}:{where}")
        else:
            fittings = f"{fittings}, {run_card_words.TERMINAL}"
    if fittings and shown.shows_buries:
        # Beside the bars of the buries, under the fitting itself.
        bears = piece.left + ((0.0 if where == "start" else shown.finished) - piece.low) / straight.mm
        outward, beside = OUTWARD[where]
        yield Text(
            (bears + 0.8 * outward, axis - _FITTINGS),
            fittings,
            LETTERING,
            "NOTE",
            beside,
            tag=f"fittings:{run}:{where}",
        )
    elif fittings:
        yield Text((x, axis - _FITTINGS), fittings, LETTERING, "NOTE", across, tag=f"fittings:{run}:{where}")
    low = _NAME_UNDER_BURIES if shown.shows_buries else _WORDS
    yield Text((x, axis - low), name, LETTERING, "TEXT", across, tag=f"end:{run}:{where}")
    if made:
        yield Text((x, axis - _MADE), made, MARK, "TEXT", across, tag=f"made:{run}:{where}")


def finished_line(shown: Straightened, straight: Straight, axis: float) -> Iterator[Item]:
    """Return the finished length as a line from bearing to bearing, across the breaks.

    Args:
        shown: the run.
        straight: its pieces.
        axis: height of the line's axis on paper [mm].
    """
    fmt = numbers(shown.refit.boat)
    first, last = straight.pieces[0], straight.pieces[-1]
    left = first.left - first.low / straight.mm
    right = last.left + (shown.finished - last.low) / straight.mm
    y, middle = axis - _FINISHED, (left + right) / 2.0
    for x in (left, right):
        yield from arrow_to((middle, y), (x, y), 1.0)
        yield Line((x, y - 2.0), (x, axis - _MADE - 1.6), "DIM")
    text = run_card_words.FINISHED_LINE.format(value=tape_length(shown.finished, fmt), unit=fmt.unit)
    yield Text((middle, y + 1.0), text, LETTERING, "TEXT", "centre", tag=f"finished-line:{shown.work.run}")
