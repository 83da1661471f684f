"""Check tapes and deck edge of the measuring form as lists to be filled in."""

from __future__ import annotations

from itertools import pairwise

from geom.boat.model import Level, Side
from geom.drafting import text as words
from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.intake.survey.closure import foot_name

_ROW = 9.0
_MORE_EDGE_POINTS = 6


def post_name(side: Side, number: int) -> str:
    """Return the id of a post by its number from forward."""
    return f"{side}-S{number}"


def side_lists(side: Side, posts: int, levels: tuple[Level, ...]) -> tuple[RuledList, ...]:
    """Return the tapes along each line of a side.

    Args:
        side: of the boat.
        posts: number of posts.
        levels: of the lines.
    """
    word = words.SIDE[side]
    lists = []
    for level in levels:
        points = [f"{side}-PULPIT-{level}", *(f"{post_name(side, k)}-{level}" for k in range(1, posts + 1))]
        points.append(f"{side}-PUSHPIT-{level}")
        title = words.FORM_ALONG.format(side=word, level=words.LEVEL[level])
        lists.append(_tapes(title, list(pairwise(points)), f"along:{side}-{level}"))
    return tuple(lists)


def baseline_list() -> RuledList:
    """Return the tapes between the marks on the centreline, which everything else hangs on."""
    return _tapes(words.FORM_BASELINE, list(_BASELINE), "baseline")


def across_lists(posts: int, levels: tuple[Level, ...]) -> tuple[RuledList, tuple[RuledList, ...]]:
    """Return the tapes from side to side, and the diagonals, none with a single post."""
    level = levels[0]
    names = ["PULPIT", *(f"S{k}" for k in range(1, posts + 1)), "PUSHPIT"]
    across = [(f"S-{name}-{level}", f"P-{name}-{level}") for name in names]
    feet = [
        (foot_name(post_name(here, a)), foot_name(post_name(there, b)))
        for a, b in pairwise(range(1, posts + 1))
        for here, there in _CROSSED
    ]
    diagonals = (_tapes(words.FORM_DIAGONAL, feet, "diagonal"),) if feet else ()
    return _tapes(words.FORM_ACROSS, across, "across"), diagonals


_CROSSED: tuple[tuple[Side, Side], ...] = (("S", "P"), ("P", "S"))


_BASELINE = (("stem", "mast mark"), ("mast mark", "stern mark"), ("stem", "stern mark"))


def _short(start: str, end: str) -> str:
    """Return a tape as the short form of a survey has it: `S1: S2 U-U`."""
    if "-" not in start:
        return words.FORM_TAPE.format(start=start, end=end)
    (here, near), (there, far) = start.rsplit("-", 1), end.rsplit("-", 1)
    other = there if here[0] != there[0] else there[2:]
    return words.FORM_SHORT.format(here=here, other=other, near=_word(near), far=_word(far))


def _word(point: str) -> str:
    return "foot" if point == "FOOT" else point


def _tapes(title: str, pairs: list[tuple[str, str]], tag: str) -> RuledList:
    rows = tuple((Cell(_short(start, end), f"tape:{start}:{end}"), Cell(""), Cell("")) for start, end in pairs)
    columns = tuple(ListColumn(head, share) for head, share in zip(words.FORM_TAPE_HEADS, (38, 22, 22), strict=True))
    return RuledList(title, columns, rows, f"tapes:{tag}", _ROW)


def edge_list(posts: int) -> RuledList:
    """Return rows for the deck edge of both sides, a few more than there are posts."""
    rows = tuple((Cell(str(k)), *[Cell("")] * 5) for k in range(1, posts + _MORE_EDGE_POINTS + 1))
    shares = (8, 32, 32, 32, 32, 32)
    columns = tuple(ListColumn(head, share) for head, share in zip(words.FORM_EDGE_HEADS, shares, strict=True))
    return RuledList(words.FORM_EDGE, columns, rows, "edge", _ROW)
