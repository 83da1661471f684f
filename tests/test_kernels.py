"""The solvers of the loads as they stand and compiled: one source, the same figures to the last digit."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
BOATS = ("saltwhin-31", "first-try")
# Prints every figure of the falls and push tests, and how many functions are compiled.
PROGRAM = """
import json, sys
from geom.mechanics import kernels
from geom.mechanics.cable import load_line
from geom.refit import read_refit
is_compiled = sys.argv[1] == "compiled" and kernels.compile_all()
found = []
for boat in sys.argv[2:]:
    loads = read_refit(f"templates/boats/{boat}.yaml").loads
    for fall in loads.falls:
        for line in (fall.line.loaded, fall.line.free, fall.line.locked):
            found += [line.deflection, line.moved, line.iterations, *line.place, *line.tensions, *line.post_forces]
        found += [fall.utilisation, fall.tension, fall.deflection]
        for bracket in (fall.yields, fall.collapses):
            found += [] if bracket is None else [bracket.lower, bracket.lower_post, bracket.likely, bracket.likely_post]
    found += [push.expected and push.expected.with_friction for push in loads.pushes]
count = sum(hasattr(one, "py_func") for module in kernels.MODULES for one in vars(module).values())
used = [one.signatures for one in vars(kernels.limits).values() if hasattr(one, "signatures")]
print(json.dumps([count, sum(map(bool, used)), found]))
"""


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder for compiled solvers, filled by whichever test comes first."""
    return tmp_path_factory.mktemp("cache")


def figures(how: str, **settings: str) -> tuple[int, int, list]:
    env = os.environ | {"PYTHONPATH": str(ROOT)} | settings
    command = [sys.executable, "-c", PROGRAM, how, *BOATS]
    done = subprocess.run(command, env=env, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_without_the_compiler_they_run_as_they_stand(tmp_path: Path) -> None:
    (tmp_path / "numba.py").write_text("raise ImportError\n")
    path = f"{tmp_path}{os.pathsep}{ROOT}"
    count, _, found = figures("compiled", PYTHONPATH=path)
    assert count == 0
    assert found == figures("plain")[2]


@pytest.mark.slow
def test_the_solvers_are_compiled_once_for_a_machine(cache: Path) -> None:
    """A process that has worked out a few boats goes on with them as they stand until another has compiled them."""
    program = """
import time
from geom.fleet import many
from geom.mechanics import kernels
many.FEW = 1
for boat in range(3):
    many.count_boat()
    print(hasattr(kernels.limits.utilisation, "py_func"))
while not many._compiled_mark().exists():
    time.sleep(0.2)
many.count_boat()
print(hasattr(kernels.limits.utilisation, "py_func"))
"""
    env = os.environ | {"PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(cache)}
    for states in (["False", "False", "False", "True"], ["False", "True", "True", "True"]):
        done = subprocess.run([sys.executable, "-c", program], env=env, cwd=ROOT, capture_output=True, text=True)
        assert done.stdout.split() == states, done.stderr
    assert list((cache / "toerail" / "kernels").rglob("*.nbi"))


@pytest.mark.slow
def test_compiled_figures_are_the_same(cache: Path) -> None:
    none, _, plain = figures("plain")
    assert none == 0 and len(plain) > 4000
    count, used, found = figures("compiled", XDG_CACHE_HOME=str(cache), HOME="/proc")
    assert count > 30 and used >= 3
    assert found == plain


def test_where_no_cache_can_be_written_they_are_compiled_for_the_process() -> None:
    program = """
from geom.mechanics import kernels
from geom.mechanics.kernels import limits
plain = limits.next_try(limits.begin(100.0, 0.2), 0.8)
assert kernels.compile_all() and kernels.compiled_folder() is None
assert limits.next_try(limits.begin(100.0, 0.2), 0.8) == plain
assert limits.next_try.signatures
"""
    env = os.environ | {"PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": "/proc", "HOME": "/proc"}
    done = subprocess.run([sys.executable, "-c", program], env=env, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
