"""A deck plan as read: posts, eyes and deck edge with their names over what the plan has drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from geom.drafting import text as words
from geom.drafting.paper import Paper, papers
from geom.drafting.placing import Drawn, named
from geom.drafting.ruling import ListColumn, RuledList, flow
from geom.drafting.sheet import (
    FOOT,
    Draft,
    field,
    finish_issue,
    headed_area,
    headline,
    key_items,
    lettered,
    scale_words,
)
from geom.drafting.symbols import axes_sign
from geom.drafting.title_block import Issue
from geom.errors import GeometryError
from geom.figure import Cell, Circle, Dimension, Item, LengthFormat, Line, Point, Polyline, Rect, Sheet, Text, View
from geom.intake.deck_plan.drawing import Drawing
from geom.intake.deck_plan.result import PlanReading
from geom.lettering import letters
from geom.sheets.aids.clip import clip
from geom.sheets.plan_check import text as own

_UNITS = {"mm": (LengthFormat(), "ISO", "mm, degrees"), "in": (LengthFormat("in", 25.4, 2), "ANSI", "inches, degrees")}
# 1 paper mm is so many boat mm; the last ones are for a plan that was read wrongly.
_SCALES = {
    "ISO": (5, 10, 20, 25, 30, 40, 50, 100, 200, 500, 1000, 2000, 5000),
    "ANSI": (6, 12, 16, 24, 32, 48, 96, 192, 480, 960, 1920, 4800),
}
# Round what was read, for names [paper mm].
_ROUND, _UNDER_HEAD = 16.0, 22.0
# Marks of posts, of eyes and of the corners of a deck edge, and how far a cross goes beyond its ring [paper mm].
_POST, _EYE, _CORNER, _CROSS = 1.4, 0.9, 0.35, 1.2
# With more corners than these an edge is drawn without them.
_MARKED_CORNERS = 60
_LETTERING = 2.5
# Corners of the plan nearer to each other are left out, and half the cross of a point [paper mm].
_FINE, _DOT = 0.08, 0.6


def plan_check(
    drawing: Drawing, reading: PlanReading, boat: str = "", units: Literal["mm", "in"] = "mm"
) -> tuple[Sheet, ...]:
    """Return the check sheets of a deck plan: what was read over what was there, and the points in lists.

    Args:
        drawing: the plan.
        reading: what was read from it.
        boat: name of the boat, empty where it is not known yet.
        units: of lengths on the sheets.

    Raises:
        GeometryError: what was read fits no sheet.
    """
    fmt, series, unit_words = _UNITS[units]
    paper = papers(series)[1]
    pages = [_picture(drawing, reading, paper, series, fmt), *_lists(reading, paper, fmt)]
    issue = Issue(boat=boat, number="PLAN", units=unit_words, inches=units == "in", survey="from a deck plan")
    return tuple(finish_issue(issue, draft, len(pages)) for draft in lettered(pages))


def _picture(drawing: Drawing, reading: PlanReading, paper: Paper, series: str, fmt: LengthFormat) -> Draft:
    place = field(paper)
    zone = Rect(place.left, paper.frame.bottom + FOOT + 2.0, place.right, place.top - _UNDER_HEAD)
    mm, origin = _fitted(reading, zone, _SCALES[series])
    corner = ((zone.left + 2.0 - origin[0]) * mm, (zone.bottom + 2.0 - origin[1]) * mm)
    items = (*_plan(drawing, reading, mm, origin, zone), *_read(reading, mm, fmt), *axes_sign(corner, mm))
    view = View("plan", "", 1.0 / mm, origin, zone, items, numbers=fmt, description="The plan and what was read of it.")
    drawn = Drawn(items, mm, origin, zone, fmt)
    proofs = _proofs(drawing, reading, fmt)
    head, _ = headline(paper, own.HEAD, _legible(Path(reading.source).name), "plan-check", own.CHECK)
    return Draft(
        number="A8",
        name="plan-check",
        title=own.TITLE,
        subtitle=own.SUBTITLE,
        paper=paper,
        scale=scale_words(1.0 / mm),
        items=(*head, *_names(reading, drawn, mm, origin), *key_items(paper, own.READING, proofs)),
        views=(view,),
        description="A deck plan as read, to be checked before its figures are used.",
    )


def _legible(text: str) -> str:
    """Return a text of the plan with a question mark for each letter that the font lacks."""
    known = frozenset(letters())
    return "".join(letter if letter in known else "?" for letter in text)


def _proofs(drawing: Drawing, reading: PlanReading, fmt: LengthFormat) -> list[str]:
    """Return how the plan was taken, what proves its scale, what is not shown, and where the notes are."""
    proof = own.PROOF.format(
        drawn=_written(reading.drawn_aft, fmt),
        measured=_written(reading.aft_x, fmt),
        apart=_written(abs(reading.drawn_aft - reading.aft_x), fmt),
        unit=fmt.unit,
    )
    lines = [reading.taken_as(), proof]
    if drawing.unstroked:
        lines.append(own.UNSTROKED.format(kinds=", ".join(f"{n} {kind}" for kind, n in drawing.unstroked.items())))
    return [*lines, own.NOTED.format(count=len(reading.notes))] if reading.notes else lines


def _written(value: float, fmt: LengthFormat) -> str:
    return fmt.figure(value, max(1, fmt.decimals))


def _fitted(reading: PlanReading, zone: Rect, scales: tuple[int, ...]) -> tuple[float, Point]:
    """Return boat millimetres to a paper millimetre, and the paper point of the stem, for all that was read."""
    xs = [0.0, reading.aft_x, *(point.x for point in reading.points)]
    ys = [0.0, *(point.y for point in reading.points)]
    for edge in reading.edges:
        xs += [x for x, _, _ in edge.points]
        ys += [y for _, y, _ in edge.points]
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    for mm in scales:
        if wide / mm + 2.0 * _ROUND <= zone.width and tall / mm + 2.0 * _ROUND <= zone.height:
            x = (zone.left + zone.right) / 2.0 - (max(xs) + min(xs)) / 2.0 / mm
            return float(mm), (x, (zone.bottom + zone.top) / 2.0 - (max(ys) + min(ys)) / 2.0 / mm)
    raise GeometryError(f"{reading.source}: {wide / 1000.0:.0f} m by {tall / 1000.0:.0f} m fit no check sheet")


def _plan(drawing: Drawing, reading: PlanReading, mm: float, origin: Point, zone: Rect) -> Iterator[Item]:
    """Yield the plan's own entities in boat millimetres, cut off at the edge of the view."""
    window = Rect(
        (zone.left - origin[0]) * mm, (zone.bottom - origin[1]) * mm,
        (zone.right - origin[0]) * mm, (zone.top - origin[1]) * mm,
    )  # fmt: skip
    for stroke in drawing.strokes:
        points = [reading.frame.place(point) for point in stroke]
        if len(points) == 1:
            # A point is drawn as a small cross.
            (x, y), arm = points[0], _DOT * mm
            chains = [[(x - arm, y), (x + arm, y)], [(x, y - arm), (x, y + arm)]]
        else:
            chains = [list(_thinned(points, _FINE * mm))]
        yield from clip((Polyline(tuple(chain), "UNDERLAY") for chain in chains), window)


