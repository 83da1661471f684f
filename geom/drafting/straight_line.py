"""A line drawn straight with breaks: the pieces shown, their scale and position on paper."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from geom.errors import GeometryError

# Scales of ISO 5455 for a piece of line, the largest first.
SCALES = (2, 5, 10, 20, 50, 100)
# Paper beyond the outer marks of a piece, and the break between two pieces [mm].
_PAD = 8.0
BREAK = 6.0
_LABEL = 4.3
# Overhang of the text of an end beyond its mark [mm].
_BEFORE = 2.0


@dataclass(frozen=True)
class Spot:
    """A mark along the line: its station [mm], the word beside its number, its id.

    Neighbours of one `part` are in one piece, at any distance. `room` is the width of the text under it
    [paper mm]: centred, or starting (`edge` -1) or ending (+1) under the mark; with `outward` the other way round.
    """

    at: float
    word: str
    tag: str
    part: str
    room: float = 0.0
    edge: int = 0
    outward: bool = False


@dataclass(frozen=True)
class Piece:
    """One piece of the line: its marks, first and last station shown [mm], edges of its window on paper [mm]."""

    spots: tuple[Spot, ...]
    low: float
    high: float
    left: float
    right: float


@dataclass(frozen=True)
class Straight:
    """The pieces of a line on paper; one paper mm is `mm` along the line."""

    mm: int
    pieces: tuple[Piece, ...]

    @property
    def broken(self) -> bool:
        """Whether parts of the line are left out."""
        return len(self.pieces) > 1


def words_left(piece: Piece, spot: Spot, mm: int) -> float:
    """Return the left end of the text under a mark, moved inside its piece [paper mm].

    Args:
        piece: the piece of line.
        spot: the mark.
        mm: line millimetres to a paper millimetre.
    """
    x = piece.left + (spot.at - piece.low) / mm
    if not spot.edge:
        return x - spot.room / 2.0
    left = x - _BEFORE if (spot.edge < 0) is not spot.outward else x + _BEFORE - spot.room
    return max(min(left, piece.right - spot.room), piece.left)


def straighten(
    spots: Sequence[Spot], left: float, width: float, label: float = _LABEL, scales: Sequence[int] = SCALES
) -> Straight:
    """Return the line at the largest scale, and in the fewest pieces, that fits a width.

    Args:
        spots: in order along the line.
        left: left edge on paper [mm].
        width: available width [mm].
        label: space of the number of each mark along the line [paper mm].
        scales: millimetres along the line to a paper millimetre, in the order in which they are tried.

    Raises:
        GeometryError: it does not fit at any scale.
    """
    for mm in scales:
        groups = _groups(spots, mm, label)
        widths = [_wide(group, mm, label) for group in groups]
        spare = width - math.fsum(widths) - BREAK * (len(groups) - 1)
        if spare < 0.0:
            continue
        pieces = _placed(groups, widths, spare, mm, left)
        if _words_apart(pieces, mm):
            return Straight(mm, pieces)
    raise GeometryError(f"a line of {len(spots)} marks does not go into {width:.0f} mm")


def _words_apart(pieces: Sequence[Piece], mm: int) -> bool:
    """Return whether the texts under the pieces are clear of each other."""
    taken = []
    for piece in pieces:
        for spot in piece.spots:
            if spot.room:
                left = words_left(piece, spot, mm)
                taken.append((left, left + spot.room))
    taken.sort()
    return all(a[1] <= b[0] for a, b in pairwise(taken))


def _wide(group: Sequence[Spot], mm: int, label: float) -> float:
    return max(_own(group, mm) + 2.0 * _PAD, len(group) * label + 3.0, *(spot.room for spot in group))


def _own(group: Sequence[Spot], mm: int) -> float:
    return (group[-1].at - group[0].at) / mm


def _beyond(group: Sequence[Spot], mm: int, label: float) -> float:
    return (_wide(group, mm, label) - _own(group, mm)) / 2.0


def _groups(spots: Sequence[Spot], mm: int, label: float) -> list[list[Spot]]:
    """Return the marks grouped into pieces with room for a break between each other."""
    groups = [list(group) for _, group in groupby(spots, key=lambda spot: spot.part)]
    joined = True
    while joined:
        joined = False
        for index in range(len(groups) - 1):
            a, b = groups[index], groups[index + 1]
            if (b[0].at - a[-1].at) / mm < _beyond(a, mm, label) + _beyond(b, mm, label) + BREAK:
                groups[index : index + 2] = [[*a, *b]]
                joined = True
                break
    return groups


def _placed(groups: list[list[Spot]], widths: list[float], spare: float, mm: int, left: float) -> tuple[Piece, ...]:
    """Return the pieces side by side, the spare width divided between the breaks."""
    placed = []
    sides = 2.0 * len(groups)
    x = left
    for index, (group, wide) in enumerate(zip(groups, widths, strict=True)):
        beyond = (wide - _own(group, mm)) / 2.0
        room = [spare / sides, spare / sides]
        for side, other in ((0, index - 1), (1, index + 1)):
            if 0 <= other < len(groups):
                gap = group[0].at - groups[other][-1].at if side == 0 else groups[other][0].at - group[-1].at
                free = gap / mm - beyond - (widths[other] - _own(groups[other], mm)) / 2.0 - BREAK
                room[side] = min(room[side], 0.45 * max(free, 0.0))
        low, high = group[0].at - (beyond + room[0]) * mm, group[-1].at + (beyond + room[1]) * mm
        right = x + (high - low) / mm
        placed.append(Piece(tuple(group), low, high, x, right))
        x = right + BREAK
    # The rest of the spare width is divided between both sides.
    aside = (left + math.fsum(widths) + spare + BREAK * (len(groups) - 1) - placed[-1].right) / 2.0
    return tuple(Piece(p.spots, p.low, p.high, p.left + aside, p.right + aside) for p in placed)


def spread(wanted: Sequence[float], widths: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Return centres as close as possible to the preferred ones, in the same order, without overlap.

    Neighbours that would overlap form a group placed at the mean of its preferred positions; the row is
    then moved inside its limits.

    Args:
        wanted: preferred centres, in ascending order [mm].
        widths: widths of the labels [mm].
        gap: smallest space between two labels [mm].
        low: left limit [mm].
        high: right limit [mm].
    """
    offsets = [0.0]
    for before, after in pairwise(widths):
        offsets.append(offsets[-1] + (before + after) / 2.0 + gap)
    groups: list[list[float]] = []
    for centre, offset in zip(wanted, offsets, strict=False):
        groups.append([centre - offset, 1.0])
        while len(groups) > 1 and groups[-2][0] > groups[-1][0]:
            (last, many), (first, few) = groups.pop(), groups.pop()
            groups.append([(first * few + last * many) / (few + many), few + many])
    starts = [group[0] for group in groups for _ in range(int(group[1]))]
    if not starts:
        return []
    floor, ceiling = low + widths[0] / 2.0, high - widths[-1] / 2.0 - offsets[-1]
    return [min(max(start, floor), max(ceiling, floor)) + offset for start, offset in zip(starts, offsets, strict=True)]
