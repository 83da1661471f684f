"""Dimensions, ordinates and leaders as strokes, arrows and lettering on paper."""

from __future__ import annotations

import math

from geom import lettering
from geom.figure import Across, Dimension, Hatch, Leader, LengthFormat, Line, Ordinate, Point, Polyline, Text, View
from geom.render.pieces import Parts, Place
from geom.render.plane import add, arrow, disc, dot, left_of, middle, readable, towards
from geom.render.style import DRAFTING, Style


def measured(item: Dimension | Ordinate) -> float:
    """Return the measured value of a dimension at full size [mm], never negative."""
    if isinstance(item, Ordinate):
        index = 0 if item.axis == "x" else 1
        return abs(item.at[index] - item.zero[index])
    if item.along is None:
        return math.dist((*item.start, item.levels[0]), (*item.end, item.levels[1]))
    run = (math.cos(item.along), math.sin(item.along))
    return abs(dot((item.end[0] - item.start[0], item.end[1] - item.start[1]), run))


def number(value: float, numbers: LengthFormat) -> str:
    """Return a measured value [mm] as text in the view's unit, without the unit word, which is on the sheet."""
    return numbers.figure(value)


def _height(item: Dimension | Ordinate, style: Style) -> float:
    return style.text_height if item.height is None else item.height


def dimension_text(item: Dimension | Ordinate, view: View | None = None) -> str:
    """Return the lettering of a dimension, "<>" filled with the measured value.

    Args:
        item: the dimension.
        view: the view that contains it, None for a sheet's own items.
    """
    return item.text.replace("<>", number(measured(item), Place.of(view).numbers))


def fits_between_arrows(item: Dimension, view: View | None = None, style: Style = DRAFTING) -> bool:
    """Return whether a dimension's lettering fits between its extension lines.

    Args:
        item: the dimension.
        view: the view that contains it, None for a sheet's own items.
        style: drafting sizes.
    """
    span = measured(item) * Place.of(view).scale
    return (
        lettering.width(dimension_text(item, view), _height(item, style), item.weight) + 2.0 * style.clearance <= span
    )


def dimension_line(item: Dimension, place: Place) -> tuple[Point, Point, Point]:
    """Return the ends of a dimension line on paper [mm], and its unit direction.

    The line lies at the offset from the dimension's start, to the left of start -> end when positive.
    """
    start, end = place.paper(item.start), place.paper(item.end)
    run = towards(start, end) if item.along is None else (math.cos(item.along), math.sin(item.along))
    span = dot((end[0] - start[0], end[1] - start[1]), run)
    if span < 0.0:
        run, span = (-run[0], -run[1]), -span
    first = add(start, left_of(run), item.offset)
    return first, add(first, run, span), run


def dimension_number(item: Dimension, place: Place, text: str, style: Style = DRAFTING) -> Text:
    """Return the lettering of a dimension at its position on paper.

    Args:
        item: the dimension.
        place: mapping of the view to paper.
        text: the lettering.
        style: drafting sizes.
    """
    first, last, run = dimension_line(item, place)
    rotation = readable(run)
    at = add(middle(first, last), run, item.shift)
    at = add(at, (-math.sin(rotation), math.cos(rotation)), style.text_gap)
    return Text(at, text, _height(item, style), item.layer, "centre", "base", rotation, item.tag, item.weight)


def dimension_parts(item: Dimension, place: Place, style: Style = DRAFTING) -> Parts:
    """Yield extension lines, dimension line, arrows and number of a dimension.

    Args:
        item: the dimension.
        place: mapping of the view to paper.
        style: drafting sizes.
    """
    first, last, run = dimension_line(item, place)
    span = math.dist(first, last)
    text = item.text.replace("<>", number(measured(item), place.numbers))
    features = (place.paper(item.start), place.paper(item.end))
    for feature, foot, bare in zip(features, (first, last), item.bare, strict=True):
        reach = math.dist(feature, foot)
        if reach > style.extension_gap and not bare:
            away = towards(feature, foot)
            begin, stop = add(feature, away, style.extension_gap), add(foot, away, style.extension_beyond)
            yield Line(begin, stop, item.layer, item.tag), "extension line"
    inside = span >= style.arrows_inside_from * style.arrow_length
    stub = 0.0 if inside else style.outside_stub * style.arrow_length
    low, high = -stub, span + stub
    centre, half = span / 2.0 + item.shift, lettering.width(text, _height(item, style), item.weight) / 2.0
    if centre < 0.0:
        low = min(low, centre - half)
    elif centre > span:
        high = max(high, centre + half)
    yield Line(add(first, run, low), add(first, run, high), item.layer, item.tag), "dimension line"
    outward = 1.0 if inside else -1.0
    for tip, sign in ((first, -outward), (last, outward)):
        head = arrow(tip, (run[0] * sign, run[1] * sign), style.arrow_length, style.arrow_half_width)
        yield Hatch(head, item.layer, tag=item.tag), "arrow"
    yield dimension_number(item, place, text, style), "number"


