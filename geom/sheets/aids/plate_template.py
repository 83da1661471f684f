"""The drill template of each base plate: outline, bolt holes, the tube's foot, bow and outboard, seen from above."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom.boat.model import BasePlate
from geom.drafting import text as sheet_words
from geom.figure import Circle, Hatch, Item, Line, Point, Polyline, Rect, Sheet, Text, View
from geom.placement.pads import foot_on_plate, plate_edge
from geom.placement.place import PlacedPost, side_sign
from geom.refit import Refit
from geom.render.plane import extent, flatten
from geom.sheets.aids import text as words
from geom.sheets.aids.page import Aid, AidPaper, Piece, lettering_that_fits, notes, page, tile_view
from geom.sheets.aids.tiling import join_marks, tiles

_FOOT_STEPS = 96
_CROSS = 2.5
# Margins round the plate for arrows and text [mm].
_INBOARD, _OUTBOARD, _ABOVE, _BELOW = 2.4, 5.2, 6.2, 11.8
_GAP = 3.0


@dataclass(frozen=True)
class Template:
    """A post on its plate, on paper [mm]: x to starboard, y forward, centre of the plate at (0, 0)."""

    post: PlacedPost
    word: str
    base: BasePlate

    def at(self, aft: float, outboard: float) -> Point:
        """Return the paper position of a point aft and outboard of the plate's centre [mm].

        Args:
            aft: of the centre [mm].
            outboard: of the centre [mm].
        """
        return (side_sign(self.post.side) * outboard, -aft)

    def outline(self) -> tuple[Point, ...]:
        """Return the plate's edge with its rounded corners."""
        return plate_edge(self.base)

    def bolts(self) -> tuple[Point, ...]:
        """Return the bolt holes' centres."""
        return tuple(self.at(aft, outboard) for aft, outboard in self.base.bolts)

    def foot(self) -> tuple[Point, ...]:
        """Return the edge of the tube on the plate's upper face."""
        return tuple(self.at(aft, outboard) for aft, outboard in foot_on_plate(self.post, self.base, _FOOT_STEPS))


def templates(refit: Refit) -> tuple[Template, ...]:
    """Return the template of every post with a base."""
    return tuple(
        Template(post, post.spec.base, refit.boat.bases[post.spec.base])
        for post in refit.placed.posts.values()
        if post.spec.base is not None
    )


def template_items(template: Template) -> tuple[Item, ...]:
    """Return a template at full size."""
    post, base = template.post, template.base
    x, y = base.width / 2.0, base.length / 2.0
    hand = side_sign(post.side)
    items: list[Item] = [Polyline(template.outline(), "THIN", closed=True, tag=f"plate:{post.id}")]
    for number, (bx, by) in enumerate(template.bolts(), start=1):
        reach = base.bolt_hole / 2.0 + _CROSS
        items += [
            Circle((bx, by), base.bolt_hole / 2.0, "THIN", tag=f"bolt:{post.id}:{number}"),
            Line((bx - reach, by), (bx + reach, by), "THIN"),
            Line((bx, by - reach), (bx, by + reach), "THIN"),
        ]
    items.append(Polyline(template.foot(), "HIDDEN", closed=True, tag=f"foot:{post.id}"))
    tip = hand * (x + 4.6)
    items += [
        Line((-x - 1.8, 0.0), (x + 1.8, 0.0), "CENTRE", tag=f"athwart:{post.id}"),
        Line((0.0, -y - 1.8), (0.0, y + 1.8), "CENTRE", tag=f"fore-and-aft:{post.id}"),
        Hatch(((0.0, y + 5.4), (-1.4, y + 1.4), (1.4, y + 1.4)), "THIN"),
        Text((2.4, y + 1.6), "BOW", 2.5, "TEXT", tag=f"bow:{post.id}"),
        Hatch(((tip, 0.0), (tip - hand * 3.6, 1.4), (tip - hand * 3.6, -1.4)), "THIN"),
    ]
    # The word reads upward, its capitals to the left of its base line.
    base_line = x + 4.0 if hand > 0.0 else -x - 1.5
    turn = math.pi / 2.0
    items.append(Text((base_line, 2.4), "OUTBOARD", 2.5, "TEXT", rotation=turn, tag=f"outboard:{post.id}"))
    return (*items, *_text_below(template))


def _text_below(template: Template) -> list[Item]:
    """Return id, side, plate and holes below the plate."""
    post, base = template.post, template.base
    y = -base.length / 2.0 - 5.8
    sizes = f"{base.length:g} x {base.width:g} x {base.thickness:g}"
    lines = (
        (f"{post.id}  {sheet_words.SIDE[post.side]}", 3.5),
        (f"{template.word}: {len(base.bolts)} holes Ø{base.bolt_hole:g} for {base.bolt:g}, plate {sizes}", 2.5),
    )
    items: list[Item] = []
    for text, wanted in lines:
        # The end of the fore-and-aft line is above the text.
        height = lettering_that_fits(text, base.width + 2.0 * _INBOARD, wanted)
        if height is not None:
            items.append(Text((0.0, y), text, height, "TEXT", "centre", tag=f"plate-words:{post.id}"))
        y -= wanted + 1.6
    return items


def _extent(template: Template) -> Rect:
    x, y = template.base.width / 2.0, template.base.length / 2.0
    starboard = template.post.side == "S"
    left, right = (_INBOARD, _OUTBOARD) if starboard else (_OUTBOARD, _INBOARD)
    return Rect(-x - left, -y - _BELOW, x + right, y + _ABOVE)


def plate_templates(refit: Refit, paper: AidPaper) -> tuple[Sheet, ...]:
    """Return the pages of all templates, as many on a page as fit."""
    all_templates = templates(refit)
    if not all_templates:
        return ()
    aid = Aid("base-plates", words.PLATE, "", words.BOTH_SIDES)
    lines, tall = notes(words.PLATE_NOTES, (paper.frame.left, paper.room.top), paper.frame.width, 2.5)
    area = Rect(paper.room.left, paper.room.bottom, paper.room.right, paper.room.top - tall - 1.0)
    pages: list[list[View]] = [[]]
    left, top, low = area.left, area.top, area.top
    for template in all_templates:
        piece = plate_piece(template, area)
        for tile in piece.tiles:
            wide, tall = tile.window.width, tile.window.height
            if left + wide > area.right + 1e-6 and left > area.left:
                left, top = area.left, low - _GAP
            if top - tall < area.bottom - 1e-6 and pages[-1]:
                pages.append([])
                left, top, low = area.left, area.top, area.top
            pages[-1].append(tile_view(piece, tile, len(pages[-1]), left, top - tall))
            low = min(low, top - tall)
            left += wide + _GAP
    return tuple(page(refit, aid, paper, k, len(pages), lines, views) for k, views in enumerate(pages, start=1))


def plate_piece(template: Template, room: Rect) -> Piece:
    """Return a template in one piece where it fits a page, else in tiles that cut through no bolt hole and no text."""
    items, whole = template_items(template), _extent(template)
    kept = [extent(flatten(item)) for item in items if isinstance(item, Circle | Hatch | Text)]
    parts = tuple(
        tiles(
            whole,
            room.width,
            room.height,
            [(box.left, box.right) for box in kept],
            [(box.bottom, box.top) for box in kept],
        )
    )
    return Piece(f"plate-{template.post.id}", (*items, *join_marks(whole, parts)), parts)
