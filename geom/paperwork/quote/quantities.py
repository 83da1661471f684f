"""What a quotation counts: line, parts, outside work, operations; each quantity as the sheets and the order have it.

Lines and stanchions on hold are not counted: what closes them is a provisional sum.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from geom.open_items import open_items
from geom.paperwork.money import Spread, exactly, to_buy_in
from geom.paperwork.rates import Operation
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, is_spliced, line_end, run_end
from geom.placement.place import PlacedRun
from geom.purchasing.fabricated import FabricatedPart, PartKind, fabricated_parts
from geom.purchasing.order import LineOrder
from geom.purchasing.parts_list import CHOICE, parts_list
from geom.refit import Refit
from geom.remark import Remark, Stated
from geom.rigging.terminals import is_swage, is_terminal
from geom.sheets.stanchions.family import rows as stanchion_rows

METRE, FOOT = 1000.0, 304.8
SoldBy = Literal["length", "each"]
# Fabricated parts of which every stanchion has its own; bolts, bushes and spacers are on the order list.
_OF_A_POST: tuple[PartKind, ...] = ("tube", "brace tube", "plate", "pad", "cap")


@dataclass(frozen=True)
class Quantity:
    """A quantity of one thing: the word that its rate goes by, what it is, how much, and what it is for.

    `length` are the lengths in mm where it is sold by length, else None, and `count` is None; `by_reel` where whole
    reels are bought, from which waste is cut already.
    """

    item: str
    what: Stated
    places: tuple[str, ...]
    count: Decimal | None = None
    length: tuple[float, float, float] | None = None
    by_reel: bool = False
    price: float | None = None

    def in_unit(self, per: str) -> Spread:
        """Return the quantity in a unit of sale, lengths rounded up to two decimals as on the order list.

        Args:
            per: "m", "ft" or "each".
        """
        if self.length is None:
            assert self.count is not None
            return exactly(self.count)
        unit = METRE if per == "m" else FOOT
        return Spread(*(to_buy_in(value, unit) for value in self.length))


def materials(refit: Refit) -> tuple[Quantity, ...]:
    """Return what is bought: line, parts, cord and other small things, as the order list has them."""
    return (*_lines(refit), *_parts(refit), *_small(refit))


def _lines(refit: Refit) -> Iterator[Quantity]:
    for order in refit.order.lines:
        if order.total:
            places = tuple(piece.name for piece in order.pieces)
            whole = order.plan is not None and not order.plan.too_long
            price = refit.boat.lines[order.line].price_per_m
            yield Quantity(order.line, order.construction, places, None, _lengths(order), whole, price)


def _lengths(order: LineOrder) -> tuple[float, float, float]:
    """Return the low, likely and high length of a line [mm].

    Whole reels are what they are. Otherwise low is what the line uses at the least take-up, likely and high what is
    ordered, which holds the most take-up.
    """
    if order.plan is not None and not order.plan.too_long:
        return (order.plan.bought,) * 3
    used = [math.fsum((reel.in_line_min, reel.trim, reel.tail)) for reel in order.made_of]
    low = math.fsum((*used, *(piece.length for piece in order.trials)))
    return low, order.total, order.total


def _parts(refit: Refit) -> Iterator[Quantity]:
    held = frozenset(run for order in refit.order.lines for run, _ in order.on_hold)
    for row in parts_list(refit.boat, refit.placed.runs, held):
        if row.count and CHOICE not in row.missing:
            places = tuple(dict.fromkeys((*(run for run, _ in row.ends), *row.holes)))
            priced = refit.boat.fittings.get(row.part) or refit.boat.ends.get(row.part)
            price = None if priced is None or row.part == "thimble" else priced.price
            yield Quantity(row.part, row.kind, places, Decimal(row.count), price=price)


def _small(refit: Refit) -> Iterator[Quantity]:
    """Yield cord and twine by their whole length, other small things by their count."""
    counts: dict[str, int] = {}
    lengths: dict[str, float] = {}
    places: dict[str, list[str]] = {}
    prices: dict[str, float | None] = {}
    said: dict[str, Stated] = {}
    for small in refit.order.small:
        word = _word(small.what)
        places.setdefault(word, []).append(small.run)
        said.setdefault(word, small.what)
        prices.setdefault(word, small.price)
        if isinstance(small.what, Remark) and small.length is not None:
            lengths[word] = math.fsum((lengths.get(word, 0.0), small.count * small.length))
        else:
            counts[word] = counts.get(word, 0) + small.count
    for word, whole in lengths.items():
        yield Quantity(word, said[word], tuple(dict.fromkeys(places[word])), None, (whole,) * 3)
    for word, count in counts.items():
        yield Quantity(word, said[word], tuple(dict.fromkeys(places[word])), Decimal(count), price=prices[word])


def _word(what: Stated) -> str:
    """Return the word that the rate of a small thing goes by."""
    if not isinstance(what, Remark):
        return what
    return {"twine.of_splices": "whipping twine", "cord.of_lashing": "lashing cord"}[what.code]


def outside(refit: Refit) -> tuple[Quantity, ...]:
    """Return the fabricated parts of the stanchions that are to be made, by the words of the fabricator's list."""
    return tuple(Quantity(part.name, part.kind, posts, Decimal(len(posts))) for part, posts in to_make(refit))


