"""Sheet 1: the deck from above and from both sides, with spans, heights and eye verdicts."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Side
from geom.errors import GeometryError
from geom.figure import Across, Cell, Item, Rect, Sheet, Table, Text, View
from geom.refit import Refit
from geom.rules.cautions import SHEET_CAUTION
from geom.runs.eye import limits
from geom.schedules import Schedule, cells, holes, numbers, posts, runs
from geom.sheets import plan_view, profile_view, words
from geom.sheets.paper import SCALES, Paper, frame_items, paper
from geom.sheets.symbols import eye_legend
from geom.sheets.title_block import CAUTION_HEIGHT, HEIGHT, WIDTH, Title, bar_100, title_block

NAME = "deck-plan"
_TITLE_ROOM = 9.0
_GAP = 5.0
_TABLE_PITCH = 4.4
_TABLE_TOP = 5.0
_SIDE_ROOM = 7.0
_APART = 0.5
_LEGEND_ROOM = 24.0
_NOTE_PITCH = 4.2
_NOTES_ROOM = _NOTE_PITCH * len(words.NOTE_LINES) + 6.0


@dataclass(frozen=True)
class _Layout:
    """A sheet size and a scale that hold everything: 1 paper mm is `mm` boat mm."""

    paper: Paper
    mm: int

    @property
    def views(self) -> Rect:
        frame = self.paper.frame
        return Rect(frame.left + 1.0, frame.bottom + 1.0, frame.right - WIDTH - _GAP, frame.top - 1.0)


def deck_plan(refit: Refit, sheet: int, sheets: int) -> Sheet:
    """Return the sheet.

    Args:
        refit: the boat worked out.
        sheet: its number in the set.
        sheets: how many sheets the set has.

    Raises:
        GeometryError: no sheet size holds the boat and its tables.
    """
    layout = _pick(refit)
    frame = layout.paper.frame
    scale = f"1:{layout.mm}"
    title = Title(
        title=f"{refit.boat.boat.name}: guard lines",
        kind="General arrangement",
        sheet=sheet,
        sheets=sheets,
        scale=scale,
        paper=layout.paper.name,
        number=f"{refit.boat.drawing.number or 'GL'}-{sheet:02d}",
    )
    items: list[Item] = [*frame_items(layout.paper), *title_block(refit, title, frame)]
    items += _right_column(refit, frame)
    views = _views(refit, layout)
    for view in views:
        at = (view.window.left + 2.0, view.window.top - 5.5)
        items.append(Text(at, f"{view.title}  {scale}", 3.5, "TEXT", tag=f"view:{view.name}"))
    items += bar_100((layout.views.left + 3.0, layout.views.bottom + 2.0))
    return Sheet(
        name=f"{sheet:02d}-{NAME}",
        title=f"{title.title} - deck plan and profiles",
        width=layout.paper.width,
        height=layout.paper.height,
        items=tuple(items),
        views=views,
        frame=frame,
        description=f"{SHEET_CAUTION}. Deck plan and both profiles at {scale}, millimetres at full size.",
        keywords=(("drawing", title.number), ("revision", refit.boat.revision.mark), ("scale", scale)),
    )


def _pick(refit: Refit) -> _Layout:
    """Return the smallest sheet with the largest listed scale that leaves room for dimensions and tables."""
    for name in ("A3", "A2", "A1", "A0"):
        coarsest = 50 if name in ("A3", "A2") else 100
        for mm in SCALES:
            layout = _Layout(paper(name), mm)
            if 5 <= mm <= coarsest and _fits(refit, layout):
                return layout
    raise GeometryError("no sheet up to A0 holds this boat at 1:100 with its tables")


def _fits(refit: Refit, layout: _Layout) -> bool:
    low, high, _, _ = plan_view.extent(refit)
    wide = (high - low) / layout.mm + 2.0 * _SIDE_ROOM <= layout.views.width
    tall = sum(_heights(refit, layout.mm)) + 8.0 <= layout.views.height
    free = layout.paper.frame.height - HEIGHT - CAUTION_HEIGHT - _LEGEND_ROOM - _NOTES_ROOM
    return wide and tall and _tables_height(refit) <= free


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
    spare = (area.height - 8.0 - plan_height - sum(side_heights)) / 3.0
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
        views.append(_profile(refit, layout, side, Rect(area.left, top - height - spare + _APART, area.right, top), plan))
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


def _right_column(refit: Refit, frame: Rect) -> list[Item]:
    """Return tables from the top down and the key to the signs above the caution."""
    items: list[Item] = []
    left, top = frame.right - WIDTH, frame.top - 2.0
    for schedule, shares in _TABLES:
        table = _table(refit, schedule(refit), shares, (left, top))
        items.append(table)
        top -= _table_height(len(table.rows)) + _GAP
    base = frame.bottom + HEIGHT + CAUTION_HEIGHT
    legend, height = eye_legend((left + 1.0, base + _LEGEND_ROOM), WIDTH, limits(refit.boat.eye_factors).source)
    assert height <= _LEGEND_ROOM
    y = base + _LEGEND_ROOM + _NOTES_ROOM - 4.0
    items.append(Text((left + 1.0, y), words.NOTES, 2.5, "TEXT"))
    for line in words.NOTE_LINES:
        y -= _NOTE_PITCH
        items.append(Text((left + 1.0, y), line.format(z_zero=refit.boat.axes.z_zero), 2.5, "NOTE"))
    return [*items, *legend]


def _table(refit: Refit, schedule: Schedule, shares: dict[str, int], at: tuple[float, float]) -> Table:
    """Return the chosen columns of a schedule, spread over the full width."""
    how = numbers(refit.boat)
    chosen = [index for index, column in enumerate(schedule.columns) if column.key in shares]
    shown = [schedule.columns[index] for index in chosen]
    rows = tuple(
        tuple(
            Cell(row[index], f"{schedule.name}:{row_id}:{schedule.columns[index].key}", _across(schedule, index))
            for index in chosen
        )
        for row_id, row in zip(schedule.ids, cells(schedule, how), strict=True)
    )
    widths = [shares[column.key] for column in shown]
    return Table(
        at=at,
        widths=tuple(WIDTH * width / sum(widths) for width in widths),
        head=tuple(column.head for column in shown),
        rows=rows,
        pitch=_TABLE_PITCH,
        height=2.5,
        title=f"{schedule.title} ({how.unit}, deg)",
        tag=f"table:{schedule.name}",
    )


def _across(schedule: Schedule, index: int) -> Across:
    return "left" if schedule.columns[index].kind == "text" else "right"


def _table_height(rows: int) -> float:
    return _TABLE_TOP + (rows + 1) * _TABLE_PITCH


def _tables_height(refit: Refit) -> float:
    counts = [len(schedule(refit).rows) for schedule, _ in _TABLES]
    return sum(_table_height(count) + _GAP for count in counts)


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
