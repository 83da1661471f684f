"""The columns of boat rows and item rows: one definition for terminal, CSV and Parquet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from geom.fleet.row import BoatRow, ItemRow
from geom.fleet.settings import Variants
from geom.tables.field import field
from geom.tables.table import Column, column

# Heading by path: what a row is, then its figures.
_FIGURES = {
    "stops": "STOPS",
    "fails": "FAILS",
    "open_items": "OPEN ITEMS",
    "on_board": "ENDS ON BOARD",
    "on_hold": "ON HOLD",
    "line_to_order": "LINE TO ORDER",
    "cost": "COST",
    "without_rate": "NO RATE",
    "min_clear": "CLEAR, MIN",
    "max_post_utilisation": "POST UTILISATION, MAX",
    "lines_cut_anew": "LINES CUT ANEW",
}
_FLEET = {"number": "NO.", "file": "FILE", "boat": "BOAT", "data_sha256": "DATA"} | {
    path: words for path, words in _FIGURES.items() if path != "lines_cut_anew"
}
_LAST = {"package": "PACKAGE", "error": "ERROR"}
_ITEM = (
    "boat_number", "file", "number", "kind", "cause", "title", "who", "places", "settles",
)  # fmt: skip
_DECIMALS = {"max_post_utilisation": 3, "cost": 2}


@dataclass(frozen=True)
class TypedColumn:
    """A column with the type of its values: str, int or float."""

    column: Column
    kind: type


@dataclass(frozen=True)
class VariantRow:
    """One variant as a row: the value of each key that is varied, its figures, and whether no other beats it.

    `unbeaten` is None for the boat as its file has it, which is no variant.
    """

    values: tuple[str, ...]
    row: BoatRow
    unbeaten: bool | None

    @property
    def mark(self) -> str:
        """What the table shows of whether another beats it."""
        return "" if self.unbeaten is None else "yes" if self.unbeaten else "no"


FLEET_BOATS: tuple[TypedColumn, ...] = tuple(
    TypedColumn(column(BoatRow, path, words, decimals=_DECIMALS.get(path, 1)), field(BoatRow, path).hint)
    for path, words in (_FLEET | _LAST).items()
)
FLEET_ITEMS: tuple[TypedColumn, ...] = tuple(
    TypedColumn(column(ItemRow, path), field(ItemRow, path).hint) for path in _ITEM
)


def variant_columns(variants: Variants) -> tuple[TypedColumn, ...]:
    """Return the columns of variants: number, the keys that are varied, figures, whether unbeaten, error.

    Args:
        variants: the variants of a boat file.
    """

    def of(path: str, heading: str) -> TypedColumn:
        read = field(BoatRow, path)
        return TypedColumn(
            column(BoatRow, path, heading, decimals=_DECIMALS.get(path, 1), of=lambda one: one.row), read.hint
        )

    def value(index: int) -> TypedColumn:
        def read(one: Any) -> str | None:
            return one.values[index] if one.values else None

        key = variants.settings[index].key
        return TypedColumn(Column(key, _short(key, variants), read), str)

    return (
        of("number", "NO."),
        *(value(index) for index in range(len(variants.settings))),
        *(of(path, words) for path, words in _FIGURES.items()),
        TypedColumn(Column("unbeaten", "UNBEATEN", lambda one: one.mark), str),
        of("data_sha256", "DATA"),
        of("error", "ERROR"),
    )


def _short(key: str, variants: Variants) -> str:
    """Return the end of a key that tells it from the other keys."""
    parts = key.split(".")
    tails = (".".join(parts[-count:]) for count in range(1, len(parts)))
    others = [setting.key for setting in variants.settings if setting.key != key]
    return next((tail for tail in tails if not any(other.endswith(tail) for other in others)), key)
