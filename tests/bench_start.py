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
IMPORTS = "import pydantic, yaml, typer, rich.table, numpy"
CHECK = [sys.executable, "-m", "geom", "check", str(ROOT / "templates" / "boats" / "saltwhin-31.yaml")]
RUNS = 9


def seconds(command: list[str], env: dict[str, str]) -> float:
    """Return the wall time of one process [s]."""
    start = time.perf_counter()
    subprocess.run(command, capture_output=True, cwd=ROOT, env=env)
    return time.perf_counter() - start


def main() -> None:
    """Run both in turn, after one warm-up, and print times and their ratio pair by pair."""
    reference = [sys.executable, "-c", IMPORTS]
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryDirectory() as compiled:
        env["PYTHONPYCACHEPREFIX"] = compiled
        seconds(CHECK, env), seconds(reference, env)
        pairs = [(seconds(CHECK, env), seconds(reference, env)) for _ in range(RUNS)]
    ours, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
    ratio = statistics.median(a / b for a, b in pairs)
    print(f"check {ours:.3f} s, bare imports {theirs:.3f} s, ratio {ratio:.2f} (wanted: at most 1.30)")


if __name__ == "__main__":
    main()
