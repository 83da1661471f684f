"""Breaks what works out the figures on purpose, a sample of changes at a time, and counts how many the tests notice.

`.ci/mutation [COUNT] [SEED] [SECONDS]` calls it. It works on a copy of the working tree. The changes are those of
cosmic-ray; each is tried against the tests of its own room, and the first of them to fail ends the try.
"""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from cosmic_ray.commands import init
from cosmic_ray.mutating import mutate_and_test
from cosmic_ray.work_db import use_db
from cosmic_ray.work_item import MutationSpec, TestOutcome

ROOT = Path(__file__).parent.parent
# The tests that have to notice a change in a room: those of its own figures, not of the sheets that print them.
TESTS = {
    "placement": (
        "test_placement", "test_clearance", "test_eye", "test_post_builds", "sources/test_iso_286",
    ),
    "mechanics": (
        "test_cable_push", "test_cable_relations", "test_loads_fold_share", "test_loads_posts", "test_loads_falls",
        "test_loads_boats", "sources/test_statics_examples", "sources/test_stress_concentration",
        "sources/test_wire_tables", "sources/test_splice_rules",
    ),
    "rigging": (
        "test_splice", "test_lengths", "test_fit", "test_gate_open", "test_budget", "test_line_practice",
        "test_threading", "sources/test_splice_rules",
    ),
    "rules": ("test_rules_cases", "sources/test_rule_values", "test_rules_known_within", "test_rules_boats"),
}  # fmt: skip
# In annotations, which nothing reads at run time, `|` joins types: a change of it is no change.
_LEFT_OUT = "ReplaceBinaryOperator_BitOr_"


def command(room: str) -> str:
    """Return the command that runs the tests of a room."""
    files = " ".join(f"tests/{name}.py" for name in TESTS[room])
    return f"{sys.executable} -m pytest -q -x -p no:cacheprovider {files}"


def changes(folder: Path) -> list[MutationSpec]:
    """Return every change that could be made to the rooms, in an order that does not depend on the machine."""
    modules = sorted(path for room in TESTS for path in Path("geom", room).rglob("*.py"))
    with use_db(str(folder / "changes.sqlite")) as database:
        init(modules, database, {})
        found = [item.mutations[0] for item in database.work_items]
    kept = (one for one in found if _LEFT_OUT not in one.operator_name)
    return sorted(kept, key=lambda one: (str(one.module_path), one.operator_name, one.occurrence))


def copied(folder: Path) -> Path:
    """Copy what git knows or would take of the working tree into a folder."""
    listing = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard", "--", ".", ":!out"]
    names = subprocess.run(listing, cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\0")
    for name in filter(None, names):
        if (ROOT / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / name, folder / name)
    return folder


def main(count: int, seed: int, limit: int) -> None:
    """Try a sample of changes and print score and survivors.

    Args:
        count: of changes.
        seed: by which they are drawn.
        limit: of each change [s]; one that takes longer, as where a loop does not end, counts as noticed.
    """
    print(f"{count} changes, seed {seed}, {limit} s each")
    with tempfile.TemporaryDirectory(prefix="toerail-mutation-") as temporary:
        os.chdir(copied(Path(temporary)))
        os.environ |= {"PYTHONPATH": temporary, "OPENBLAS_NUM_THREADS": "1"}
        for room in TESTS:
            begin = time.monotonic()
            done = subprocess.run(command(room).split(), capture_output=True, text=True)
            took = time.monotonic() - begin
            if done.returncode != 0:
                sys.exit(f"{room}: the tests fail before anything is changed\n{done.stdout[-2000:]}")
            print(f"{room}: tests pass unchanged in {took:.0f} s", flush=True)
            if took > 0.8 * limit:
                sys.exit(f"{room}: no time to tell a change that is noticed from one that is not in {limit} s each")
        every = changes(Path(temporary))
        tried: Counter[str] = Counter()
        survived: Counter[str] = Counter()
        for one in random.Random(seed).sample(every, count):
            room = Path(one.module_path).parts[1]
            result = mutate_and_test([one], command(room), limit)
            if result.test_outcome not in (TestOutcome.KILLED, TestOutcome.SURVIVED):
                sys.exit(f"{one}: could not be tried\n{result.output}")
            tried[room] += 1
            alive = result.test_outcome == TestOutcome.SURVIVED
            survived[room] += alive
            word = "SURVIVED" if alive else "too slow" if result.output == "timeout" else "noticed"
            print(f"{word} {one.module_path}:{one.start_pos[0]} {one.operator_name}",
                  flush=True)  # fmt: skip
            if alive:
                print(result.diff)
        for room in tried:
            print(f"{room}: {tried[room] - survived[room]} of {tried[room]} noticed")
        print(f"all: {count - survived.total()} of {count} noticed, of {len(every)} possible changes; seed {seed}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
