"""The compiled YAML parser and the pure one: the same trees, lines and refusals, of whole files and of spoilt ones."""

from __future__ import annotations

import random
import sys
from pathlib import Path
from typing import Any

import pytest

from geom.boat.tree import read_tree
from geom.errors import InputError

ROOT = Path(__file__).parent.parent
FILES = [path for folder in ("templates", "tests/fixtures") for path in sorted((ROOT / folder).rglob("*.yaml"))]
# What YAML gives a meaning to, what its two versions read in two ways, and what no text file may hold.
PIECES = [
    *"\t\n\r #:-?,[]{}&*!|>'\"%@`~=<.0a\\",
    *("\xa0", "\x85", "\u2028", "\u2029", "\ufeff", "\ufffe", "\x07", "\x7f", "\x00", "\xe9", "\U0001f600"),
    *("\r\n", "\n\n", ": ", "- ", "? ", " #", "---\n", "...\n", "\n  ", "%YAML 1.1\n---\n", "%YAML 1.2\n---\n"),
    *("{a:b}", "[a,b]", "{a}", '"\\/"', '"\\x41"', '"\\z"', "'a''b'", '"a\\\n b"', "|\n  a"),
    *("> \n a\n\n b", "|#", "|-2\n"),
    *("!!str ", "&a ", "*a", "<<: ", "null", "~", "a: ", "a: 1\n", ": a\n", "- \n"),
]


def plain(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: plain(value) for key, value in node.items()}
    if isinstance(node, list):
        return [plain(value) for value in node]
    return None if node is None else (str(node), node.line)


def outcome(data: bytes) -> Any:
    try:
        tree = read_tree(data, "made.yaml")
    except InputError as error:
        return error.faults
    return plain(tree.root), tree.lines


def both(data: bytes) -> tuple[Any, Any]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(sys.modules, "yaml", None)
        slow = outcome(data)
    return outcome(data), slow


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_both_readers_read_a_file_alike(path: Path) -> None:
    quick, slow = both(path.read_bytes())
    assert quick == slow


def spoilt(rng: random.Random, text: str) -> str:
    lines = text.split("\n")
    count = rng.randrange(2, 10)
    first = rng.randrange(max(1, len(lines) - count))
    part = "k:\n  " + "\n  ".join(lines[first : first + count]) + "\n"
    for _ in range(rng.randrange(1, 4)):
        at = rng.randrange(len(part) + 1)
        if rng.random() < 0.75:
            part = part[:at] + rng.choice(PIECES) + part[at:]
        else:
            part = part[:at] + part[at + rng.randrange(1, 5) :]
    return part


def made_of_pieces(rng: random.Random) -> str:
    return "k:\n  " + "".join(rng.choice(PIECES) for _ in range(rng.randrange(2, 9)))


@pytest.mark.parametrize("seed", range(4))
def test_both_readers_read_spoilt_text_alike(seed: int) -> None:
    rng = random.Random(seed)
    texts = [path.read_bytes().decode("utf-8", "replace") for path in FILES]
    read = 0
    for _ in range(400):
        text = made_of_pieces(rng) if rng.random() < 0.4 else spoilt(rng, rng.choice(texts))
        quick, slow = both(text.encode())
        assert quick == slow, repr(text)
        read += isinstance(quick, tuple)
    assert read > 40, "too few texts that either reader takes"


@pytest.mark.parametrize(
    "text",
    [
        "a: b\tc", "a:\tb", "- a\t: b", "a: 'b\u2028c'", "a: b\x85  c: d", "\u2029a: b", "%YAML 1.1\n---\na: b",
        "a: b\n...\n...\n", "a: |#b", "k:\n  >\n   \n    a", "a: *b:", "&a: b", "a: !b,", "a:\n- \n- b\n-\n",
        "a: ", "? a\n: b", "[a]: b", "{a: b}: c", "a: b\n---\nc: d", "a: {b: 1, b: 2}", "a: \"\\/\"", "a: {b:c}",
        "\ufeffa: b", "a: b\ufeff", "a: b\r\nc: d", "a: b\rc: d",
    ],
)  # fmt: skip
def test_both_readers_agree_where_the_versions_of_yaml_part(text: str) -> None:
    quick, slow = both(text.encode())
    assert quick == slow


def test_a_starter_file_is_read_by_the_compiled_parser_alone() -> None:
    data = (ROOT / "templates" / "boats" / "saltwhin-31.yaml").read_bytes()
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(sys.modules, "ruamel.yaml", None)
        assert read_tree(data, "made.yaml").root["format"] == "2"
