"""The house: who may import whom, one door to each outside library, small files, one page that says so."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.some import some

ROOT = Path(__file__).parent.parent
MODULES = sorted((ROOT / "geom").rglob("*.py"))


def test_the_layer_contracts_hold():
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout


def test_the_contracts_can_fail(tmp_path):
    """The lowest layer importing the highest is caught."""
    package = tmp_path / "geom"
    package.mkdir()
    (package / "__init__.py").write_text("")
    (package / "cli.py").write_text("")
    (package / "errors.py").write_text("import geom.cli\n")
    (tmp_path / ".importlinter").write_text(
        "[importlinter]\nroot_package = geom\n[importlinter:contract:1]\nname = l\ntype = layers\n"
        "containers = geom\nlayers =\n  cli\n  errors\n"
    )
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"], cwd=tmp_path, capture_output=True, text=True,
        env={"PYTHONPATH": str(tmp_path), "PATH": "/usr/bin"},
    )  # fmt: skip
    assert done.returncode == 1


def test_the_developers_page_shows_the_layers_in_force():
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    contract = next(c for c in settings["tool"]["importlinter"]["contracts"] if c["type"] == "layers")
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8").replace("\\|", "|")
    for layer in some(contract["layers"]):
        shown = " | ".join(f"`{name.strip()}`" for name in layer.split("|"))
        assert shown in page, f"DEVELOPERS.md does not show the layer {shown}"


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_files_have_one_subject_and_say_what_it_is(module):
    text = module.read_text("utf-8")
    # The sentences of a language stand in one file, those of open items beside it, by design.
    limit = 700 if module.parent.name == "words" else 400
    assert len(text.splitlines()) <= limit, "a file of over 400 lines usually has two subjects"
    if text.strip():
        assert ast.get_docstring(ast.parse(text)), "no line that says what this file is"


def test_no_room_holds_too_many_files():
    """A folder of more than 25 files needs subfolders."""
    folders = {path.parent for path in MODULES}
    assert len(folders) > 30
    crowded = {str(folder.relative_to(ROOT)): len(list(folder.glob("*.py"))) for folder in folders}
    assert {name: count for name, count in crowded.items() if count > 25} == {}


def test_the_top_level_is_fixed():
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True).stdout.splitlines()
    top = {name.split("/")[0] for name in listed}
    fixed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "geom", "templates", "out", "tests"}
    assert {name for name in top if not name.startswith(".")} <= fixed


def test_no_word_of_approval():
    """Nothing the program says calls a boat or a part safe or certified."""
    word = re.compile(r"\b(safe|certified)\b", re.IGNORECASE)
    for module, text in some(said_by(MODULES)):
        assert not word.search(text), f"{module.name}: {text!r}"
    assert word.search("a safe boat")


def said_by(modules):
    """Yield what modules say: every text of theirs but docstrings; a single word is a setting, not something said."""
    for module in modules:
        tree = ast.parse(module.read_text("utf-8"))
        docs = {id(node.body[0].value) for node in ast.walk(tree)
                if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef)) and node.body
                and isinstance(node.body[0], ast.Expr)}  # fmt: skip
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and id(node) not in docs
                and (" " in node.value)
            ):
                yield module, node.value
