"""Seeded damage to boat files: to their text, and to the tree of their keys and values."""

from __future__ import annotations

import io
import random
from collections.abc import Callable
from typing import Any

from ruamel.yaml import YAML

ODD_SCALARS = (
    "", "0", "-1", "1e9", "0.001", "1000000", "NaN", ".inf", "true", "null", "~", "12 mm", "12 kg", "1,5", "S-S1",
    "P-S9", "W" * 60, "W" * 5000, "\u00e4\u00f6\u00fc", "\u202e", "=1+1", "<b>", "../..", "45", "90 deg", "1 ft",
    "best", "unknown",
)  # fmt: skip
FACTORS = (-1.0, 0.0, 0.001, 0.1, 0.5, 0.9, 1.1, 2.0, 10.0, 25.4, 1000.0)

Place = tuple[Any, Any]
Mutator = Callable[[Any, random.Random], None]


def loaded(text: str) -> Any:
    """Return a boat file's tree of plain mappings, lists and texts."""
    return YAML(typ="safe", pure=True).load(text)


def written(tree: Any) -> bytes:
    """Return a tree as a boat file with one key to a line."""
    stream = io.StringIO()
    yaml = YAML(typ="safe", pure=True)
    yaml.default_flow_style = False
    yaml.sort_base_mapping_type_on_output = False
    yaml.dump(tree, stream)
    return stream.getvalue().encode("utf-8", "surrogatepass")


def places(node: Any) -> list[Place]:
    """Return every container of a tree with each of its keys or positions."""
    entries: list[tuple[Any, Any]] = []
    if isinstance(node, dict):
        entries = list(node.items())
    elif isinstance(node, list):
        entries = list(enumerate(node))
    return [found for key, inner in entries for found in ((node, key), *places(inner))]


def mutated(text: str, seed: int) -> bytes:
    """Return a boat file damaged by one to three mutations, the same ones for the same seed."""
    chance = random.Random(seed)
    if chance.random() < 0.2:
        return _text_damaged(text, chance)
    tree = loaded(text)
    for _ in range(chance.randint(1, 3)):
        chance.choice(MUTATORS)(tree, chance)
    return written(tree)


def _any(tree: Any, chance: random.Random) -> Place:
    return chance.choice(places(tree))


def _number(tree: Any, chance: random.Random) -> Place | None:
    numbers = [(node, key) for node, key in places(tree) if type(node[key]) in (int, float)]
    return chance.choice(numbers) if numbers else None


def _scaled(tree: Any, chance: random.Random) -> None:
    found = _number(tree, chance)
    if found is not None:
        node, key = found
        node[key] = round(node[key] * chance.choice(FACTORS), 6)


def _shifted(tree: Any, chance: random.Random) -> None:
    found = _number(tree, chance)
    if found is not None:
        node, key = found
        node[key] = round(node[key] + chance.uniform(-50.0, 50.0), 3)


def _odd(tree: Any, chance: random.Random) -> None:
    node, key = _any(tree, chance)
    node[key] = chance.choice(ODD_SCALARS)


def _deleted(tree: Any, chance: random.Random) -> None:
    node, key = _any(tree, chance)
    del node[key]


def _repeated(tree: Any, chance: random.Random) -> None:
    lists = [node[key] for node, key in places(tree) if isinstance(node[key], list) and node[key]]
    if lists:
        chosen = chance.choice(lists)
        chosen.insert(chance.randrange(len(chosen) + 1), loaded(written({"a": chance.choice(chosen)}).decode())["a"])


def _exchanged(tree: Any, chance: random.Random) -> None:
    scalars = [(node, key) for node, key in places(tree) if not isinstance(node[key], (dict, list))]
    if len(scalars) > 1:
        (one, a), (other, b) = chance.sample(scalars, 2)
        one[a], other[b] = other[b], one[a]


def _renamed(tree: Any, chance: random.Random) -> None:
    mappings = [(node, key) for node, key in places(tree) if isinstance(node, dict)]
    if mappings:
        node, key = chance.choice(mappings)
        node[chance.choice((f"{key}x", str(key)[1:], "id", "holes", str(key).upper()))] = node.pop(key)


def _of_another_kind(tree: Any, chance: random.Random) -> None:
    node, key = _any(tree, chance)
    node[key] = chance.choice(([], {}, [[]], {"a": {}}, None, [1, 2, 3, 4], ["x"] * 100))


MUTATORS: tuple[Mutator, ...] = (
    _scaled, _scaled, _shifted, _odd, _deleted, _repeated, _exchanged, _renamed, _of_another_kind,
)  # fmt: skip


def _text_damaged(text: str, chance: random.Random) -> bytes:
    data = bytearray(text.encode("utf-8"))
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(data))
        what = chance.randrange(4)
        if what == 0:
            data[at] = chance.randrange(256)
        elif what == 1:
            del data[at : at + chance.randint(1, 40)]
        elif what == 2:
            data[at:at] = chance.choice((b"[", b"{", b":", b"\t", b"&a ", b"*a ", b"- ", b"\n", b"\xff", b"'", b"!x "))
        else:
            data[at:at] = data[max(0, at - chance.randint(1, 300)) : at]
    return bytes(data)
