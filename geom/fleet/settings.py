"""What is varied: keys of a boat file, each with the values that it takes, and every combination of them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from itertools import pairwise
from pathlib import PurePath
from typing import Any

from geom.boat.faults import closest
from geom.boat.file import boat_tree
from geom.boat.tree import Location, Tree, read_tree, shown
from geom.errors import Fault, InputError
from geom.intake.value_edit import parts_of

# A whole number, and one followed by a unit: with a comma between them, one number or two.
_DIGITS = re.compile(r"[+-]?\d+", re.ASCII)
_WITH_UNIT = re.compile(r"(\d+)(\s*(?:[A-Za-z][A-Za-z/0-9]*|[\"'°″′%]))", re.ASCII)
MAX_VARIANTS = 100_000
_FORM = "KEY=VALUE,VALUE such as tubes.stanchion.wall=1.5 mm,2 mm"


@dataclass(frozen=True)
class Setting:
    """One key with its values, as the boat file writes them, and the places that it stands for.

    `key` is dotted; each of its parts may hold `*` and `?` for what differs, and then all places get the same value.
    """

    key: str
    values: tuple[str, ...]
    places: tuple[Location, ...]


@dataclass(frozen=True)
class Variants:
    """Every combination of the values of some keys, numbered from 1; the last key changes first. 0 is the file itself.

    `data` are the bytes of the boat file, `source` its name.
    """

    source: str
    data: bytes
    settings: tuple[Setting, ...]

    @property
    def file(self) -> str:
        """The name of the boat file without its folder."""
        return PurePath(self.source).name

    def __len__(self) -> int:
        """Return the number of combinations."""
        return math.prod(len(setting.values) for setting in self.settings)

    def values(self, number: int) -> tuple[str, ...]:
        """Return the value of each key in a variant.

        Args:
            number: of the variant, from 1.
        """
        rest, found = number - 1, list[str]()
        for setting in reversed(self.settings):
            rest, index = divmod(rest, len(setting.values))
            found.append(setting.values[index])
        return tuple(reversed(found))

    def edits(self, number: int) -> dict[Location, str]:
        """Return the new text at each place of the boat file in a variant, none for 0.

        Args:
            number: of the variant.
        """
        if number == 0:
            return {}
        chosen = zip(self.settings, self.values(number), strict=True)
        return {place: value for setting, value in chosen for place in setting.places}


def variants_of(data: bytes, source: str, wanted: Sequence[tuple[str, Sequence[str]]]) -> Variants:
    """Return the variants of a boat file.

    Args:
        data: the bytes of the boat file.
        source: its name, for messages.
        wanted: each key with its values.

    Raises:
        InputError: a key matches nothing, two keys one place, a value is not one of the kind that stands there, or
            there are too many combinations.
    """
    tree = boat_tree(data, source)
    settings = tuple(Setting(key, tuple(values), places_of(tree, key, source)) for key, values in wanted)
    taken: dict[Location, str] = {}
    for setting in settings:
        for place in setting.places:
            if place in taken:
                message = f"two keys set {tree.dotted(place)}"
                raise InputError("arguments", [Fault(message, setting.key, valid=f"one of it and {taken[place]}")])
            taken[place] = setting.key
            for value in setting.values:
                _check_value(tree, setting.key, place, value)
    found = Variants(source, data, settings)
    if len(found) > MAX_VARIANTS:
        fault = Fault("too many combinations", read=f"{len(found)}", valid=f"at most {MAX_VARIANTS}")
        raise InputError("arguments", [fault])
    return found


def read_setting(text: str) -> tuple[str, tuple[str, ...]]:
    """Return key and values of an argument such as `tubes.stanchion.wall=1.5 mm,2 mm`.

    Args:
        text: the argument; a comma in brackets or quotation marks does not separate values.

    Raises:
        InputError: there is no key, a value is empty, or a comma may be a decimal sign.
    """
    key, equals, rest = text.partition("=")
    values = tuple(value.strip() for value in _split(rest))
    if not equals or not key.strip() or not all(values):
        raise InputError("arguments", [Fault("not a key with its values", "--set", read=shown(text), valid=_FORM)])
    for whole, rest in pairwise(values):
        _refuse_decimal_comma("arguments", key.strip(), None, whole, rest)
    return key.strip(), values


def _refuse_decimal_comma(source: str, key: str, line: int | None, whole: str, rest: str) -> None:
    """Refuse two values between which a comma may be a decimal sign: a bare whole number, and one with a unit."""
    with_unit = _WITH_UNIT.fullmatch(rest)
    if with_unit is not None and _DIGITS.fullmatch(whole):
        message = "the comma may be a decimal sign or stand between two values"
        read, valid = shown(f"{whole},{rest}"), f'"{whole}.{rest}" or "{whole}{with_unit[2]},{rest}"'
        raise InputError(source, [Fault(message, key, line, read, valid)])


def read_settings(data: bytes, source: str) -> list[tuple[str, tuple[str, ...]]]:
    """Return keys and values of a file: under each key of the boat file a list of values.

    Args:
        data: the file's bytes, YAML.
        source: its name, for messages.

    Raises:
        InputError: the file cannot be read, an entry is not a list of values, or a comma may be a decimal sign.
    """
    tree = read_tree(data, source)
    found = []
    for key, node in tree.root.items():
        if not isinstance(node, list) or not node or not all(map(_is_value, node)):
            fault = Fault("not a list of values", key, tree.line((key,)), valid="tubes.stanchion.wall: [1.5 mm, 2 mm]")
            raise InputError(source, [fault])
        for index, (whole, rest) in enumerate(pairwise(node)):
            line = tree.line((key, index))
            # Values on lines of their own have no comma between them.
            if line == tree.line((key, index + 1)) and isinstance(whole, str) and isinstance(rest, str):
                _refuse_decimal_comma(source, key, line, whole, rest)
        found.append((key, tuple(f"[{', '.join(map(str, one))}]" if isinstance(one, list) else one for one in node)))
    return found


def places_of(tree: Tree, key: str, source: str) -> tuple[Location, ...]:
    """Return the locations in a boat file that a dotted key stands for; entries of lists go by id, else by number.

    Args:
        tree: of the boat file.
        key: the key; its parts may hold `*` and `?`.
        source: name of the boat file, for messages.

    Raises:
        InputError: the key matches nothing, or no single value and no list of them; near ones are listed.
    """
    found: list[Location] = [()]
    for part in key.split("."):
        inner = [(place, _names(tree.at(place))) for place in found]
        longer = [(*place, step) for place, names in inner for name, step in names if fnmatchcase(name, part)]
        if not longer:
            near = closest(part, (name for _, names in inner for name, _ in names))
            raise InputError(source, [Fault("the key matches nothing in the file", key, read=part, valid=near)])
        found = longer
    places = tuple(place for place in found if _is_value(tree.at(place)))
    if not places:
        names = (f"{key}.{name}" for place in found for name, _ in _names(tree.at(place)))
        raise InputError(source, [Fault("the key holds parts, no value", key, valid=closest(key, names))])
    return places


def node_of(value: str) -> str | None:
    """Return what a value of one word or figure is read as, None for an empty one.

    Args:
        value: as the boat file writes it.

    Raises:
        InputError: it is not one value.
    """
    try:
        node = read_tree(f"{{value: {value}}}".encode(), "arguments").root
    except InputError:
        node = {}
    if list(node) != ["value"] or isinstance(node["value"], dict | list):
        fault = Fault("not one value as a boat file writes it", read=shown(value), valid='12 mm, or a "text" in marks')
        raise InputError("arguments", [fault])
    found: str | None = node["value"]
    return found


def _check_value(tree: Tree, key: str, place: Location, value: str) -> None:
    """Refuse a value of another kind than what stands at its place."""
    node = tree.at(place)
    parts = list(parts_of(place, value))
    fits = len(parts) == len(node) if isinstance(node, list) else [where for where, _ in parts] == [place]
    if not fits:
        kind = f"a list of {len(node)} in brackets" if isinstance(node, list) else "one value"
        fault = Fault(f"does not fit {tree.dotted(place)}", key, read=shown(value), valid=kind)
        raise InputError("arguments", [fault])
    for _, text in parts:
        node_of(text)


def _is_value(node: Any) -> bool:
    """Return whether a node is one value, or a list of them."""
    if isinstance(node, list):
        return bool(node) and not any(isinstance(one, dict | list) for one in node)
    return not isinstance(node, dict)


def _names(node: Any) -> list[tuple[str, str | int]]:
    """Return what a node holds, each by its name in a key and its step in a location."""
    if isinstance(node, dict):
        return [(name, name) for name in node]
    if isinstance(node, list):
        ids = (one.get("id") if isinstance(one, dict) else None for one in node)
        return [(str(index + 1) if name is None else str(name), index) for index, name in enumerate(ids)]
    return []


def _split(text: str) -> Iterator[str]:
    """Yield the parts of a text between its commas, without those in brackets and quotation marks."""
    part, depth, mark = "", 0, ""
    for char in text:
        if mark:
            mark = "" if char == mark else mark
        elif char in "\"'" and not part.strip():
            mark = char
        elif char in "[]":
            depth += 1 if char == "[" else -1
        elif char == "," and depth == 0:
            yield part
            part = ""
            continue
        part += char
    yield part
