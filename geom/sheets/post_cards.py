"""Sheet 4: one card for each different post, to make and drill it from."""

from __future__ import annotations

from dataclasses import dataclass, replace

from geom.errors import GeometryError
from geom.figure import Item, Point, Rect, Text, View
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.alike import Build, builds, mirror_image
from geom.runs.place import PlacedHole, PlacedPost, side_sign
from geom.schedules import numbers
from geom.schedules.placing import PLATE_RULE_LENGTH
from geom.sheets import post_words, words
from geom.sheets.card_tables import attitude_table, edge_notes, holes_table, limits_table, part_table
from geom.sheets.draft import Draft, above_block, beside_block
from geom.sheets.hole_figure import along_hole, half_height, looking_down
from geom.sheets.paper import papers
from geom.sheets.post_figure import from_aft, from_outboard, offset_items, standing, upright_tube
from geom.sheets.post_words import angle as angle_words
from geom.sheets.post_words import rule_words, ways_from_aft, ways_from_outboard
from geom.sheets.profile_view import facing
from geom.sheets.projection import right_hand_of_front
from geom.sheets.views import LETTERING, TITLE_ROOM, apart, caption, ways

_NOTE_PITCH = 4.2
_NOTES_ROOM = (len(post_words.CARD_NOTES) + 1) * _NOTE_PITCH + 3.0
_ABOVE, _BELOW = 16.0, 12.5
_MOST_ROW = 92.0
_DETAIL_LEFT = 13.0
_WORDS_OFF = 4.5
_SPLIT = 0.43
_ASIDE = 11.5
_LEAST_APART, _MOST_APART = 3.0, 8.0
_SIDE_ROOM = 7.5
_SCALES = (2, 5, 10, 20)
_ENLARGED = (2.0, 1.0, 0.5)


@dataclass(frozen=True)
class _Card:
    """One card: what is made, the posts made by it, the mirror images of the other side."""

    one: Build
    ids: tuple[str, ...]
    mirror: tuple[str, ...]
    post: PlacedPost


def post_cards(refit: Refit) -> tuple[Draft, ...]:
    """Return the cards in the boat file's order.

    Raises:
        GeometryError: a post does not go on a card.
    """
    found = builds(refit.placed)
    cards = [
        _Card(one, ids, found.get(mirror_image(one), ()), refit.placed.posts[ids[0]]) for one, ids in found.items()
    ]
    return tuple(_draft(refit, card) for card in cards)


def _draft(refit: Refit, card: _Card) -> Draft:
    for paper in papers(refit.boat.drawing.sheets, least=1):
        tables = _tables(refit, card, beside_block(paper))
        if tables is None:
            continue
        items, low = tables
        space = beside_block(paper)
        whole = Rect(space.left, low + 3.5 + _SIDE_ROOM, space.right, space.top - 1.5)
        mm = next((mm for mm in _SCALES if _tall(card.post) / mm + _ABOVE + _BELOW + TITLE_ROOM <= whole.height), None)
        holes = _hole_views(refit, card.post, above_block(paper))
        if mm is None or holes is None:
            continue
        views, captions = _post_views(refit, card.post, whole, mm)
        hole_views, hole_items = holes
        return Draft(
            name=f"post-card-{card.ids[0]}",
            title=post_words.CARD_TITLE.format(ids=_listed(card.ids)),
            kind=post_words.CARD_KIND,
            paper=paper,
            scale=words.AS_SHOWN,
            items=(
                *items,
                *_side_words(card, (space.left + 1.0, low + 3.5)),
                *captions,
                *hole_items,
                *_notes(refit, above_block(paper)),
            ),
            views=apart((*views, *hole_views)),
            tolerance=post_words.ONLY_SHOP,
            projection=refit.boat.drawing.projection,
            description=f"Made by this card: {', '.join(card.ids)}; {words.SIDE[card.post.side]}.",
        )
    raise GeometryError(f"no sheet holds the card of post {card.ids[0]}")


def _listed(ids: tuple[str, ...]) -> str:
    return ", ".join(ids) if len(ids) <= 2 else f"{ids[0]} and {len(ids) - 1} more"


