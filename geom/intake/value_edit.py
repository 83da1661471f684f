"""Values written into a boat file's text by their dotted keys: only their characters change, nothing is added."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from geom.boat.faults import closest
from geom.boat.file import read_boat
from geom.boat.tree import Location, read_tree
from geom.errors import Fault, InputError
from geom.intake.boat_edit import positions


def write_values(data: bytes, source: str, values: Mapping[str, str]) -> bytes:
    """Return a boat file with other values at some keys.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        values: new text by dotted key, such as `posts.S-S2.holes.U.along`; a list in brackets replaces each of its
            values.

    Raises:
        InputError: a key is not in the file, or the edited file fails the boat file's own checks.
    """
    root = read_tree(data, source).root
    return write_at(data, source, {_location(root, key, source): value for key, value in values.items()})


def write_at(data: bytes, source: str, values: Mapping[Location, str]) -> bytes:
    """Return a boat file with other values at some locations.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        values: new text by location; a list in brackets replaces each of its values.

    Raises:
        InputError: a location holds no such value, or the edited file fails the boat file's own checks.
    """
    text = data.decode("utf-8-sig")
    where = positions(text)
    edits: list[tuple[int, int, str]] = []
    for location, value in values.items():
        for place, written in parts_of(location, value):
            if place not in where:
                key = read_tree(data, source).dotted(location)
                raise InputError(source, [Fault("no value of that kind stands in the file", key, read=value)])
            start, end, *_ = where[place]
            edits.append((start, end, written))
    for start, end, written in sorted(edits, reverse=True):
        text = text[:start] + written + text[end:]
    bom = b"\xef\xbb\xbf" if data.startswith(b"\xef\xbb\xbf") else b""
    edited = bom + text.encode("utf-8")
    read_boat(edited, source)
    return edited


def _location(root: Any, key: str, source: str) -> Location:
    """Return the location of a dotted key; entries of a list are named by their ids."""
    node: Any = root
    location: Location = ()
    for part in key.split("."):
        step: str | int | None = None
        names: list[str] = []
        if isinstance(node, dict):
            names = [str(name) for name in node]
            step = part if part in node else None
        elif isinstance(node, list):
            names = [str(entry.get("id")) for entry in node if isinstance(entry, dict)]
            step = names.index(part) if part in names and len(names) == len(node) else None
        if step is None:
            raise InputError(source, [Fault("not in the file", key, read=part, valid=closest(part, names))])
        node, location = node[step], (*location, step)
    return location


def parts_of(location: Location, value: str) -> Iterator[tuple[Location, str]]:
    """Yield the location of each single value with its text.

    Args:
        location: of a value or a list of values.
        value: its text, a list in brackets.
    """
    if value.startswith("[") and value.endswith("]"):
        for index, part in enumerate(value[1:-1].split(",")):
            yield (*location, index), part.strip()
    else:
        yield location, value
