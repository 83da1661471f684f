"""F3: every base from above and on edge, the tubes on them, the pads, the brace feet."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from geom.boat.model import BasePlate
from geom.drafting import text as common
from geom.drafting.columns import ColumnTable
from geom.drafting.line_text import capitalised, in_words
from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.projection import Projection
from geom.drafting.sheet import GAP, Draft, field, scale_words
from geom.drafting.shop_text import as_bought
from geom.drafting.title_block import BLOCK_HEIGHT, BLOCK_WIDTH, STAMP_HEIGHT, STAMP_IN
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Item, LengthFormat, Rect, Text, View
from geom.lettering import width as text_width
from geom.open_items import open_items
from geom.open_items.concerns import held_posts
from geom.open_items.to_come import lacking, stated_facts
from geom.placement.fabrication import shop_limits
from geom.placement.pads import interchangeable
from geom.placement.place import PlacedPost, side_sign
from geom.refit import Refit
from geom.sheets.bases import text as words
from geom.sheets.bases.figure import ABOVE, BELOW, BESIDE, STUB, UNDER, edge_items, plan_items, suits, under_plate
from geom.sheets.bases.tables import braces_table, feet_table, pads_table
from geom.sheets.stanchions.held import note, stopped_by
from geom.tables import numbers
from geom.units import degrees

# ISO 5455, and the customary ones of inch sheets.
_SCALES = {"mm": (1.0, 0.5, 0.2), "in": (1.0, 0.5, 0.25, 0.125)}
# Bolts so far apart on paper have their distance between the arrows [mm].
_SMALLEST_NUMBERED = 14.0
_BENT = ("item.bent", "item.bent_aft", "item.several_bent")
# Height of a title of two lines, of one, of a table; the bar at the foot [mm].
_TITLE, _SHORT_TITLE, _TABLE_TITLE, _BAR = 11.0, 7.0, 5.5, 13.0
# Beside a plate on edge: the symbol of its weld [paper mm].
_EDGE_BESIDE = 17.5
# Beside a tube in the view from aft: its lean, the leader at it, and its size.
_BESIDE_TUBE = 36.0
# Over the broken tube: its axis; height of the heading, width of the stamp [paper mm].
_OVER_STUB, _HEADING, _STAMP_WIDE = 6.0, 9.0, 62.0


@dataclass(frozen=True)
class _Base:
    """One base with the posts on it; the first starboard one is drawn, else the first."""

    word: str
    base: BasePlate
    posts: tuple[PlacedPost, ...]

    @property
    def drawn(self) -> PlacedPost:
        """The post whose tube or pad is drawn."""
        return next((post for post in self.posts if post.side == "S"), self.posts[0])

    @property
    def under(self) -> float:
        """The thickest pad drawn on edge [mm]."""
        ends = [under_plate(self.base, self.drawn, from_aft) for from_aft in (True, False)]
        return max(thickness for pair in ends for _, thickness in pair)


def base_plates(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheet of all bases with a post, none for a boat without.

    Raises:
        GeometryError: the bases fit no sheet.
    """
    found: dict[str, list[PlacedPost]] = {}
    for post in refit.placed.posts.values():
        if post.spec.base is not None:
            found.setdefault(post.spec.base, []).append(post)
    if not found:
        return ()
    bases = tuple(_Base(word, refit.boat.bases[word], tuple(posts)) for word, posts in found.items())
    for smallest in (_SMALLEST_NUMBERED, 0.0):
        for paper in papers(refit.boat.drawing.sheets, minimum=1):
            shown = _shown(refit, bases, paper, smallest)
            if shown is not None:
                return (_draft(bases, paper, _projection(refit), *shown),)
    raise GeometryError("no sheet holds the bases")


def _projection(refit: Refit) -> Projection:
    """Return the projection of the views: third angle unless the boat's drawings are in first."""
    return refit.boat.drawing.projection or "third"


def _draft(
    bases: tuple[_Base, ...], paper: Paper, projection: Projection, views: list[View], items: tuple[Item, ...]
) -> Draft:
    listed = ", ".join(base.word for base in bases)
    scales = {view.scale for view in views}
    return Draft(
        number="F3",
        name="bases",
        title=words.TITLE,
        subtitle=words.SUBTITLE.format(words=listed),
        paper=paper,
        scale=scale_words(views[0].scale) if len(scales) == 1 else common.AS_SHOWN,
        items=items,
        views=apart(views),
        projection=projection,
        stamped=True,
        description=words.DESCRIPTION.format(words=listed),
    )


