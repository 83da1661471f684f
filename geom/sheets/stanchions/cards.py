"""Sheet 4: one card for each different post: what it is, and the pattern to make and drill a new one."""

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
# How wide a caption may be that stands under a centring mark, and how far that reaches down [paper mm].
_CAPTION, _UNDER_MARK = 42.0, 5.5
_LEAST_APART, _MOST_APART = 2.5, 8.0
_BETWEEN = 3.0
_TUBE_LEFT, _TUBE_RIGHT = 18.0, 37.6
_SCALES = (2, 5, 10, 20)


@dataclass(frozen=True)
class _Card:
    """One card: what is made and the posts made by it."""

    one: Build
    ids: tuple[str, ...]
    post: PlacedPost


def post_cards(refit: Refit) -> tuple[Draft, ...]:
    """Return the cards in the boat file's order.

    Raises:
        GeometryError: a post does not go on a card.
    """
    cards = [_Card(one, ids, refit.placed.posts[ids[0]]) for one, ids in builds(refit.placed).items()]
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
        room = notes_room(note_lines(refit, card.post, column.width))
        holes = hole_views(refit, card.post, replace(column, bottom=column.bottom + room))
        if mm is None or holes is None:
            continue
        views, captions = _post_views(refit, card.post, whole, mm)
        if any(0.0 <= 0.5 * paper.width - view.window.left <= _CAPTION for view in views):
            # A caption would stand on the centring mark of the upper edge.
            whole = replace(whole, top=whole.top - _UNDER_MARK)
            mm = next((mm for mm in _SCALES if _fits(refit, card.post, height, whole, mm)), _SCALES[-1])
            views, captions = _post_views(refit, card.post, whole, mm)
        sectioned, said = holes
        return Draft(
            name=f"post-card-{card.ids[0]}",
            title=post_words.CARD_TITLE.format(ids=_listed(card.ids), state=_state(refit)),
            kind=post_words.CARD_KIND,
            paper=paper,
            scale=words.AS_SHOWN,
            items=(*items, *heading, *captions, *said, *note_items(refit, card.post, column)),
            views=apart((*views, *sectioned)),
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
    looks = (seen_from_outboard(post), seen_from_aft(post))
    wide = _TUBE_LEFT + _TUBE_RIGHT + math.fsum(places(refit, post, look, height, mm).room for look in looks)
    return tall <= whole.height and wide <= whole.width


def _tables(refit: Refit, card: _Card, space: Rect) -> tuple[list[Item], float] | None:
    """Return the tables at the foot of the left side, and the paper height their upper edge reaches."""
    brace = brace_table(refit, card.post)
    columns = (
        (attitude_table(refit, card.post),),
        (part_table(refit, card.one, card.ids),),
        (limits_table(refit), *(() if brace is None else (brace,))),
    )
    holes = holes_table(refit, card.post)
    widths = [max(math.fsum(table.widths) for table in column) for column in columns]
    apart_by = (space.width - math.fsum(widths)) / 2.0
    if apart_by < _LEAST_APART or math.fsum(holes.widths) > space.width:
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
        left += width + min(apart_by, _MOST_APART)
    return items, top


def _post_views(refit: Refit, post: PlacedPost, space: Rect, mm: int) -> tuple[list[View], list[Item]]:
    """Return the tube by itself and the post on its plate from outboard and from aft.

    Where the boat's drawings are in first or third angle, the view from aft stands on the hand that this asks for.
    """
    fmt, projection, height = numbers(refit.boat), refit.boat.drawing.projection, offset_height(refit)
    fine = replace(fmt, decimals=fmt.decimals + (fmt.unit == "in"))
    letters = {name: pair[0] for name, pair in sections(post).items()}
    tube = upright_tube(refit, post, mm, fine, letters)
    drawn = [("A", post_words.TUBE_VIEW, (_TUBE_LEFT, _TUBE_RIGHT), tube, fine)]
    looks = [
        ("B", post_words.FROM_OUTBOARD, seen_from_outboard(post)),
        ("C", post_words.FROM_AFT, seen_from_aft(post)),
    ]
    # Seen from outboard the bow of a starboard post lies at the right: aft is at the left of view B.
    if projection is not None and not right_hand_of_front(projection, "left" if post.side == "S" else "right"):
        looks.reverse()
    for name, line, look in looks:
        on_deck = (
            *standing(refit, post, look, height, mm),
            *offset_items(refit, post, look, height, mm, fmt),
            *ways((0.0, -11.0 * mm), *look.ways, mm),
        )
        place = places(refit, post, look, height, mm)
        drawn.append((name, line, (place.left, place.right), on_deck, fmt))
    spare = (space.width - math.fsum(math.fsum(room) for _, _, room, _, _ in drawn)) / len(drawn)
    above_deck = max(height, post.top) / mm
    foot = space.bottom + _BELOW + 0.5 * (space.height - TITLE_ROOM - _ABOVE - _BELOW - above_deck)
    views: list[View] = []
    items: list[Item] = []
    left = space.left
    for name, line, room, shapes, written in drawn:
        window = Rect(left, space.bottom, left + math.fsum(room) + spare, space.top)
        origin = (left + room[0] + 0.5 * spare, foot)
        left = window.right
        views.append(View(name, "", 1.0 / mm, origin, window, shapes, numbers=written, description=line))
        items += caption(window, f"VIEW {name}", line, 1.0 / mm, f"view:{name}")
    return views, items
