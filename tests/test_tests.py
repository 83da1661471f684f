"""The tests themselves: each has a check that is certain to be reached."""

from __future__ import annotations

import ast
import csv
from pathlib import Path

import pytest

from tests.some import some

HERE = Path(__file__).parent
FILES = sorted(HERE.rglob("test_*.py"))
# Calls that change nothing about whether there is something: of one argument, or of several of which none may be empty.
_THROUGH = {"enumerate", "list", "reversed", "sorted", "tuple", "zip"}
_VIEWS = {"items", "keys", "values"}


def is_some(node: ast.expr, stated: dict[str, ast.expr]) -> bool:
    """Return whether an iterated expression is plainly not empty: written out, counted, or passed through `some`."""
    if isinstance(node, (ast.Tuple, ast.List, ast.Set)):
        return any(not isinstance(item, ast.Starred) or is_some(item.value, stated) for item in node.elts)
    if isinstance(node, ast.Dict):
        return bool(node.keys)
    if isinstance(node, ast.Constant):
        return isinstance(node.value, (str, bytes)) and len(node.value) > 0
    if isinstance(node, ast.Name):
        return node.id in stated and is_some(stated[node.id], stated)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        return node.func.attr in _VIEWS and is_some(node.func.value, stated)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        if node.func.id == "range":
            return all(isinstance(item, ast.Constant) for item in node.args) and bool(eval(ast.unparse(node)))
        if node.func.id in _THROUGH:
            return all(is_some(item, stated) for item in node.args)
        return node.func.id == "some"
    return False


def is_check(node: ast.AST) -> bool:
    """Return whether a statement checks something: an assert, or a block that has to raise."""
    if isinstance(node, ast.With):
        return any("raises" in ast.unparse(item.context_expr) for item in node.items)
    return isinstance(node, ast.Assert)


def checks(body: list[ast.stmt], stated: dict[str, ast.expr], certain: bool = True, looped: bool = False) -> list[bool]:
    """Return of every check in a body whether it is certain to be reached."""
    found = []
    for node in body:
        if is_check(node):
            found.append(certain)
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            continue
        reached, loop = certain, isinstance(node, (ast.For, ast.While))
        if isinstance(node, ast.For):
            reached = certain and is_some(node.iter, stated)
        elif isinstance(node, ast.While) or (looped and isinstance(node, ast.If)):
            reached = False
        for name in ("body", "orelse", "finalbody"):
            found += checks(getattr(node, name, []), stated, reached, looped or loop)
    return found


def unproven(source: str) -> list[str]:
    """Return the functions of a file that have checks, of which none is certain to be reached."""
    tree = ast.parse(source)
    stated = {
        target.id: node.value
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    wrong = []
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            found = checks(node.body, stated)
            if found and not any(found):
                wrong.append(f"{node.name}:{node.lineno}")
    return wrong


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_no_test_passes_because_there_is_nothing_to_look_at(path):
    assert unproven(path.read_text("utf-8")) == [], "put the iterated things through tests.some.some"


def test_a_loop_over_nothing_is_noticed():
    empty = "def test_a():\n    for x in things():\n        assert x\n"
    assert unproven(empty) == ["test_a:1"]
    assert unproven(empty.replace("things()", "some(things())")) == []
    assert unproven(empty.replace("things()", "(1, 2)")) == []
    assert unproven(empty.replace("things()", "range(0)")) == ["test_a:1"]
    assert unproven("ROWS = [1]\n" + empty.replace("things()", "enumerate(ROWS)")) == []
    assert unproven(empty + "    assert things()\n") == []
    assert unproven("def test_a():\n    for x in [1]:\n        if x > 1:\n            assert x\n") == ["test_a:1"]
    inner = "def test_a():\n    for x in some(y):\n        for z in x:\n            assert z\n"
    assert unproven(inner) == ["test_a:1"]


def test_every_file_of_the_mutation_tests_is_there():
    """tests/mutate.py needs a package that only mutation tests install; its table is read without it."""
    body = ast.parse((HERE / "mutate.py").read_text("utf-8")).body
    (rooms,) = (ast.literal_eval(node.value) for node in body if "TESTS = " in ast.unparse(node)[:8])
    names = [name for room in some(rooms) for name in some(rooms[room])]
    assert [name for name in names if not (HERE / f"{name}.py").is_file()] == []
    assert [room for room in rooms if not (HERE.parent / "geom" / room).is_dir()] == []


def test_every_mutant_that_was_looked_at_is_of_a_line_that_stands_there():
    """A row of tests/mutants.csv goes when its line goes."""
    with (HERE / "mutants.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in some(rows):
        lines = [line.strip() for line in (HERE.parent / row["file"]).read_text("utf-8").splitlines()]
        assert row["line"] in lines and row["changed"] not in lines, row
        assert row["kind"] in {"equivalent", "left"} and row["reason"], row