def _shown(
    refit: Refit, bases: tuple[_Base, ...], paper: Paper, smallest: float
) -> tuple[list[View], tuple[Item, ...]] | None:
    whole = field(paper)
    posts = [post for base in bases for post in base.posts]
    left_wide = whole.width - BLOCK_WIDTH + 8.0 - GAP
    items_open = open_items(refit)
    on_hold = held_posts(refit, items_open)
    shown = {post.id for post in posts}
    held = {name: found for name, found in on_hold.items() if name in shown}
    left = [(words.FEET, feet_table(refit, posts, held)), (words.BRACES, braces_table(refit, held))]
    right = [(words.PADS[_exchanged(refit, posts)], pads_table(refit, posts, held))]
    bent = [
        item for item in items_open
        if item.cause.code in _BENT and shown.intersection(item.places) and not set(item.places) <= set(on_hold)
    ]  # fmt: skip
    lines = [*_notes(refit, bases)]
    asks = bool(lacking(refit, words.ASKED, _concerned(refit, bases)))
    flags = [(len(lines) - 1, item.number) for item in items_open if asks and item.cause.code == "item.fabrication"]
    for item in bent:
        lines.append(words.BENT.format(posts=_some(item.places)))
        flags.append((len(lines) - 1, item.number))
    if held:
        lines.append(note(held))
        flags += [(len(lines) - 1, number) for number in stopped_by(held)]
    wide = max(math.fsum(table.widths) for _, table in left if table is not None) if any(t for _, t in left) else 0.0
    pads_wide = max([math.fsum(table.widths) for _, table in right if table is not None], default=0.0)
    if wide > left_wide or pads_wide > BLOCK_WIDTH - 8.0:
        return None
    # Notes stand over the title block, or under the tables at the left where that takes less height.
    for over_block in (True, False):
        wide_notes = BLOCK_WIDTH - 8.0 if over_block else left_wide
        notes = Notes(words.NOTES, tuple(lines), wide_notes, 2, tuple(flags))
        high = max(
            whole.bottom + _BAR - 8.0 + _tall(left) + (0.0 if over_block else notes.height),
            paper.frame.bottom + BLOCK_HEIGHT + GAP + _tall(right) + (notes.height if over_block else 0.0),
        )
        under = Rect(whole.left, high + GAP, whole.right, paper.frame.top - STAMP_IN - STAMP_HEIGHT - 1.0)
        # The views from above stand beside the stamp where they keep clear of it.
        beside_stamp = replace(under, top=whole.top - _HEADING)
        drawn = _views(refit, bases, beside_stamp, smallest, _STAMP_WIDE) or _views(refit, bases, under, smallest)
        if drawn is None:
            continue
        views, items = drawn
        beside = whole.right - BLOCK_WIDTH + 8.0
        at_left, left_low = _placed(left, (whole.left, high), left_wide)
        at_right, right_low = _placed(right, (beside, high), BLOCK_WIDTH - 8.0)
        noted = notes.items((beside, right_low) if over_block else (whole.left, left_low))
        return views, (*_heading(whole, _projection(refit), bases), *items, *at_left, *at_right, *noted)
    return None


def _some(names: tuple[str, ...]) -> str:
    """Return up to three names, more of them as a number."""
    return ", ".join(names) if len(names) <= 3 else words.MANY.format(count=len(names))


def _tall(tables: list[tuple[str, ColumnTable | None]]) -> float:
    return math.fsum(_TABLE_TITLE + table.height + GAP for _, table in tables if table is not None)


def _placed(
    tables: list[tuple[str, ColumnTable | None]], at: tuple[float, float], width: float
) -> tuple[list[Item], float]:
    """Return tables with their titles one below the other, and where they end."""
    items: list[Item] = []
    left, top = at
    for title, table in tables:
        if table is not None:
            items.append(Text((left, top - 3.7), title, 3.5, "TEXT", tag=f"title:{table.tag}", weight="semibold"))
            items += table.items((left, top - _TABLE_TITLE), width)
            top -= _TABLE_TITLE + table.height + GAP
    return items, top


def _heading(whole: Rect, projection: Projection, bases: tuple[_Base, ...]) -> tuple[Item, ...]:
    side = words.DRAWN_FOR.get(frozenset(one.drawn.side for one in bases), words.DRAWN_FOR_EACH)
    at = (whole.left, whole.top - 5.0)
    beyond = (at[0] + text_width(words.HEAD, 5.0, "semibold") + 4.0, at[1])
    return (
        Text(at, words.HEAD, 5.0, "TEXT", tag="heading", weight="semibold"),
        Text(beyond, words.HEAD_LINE.format(side=side, projection=projection), 2.5, "SECOND", tag="heading:line"),
    )


