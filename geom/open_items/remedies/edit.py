"""Changes of single values of a boat, as the boat file would hold them."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, get_args

from geom.boat.file import LoadedBoat
from geom.boat.model import Boat, Model
from geom.boat.quantity import Kind, Point
from geom.boat.turn import to_file_axes
from geom.open_items.item import Change
from geom.units import HELD_IN, decimal

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo

# Decimals of a length or force in a changed file, and of an angle in degrees.
_DECIMALS = 4
# Decimals of a point [mm].
_TENTH = 1
# A word that a file writes without quotation marks.
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9 .+/()-]*|[0-9]+x[0-9]+ [a-z]+")


@dataclass(frozen=True)
class Edit:
    """A new value at a place of the boat: keys, ids and words from the outside in; None takes the place out.

    An id that a list does not hold yet is added to it. `was` and `text` are the old and the new value as the file
    writes them.
    """

    path: tuple[str, ...]
    value: Any
    was: str
    text: str

    @property
    def change(self) -> Change:
        """The change, with its dotted key."""
        return Change(".".join(self.path), self.was, self.text)


def quantity(boat: Boat, path: tuple[str, ...], value: float, unit: str = "mm") -> Edit:
    """Return the edit of a length, a force or a stress.

    Args:
        boat: the boat as it is.
        path: of the value.
        value: the new one [unit].
        unit: mm, N or MPa.
    """
    rounded = round(value, _DECIMALS)
    old = at(boat, path)
    return Edit(path, rounded, "" if old is None else figure(old, unit), figure(rounded, unit))


def angle(boat: Boat, path: tuple[str, ...], value: float) -> Edit:
    """Return the edit of an angle.

    Args:
        boat: the boat as it is.
        path: of the value.
        value: the new one [rad].
    """
    degrees = round(math.degrees(value), _DECIMALS) + 0.0
    old = at(boat, path)
    return Edit(path, math.radians(degrees), "" if old is None else in_degrees(old), in_degrees(math.radians(degrees)))


def point(loaded: LoadedBoat, path: tuple[str, ...], value: Point) -> Edit:
    """Return the edit of a point, written in the axes of the file.

    Args:
        loaded: the boat file as it is.
        path: of the value.
        value: the new one in boat axes [mm].
    """
    x, y, z = (round(one, _TENTH) for one in value)
    return Edit(path, (x, y, z), in_axes(loaded, at(loaded.boat, path)), in_axes(loaded, (x, y, z)))


def word(boat: Boat, path: tuple[str, ...], value: str) -> Edit:
    """Return the edit of a word.

    Args:
        boat: the boat as it is.
        path: of the value.
        value: the new one.
    """
    old = at(boat, path)
    return Edit(path, value, "" if old is None else str(old), value)


def entry(loaded: LoadedBoat, path: tuple[str, ...], value: Model) -> Edit:
    """Return the edit that puts a new part in.

    Args:
        loaded: the boat file as it is.
        path: of the part, by its id where it goes into a list.
        value: the part, in boat axes.
    """
    return Edit(path, value, "", written(loaded, value))


def names(boat: Boat, path: tuple[str, ...], value: tuple[str, ...]) -> Edit:
    """Return the edit of a list of names.

    Args:
        boat: the boat as it is.
        path: of the list.
        value: the new one.
    """
    old = at(boat, path)
    return Edit(path, value, f"[{', '.join(old)}]" if old else "", f"[{', '.join(value)}]")


def written(loaded: LoadedBoat, node: Any, kind: str | None = None) -> str:
    """Return a part of a boat as its file writes it on one line, without what a key left out stands for.

    Args:
        loaded: the boat file, for its axes.
        node: a part, a list or mapping of parts, a quantity, a number or a word.
        kind: what a quantity is, None for a plain number.
    """
    if isinstance(node, Model):
        fields = type(node).model_fields
        kept = {name: getattr(node, name) for name, one in fields.items() if getattr(node, name) != one.get_default()}
        return f"{{{', '.join(f'{name}: {written(loaded, one, _kind(fields[name]))}' for name, one in kept.items())}}}"
    if isinstance(node, dict):
        return f"{{{', '.join(f'{name}: {written(loaded, one, kind)}' for name, one in node.items())}}}"
    if isinstance(node, tuple):
        is_point = kind == "length" and len(node) == 3
        return in_axes(loaded, node) if is_point else f"[{', '.join(written(loaded, one, kind) for one in node)}]"
    if isinstance(node, float):
        return in_degrees(node) if kind == "angle" else figure(node, "" if kind is None else HELD_IN[kind])
    return json.dumps(node) if isinstance(node, bool) or not _PLAIN.fullmatch(node) else str(node)


def _kind(field: FieldInfo) -> str | None:
    """Return what kind of quantity a field of the grammar holds, None for a plain number or a word."""
    return _kind_in(field.annotation, tuple(field.metadata))


def _kind_in(annotation: Any, metadata: tuple[Any, ...]) -> str | None:
    named = next((one.name for one in metadata if isinstance(one, Kind)), None)
    inner = (_kind_in(one, getattr(one, "__metadata__", ())) for one in get_args(annotation))
    return named or next((one for one in inner if one is not None), None)


def figure(value: float, unit: str) -> str:
    """Return a figure with its unit as a boat file writes it, without zeros at its end.

    Args:
        value: the figure [unit].
        unit: mm, N or MPa; empty for a plain number.
    """
    text = decimal(value, _DECIMALS)
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}".rstrip()


def in_degrees(value: float) -> str:
    """Return an angle [rad] as a boat file writes it."""
    return figure(math.degrees(value), "deg")


def in_axes(loaded: LoadedBoat, value: Point) -> str:
    """Return a point of boat axes [mm] as a boat file writes it, in the file's own axes."""
    return f"[{', '.join(figure(one, 'mm') for one in to_file_axes(loaded.axes, value))}]"


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
    if not rest and _inner(node, step) is None:
        return (*node, value)
    changed = (_with(one, rest, value) if _is_named(one, index, step) else one for index, one in enumerate(node))
    return tuple(one for one in changed if one is not None)
