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
    "eye_factors.squeeze": "2",
    "eye_factors.trial": "1.45",
    "eye_factors.clearance": "1 mm",
    "eye_factors.source": "trial pieces on the bench",
    "swage.go": "7.5",
    "barred.side": "S",
    "barred.forward": "3300",
    "barred.aft": "3420",
    "barred.what": "chainplate",
    "uncertainty.source": "steel tape and digital level",
    "strength.value": "25 kN",
    "strength.source": "certificate",
}
_LONGEST = 120
# Levels of an example that are written out, as many as there is room for.
_DEPTHS = (9, 3, 2, 1, 0)


def example_of(location: Location) -> str:
    """Return `key: value` as a starter file writes it at such a place; empty where no example is known.

    Args:
        location: of the missing key.
    """
    for tree in _trees():
        value = next(_values(tree.root, location), None)
        # A part of a boat is no example for a key of another kind of file, such as a survey's.
        if value is not None and (location[0] in tree.root or not isinstance(value, dict)):
            whole = (f"{location[-1]}: {_flow(value, depth)}" for depth in _DEPTHS)
            return shown(next((text for text in whole if len(text) <= _LONGEST), f"{location[-1]}: ..."), _LONGEST)
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


def _flow(node: Any, depth: int) -> str:
    """Return a node on one line, with `...` in place of what lies deeper than so many levels and of further items."""
    if isinstance(node, dict):
        inner = ", ".join(f"{key}: {_flow(value, depth - 1)}" for key, value in node.items())
        return f"{{{inner if depth else '...'}}}"
    if isinstance(node, list):
        parts = any(isinstance(one, (dict, list)) for one in node)
        items = [_flow(one, depth - 1) for one in (node[:1] if parts else node)]
        return f"[{', '.join(items if depth else ['...'])}{', ...' if depth and parts and len(node) > 1 else ''}]"
    return str(node)
