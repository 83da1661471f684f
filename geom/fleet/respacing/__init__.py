"""Places for the stanchions of a boat between pulpit, gates and pushpit: up to three layouts, each as a boat file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from geom.boat.base import Side, side_of
from geom.boat.file import read_boat
from geom.errors import CannotFinishError, Fault, InputError
from geom.fleet.respacing.layout import LayoutPost, written_layout
from geom.fleet.respacing.solve import Problem, evenest, farthest_reached, fewest, least_turned, span_lengths
from geom.fleet.respacing.spans import SpanOfLayout, largest_turn_of, spans_of
from geom.fleet.respacing.stretches import (
    FixedPost,
    Pattern,
    Stretch,
    fixed_posts,
    pattern_of,
    problem_of,
    room_of,
    spacing_limit,
    stretches,
)
from geom.refit import Refit, refit
from geom.remark import Remark
from geom.rules.finding import Finding
from geom.units import ROUNDING, Rad

# The stretches whose posts stand at the same stations, one a side.
Group = tuple[Stretch, ...]


@dataclass(frozen=True)
class Request:
    """How posts are to be placed: on which side, both alike or not, grade of the spans, further fixed posts, pattern.

    `grade` is the ratio of each span to the one forward of it, 1 for equal spans.
    """

    side: Side | None = None
    alike: bool = False
    grade: float = 1.0
    fixed: tuple[str, ...] = ()
    like: str | None = None


@dataclass(frozen=True)
class Layout:
    """A layout of the posts: what it is best at, its boat file, its posts and spans, what it takes out of the file.

    `turn` is the largest turn in a hole of a placed post, `turn_at` that hole; both None without holes.
    """

    best: Remark
    data: bytes
    refit: Refit
    posts: tuple[LayoutPost, ...]
    spans: tuple[SpanOfLayout, ...]
    turn: Rad | None
    turn_at: str | None
    posts_out: tuple[str, ...]
    tapes_out: tuple[str, ...]
    trials_out: tuple[str, ...]

    @property
    def widest(self) -> SpanOfLayout:
        """The widest span."""
        return max(self.spans, key=lambda one: one.length)

    @property
    def narrowest(self) -> SpanOfLayout:
        """The narrowest span."""
        return min(self.spans, key=lambda one: one.length)


@dataclass(frozen=True)
class Respacing:
    """Layouts of a boat's posts, the best first, with the limit that they keep and what they rest on."""

    refit: Refit
    limit: Finding
    fixed: tuple[FixedPost, ...]
    assumes: tuple[Remark, ...]
    layouts: tuple[Layout, ...]


def respace(before: Refit, data: bytes, request: Request) -> Respacing:
    """Return up to three layouts: fewest posts with the evenest spans, with the least turn, and one post more.

    Args:
        before: the refit of the boat file.
        data: the bytes of the boat file.
        request: how posts are to be placed.

    Raises:
        InputError: no layout keeps the limit, or the file does not say enough to place posts.
        CannotFinishError: a layout does not pass the check of its spans.
    """
    fixed = fixed_posts(before, request.fixed)
    found = stretches(before, fixed, _sides(before, request))
    if not found:
        fault = Fault("no stretch between supports in which posts may be placed", "spacing", valid="posts not fixed")
        raise InputError(before.loaded.source, [fault])
    groups = _groups(before, found, request.alike)
    limit = spacing_limit(before, tuple(run for one in found for run in one.runs))
    assert limit.limit is not None
    patterns = {
        side: pattern_of(before, side, frozenset(before.placed.runs[run].level for one in found if one.side == side
                                                 for run in one.runs), request.like)
        for side in dict.fromkeys(one.side for one in found)
    }  # fmt: skip
    problems = {group: problem_of(before, group, patterns, limit.limit, request.grade) for group in groups}
    layouts: list[Layout] = []
    for best, chosen in _choices(before, problems, limit):
        written = written_layout(before, data, chosen, patterns)
        after = refit(read_boat(written.data, before.loaded.source))
        found_spans = spans_of(after, found)
        turn, turn_at = largest_turn_of(after, tuple(one.id for one in written.posts))
        layouts.append(
            Layout(best, written.data, after, written.posts, found_spans, turn, turn_at,
                   written.posts_out, written.tapes_out, written.trials_out)
        )  # fmt: skip
        if layouts[-1].widest.length > limit.limit + ROUNDING:
            raise CannotFinishError(f"a layout has a span of {layouts[-1].widest.length:.2f} mm, over its limit")
    stays = tuple(one for one in fixed if side_of(one.post) in patterns)
    return Respacing(before, limit, stays, tuple(_assumed(before, patterns)), tuple(layouts))


