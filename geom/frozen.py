"""Frozen dataclasses that are quick to make, for the results of which a boat has hundreds."""

from __future__ import annotations

from dataclasses import MISSING, dataclass, field, fields
from typing import Any, TypeVar, dataclass_transform

Kind = TypeVar("Kind", bound=type)


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(kind: Kind) -> Kind:
    """Return a class as a frozen dataclass that is made several times as fast as by `dataclass` alone.

    That one makes a call for each value, which takes a quarter of the time of a boat; this one puts the values into
    the dictionary of the object. All else is the same.

    Args:
        kind: the class, whose fields have no factory of their default.
    """
    made: Any = dataclass(frozen=True)(kind)
    names = [one.name for one in fields(made)]
    defaults = {f"default_{one.name}": one.default for one in fields(made) if one.default is not MISSING}
    parameters = (f"{name}=default_{name}" if f"default_{name}" in defaults else name for name in names)
    values = "\n".join(f"  values[{name!r}] = {name}" for name in names)
    written: dict[str, Any] = {}
    exec(f"def __init__(self, {', '.join(parameters)}):\n  values = self.__dict__\n{values}", defaults, written)
    made.__init__ = written["__init__"]
    return kind
