"""Placement of labels along a line without overlap."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise


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
