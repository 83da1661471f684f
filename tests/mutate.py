"""Breaks the code behind the figures on purpose, one change of a sample at a time, and counts those that tests detect.

`.ci/mutation [COUNT] [SEED] [SECONDS] [FROM]` calls it. It works on a copy of the working tree. The changes are those
of cosmic-ray; each is tried against the tests of its own room, and the first of them to fail ends the try. A longer
sample begins with the shorter one of the same seed, so that FROM resumes where another run ended.
"""

from __future__ import annotations

import csv
import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from difflib import unified_diff
from pathlib import Path

from cosmic_ray.commands import init
from cosmic_ray.mutating import use_mutation
from cosmic_ray.plugins import get_operator
from cosmic_ray.work_db import use_db
from cosmic_ray.work_item import MutationSpec

ROOT = Path(__file__).parent.parent
# The tests that have to detect a change in a room: those of its own figures, not of the sheets that print them. The
# quick ones that detect most stand first.
TESTS = {
    "placement": (
        "test_clearance", "test_boat_bad_files", "test_placement", "test_eye", "sources/test_splice_rules",
        "test_splice", "test_results_frozen", "sources/test_iso_286", "test_post_builds", "test_export",
        "test_intake_propagation", "test_nets", "test_bores", "test_sheets_bases", "test_lengths",
    ),
    "mechanics": (
        "sources/test_statics_examples", "sources/test_wire_tables", "sources/test_splice_rules", "test_solver_steps",
        "test_cable_push", "test_loads_posts", "test_loads_utilisation", "sources/test_stress_concentration",
        "test_results_frozen", "test_loads_falls", "test_cable_relations", "test_loads_bending_posts",
        "test_loads_hand_figures", "test_loads_boats",
    ),
    "rigging": (
        "sources/test_splice_rules", "test_splice", "test_gate_open", "test_fit", "test_results_frozen",
        "test_line_practice", "test_order", "test_threading", "test_lengths", "test_budget", "test_terminals",
        "test_wire_ends",
    ),
    "rules": (
        "sources/test_rule_values", "test_results_frozen", "test_bulwark", "test_rules_known_within",
        "test_rules_cases", "test_rules_boats", "test_rule_limits", "test_rules_lines",
    ),
}  # fmt: skip
# In annotations, which nothing reads at run time, `|` joins types: a change of it is no change.
_LEFT_OUT = "ReplaceBinaryOperator_BitOr_"
NOTICED, SLOW, EQUIVALENT, SURVIVED = "noticed", "too slow", "equivalent", "SURVIVED"
# Changes that were looked at and change nothing, or are left: line and changed line as the diff has them, and why.
LOOKED_AT = ROOT / "tests" / "mutants.csv"


def run(room: str, limit: int) -> subprocess.CompletedProcess[str]:
    """Run the tests of a room up to the first that fails.

    Args:
        room: one of `TESTS`.
        limit: after which they are ended [s of processor time, which does not depend on what else the machine does].
    """
    files = [f"tests/{name}.py" for name in TESTS[room]]
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *files],
        capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(Path.cwd()), "OPENBLAS_NUM_THREADS": "1",
        "PYTHONDONTWRITEBYTECODE": "1"},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 1)),
    )  # fmt: skip


def time_of(room: str, limit: int) -> float:
    """Return how long the tests of a room take when nothing is changed [s of processor time]."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = run(room, limit)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode != 0:
        sys.exit(f"{room}: the tests fail before anything is changed\n{done.stdout[-2000:]}")
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def attempt(change: MutationSpec, limit: int) -> tuple[str, str]:
    """Make a change, run the tests of its room and take it back; return the outcome and the change as a diff."""
    operator = get_operator(change.operator_name)(**change.operator_args)
    with use_mutation(change.module_path, operator, change.occurrence) as (old, new):
        done = run(room_of(change), limit)
    place = str(change.module_path)
    diff = "\n".join(unified_diff(old.splitlines(), new.splitlines(), place, place, lineterm=""))
    if done.returncode in (-signal.SIGXCPU, -signal.SIGKILL):
        return SLOW, diff
    if done.returncode != 0:
        return NOTICED, diff
    return (EQUIVALENT if is_equivalent(place, diff) else SURVIVED), diff


def is_equivalent(place: str, diff: str) -> bool:
    """Return whether a change was looked at and found to change nothing."""
    lines = {line[0] + line[1:].strip() for line in diff.splitlines()}
    with LOOKED_AT.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if (row["file"], row["kind"]) == (place, EQUIVALENT)]
    return any({f"-{row['line']}", f"+{row['changed']}"} <= lines for row in rows)


def changes(folder: Path) -> list[MutationSpec]:
    """Return every change that could be made to the rooms, in an order that does not depend on the machine."""
    modules = sorted(path for room in TESTS for path in Path("geom", room).rglob("*.py"))
    with use_db(str(folder / "changes.sqlite")) as database:
        init(modules, database, {})
        found = [item.mutations[0] for item in database.work_items]
    kept = (one for one in found if _LEFT_OUT not in one.operator_name)
    return sorted(kept, key=lambda one: (str(one.module_path), one.operator_name, one.occurrence))


def room_of(change: MutationSpec) -> str:
    """Return the room in which a change is made."""
    return Path(change.module_path).parts[1]


def copied(folder: Path) -> Path:
    """Copy what git knows or would take of the working tree into a folder."""
    listing = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard", "--", ".", ":!out"]
    names = subprocess.run(listing, cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\0")
    for name in filter(None, names):
        if (ROOT / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / name, folder / name)
    return folder


def main(count: int, seed: int, limit: int, begin: int = 1) -> None:
    """Try a sample of changes and print score and survivors.

    Args:
        count: of changes.
        seed: by which they are drawn.
        limit: of each change [s of processor time]; one that takes longer, as where a loop does not end, is too slow,
            which counts as detected.
        begin: number of the first change that is tried, from 1.
    """
    print(f"changes {begin} to {count}, seed {seed}, {limit} s each")
    with tempfile.TemporaryDirectory(prefix="toerail-mutation-") as temporary:
        os.chdir(copied(Path(temporary)))
        every = changes(Path(temporary))
        sample = random.Random(seed).sample(every, count)[begin - 1 :]
        for room in sorted({room_of(change) for change in sample}):
            took = time_of(room, limit)
            print(f"{room}: tests pass unchanged in {took:.0f} s", flush=True)
            if took > 0.8 * limit:
                sys.exit(f"{room}: no time to tell a change that is noticed from one that is not in {limit} s each")
        outcomes: Counter[tuple[str, str]] = Counter()
        for number, change in enumerate(sample, begin):
            outcome, diff = attempt(change, limit)
            outcomes[room_of(change), outcome] += 1
            print(f"{number} {outcome} {change.module_path}:{change.start_pos[0]} {change.operator_name}", flush=True)
            if outcome != NOTICED:
                print(diff, flush=True)
        for room in TESTS:
            counts = (f"{outcomes[room, outcome]} {outcome}" for outcome in (NOTICED, SLOW, EQUIVALENT, SURVIVED))
            print(f"{room}:", ", ".join(counts))
        survived = sum(outcomes[room, SURVIVED] for room in TESTS)
        real = len(sample) - sum(outcomes[room, EQUIVALENT] for room in TESTS)
        print(f"all: {real - survived} of {real} noticed, of {len(every)} possible changes; seed {seed}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
