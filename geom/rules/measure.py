"""What clauses compare: a quantity at a place, how well it is known, and a limit as its document prints it."""

from __future__ import annotations

from geom.frozen import cached_property, frozen
from geom.remark import Remark, Stated
from geom.units import InItsUnit


@frozen
class Limit:
    """A limit of a clause: value in its unit, as printed in the document, source and confidence.

    `also` is the figure that the document prints beside it in another unit; meeting either meets the limit.
    """

    value: InItsUnit
    unit: str
    as_printed: Stated
    source: str
    sure: str
    contested: str = ""
    also: InItsUnit | None = None
    also_printed: str = ""

    @cached_property
    def figures(self) -> tuple[float, ...]:
        """The figures printed for it [unit of the limit], the first of them the one that is held."""
        return (self.value,) if self.also is None else (self.value, self.also)

    @cached_property
    def doubts(self) -> tuple[Remark, ...]:
        """Why a verdict by this limit is only a notice; empty where it is not."""
        memory = (Remark("limit.from_memory", sure=self.sure),) if self.sure.startswith("memory") else ()
        contested = (Remark("limit.contested", reason=self.contested),) if self.contested else ()
        return (*memory, *contested)

    def at(self, value: float, printed: Stated | None = None) -> Limit:
        """Return the same limit with a value calculated for the boat.

        Args:
            value: [unit of the limit].
            printed: how the document prints it, as before where None.
        """
        as_printed = self.as_printed if printed is None else printed
        return Limit(value, self.unit, as_printed, self.source, self.sure, self.contested)


@frozen
class Known:
    """How well a measured quantity is known: its expanded uncertainty in the unit of the quantity, and the source."""

    within: InItsUnit
    source: Stated


@frozen
class Measure:
    """A quantity at a place of the boat, in `unit`; `value` is None where not determined, with the reason in `notes`.

    `known` is None for a quantity that is not surveyed. `where` is the place where its id does not name it; `demand`
    orders measures without a value.
    """

    place: str
    quantity: Remark
    value: InItsUnit | None
    unit: str = "mm"
    run: str | None = None
    post: str | None = None
    notes: tuple[Remark, ...] = ()
    known: Known | None = None
    where: Remark | None = None
    demand: InItsUnit | None = None


def whole_boat(quantity: Remark, value: float | None = None, unit: str = "") -> Measure:
    """Return a quantity of the boat as a whole.

    Args:
        quantity: what it is.
        value: [unit], None where there is none.
        unit: of the value.
    """
    return Measure("boat", quantity, value, unit, where=Remark("place.boat"))


@frozen
class Condition:
    """Whether a condition holds for the boat, None where that is not determined, and the reasons."""

    holds: bool | None
    reasons: tuple[Remark, ...]


def joined(*notes: tuple[Remark, ...]) -> tuple[Remark, ...]:
    """Return several tuples of remarks as one."""
    return tuple(note for some in notes for note in some)
