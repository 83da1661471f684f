"""Sheet 4: one card for each distinct post: record, and pattern for making and drilling a new one."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from geom.drafting import post_text as post_words
from geom.drafting import text as words
from geom.drafting.paper import papers
from geom.drafting.post_text import length
from geom.drafting.projection import right_hand_of_front
from geom.drafting.sheet import Draft, above_block, beside_block
from geom.drafting.sight import offset_height
from geom.drafting.views import TITLE_ROOM, apart, caption, ways
from geom.errors import GeometryError
from geom.figure import Item, Rect, View
from geom.placement.fabrication import shop_limits
from geom.placement.identical_posts import Build, builds
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.sheets.stanchions.card_tables import attitude_table, brace_table, holes_table, limits_table, part_table
from geom.sheets.stanchions.card_text import heading_items, note_items, note_lines, notes_room
from geom.sheets.stanchions.hole_views import hole_views, sections
from geom.sheets.stanchions.post_figure import offset_items, standing
from geom.sheets.stanchions.post_views import places, seen_from_aft, seen_from_outboard
from geom.sheets.stanchions.tube_figure import upright_tube
from geom.tables import numbers
from geom.units import degrees

_ABOVE, _BELOW = 16.0, 14.0
# Largest width of a caption under a centring mark, and the length of that mark below the frame [paper mm].
_CAPTION, _UNDER_MARK = 42.0, 5.5
_MIN_GAP, _MAX_GAP = 2.5, 8.0
_BETWEEN = 3.0
_TUBE_LEFT, _TUBE_RIGHT = 18.0, 37.6
_SCALES = (2, 5, 10, 20)


@dataclass(frozen=True)
class _Card:
    """One card: specification, ids of its posts, the first of them."""

    build: Build
    ids: tuple[str, ...]
    post: PlacedPost


def post_cards(refit: Refit) -> tuple[Draft, ...]:
    """Return the cards in the boat file's order.

    Raises:
        GeometryError: a post does not fit a card.
    """
    cards = [_Card(build, ids, refit.placed.posts[ids[0]]) for build, ids in builds(refit.placed).items()]
    return tuple(_draft(refit, card) for card in cards)


def _draft(refit: Refit, card: _Card) -> Draft:
    for paper in papers(refit.boat.drawing.sheets, minimum=1):
        space = beside_block(paper)
        tables = _tables(refit, card, space)
        if tables is None:
            continue
        items, low = tables
        heading, low = heading_items(refit, card.ids, (space.left, low + 3.0), space.width)
        height = offset_height(refit)
        whole = Rect(space.left, low + 1.5, space.right, space.top - 1.5)
        mm = next((mm for mm in _SCALES if _fits(refit, card.post, height, whole, mm)), None)
        column = above_block(paper)
        notes_height = notes_room(note_lines(refit, card.post, column.width))
        holes = hole_views(refit, card.post, replace(column, bottom=column.bottom + notes_height))
        if mm is None or holes is None:
            continue
        views, captions = _post_views(refit, card.post, whole, mm)
        if any(0.0 <= 0.5 * paper.width - view.window.left <= _CAPTION for view in views):
            # A caption would be on the centring mark of the upper edge.
            whole = replace(whole, top=whole.top - _UNDER_MARK)
            mm = next((mm for mm in _SCALES if _fits(refit, card.post, height, whole, mm)), _SCALES[-1])
            views, captions = _post_views(refit, card.post, whole, mm)
        section_views, notes = holes
        return Draft(
            number="F1",
            name=f"post-card-{card.ids[0]}",
            title=post_words.CARD_TITLE.format(ids=_listed(card.ids), state=_state(refit)),
            subtitle=post_words.CARD_KIND,
            paper=paper,
            scale=words.AS_SHOWN,
            items=(*items, *heading, *captions, *notes, *note_items(refit, card.post, column)),
            views=apart((*views, *section_views)),
            tolerance=_tolerance(refit),
            projection=refit.boat.drawing.projection,
            description=f"Posts of this card: {', '.join(card.ids)}; {words.SIDE[card.post.side]}.",
        )
    raise GeometryError(f"no sheet holds the card of post {card.ids[0]}")


def _listed(ids: tuple[str, ...]) -> str:
    return ", ".join(ids) if len(ids) <= 2 else f"{ids[0]} and {len(ids) - 1} more"


def _state(refit: Refit) -> str:
    return post_words.NEW if refit.boat.survey == "as designed" else post_words.FOUND


def _tolerance(refit: Refit) -> str:
    limits = shop_limits()
    return post_words.CARD_TOLERANCE.format(
        length=length(limits.tube_length, numbers(refit.boat), 1), clocking=f"{degrees(limits.clocking):g}°"
    )


def _fits(refit: Refit, post: PlacedPost, height: float, whole: Rect, mm: int) -> bool:
    tall = max(height, post.top) / mm + _ABOVE + _BELOW + TITLE_ROOM
    sights = (seen_from_outboard(post), seen_from_aft(post))
    wide = _TUBE_LEFT + _TUBE_RIGHT + math.fsum(places(refit, post, sight, height, mm).room for sight in sights)
    return tall <= whole.height and wide <= whole.width


def _tables(refit: Refit, card: _Card, space: Rect) -> tuple[list[Item], float] | None:
    """Return the tables at the foot of the left side, and the height of their upper edge on paper [mm]."""
    brace = brace_table(refit, card.post)
    columns = (
        (attitude_table(refit, card.post),),
        (part_table(refit, card.build, card.ids),),
        (limits_table(refit), *(() if brace is None else (brace,))),
    )
    holes = holes_table(refit, card.post)
    widths = [max(math.fsum(table.widths) for table in column) for column in columns]
    apart_by = (space.width - math.fsum(widths)) / 2.0
    if apart_by < _MIN_GAP or math.fsum(holes.widths) > space.width:
        return None
    foot = space.bottom + 3.0
    high = max(math.fsum(table.height + _BETWEEN for table in column) - _BETWEEN for column in columns)
    top = foot + holes.height + 4.0 + high
    items: list[Item] = [holes.at((space.left, foot + holes.height))]
    left = space.left
    for column, width in zip(columns, widths, strict=True):
        y = top
        for table in column:
            items.append(replace(table, width=width).at((left, y)))
            y -= table.height + _BETWEEN
        left += width + min(apart_by, _MAX_GAP)
    return items, top


def _post_views(refit: Refit, post: PlacedPost, space: Rect, mm: int) -> tuple[list[View], list[Item]]:
    """Return the tube by itself and the post on its plate from outboard and from aft.

    Where the boat's drawings are in first or third angle, the view from aft is on the corresponding side.
    """
    fmt, projection, height = numbers(refit.boat), refit.boat.drawing.projection, offset_height(refit)
    fine = replace(fmt, decimals=fmt.decimals + (fmt.unit == "in"))
    letters = {name: pair[0] for name, pair in sections(post).items()}
    tube = upright_tube(refit, post, mm, fine, letters)
    drawn = [("A", post_words.TUBE_VIEW, (_TUBE_LEFT, _TUBE_RIGHT), tube, fine)]
    on_deck_views = [
        ("B", post_words.FROM_OUTBOARD, seen_from_outboard(post)),
        ("C", post_words.FROM_AFT, seen_from_aft(post)),
    ]
    # From outboard the bow of a starboard post is at the right: aft is at the left of view B.
    if projection is not None and not right_hand_of_front(projection, "left" if post.side == "S" else "right"):
        on_deck_views.reverse()
    for name, line, standing_view in on_deck_views:
        on_deck = (
            *standing(refit, post, standing_view, height, mm),
            *offset_items(refit, post, standing_view, height, mm, fmt),
            *ways((0.0, -11.0 * mm), *standing_view.ways, mm),
        )
        place = places(refit, post, standing_view, height, mm)
        drawn.append((name, line, (place.left, place.right), on_deck, fmt))
    spare = (space.width - math.fsum(math.fsum(widths) for _, _, widths, _, _ in drawn)) / len(drawn)
    above_deck = max(height, post.top) / mm
    foot = space.bottom + _BELOW + 0.5 * (space.height - TITLE_ROOM - _ABOVE - _BELOW - above_deck)
    views: list[View] = []
    items: list[Item] = []
    left = space.left
    for name, line, widths, shapes, written in drawn:
        window = Rect(left, space.bottom, left + math.fsum(widths) + spare, space.top)
        origin = (left + widths[0] + 0.5 * spare, foot)
        left = window.right
        views.append(View(name, "", 1.0 / mm, origin, window, shapes, numbers=written, description=line))
        items += caption(window, f"VIEW {name}", line, 1.0 / mm, f"view:{name}")
    return views, items
