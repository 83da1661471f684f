"""A run under a point load on flexible posts: the tension falls as the posts deflect, so that they carry more push.

Posts are tubes fixed at the foot; a brace is rigid and the tube bends over it. The line slides freely in its holes,
is weightless, and the load stays with its point of the line; rail eyes are rigid, and all other lines keep their
tension at rest. The restraint of those other lines on a bending post is neglected, which is conservative for the
post.

The strain energy of line and posts is a convex function of the positions of the loaded point and of the supports,
so that damped Newton iteration always converges to its minimum; `kernels/bending_run.py` does it.
"""

from __future__ import annotations

from collections.abc import MutableSequence, Sequence
from dataclasses import dataclass

from geom.errors import CannotFinishError
from geom.mechanics.elastic_line import Line, PointLoad
from geom.mechanics.kernels import as_list, bending_run, floats, zeros
from geom.mechanics.post_flexibility import FlexibleSupport
from geom.vec import Vec


@dataclass(frozen=True)
class BendingRun:
    """A run on flexible posts: the line, its set tension [N], flexible supports by index of point, and a unit load.

    Weight and friction of the line are neglected.
    """

    line: Line
    tension: float
    supports: dict[int, FlexibleSupport]
    unit_load: PointLoad


def run_at_rest(line: Line, supports: dict[int, FlexibleSupport]) -> Sequence[float]:
    """Return the rows of a run at rest as its solver takes them.

    Args:
        line: the line.
        supports: flexible supports by index of the point.
    """
    rows: list[float] = []
    for at, point in enumerate(line.points):
        support = supports.get(at)
        rows += point
        if support is None:
            rows += (0.0,) * 8
        else:
            first, second = support.flexibility
            rows += (1.0 / first, 1.0 / second, *support.directions[0], *support.directions[1])
    return floats(rows)


def room_for(points: int) -> MutableSequence[float]:
    """Return room for the rows of a run of so many points and its load."""
    return zeros(bending_run.WIDTH * (points + 1))


def run_under(run: BendingRun, push: float, start: Vec) -> tuple[Vec, tuple[Vec, ...]]:
    """Return the position of the loaded point under a push [mm], and the force of the line on its fixed points [N].

    Args:
        run: the run with its unit load.
        push: magnitude of the point load [N].
        start: initial position of the loaded point [mm].

    Raises:
        CannotFinishError: the solver did not converge (a fault of the program).
    """
    line, load = run.line, run.unit_load
    bent = bending_run.bent_run(
        run_at_rest(line, run.supports), load.span, load.share, load.force, line.ea, run.tension, start,
        room_for(len(line.points)),
    )  # fmt: skip
    first, last, residual = bending_run.under(bent, 0.0, push)
    if residual > 0.0:
        raise CannotFinishError(f"the solver did not converge for a run on flexible posts: residual {residual:g} N")
    found = zeros(3 * len(line.points))
    bending_run.forces(bent, first, last, found)
    flat = as_list(found)
    return bending_run.place(bent, bent.loaded), tuple(zip(flat[::3], flat[1::3], flat[2::3], strict=True))
