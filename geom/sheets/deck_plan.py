"""Sheet 1: the deck from above and from both sides, with spans, heights and eye verdicts."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Side
from geom.errors import GeometryError
from geom.figure import Item, Rect, Text, View
from geom.refit import Refit
from geom.runs.eye import limits
from geom.schedules import holes, numbers, posts, runs
from geom.sheets import plan_labels, plan_view, profile_view, words
from geom.sheets.draft import GAP, Draft, above_block, beside_block
from geom.sheets.paper import SCALES, Paper, papers
from geom.sheets.symbols import eye_legend
from geom.sheets.tables import schedule_table, table_height

_TITLE_ROOM = 9.0
_TABLE_PITCH = 4.4
_SIDE_ROOM = 7.0
_APART = 0.5
_LEGEND_ROOM = 24.0
_NOTE_PITCH = 4.2
_LEFT_OUT = 8.0
# Which tables to show, the fullest choice first: posts, holes, runs.
_CHOICES = ((0, 1, 2), (0, 2), (2,), ())
_NOTES_ROOM = _NOTE_PITCH * len(words.NOTE_LINES) + 6.0


@dataclass(frozen=True)
class _Layout:
    """A sheet size and a scale that hold everything: 1 paper mm is `mm` boat mm."""

    paper: Paper
    mm: int

    @property
    def views(self) -> Rect:
        return beside_block(self.paper)


def deck_plan(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheet.

    Raises:
        GeometryError: no sheet size holds the boat and its tables.
    """
    layout = _pick(refit)
    scale = f"1:{layout.mm}"
    return (
        Draft(
            name="deck-plan",
            title="guard lines",
            kind="General arrangement",
            paper=layout.paper,
            scale=scale,
            items=tuple(_right_column(refit, layout.paper)),
            views=_views(refit, layout),
            description=f"Deck plan and both profiles at {scale}; full size is in millimetres.",
        ),
    )


def _pick(refit: Refit) -> _Layout:
    """Return the smallest sheet with the largest listed scale that leaves room for dimensions and tables."""
    for size, paper in enumerate(papers(refit.boat.drawing.sheets, least=1)):
        coarsest = 50 if size < 2 else 100
        for mm in SCALES:
            layout = _Layout(paper, mm)
            if 5 <= mm <= coarsest and _fits(refit, layout):
                return layout
    raise GeometryError("no sheet holds this boat at 1:100 with its tables")


def _fits(refit: Refit, layout: _Layout) -> bool:
    low, high, _, _ = plan_view.extent(refit)
    wide = (high - low) / layout.mm + 2.0 * _SIDE_ROOM <= layout.views.width
    middle, half = (low + high) / 2.0, layout.views.width / 2.0 * layout.mm
    clear = plan_labels.labels_clear(refit, layout.mm, middle - half, middle + half) and plan_view.spans_clear(
        refit, layout.mm
    )
    tall = sum(_heights(refit, layout.mm)) <= layout.views.height
    return wide and tall and clear


def _heights(refit: Refit, mm: int) -> tuple[float, float, float]:
    """Return how tall the plan and the profiles of starboard and port stand on paper [mm]."""
    _, _, least, most = plan_view.extent(refit)
    plan = (most - least) / mm + 2.0 * plan_view.ROOM_OUTSIDE + _TITLE_ROOM
    sides = []
    for side in plan_view.SIDES:
        low, high = profile_view.height_range(refit, side)
        sides.append((high - low) / mm + profile_view.ROOM_ABOVE + profile_view.ROOM_BELOW + _TITLE_ROOM)
    return plan, sides[0], sides[1]


