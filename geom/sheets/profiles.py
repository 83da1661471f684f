"""Sheet 2: both sides from outboard, large, with heights, openings and the lowest places of the lines."""

from __future__ import annotations

import math
from itertools import pairwise

from geom.boat.model import Side
from geom.errors import GeometryError
from geom.figure import Circle, Dimension, Hatch, Item, Line, Polyline, Rect, View
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.heights import edge_z
from geom.runs.place import PlacedRun
from geom.schedules import numbers
from geom.sheets import post_words, words
from geom.sheets.deck_plan import deck_plan
from geom.sheets.draft import Draft, full_width_above, key_items
from geom.sheets.paper import SCALES, Paper, papers
from geom.sheets.plan_view import SIDES
from geom.sheets.plan_view import extent as plan_extent
from geom.sheets.post_words import length
from geom.sheets.profile_bands import HEADS, band_items, bands_height
from geom.sheets.profile_view import facing, height_range, mast_items, rail_words
from geom.sheets.symbols import bow_arrow
from geom.sheets.views import LETTERING, apart, roomy

_TITLE = 9.0
_ABOVE = 20.0
_ENDS = 30.0
_SPAN_OFF, _SPAN_STEP = 8.0, 6.5
_SAME_PLACE = 1.2
# A1 and ANSI D are the largest sheets that a larger scale is worth.
_LARGEST = 3


