"""A run in diagram: its ends and holes in order, which way it is threaded, which end is made where."""

from __future__ import annotations

from collections.abc import Iterator

from geom.drafting.line_text import made_where
from geom.drafting.symbols import eye_symbol
from geom.figure import Across, Hatch, Item, Line, Rect, Text
from geom.lettering import width as text_width
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, run_end
from geom.placement.place import end_name
from geom.refit import Refit
from geom.rigging.work import RunWork
from geom.sheets.aids.splice_strip import strips
from geom.sheets.line_sheets import threading_text as threading_words

_LETTERING = 2.5
_END_ROOM = 26.0
# From the top of a diagram to its line, with and without the arrow and the holes; to the first word under it [mm].
_LINE_DOWN, _LINE_DOWN_PLAIN, _UNDER = 15.0, 3.0, 6.0
_ROW = 4.0
_TUBE = 1.7


def height(refit: Refit, work: RunWork) -> float:
    """Return how tall a run's diagram stands [mm]."""
    holes = refit.placed.runs[work.run].passages
    rows = max(len(_end_words(refit, work, where)) for where in BOTH)
    return _UNDER + rows * _ROW + (_LINE_DOWN if holes else _LINE_DOWN_PLAIN)


def splice_number(refit: Refit, work: RunWork, where: Where) -> int | None:
    """Return the number of the splice sheet of an end, None where it is not spliced or on hold."""
    recipe, line = work.splices[where], refit.placed.runs[work.run].spec.line
    if recipe is None or work.refused:
        return None
    return next(strip.number for strip in strips(refit) if (strip.line, strip.recipe) == (line, recipe))


def _end_words(refit: Refit, work: RunWork, where: Where) -> list[tuple[str, str]]:
    """Return what stands under an end, each line with the key of its id."""
    stated = run_end(refit.placed.runs[work.run], where)
    found = [("at", end_name(stated)), ("end", stated.end)]
    number = splice_number(refit, work, where)
    if number is not None:
        found.append(("splice", threading_words.SPLICE.format(number=number)))
    return found if work.refused else [*found, ("made", made_where(work, where))]


def diagram(refit: Refit, work: RunWork, place: Rect) -> Iterator[Item]:
    """Yield a run's diagram, not to scale.

    Args:
        refit: the boat worked out.
        work: the run.
        place: where it stands [mm].
    """
    run, plan = refit.placed.runs[work.run], work.plan
    y = place.top - (_LINE_DOWN if run.passages else _LINE_DOWN_PLAIN)
    left, right = place.left + _END_ROOM, place.right - _END_ROOM
    holes = [passage.hole.id for passage in run.passages]
    places = [left + (right - left) * (index + 1) / (len(holes) + 1) for index in range(len(holes))]
    edges = [left, *(x + side for x in places for side in (-_TUBE - 0.8, _TUBE + 0.8)), right]
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        yield Line((start, y), (end, y), "HIDDEN" if work.refused else "OUTLINE", f"plan:{work.run}:line")
    order = holes if plan.direction == "aft" else holes[::-1]
    step = (right - left) / (len(holes) + 1)
    widest = max((text_width(hole, _LETTERING) for hole in holes), default=0.0)
    rows = 1 if widest + 2.0 <= step else 2
    slid = {item.hole for item in run.slide_on}
    for index, (hole, x) in enumerate(zip(holes, places, strict=True)):
        yield from _hole(x, y, hole in slid)
        number = str(order.index(hole) + 1)
        yield Text((x - 0.8, y + 5.6), number, _LETTERING, "TEXT", "right", tag=f"plan:{work.run}:order:{hole}")
        yield from eye_symbol((x + 1.6, y + 6.9), refit.placed.eye(hole).verdict)
        low = y - 8.0 - 4.0 * (index % rows)
        yield Text((x, low), hole, _LETTERING, "TEXT", "centre", tag=f"plan:{work.run}:hole:{hole}")
    for where, x, out in zip(BOTH, (left, right), (-1.0, 1.0), strict=True):
        yield from _end(refit, work, where == "start", x, y, out)
    if holes and not work.refused:
        yield from _direction(work, place, y)


def _hole(x: float, y: float, sleeve: bool) -> Iterator[Item]:
    """Return a tube cut at its hole, with a sleeve on the line where one belongs there."""
    for sign in (1.0, -1.0):
        for side in (-_TUBE, _TUBE):
            yield Line((x + side, y + sign * 1.4), (x + side, y + sign * 4.4), "POST")
        yield Line((x - _TUBE, y + sign * 1.4), (x + _TUBE, y + sign * 1.4), "THIN")
    if sleeve:
        box = ((x - 3.4, y - 0.7), (x + 3.4, y - 0.7), (x + 3.4, y + 0.7), (x - 3.4, y + 0.7))
        yield Hatch(box, "SYMBOL")
    else:
        yield Line((x - _TUBE - 0.8, y), (x + _TUBE + 0.8, y), "OUTLINE")


def _end(refit: Refit, work: RunWork, forward: bool, x: float, y: float, out: float) -> Iterator[Item]:
    """Return an end as a disc, filled where it is made in place, with its words beneath."""
    where = BOTH[0] if forward else BOTH[1]
    in_place = work.plan.in_place == where and not work.refused
    tip = x + out * 2.0
    ring = ((x, y - 1.6), (x, y + 1.6), (tip + out * 1.6, y + 1.6), (tip + out * 1.6, y - 1.6))
    if in_place:
        yield Hatch(ring, "SYMBOL", tag=f"plan:{work.run}:{where}")
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        yield Line(a, b, "HIDDEN" if work.refused else "OUTLINE")
    edge = x + out * _END_ROOM
    across: Across = "left" if forward else "right"
    for row, (key, line) in enumerate(_end_words(refit, work, where)):
        tag = f"plan:{work.run}:{where}:{key}"
        yield Text((edge, y - 8.0 - _ROW * row), line, _LETTERING, "NOTE" if key == "end" else "TEXT", across, tag=tag)


def _direction(work: RunWork, place: Rect, y: float) -> Iterator[Item]:
    """Return the arrow in whose direction the line is threaded, with its words."""
    sign = 1.0 if work.plan.direction == "aft" else -1.0
    middle = (place.left + place.right) / 2.0
    word = threading_words.THREAD[work.plan.direction]
    half = text_width(word, 3.5) / 2.0
    level = y + 12.4
    yield Text((middle, level - 1.6), word, 3.5, "TEXT", "centre", tag=f"plan:{work.run}:direction")
    start, tip = middle + sign * (half + 3.0), middle + sign * (half + 24.0)
    yield Line((start, level), (tip - sign * 4.5, level), "OUTLINE")
    yield Hatch(((tip, level), (tip - sign * 4.5, level + 1.6), (tip - sign * 4.5, level - 1.6)), "SYMBOL")
    yield Line((middle - sign * (half + 24.0), level), (middle - sign * (half + 3.0), level), "OUTLINE")