def _thinned(points: list[Point], apart: float) -> Iterator[Point]:
    """Yield the first and the last of some points, and those between that are apart from the one before."""
    last = points[0]
    yield last
    for point in points[1:-1]:
        if math.dist(point, last) >= apart:
            last = point
            yield point
    yield points[-1]


def _read(reading: PlanReading, mm: float, fmt: LengthFormat) -> Iterator[Item]:
    """Yield what was read, in boat millimetres: deck edges, posts, eyes, the measured distance on the centreline."""
    for edge in reading.edges:
        corners = tuple((x, y) for x, y, _ in edge.points)
        yield Polyline(corners, "RAIL", tag=f"edge:{edge.side}")
        if len(corners) <= _MARKED_CORNERS:
            yield from (Circle(at, _CORNER * mm, "THIN") for at in corners)
    for point in reading.points:
        radius = _POST if point.kind == "post" else _EYE
        yield from _mark((point.x, point.y), radius * mm, _CROSS * mm, f"{point.kind}:{point.id}")
    yield from _mark((0.0, 0.0), _EYE * mm, _CROSS * mm, "stem")
    yield from _mark((reading.drawn_aft, 0.0), _EYE * mm, _CROSS * mm, "aft")
    yield Dimension((0.0, 0.0), (reading.drawn_aft, 0.0), 0.0, text=f"<> {fmt.unit}", tag="aft_x")