def ordinate_path(item: Ordinate, place: Place, style: Style = DRAFTING) -> tuple[list[Point], Point]:
    """Return the line of an ordinate from feature to number on paper [mm], and its unit direction.

    Args:
        item: the ordinate.
        place: mapping of the view to paper.
        style: drafting sizes.
    """
    at, end = place.paper(item.at), place.paper(item.end)
    if item.axis == "x":
        sign = 1.0 if end[1] >= at[1] else -1.0
        run = (0.0, sign)
    else:
        sign = 1.0 if end[0] >= at[0] else -1.0
        run = (sign, 0.0)
    begin = add(at, run, style.extension_gap)
    aside = abs(dot((end[0] - at[0], end[1] - at[1]), left_of(run)))
    if aside < 1e-6:
        return [begin, end], run
    knee = add(end, run, -style.ordinate_leg)
    reach = dot((knee[0] - begin[0], knee[1] - begin[1]), run)
    return [begin, add(begin, run, max(0.0, reach - style.ordinate_leg)), knee, end], run


def ordinate_parts(item: Ordinate, place: Place, style: Style = DRAFTING) -> Parts:
    """Yield the line and the number of an ordinate.

    Args:
        item: the ordinate.
        place: mapping of the view to paper.
        style: drafting sizes.
    """
    path, run = ordinate_path(item, place, style)
    yield Polyline(tuple(path), item.layer, tag=item.tag), "extension line"
    text = item.text.replace("<>", number(measured(item), place.numbers))
    ahead = run[0] + run[1] > 0.0
    at = add(path[-1], run, style.leader_gap)
    rotation = math.pi / 2.0 if item.axis == "x" else 0.0
    across: Across = "left" if ahead else "right"
    yield (
        Text(at, text, _height(item, style), item.layer, across, "middle", rotation, item.tag, item.weight),
        "number",
    )


def leader_notes(item: Leader, place: Place, style: Style = DRAFTING) -> list[Text]:
    """Return the lines of a leader's note, beside the leader's last point.

    Args:
        item: the leader.
        place: mapping of the view to paper.
        style: drafting sizes.
    """
    points = [place.paper(point) for point in item.points]
    rightward = points[-1][0] >= points[-2][0] - 1e-9
    x = points[-1][0] + (style.leader_gap if rightward else -style.leader_gap)
    lines = item.text.split("\n") if item.text else []
    across: Across = "left" if rightward else "right"
    pitch = style.line_pitch * item.height
    return [
        Text(
            (x, points[-1][1] - row * pitch),
            line,
            item.height,
            item.layer,
            across,
            "middle",
            0.0,
            item.tag,
            item.weight,
        )
        for row, line in enumerate(lines)
    ]


def leader_parts(item: Leader, place: Place, style: Style = DRAFTING) -> Parts:
    """Yield the line, the head and the note of a leader.

    Args:
        item: the leader.
        place: mapping of the view to paper.
        style: drafting sizes.

    Raises:
        ValueError: a leader of fewer than two points.
    """
    if len(item.points) < 2:
        raise ValueError(f"a leader needs two points or more ({item.text!r})")
    points = tuple(place.paper(point) for point in item.points)
    yield Polyline(points, item.layer, tag=item.tag), "leader"
    if item.head == "arrow":
        head = arrow(points[0], towards(points[1], points[0]), style.arrow_length, style.arrow_half_width)
        yield Hatch(head, item.layer, tag=item.tag), "arrow"
    elif item.head == "dot":
        yield Hatch(disc(points[0], style.dot_radius), item.layer, tag=item.tag), "arrow"
    for note in leader_notes(item, place, style):
        yield note, "note"
