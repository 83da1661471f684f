"""A remark: a code with its values, never a sentence. `words` holds the sentence of each code, a file a language.

A number's unit is the ending of its name: `_mm`, `_n` (newtons), `_mpa`, `_nmm` (N mm), `_rad`; a name without one
of these endings is a plain number, an id, or a text of the boat file or of a table.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Union

Value = Union[str, float, int, "Remark", tuple["Value", ...]]


@dataclass(frozen=True, init=False)
class Remark:
    """A code and its values by name; a value may be another remark, or several."""

    code: str
    values: tuple[tuple[str, Value], ...]

    def __init__(self, code: str, /, **values: Value) -> None:
        """Keep a code with its values.

        Args:
            code: such as `bury.too_short`; words hold a sentence for it.
            values: by name, numbers in the unit of the name's ending.
        """
        object.__setattr__(self, "code", code)
        object.__setattr__(self, "values", tuple(values.items()))

    def __getitem__(self, name: str) -> Value:
        """Return a value by its name.

        Raises:
            KeyError: the remark holds none of that name.
        """
        return dict(self.values)[name]

    def codes(self) -> frozenset[str]:
        """Return its own code and those of the remarks among its values."""
        return frozenset({self.code}).union(*(_codes(value) for _, value in self.values))


# A text of the boat file or of a table stands for itself; what the program says is a remark.
Stated = str | Remark


def one_sentence(*parts: Remark) -> Remark:
    """Return several remarks as one, a sentence with semicolons."""
    return Remark("joined", parts=parts)


def _codes(value: Value) -> frozenset[str]:
    if isinstance(value, Remark):
        return value.codes()
    if isinstance(value, tuple):
        return frozenset[str]().union(*(_codes(one) for one in value))
    return frozenset()