def _mark(at: Point, radius: float, beyond: float, tag: str) -> Iterator[Item]:
    x, y = at
    arm = radius + beyond
    yield Circle(at, radius, "OUTLINE", tag=tag)
    yield Line((x - arm, y), (x + arm, y), "THIN")
    yield Line((x, y - arm), (x, y + arm), "THIN")


def _names(reading: PlanReading, drawn: Drawn, mm: float, origin: Point) -> Iterator[Item]:
    """Yield the name of everything that was read, each where it covers nothing, with a line to its mark."""
    marks: list[tuple[str, Point, float, str]] = []
    for point in reading.points:
        marks.append((point.id, (point.x, point.y), _POST if point.kind == "post" else _EYE, f"name:{point.id}"))
    for edge in reading.edges:
        x, y, _ = edge.points[len(edge.points) // 2]
        label = own.EDGE.format(side=words.SIDE[edge.side], count=len(edge.points))
        marks.append((label, (x, y), _CORNER, f"name:edge:{edge.side}"))
    marks.append((own.STEM, (0.0, 0.0), _EYE, "name:stem"))
    marks.append((own.AFT, (reading.drawn_aft, 0.0), _EYE, "name:aft"))
    for label, (x, y), radius, tag in marks:
        at = (origin[0] + x / mm, origin[1] + y / mm)
        way = math.pi / 2.0 if y >= 0.0 else -math.pi / 2.0
        yield from drawn.put(named(Text(at, label, _LETTERING, tag=tag), at, way, radius + _CROSS)).items


def _lists(reading: PlanReading, paper: Paper, fmt: LengthFormat) -> list[Draft]:
    """Return the points as lists, two columns to a sheet."""
    lists = []
    for kind, title in (("post", own.POSTS), ("eye", own.EYES)):
        own_kind = [point for point in reading.points if point.kind == kind]
        lists.append((title, kind, tuple(_row(one.id, (one.x, one.y, one.z), one.place, fmt) for one in own_kind)))
    for edge in reading.edges:
        title = own.EDGES.format(side=words.SIDE[edge.side].lower())
        places = (edge.place, *[""] * len(edge.points))
        corners = enumerate(zip(edge.points, places, strict=False), start=1)
        rows = tuple(_row(str(number), at, place, fmt) for number, (at, place) in corners)
        lists.append((title, f"edge:{edge.side}", rows))
    area = headed_area(paper)
    middle = (area.left + area.right) / 2.0
    left = Rect(area.left, area.bottom, middle - 4.0, area.top)
    columns = (left, Rect(middle + 4.0, area.bottom, area.right, area.top))
    shares = (26, 22, 22, 22, 60)
    across: tuple[Literal["left", "right"], ...] = ("left", "right", "right", "right", "left")
    heads = tuple(ListColumn(*each) for each in zip(own.HEADS, shares, across, strict=True))
    ruled = [RuledList(f"{title} ({fmt.unit})", heads, rows, f"list:{tag}") for title, tag, rows in lists if rows]
    if reading.notes:
        notes = tuple((Cell(str(number)), Cell(_legible(note))) for number, note in enumerate(reading.notes, start=1))
        ruled.append(RuledList(own.NOTES, (ListColumn("", 5), ListColumn("", 95)), notes, "list:notes"))
    head, _ = headline(paper, own.LIST_HEAD, _legible(Path(reading.source).name), "plan-points")
    return [
        Draft(
            number="A8",
            name="plan-points",
            title=own.LIST_TITLE,
            subtitle=own.SUBTITLE,
            paper=paper,
            scale="none",
            items=(*head, *items),
            description="Every point as read from the deck plan.",
        )
        for items in flow(ruled, columns)
    ]


def _row(name: str, at: tuple[float, float, float | None], place: str, fmt: LengthFormat) -> tuple[Cell, ...]:
    x, y, z = at
    return (
        Cell(name),
        Cell(_written(x, fmt), f"{name}:x"),
        Cell(_written(y, fmt), f"{name}:y"),
        Cell(own.OPEN if z is None else _written(z, fmt), f"{name}:z"),
        Cell(_legible(place)),
    )
