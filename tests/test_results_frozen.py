"""Results are values: none can be changed by one of its readers behind the others' backs."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from mypy import api

from tests.some import some

ROOT = Path(__file__).parent.parent
ROOMS = ("placement", "mechanics", "rigging", "rules")
# Collects the terms of a length while its ends are gone through, and leaves the file as a tuple.
COLLECTS = {"TermList"}


def is_frozen(mark: str) -> bool:
    """Whether a class with this decorator is frozen, by itself or by the type checker."""
    return mark == "frozen" or (mark.startswith("dataclass(") and "frozen=True" in mark)


@pytest.mark.parametrize("room", ROOMS)
def test_every_result_is_frozen(room: str) -> None:
    trees = [ast.parse(path.read_text("utf-8")) for path in (ROOT / "geom" / room).rglob("*.py")]
    kinds = [kind for tree in some(trees) for kind in ast.walk(tree) if isinstance(kind, ast.ClassDef)]
    marks = [(kind.name, ast.unparse(mark)) for kind in kinds for mark in kind.decorator_list]
    found = [(name, mark) for name, mark in marks if mark.startswith(("dataclass", "frozen"))]
    assert {name for name, mark in some(found) if not is_frozen(mark)} <= COLLECTS


CHANGES = """
from geom.frozen import frozen
from geom.remark import Remark

@frozen
class Pair:
    first: float

Pair(1.0).first = 2.0
Remark("pair").code = "other"
"""


def test_the_type_checker_refuses_a_change(tmp_path: Path) -> None:
    source = tmp_path / "changed.py"
    source.write_text(CHANGES, "utf-8")
    said, _, _ = api.run([str(source), "--config-file", "", "--cache-dir", str(tmp_path / "cache")])
    assert 'Property "first" defined in "Pair" is read-only' in said
    assert 'Cannot assign to final attribute "code"' in said
