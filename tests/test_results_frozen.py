"""Results are values: none can be changed by one of its readers behind the others' backs."""

from __future__ import annotations

import dataclasses
from importlib import import_module
from pathlib import Path

import pytest

from tests.some import some

ROOT = Path(__file__).parent.parent
ROOMS = ("placement", "mechanics", "rigging", "rules")
# Collects the terms of a length while its ends are gone through, and leaves the file as a tuple.
COLLECTS = {"TermList"}


@pytest.mark.parametrize("room", ROOMS)
def test_every_result_is_frozen(room: str) -> None:
    names = [".".join(path.relative_to(ROOT).with_suffix("").parts) for path in (ROOT / "geom" / room).rglob("*.py")]
    found = [
        (kind.__name__, kind.__dataclass_params__.frozen)
        for name in some(names)
        for kind in vars(import_module(name)).values()
        if isinstance(kind, type) and dataclasses.is_dataclass(kind) and kind.__module__ == name
    ]
    assert {name for name, frozen in some(found) if not frozen} <= COLLECTS
