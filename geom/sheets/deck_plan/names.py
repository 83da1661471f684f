"""Names and signs of the deck plan, each where it covers nothing: mast, rails, sides, bow, clear openings of gates."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from geom.drafting import text as words
from geom.drafting.boat_view import SIDES, extent
from geom.drafting.placing import CLEAR, Drawn, Label
from geom.drafting.rail_lines import rail_axis
from geom.drafting.symbols import BOW_ARROW, bow_arrow
from geom.figure import Dimension, Item, LengthFormat, Line, Text
from geom.lettering import width as text_width
from geom.placement.place import side_sign
from geom.refit import Refit
from geom.sheets.deck_plan import text as own
from geom.vec import Vec

# From a rail's eye inboard to the clear opening of a gate between two rails [paper mm].
_OFF_EYE = 6.0
# Least distance from the centreline to the clear opening of a gate with its words [paper mm].
_OVER_CENTRE = 12.0


def name_items(refit: Refit, drawn: Drawn, mm: float) -> Iterator[Item]:
    """Yield the names of mast and rails, each beside it where it covers nothing.

    Args:
        refit: the boat as calculated.
        drawn: what is in the view already; the names are added.
        mm: boat millimetres to one paper millimetre.
    """
    x = refit.boat.boat.mast_x
    if x is not None:
        text = Text((0.0, 0.0), own.MAST, 2.5, "NOTE")
        places = ((u, v) for v in (1.2, -3.7, 5.0, -7.5) for u in (5.0, -5.0 - text_width(own.MAST, 2.5)))
        yield from drawn.put(drawn.label(replace(text, at=(x + u * mm, v * mm))) for u, v in places).items
    for word, rail in refit.boat.rails.items():
        yield from drawn.put(_rail_names(refit, drawn, word, rail_axis(rail), mm)).items


def _rail_names(refit: Refit, drawn: Drawn, word: str, axis: Sequence[Vec], mm: float) -> Iterator[Label]:
    """Yield the name of a rail inside of it over the centreline, or beside it where it stands on one side alone."""
    xs, ys = [x for x, _, _ in axis], [y for _, y, _ in axis]
    forward = math.fsum(xs) / len(xs) < math.fsum(extent(refit)[:2]) / 2.0
    apart = min(ys) > 0.0 or max(ys) < 0.0
    middle = 0.5 * (min(ys) + max(ys)) if apart else 1.4 * mm
    text = Text((0.0, 0.0), word.upper(), 2.5, "NOTE", tag=f"rail-name:{word}")
    inside = [
        replace(text, at=(min(xs) + off * mm, middle)) if forward
        else replace(text, at=(max(xs) - off * mm, middle), across="right")
        for off in (4.0 + 2.0 * step for step in range(20))
    ]  # fmt: skip
    ahead = [replace(text, at=(min(xs) - 2.0 * mm, middle + off * mm), across="right") for off in (0.0, 4.0, -4.0, 8.0)]
    for place in (*ahead, *inside) if apart and forward else (*inside, *ahead):
        yield drawn.label(place)


def gate_items(refit: Refit, drawn: Drawn, mm: float, fmt: LengthFormat, inner: dict[str, float]) -> tuple[Item, ...]:
    """Return the clear opening of each gate between the tubes, dimensioned inboard of the names where there is room.

    Args:
        refit: the boat as calculated.
        drawn: what is in the view already; the dimensions are added.
        mm: boat millimetres to one paper millimetre.
        fmt: format of lengths.
        inner: distance from the centreline that is taken by the names of each post [mm].
    """
    items: list[Item] = []
    for gate in refit.placed.gates.values():
        outward = side_sign(gate.side)
        if not gate.levels or gate.side == "C":
            continue
        level = gate.levels[0]
        ends = []
        for support, at, sign in zip(gate.supports, gate.ends(level.level), (1.0, -1.0), strict=True):
            ends.append((at[0] + sign * support.radius, at[1]))
        clear = min(abs(at[1]) - _OFF_EYE * mm for at in gate.ends(level.level))
        beside = [inner[post.id] for post in (*gate.posts, *gate.loose)]
        clear = min(beside) if len(beside) > 1 else min(clear, *beside, math.inf)
        text = own.rounded(level.clear, fmt)
        one = Dimension((0.0, 0.0), (0.0, 0.0), 0.0, 0.0, text, tag=f"clear:{gate.id}", height=3.5, weight="semibold")
        places = _clear_openings(drawn, one, [x for x, _ in ends], clear, outward, mm)
        found = drawn.put_if_free(places)
        if found:
            drawn.add(found)
            items += (*found, *drawn.put(_gate_words(drawn, gate.id, found[0], mm)).items)
    return tuple(items)


def _clear_openings(
    drawn: Drawn, one: Dimension, across: Sequence[float], clear: float, outward: float, mm: float
) -> Iterator[Label]:
    """Yield the dimension of a clear opening inboard of the names, its number moved along, on its side alone."""
    room, wide = abs(across[1] - across[0]) / mm, text_width(one.text, 3.5, "semibold")
    # As far as the number stays clear of its extension lines, else beyond them.
    beyond, aside = 0.5 * (room + wide) + 4.0, 0.5 * (room - wide) - CLEAR
    shifts = [shift for shift in (0.0, 0.25 * room, -0.25 * room) if abs(shift) <= aside]
    for inboard in (0.0, 4.0, 8.0, 12.0):
        if clear < (_OVER_CENTRE + inboard) * mm:
            return
        y = outward * (clear - (1.0 + inboard) * mm)
        # The names of posts beside the gate may reach into its opening.
        if not all(drawn.free(drawn.group([Line((x, y), (x, y - outward * 5.0 * mm), "DIM")])) for x in across):
            continue
        for shift in (*shifts, beyond, -beyond):
            yield drawn.numbered(replace(one, start=(across[0], y), end=(across[1], y), offset=-outward * 5.0,
                                         shift=shift))  # fmt: skip


def _gate_words(drawn: Drawn, gate: str, of: Item, mm: float) -> Iterator[Label]:
    """Yield what the dimension of a gate gives: under its line, under its extension lines, or beside its number."""
    assert isinstance(of, Dimension)
    middle, line = 0.5 * (of.start[0] + of.end[0]), of.start[1] + of.offset * mm
    half = 0.5 * abs(of.end[0] - of.start[0]) + 2.0 * mm
    text = Text((0.0, 0.0), own.GATE_CLEAR, 2.5, "NOTE", "centre", tag=f"gate:{gate}")
    for under in (4.8, 6.8, 9.5):
        yield drawn.label(replace(text, at=(middle, line - under * mm)))
    for over in (7.0, 9.5):
        yield drawn.label(replace(text, at=(middle, line + over * mm)))
    for step in (0.0, 5.0, 10.0):
        yield drawn.label(replace(text, at=(middle + half + step * mm, line - 1.25 * mm), across="left"))
        yield drawn.label(replace(text, at=(middle - half - step * mm, line - 1.25 * mm), across="right"))


def sign_items(refit: Refit, drawn: Drawn, mm: float, left: float, top: float, bottom: float) -> tuple[Item, ...]:
    """Return the words of the sides and the arrow to the bow, at the left.

    Args:
        refit: the boat as calculated.
        drawn: what is in the view already; the signs are added.
        mm: boat millimetres to one paper millimetre.
        left: X of the words [boat mm].
        top: Y of the upper word's base line [boat mm].
        bottom: Y of the lower word's base line [boat mm].
    """
    first, *_ = extent(refit)
    items: list[Item] = []
    for side, base, away in zip(SIDES, (top, bottom), (1.0, -1.0), strict=True):
        word = Text((0.0, 0.0), words.SIDE[side], 5.0, "TEXT", tag=f"side:{side}", weight="semibold")
        steps = ((x, y) for y in (0.0, 6.0, -6.0, 12.0) for x in (0.0, 12.0))
        places = ((left + x * mm, base + away * y * mm) for x, y in steps)
        items += drawn.put(drawn.label(replace(word, at=at)) for at in places).items
    # As far ahead of the stem as the arrow stays in the view.
    aheads = [ahead for ahead in (9.0, 12.0, 6.0, 16.0, 3.0, 0.0) if first - (ahead + BOW_ARROW) * mm >= left]
    tails = ((first - ahead * mm, off * mm) for ahead in aheads or (0.0,) for off in (9.0, -9.0, 16.0, -16.0))
    return (*items, *drawn.put(drawn.group(bow_arrow(tail, -1.0, mm)) for tail in tails).items)
