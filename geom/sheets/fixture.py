"""Sheet 9: lengths from hole to hole and plumb offsets, to check posts by after welding and bolting down."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise, zip_longest

from geom import vec
from geom.boat.model import Side
from geom.errors import GeometryError
from geom.figure import Circle, Item, Line, Rect, Text, View
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.place import PlacedPost, side_sign
from geom.runs.shop import shop_limits
from geom.schedules import numbers
from geom.sheets import post_words, words
from geom.sheets.draft import GAP, Draft, key_items, list_area
from geom.sheets.paper import SCALES, Paper, papers
from geom.sheets.placing import spread
from geom.sheets.plan_view import SIDES
from geom.sheets.post_words import length
from geom.sheets.profile_view import facing
from geom.sheets.ruled import Ruled, cell, flow
from geom.sheets.views import LETTERING, TITLE_ROOM, apart, caption
from geom.units import degrees
from geom.vec import Vec

_SKETCHES = 80.0
_APART = 8.0
# Rows tall enough to write in by hand.
_ROW = 6.0


@dataclass(frozen=True)
class Mark:
    """A point that a tape is laid to: a hole's centre, or the foot where a post has a single hole."""

    name: str
    at: Vec


@dataclass(frozen=True)
class Check:
    """A length between two marks [mm]."""

    start: Mark
    end: Mark

    @property
    def length(self) -> float:
        """The true length [mm]."""
        return vec.distance(self.start.at, self.end.at)


def upper_and_lower(post: PlacedPost) -> tuple[Mark, Mark]:
    """Return the highest hole of a post, and its lowest one; its foot where there is one hole only."""
    holes = sorted(post.holes, key=lambda hole: hole.centre[2])
    low = Mark(f"{post.id} foot", post.foot) if len(holes) == 1 else Mark(holes[0].id, holes[0].centre)
    return Mark(holes[-1].id, holes[-1].centre), low


def neighbours(refit: Refit, side: Side) -> tuple[tuple[PlacedPost, PlacedPost], ...]:
    """Return each post of a side with the next one aft."""
    found = [post for post in refit.placed.posts.values() if post.side == side]
    return tuple(pairwise(sorted(found, key=lambda post: post.foot[0])))


def opposites(refit: Refit) -> tuple[tuple[PlacedPost, PlacedPost], ...]:
    """Return each starboard post with the port one of the same name."""
    posts = refit.placed.posts
    return tuple(
        (post, posts[f"P{name[1:]}"]) for name, post in posts.items() if name[0] == "S" and f"P{name[1:]}" in posts
    )


def four_checks(a: PlacedPost, b: PlacedPost) -> tuple[Check, ...]:
    """Return upper to upper, lower to lower and the two diagonals between two posts."""
    (a_up, a_low), (b_up, b_low) = upper_and_lower(a), upper_and_lower(b)
    return (Check(a_up, b_up), Check(a_low, b_low), Check(a_up, b_low), Check(a_low, b_up))


def fixture(refit: Refit) -> tuple[Draft, ...]:
    """Return the checks, sketches on the first sheet.

    Raises:
        GeometryError: no sheet holds the tables.
    """
    tables = [
        checks_table(refit, f"NEIGHBOURS, {words.SIDE[side]}", neighbours(refit, side), f"near-{side}")
        for side in SIDES
    ]
    tables += [checks_table(refit, "ACROSS, STARBOARD TO PORT", opposites(refit), "across")]
    tables = [table for table in tables if table.rows]
    plumb = plumb_table(refit)
    for paper in papers(refit.boat.drawing.sheets, least=1):
        space = list_area(paper)
        left = max((sum(table.widths) for table in tables), default=0.0)
        right = space.width - left - _APART
        if right >= sum(plumb.widths):
            wide = [replace(table, width=left) for table in tables]
            return _drafts(refit, paper, space, wide, replace(plumb, width=min(right, 1.3 * sum(plumb.widths))))
    raise GeometryError("no sheet holds the checks after welding")


