"""Sheet 1: the deck from above and from both sides, with spans, heights and eye verdicts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import Side
from geom.drafting import plan_labels, plan_view, profile_view
from geom.drafting import plan_text as plan_words
from geom.drafting import text as words
from geom.drafting.paper import SCALES, Paper, papers
from geom.drafting.plan_notes import notes_height, notes_items, plan_notes, survey_tolerance
from geom.drafting.sheet import Draft, above_block, beside_block
from geom.drafting.symbols import eye_legend
from geom.errors import GeometryError
from geom.figure import Item, Rect, View
from geom.placement.eyes import limits
from geom.refit import Refit
from geom.sheets.deck_plan.tables import plan_tables, tables_shown
from geom.tables import numbers

_TITLE_ROOM = 9.0
_SIDE_ROOM = 5.0
# Margin beyond the names of rail eyes [paper mm].
_NAME_ROOM = 1.0
_APART = 0.5
_LEGEND_ROOM = 24.0
_NOTES_IN = 2.0
# Gap between the notes and the lettering of the 100 mm bar [mm].
_OVER_BAR = 1.5


@dataclass(frozen=True)
class _Layout:
    """A sheet size and a scale at which everything fits: 1 paper mm is `mm` boat mm."""

    paper: Paper
    mm: int
    shown: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def beside(self) -> Rect:
        return beside_block(self.paper)

    @property
    def notes_height(self) -> float:
        return notes_height(self.notes, self.beside.width - _NOTES_IN) + _OVER_BAR

    @property
    def views(self) -> Rect:
        """The area over the notes."""
        place = self.beside
        return Rect(place.left, place.bottom + self.notes_height + _NOTES_IN, place.right, place.top)


def deck_plan(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheet.

    Raises:
        GeometryError: the boat and its tables fit no sheet size.
    """
    layout = _pick(refit)
    scale = f"1:{layout.mm}"
    return (
        Draft(
            number="G2",
            name="deck-plan",
            title=plan_words.PLAN_TITLE,
            subtitle=plan_words.PLAN_KIND,
            paper=layout.paper,
            scale=scale,
            items=tuple(_sheet_items(refit, layout)),
            views=_views(refit, layout),
            description=f"Deck plan and both profiles at {scale}; full size is in millimetres.",
            tolerance=survey_tolerance(refit),
        ),
    )


def _pick(refit: Refit) -> _Layout:
    """Return the smallest sheet with the largest listed scale that leaves room for dimensions and tables."""
    for size, paper in enumerate(papers(refit.boat.drawing.sheets, minimum=1, roll=True)):
        shown = tables_shown(refit, above_block(paper).height - 1.0 - _LEGEND_ROOM, above_block(paper).width)
        if shown is None:
            continue
        notes = plan_notes(refit, shown)
        coarsest = 50 if size < 2 else 100
        for mm in SCALES:
            layout = _Layout(paper, mm, shown, notes)
            if 5 <= mm <= coarsest and _fits(refit, layout):
                return layout
    raise GeometryError("no sheet holds this boat at 1:100 with its tables")


def _fits(refit: Refit, layout: _Layout) -> bool:
    low, high = _reach(refit, layout.mm)
    wide = (high - low) / layout.mm <= layout.views.width
    middle, half = _middle(refit, layout), layout.views.width / 2.0 * layout.mm
    clear = plan_labels.labels_clear(refit, layout.mm, middle - half, middle + half) and plan_view.spans_clear(
        refit, layout.mm
    )
    tall = math.fsum(_heights(refit, layout.mm)) <= layout.views.height
    return wide and tall and clear


def _reach(refit: Refit, mm: int) -> tuple[float, float]:
    """Return the smallest and largest X in plan and profiles, with the names of rail eyes [mm]."""
    low, high, _, _ = plan_view.extent(refit)
    first, last = profile_view.names_extent(refit, mm)
    return min(low - _SIDE_ROOM * mm, first - _NAME_ROOM * mm), max(high + _SIDE_ROOM * mm, last + _NAME_ROOM * mm)


