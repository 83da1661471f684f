"""A boat with all of its variants worked out: rows in order, those that no other beats, and the table of them."""

from __future__ import annotations

import json
from array import array
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from geom.boat.model import Boat
from geom.errors import Fault, InputError
from geom.files import LineFile, line_file
from geom.fleet.columns import VariantRow, variant_columns
from geom.fleet.pool import Pool, here
from geom.fleet.row import Outcome, outcome_of
from geom.fleet.settings import Variants
from geom.fleet.unbeaten import Unbeaten
from geom.fleet.varying import RateFile, base_of, batches, work_variants
from geom.tables import Column, Table, numbers, written
from geom.units import LengthFormat
from geom.words import english_fleet as words

# Variants in a batch: enough that sending them costs little compared with working them out.
_BATCH = 20
# Different causes that are listed where no variant can be used.
_CAUSES = 5
# Columns that a terminal leaves to files, and those that it shows though all rows are alike.
_HIDDEN = ("data_sha256",)
_ALWAYS = ("number", "unbeaten")


@dataclass(frozen=True)
class VariedBoat:
    """A boat with its variants; their rows are in a file, `lines` has the place of each in it by its number."""

    variants: Variants
    boat: Boat
    unbeaten: frozenset[int]
    _file: LineFile
    _lines: array[int]

    @property
    def length_format(self) -> LengthFormat:
        """The length format of the boat."""
        return numbers(self.boat)

    def row(self, number: int) -> VariantRow:
        """Return a variant, 0 for the boat as its file has it.

        Args:
            number: of the variant.
        """
        row = outcome_of(json.loads(self._file[self._lines[number]])).row
        values = self.variants.values(number) if number else ()
        return VariantRow(values, row, number in self.unbeaten if number else None)

    def rows(self) -> Iterator[VariantRow]:
        """Yield all variants in order, the boat as its file has it first."""
        return map(self.row, range(len(self._lines)))

    def refuse_unusable(self) -> None:
        """Refuse values of which none can be used.

        Raises:
            InputError: no variant could be worked out; the first causes are listed, each with its variant.
        """
        if self.unbeaten or not len(self.variants):
            return
        causes: dict[str, int] = {}
        for number in range(1, len(self._lines)):
            causes.setdefault(self.row(number).row.error, number)
            if len(causes) == _CAUSES:
                break
        faults = [Fault(f"variant {number} cannot be used: {error}") for error, number in causes.items()]
        raise InputError(self.variants.source, [*faults, Fault("none of the values can be used", "--set, --values")])

    def table(self, limit: int) -> Table:
        """Return the table of the variants: all of them where they are few, else those that no other beats.

        Args:
            limit: the number of rows.
        """
        count = len(self.variants)
        shown = range(1, count + 1) if count <= limit else sorted(self.unbeaten)[:limit]
        found = (self.row(0), *map(self.row, shown))
        columns = [one.column for one in variant_columns(self.variants) if not one.column.key.startswith(_HIDDEN)]
        differ = [one for one in columns if one.key in _ALWAYS or len({one.read(row) for row in found}) > 1]
        same = [one for one in columns if one not in differ and one.read(found[0]) not in (None, "")]
        note = f"{words.AS_FILED} {words.UNBEATEN}"
        if same:
            note += " " + words.SAME.format(figures=", ".join(self._stated(one, found[0]) for one in same))
        if count > limit:
            note += " " + words.ONLY_UNBEATEN.format(shown=len(shown), unbeaten=len(self.unbeaten), count=count)
        return Table(
            name="variants",
            title=words.VARIANTS.format(name=self.boat.boat.name),
            columns=tuple(differ),
            results=found,
            ids=tuple(str(one.row.number) for one in found),
            note=note,
        )

    def _stated(self, column: Column, row: VariantRow) -> str:
        unit = f" {self.length_format.unit}" if column.kind == "length" else ""
        return f"{column.heading} {written(column.read(row), column, self.length_format)}{unit}"


@contextmanager
def varied_boat(
    variants: Variants, rates: RateFile | None, step: Callable[[int], None], pool: Pool = here
) -> Iterator[VariedBoat]:
    """Work out all variants of a boat; their rows are held in a file that is gone at the end.

    Args:
        variants: the variants.
        rates: for the cost, None for none.
        step: called with the number of variants done since.
        pool: where the work is done.

    Raises:
        InputError: the boat file, or the rate file, cannot be used.
    """
    refit = base_of(variants)
    unbeaten, lines = Unbeaten(), array("q", [-1] * (len(variants) + 1))
    with line_file() as file:
        for outcomes in pool(work_variants, batches(variants, rates, _BATCH)):
            for outcome in outcomes:
                row = outcome.row
                lines[row.number] = file.append(json.dumps(Outcome(row).plain()).encode())
                if row.number:
                    unbeaten.add(row)
            step(len(outcomes))
        yield VariedBoat(variants, refit.boat, unbeaten.numbers, file, lines)