def _side_words(card: _Card, at: Point) -> list[Item]:
    count = len(card.ids)
    line = f"{words.SIDE[card.post.side]}, {count} OFF: {', '.join(card.ids)}"
    return [Text(at, line, 5.0, "TEXT", tag=f"side:{card.ids[0]}")]


def _tall(post: PlacedPost) -> float:
    return max(PLATE_RULE_LENGTH, post.top)


def _tables(refit: Refit, card: _Card, space: Rect) -> tuple[list[Item], float] | None:
    """Return the tables at the foot of the left side, and the paper height their upper edge reaches."""
    upper = (
        attitude_table(refit, card.post),
        part_table(refit, card.one, card.ids, card.mirror),
        limits_table(refit),
    )
    holes = holes_table(refit, card.post)
    apart_by = (space.width - sum(sum(table.widths) for table in upper)) / 2.0
    if apart_by < _LEAST_APART or sum(holes.widths) > space.width:
        return None
    foot = space.bottom + 3.0
    top = foot + holes.height + 4.0 + max(table.height for table in upper)
    items: list[Item] = [holes.at((space.left, foot + holes.height))]
    left = space.left
    for table in upper:
        items.append(table.at((left, top)))
        left += sum(table.widths) + min(apart_by, _MOST_APART)
    return items, top


def _post_views(refit: Refit, post: PlacedPost, space: Rect, mm: int) -> tuple[list[View], list[Item]]:
    """Return the tube by itself and the post on its plate from outboard and from aft.

    Where the boat's drawings are in first or third angle, the view from aft stands on the hand that this asks for.
    """
    how, projection = numbers(refit.boat), refit.boat.drawing.projection
    looks = [
        ("A", post_words.TUBE_VIEW, 0.32, None),
        ("B", post_words.FROM_OUTBOARD, 0.34, (from_outboard(post), facing(post.side) * post.plate.aft)),
        ("C", post_words.FROM_AFT, 0.34, (from_aft(post), side_sign(post.side) * post.plate.out)),
    ]
    # Seen from outboard the bow of a starboard post lies at the right: aft is at the left of view B.
    if projection is not None and not right_hand_of_front(projection, "left" if post.side == "S" else "right"):
        looks[1:] = reversed(looks[1:])
    views: list[View] = []
    items: list[Item] = []
    left = space.left
    room = space.height - TITLE_ROOM - _ABOVE - _BELOW - _tall(post) / mm
    for name, line, share, look in looks:
        window = Rect(left, space.bottom, left + share * space.width, space.top)
        left = window.right
        middle = 0.5 * (window.left + window.right) - (8.4 if look is None else 0.0)
        origin = (middle, space.bottom + _BELOW + 0.5 * room)
        if look is None:
            drawn: tuple[Item, ...] = upright_tube(refit, post, mm, how)
        else:
            sight, angle = look
            key, words_of = ("aft", ways_from_outboard) if name == "B" else ("out", ways_from_aft)
            low, high = words_of(post.side)
            told = (
                angle_words(post.plate.aft, "aft", "forward")
                if name == "B"
                else angle_words(post.plate.out, "outboard", "inboard")
            )
            drawn = (
                *standing(refit, post, sight, mm),
                *offset_items(angle, told, post, key, mm, how),
                *ways((0.0, -9.5 * mm), low, high, mm),
            )
        views.append(View(f"{name}", "", 1.0 / mm, origin, window, drawn, numbers=how, description=line))
        items += caption(window, name, line, 1.0 / mm, f"view:{name}")
    return views, items


def _hole_views(refit: Refit, post: PlacedPost, column: Rect) -> tuple[list[View], list[Item]] | None:
    """Return a section and a cut for each hole, one row below the other, over the notes; None without room."""
    height = min(_MOST_ROW, (column.height - 1.5 - _NOTES_ROOM) / len(post.holes))
    views: list[View] = []
    items: list[Item] = []
    for number, hole in enumerate(post.holes):
        top = column.top - 1.5 - number * height
        row = _hole_row(refit, post, hole, Rect(column.left, top - height, column.right, top))
        if row is None:
            return None
        views += row[0]
        items += row[1]
    return views, items