def _views(refit: Refit, layout: _Layout) -> tuple[View, ...]:
    """Return plan and profiles, one above the other, the spare height shared out between them."""
    mm, area = layout.mm, layout.views
    plan_height, *side_heights = _heights(refit, mm)
    spare = (area.height - plan_height - sum(side_heights)) / 3.0
    low, high, least, most = plan_view.extent(refit)
    middle = (area.left + area.right) / 2.0
    top = area.top
    window = Rect(area.left, top - plan_height - spare + _APART, area.right, top)
    body = (window.top - _TITLE_ROOM + window.bottom) / 2.0
    origin = (middle - (low + high) / 2.0 / mm, body - (least + most) / 2.0 / mm)
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
    low, high, _, _ = plan_view.extent(refit)
    bottom, top = profile_view.height_range(refit, side)
    centre = profile_view.facing(side) * (low + high) / 2.0
    room = window.height - _TITLE_ROOM - (top - bottom) / mm - profile_view.ROOM_ABOVE - profile_view.ROOM_BELOW
    base = window.bottom + profile_view.ROOM_BELOW + room / 2.0
    origin = ((window.left + window.right) / 2.0 - centre / mm, base - bottom / mm)
    bounds = ((window.left + 2.0 - origin[0]) * mm, (window.right - 2.0 - origin[0]) * mm)
    word = words.SIDE[side]
    return View(
        name=f"profile-{word.lower()}",
        title=f"{word} PROFILE, seen from {word.lower()}",
        scale=1.0 / mm,
        origin=origin,
        window=window,
        items=profile_view.profile_items(refit, side, mm, *bounds),
        model_at=((origin[0] - plan.origin[0]) * mm, (origin[1] - plan.origin[1]) * mm),
        numbers=numbers(refit.boat),
        description=f"Heights of the holes' centres are vertical, above the deck at each foot; {word.lower()} side.",
    )


def _right_column(refit: Refit, paper: Paper) -> list[Item]:
    """Return tables from the top down and the key to the signs above the caution."""
    items: list[Item] = []
    column = above_block(paper)
    top = column.top - 1.0
    shown = _shown(refit, paper)
    for index, (schedule, shares) in enumerate(_TABLES):
        if index not in shown:
            items.append(Text((column.left + 1.0, top - 3.5), words.ELSEWHERE[index], 2.5, "NOTE"))
            top -= _LEFT_OUT
            continue
        table = schedule_table(refit, schedule(refit), shares, (column.left, top), column.width, _TABLE_PITCH)
        items.append(table)
        top -= table_height(table) + GAP
    legend, height = eye_legend(
        (column.left + 1.0, column.bottom + _LEGEND_ROOM), column.width, limits(refit.boat.eye_factors).source
    )
    assert height <= _LEGEND_ROOM
    y = column.bottom + _LEGEND_ROOM + _NOTES_ROOM - 4.0
    items.append(Text((column.left + 1.0, y), words.NOTES, 2.5, "TEXT"))
    for line in words.NOTE_LINES:
        y -= _NOTE_PITCH
        items.append(Text((column.left + 1.0, y), line.format(z_zero=refit.boat.axes.z_zero), 2.5, "NOTE"))
    return [*items, *legend]


def _shown(refit: Refit, paper: Paper) -> tuple[int, ...]:
    """Return which tables find room over the notes; what is left out stands on the sheets that follow."""
    room = above_block(paper).height - _LEGEND_ROOM - _NOTES_ROOM
    for shown in _CHOICES:
        heights = [(len(_TABLES[index][0](refit).rows) + 2) * _TABLE_PITCH + GAP for index in shown]
        if sum(heights) + _LEFT_OUT * (len(_TABLES) - len(shown)) <= room:
            return shown
    return ()


# Which columns of each schedule this sheet shows, with their shares of the width.
_TABLES = (
    (posts, {
        "post": 15, "foot_x_mm": 17, "foot_y_mm": 18, "foot_z_mm": 17, "lean_out_deg": 13, "rake_aft_deg": 13,
        "height_upper_mm": 15, "height_middle_mm": 15, "height_lower_mm": 15, "plate_out_deg": 17, "plate_aft_deg": 17,
    }),
    (holes, {
        "hole": 18, "run": 18, "diameter_mm": 15, "turn_deg": 15, "clocking_deg": 17, "tilt_deg": 14,
        "free_angle_deg": 16, "clear_mm": 18, "eye": 40,
    }),
    (runs, {
        "run": 19, "from": 33, "to": 33, "path_mm": 22, "stack_mm": 20, "finished_mm": 27, "made_in_place": 24,
    }),
)  # fmt: skip
