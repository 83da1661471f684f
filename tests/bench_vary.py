"""Rate of variants in memory, beside that of files edited to the same: `python tests/bench_vary.py [TREE ...]`.

Processor time of 200 combinations of bore and line diameter of a boat, in one warm process that is prepared for many
boats; asserts nothing. A variant is worked out as its row and the rows of its open items, as `toerail vary` does, and
up to the open items with all loads read, as `bench_boat.py` measures a boat; a file in the latter way alone.
"""

from __future__ import annotations

import json
import math
import os
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import product
from pathlib import Path

from bench_boat import forget, prepared, read_loads, stages

ROOT = Path(__file__).parent.parent
BORES = tuple(f"{10.0 + 0.1 * step:.1f} mm" for step in range(40))
WANTED = {
    "saltwhin-31": {"lines.guard rope.diameter": ("4", "5", "6", "7", "8")},
    "pipwing-25": {"lines.guard wire.diameter": ("3/32", "1/8", "5/32", "3/16", "7/32")},
}


def rates(boat: str) -> list[float]:
    """Return the rates of the variants of a boat, as rows and up to the open items [1/s]."""
    from geom.export import check_of
    from geom.fleet.settings import variants_of
    from geom.fleet.varying import variant, variant_outcome
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

    return [len(variants) / seconds(lambda number: variant_outcome(variants, number)), len(variants) / seconds(whole)]


def rate_of_files(boat: Path) -> float:
    """Return the rate of a boat file edited to each combination, up to the open items [1/s]."""
    head, word, lines = boat.read_text("utf-8").partition("\nlines:")
    (diameters,) = WANTED[boat.stem].values()
    spent = []
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / boat.name
        for bore, diameter in product(BORES, diameters):
            bored = re.sub(r"(as_found: \{diameter: )[^,}]*", rf"\g<1>{bore}", head)
            drawn = re.sub(r"(diameter: )[^,}\n]*", rf"\g<1>{diameter}", lines, count=1)
            file.write_text(bored + word + drawn, "utf-8")
            spent.append(math.fsum(stages(file)[:4]))
    return len(spent) / math.fsum(spent)


def main() -> None:
    """Print a row for each boat."""
    if sys.argv[1:2] == ["--files"]:
        prepared()
        print(json.dumps(rate_of_files(Path(sys.argv[2]))))
        return
    prepared()
    for boat in WANTED:
        rows, whole = rates(boat)
        print(f"{boat}, {ROOT.name}, in memory: {rows:.1f} rows/s; {whole:.1f} boats/s up to the open items")
        for tree in (ROOT, *(Path(one).resolve() for one in sys.argv[1:])):
            env = os.environ | {"PYTHONPATH": str(tree), "OPENBLAS_NUM_THREADS": "1"}
            command = [sys.executable, __file__, "--files", str(tree / "templates" / "boats" / f"{boat}.yaml")]
            done = subprocess.run(command, env=env, cwd=tree, capture_output=True, check=True)
            print(f"{boat}, {tree.name}, edited files: {json.loads(done.stdout):.1f} boats/s up to the open items")


if __name__ == "__main__":
    main()
