"""Sums of floats are exact ones: from Python 3.12 on the bare `sum` rounds them in another way than before."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
# Sums of whole numbers and fractions that do not look it, each with what is added.
WHOLE = {
    "sum((Fraction(part) for part in text.split()))": "exact fractions",
    "sum((advances[ord(character)] for character in text))": "glyph widths in the font's own units",
    "sum((part.count for part in parts))": "pieces to order",
    "sum(sizes)": "lines of lettering",
    "sum(widths)": "letters on a line of the terminal",
    "sum((is_spliced(line_end(boat, run, where)) for where in BOTH))": "True or False",
    "sum((name.startswith(side) for name in row.ids))": "True or False",
    "sum((one is not None and one.touches_both_lips for one in square))": "True or False",
    "sum((part.count for part in known))": "pieces",
    "sum((end in bare or end in loose for end in ends))": "True or False",
    "sum((Fraction(part) for part in unified[1].split()))": "exact fractions",
    "sum((part.file_size for part in parts))": "bytes",
    "sum((part.compress_size for part in parts))": "bytes",
}


def counts(call: ast.Call) -> bool:
    """Whether a sum is plainly a count: of lengths, of truths, of ones; or joins what is no number."""
    if len(call.args) > 1:
        return not isinstance(call.args[1], ast.Constant)
    added = call.args[0]
    if isinstance(added, ast.Call):
        return ast.unparse(added).startswith("map(len,")
    if not isinstance(added, ast.GeneratorExp):
        return False
    each = added.elt
    if isinstance(each, ast.Call):
        return ast.unparse(each.func) in ("len", "bool")
    return isinstance(each, ast.Compare) or (isinstance(each, ast.Constant) and isinstance(each.value, int))


def bare_sums(text: str) -> list[str]:
    calls = (node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Call))
    sums = (call for call in calls if isinstance(call.func, ast.Name) and call.func.id == "sum")
    return [ast.unparse(call) for call in sums if not counts(call)]


def test_no_floats_are_added_by_a_bare_sum() -> None:
    found = {(path.name, text) for path in (ROOT / "geom").rglob("*.py") for text in bare_sums(path.read_text("utf-8"))}
    assert {(name, text) for name, text in found if text not in WHOLE} == set(), "use math.fsum"
    assert {text for _, text in found} == set(WHOLE), "a sum of whole numbers that is no longer there"


@pytest.mark.parametrize(
    ("text", "caught"),
    [
        ("sum(lengths)", True), ("sum(a * b for a, b in pairs)", True), ("sum(map(abs, parts))", True),
        ("sum(x, 0.0)", True),
        ("sum(1 for _ in found)", False), ("sum(len(row) for row in rows)", False), ("sum(map(len, rows))", False),
        ("sum(a < b for a in found)", False), ("sum(page, ())", False), ("math.fsum(lengths)", False),
    ],
)  # fmt: skip
def test_a_bare_sum_is_caught(text: str, caught: bool) -> None:
    assert bool(bare_sums(text)) == caught
