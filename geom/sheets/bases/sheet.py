"""Sheet 5: each base from above and on edge, its parts, the angle of every tube on it or the pad under it."""

from __future__ import annotations

import math
from dataclasses import replace

from geom.boat.model import BasePlate, Side
from geom.drafting import text as words
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import broken
from geom.drafting.sheet import Draft, above_block, beside_block
from geom.drafting.views import LETTERING, TITLE_ROOM, apart, caption
from geom.errors import GeometryError
from geom.figure import Item, LengthFormat, Rect, Text, View
from geom.placement.fabrication import shop_limits
from geom.placement.place import PlacedPost, side_sign
from geom.refit import Refit
from geom.sheets.bases import text as base_words
from geom.sheets.bases.figure import ABOVE, BELOW, BESIDE, STUB, UNDER, edge_items, plan_items, under_plate
from geom.sheets.bases.tables import note_lines, parts_table, posts_table, suits, tolerance
from geom.tables import numbers

_SCALES = (5.0, 2.0, 1.0, 0.5, 0.2)
_NOTE_PITCH = 3.9
_GAP = 6.0
_NUMBER = 4.5
# Smallest width of a plate over a pad, for the names of its corners [paper mm].
_MIN_OVER_PAD = 64.0


def base_plates(refit: Refit) -> tuple[Draft, ...]:
    """Return a sheet for each base and side with a post, none for a boat without bases.

    Raises:
        GeometryError: a base fits no sheet.
    """
    groups: dict[tuple[str, Side], list[PlacedPost]] = {}
    for post in refit.placed.posts.values():
        if post.spec.base is not None:
            groups.setdefault((post.spec.base, post.side), []).append(post)
    return tuple(
        _draft(refit, (number, len(groups)), word, posts) for number, ((word, _), posts) in enumerate(groups.items(), 1)
    )


def _draft(refit: Refit, number: tuple[int, int], word: str, posts: list[PlacedPost]) -> Draft:
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        shown = _shown(refit, word, posts, paper)
        if shown is None:
            continue
        views, items = shown
        scale, side = views[0].scale, words.SIDE[posts[0].side]
        return Draft(
            number="F3",
            name=f"base-plate-{number[0]}",
            title=base_words.TITLE.format(word=word, side=side.lower(), number=number[0], count=number[1]),
            subtitle=base_words.KIND,
            paper=paper,
            scale=f"{scale:g}:1" if scale >= 1.0 else f"1:{1.0 / scale:g}",
            items=tuple(items),
            views=apart(views),
            tolerance=tolerance(shop_limits().tube_to_plate),
            description=f"Base {word}, {side}: {', '.join(post.id for post in posts)}.",
        )
    raise GeometryError(f"no sheet holds base {word!r}")


