"""Migration of older formats of the boat file to the present one, in memory, format by format."""

from __future__ import annotations

from collections.abc import Callable

from geom.boat.faults import LocatedFault
from geom.boat.quantity import Scalar
from geom.boat.tree import Location, Tree

PRESENT = 2
Step = Callable[[Tree], str]

# Keys of `rules.own` in format 1 and in format 2.
_OWN_LIMITS = {
    "upper_height_least": "min_upper_height",
    "lower_height_least": "min_lower_height",
    "opening_most": "max_opening",
    "support_spacing_most": "max_support_spacing",
    "tilt_most": "max_tilt",
    "base_inboard_most": "max_base_inboard",
    "lashing_gap_most": "max_lashing_gap",
    "line_diameter_least": "min_line_diameter",
    "breaking_load_least": "min_breaking_load",
}


def one_to_two(tree: Tree) -> str:
    """Rename the keys of format 1 that have another name in format 2, and return a note for the user."""
    _rename(tree, ("rules", "own"), _OWN_LIMITS)
    for line in _named(tree, "lines"):
        _rename(tree, (*line, "bedding_in"), {"least_percent": "min_percent", "most_percent": "max_percent"})
    for end in _named(tree, "ends"):
        _rename(tree, end, {"rope_round": "eye_girth"})
        node = tree.at(end)
        if isinstance(node, dict) and node.get("lock") == "standing part passed":
            node["lock"] = Scalar("locked Brummel", node["lock"].line)
    for fitting in _named(tree, "fittings"):
        _rename(tree, (*fitting, "length"), {"least": "min", "most": "max"})
        _rename(tree, fitting, {"thread_at_least": "min_thread_engagement"})
    return "limits and lengths are named min and max, the girth of an eye eye_girth"


STEPS: dict[int, Step] = {1: one_to_two}


def _named(tree: Tree, key: str) -> list[Location]:
    node = tree.root.get(key)
    return [(key, name) for name in node] if isinstance(node, dict) else []


def _rename(tree: Tree, location: Location, names: dict[str, str]) -> None:
    """Rename keys of a mapping, keeping their order; a key present under both names is left for the checks."""
    node = tree.at(location)
    if not isinstance(node, dict):
        return
    renamed = {old: new for old, new in names.items() if old in node and new not in node}
    items = [(renamed.get(key, key), value) for key, value in node.items()]
    node.clear()
    node.update(items)
    tree.older.update({(*location, new): old for old, new in renamed.items()})
    depth = len(location)
    for place, line in list(tree.lines.items()):
        if place[:depth] == location and len(place) > depth and place[depth] in renamed:
            tree.lines[(*location, renamed[str(place[depth])], *place[depth + 1 :])] = line


def migrate(
    tree: Tree, steps: dict[int, Step] = STEPS, present: int = PRESENT
) -> tuple[list[str], LocatedFault | None]:
    """Migrate a tree to the present format.

    Args:
        tree: the file as read; changed in place.
        steps: for each older format the function that migrates it to the next one.
        present: the format to migrate to.

    Returns:
        Notes for the user, one for each step taken; and the fault where the format cannot be read.
    """
    first_key = next(iter(tree.root), None)
    valid = f"`format: {present}` as the first key"
    if "format" not in tree.root:
        return [], LocatedFault((), "the key 'format' is missing", valid=valid)
    text = tree.root["format"]
    if not isinstance(text, Scalar) or not text.isascii() or not text.isdigit() or len(text) > 6:
        return [], LocatedFault(("format",), "the format is not a whole number", valid=valid)
    if first_key != "format":
        return [], LocatedFault(("format",), "the key 'format' is not the first", f"first: {first_key}"[:60], valid)
    number = int(text)
    if number > present:
        message = f"format {number} is newer than this program, which reads up to format {present}"
        return [], LocatedFault(("format",), message, valid="a newer version of the program")
    notes = []
    for step in range(number, present):
        if step not in steps:
            return [], LocatedFault(("format",), f"format {step} does not exist", valid=valid)
        notes.append(f"migrated from format {step} to {step + 1}: {steps[step](tree)}")
        tree.root["format"] = Scalar(str(step + 1), text.line)
    return notes, None
