"""The push at which a post of a run yields or collapses: plain functions of floats and sequences.

Units: mm and N. Vectors stand one after the other, three components each.
"""

from __future__ import annotations

import math
from collections.abc import MutableSequence, Sequence
from typing import NamedTuple

from geom.mechanics.kernels import bending_run, pushed_line
from geom.mechanics.kernels.one_side import RestingLine

Floats = MutableSequence[float]

# Upper limit of searches for a force [N], far above any person.
MAX_FORCE = 1e6
# Relative tolerance of the last step to the push; a secant step leaves an error far smaller than itself.
_TOLERANCE = 1e-6
_STEPS = 60


class RunSections(NamedTuple):
    """The sections of the posts of a run, as `SectionMoments` describes them, one after the other.

    `still` has 2 floats a section, `strength` 7. The places of a section are `first[i]` to before `first[i + 1]`: index
    of the point in `point`, six floats in `by_force`.
    """

    still: Sequence[float]
    strength: Sequence[float]
    first: Sequence[int]
    point: Sequence[int]
    by_force: Sequence[float]


class Search(NamedTuple):
    """A search for the push of utilisation 1: the push to try, the bracket, the last try, and whether it is found."""

    push: float
    low: float
    high: float
    last: float
    at_last: float
    found: bool


# The push at a limit [N]; the section that reaches it; the place of the load there [mm]; the force out of balance where
# the solver did not converge, else zero [N]; whether it is found: not where no section reaches its limit under
# MAX_FORCE, or the search did not end. A plain tuple, as a compiled function takes long to return a named one.
Reached = tuple[float, int, tuple[float, float, float], float, bool]


def utilisation(sections: RunSections, forces: Sequence[float], yields: bool) -> tuple[float, int]:
    """Return the maximum utilisation of the sections, and the section that has it; `section_moments` describes both.

    Args:
        sections: of the posts of a run.
        forces: of the run on each of its points [N].
        yields: at the limit of yield, else at that of collapse.
    """
    worst, at_worst = -1.0, 0
    for row in range(len(sections.first) - 1):
        along, square = sections.still[2 * row], sections.still[2 * row + 1]
        for place in range(sections.first[row], sections.first[row + 1]):
            by, force = 6 * place, 3 * sections.point[place]
            x, y, z = forces[force], forces[force + 1], forces[force + 2]
            along += sections.by_force[by] * x + sections.by_force[by + 1] * y + sections.by_force[by + 2] * z
            square += sections.by_force[by + 3] * x + sections.by_force[by + 4] * y + sections.by_force[by + 5] * z
        along, square, strength = abs(along), abs(square), 7 * row
        if yields:
            fibre, neutral = along * sections.strength[strength], square * sections.strength[strength + 1]
            if neutral < fibre * sections.strength[strength + 4]:
                share = fibre * sections.strength[strength + 2] + neutral * sections.strength[strength + 3]
            else:
                share = math.sqrt(fibre * fibre + neutral * neutral)
        else:
            shifted, squares = along * sections.strength[strength + 6], along * along + square * square
            share = (shifted + math.sqrt(shifted * shifted + squares)) * sections.strength[strength + 5]
        if share > worst:
            worst, at_worst = share, row
    return worst, at_worst


def begin(first: float, at_rest: float) -> Search:
    """Return the start of a search.

    Args:
        first: initial push [N].
        at_rest: utilisation without a push.
    """
    return Search(max(first, 1.0), 0.0, math.inf, 0.0, at_rest, False)


def next_try(search: Search, share: float) -> Search:
    """Return a search after a try: a secant step, since utilisation is nearly linear in the push, inside the bracket.

    Args:
        search: so far.
        share: utilisation under its push.
    """
    push, low, high = search.push, search.low, search.high
    if share < 1.0:
        low = push
    else:
        high = push
    slope = (share - search.at_last) / (push - search.last) if push != search.last else 0.0
    new = push + (1.0 - share) / slope if slope > 0.0 else math.inf
    close = abs(new - push) <= _TOLERANCE * push
    if not close:
        if high == math.inf:
            new = min(max(new, (1.0 + _TOLERANCE) * push), 4.0 * push)
        elif not low < new < high:
            new = 0.5 * (low + high)
    return Search(new, low, high, push, share, close or high - low <= _TOLERANCE * low)


