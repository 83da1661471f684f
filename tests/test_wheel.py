"""The wheel as it would be installed elsewhere: every module of ours loads from it, and it writes a package."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.boats import ROOT

pytestmark = pytest.mark.slow

LOAD_ALL = """
import importlib, pkgutil, geom
names = ["geom"] + [found.name for found in pkgutil.walk_packages(geom.__path__, "geom.")]
for name in names:
    if name != "geom.__main__":
        importlib.import_module(name)
print(geom.__file__, len(names))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    # From a copy: a build leaves its own folder behind, and the next one takes what has gone since from there.
    source = folder / "source"
    shutil.copytree(ROOT / "geom", source / "geom", symlinks=True, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "templates", source / "templates")
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source)
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(source)]
    done = subprocess.run(build, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    (made,) = folder.glob("toerail-*.whl")
    return made


@pytest.fixture(scope="module")
def installed(wheel: Path) -> Path:
    folder = wheel.parent / "installed"
    install = [sys.executable, "-m", "pip", "install", "--quiet", "--no-index", "--no-deps", "--target", str(folder)]
    subprocess.run([*install, str(wheel)], check=True, capture_output=True)
    return folder


def run(installed: Path, cwd: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "PYTHONPATH": str(installed)}
    return subprocess.run([sys.executable, *arguments], cwd=cwd, env=env, capture_output=True, text=True)


def test_everything_in_the_source_tree_is_in_the_wheel(wheel: Path) -> None:
    listed = subprocess.run(["git", "ls-files", "geom", "templates"], cwd=ROOT, capture_output=True, text=True)
    source = {name for name in listed.stdout.splitlines() if (ROOT / name).is_file()}
    wanted = {name if name.startswith("geom/") else f"geom/{name}" for name in source}
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert held == wanted


def test_every_module_loads_from_an_installed_wheel(installed: Path, tmp_path: Path) -> None:
    done = run(installed, tmp_path, "-c", LOAD_ALL)
    assert done.returncode == 0, done.stderr
    place, count = done.stdout.split()
    assert Path(place).is_relative_to(installed)
    assert int(count) == len(list((ROOT / "geom").rglob("*.py")))


def test_an_installed_wheel_writes_a_package_of_a_starter_file(installed: Path, tmp_path: Path) -> None:
    made = run(installed, tmp_path, "-m", "geom", "new", "first-try", "--to", "boat.yaml")
    assert made.returncode == 0, made.stderr
    done = run(installed, tmp_path, "-m", "geom", "package", "boat.yaml", "--to", "out", "--no-solids")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "out" / "manifest.json").is_file()
    assert list((tmp_path / "out" / "drawings").glob("*.pdf"))
