"""Rate of variants in memory, beside that of files edited to the same: `python tests/bench_vary.py [TREE ...]`.

Processor time of 200 combinations of bore and line diameter of a boat, in one warm process that is prepared for many
boats; asserts nothing. A variant is worked out as its row and the rows of its open items, as `toerail vary` does, and
up to the open items with all loads read, as `bench_boat.py` measures a boat; a file in the latter way alone.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from bench_boat import forget, prepared, read_loads, stages

ROOT = Path(__file__).parent.parent
BORES = tuple(f"{10.0 + 0.1 * step:.1f} mm" for step in range(40))
WANTED = {
    "saltwhin-31": {"lines.guard rope.diameter": ("4", "5", "6", "7", "8")},
    "pipwing-25": {"lines.guard wire.diameter": ("3/32", "1/8", "5/32", "3/16", "7/32")},
}


def rates(boat: str, folder: Path) -> list[float]:
    """Return the rates of the variants of a boat, as rows and up to the open items [1/s]; write their boat files."""
    from geom.export import check_of
    from geom.fleet.settings import variants_of
    from geom.fleet.varying import variant, variant_file, variant_outcome
    from geom.refit import refit

    source = ROOT / "templates" / "boats" / f"{boat}.yaml"
    wanted = {"posts.*.holes.*.as_found.diameter": BORES} | WANTED[boat]
    variants = variants_of(source.read_bytes(), str(source), list(wanted.items()))
    outcomes = [variant_outcome(variants, number) for number in (0, 1)]
    assert not any(one.row.error for one in outcomes), outcomes

    def whole(number: int) -> None:
        result = refit(variant(variants, number))
        read_loads(result)
        check_of(result)

    def seconds(work: Callable[[int], object]) -> float:
        forget()
        start = time.process_time()
        for number in range(1, len(variants) + 1):
            work(number)
        return time.process_time() - start

    found = [len(variants) / seconds(lambda number: variant_outcome(variants, number)), len(variants) / seconds(whole)]
    for number in range(1, len(variants) + 1):
        (folder / f"{boat} {number:03}.yaml").write_bytes(variant_file(variants, number, "A", "2026-01-01"))
    return found


def rate_of_files(folder: Path) -> float:
    """Return the rate of the boat files of a folder up to the open items [1/s]."""
    files = sorted(folder.iterdir())
    stages(files[0])
    return len(files) / math.fsum(math.fsum(stages(file)[:4]) for file in files)


def main() -> None:
    """Print a row for each boat."""
    if sys.argv[1:2] == ["--files"]:
        prepared()
        print(json.dumps(rate_of_files(Path(sys.argv[2]))))
        return
    prepared()
    for boat in WANTED:
        with tempfile.TemporaryDirectory() as name:
            rows, whole = rates(boat, Path(name))
            print(f"{boat}, {ROOT.name}, in memory: {rows:.1f} rows/s; {whole:.1f} boats/s up to the open items")
            for tree in (ROOT, *(Path(one).resolve() for one in sys.argv[1:])):
                env = os.environ | {"PYTHONPATH": str(tree), "OPENBLAS_NUM_THREADS": "1"}
                command = [sys.executable, __file__, "--files", name]
                done = subprocess.run(command, env=env, cwd=tree, capture_output=True, check=True)
                print(f"{boat}, {tree.name}, edited files: {json.loads(done.stdout):.1f} boats/s up to the open items")


if __name__ == "__main__":
    main()
