"""How long a cold `toerail check` takes beside the bare imports it needs: read the ratios, nothing is asserted.

Both run as installed, from compiled modules: the warm-up compiles them into a folder of the bench's own, as pip
does when it installs. Without it every start compiles the whole source tree again, where Python is told to
write no bytecode.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent
BOAT = str(ROOT / "templates" / "boats" / "saltwhin-31.yaml")
CHECK = [sys.executable, "-m", "geom", "check", BOAT]
PACKAGES = "import pydantic, yaml, typer, rich.table"
# Ends a check with the names of all modules that it has loaded.
NAMES = f"""
import sys
from geom.cli import main
sys.argv = ["toerail", "check", {BOAT!r}]
try:
    main()
finally:
    print(*(name for name in sys.modules if not name.startswith("_")), file=sys.stderr)
"""
RUNS = 9


def seconds(command: list[str], env: dict[str, str]) -> float:
    """Return the wall time of one process [s]."""
    start = time.perf_counter()
    subprocess.run(command, capture_output=True, cwd=ROOT, env=env)
    return time.perf_counter() - start


def loading() -> str:
    """Return the program that loads every module that a check loads, those of this project among them."""
    ended = subprocess.run([sys.executable, "-c", NAMES], capture_output=True, text=True, cwd=ROOT)
    names = ended.stderr.splitlines()[-1].split()
    return f"import importlib, sys\nfor name in {names!r}: name in sys.modules or importlib.import_module(name)"


def main() -> None:
    """Run each pair in turn, after one warm-up, and print times and their ratio."""
    references = {
        "the packages it uses": PACKAGES,
        "the packages and the registry of units that it used at first": f"{PACKAGES}, pint; pint.UnitRegistry()",
        "every module it loads": loading(),
    }
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryDirectory() as compiled:
        env["PYTHONPYCACHEPREFIX"] = compiled
        for name, text in references.items():
            reference = [sys.executable, "-c", text]
            seconds(CHECK, env), seconds(reference, env)
            pairs = [(seconds(CHECK, env), seconds(reference, env)) for _ in range(RUNS)]
            ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
            ratio = statistics.median(a / b for a, b in pairs)
            print(f"check {ours:.3f} s, imports of {name} {theirs:.3f} s, ratio {ratio:.2f}")


if __name__ == "__main__":
    main()