def rigid_push(
    line: RestingLine,
    slipping: RestingLine,
    has_friction: bool,
    span: int,
    share: float,
    direction: tuple[float, float, float],
    sections: RunSections,
    yields: bool,
    first: float,
    share_at_rest: float,
    tension: Floats,
    forces: Floats,
) -> Reached:
    """Return the push at which a section reaches its limit between rigid posts, by the worse of both lines.

    Friction lowers the tension at far posts and raises it at near ones: the worse case governs.

    Args:
        line: sliding freely.
        slipping: with its friction.
        has_friction: whether there is any.
        span: index of the loaded span.
        share: place of the load as a fraction of the span.
        direction: unit direction of the push.
        sections: of the posts.
        yields: at the limit of yield, else at that of collapse.
        first: initial push [N].
        share_at_rest: utilisation without a push.
        tension: room for the tensions of the spans.
        forces: room for the forces on the points.
    """
    search = begin(first, share_at_rest)
    free = pushed_line.case_of(line, span, share, direction)
    held = pushed_line.case_of(slipping, span, share, direction)
    sliding, holding = pushed_line.unpushed(line, free), pushed_line.unpushed(slipping, held)
    section, at, residual = 0, (0.0, 0.0, 0.0), 0.0
    for _ in range(_STEPS):
        sliding = pushed_line.under(line, free, search.push, sliding)
        pushed_line.forces(line, free, sliding, tension, forces)
        worst, section = utilisation(sections, forces, yields)
        residual = sliding.unbalanced
        if has_friction:
            holding = pushed_line.under(slipping, held, search.push, holding)
            pushed_line.forces(slipping, held, holding, tension, forces)
            other, other_section = utilisation(sections, forces, yields)
            residual = max(residual, holding.unbalanced)
            if other > worst:
                worst, section = other, other_section
        at = pushed_line.place(line, free, sliding)
        search = next_try(search, worst)
        if search.found or search.push > MAX_FORCE or residual > 0.0:
            break
    return search.push, section, at, residual, search.found


def rigid_pushes(
    line: RestingLine,
    slipping: RestingLine,
    has_friction: bool,
    span: int,
    share: float,
    direction: tuple[float, float, float],
    sections: RunSections,
    first: float,
    shares_at_rest: tuple[float, float],
    tension: Floats,
    forces: Floats,
) -> tuple[Reached, Reached]:
    """Return the pushes at yield and at collapse between rigid posts, both as `rigid_push` returns one.

    Args:
        line: as there, and so are the others.
        slipping: with its friction.
        has_friction: whether there is any.
        span: index of the loaded span.
        share: place of the load as a fraction of the span.
        direction: unit direction of the push.
        sections: of the posts.
        first: initial push [N].
        shares_at_rest: utilisation without a push, at yield and at collapse.
        tension: room for the tensions of the spans.
        forces: room for the forces on the points.
    """
    yields, collapses = shares_at_rest
    return (
        rigid_push(
            line, slipping, has_friction, span, share, direction, sections, True, first, yields, tension, forces
        ),
        rigid_push(
            line, slipping, has_friction, span, share, direction, sections, False, first, collapses, tension, forces
        ),
    )


def bending_push(
    at_rest: Sequence[float],
    span: int,
    share: float,
    direction: tuple[float, float, float],
    ea: float,
    tension: float,
    start: tuple[float, float, float],
    sections: RunSections,
    yields: bool,
    first: float,
    share_at_rest: float,
    rows: Floats,
    forces: Floats,
) -> Reached:
    """Return the push at which a section reaches its limit on flexible posts.

    Args:
        at_rest: rows of the run at rest, see `bending_run`.
        span: index of the loaded span.
        share: place of the load as a fraction of the span.
        direction: unit direction of the push.
        ea: axial stiffness of the line [N].
        tension: of the line at rest [N].
        start: initial position of the loaded point [mm].
        sections: of the posts.
        yields: at the limit of yield, else at that of collapse.
        first: initial push [N].
        share_at_rest: utilisation without a push.
        rows: room for the rows of the run.
        forces: room for the forces on the points.
    """
    run = bending_run.bent_run(at_rest, span, share, direction, ea, tension, start, rows)
    search, last = begin(first, share_at_rest), 0.0
    section, residual = 0, 0.0
    for _ in range(_STEPS):
        before, after, residual = bending_run.under(run, last, search.push)
        last = search.push
        bending_run.forces(run, before, after, forces)
        worst, section = utilisation(sections, forces, yields)
        search = next_try(search, worst)
        if search.found or search.push > MAX_FORCE or residual > 0.0:
            break
    return search.push, section, bending_run.place(run, run.loaded), residual, search.found
