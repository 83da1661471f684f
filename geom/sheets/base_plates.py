"""Sheet 5: each base with its bolts, the foot of every tube on it, and the pad that a sloping deck asks for."""

from __future__ import annotations

import math

from geom.boat.model import BasePlate, Side
from geom.errors import GeometryError
from geom.figure import Circle, Dimension, Item, Leader, Line, Numbers, Ordinate, Point, Polyline, Rect, Text, View
from geom.refit import Refit
from geom.runs.base_fit import CORNERS, foot_ellipse, foot_on_plate, length_above_plate, pad
from geom.runs.place import PlacedPost, side_sign
from geom.schedules import numbers
from geom.sheets import post_words, words
from geom.sheets.draft import Draft, above_block, beside_block
from geom.sheets.paper import papers
from geom.sheets.placing import spread
from geom.sheets.post_words import across_of, length
from geom.sheets.ruled import Ruled, cell, facts
from geom.sheets.views import LETTERING, apart, arrow_to, caption
from geom.units import decimal, degrees

_SCALES = (2.0, 1.0, 0.5, 0.2)
_NOTE_PITCH = 4.2
_AROUND = 34.0
_CORNER_STEPS = 8


def base_plates(refit: Refit) -> tuple[Draft, ...]:
    """Return a sheet for each base and side of the boat that a post stands on; none where it names no base.

    Raises:
        GeometryError: no sheet holds a base.
    """
    found: dict[tuple[str, Side], list[PlacedPost]] = {}
    for post in refit.placed.posts.values():
        if post.told.base is not None:
            found.setdefault((post.told.base, post.side), []).append(post)
    return tuple(
        draft
        for number, ((word, side), posts) in enumerate(found.items(), 1)
        for draft in _drafts(refit, number, word, side, posts)
    )


def _drafts(refit: Refit, number: int, word: str, side: Side, posts: list[PlacedPost]) -> tuple[Draft, ...]:
    base, out = refit.boat.bases[word], side_sign(side)
    how = numbers(refit.boat)
    table = posts_table(refit, word, base, posts)
    told = base_table(refit, word, base)
    for paper in papers(refit.boat.drawing.sheets, least=1):
        space, column = beside_block(paper), above_block(paper)
        notes_room = (len(post_words.PLATE_NOTES) + 1) * _NOTE_PITCH + 3.0
        needed = told.height + 6.0 + table.height + 6.0 + notes_room
        scale = next(
            (
                s
                for s in _SCALES
                if base.length * s + 2.0 * _AROUND <= space.height and base.width * s + 2.0 * _AROUND <= space.width
            ),
            None,
        )
        wide = max(sum(table.widths), sum(told.widths))
        if scale is None or needed > column.height - 2.0 or wide > column.width:
            continue
        origin = (0.5 * (space.left + space.right), 0.5 * (space.bottom + space.top) - 3.0)
        view = View(
            "plate", "", scale, origin, space, plate_items(base, posts, out, 1.0 / scale, how), numbers=how,
            description=f"Base {word} seen from above.",
        )  # fmt: skip
        left, top = column.left, column.top - 1.0
        items: list[Item] = [
            *caption(
                Rect(space.left, space.bottom, space.right, space.top - 1.5),
                f"{word.upper()}, {words.SIDE[side]}",
                post_words.PLATE_VIEW,
                scale,
                "view:plate",
            ),
            told.at((left, top)),
            table.at((left, top - told.height - 6.0)),
            *_notes((left + 1.0, column.bottom + notes_room - 4.5)),
        ]
        return (
            Draft(
                name=f"base-plate-{number}",
                title=post_words.PLATES_TITLE.format(word=word, side=words.SIDE[side]),
                kind=post_words.PLATES_KIND,
                paper=paper,
                scale=f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}",
                items=tuple(items),
                views=apart((view,)),
                tolerance=post_words.ONLY_BASE,
                description=f"Base {word}: {len(posts)} posts.",
            ),
        )
    raise GeometryError(f"no sheet holds base {word!r}")