def _middle(refit: Refit, layout: _Layout) -> float:
    """Return the X at the middle of the windows [mm]: that of the boat, moved where names would leave them."""
    low, high, _, _ = plan_view.extent(refit)
    first, last = _reach(refit, layout.mm)
    half = layout.views.width / 2.0 * layout.mm
    return min(max((low + high) / 2.0, last - half), first + half)


def _heights(refit: Refit, mm: int) -> tuple[float, float, float]:
    """Return the heights of the plan and the profiles of starboard and port on paper [mm]."""
    _, _, minimum, maximum = plan_view.extent(refit)
    plan = (maximum - minimum) / mm + 2.0 * plan_view.ROOM_OUTSIDE + _TITLE_ROOM
    above = profile_view.room_above(refit)
    sides = []
    for side in plan_view.SIDES:
        low, high = profile_view.height_range(refit, side)
        sides.append((high - low) / mm + above + profile_view.ROOM_BELOW + _TITLE_ROOM)
    return plan, sides[0], sides[1]


def _views(refit: Refit, layout: _Layout) -> tuple[View, ...]:
    """Return plan and profiles, one above the other, the spare height divided below them."""
    mm, area = layout.mm, layout.views
    plan_height, *side_heights = _heights(refit, mm)
    spare = (area.height - plan_height - math.fsum(side_heights)) / 3.0
    *_, maximum = plan_view.extent(refit)
    middle = (area.left + area.right) / 2.0
    top = area.top
    window = Rect(area.left, top - plan_height - spare + _APART, area.right, top)
    body = window.top - _TITLE_ROOM - plan_view.ROOM_OUTSIDE - maximum / mm
    origin = (middle - _middle(refit, layout) / mm, body)
    bounds = ((window.left - origin[0]) * mm, (window.right - origin[0]) * mm)
    plan = View(
        name="plan",
        title="DECK PLAN",
        scale=1.0 / mm,
        origin=origin,
        window=window,
        items=plan_view.plan_items(refit, mm, *bounds),
        numbers=numbers(refit.boat),
        description="Seen from above, bow at the left, starboard on top; spans are true lengths from hole to hole.",
    )
    views = [plan]
    top = window.bottom - _APART
    for side, height in zip(plan_view.SIDES, side_heights, strict=True):
        window = Rect(area.left, top - height - spare + _APART, area.right, top)
        views.append(_profile(refit, layout, side, window, plan))
        top -= height + spare
    return tuple(views)


def _profile(refit: Refit, layout: _Layout, side: Side, window: Rect, plan: View) -> View:
    mm = layout.mm
    _, top = profile_view.height_range(refit, side)
    centre = profile_view.facing(side) * _middle(refit, layout)
    body = window.top - _TITLE_ROOM - profile_view.room_above(refit) - top / mm
    origin = ((window.left + window.right) / 2.0 - centre / mm, body)
    bounds = ((window.left + 2.0 - origin[0]) * mm, (window.right - 2.0 - origin[0]) * mm)
    word = words.SIDE[side]
    return View(
        name=f"profile-{word.lower()}",
        title=plan_words.PROFILE_VIEW.format(side=word, lower=word.lower()),
        scale=1.0 / mm,
        origin=origin,
        window=window,
        items=profile_view.profile_items(refit, side, mm, *bounds),
        model_at=((origin[0] - plan.origin[0]) * mm, (origin[1] - plan.origin[1]) * mm),
        numbers=numbers(refit.boat),
        description=f"Heights of the holes' centres are vertical, above the deck at each foot; {word.lower()} side.",
    )


def _sheet_items(refit: Refit, layout: _Layout) -> list[Item]:
    """Return tables from the top of the right column down, the key to the symbols under them, notes under the views."""
    column = above_block(layout.paper)
    place = Rect(column.left, column.bottom, column.right, column.top - 1.0)
    corner = (column.left + 1.0, column.bottom + _LEGEND_ROOM)
    legend, height = eye_legend(corner, column.width, limits(refit.boat.eye_factors).source)
    assert height <= _LEGEND_ROOM
    beside = layout.beside
    at = (beside.left + _NOTES_IN, beside.bottom + layout.notes_height)
    notes = notes_items(layout.notes, at, beside.width - _NOTES_IN)
    return [*plan_tables(refit, place, layout.shown), *legend, *notes]
