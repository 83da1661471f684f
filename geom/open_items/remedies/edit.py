"""Changes of single values of a boat, as the boat file would hold them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from geom.boat.model import Boat, Model
from geom.open_items.item import Change
from geom.units import decimal

# Decimals of a length or force in a changed file, and of an angle in degrees.
_DECIMALS = 4


@dataclass(frozen=True)
class Edit:
    """A new value at a place of the boat: keys, ids and words from the outside in; None takes the place out.

    `was` and `text` are the old and the new value as the file writes them.
    """

    path: tuple[str, ...]
    value: Any
    was: str
    text: str

    @property
    def change(self) -> Change:
        """The change, with its dotted key."""
        return Change(".".join(self.path), self.was, self.text)


def length(boat: Boat, path: tuple[str, ...], value: float) -> Edit:
    """Return the edit of a length.

    Args:
        boat: the boat as it is.
        path: of the value.
        value: the new one [mm].
    """
    rounded = round(value, _DECIMALS)
    return Edit(path, rounded, _text(at(boat, path), "mm"), _text(rounded, "mm"))


def force(boat: Boat, path: tuple[str, ...], value: float) -> Edit:
    """Return the edit of a force.

    Args:
        boat: the boat as it is.
        path: of the value.
        value: the new one [N].
    """
    rounded = round(value, _DECIMALS)
    return Edit(path, rounded, _text(at(boat, path), "N"), _text(rounded, "N"))


def angle(boat: Boat, path: tuple[str, ...], value: float) -> Edit:
    """Return the edit of an angle.

    Args:
        boat: the boat as it is.
        path: of the value.
        value: the new one [rad].
    """
    old = at(boat, path)
    degrees = round(math.degrees(value), _DECIMALS) + 0.0
    was = "" if old is None else _text(math.degrees(old), "deg")
    return Edit(path, math.radians(degrees), was, _text(degrees, "deg"))


def point(boat: Boat, path: tuple[str, ...], value: tuple[float, float, float]) -> Edit:
    """Return the edit of a point in boat axes.

    Args:
        boat: the boat as it is.
        path: of the value.
        value: the new one [mm].
    """
    rounded = tuple(round(one, _DECIMALS) for one in value)
    old = at(boat, path)
    return Edit(path, rounded, _point(old), _point(rounded))


def word(boat: Boat, path: tuple[str, ...], value: str) -> Edit:
    """Return the edit of a word.

    Args:
        boat: the boat as it is.
        path: of the value.
        value: the new one.
    """
    old = at(boat, path)
    return Edit(path, value, "" if old is None else str(old), value)


def _point(value: Any) -> str:
    return f"[{', '.join(_text(one, 'mm') for one in value)}]"


def _text(value: Any, unit: str) -> str:
    if value is None:
        return ""
    text = decimal(value, _DECIMALS)
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}"


def at(boat: Boat, path: tuple[str, ...]) -> Any:
    """Return the value at a path, in the internal unit; None where a step of it is not there."""
    node: Any = boat
    for step in path:
        node = _inner(node, step)
        if node is None:
            return None
    return node


def _inner(node: Any, step: str) -> Any:
    if isinstance(node, Model):
        return getattr(node, step)
    if isinstance(node, dict):
        return node.get(step)
    return next((one for index, one in enumerate(node) if _is_named(one, index, step)), None)


def _is_named(one: Any, index: int, step: str) -> bool:
    return getattr(one, "id", str(index)) == step


def edited(boat: Boat, edits: Iterable[Edit]) -> Boat:
    """Return a boat with some values changed; what they do not touch stays the same object."""
    for edit in edits:
        boat = _with(boat, edit.path, edit.value)
    return boat


def _with(node: Any, path: tuple[str, ...], value: Any) -> Any:
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(node, Model):
        return node.model_copy(update={step: _with(getattr(node, step), rest, value)})
    if isinstance(node, dict):
        return {**node, step: _with(node.get(step), rest, value)}
    changed = (
        _with(one, rest, value) if _is_named(one, index, step) else one for index, one in enumerate(node)
    )  # fmt: skip
    return tuple(one for one in changed if one is not None)
