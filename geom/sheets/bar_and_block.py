"""The test bar with its block: a straight edge over the widest span, and a block whose sides are the limits."""

from __future__ import annotations

import math

from geom.data.table import datum
from geom.figure import Dimension, Hatch, Item, Leader, Line, Point, Polyline, Rect, Text, View
from geom.refit import Refit
from geom.rules.measure_heights import levels, sides
from geom.runs.loads import STANDARD_GRAVITY
from geom.schedules import numbers
from geom.sheets import words
from geom.sheets.paper import SCALES
from geom.sheets.ruled_list import broken
from geom.sheets.setting_lists import FORCES, length, spans_at
from geom.units import decimal

# Sizes of the bar and the block that the rule does not ask for [mm]: common practice, no source.
OVERLAP = 50.0
BAR_DEPTH = 40.0
BLOCK_THICKNESS = 20.0
BLOCK_SCALE = 2
# To which the bar is cut, by the unit of the sheet: 10 mm, half an inch.
_ROUND_UP_TO = {"mm": 10.0, "in": 12.7}
_SIDE_ROOM = 8.0
_FINEST = 5
# How large the weight is drawn, whatever it is [paper mm].
_WEIGHT = 6.0


def bar_spans(refit: Refit) -> tuple[float, float]:
    """Return the widest distance of supports that the bar has to bridge, and the bar's length [mm].

    Of the spans that reach aft of the mast; of all where the file does not say where the mast stands.
    """
    mast = refit.boat.boat.mast_x
    placed = refit.placed
    spans = [span for side in sides(placed) for level in levels(placed, side) for span in spans_at(refit, side, level)]
    aft = [span for span in spans if mast is not None and span.aft > mast]
    widest = max(span.length for span in aft or spans)
    step = _ROUND_UP_TO[numbers(refit.boat).unit]
    return widest, math.ceil((widest + 2.0 * OVERLAP) / step) * step


def limits() -> tuple[float, float]:
    """Return how far the upper or only line and the others may give [mm]."""
    return (
        datum("person_loads", case="push test sag upper").value,
        datum("person_loads", case="push test sag other").value,
    )


def bar_scale(refit: Refit, room: float) -> int:
    """Return the reduction at which the bar stands in a width [mm]."""
    whole = bar_spans(refit)[1]
    return next(mm for mm in SCALES if mm >= _FINEST and whole / mm + 2.0 * _SIDE_ROOM <= room)


def bar_view(refit: Refit, window: Rect) -> View:
    """Return the bar on a loaded span."""
    widest, whole = bar_spans(refit)
    mm = bar_scale(refit, window.width)
    sag = limits()[0]
    half, reach = widest / 2.0, whole / 2.0
    bar = ((-reach, 0.0), (reach, 0.0), (reach, BAR_DEPTH), (-reach, BAR_DEPTH))
    weight, hang = _WEIGHT * mm, -sag - 6.0 * mm
    items: list[Item] = [
        Polyline(bar, "OUTLINE", closed=True, tag="test-bar"),
        Polyline(((-half, 0.0), (0.0, -sag), (half, 0.0)), "GUARD-LINE-U", tag="test-line"),
        *(Line((x, -9.0 * mm), (x, BAR_DEPTH + 3.0 * mm), "CENTRE") for x in (-half, half)),
        Line((0.0, -sag), (0.0, hang), "THIN"),
        Polyline(_box((0.0, hang - weight), weight, weight), "OUTLINE", closed=True),
        Hatch(_box((0.0, -sag), 30.0, sag), "HATCH", pitch=1.0, tag="test-block"),
        Polyline(_box((0.0, -sag), 30.0, sag), "THIN", closed=True),
        Dimension((-reach, BAR_DEPTH), (reach, BAR_DEPTH), 17.0, tag="bar:length"),
        Dimension((-reach, BAR_DEPTH), (0.0, BAR_DEPTH), 10.0, tag="bar:middle"),
        Dimension((-half, -9.0 * mm), (half, -9.0 * mm), -(sag / mm + 10.0), tag="bar:supports"),
        Leader(((15.0, -sag / 2.0), (14.0 * mm, -sag - 3.0 * mm)), words.BAR_BLOCK, "dot"),
        Leader(((-reach * 0.8, BAR_DEPTH / 2.0), (-reach * 0.8 + 4.0 * mm, -sag - 3.0 * mm)), words.BAR_EDGE, "dot"),
        Leader(((weight / 2.0, hang - weight / 2.0), (14.0 * mm, hang - weight / 2.0)), words.BAR_WEIGHT, "none"),
    ]
    origin = ((window.left + window.right) / 2.0, window.top - 8.0 - 24.0 - BAR_DEPTH / mm)
    return View(
        name="test-bar",
        title=words.BAR_TITLE,
        scale=1.0 / mm,
        origin=origin,
        window=window,
        items=tuple(items),
        numbers=numbers(refit.boat),
        description="A straight bar laid on the line at both supports, the line loaded midway, the block between.",
    )


