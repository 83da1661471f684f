"""Check tapes and deck edge of the measuring form as lists to be filled in."""

from __future__ import annotations

from geom.boat.model import Level, Side
from geom.drafting import text as words
from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.intake.survey.form import BASELINE, Pair, diagonals, tape_words, tapes_across, tapes_along, tapes_to_rails

_ROW = 9.0
_MORE_EDGE_POINTS = 6


def side_lists(side: Side, posts: int, levels: tuple[Level, ...]) -> tuple[RuledList, ...]:
    """Return the tapes along each line of a side, and from its rails to the nearest foot.

    Args:
        side: of the boat.
        posts: number of posts.
        levels: of the lines.
    """
    word = words.SIDE[side]
    along = [
        _tapes(words.FORM_ALONG.format(side=word, level=words.LEVEL[level]), tapes_along(side, posts, level),
               f"along:{side}-{level}")
        for level in levels
    ]  # fmt: skip
    rails = _tapes(words.FORM_RAILS.format(side=word), tapes_to_rails(side, posts, levels), f"rails:{side}")
    return (*along, rails)


def baseline_list() -> RuledList:
    """Return the tapes between the marks on the centreline, on which everything else depends."""
    return _tapes(words.FORM_BASELINE, BASELINE, "baseline")


def across_lists(posts: int, levels: tuple[Level, ...]) -> tuple[RuledList, tuple[RuledList, ...]]:
    """Return the tapes from side to side, and the diagonals, none with a single post."""
    feet = diagonals(posts)
    diagonal = (_tapes(words.FORM_DIAGONAL, feet, "diagonal"),) if feet else ()
    return _tapes(words.FORM_ACROSS, tapes_across(posts, levels), "across"), diagonal


def _written(start: str, end: str) -> str:
    """Return a tape as it stands on the form: `S-S1: S2 U-U`."""
    if "-" not in start:
        return words.FORM_TAPE.format(start=start, end=end)
    here, tape = tape_words(start, end)
    return words.FORM_SHORT.format(here=here, tape=tape)


def _tapes(title: str, pairs: tuple[Pair, ...], tag: str) -> RuledList:
    rows = tuple((Cell(_written(start, end), f"tape:{start}:{end}"), Cell(""), Cell("")) for start, end in pairs)
    columns = tuple(ListColumn(head, share) for head, share in zip(words.FORM_TAPE_HEADS, (38, 22, 22), strict=True))
    return RuledList(title, columns, rows, f"tapes:{tag}", _ROW)


def edge_list(posts: int) -> RuledList:
    """Return rows for the deck edge of both sides, a few more than there are posts."""
    rows = tuple((Cell(str(k)), *[Cell("")] * 5) for k in range(1, posts + _MORE_EDGE_POINTS + 1))
    shares = (8, 32, 32, 32, 32, 32)
    columns = tuple(ListColumn(head, share) for head, share in zip(words.FORM_EDGE_HEADS, shares, strict=True))
    return RuledList(words.FORM_EDGE, columns, rows, "edge", _ROW)
