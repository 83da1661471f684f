"""How long a fleet takes with 1, 2 and more workers: python tests/bench_fleet.py [BOATS] [WORKERS...].

Times by the clock need a quiet machine; processor times of the client and of its workers stand beside them.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))


def _of_children() -> float:
    """Return the processor time of the processes that have ended [s]."""
    used = os.times()
    return used.children_user + used.children_system


def run(source: Path, folder: Path, workers: int) -> None:
    """Work a fleet out and print what it took."""
    from geom.fleet.boats import fleet_files
    from geom.fleet.cluster import cluster_pool
    from geom.fleet.fleet import Fleet, work_fleet

    began, before = time.perf_counter(), (time.process_time(), _of_children())
    marks: dict[str, float] = {}

    @contextmanager
    def cluster():
        with cluster_pool(workers=workers) as pool:
            marks["open"] = time.perf_counter()
            yield pool
            marks["worked"] = time.perf_counter()

    def step(done: int) -> None:
        marks.setdefault("first", time.perf_counter())

    files = fleet_files(source)
    fleet = Fleet(source.name, files, folder, ".parquet", "bench")
    summary, worked = work_fleet(fleet, cluster, step)
    ended = time.perf_counter()
    each = (marks["worked"] - marks["first"]) / max(worked - 1, 1)
    sizes = {path.name: path.stat().st_size / worked for path in sorted(folder.iterdir()) if path.is_file()}
    own, theirs = time.process_time() - before[0], _of_children() - before[1]
    print(f"{workers} workers: {worked} boats in {ended - began:.1f} s, {summary.refused_count} with an error")
    print(f"  cluster open after {marks['open'] - began:.2f} s, first boats after {marks['first'] - began:.2f} s,")
    print(f"  then {each * 1000:.1f} ms a boat by the clock; files of rows {ended - marks['worked']:.1f} s")
    print(f"  processor time a boat: client {own / worked * 1000:.1f} ms, workers {theirs / worked * 1000:.1f} ms")
    print("  bytes a boat:", ", ".join(f"{name} {size:.0f}" for name, size in sizes.items()))
    began = time.perf_counter()
    again = work_fleet(fleet, cluster, step)[1]
    print(f"  again: {again} boats worked out, {time.perf_counter() - began:.1f} s", flush=True)


if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from tests.fleet_boats import write_fleet

    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    counts = [int(text) for text in sys.argv[2:]] or [1, 2]
    with tempfile.TemporaryDirectory(prefix="fleet-bench-") as place:
        write_fleet(Path(place) / "yard", count, broken_every=100)
        for number in counts:
            run(Path(place) / "yard", Path(place) / f"out-{number}", number)
