"""The spans of a boat's stretches, as a refit has them."""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.fleet.respacing.stretches import Stretch, support_of
from geom.placement.placed import support_points
from geom.refit import Refit
from geom.units import Mm, Rad


@dataclass(frozen=True)
class SpanOfLayout:
    """A span between two supports of a line, from axis to axis or to the eye [mm]."""

    run: str
    from_: str
    to: str
    length: Mm


def spans_of(refit: Refit, found: tuple[Stretch, ...]) -> tuple[SpanOfLayout, ...]:
    """Return the spans of some stretches, line by line.

    Args:
        refit: the refit.
        found: the stretches.
    """
    posts = frozenset(refit.placed.posts)
    spans = []
    for stretch in found:
        for run in (refit.placed.runs[name] for name in stretch.runs):
            names = [support_of(name, posts) for name in (run.names[0], *run.spec.through, run.names[-1])]
            points = support_points(refit.placed, run)
            first, last = (names.index(name) for name in stretch.between)
            spans += [
                SpanOfLayout(run.id, names[at], names[at + 1], vec.distance(points[at], points[at + 1]))
                for at in range(first, last)
            ]
    return tuple(spans)


def largest_turn_of(refit: Refit, posts: tuple[str, ...]) -> tuple[Rad | None, str | None]:
    """Return the largest turn of a line in a hole of some posts [rad], and that hole; None without holes.

    Args:
        refit: the refit.
        posts: their ids.
    """
    turns = [
        (passage.turn, passage.hole.id)
        for run in refit.placed.runs.values()
        for passage in run.passages
        if passage.hole.post in posts
    ]
    return max(turns) if turns else (None, None)
