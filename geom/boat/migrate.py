"""Older formats of the boat file, brought up to the present one in memory, step by step.

Format 1 is the first: there is no older one yet. A step is added here when format 2 comes, as
`STEPS[1] = one_to_two`, a function that changes the plain tree in place and returns what it did in words.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from geom.boat.faults import LocatedFault
from geom.boat.quantity import Scalar
from geom.boat.tree import Tree

PRESENT = 1
Step = Callable[[dict[str, Any]], str]
STEPS: dict[int, Step] = {}


def migrate(
    tree: Tree, steps: dict[int, Step] = STEPS, present: int = PRESENT
) -> tuple[list[str], LocatedFault | None]:
    """Bring a tree up to the present format.

    Args:
        tree: the file as read; changed in place.
        steps: for each older format the step to the next one.
        present: the format to arrive at.

    Returns:
        Notes for the user, one for each step taken; and the trouble where the format cannot be read.
    """
    first = next(iter(tree.root), None)
    valid = f"`format: {present}` as the first key"
    if "format" not in tree.root:
        return [], LocatedFault((), "the key 'format' is missing", valid=valid)
    given = tree.root["format"]
    if not isinstance(given, Scalar) or not given.isascii() or not given.isdigit() or len(given) > 6:
        return [], LocatedFault(("format",), "the format is not a whole number", valid=valid)
    if first != "format":
        return [], LocatedFault(("format",), "the key 'format' is not the first", f"first: {first}"[:60], valid)
    number = int(given)
    if number > present:
        message = f"format {number} is newer than this program, which reads up to format {present}"
        return [], LocatedFault(("format",), message, valid="a newer version of the program")
    notes = []
    for step in range(number, present):
        if step not in steps:
            return [], LocatedFault(("format",), f"there has never been a format {step}", valid=valid)
        notes.append(f"migrated from format {step} to {step + 1}: {steps[step](tree.root)}")
        tree.root["format"] = Scalar(str(step + 1), given.line)
    return notes, None
