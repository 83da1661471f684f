"""The tables of the base sheet: tubes on plates made to suit, pads, brace feet."""

from __future__ import annotations

import math

from geom.drafting.columns import Column, ColumnTable
from geom.drafting.shop_text import ATHWARTSHIPS, FORE_AND_AFT, shop, turned
from geom.figure import Cell, LengthFormat
from geom.placement.brace import brace_of
from geom.placement.pads import CORNERS, pad
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.sheets.bases import text as base_words
from geom.sheets.bases.figure import suits
from geom.sheets.stanchions.held import Held, name_cell
from geom.tables import numbers
from geom.units import decimal, degrees


def feet_table(refit: Refit, posts: list[PlacedPost], held: Held) -> ColumnTable | None:
    """Return the angles of the tubes on plates made to suit them, and where their axes leave the plates; None for none.

    Args:
        refit: the boat as calculated.
        posts: every post with a base.
        held: those on hold.
    """
    fmt = numbers(refit.boat)
    angle, off = base_words.FEET_GROUPS
    columns = (
        Column(base_words.STANCHION), Column(base_words.BASE),
        *(Column(head, "", "right", group) for group in (angle, off) for head in (base_words.ACROSS, base_words.FORE)),
    )  # fmt: skip
    rows = []
    for post in posts:
        word = post.spec.base or ""
        base = refit.boat.bases[word]
        if not suits(base):
            continue
        slopes = ((math.tan(post.plate.out), *ATHWARTSHIPS), (math.tan(post.plate.aft), *FORE_AND_AFT))
        texts = [
            turned(post.plate.out, *ATHWARTSHIPS),
            turned(post.plate.aft, *FORE_AND_AFT),
            *(_way(base.thickness * slope, plus, minus, fmt) for slope, plus, minus in slopes),
        ]
        rows.append(_row("feet", post, held, [word, *texts], ("base", "out", "aft", "off-out", "off-aft")))
    return ColumnTable(columns, tuple(rows), "table:feet") if rows else None


def pads_table(refit: Refit, posts: list[PlacedPost], held: Held) -> ColumnTable | None:
    """Return the thickness of the pads at their corners and on the tube's axis; None for none.

    Args:
        refit: the boat as calculated.
        posts: every post with a base.
        held: those on hold.
    """
    fmt = numbers(refit.boat)
    heads = [Column(base_words.CORNER[corner].replace(" ", "\n"), "", "right") for corner in CORNERS]
    columns = (Column(base_words.STANCHION), Column(base_words.BASE), *heads, Column(base_words.ON_AXIS, "", "right"))
    rows = []
    for post in posts:
        word = post.spec.base or ""
        base = refit.boat.bases[word]
        if suits(base):
            continue
        under = pad(post, base)
        texts = [*(shop(under.corners[corner], fmt) for corner in CORNERS), shop(under.on_axis, fmt)]
        rows.append(_row("pads", post, held, [word, *texts], ("base", *CORNERS, "on-axis")))
    return ColumnTable(columns, tuple(rows), "table:pads") if rows else None


def braces_table(refit: Refit, held: Held) -> ColumnTable | None:
    """Return the place of each brace's foot, its slant and its angle to the tube; None for none.

    Args:
        refit: the boat as calculated.
        held: the stanchions on hold.
    """
    fmt = numbers(refit.boat)
    names = base_words.BRACE_COLUMNS
    columns = (
        Column(base_words.STANCHION), *(Column(head, "", "right") for head in names[:-1]), Column(names[-1]),
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = []
    for post in refit.placed.posts.values():
        brace = brace_of(post)
        if brace is None:
            continue
        up = _way(brace.up, "above", "below", fmt)
        texts = [
            _way(brace.aft, *FORE_AND_AFT, fmt),
            _way(brace.out, *ATHWARTSHIPS, fmt),
            up if " " in up else base_words.LEVEL,
            shop(brace.slant, fmt),
            decimal(degrees(brace.angle), 1),
            base_words.TBC if refit.boat.shop_facts.braces is None else base_words.NOTED,
        ]
        rows.append(_row("braces", post, held, texts, ("aft", "out", "up", "slant", "angle", "tube")))
    return ColumnTable(columns, tuple(rows), "table:braces") if rows else None


def _way(value: float, plus: str, minus: str, fmt: LengthFormat) -> str:
    """Return a length with the short word of its direction [mm], without it where it is printed as zero."""
    text = shop(abs(value), fmt)
    return text if float(text) == 0.0 else f"{text} {plus if value > 0.0 else minus}"


def _row(table: str, post: PlacedPost, held: Held, texts: list[str], keys: tuple[str, ...]) -> tuple[Cell, ...]:
    first = name_cell(post.id, f"{table}:{post.id}:post", held)
    return (first, *(Cell(text, f"{table}:{post.id}:{key}") for text, key in zip(texts, keys, strict=True)))