def _box(foot: Point, wide: float, tall: float) -> tuple[Point, ...]:
    """Return a rectangle that stands on the middle of its lower side."""
    x, y = foot
    return ((x - wide / 2.0, y), (x + wide / 2.0, y), (x + wide / 2.0, y + tall), (x - wide / 2.0, y + tall))


def block_view(refit: Refit, window: Rect, beside: View) -> View:
    """Return the block from the front and from its edge."""
    upper, other = limits()
    mm = BLOCK_SCALE
    apart = upper / 2.0 + 14.0 * mm
    items: list[Item] = [
        Polyline(_box((0.0, 0.0), upper, other), "OUTLINE", closed=True, tag="block"),
        Polyline(_box((apart, 0.0), BLOCK_THICKNESS, other), "OUTLINE", closed=True),
        Dimension((-upper / 2.0, 0.0), (upper / 2.0, 0.0), -10.0, tag="block:upper"),
        Dimension((-upper / 2.0, 0.0), (-upper / 2.0, other), 10.0, tag="block:other"),
        Dimension(
            (apart - BLOCK_THICKNESS / 2.0, 0.0), (apart + BLOCK_THICKNESS / 2.0, 0.0), -10.0, tag="block:thickness"
        ),
    ]
    shift = beside.window.right / beside.scale + 1000.0
    return View(
        name="block",
        title=words.BLOCK_TITLE,
        scale=1.0 / mm,
        origin=((window.left + window.right) / 2.0 - 3.0, window.bottom + 16.0),
        window=window,
        items=tuple(items),
        model_at=(shift, 0.0),
        numbers=numbers(refit.boat),
        description="Its sides are the limits of the upper or only line and of the others.",
    )


def steps(refit: Refit, at: Point, room: float, pitch: float) -> tuple[Item, ...]:
    """Return how the test is made, step by step from an upper left corner, in a width [mm]."""
    how = numbers(refit.boat)
    new, old = (datum("person_loads", case=case).value for case in FORCES)
    upper, other = limits()
    unit = how.unit
    fields = {
        "new": f"{new:.0f} N",
        "old": f"{old:.0f} N",
        "new_kg": f"{decimal(new / STANDARD_GRAVITY, 2)} kg",
        "old_kg": f"{decimal(old / STANDARD_GRAVITY, 2)} kg",
        "upper": f"{length(upper, how)} {unit}",
        "other": f"{length(other, how)} {unit}",
    }
    x, y = at
    items: list[Item] = []
    for number, step in enumerate(words.BAR_STEPS, start=1):
        items.append(Text((x, y), str(number), 2.5, "TEXT"))
        for line in broken(step.format(**fields), room - 5.0):
            items.append(Text((x + 5.0, y), line, 2.5, "TEXT", tag=f"step:{number}"))
            y -= pitch
        y -= 0.4 * pitch
    return tuple(items)
