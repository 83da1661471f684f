"""A worked-out boat as one row, and each of its open items as one: figures of the refit, nothing calculated again."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass, replace
from typing import Any

from geom.errors import InputError
from geom.fleet.many import count_boat
from geom.open_items import OpenItem, open_items
from geom.open_items.remedies.solve import cut_anew
from geom.paperwork.money import rounded
from geom.paperwork.quote.costs import quotation
from geom.paperwork.rates import Rates
from geom.refit import Refit
from geom.units import Mm, Money, Ratio
from geom.words import worded


@dataclass(frozen=True)
class BoatRow:
    """One boat: what is open on it, and its main figures; None where a figure is not determined.

    Attributes:
        number: of the variant, 0 for the boat as its file has it; of the file in a fleet, from 1.
        file: name of the boat file.
        boat: name of the boat, empty where the file cannot be used.
        data_sha256: hash of the boat's canonical data.
        stops: open items that stop the work.
        fails: open items that fail a rule or a strength.
        open_items: all open items.
        on_board: runs with an end to be finished on board.
        on_hold: runs whose line is not ordered.
        line_to_order: length of all lines on the order list, trial pieces included.
        cost: likely price with tax at the rates given.
        without_rate: lines of the bill that have no rate and are not in the cost.
        min_clear: smallest clear diameter of a hole at the angle of its line.
        max_post_utilisation: highest plastic utilisation of a post.
        lines_cut_anew: lines of other lengths than those of the boat as its file has it.
        package: folder of the package, where one is written.
        error: why there are no figures.
    """

    number: int
    file: str
    boat: str = ""
    data_sha256: str = ""
    stops: int | None = None
    fails: int | None = None
    open_items: int | None = None
    on_board: int | None = None
    on_hold: int | None = None
    line_to_order: Mm | None = None
    cost: Money | None = None
    without_rate: int | None = None
    min_clear: Mm | None = None
    max_post_utilisation: Ratio | None = None
    lines_cut_anew: int | None = None
    package: str = ""
    error: str = ""


@dataclass(frozen=True)
class ItemRow:
    """One open item of a boat, with the number and the file of its row; `cause` is the name of the cause."""

    boat_number: int
    file: str
    number: int
    kind: str
    cause: str
    title: str
    who: str
    places: str
    settles: int


@dataclass(frozen=True)
class Outcome:
    """What came of one boat: its row, and the rows of its open items in rank.

    `is_final` is False where no worker could do the work: another run tries again.
    """

    row: BoatRow
    items: tuple[ItemRow, ...] = ()
    is_final: bool = True

    def plain(self) -> list[Any]:
        """Return the outcome as lists and mappings of plain values."""
        return [asdict(self.row), [asdict(item) for item in self.items]]


def outcome_of(plain: Any) -> Outcome:
    """Return an outcome from its plain values.

    Args:
        plain: as `Outcome.plain` returns it.
    """
    row, items = plain
    return Outcome(BoatRow(**row), tuple(ItemRow(**item) for item in items))


def worked_out(
    number: int, file: str, refit: Refit, rates: Rates | None = None, source: str = "", before: Refit | None = None
) -> Outcome:
    """Return the rows of a boat.

    Args:
        number: of its row.
        file: name of the boat file.
        refit: the calculated boat.
        rates: of a yard, None for no cost.
        source: name of the rate file, for messages.
        before: the boat that it is a variant of, None for none.
    """
    count_boat()
    items = open_items(refit)
    quoted = None if rates is None else quotation(refit, rates, source)
    row = BoatRow(
        number=number,
        file=file,
        boat=refit.boat.boat.name,
        data_sha256=refit.loaded.data_sha256,
        stops=sum(item.kind == "stop" for item in items),
        fails=sum(item.kind == "fails" for item in items),
        open_items=len(items),
        on_board=sum(run.made_on_board is not None for run in refit.runs),
        on_hold=sum(len(line.on_hold) for line in refit.order.lines),
        line_to_order=math.fsum(line.total for line in refit.order.lines),
        cost=None if quoted is None else float(rounded(quoted.gross.likely, quoted.rounding)),
        without_rate=None if quoted is None else len(quoted.without_rate),
        min_clear=_if_all_known(min, _clear_diameters(refit)),
        max_post_utilisation=_if_all_known(max, (post.plastic_utilisation for post in refit.loads.posts)),
        lines_cut_anew=None if before is None else len(cut_anew(before, refit)),
    )
    return Outcome(row, tuple(_item_row(number, file, item) for item in items))


def error_outcome(number: int, file: str, error: Exception, is_final: bool = True) -> Outcome:
    """Return the outcome of a boat that cannot be worked out: one row with the error.

    Args:
        number: of the row.
        file: name of the boat file.
        error: why.
        is_final: whether another run would come to the same.
    """
    text = " | ".join(map(str, error.faults)) if isinstance(error, InputError) else f"{type(error).__name__}: {error}"
    return Outcome(BoatRow(number, file, error=text), is_final=is_final)


def with_number(outcome: Outcome, number: int) -> Outcome:
    """Return an outcome with another number, the same in all of its rows.

    Args:
        outcome: of a boat.
        number: of its row.
    """
    items = tuple(replace(item, boat_number=number) for item in outcome.items)
    return Outcome(replace(outcome.row, number=number), items)


def _clear_diameters(refit: Refit) -> Iterator[float | None]:
    """Yield the clear diameter of each hole with a line in it, None where it is not determined."""
    for hole in refit.holes:
        if hole.line is not None:
            yield None if hole.line.on_axis is None else hole.line.on_axis.clear


def _if_all_known(of: Callable[[Iterable[float]], float], values: Iterable[float | None]) -> float | None:
    """Return the smallest or largest of some values, None where one is not determined or there are none."""
    found = list(values)
    known = [value for value in found if value is not None]
    return of(known) if known and len(known) == len(found) else None


def _item_row(number: int, file: str, item: OpenItem) -> ItemRow:
    return ItemRow(
        boat_number=number,
        file=file,
        number=item.number,
        kind=item.kind,
        cause=item.name,
        title=worded(item.cause),
        who=item.who,
        places=", ".join(item.places),
        settles=item.settles,
    )
