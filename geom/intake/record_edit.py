"""Readings written into the text of an as-built record: its comments stay, and nothing that it holds is lost."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import Any

from geom.boat.model import Boat
from geom.boat.tree import read_tree
from geom.errors import Fault, InputError
from geom.intake.as_built import AsBuilt, read_as_built
from geom.intake.comments_below import put_below, take_below


def with_readings(
    text: str, source: str, boat: Boat, readings: Mapping[str, Any], replace: bool = False
) -> tuple[str, AsBuilt]:
    """Return a record with further readings, and what it then holds.

    Args:
        text: of the record.
        source: its name, for messages.
        boat: the boat it belongs to.
        readings: parts of a record: mappings are merged, lists appended to; an entry of a list that is there already
            is not added again.
        replace: whether a reading replaces another one of the same place.

    Raises:
        InputError: a reading differs from one that the record holds, or the new record fails its own checks.
    """
    from ruamel.yaml import YAML

    read_tree(text.encode("utf-8"), source)
    yaml = YAML(typ="rt")
    yaml.preserve_quotes = True
    yaml.width = 4096
    yaml.indent(mapping=2, sequence=4, offset=2)
    document = yaml.load(text)
    faults: list[Fault] = []
    _merge(document, readings, (), replace, faults)
    if faults:
        raise InputError(source, faults)
    stream = io.StringIO()
    yaml.dump(document, stream)
    new = stream.getvalue()
    return new, read_as_built(new.encode("utf-8"), source, boat)


def _merge(node: Any, readings: Mapping[str, Any], place: tuple[str, ...], replace: bool, faults: list[Fault]) -> None:
    for key, value in readings.items():
        here = (*place, key)
        if isinstance(value, Mapping):
            if not value:
                continue
            below = take_below(node, key)
            if node.get(key) is None:
                node[key] = _fresh({})
            elif not node[key] and node[key].fa.flow_style():
                # An empty mapping in braces, filled with more than a line holds.
                node[key].fa.set_block_style()
            _merge(node[key], value, here, replace, faults)
            put_below(node, key, below)
        elif isinstance(value, list):
            below = take_below(node, key)
            held = node.get(key)
            if held is None:
                node[key] = _fresh(value)
            else:
                if not held:
                    held.fa.set_block_style()
                held.extend(_fresh(one) for one in value if _plain(one) not in [_plain(other) for other in held])
            put_below(node, key, below)
        elif node.get(key) is None or replace:
            node[key] = value
        elif _plain(node[key]) != _plain(value):
            faults.append(
                Fault(
                    "the record holds another reading",
                    ".".join(here),
                    read=str(value),
                    valid=f"{node[key]} as in the record, or --replace",
                )
            )


def _plain(value: Any) -> Any:
    """Return a node as plain values of text, to be compared."""
    if isinstance(value, Mapping):
        return {str(key): _plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return str(value)


def _fresh(value: Any) -> Any:
    """Return a new node in block style."""
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    if isinstance(value, Mapping):
        return CommentedMap((key, _fresh(inner)) for key, inner in value.items() if inner not in ({}, [], None))
    if isinstance(value, list):
        return CommentedSeq(_fresh(inner) for inner in value)
    return value
