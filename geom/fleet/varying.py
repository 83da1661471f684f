"""Working out variants: the tree of the boat file is edited in memory, its text is read once."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from geom.boat.file import LoadedBoat, boat_of_tree, read_boat
from geom.boat.tree import Location, Tree, read_tree
from geom.errors import Fault, InputError
from geom.fleet.row import Outcome, error_outcome, worked_out
from geom.fleet.settings import Variants, node_of
from geom.intake.value_edit import parts_of, write_at
from geom.paperwork.rates import Rates, read_rates
from geom.refit import Refit, refit

# Length of a note of a revision in a boat file.
_NOTE = 60


@dataclass(frozen=True)
class RateFile:
    """The bytes of a rate file with its name."""

    source: str
    data: bytes


@dataclass(frozen=True)
class VariantBatch:
    """Some variants of one boat file, by their numbers, to be worked out in one piece."""

    variants: Variants
    rates: RateFile | None
    numbers: tuple[int, ...]

    def singles(self) -> tuple[VariantBatch, ...]:
        """Return a batch of each variant alone."""
        return tuple(replace(self, numbers=(number,)) for number in self.numbers)

    def lost_outcomes(self, error: Exception) -> tuple[Outcome, ...]:
        """Return the outcomes of the variants where no worker could work them out.

        Args:
            error: why.
        """
        return tuple(error_outcome(number, self.variants.file, error, is_final=False) for number in self.numbers)


def work_variants(batch: VariantBatch) -> tuple[Outcome, ...]:
    """Return the outcome of each variant of a batch, in its order."""
    return tuple(variant_outcome(batch.variants, number, batch.rates) for number in batch.numbers)


def variant_outcome(variants: Variants, number: int, rates: RateFile | None = None) -> Outcome:
    """Return the outcome of one variant; one that cannot be used has a row with its error.

    Args:
        variants: the variants of a boat file.
        number: of the variant, 0 for the file itself.
        rates: for the cost, None for none.

    Raises:
        InputError: the boat file itself, or the rate file, cannot be used.
    """
    tree, before = _read(variants.data, variants.source)
    read = None if rates is None else rates_of(rates)
    source = "" if rates is None else rates.source
    file = variants.file
    if number == 0:
        return worked_out(0, file, before, read, source, before)
    try:
        return worked_out(number, file, refit(variant(variants, number, tree)), read, source, before)
    except Exception as error:
        # One variant that cannot be worked out must not end the others.
        return error_outcome(number, file, error)


def base_of(variants: Variants) -> Refit:
    """Return the refit of the boat as its file has it.

    Args:
        variants: of the boat file.

    Raises:
        InputError: the boat file cannot be used.
    """
    return _read(variants.data, variants.source)[1]


def variant(variants: Variants, number: int, tree: Tree | None = None) -> LoadedBoat:
    """Return the boat of a variant.

    Args:
        variants: the variants of a boat file.
        number: of the variant.
        tree: of the boat file, where it is read already.

    Raises:
        InputError: the variant cannot be used.
    """
    whole = tree or read_tree(variants.data, variants.source)
    values = {
        place: node_of(text)
        for location, value in variants.edits(number).items()
        for place, text in parts_of(location, value)
    }
    return boat_of_tree(whole.with_values(values), variants.source, "")


def variant_file(variants: Variants, number: int, mark: str, date: str) -> bytes:
    """Return the boat file of a variant, its comments intact, with its revision: mark, date, and what was changed.

    Args:
        variants: the variants of a boat file.
        number: of the variant, from 1.
        mark: of the revision.
        date: of the revision, year-month-day.

    Raises:
        InputError: there is no such variant, or it cannot be used.
    """
    if not 1 <= number <= len(variants):
        raise InputError(
            "arguments", [Fault("no such variant", "--keep", read=f"{number}", valid=f"1 to {len(variants)}")]
        )
    edits: dict[Location, str] = dict(variants.edits(number))
    note = json.dumps(_note(variants, number), ensure_ascii=False)
    for key, text in (("mark", mark), ("date", date), ("note", note)):
        edits.setdefault(("revision", key), text)
    return write_at(variants.data, variants.source, edits)


def _note(variants: Variants, number: int) -> str:
    changed = zip(variants.settings, variants.values(number), strict=True)
    text = "; ".join(f"{setting.key.rpartition('.')[2]} {value}" for setting, value in changed)
    short = f"variant {number}: {text}"
    return short if len(short) <= _NOTE else f"variant {number} of {len(variants)}"


def rates_of(file: RateFile) -> Rates:
    """Return the rates of a rate file.

    Raises:
        InputError: the file cannot be used.
    """
    return _rates(file)


@lru_cache(maxsize=4)
def _rates(file: RateFile) -> Rates:
    return read_rates(file.data, file.source)


@lru_cache(maxsize=4)
def _read(data: bytes, source: str) -> tuple[Tree, Refit]:
    """Return the tree of a boat file as its text has it, and the refit of the boat."""
    return read_tree(data, source), refit(read_boat(data, source))


def batches(variants: Variants, rates: RateFile | None, size: int) -> Iterator[VariantBatch]:
    """Yield all variants in batches, the file itself first.

    Args:
        variants: the variants of a boat file.
        rates: for the cost, None for none.
        size: variants in a batch.
    """
    for first in range(0, len(variants) + 1, size):
        yield VariantBatch(variants, rates, tuple(range(first, min(first + size, len(variants) + 1))))