def to_make(refit: Refit) -> tuple[tuple[FabricatedPart, tuple[str, ...]], ...]:
    """Return the fabricated parts of the stanchions that are to be made, each with these stanchions."""
    made = _posts(refit, "make")
    found = (
        (part, tuple(post for post in part.posts if post in made))
        for part in fabricated_parts(refit.placed)
        if part.kind in _OF_A_POST
    )
    return tuple((part, posts) for part, posts in found if posts)


def _posts(refit: Refit, *actions: str) -> frozenset[str]:
    """Return the stanchions with one of some actions on the fabricator's sheets."""
    found = stanchion_rows(refit, open_items(refit))
    return frozenset(post for row in found if row.action in actions for post in row.ids)


def operations(refit: Refit) -> dict[Operation, tuple[str, ...]]:
    """Return the places of each operation, one for each time that it is done; travel is counted in visits.

    A terminal is one fitted by hand; a hole is one whose edges are dressed for rope, or that is drilled anew.
    """
    ends = [
        (run, where)
        for run in refit.placed.runs.values()
        if not refit.work.runs[run.id].refused and refit.work.runs[run.id].headline is not None
        for where in BOTH
    ]
    made = {post.id for post in refit.boat.posts if post.id in _posts(refit, "make")}
    fitted = {post.id for post in refit.boat.posts if post.id in _posts(refit, "make", "alter")}
    plates = [part for part in fabricated_parts(refit.placed) if part.kind in ("plate", "pad")]
    return {
        "splice": tuple(_at(run, where) for run, where in ends if is_spliced(line_end(refit.boat, run, where))),
        "swage": tuple(_at(run, where) for run, where in ends if is_swage(line_end(refit.boat, run, where))),
        "terminal": tuple(_at(run, where) for run, where in ends if _by_hand(refit, run, where)),
        "hole": tuple(hole for hole in _holes(refit)),
        "base": tuple(post.id for post in refit.boat.posts if post.id in fitted),
        "plate": tuple(f"{part.name} {post}" for part in plates for post in part.posts if post in made),
        "fitting": tuple(f"{_at(run, where)} {name}" for run, where in ends for name in run_end(run, where).fittings),
        "survey": tuple(post.id for post in refit.boat.posts),
        "tensioning": tuple(run.id for run, where in ends if where == "start"),
    }


def _at(run: PlacedRun, where: Where) -> str:
    return f"{run.id} {where}"


def _by_hand(refit: Refit, run: PlacedRun, where: Where) -> bool:
    end = line_end(refit.boat, run, where)
    return is_terminal(end) and not is_swage(end)


def _holes(refit: Refit) -> Iterator[str]:
    for run in refit.placed.runs.values():
        for passage in run.passages:
            hole = passage.hole
            if hole.edge.min_radius is not None or hole.spec.planned is not None:
                yield hole.id
