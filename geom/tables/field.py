"""One value of a result by its attribute path: its key, its unit, and how to read it.

`cut` of a run is read from `run.cut` and has the key `cut_mm`; `needed_lower=needed.lower` is read from
`push.needed.lower` and has the key `needed_lower_n`. In a path a number indexes a tuple, a name maps over one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, reduce
from operator import attrgetter, or_
from types import NoneType, UnionType
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

from geom.frozen import cached_property
from geom.units import Unit

_UNIONS = (Union, UnionType)


@dataclass(frozen=True)
class Field:
    """One value of a result.

    Attributes:
        key: its name in check.json and CSV, with the unit as its ending.
        hint: its type, without units; the type of one element where `many`.
        unit: of a float, else None.
        optional: whether it may be None.
        many: whether it is a tuple of values.
        steps: the attributes and indices of its path.
    """

    key: str
    hint: Any
    unit: Unit | None
    optional: bool
    many: bool
    steps: tuple[str, ...]

    def read(self, result: object) -> Any:
        """Return the value in the unit of its key; None where any step of the path is None."""
        value = self._get(result)
        return value if self.unit is None or value is None else _outside(value, self.unit.factor)

    @cached_property
    def _get(self) -> Callable[[Any], Any]:
        """The value at the path, in the unit that the result holds."""
        only = self.steps[0]
        if len(self.steps) == 1 and not only.isdigit():
            return attrgetter(only)
        return lambda result: _read(result, self.steps)


@cache
def field(owner: Any, path: str) -> Field:
    """Return the field at a path from a type of results.

    Args:
        owner: the type.
        path: attributes joined by points; `name=path` gives the value another name.

    Raises:
        TypeError: a float whose annotation states no unit.
    """
    name, _, rest = path.rpartition("=")
    steps = tuple(rest.split("."))
    hint, unit, optional, many = owner, None, False, False
    for step in steps:
        hint, unit, none, tuples = _plain(_index(hint, step) if step.isdigit() else attribute(hint, step), unit)
        optional, many = optional or none, many or tuples
    if hint is float and unit is None:
        raise TypeError(f"{path} of {owner.__name__}: the annotation of a float states its unit")
    key = (name or steps[-1]).removesuffix("_")
    ending = "" if unit is None or hint is not float else unit.ending
    return Field(f"{key}_{ending}" if ending else key, hint, unit if hint is float else None, optional, many, steps)


def attribute(owner: Any, name: str) -> Any:
    """Return the annotation of a field or property of a class, including its unit."""
    found = getattr(owner, name, None)
    if isinstance(found, property):
        return _hints(found.fget)["return"]
    if isinstance(found, cached_property):
        return _hints(found.find)["return"]
    return _hints(owner)[name]


@cache
def _hints(of: Any) -> dict[str, Any]:
    return get_type_hints(of, include_extras=True)


def _index(hint: Any, step: str) -> Any:
    arguments = get_args(hint)
    return arguments[min(int(step), len(arguments) - 1)]


def _plain(hint: Any, unit: Unit | None) -> tuple[Any, Unit | None, bool, bool]:
    """Return a type without unit, None and tuple; the unit; whether it was optional; whether it was a tuple."""
    optional = many = False
    while True:
        if get_origin(hint) is Annotated:
            hint, *marks = get_args(hint)
            unit = next((mark for mark in marks if isinstance(mark, Unit)), unit)
        elif get_origin(hint) in _UNIONS and NoneType in get_args(hint):
            hint = reduce(or_, (one for one in get_args(hint) if one is not NoneType))
            optional = True
        elif get_origin(hint) is tuple and get_args(hint)[-1] is Ellipsis and not many:
            hint, many = get_args(hint)[0], True
        else:
            return hint, unit, optional, many


def _read(value: Any, steps: tuple[str, ...]) -> Any:
    for place, step in enumerate(steps):
        if value is None:
            return None
        if type(value) is tuple:
            if step.isdigit():
                value = value[int(step)]
                continue
            return tuple(_read(one, steps[place:]) for one in value)
        value = getattr(value, step)
    return value


def _outside(value: Any, factor: float) -> Any:
    """Return a number, a tuple of numbers or None converted to the unit of the key."""
    if type(value) is tuple:
        return tuple(_outside(one, factor) for one in value)
    return None if value is None else float(value) * factor
