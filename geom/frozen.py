"""Frozen dataclasses that are quick to make and to read, for the results of which a boat has hundreds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Generic, Self, TypeVar, dataclass_transform, overload

Kind = TypeVar("Kind", bound=type)
Value = TypeVar("Value")


class cached_property(Generic[Value]):  # noqa: N801
    """A property that is found when it is first read: that of `functools` without its lock, which 3.12 gave up."""

    def __init__(self, find: Callable[[Any], Value]) -> None:
        """Mark a method as one."""
        self.find = find
        self.__doc__ = find.__doc__

    def __set_name__(self, kind: type, name: str) -> None:
        self._name = name

    @overload
    def __get__(self, of: None, kind: type) -> Self: ...

    @overload
    def __get__(self, of: object, kind: type | None = None) -> Value: ...

    def __get__(self, of: object | None, kind: type | None = None) -> Self | Value:
        if of is None:
            return self
        value = self.find(of)
        # Past the refusal of a frozen class.
        object.__setattr__(of, self._name, value)
        return value


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(kind: Kind) -> Kind:
    """Return a class as a dataclass whose values nobody sets again, which the type checker sees to.

    At run time nothing refuses it, and a value set again changes the hash. `dataclass(frozen=True)` refuses, and makes
    a call for each value of each object, which takes a quarter of the time of a boat.
    """
    made: Any = dataclass(unsafe_hash=True)(kind)
    result: Kind = made
    return result
