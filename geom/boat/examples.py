"""An example of a key that a boat file lacks, taken from the starter files."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from geom.boat.tree import Location, Tree, read_tree, shown
from geom.resources import starter_text

# The starters that are looked through, the most complete first.
_STARTERS = ("saltwhin-31", "pipwing-25", "first-try")
# Required keys that no starter has, by the last two keys of their place.
_ELSEWHERE = {
    "trials.hole": "S-S2-U",
    "trials.date": "2026-03-01",
    "trials.by": "yard",
    "waivers.finding": "osr-3.14.1-b-i:S-S2-U",
    "waivers.who": "technical committee",
    "waivers.why": "replaced before the season",
    "waivers.date": "2026-03-01",
    "direction.clocking": "12",
    "direction.tilt": "-1",
    "liner.bore": "10",
    "liner.length": "29",
    "liner.mouth_radius": "2",
    "bedding_in.min_percent": "0.1",
    "bedding_in.max_percent": "0.3",
    "strength.value": "25 kN",
    "strength.source": "certificate",
}
_LONGEST = 80


def example_of(location: Location) -> str:
    """Return `key: value` as a starter file writes it at such a place; empty where no example is known.

    Args:
        location: of the missing key.
    """
    for tree in _trees():
        if location[0] not in tree.root:
            # A key of another kind of file, such as a survey.
            continue
        value = next(_values(tree.root, location), None)
        if value is not None:
            return shown(f"{location[-1]}: {_flow(value)}", _LONGEST)
    known = _ELSEWHERE.get(".".join([part for part in location if isinstance(part, str)][-2:]))
    return "" if known is None else f"{location[-1]}: {known}"


@cache
def _trees() -> tuple[Tree, ...]:
    return tuple(read_tree(starter_text(name).encode("utf-8"), name) for name in _STARTERS)


def _values(node: Any, location: Location) -> Iterator[Any]:
    """Yield the values at such a place: in any item of a list, and under any word of the file's own."""
    if not location:
        yield node
    elif isinstance(node, list):
        for inner in node:
            yield from _values(inner, location[1:])
    elif isinstance(node, dict):
        step = location[0]
        for inner in [node[step]] if step in node else node.values() if len(location) > 1 else ():
            yield from _values(inner, location[1:])


def _flow(node: Any) -> str:
    if isinstance(node, dict):
        return f"{{{', '.join(f'{key}: {_flow(value)}' for key, value in node.items())}}}"
    if isinstance(node, list):
        return f"[{', '.join(map(_flow, node))}]"
    return str(node)