def _views(
    refit: Refit, bases: tuple[_Base, ...], room: Rect, smallest: float, keep: float = 0.0
) -> tuple[list[View], list[Item]] | None:
    """Return each base side by side: from above, from aft, and from outboard, placed by the boat's projection.

    `smallest` is what the smallest distance of bolts has on paper at least, `keep` the width kept free at the right of
    the upper views, for the stamp [paper mm].
    """
    first, fmt = _projection(refit) == "first", numbers(refit.boat)
    each = room.width / len(bases)
    apart = min((distance for one in bases for distance in _bolt_distances(one.base)), default=math.inf)
    for scale in _SCALES[fmt.unit]:
        if apart * scale < smallest:
            return None
        edges = [STUB + _OVER_STUB + (one.base.thickness + one.under) * scale + UNDER + _SHORT_TITLE for one in bases]
        plans = [one.base.length * scale + ABOVE + BELOW + _TITLE for one in bases]
        wides = [_width(one, scale) for one in bases]
        upper = bases[-1].base.width * scale + 2.0 * BESIDE + 6.0
        clear = keep == 0.0 or (not first and upper + keep <= each)
        if max(plans) + max(edges) <= room.height and max(wides) <= each and clear:
            break
    else:
        return None
    views: list[View] = []
    items: list[Item] = []
    # What is left of the room stands between views and tables.
    low = room.top - max(plans) - max(edges)
    for number, one in enumerate(bases):
        left = room.left + number * each
        place = Rect(left - (6.0 if number == 0 else 0.0), low, left + each, room.top)
        for view, line in _one(one, number + 1, place, scale, (max(plans), max(edges)), first, fmt):
            views.append(view)
            at = (view.window.left + 6.0, view.window.top - 10.0)
            if line:
                items.append(Text(at, line, 2.5, "SECOND", tag=f"view:{view.name}:line"))
    return views, items


def _bolt_distances(base: BasePlate) -> Iterator[float]:
    """Yield the distances between the rows of bolts along the plate and across it [mm]."""
    for places in ({round(aft, 6) for aft, _ in base.bolts}, {round(out, 6) for _, out in base.bolts}):
        yield from (b - a for a, b in pairwise(sorted(places)))


def _width(one: _Base, scale: float) -> float:
    """Return the width of a base's three views, that from outboard beside that from aft [paper mm]."""
    edges = _aft_wide(one, scale) + max(one.base.length * scale + 2.0 * _EDGE_BESIDE, 60.0)
    return max(one.base.width * scale + 2.0 * BESIDE, edges)


def _aft_wide(one: _Base, scale: float) -> float:
    """Return the width of the view from aft, its plate under that of the view from above [paper mm]."""
    half, tube = 0.5 * one.base.width * scale, 0.5 * one.drawn.tube_od * scale
    return BESIDE + half + max(half + _EDGE_BESIDE, tube + _BESIDE_TUBE)


def _one(
    one: _Base, number: int, place: Rect, scale: float, tall: tuple[float, float], first: bool, fmt: LengthFormat
) -> list[tuple[View, str]]:
    """Return the views of a base, that from aft the front view.

    In third angle that from above stands over it and that from outboard, its right, at its right; in first angle under
    it and at its left.
    """
    base, post = one.base, one.drawn
    wide = base.width * scale + 2.0 * BESIDE
    aft_wide = _aft_wide(one, scale) + 6.0
    low, edge = (place.bottom, place.right - aft_wide) if first else (place.bottom + tall[1], place.left + aft_wide)
    middle = place.right - 0.5 * wide if first else place.left + 6.0 + 0.5 * wide
    plan = Rect(place.left, low, place.right, low + tall[0])
    under = place.bottom + tall[0] if first else place.bottom
    origin = (middle, plan.bottom + BELOW + 0.5 * base.length * scale)
    drawn = plan_items(base, list(one.posts), side_sign(post.side), 1.0 / scale, fmt)
    title = one.word.upper()
    found = [(View(f"base-{number}", title, scale, origin, plan, drawn, numbers=fmt, description=title),
              _size(one, fmt))]  # fmt: skip
    level = under + UNDER + (base.thickness + one.under) * scale
    left, right = (Rect(a, under, b, under + tall[1]) for a, b in ((place.left, edge), (edge, place.right)))
    aft, outboard = (right, left) if first else (left, right)
    for name, head, from_aft, window, x in (
        ("aft", words.EDGE_AFT, True, aft, middle),
        ("outboard", words.EDGE_OUTBOARD, False, outboard, 0.5 * (outboard.left + outboard.right)),
    ):
        shapes = edge_items(base, post, from_aft, 1.0 / scale, fmt)
        named = head.format(post=post.id)
        view = View(f"base-{number}-edge-{name}", named, scale, (x, level), window, shapes, numbers=fmt,
                    description=named)  # fmt: skip
        found.append((view, ""))
    return found


