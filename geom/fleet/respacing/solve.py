"""Stations of the posts of one stretch: fewest posts, then evenest spans, then least turn in their holes.

A post farther aft is farther from all that stands forward of it, as the deck edge of a stretch turns by less than a
right angle. So a station can be reached if it can be from the nearest station that the post before may have, and which
stations each post may have is found post by post, from forward and from aft.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indexes = NDArray[np.intp]

# Spans that differ by no more are as even as each other; a tape is read to a millimetre [mm].
_EVEN = 0.5
# Smallest span of a layout of least turn, of the mean: common practice, no source.
_LEAST_SHARE = 0.5
_LAST_DIGIT = 1e-9
# Accuracy to which the smallest largest span is found [mm].
_CLOSE = 1e-3
# Largest number of stations of a post compared for spans, and for turns, where three posts are compared at a time.
_MOST, _MOST_TURNED = 1500, 48
# Number of refinements of the stations around a layout of least turn.
_CLOSER = 3


@dataclass(frozen=True)
class Course:
    """One line of a stretch: where its supports at both ends are, and its hole at each station [mm].

    `start` and `end` are of shape (3), `holes` of shape (stations, 3).
    """

    start: Array
    end: Array
    holes: Array


@dataclass(frozen=True)
class Problem:
    """Stations where a post may stand in a stretch, each with the holes of all lines.

    `stations` are X of feet, ascending [mm], shape (stations); `apart` is the smallest distance between neighbouring
    feet along X [mm], `limit` the largest span [mm], `grade` the ratio of each span to the one forward of it.
    """

    stations: Array
    courses: tuple[Course, ...]
    limit: float
    apart: float
    grade: float = 1.0

    def shares(self, posts: int) -> Array:
        """Return the share of each span with so many posts, 1 on average."""
        steps = self.grade ** np.arange(posts + 1)
        return np.asarray(steps * (posts + 1) / steps.sum())

    def places(self, index: int | None, course: Course) -> Array:
        """Return the hole of a course at a station, the support where its stretch begins for None."""
        return course.start if index is None else course.holes[index]

    def to_stations(self, index: int | None) -> Array:
        """Return the longest line from a station, or from the start, to each station [mm]."""
        found = [np.linalg.norm(one.holes - self.places(index, one), axis=1) for one in self.courses]
        return np.asarray(np.max(found, axis=0))

    def to_end(self) -> Array:
        """Return the longest line from each station to the end [mm]."""
        return np.asarray(np.max([np.linalg.norm(one.holes - one.end, axis=1) for one in self.courses], axis=0))

    def without_posts(self) -> float:
        """Return the longest line from start to end [mm]."""
        return float(max(np.linalg.norm(one.end - one.start) for one in self.courses))


def fewest(problem: Problem) -> int | None:
    """Return the fewest posts that keep every span within the limit; None where no number does.

    Args:
        problem: the stretch.
    """
    if problem.without_posts() <= problem.limit:
        return 0
    near = problem.to_end() <= problem.limit
    for posts, reached in enumerate(_farther(problem), start=1):
        if near[reached].any():
            return posts
    return None


def farthest_reached(problem: Problem) -> float | None:
    """Return how far aft posts within the limit get where they do not get to the end [mm].

    Args:
        problem: the stretch.

    Returns:
        X of the last foot; None where not even the first can be placed.
    """
    return max((float(problem.stations[reached[-1]]) for reached in _farther(problem)), default=None)


def _farther(problem: Problem) -> Iterator[Indexes]:
    """Yield the stations of the first, the second and further posts within the limit, while they get farther aft."""
    reached, last = np.flatnonzero(problem.to_stations(None) <= problem.limit), -1
    while len(reached) and reached[-1] > last:
        yield reached
        reached, last = _reached(problem, reached, problem.limit), int(reached[-1])


def _reached(problem: Problem, before: Indexes, bound: float) -> Indexes:
    """Return the stations that a post can have, from those of the post before it."""
    nearest = np.searchsorted(problem.stations[before], problem.stations - problem.apart, side="right") - 1
    return _within(problem, before, nearest, nearest >= 0, bound)


def _reached_back(problem: Problem, after: Indexes, bound: float) -> Indexes:
    """Return the stations that a post can have, from those of the post after it."""
    nearest = np.searchsorted(problem.stations[after], problem.stations + problem.apart, side="left")
    return _within(problem, after, nearest, nearest < len(after), bound)


def _within(problem: Problem, others: Indexes, nearest: Indexes, has: NDArray[np.bool_], bound: float) -> Indexes:
    """Return the stations that have one among the others near them, within a bound of it."""
    if not len(others):
        return others
    near = others[np.clip(nearest, 0, len(others) - 1)]
    lengths = np.max([np.linalg.norm(one.holes - one.holes[near], axis=1) for one in problem.courses], axis=0)
    return np.flatnonzero(has & (lengths <= bound))


def evenest(problem: Problem, posts: int) -> tuple[int, ...] | None:
    """Return the stations with the smallest largest span, of these the evenest, of these the least turn.

    Spans are compared by their shares; two layouts whose spans differ by half a millimetre are as even as each other.

    Args:
        problem: the stretch.
        posts: how many.

    Returns:
        The indexes of the stations from forward to aft; None where the limit cannot be kept.
    """
    if posts == 0:
        return () if problem.without_posts() <= problem.limit else None
    shares = problem.shares(posts)
    low, high = 0.0, problem.limit / float(shares.min())
    if _windows(problem, _bounds(problem, shares, high)) is None:
        return None
    while high - low > _CLOSE:
        middle = 0.5 * (low + high)
        if _windows(problem, _bounds(problem, shares, middle)) is None:
            low = middle
        else:
            high = middle
    bounds = _bounds(problem, shares, high + _EVEN)
    windows = _windows(problem, bounds)
    assert windows is not None
    edges = _edges(problem, [_thinned(one, _MOST) for one in windows], bounds)
    return _least_turn(problem, _as_even(edges, shares))


def least_turned(problem: Problem, posts: int) -> tuple[int, ...] | None:
    """Return the stations with the smallest largest turn in the holes, no span under half the mean.

    Where the evenest layout has a narrower span than that, none is narrower than its own. Stations are first compared
    some centimetres apart, then ever closer around the best.

    Args:
        problem: the stretch.
        posts: how many, one at least.

    Returns:
        The indexes of the stations from forward to aft; None where the limit cannot be kept.
    """
    even = evenest(problem, posts)
    if even is None:
        return None
    own = span_lengths(problem, even)
    least = min(_LEAST_SHARE * float(np.mean(own)), float(own.min()))
    bounds = np.full(posts + 1, problem.limit)
    every = _windows(problem, bounds)
    assert every is not None
    windows, best = every, even
    for _ in range(_CLOSER):
        thinned = [
            np.union1d(_thinned(window, _MOST_TURNED), [kept, other])
            for window, kept, other in zip(windows, even, best, strict=True)
        ]
        best = _least_turn(problem, _edges(problem, thinned, bounds, least))
        around = []
        for window, whole, chosen in zip(thinned, every, best, strict=True):
            at = int(np.searchsorted(window, chosen))
            first, last = window[max(at - 1, 0)], window[min(at + 1, len(window) - 1)]
            around.append(whole[(whole >= first) & (whole <= last)])
        windows = around
    return best


def span_lengths(problem: Problem, chosen: tuple[int, ...]) -> Array:
    """Return the spans of a layout, each the longest of its lines [mm].

    Args:
        problem: the stretch.
        chosen: indexes of its stations.
    """
    courses = [np.vstack([one.start, one.holes[list(chosen)], one.end]) for one in problem.courses]
    return np.asarray(np.max([np.linalg.norm(np.diff(one, axis=0), axis=1) for one in courses], axis=0))


@dataclass(frozen=True)
class _Edges:
    """Stations of each post, and the span between those of neighbouring posts: infinite where it is not allowed.

    The first and the last of `spans` are of the stretch's ends, of shapes (1, stations) and (stations, 1).
    """

    windows: list[Indexes]
    spans: list[Array]


def _bounds(problem: Problem, shares: Array, largest: float) -> Array:
    return np.minimum(problem.limit, largest * shares)


def _windows(problem: Problem, bounds: Array) -> list[Indexes] | None:
    """Return the stations that each post can have with spans within bounds; None where there is no layout."""
    forward = [np.flatnonzero(problem.to_stations(None) <= bounds[0])]
    for bound in bounds[1:-1]:
        forward.append(_reached(problem, forward[-1], bound))
    back = [np.flatnonzero(problem.to_end() <= bounds[-1])]
    for bound in bounds[-2:0:-1]:
        back.insert(0, _reached_back(problem, back[0], bound))
    windows = [np.intersect1d(a, b) for a, b in zip(forward, back, strict=True)]
    return windows if all(map(len, windows)) else None


def _thinned(window: Indexes, most: int) -> Indexes:
    """Return some stations of a window, its ends among them."""
    if len(window) <= most:
        return window
    steps: Indexes = np.unique(np.round(np.linspace(0, len(window) - 1, most)).astype(np.intp))
    return window[steps]


def _edges(problem: Problem, windows: list[Indexes], bounds: Array, least: float = 0.0) -> _Edges:
    lengths = [problem.to_stations(None)[windows[0]][None, :]]
    for before, after in pairwise(windows):
        found: Array | None = None
        for course in problem.courses:
            apart = course.holes[before][:, None, :] - course.holes[after][None, :, :]
            length = np.sqrt(np.einsum("ijk,ijk->ij", apart, apart))
            found = length if found is None else np.maximum(found, length)
        assert found is not None
        close = problem.stations[after][None, :] - problem.stations[before][:, None] < problem.apart
        lengths.append(np.where(close, np.inf, found))
    lengths.append(problem.to_end()[windows[-1]][:, None])
    # Arithmetic of the lengths here and elsewhere may differ in the last digit.
    kept = [
        np.where((one > bound + _LAST_DIGIT) | (one < least - _LAST_DIGIT), np.inf, one)
        for one, bound in zip(lengths, bounds, strict=True)
    ]
    return _Edges(windows, kept)


def _as_even(edges: _Edges, shares: Array) -> _Edges:
    """Return the stations and spans of the layouts that are as even as the evenest."""
    costs = [(one / share) ** 2 for one, share in zip(edges.spans, shares, strict=True)]
    before, after = [np.zeros(1)], [np.zeros(1)]
    for cost in costs:
        before.append(np.min(before[-1][:, None] + cost, axis=0))
    for cost in reversed(costs):
        after.insert(0, np.min(cost + after[0][None, :], axis=1))
    best = float(before[-1][0])
    allowed = (np.sqrt(best / len(costs)) + _EVEN) ** 2 * len(costs)
    through = [
        one[:, None] + cost + other[None, :] for one, cost, other in zip(before[:-1], costs, after[1:], strict=True)
    ]
    kept = []
    for post in range(len(edges.windows)):
        total = before[post + 1] + after[post + 1]
        near = np.flatnonzero(total <= allowed)
        kept.append(np.union1d(near[_thinned(np.arange(len(near)), _MOST_TURNED)], [int(np.argmin(total))]))
    rows = [np.zeros(1, dtype=np.intp), *kept]
    columns = [*kept, np.zeros(1, dtype=np.intp)]
    kept_spans = [
        np.where(total > allowed, np.inf, one)[np.ix_(row, column)]
        for one, total, row, column in zip(edges.spans, through, rows, columns, strict=True)
    ]
    return _Edges([window[one] for window, one in zip(edges.windows, kept, strict=True)], kept_spans)


def _least_turn(problem: Problem, edges: _Edges) -> tuple[int, ...]:
    """Return the layout with the smallest largest turn."""
    ends = np.zeros(1, dtype=np.intp)
    windows = [ends, *edges.windows, ends]
    largest = np.where(np.isfinite(edges.spans[0]), 0.0, np.inf)
    came: list[Indexes] = []
    for post in range(1, len(windows) - 1):
        turns = _turns(problem, windows, post)
        turned = np.maximum(largest[:, :, None], turns)
        turned = np.where(np.isfinite(edges.spans[post])[None, :, :], turned, np.inf)
        came.append(np.argmin(turned, axis=0))
        largest = np.min(turned, axis=0)
    at, after = int(np.argmin(largest[:, 0])), 0
    chosen = [at]
    for back in reversed(came[1:]):
        at, after = int(back[at, after]), at
        chosen.insert(0, at)
    return tuple(int(window[one]) for window, one in zip(edges.windows, chosen, strict=True))


def _turns(problem: Problem, windows: list[Indexes], post: int) -> Array:
    """Return the largest turn at a post by its station and those before and after it [rad]."""
    found: Any = 0.0
    for course in problem.courses:
        before, here, after = (
            course.start[None, :] if at == 0 else course.end[None, :] if at == len(windows) - 1
            else course.holes[windows[at]]
            for at in (post - 1, post, post + 1)
        )  # fmt: skip
        incoming = here[None, :, :] - before[:, None, :]
        outgoing = after[None, :, :] - here[:, None, :]
        dots = np.einsum("abk,bck->abc", incoming, outgoing)
        crossed = np.cross(incoming[:, :, None, :], outgoing[None, :, :, :])
        found = np.maximum(found, np.arctan2(np.linalg.norm(crossed, axis=3), dots))
    # Of turns that differ by less, the machine's arithmetic would decide.
    return np.asarray(np.round(found, 9))


def largest_turn(problem: Problem, chosen: tuple[int, ...]) -> float:
    """Return the largest turn in the holes of a layout [rad].

    Args:
        problem: the stretch.
        chosen: indexes of its stations.
    """
    windows = [np.zeros(1, dtype=np.intp), *(np.array([one]) for one in chosen), np.zeros(1, dtype=np.intp)]
    return max((float(_turns(problem, windows, post)[0, 0, 0]) for post in range(1, len(chosen) + 1)), default=0.0)
