"""What a quotation counts: line, parts, outside work, operations; each quantity as the sheets and the order have it.

Lines and stanchions on hold are not counted: what closes them is a provisional sum.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from geom.open_items import open_items
from geom.paperwork.money import Spread, exactly, to_buy_in
from geom.paperwork.rates import Operation
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, is_spliced, line_end, run_end
from geom.placement.place import PlacedRun
from geom.purchasing.fabricated import FabricatedPart, PartKind, fabricated_parts
from geom.purchasing.order import LineOrder, SmallOrder
from geom.purchasing.parts_list import CHOICE, parts_list
from geom.refit import Refit
from geom.remark import Remark, Stated
from geom.rigging.terminals import is_swage, is_terminal
from geom.sheets.stanchions.family import rows as stanchion_rows

SoldBy = Literal["length", "area", "each"]
# The units of sale [mm, mm2].
UNITS: dict[SoldBy, dict[str, float]] = {
    "length": {"m": 1000.0, "ft": 304.8},
    "area": {"m2": 1000.0**2, "ft2": 304.8**2},
    "each": {"each": 1.0},
}
# What is sold by length beside the lines, by the code of its row on the order list.
CORDS = {"twine.of_splices": "whipping twine", "cord.of_lashing": "lashing cord"}
# Fabricated parts of which every stanchion has its own; bolts, bushes and spacers are on the order list.
_OF_A_POST: tuple[PartKind, ...] = ("tube", "brace tube", "plate", "pad", "cap")


@dataclass(frozen=True)
class Quantity:
    """A quantity of one thing: the word that its rate goes by, what it is, what it is for, how it is sold, how much.

    `sizes` are low, likely and high, in mm or mm2 where it is sold by length or area; `by_reel` where whole reels are
    bought, from which waste is cut already. `price` is that of the boat file, where it has one.
    """

    item: str
    what: Stated
    places: tuple[str, ...]
    sold: SoldBy
    sizes: tuple[float, float, float]
    by_reel: bool = False
    price: float | None = None

    def in_unit(self, per: str) -> Spread:
        """Return the quantity in a unit of sale, lengths and areas rounded up to two decimals as on the order list.

        Args:
            per: a unit of `UNITS` in which it is sold.
        """
        if self.sold == "each":
            return exactly(int(self.sizes[0]))
        return Spread(*(to_buy_in(size, UNITS[self.sold][per]) for size in self.sizes))


def _counted(item: str, what: Stated, places: tuple[str, ...], count: int, price: float | None = None) -> Quantity:
    return Quantity(item, what, places, "each", (float(count),) * 3, price=price)


def materials(refit: Refit) -> tuple[Quantity, ...]:
    """Return what is bought: line, parts, cord and other small things, nets, as order list and sheets have them."""
    return (*_lines(refit), *_parts(refit), *_small(refit), *_nets(refit))


def _lines(refit: Refit) -> Iterator[Quantity]:
    for order in refit.order.lines:
        if order.total:
            places = tuple(piece.name for piece in order.pieces)
            whole = order.plan is not None and not order.plan.too_long
            price = refit.boat.lines[order.line].price_per_m
            yield Quantity(order.line, order.construction, places, "length", _lengths(order), whole, price)


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
            yield _counted(row.part, row.kind, places, row.count, price)


def _small(refit: Refit) -> Iterator[Quantity]:
    """Yield cord and twine by their whole length, other small things by their count."""
    counts: dict[str, int] = {}
    lengths: dict[str, float] = {}
    places: dict[str, list[str]] = {}
    prices: dict[str, float | None] = {}
    said: dict[str, Stated] = {}
    for small in refit.order.small:
        if of_net(small):
            continue
        word = _word(small.what)
        places.setdefault(word, []).append(small.run)
        said.setdefault(word, small.what)
        prices.setdefault(word, small.price)
        if isinstance(small.what, Remark) and small.length is not None:
            lengths[word] = math.fsum((lengths.get(word, 0.0), small.count * small.length))
        else:
            counts[word] = counts.get(word, 0) + small.count
    for word, whole in lengths.items():
        yield Quantity(word, said[word], tuple(dict.fromkeys(places[word])), "length", (whole,) * 3)
    for word, count in counts.items():
        yield _counted(word, said[word], tuple(dict.fromkeys(places[word])), count, prices[word])


def of_net(small: SmallOrder) -> bool:
    """Return whether a row of the order is of a net, which is sold by its area and its own cords."""
    return isinstance(small.what, Remark) and small.what.code not in CORDS


def _word(what: Stated) -> str:
    """Return the word that the rate of a small thing goes by."""
    if not isinstance(what, Remark):
        return what
    return CORDS[what.code]


def _nets(refit: Refit) -> Iterator[Quantity]:
    """Yield netting by area, the rope round its edges and the lacing by length; what has no size is counted apart."""
    sizes: tuple[tuple[str, SoldBy, list[float | None]], ...] = (
        ("netting", "area", [net.area for net in refit.nets]),
        ("net edge cord", "length", [net.edge_cord for net in refit.nets]),
        ("net lacing", "length", [net.lacing for net in refit.nets]),
    )
    for word, sold, parts in sizes:
        known = {net.id: size for net, size in zip(refit.nets, parts, strict=True) if size is not None}
        if known:
            whole = math.fsum(known.values())
            yield Quantity(word, Remark("quote.net", part=word), tuple(known), sold, (whole,) * 3)
        unknown = tuple(net.id for net in refit.nets if net.id not in known)
        if unknown:
            yield _counted(f"{word}, size not known", Remark("quote.net", part=word), unknown, len(unknown))


def outside(refit: Refit) -> tuple[Quantity, ...]:
    """Return the fabricated parts of the stanchions that are to be made, by the words of the fabricator's list."""
    return tuple(_counted(part.name, part.kind, posts, len(posts)) for part, posts in to_make(refit))


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