def _sides(before: Refit, request: Request) -> tuple[Side, ...]:
    """Return the sides whose posts are placed: one, or all that the file gives."""
    given = tuple(dict.fromkeys(run.side for run in before.loaded.given.runs if run.side != "C"))
    if request.side is None:
        return given
    if request.side not in given:
        raise InputError(
            "arguments", [Fault("no such side in the boat file", "--side", read=request.side, valid=", ".join(given))]
        )
    if request.alike:
        raise InputError("arguments", [Fault("of one side alone", "--alike", valid="without --side")])
    return (request.side,)


def _groups(before: Refit, found: tuple[Stretch, ...], alike: bool) -> tuple[Group, ...]:
    """Return the stretches by themselves, or those of both sides in pairs."""
    if not alike or before.loaded.mirrored_from is not None:
        return tuple((one,) for one in found)
    groups: dict[tuple[str, ...], list[Stretch]] = {}
    for one in found:
        key = (one.side[1:], *(name.partition("-")[2] for name in one.between))
        groups.setdefault(key, []).append(one)
    alone = [one for group in groups.values() if len(group) != 2 for one in group]
    if alone:
        names = ", ".join(f"{one.between[0]} to {one.between[1]}" for one in alone)
        fault = Fault("this stretch is on one side only", "--alike", read=names, valid="each side by itself")
        raise InputError(before.loaded.source, [fault])
    return tuple(tuple(group) for group in groups.values())


def _choices(
    before: Refit, problems: Mapping[Group, Problem], limit: Finding
) -> list[tuple[Remark, dict[Stretch, tuple[float, ...]]]]:
    """Return the layouts that differ, each with what it is best at."""
    counts = {group: _fewest(before, group, problem, limit) for group, problem in problems.items()}
    even = {group: evenest(problem, counts[group]) for group, problem in problems.items()}
    turned = {
        group: least_turned(problem, counts[group]) if counts[group] else () for group, problem in problems.items()
    }
    one_more = dict(even)
    by_span = sorted(problems, key=lambda group: -float(span_lengths(problems[group], even[group] or ()).max()))
    for group in by_span:
        more = evenest(problems[group], counts[group] + 1)
        if more is not None:
            one_more[group] = more
            break
    found: list[tuple[Remark, dict[Stretch, tuple[float, ...]]]] = []
    for code, one in (("respace.evenest", even), ("respace.least_turn", turned), ("respace.one_more", one_more)):
        stations = {
            stretch: tuple(float(problems[group].stations[index]) for index in indexes or ())
            for group, indexes in one.items()
            for stretch in group
        }
        if all(stations != other for _, other in found):
            found.append((Remark(code), stations))
    return found


def _fewest(before: Refit, group: Group, problem: Problem, limit: Finding) -> int:
    count = fewest(problem)
    if count is not None:
        return count
    at = farthest_reached(problem)
    names = " and ".join(f"{one.between[0]} to {one.between[1]}" for one in group)
    reached = "the first post has no place" if at is None else f"posts reach X {at:.0f} mm and no farther"
    fault = Fault(
        f"{names}: no stations keep spans within {limit.limit:.1f} mm ({limit.document}, {limit.clause}); {reached}",
        "spacing.barred",
        valid="shorter barred stretches, or other fixed posts",
    )
    raise InputError(before.loaded.source, [fault])


def _assumed(before: Refit, patterns: Mapping[Side, Pattern]) -> list[Remark]:
    """Return what layouts rest on that the file does not state."""
    found = [Remark("respace.edge_straight")]
    for side, pattern in patterns.items():
        found.append(
            Remark("respace.pattern", side=side, post=pattern.post.id, lean_rad=pattern.post.lean,
                   rake_rad=pattern.post.rake, inboard_mm=pattern.inboard)
        )  # fmt: skip
        code = "respace.room_of_plate" if pattern.post.base in before.boat.bases else "respace.room_of_tube"
        found.append(Remark(code, side=side, room_mm=2.0 * room_of(before, pattern)))
    return [*found, Remark("respace.falls_between"), Remark("respace.measure_first")]