def _drafts(refit: Refit, paper: Paper, space: Rect, tables: list[Ruled], plumb: Ruled) -> tuple[Draft, ...]:
    plate = f"{degrees(shop_limits().tube_to_plate):g}°"
    notes = key_items(paper, words.NOTES, [line.format(plate=plate) for line in post_words.FIXTURE_NOTES])
    split = space.right - sum(plumb.widths)
    low = space.top - _SKETCHES
    left, right = replace(space, right=split - _APART), replace(space, left=split)
    views, captions = _sketches(refit, Rect(left.left, low + 5.0, space.right, space.top + 5.0))
    pages = zip_longest(
        flow(tables, left, 1.5 * GAP, replace(left, top=low)),
        flow([plumb], right, GAP, replace(right, top=low)),
        fillvalue=(),
    )
    return tuple(
        Draft(
            name="fixture" if page == 0 else f"fixture-{page + 1}",
            title=post_words.FIXTURE_TITLE,
            kind=post_words.FIXTURE_KIND,
            paper=paper,
            scale=words.AS_SHOWN if page == 0 else "none",
            items=(*at_left, *at_right, *notes, *(captions if page == 0 else ())),
            views=views if page == 0 else (),
            tolerance=post_words.ONLY_SHOP,
            description="Lengths from hole to hole and plumb offsets to check after welding.",
        )
        for page, (at_left, at_right) in enumerate(pages)
    )


def checks_table(refit: Refit, title: str, pairs: tuple[tuple[PlacedPost, PlacedPost], ...], key: str) -> Ruled:
    """Return a row for each pair of posts: four lengths, each with a blank for what was made."""
    how = numbers(refit.boat)
    single = any(len(post.holes) == 1 for pair in pairs for post in pair)
    low = "FOOT" if single else "LOWER"
    kinds = ("UPPER TO UPPER", f"{low} TO {low}", f"UPPER TO {low}", f"{low} TO UPPER")
    head = ("FROM", "TO", *(text for kind in kinds for text in (kind, "AS MADE")))
    rows = []
    for a, b in pairs:
        cells = [
            cell(a.id, f"fixture:{key}:{a.id}:{b.id}:from", "left"),
            cell(b.id, f"fixture:{key}:{a.id}:{b.id}:to", "left"),
        ]
        for kind, check in zip(("uu", "ll", "ul", "lu"), four_checks(a, b), strict=True):
            cells += [cell(length(check.length, how), f"fixture:{key}:{a.id}:{b.id}:{kind}"), cell("")]
        rows.append(tuple(cells))
    return Ruled(f"{title} ({how.unit})", head, tuple(rows), f"table:{key}", pitch=_ROW)


def plumb_table(refit: Refit) -> Ruled:
    """Return a row for each hole: how far it stands out, aft and above its foot, and what the shop's limit moves it."""
    how, limit = numbers(refit.boat), shop_limits().tube_to_plate
    head = ("HOLE", "OUT", "AS MADE", "AFT", "AS MADE", "DROP", "AS MADE", "±")
    rows = []
    for post, hole in refit.placed.holes():
        away = vec.sub(hole.centre, post.foot)
        out = side_sign(post.side) * away[1]
        rows.append((
            cell(hole.id, f"plumb:{hole.id}:hole", "left"),
            cell(length(out, how), f"plumb:{hole.id}:out"), cell(""),
            cell(length(away[0], how), f"plumb:{hole.id}:aft"), cell(""),
            cell(length(away[2], how), f"plumb:{hole.id}:drop"), cell(""),
            cell(length(hole.along * math.tan(limit), how), f"plumb:{hole.id}:limit"),
        ))  # fmt: skip
    return Ruled(f"HOLES OFF PLUMB THROUGH THE FOOT ({how.unit})", head, tuple(rows), "table:plumb", pitch=_ROW)


def _extent(refit: Refit) -> tuple[float, float, float, float, float]:
    posts = tuple(refit.placed.posts.values())
    points = [p for post in posts for p in (post.foot, post.at(post.top))]
    xs, ys, zs = ([p[k] for p in points] for k in range(3))
    return min(xs), max(xs), max(abs(y) for y in ys), min(zs), max(zs)


