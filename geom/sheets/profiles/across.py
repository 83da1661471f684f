"""Lines across the boat, seen from aft: spans, and heights over the deck edge at their supports."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from geom.boat.model import LEVELS, Across
from geom.drafting import plan_text as plan_words
from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.plan_notes import survey_tolerance
from geom.drafting.rail_lines import rail_axis
from geom.drafting.sheet import FOOT, GAP, Draft, field, full_width_above
from geom.drafting.title_block import BLOCK_WIDTH
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Circle, Dimension, Item, Line, Point, Polyline, Rect, Text, View
from geom.placement.heights import under
from geom.placement.place import PlacedRun
from geom.refit import Refit
from geom.sheets.deck_plan.plan import beside
from geom.tables import numbers
from geom.vec import Vec

_SCALES = (5, 10, 20, 50)
_PLACES: tuple[Across, ...] = ("bow", "deck", "stern")
# A rail is drawn where it is this near to the lines fore and aft [mm].
_NEAR = 900.0
# Room over the lines for a row of dimensions for each level, beside them for names and heights, below [paper mm].
_ROW, _OVER, _BESIDE, _BELOW, _TITLE = 8.0, 8.0, 46.0, 8.0, 9.0
_COLUMN, _FIRST = 8.0, 10.0
# Least height on paper for a dimension with its number [mm].
_TALL = 11.0
# Between two lines with the name of an end under the upper one [paper mm].
_NAMED = 5.6
_HOLLOW = 0.65


def lines_across(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheet of the lines across the boat, none where there are none.

    Raises:
        GeometryError: no sheet holds them.
    """
    groups = {place: _runs(refit, place) for place in _PLACES if _runs(refit, place)}
    if not groups:
        return ()
    # Lines too close together for names between them at any scale go without that room.
    for apart_by in (_NAMED, 0.0):
        for paper in papers(refit.boat.drawing.sheets, minimum=1):
            for mm in _SCALES:
                views = _views(refit, paper, groups, mm)
                if views is not None and min(_gaps(groups), default=math.inf) >= apart_by * mm:
                    return (_draft(refit, paper, views, mm),)
    raise GeometryError("no sheet holds the lines across the boat")


def _runs(refit: Refit, place: Across) -> tuple[PlacedRun, ...]:
    return tuple(run for run in refit.placed.runs.values() if run.spec.across == place)


def _draft(refit: Refit, paper: Paper, views: list[View], mm: int) -> Draft:
    wide = field(paper).width - BLOCK_WIDTH + 8.0 - GAP
    notes = Notes(plan_words.NOTES, (plan_words.ACROSS_NOTE, plan_words.ACROSS_HEIGHTS), wide, columns=1)
    return Draft(
        number="G3",
        name="lines-across",
        title=plan_words.ACROSS_TITLE,
        subtitle=plan_words.PROFILES_KIND,
        paper=paper,
        scale=f"1:{mm}",
        stamped=True,
        items=notes.items((field(paper).left, paper.frame.bottom + FOOT)),
        views=apart(views),
        description="Lines across the boat from aft with their spans and heights.",
        tolerance=survey_tolerance(refit),
    )


def _views(refit: Refit, paper: Paper, groups: dict[Across, tuple[PlacedRun, ...]], mm: int) -> list[View] | None:
    """Return a view of the lines at each place one below the other, None where they do not fit."""
    whole = full_width_above(paper)
    space = Rect(whole.left + 5.0, whole.bottom + 2.0, whole.right - 5.0, whole.top - 20.0)
    sizes = {place: _extent(refit, runs) for place, runs in groups.items()}
    rooms = {}
    for place, (left, right, low, high) in sizes.items():
        over = _TITLE + _OVER + _ROW * len({run.level for run in groups[place]})
        rooms[place] = over + (high - low) / mm + _BELOW
        heights = _heights(refit, groups[place])
        if (right - left) / mm + 2.0 * _BESIDE > space.width or min(heights, default=math.inf) < _TALL * mm:
            return None
    spare = space.height - math.fsum(rooms.values())
    if spare < 0.0:
        return None
    views, top = [], space.top
    for place, runs in groups.items():
        left, right, low, _ = sizes[place]
        bottom = top - rooms[place] - spare / len(groups)
        origin = (
            0.5 * (space.left + space.right) - 0.5 * (left + right) / mm,
            bottom + _BELOW + 0.5 * spare / len(groups) - low / mm,
        )
        views.append(
            View(
                name=f"across-{place}",
                title=plan_words.ACROSS_VIEW[place],
                scale=1.0 / mm,
                origin=origin,
                window=Rect(space.left, bottom + 1.0, space.right, top),
                items=tuple(_items(refit, place, runs, float(mm))),
                numbers=numbers(refit.boat),
                description="Port is at the left.",
            )
        )
        top = bottom
    return views