def _shown(refit: Refit, word: str, posts: list[PlacedPost], paper: Paper) -> tuple[list[View], list[Item]] | None:
    """Return the views and items of one base and side, the plan first, None where they do not fit the paper."""
    base, fmt = refit.boat.bases[word], _fine(refit)
    parts, feet = parts_table(refit, word, base, posts), posts_table(refit, word, base, posts)
    wide = max(math.fsum(parts.widths), math.fsum(feet.widths))
    space, column = _apart(paper, wide)
    notes = _numbered(note_lines(refit, base, posts), column.width - 2.0)
    low = column.bottom + (len(notes) + 1) * _NOTE_PITCH + 2.0
    foot = column.top - 1.0 - parts.height - _GAP - feet.height
    # The view of the outboard edge is in the column, over the notes.
    free = foot - _GAP - low
    scale = next((s for s in _SCALES if _fits(base, posts, s, space, free, column.width)), None)
    if scale is None or foot < low:
        return None
    mm, hand = 1.0 / scale, side_sign(posts[0].side)
    edge = Rect(space.left, space.bottom, space.right, space.bottom + _edge_height(base, posts, True, scale))
    plan = Rect(space.left, edge.top, space.right, space.top)
    middle = 0.5 * (space.left + space.right)
    tall = base.length * scale + ABOVE + BELOW
    origin = (middle, plan.bottom + 0.5 * (plan.height - TITLE_ROOM - tall) + BELOW + 0.5 * base.length * scale)
    items_of_plan = plan_items(base, posts, hand, mm, fmt)
    views = [View("plate", "", scale, origin, plan, items_of_plan, numbers=fmt, description=f"Base {word} from above.")]
    name_and_side = f"{word.upper()}, {words.SIDE[posts[0].side]}"
    items: list[Item] = [*caption(plan, name_and_side, base_words.PLAN, scale, "view:plate")]
    high = _edge_height(base, posts, False, scale)
    top = foot - _GAP - 0.5 * (free - high)
    beside = Rect(column.left, top - high, column.right, top)
    for window, from_aft in ((edge, True), (beside, False)):
        views.append(_edge_view(base, posts[0], window, from_aft, scale, refit))
        name = base_words.EDGE_AFT if from_aft else base_words.EDGE_OUTBOARD
        line = (base_words.EDGE_TO_SUIT if suits(base) else base_words.EDGE_SQUARE).format(post=posts[0].id)
        items += caption(window, name, line, scale, f"view:edge:{'aft' if from_aft else 'outboard'}")
    top = column.top - 1.0
    items += [parts.at((column.left, top)), feet.at((column.left, top - parts.height - _GAP))]
    y = low - _NOTE_PITCH
    items.append(Text((column.left + 1.0, y), words.NOTES, LETTERING, "TEXT"))
    for line, inset in notes:
        y -= _NOTE_PITCH
        items.append(Text((column.left + 1.0 + inset, y), line, LETTERING, "NOTE", tag="notes:base"))
    return views, items


def _apart(paper: Paper, wide: float) -> tuple[Rect, Rect]:
    """Return the area of the plan and the column of tables, wider than the title block where a table is wider."""
    space, column = beside_block(paper), above_block(paper)
    more = max(0.0, wide - column.width)
    return replace(space, right=space.right - more), replace(column, left=column.left - more)


def _fine(refit: Refit) -> LengthFormat:
    """Return the format of a plate's sizes: inches to one more decimal, as in the tables."""
    fmt = numbers(refit.boat)
    return replace(fmt, decimals=fmt.decimals + (fmt.unit == "in"))


def _edge_height(base: BasePlate, posts: list[PlacedPost], from_aft: bool, scale: float) -> float:
    """Return the height of a view on edge, from its caption to its direction arrows [paper mm]."""
    under = max(thickness for _, thickness in under_plate(base, posts[0], from_aft))
    return TITLE_ROOM + 5.0 + STUB + (base.thickness + under) * scale + UNDER


def _fits(base: BasePlate, posts: list[PlacedPost], scale: float, space: Rect, free: float, wide: float) -> bool:
    """Return whether plan and after edge fit one above the other, and the outboard edge fits the column."""
    tall = base.length * scale + ABOVE + BELOW + TITLE_ROOM + _edge_height(base, posts, True, scale)
    if tall > space.height or base.width * scale + 2.0 * BESIDE > space.width:
        return False
    if not suits(base) and min(base.width, base.length) * scale < _MIN_OVER_PAD:
        return False
    return _edge_height(base, posts, False, scale) <= free and base.length * scale + 50.0 <= wide


def _edge_view(base: BasePlate, post: PlacedPost, window: Rect, from_aft: bool, scale: float, refit: Refit) -> View:
    under = max(thickness for _, thickness in under_plate(base, post, from_aft))
    origin = (0.5 * (window.left + window.right), window.bottom + UNDER + (base.thickness + under) * scale)
    fmt = _fine(refit)
    drawn = edge_items(base, post, from_aft, 1.0 / scale, fmt)
    name = "edge-aft" if from_aft else "edge-outboard"
    return View(name, "", scale, origin, window, drawn, numbers=fmt, description=f"The plate on edge, {post.id}.")


def _numbered(lines: tuple[str, ...], room: float) -> list[tuple[str, float]]:
    """Return notes wrapped to numbered lines, each with its indent [mm]."""
    numbered: list[tuple[str, float]] = []
    for number, line in enumerate(lines, start=1):
        first, *more = broken(line, room - _NUMBER)
        numbered += [(f"{number}  {first}", 0.0), *((part, _NUMBER) for part in more)]
    return numbered
