"""How long a cold `toerail check` takes beside the bare imports it needs: read the ratio, nothing is asserted.

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
# What a check loads, and that with the registry of units, which it loaded and built at first and reads no more.
IMPORTS = {
    "bare imports": "import pydantic, yaml, typer, rich.table, numpy",
    "with a registry of units": "import pydantic, yaml, typer, rich.table, numpy, pint; pint.UnitRegistry()",
}
CHECK = [sys.executable, "-m", "geom", "check", str(ROOT / "templates" / "boats" / "saltwhin-31.yaml")]
RUNS = 9


def seconds(command: list[str], env: dict[str, str]) -> float:
    """Return the wall time of one process [s]."""
    start = time.perf_counter()
    subprocess.run(command, capture_output=True, cwd=ROOT, env=env)
    return time.perf_counter() - start


def main() -> None:
    """Run each pair in turn, after one warm-up, and print times and their ratio."""
    references = {name: [sys.executable, "-c", text] for name, text in IMPORTS.items()}
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryDirectory() as compiled:
        env["PYTHONPYCACHEPREFIX"] = compiled
        for name, reference in references.items():
            seconds(CHECK, env), seconds(reference, env)
            pairs = [(seconds(CHECK, env), seconds(reference, env)) for _ in range(RUNS)]
            ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
            ratio = statistics.median(a / b for a, b in pairs)
            print(f"check {ours:.3f} s, {name} {theirs:.3f} s, ratio {ratio:.2f}")
    print("wanted: at most 1.30 of the imports when the registry of units was one of them")


if __name__ == "__main__":
    main()