def _hole_row(refit: Refit, post: PlacedPost, hole: PlacedHole, row: Rect) -> tuple[list[View], list[Item]] | None:
    """Return one hole looked at down the tube and cut along itself, each as large as its half of the row lets it be."""
    how = numbers(refit.boat)
    fine = replace(how, decimals=how.decimals + (how.unit == "in"))
    drilling = refit.placed.drillings[hole.id]
    split = row.left + _SPLIT * row.width
    left, right = Rect(row.left, row.bottom, split, row.top), Rect(split, row.bottom, row.right, row.top)
    high = row.height - TITLE_ROOM
    down = next((s for s in _ENLARGED if _section_fits(post, s, high, left.width)), None)
    words_wide = max(text_width(line, LETTERING) for line in edge_notes(post, hole, refit))
    cut = next((s for s in _ENLARGED if _cut_fits(post, hole, drilling.tilt, s, high, right.width - words_wide)), None)
    if down is None or cut is None:
        return None
    y = 0.5 * (row.bottom + row.top - TITLE_ROOM)
    x_down = 0.5 * (left.left + left.right) - side_sign(post.side) * _ASIDE
    x_cut = right.left + _DETAIL_LEFT + 0.5 * post.tube_od * cut
    reach = min(0.5 * (high - 8.0) / cut, 1.5 * hole.diameter + 6.0)
    views = [
        View(
            f"{hole.level}1", "", down, (x_down, y), left, looking_down(refit, post, hole, 1.0 / down),
            numbers=how, description=post_words.LOOKING_DOWN,
        ),
        View(
            f"{hole.level}2", "", cut, (x_cut, y), right, along_hole(refit, post, hole, reach, 1.0 / cut, fine),
            numbers=fine, description=post_words.ALONG_HOLE,
        ),
    ]  # fmt: skip
    items = [
        *caption(left, f"HOLE {hole.level}", post_words.LOOKING_DOWN, down, f"view:{hole.level}1"),
        *caption(right, f"HOLE {hole.level}", post_words.ALONG_HOLE, cut, f"view:{hole.level}2"),
        *_edge_words(refit, post, hole, (x_cut + 0.5 * post.tube_od * cut + _WORDS_OFF, y - 7.2)),
    ]
    basis = post_words.DIRECTION.format(basis=drilling.basis)
    items.append(Text((right.right - 4.0, right.top - 4.0), basis, LETTERING, "NOTE", "right", tag=f"basis:{hole.id}"))
    return views, items


def _section_fits(post: PlacedPost, scale: float, high: float, wide: float) -> bool:
    across = post.tube_od * scale
    return across + 22.0 <= high and across + 26.0 <= wide


def _cut_fits(post: PlacedPost, hole: PlacedHole, tilt: float, scale: float, high: float, wide: float) -> bool:
    across = _DETAIL_LEFT + post.tube_od * scale + _WORDS_OFF + 0.5
    tall = 2.0 * half_height(post, hole, tilt) * scale + 8.0
    return tall <= high and across <= wide


def _edge_words(refit: Refit, post: PlacedPost, hole: PlacedHole, at: Point) -> list[Item]:
    """Return the finished size with limits and what is asked of the edges, right of the cut and below its axis."""
    return [
        Text((at[0], at[1] - row * 3.8), line, LETTERING, "NOTE", tag=f"edge:{hole.id}:{row}")
        for row, line in enumerate(edge_notes(post, hole, refit))
    ]


def _notes(refit: Refit, column: Rect) -> list[Item]:
    how, projection = numbers(refit.boat), refit.boat.drawing.projection
    views = post_words.CARD_VIEWS if projection is None else post_words.CARD_VIEWS_IN.format(projection=projection)
    y = column.bottom + _NOTES_ROOM - 4.5
    items: list[Item] = [Text((column.left + 1.0, y), words.NOTES, LETTERING, "TEXT")]
    for line in post_words.CARD_NOTES:
        y -= _NOTE_PITCH
        items.append(Text((column.left + 1.0, y), line.format(rule=rule_words(how), views=views), LETTERING, "NOTE"))
    return items
