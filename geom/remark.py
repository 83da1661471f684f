"""A remark: a code with its values, never a sentence. `words` has the sentence of each code, one file per language.

The unit of a number is the ending of its name: `_mm`, `_n` (newtons), `_mpa`, `_nmm` (N mm), `_rad`. A name without
one of these endings is a plain number, an id, or a text from the boat file or a table.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Union

Value = Union[str, float, int, "Remark", tuple["Value", ...]]


# Not a frozen dataclass, as thousands are made for a boat: that values are final is for the type checker to see to.
@dataclass(init=False, unsafe_hash=True)
class Remark:
    """A code and its values by name; a value may itself be a remark, or several."""

    code: Final[str]
    values: Final[tuple[tuple[str, Value], ...]]

    def __init__(self, code: str, /, **values: Value) -> None:
        """Make a remark.

        Args:
            code: such as `bury.room`; `words` has a sentence for it.
            values: by name; numbers in the unit of the ending.
        """
        self.code, self.values = code, tuple(values.items()) if values else ()

    def __getitem__(self, name: str) -> Value:
        """Return a value by its name.

        Raises:
            KeyError: no value has that name.
        """
        return dict(self.values)[name]

    def codes(self) -> frozenset[str]:
        """Return the code of this remark and of all remarks among its values."""
        inner = [_codes(value) for _, value in self.values if isinstance(value, (Remark, tuple))]
        return frozenset({self.code}).union(*inner)


# A text from the boat file or a table is used as it is; every message of the program is a remark.
Stated = str | Remark


def one_sentence(*parts: Remark) -> Remark:
    """Return several remarks as one sentence, joined by semicolons."""
    return Remark("joined", parts=parts)


def _codes(value: Value) -> frozenset[str]:
    if isinstance(value, Remark):
        return value.codes()
    none: frozenset[str] = frozenset()
    return none.union(*map(_codes, value)) if isinstance(value, tuple) else none
