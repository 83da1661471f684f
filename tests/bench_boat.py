"""Time of one boat, stage by stage, in this tree and in others side by side: `python tests/bench_boat.py [TREE ...]`.

Processor time in one warm process for each tree and boat, in turn, the least of many; asserts nothing. The rate is that
of reading, placing, line work, rules, loads and open items, without files, drawings and remedies, in a process that
is prepared for many boats. What is kept from one reading of a boat to the next is thrown away before each.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
BOATS = ("saltwhin-31", "pipwing-25")
STAGES = ("read", "refit", "loads", "open items", "report")
REPEATS, ROUNDS = 10, 3


def stages(boat: Path) -> list[float]:
    """Return the processor time of each stage for one boat [s], by the package that is first on the path."""
    from geom.boat.file import load_boat
    from geom.refit import refit

    try:
        from geom.export import check_report
        from geom.open_items import open_items
    except ImportError:
        # An older tree, whose report says what is open.
        from geom.report import check_report as open_items  # type: ignore[import-not-found, no-redef]

        def check_report(_: Any) -> Any:  # type: ignore[misc]
            return None

    forget()
    spent: list[float] = []

    def timed(work: Callable[[], Any]) -> Any:
        start = time.process_time()
        found = work()
        spent.append(time.process_time() - start)
        return found

    loaded = timed(lambda: load_boat(str(boat)))
    result = timed(lambda: refit(loaded))
    timed(lambda: read_loads(result))
    timed(lambda: open_items(result))
    timed(lambda: check_report(result))
    return spent


def read_loads(result: Any) -> None:
    """Read all loads of a boat: some are calculated when they are read, in an older tree none."""
    loads = result.loads
    for kind in ("pushes", "posts", "gates", "widest", "falls", "ends"):
        getattr(loads, kind)
    for fall in loads.falls:
        for figure in ("tension", "deflection", "links", "yields", "collapses"):
            getattr(fall, figure, None)


def prepared() -> None:
    """Prepare this process for many boats; those of an older tree are the same for one boat and for many."""
    try:
        from geom.fleet.many import prepare
    except ImportError:
        return
    prepare()


def forget() -> None:
    """Throw away what is kept of boats worked out before; an older tree keeps nothing, or has no such module."""
    getattr(sys.modules.get("geom.mechanics.collapse"), "_solved", {}).clear()


def measured(tree: Path, boat: str) -> list[float]:
    """Return the least time of each stage in a tree [s]."""
    env = os.environ | {"PYTHONPATH": str(tree), "OPENBLAS_NUM_THREADS": "1"}
    command = [sys.executable, str(Path(__file__)), "--stages", str(tree / "templates" / "boats" / f"{boat}.yaml")]
    found: list[float] = json.loads(subprocess.run(command, env=env, cwd=tree, capture_output=True, check=True).stdout)
    return found


def main() -> None:
    """Print a row for each boat and tree: milliseconds of each stage, and boats a second up to the open items."""
    if sys.argv[1:2] == ["--stages"]:
        prepared()
        stages(Path(sys.argv[2]))
        rows = [stages(Path(sys.argv[2])) for _ in range(REPEATS)]
        print(json.dumps([min(column) for column in zip(*rows, strict=True)]))
        return
    trees = [ROOT, *(Path(one).resolve() for one in sys.argv[1:])]
    for boat in BOATS:
        rounds = [[measured(tree, boat) for tree in trees] for _ in range(ROUNDS)]
        for number, tree in enumerate(trees):
            least = [min(column) for column in zip(*(one[number] for one in rounds), strict=True)]
            whole = math.fsum(least[:4])
            text = ", ".join(f"{stage} {1e3 * one:.1f}" for stage, one in zip(STAGES, least, strict=True))
            print(f"{boat}, {tree.name}: {text} ms; {1.0 / whole:.1f} boats/s")


if __name__ == "__main__":
    main()