def _sketches(refit: Refit, band: Rect) -> tuple[tuple[View, ...], list[Item]]:
    """Return both sides from outboard and the deck from above, with the lengths that are taken.

    Raises:
        GeometryError: the boat does not go into the band at any listed scale.
    """
    how = numbers(refit.boat)
    low, high, half, bottom, top = _extent(refit)
    third = band.width / 3.0
    tall = band.height - TITLE_ROOM - GAP
    views: list[View] = []
    items: list[Item] = []
    sides: tuple[Side | None, ...] = (*SIDES, None)
    for number, side in enumerate(sides):
        window = Rect(band.left + number * third, band.bottom + GAP, band.left + (number + 1) * third - 2.0, band.top)
        rise = 2.0 * half if side is None else top - bottom
        mm = next((mm for mm in SCALES if rise / mm + 16.0 <= tall and (high - low) / mm + 16.0 <= window.width), None)
        if mm is None:
            raise GeometryError("the posts do not go into a sketch at 1:200")
        middle = 0.5 * (window.left + window.right)
        centre_y = window.bottom + 0.5 * tall
        if side is None:
            name, title, line = "across", "ACROSS", "seen from above, bow to the left"
            origin = (middle - 0.5 * (low + high) / mm, centre_y)
            drawn = _across_items(refit, mm, window, origin[0])
        else:
            name, title, line = f"side-{side}", words.SIDE[side], "seen from outboard"
            turn = facing(side)
            origin = (middle - turn * 0.5 * (low + high) / mm, centre_y - 0.5 * (bottom + top) / mm + 3.0)
            drawn = _side_items(refit, side, mm, window, origin[0])
        views.append(View(name, "", 1.0 / mm, origin, window, drawn, numbers=how, description=line))
        items += caption(window, title, line, 1.0 / mm, f"view:{name}")
    return apart(views), items


def _side_items(refit: Refit, side: Side, mm: float, window: Rect, origin: float) -> tuple[Item, ...]:
    turn = facing(side)
    posts = sorted((p for p in refit.placed.posts.values() if p.side == side), key=lambda p: turn * p.foot[0])
    items: list[Item] = []
    for a, b in neighbours(refit, side):
        for check in four_checks(a, b):
            ends = [(turn * mark.at[0], mark.at[2]) for mark in (check.start, check.end)]
            items.append(Line(ends[0], ends[1], "THIN", tag=f"taped:{check.start.name}:{check.end.name}"))
    low = min(post.foot[2] for post in posts) - 4.0 * mm
    wide = [text_width(post.id, LETTERING) for post in posts]
    limits = (window.left - origin + 1.0, window.right - origin - 1.0)
    places = spread([turn * post.foot[0] / mm for post in posts], wide, 1.2, *limits)
    for post, place in zip(posts, places, strict=True):
        top = post.at(post.top)
        foot = (turn * post.foot[0], post.foot[2])
        items += [
            Line(foot, (turn * top[0], top[2]), "POST"),
            Line((foot[0], foot[1] - 0.8 * mm), (place * mm, low), "DIM"),
            Text((place * mm, low - 3.4 * mm), post.id, LETTERING, "NOTE", "centre"),
        ]
    return tuple(items)


def _across_items(refit: Refit, mm: float, window: Rect, origin: float) -> tuple[Item, ...]:
    items: list[Item] = []
    for a, b in opposites(refit):
        up = [upper_and_lower(post)[0].at for post in (a, b)]
        items.append(Line((up[0][0], up[0][1]), (up[1][0], up[1][1]), "THIN", tag=f"taped:{a.id}:{b.id}"))
    limits = (window.left - origin + 1.0, window.right - origin - 1.0)
    for side in SIDES:
        out = side_sign(side)
        posts = sorted((p for p in refit.placed.posts.values() if p.side == side), key=lambda p: p.foot[0])
        wide = [text_width(post.id, LETTERING) for post in posts]
        far = max(abs(upper_and_lower(post)[0].at[1]) for post in posts) + 2.2 * mm
        for post, place in zip(posts, spread([p.foot[0] / mm for p in posts], wide, 1.2, *limits), strict=True):
            at = upper_and_lower(post)[0].at
            items += [
                Circle((at[0], at[1]), 0.6 * mm, "FITTING"),
                Line((at[0], at[1] + out * 0.8 * mm), (place * mm, out * far), "DIM"),
                Text(
                    (place * mm, out * (far + 0.9 * mm)), post.id, LETTERING, "NOTE", "centre",
                    "base" if out > 0 else "top",
                ),
            ]  # fmt: skip
    return tuple(items)