def base_table(refit: Refit, word: str, base: BasePlate) -> Ruled:
    """Return the sizes of a base."""
    how = numbers(refit.boat)
    rows = (
        ("TUBE ON IT", base.tube, f"base:{word}:tube"),
        ("LENGTH, FORE-AND-AFT", length(base.length, how, 1), f"base:{word}:length"),
        ("WIDTH, ATHWART", length(base.width, how, 1), f"base:{word}:width"),
        ("THICKNESS", length(base.thickness, how, 1), f"base:{word}:thickness"),
        ("CORNER RADIUS", length(base.corner_radius, how, 1), f"base:{word}:corner_radius"),
        ("BOLTS", f"{len(base.bolts)} of Ø{length(base.bolt, how, 1)}", f"base:{word}:bolts"),
        ("BOLT HOLES", f"Ø{length(base.bolt_hole, how, 1)}", f"base:{word}:bolt_hole"),
    )
    return facts(f"{word.upper()} ({how.unit})", rows, f"table:base:{word}")


def posts_table(refit: Refit, word: str, base: BasePlate, posts: list[PlacedPost]) -> Ruled:
    """Return a row for each post on a base: its foot on a plate that lies on the deck, else the pad's four corners."""
    how = numbers(refit.boat)
    head: tuple[str, ...]
    if base.tube == "to suit the post":
        head = ("POST", "FOOT LONG", "FOOT SHORT", "TURNED", "OFF SQUARE", "TUBE OVER PLATE")
    else:
        head = ("POST", "FWD OUT", "AFT OUT", "AFT IN", "FWD IN", "ON AXIS", "TUBE OVER PLATE")
    rows = []
    for post in posts:
        if base.tube == "to suit the post":
            foot = foot_ellipse(post)
            values = {
                "foot_long": length(2.0 * foot.half_long, how, 1),
                "foot_short": length(2.0 * foot.half_short, how, 1),
                "turned": decimal(degrees(foot.turned), 1) if post.plate.total > 1e-6 else "-",
                "total": decimal(degrees(post.plate.total), 2),
            }
        else:
            under = pad(post, base)
            values = {corner: length(under.corners[corner], how, 1) for corner in CORNERS}
            values["on_axis"] = length(under.on_axis, how, 1)
        values["over_plate"] = length(length_above_plate(post, base), how, 1)
        cells = [cell(post.id, f"plates:{post.id}:post", "left")]
        cells += [cell(text, f"plates:{post.id}:{key}") for key, text in values.items()]
        rows.append(tuple(cells))
    title = "FOOT OF EACH TUBE" if base.tube == "to suit the post" else "PAD UNDER EACH BASE"
    return Ruled(f"{title} ({how.unit}, deg)", head, tuple(rows), f"table:plates:{word}")


