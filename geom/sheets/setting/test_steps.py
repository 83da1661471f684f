"""The steps of the push test with bar, weight and block, and notes on making bar and block."""

from __future__ import annotations

from collections.abc import Iterator

from geom.drafting.ruling import broken
from geom.figure import Item, Point, Text
from geom.refit import Refit
from geom.sheets.setting import text as words
from geom.sheets.setting.push_text import length, weight_named
from geom.sheets.setting.test_bar import block_sides, ends_on_deck, make
from geom.tables import numbers
from geom.tables.push_cases import forces, has_lower_lines

# Line pitch and indent as multiples of the lettering height.
_PITCH, _INDENT = 1.68, 2.0


def steps(refit: Refit, at: Point, room: float, height: float = 2.5) -> tuple[Item, ...]:
    """Return the numbered steps and the notes on making, without numbers, from the top left down.

    Args:
        refit: the calculated boat.
        at: left end of the first base line on paper [mm].
        room: width [mm].
        height: of the lettering [mm].
    """
    x, y = at
    indent, pitch = _INDENT * height, _PITCH * height
    items: list[Item] = []
    for mark, text, tag in _lines(refit):
        if mark:
            items.append(Text((x, y), mark, height, "TEXT", weight="semibold"))
        for line in broken(text, room - indent, height):
            items.append(Text((x + indent, y), line, height, "TEXT", tag=tag))
            y -= pitch
        y -= 0.3 * pitch
    return tuple(items)


def _lines(refit: Refit) -> Iterator[tuple[str, str, str]]:
    fmt, sizes, lower = numbers(refit.boat), make(refit), has_lower_lines(refit)
    new, old = (weight_named(force.value, fmt) for force in forces(refit))
    upper, other = (f"{length(side, fmt)} {fmt.unit}" for side in block_sides(refit))
    sides = (words.BAR_SIDES if lower else words.BAR_SIDE_ONE).format(upper=upper, other=other)
    for number, step in enumerate(words.BAR_STEPS, start=1):
        yield str(number), step.format(new=new, old=words.BAR_OLD.format(weight=old), sides=sides), f"step:{number}"
        ends = ends_on_deck(refit) if number == 1 else ()
        if ends:
            yield "", words.BAR_ON_DECK.format(ends=" and ".join(ends)), f"step:{number}:deck"
    ruled = words.BAR_RULED[lower].format(upper=upper, other=other)
    for number, note in enumerate(words.BAR_MADE, start=1):
        text = note.format(
            depth=length(sizes.depth, fmt), thick=length(sizes.thick, fmt), along=length(sizes.along, fmt),
            straight=f"{fmt.figure(sizes.straight)} {fmt.unit}", upper=upper, other=other,
            ruled=ruled,
        )  # fmt: skip
        yield "", text, f"made:{number}"