def profiles(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheet, at a larger scale than the deck plan's where a sheet of a size worth printing allows it.

    Raises:
        GeometryError: no sheet holds both sides.
    """
    plan = int(deck_plan(refit)[0].scale.partition(":")[2])
    sizes = papers(refit.boat.drawing.sheets, least=1)
    larger = [(paper, mm) for paper in sizes for mm in SCALES if 5 <= mm < plan]
    worth = [one for one in larger if one[0] in sizes[:_LARGEST]]
    same = [(paper, mm) for mm in SCALES if mm >= plan for paper in sizes]
    for paper, mm in (*worth, *same, *larger):
        if _fits(refit, paper, mm) and all(spans_fit(refit, side, mm) for side in SIDES):
            return (_draft(refit, paper, mm),)
    raise GeometryError("no sheet holds the profiles")


def _space(paper: Paper) -> Rect:
    whole = full_width_above(paper)
    return Rect(whole.left + 5.0, whole.bottom + 2.0, whole.right - 5.0, whole.top - 4.0)


def _tall(refit: Refit, side: Side, mm: float) -> float:
    low, high = height_range(refit, side)
    return _TITLE + _ABOVE + (high - low) / mm + bands_height(refit, side)


def _fits(refit: Refit, paper: Paper, mm: float) -> bool:
    space = _space(paper)
    low, high, _, _ = plan_extent(refit)
    wide = (high - low) / mm + HEADS + _ENDS <= space.width
    return wide and sum(_tall(refit, side, mm) for side in SIDES) <= space.height


def _draft(refit: Refit, paper: Paper, mm: int) -> Draft:
    space = _space(paper)
    spare = (space.height - sum(_tall(refit, side, mm) for side in SIDES)) / 2.0
    views: list[View] = []
    top = space.top
    for side in SIDES:
        tall = _tall(refit, side, mm) + spare
        views.append(_view(refit, side, Rect(space.left, top - tall + 1.0, space.right, top), mm, spare))
        top -= tall
    return Draft(
        name="profiles",
        title=post_words.PROFILES_TITLE,
        kind=post_words.PROFILES_KIND,
        paper=paper,
        scale=f"1:{mm}",
        items=key_items(paper, words.NOTES, post_words.PROFILE_NOTES),
        views=apart(views),
        description="Both sides from outboard with heights, openings, spans and the lowest places of the lines.",
    )


def _view(refit: Refit, side: Side, window: Rect, mm: int, spare: float) -> View:
    low, high, _, _ = plan_extent(refit)
    bottom, top = height_range(refit, side)
    turn, how = facing(side), numbers(refit.boat)
    middle = 0.5 * (window.left + HEADS + window.right)
    deck = window.top - _TITLE - _ABOVE - 0.5 * spare - (top - bottom) / mm
    origin = (middle - turn * 0.5 * (low + high) / mm, deck - bottom / mm)
    left, right = (window.left + 0.5 - origin[0]) * mm, (window.right - 0.5 - origin[0]) * mm
    word = words.SIDE[side]
    ends = sorted((turn * low, turn * high))
    band = (max(left, ends[0] - (HEADS + 2.0) * mm), min(right, ends[1] + 2.0 * mm))
    bow_x = right - 18.0 * mm if side == "S" else left + 18.0 * mm
    bow = bow_arrow((bow_x, (window.top - 12.5 - origin[1]) * mm), -turn, mm)
    return View(
        name=f"large-profile-{side}",
        title=post_words.PROFILE_VIEW.format(side=word, lower=word.lower()),
        scale=1.0 / mm,
        origin=origin,
        window=window,
        items=(*large_profile(refit, side, mm), *band_items(refit, side, bottom, *band, mm), *bow),
        numbers=how,
        description="Heights are vertical, spans true lengths.",
    )


def large_profile(refit: Refit, side: Side, mm: float) -> tuple[Item, ...]:
    """Return deck edge, tubes at true size, lines with their spans and lowest places, mast and rails.

    Args:
        refit: the boat worked out.
        side: which side, seen from outboard.
        mm: boat millimetres to a paper millimetre.
    """
    turn = facing(side)
    edge = refit.boat.edge(side)
    items: list[Item] = [Polyline(tuple((turn * x, z) for x, _, z in edge), "DECK-EDGE", tag=f"sheer:{side}")]
    for post in refit.placed.posts.values():
        if post.side == side:
            top, foot = post.at(post.top), post.foot
            items.append(Line((turn * foot[0], foot[2]), (turn * top[0], top[2]), "POST", tag=f"profile:{post.id}"))
    highest = _highest_runs(refit, side)
    for run in (run for run in refit.placed.runs.values() if run.side == side):
        chain = tuple((turn * x, z) for x, _, z in run.points)
        items.append(Polyline(chain, f"GUARD-LINE-{run.level}", tag=f"profile:{run.id}"))
        items += _lowest(refit, run, turn, mm)
        if run in highest:
            items += _spans(refit, run, turn, mm)
    for eye in refit.boat.eyes:
        if eye.id[0] == side:
            items.append(Circle((turn * eye.at[0], eye.at[2]), 0.5 * mm, "FITTING", tag=f"profile:{eye.id}"))
    guides = tuple(turn * post.foot[0] for post in refit.placed.posts.values() if post.side == side)
    _, most = height_range(refit, side)
    mast = mast_items(refit, side, turn, mm, most - 6.0 * mm, guides)
    return (*items, *rail_words(refit, side, turn, mm), *mast)


def spans_fit(refit: Refit, side: Side, mm: float) -> bool:
    """Return whether the spans of a side's highest line find room for their numbers: no two short ones on end."""
    how, turn = numbers(refit.boat), facing(side)
    found = []
    for run in _highest_runs(refit, side):
        for a, b in pairwise(run.points):
            wide = text_width(length(math.dist(a, b), how), LETTERING) + 1.6
            found.append((turn * a[0], wide > math.hypot(b[0] - a[0], b[2] - a[2]) / mm))
    return not any(p[1] and q[1] for p, q in pairwise(sorted(found)))


def _highest_runs(refit: Refit, side: Side) -> list[PlacedRun]:
    runs = [run for run in refit.placed.runs.values() if run.side == side]
    highest = next(level for level in ("U", "M", "L") if any(run.level == level for run in runs))
    return [run for run in runs if run.level == highest]


def _spans(refit: Refit, run: PlacedRun, turn: float, mm: float) -> list[Item]:
    """Return the spans of the highest line, dimensioned over it; one that is short stands a row higher."""
    how = numbers(refit.boat)
    items: list[Item] = []
    for number, (a, b) in enumerate(pairwise(run.points), 1):
        ends = sorted((turn * p[0], p[2], p[1]) for p in (a, b))
        (x0, z0, y0), (x1, z1, y1) = ends
        wide = text_width(length(math.dist(a, b), how), LETTERING) + 1.6
        short = wide > math.hypot(x1 - x0, z1 - z0) / mm
        item = Dimension(
            (x0, z0),
            (x1, z1),
            _SPAN_OFF + (_SPAN_STEP if short else 0.0),
            levels=(y0, y1),
            tag=f"span:{run.id}:{number}",
        )
        items.append(roomy(item, 1.0 / mm, how))
    return items


def _lowest(refit: Refit, run: PlacedRun, turn: float, mm: float) -> list[Item]:
    """Return a triangle on the line where each span is lowest over the deck edge, led to the edge between posts."""
    items: list[Item] = []
    edge = refit.boat.edge(run.side)
    for (a, b), low in zip(pairwise(run.points), refit.placed.span_heights[run.id], strict=True):
        if low.lowest is None or low.at_x is None:
            continue
        deck = edge_z(edge, low.at_x)
        assert deck is not None
        x, z = turn * low.at_x, deck + low.lowest
        half = 0.9 * mm
        items.append(Hatch(((x, z), (x - half, z - 1.8 * mm), (x + half, z - 1.8 * mm)), "SYMBOL"))
        if min(abs(low.at_x - a[0]), abs(low.at_x - b[0])) > _SAME_PLACE * mm:
            items.append(Line((x, z - 1.8 * mm), (x, deck), "THIN"))
    return items