def plate_items(base: BasePlate, posts: list[PlacedPost], hand: float, mm: float, how: Numbers) -> tuple[Item, ...]:
    """Return the plate from above, forward up, with bolts and the feet of its tubes.

    Args:
        base: the plate.
        posts: every post on it, all of one side.
        hand: where outboard lies on paper, +1 at the right for starboard, -1 at the left for port.
        mm: model millimetres to a paper millimetre.
        how: how lengths are written.
    """
    x, y = 0.5 * base.width, 0.5 * base.length
    items: list[Item] = [
        Polyline(_rounded(x, y, base.corner_radius), "OUTLINE", closed=True, tag="plate"),
        Line((-x - 5.0 * mm, 0.0), (x + 5.0 * mm, 0.0), "CENTRE"),
        Line((0.0, -y - 5.0 * mm), (0.0, y + 5.0 * mm), "CENTRE"),
    ]
    for number, (aft, out) in enumerate(base.bolts, 1):
        radius, reach = 0.5 * base.bolt_hole, 0.5 * base.bolt_hole + 2.0 * mm
        items += [
            Circle((hand * out, -aft), radius, "OUTLINE", f"bolt:{number}"),
            Line((hand * out - reach, -aft), (hand * out + reach, -aft), "CENTRE"),
            Line((hand * out, -aft - reach), (hand * out, -aft + reach), "CENTRE"),
        ]
    seen: set[tuple[float, float]] = set()
    for post in posts:
        square = base.tube == "square to the plate"
        key = (0.0, 0.0) if square else (round(post.plate.out, 6), round(post.plate.aft, 6))
        if key not in seen:
            seen.add(key)
            edge_of_tube = tuple((hand * out, -aft) for aft, out in foot_on_plate(post, base))
            items.append(Polyline(edge_of_tube, "FITTING", closed=True, tag=f"foot:{post.id}"))
    items += _dimensions(base, hand, mm)
    aft, out = max(base.bolts, key=lambda place: (-place[1], -place[0]))
    note = f"{len(base.bolts)} x Ø{length(base.bolt_hole, how, 1)}"
    edge = 0.36 * base.bolt_hole
    knee = (-hand * (x + 6.0 * mm), y + 10.0 * mm)
    points = ((hand * out - hand * edge, -aft + edge), knee, (knee[0] - hand * 2.0 * mm, knee[1]))
    items.append(Leader(points, note, tag="bolt-holes"))
    items += arrow_to((0.0, y + 9.0 * mm), (0.0, y + 19.0 * mm), mm)
    items += arrow_to((hand * (x + 9.0 * mm), 0.0), (hand * (x + 19.0 * mm), 0.0), mm)
    return (
        *items,
        Text((0.0, y + 20.5 * mm), post_words.BOW, 3.5, "TEXT", "centre"),
        Text((hand * (x + 9.0 * mm), 1.8 * mm), post_words.OUTBOARD, LETTERING, "TEXT", across_of(hand)),
    )


def _dimensions(base: BasePlate, hand: float, mm: float) -> list[Item]:
    """Return the plate's sizes inboard and below, the bolts' places as ordinates from the middle above and outboard."""
    x, y = 0.5 * base.width, 0.5 * base.length
    items: list[Item] = [
        Dimension((-x, -y), (x, -y), -12.0, along=0.0, tag="size:width"),
        Dimension((-hand * x, -y), (-hand * x, y), hand * 12.0, along=0.5 * math.pi, tag="size:length"),
    ]
    columns = sorted({round(hand * out, 6) for _, out in base.bolts} | {0.0})
    rows = sorted({round(-aft, 6) for aft, _ in base.bolts} | {0.0})
    places = spread([v / mm for v in columns], [LETTERING] * len(columns), 1.6, -x / mm - 20.0, x / mm + 20.0)
    for value, place in zip(columns, places, strict=True):
        if value:
            top = max(-aft for aft, out in base.bolts if round(hand * out, 6) == value)
            end = (place * mm, y + 7.0 * mm)
            items.append(Ordinate((0.0, 0.0), (value, top), end, "x", tag=f"bolt-out:{decimal(hand * value, 3)}"))
    places = spread([v / mm for v in rows], [LETTERING] * len(rows), 1.6, -y / mm - 20.0, y / mm + 20.0)
    for value, place in zip(rows, places, strict=True):
        if value:
            outer = max(out for aft, out in base.bolts if round(-aft, 6) == value)
            end = (hand * (x + 7.0 * mm), place * mm)
            items.append(Ordinate((0.0, 0.0), (hand * outer, value), end, "y", tag=f"bolt-aft:{decimal(-value, 3)}"))
    return items


def _rounded(x: float, y: float, radius: float) -> tuple[Point, ...]:
    """Return a rectangle about (0, 0) by its half sides, its corners rounded."""
    points: list[Point] = []
    for quarter, (a, b) in enumerate(((1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0))):
        centre = (a * (x - radius), b * (y - radius))
        for step in range(_CORNER_STEPS + 1 if radius > 0.0 else 1):
            angle = 0.5 * math.pi * (quarter + step / _CORNER_STEPS)
            points.append((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)))
    return tuple(points)


def _notes(at: Point) -> list[Item]:
    x, y = at
    items: list[Item] = [Text((x, y), words.NOTES, LETTERING, "TEXT")]
    for line in post_words.PLATE_NOTES:
        y -= _NOTE_PITCH
        items.append(Text((x, y), line, LETTERING, "NOTE"))
    return items