def _gaps(groups: dict[Across, tuple[PlacedRun, ...]]) -> list[float]:
    """Return the distances of neighbouring lines at their ends [mm]."""
    ends = [sorted(run.points[end][2] for run in runs) for runs in groups.values() for end in (0, -1)]
    return [above - below for heights in ends for below, above in pairwise(heights)]


def _heights(refit: Refit, runs: tuple[PlacedRun, ...]) -> list[float]:
    """Return the heights of the ends over the deck edge [mm]."""
    ends = [(run, at) for run in runs for at in (run.points[0], run.points[-1])]
    decks = [(at[2], under(refit.boat, run.spec, at)) for run, at in ends]
    return [z - deck for z, deck in decks if deck is not None]


def _flat(at: Vec) -> Point:
    return (at[1], at[2])


def _near_rails(refit: Refit, runs: tuple[PlacedRun, ...]) -> Iterator[tuple[str, tuple[Point, Point]]]:
    """Yield the stretches of the rails that are near to the lines fore and aft."""
    xs = [point[0] for run in runs for point in run.points]
    for word, rail in refit.boat.rails.items():
        for a, b in pairwise(rail_axis(rail)):
            if all(min(xs) - _NEAR < at[0] < max(xs) + _NEAR for at in (a, b)):
                yield word, (_flat(a), _flat(b))


def _extent(refit: Refit, runs: tuple[PlacedRun, ...]) -> tuple[float, float, float, float]:
    """Return the smallest and largest Y and Z of lines, rails near them and the deck edge under them [mm]."""
    points = [_flat(point) for run in runs for point in run.points]
    points += [point for _, ends in _near_rails(refit, runs) for point in ends]
    points += [_flat(point) for point in refit.boat.edge_across(runs[0].spec.across)]
    ys, zs = [y for y, _ in points], [z for _, z in points]
    return min(ys), max(ys), min(zs), max(zs)


def _items(refit: Refit, place: Across, runs: tuple[PlacedRun, ...], mm: float) -> Iterator[Item]:
    """Yield deck edge, rails, posts, lines, the names of their ends, and their dimensions."""
    edge = refit.boat.edge_across(place)
    if edge:
        yield Polyline(tuple(_flat(point) for point in edge), "DECK-EDGE", tag=f"edge:{place}")
    for word, (a, b) in _near_rails(refit, runs):
        yield Line(a, b, "RAIL", tag=f"across-rail:{word}")
    posts = dict.fromkeys(passage.hole.post for run in runs for passage in run.passages)
    for post in (refit.placed.posts[name] for name in posts):
        yield Line(_flat(post.foot), _flat(post.at(post.top)), "POST", tag=f"across:{post.id}")
    _, _, _, high = _extent(refit, runs)
    levels = [level for level in reversed(LEVELS) if any(run.level == level for run in runs)]
    for run in runs:
        chain = tuple(_flat(point) for point in run.points)
        if refit.work.runs[run.id].refused:
            for sign in (-1.0, 1.0):
                yield Polyline(beside(chain, sign * _HOLLOW * mm), "HOLD", tag=f"across:{run.id}")
        else:
            yield Polyline(chain, f"GUARD-LINE-{run.level}", tag=f"across:{run.id}")
        row = high + (_OVER - 2.0 + _ROW * levels.index(run.level)) * mm
        if len(levels) > 1:
            at = (run.points[0][1] - 2.4 * mm, row - 1.25 * mm)
            yield Text(at, run.level, 2.5, "TEXT", "right", tag=f"across-level:{place}:{run.level}")
        for number, (start, end) in enumerate(pairwise(run.points), 1):
            offset = (row - max(start[2], end[2])) / mm
            tag = f"across:{run.id}:{number}"
            yield Dimension(_flat(start), _flat(end), offset, levels=(start[0], end[0]), tag=tag)
        yield from _ends(refit, run, levels.index(run.level), mm)


def _ends(refit: Refit, run: PlacedRun, row: int, mm: float) -> Iterator[Item]:
    """Yield the pins of a run's ends with their names and their heights over the deck edge, outside of them."""
    for name, at, outward in ((run.names[0], run.points[0], -1.0), (run.names[-1], run.points[-1], 1.0)):
        y, z = _flat(at)
        yield Circle((y, z), 0.6 * mm, "FITTING", tag=f"across:{name}")
        deck = under(refit.boat, run.spec, at)
        out = _FIRST + _COLUMN * row
        if deck is not None:
            yield Dimension((y, deck), (y, z), -outward * out, along=math.pi / 2.0, tag=f"across-height:{name}")
        text = (y - outward * 2.0 * mm, z - 4.2 * mm)
        yield Text(text, name, 2.5, "NOTE", "left" if outward < 0.0 else "right", tag=f"across-name:{name}")