def _size(one: _Base, fmt: LengthFormat) -> str:
    base = one.base
    sides = [sum(post.side == side for post in one.posts) for side in ("S", "P")]
    return words.SIZE.format(
        length=as_bought(base.length, fmt),
        width=as_bought(base.width, fmt),
        thickness=as_bought(base.thickness, fmt),
        count=len(base.bolts),
        hole=as_bought(base.bolt_hole, fmt),
        material="" if base.material is None else words.MATERIAL.format(material=base.material),
        quantity=" + ".join(f"{count} {side}" for count, side in zip(sides, ("S", "P"), strict=True) if count),
    )


def _notes(refit: Refit, bases: tuple[_Base, ...]) -> tuple[str, ...]:
    fmt = numbers(refit.boat)
    notes = [words.TOLERANCE.format(plate=f"{degrees(shop_limits().tube_to_plate):g}")]
    handed = [one for one in bases if {(a, -o) for a, o in one.base.bolts} != set(one.base.bolts)]
    lone = [one.word for one in handed if len({post.side for post in one.posts}) == 1]
    if len(lone) < len(handed):
        notes.append(words.MIRRORED)
    if lone:
        notes.append(words.ONE_SIDED.format(words=", ".join(lone)))
    if not handed:
        notes.append(words.ALIKE)
    if any(suits(one.base) for one in bases):
        notes.append(words.TO_SUIT)
    if any(not suits(one.base) for one in bases):
        limits = shop_limits()
        notes.append(words.SQUARE.format(least=as_bought(limits.pad_thickness, fmt), sure=limits.pad_source))
    notes += [line for one in bases for line in _socket_notes(one, fmt)]
    least, largest = (as_bought(size, fmt) for size in shop_limits().drain)
    notes.append(words.DRAIN.format(least=least, largest=largest))
    legs = {one.base.weld_leg for one in bases if one.base.socket is None}
    stated = ", ".join(as_bought(leg, fmt) for leg in sorted(leg for leg in legs if leg is not None))
    if legs:
        notes.append(words.WELD.format(leg="" if None in legs else words.LEG.format(leg=stated)))
    shown = _concerned(refit, bases)
    notes.append(words.DRILL)
    notes += [f"{capitalised(in_words(one, fmt))}." for one in stated_facts(refit, words.ASKED, shown)]
    if missing := lacking(refit, words.ASKED, shown):
        notes.append(words.TO_COME.format(what=", ".join(in_words(one, fmt) for one in missing)))
    return tuple(notes)


def _concerned(refit: Refit, bases: tuple[_Base, ...]) -> set[str]:
    """Return the posts of a sheet: those on its bases, and all with braces, whose feet its table has."""
    braced = {post.id for post in refit.boat.posts if post.brace is not None}
    return braced | {post.id for one in bases for post in one.posts}


def _exchanged(refit: Refit, posts: list[PlacedPost]) -> bool:
    """Return whether the pads of every base may be exchanged among its posts, port and starboard."""
    on: dict[str, list[PlacedPost]] = {}
    for post in posts:
        if post.spec.base is not None and not suits(refit.boat.bases[post.spec.base]):
            on.setdefault(post.spec.base, []).append(post)
    return all(interchangeable(some, refit.boat.bases[word]) for word, some in on.items())


def _socket_notes(one: _Base, fmt: LengthFormat) -> Iterator[str]:
    """Yield how deep a tube goes into a bought socket and what holds it."""
    socket = one.base.socket
    if socket is None:
        return
    depth = words.SOCKET_ON_PLATE
    if socket.depth is not None:
        depth = words.SOCKET_DEPTH.format(depth=as_bought(socket.depth, fmt))
    yield words.SOCKET.format(base=one.word, depth=depth, retention=socket.retention or words.TBC)
    if socket.retention == "set screw":
        yield words.SET_SCREW_ALONE.format(base=one.word)
