"""Work on a cluster: one of this machine with a process for each core, or any that runs already."""

from __future__ import annotations

import logging
import os
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from importlib.metadata import version
from itertools import islice
from typing import Any

from geom.errors import CannotFinishError, Fault, InputError
from geom.fleet.pool import AnyBatch, Pool
from geom.fleet.row import Outcome

# Batches queued on a worker: enough that it is never idle, few enough to hold in memory.
_AT_HAND = 3
# How long a scheduler has to answer [s].
_ANSWERS = 10


def check_installed() -> None:
    """Refuse to begin where the packages of a cluster are not installed.

    Raises:
        InputError: one of them is not installed.
    """
    try:
        import distributed  # noqa: F401
    except ModuleNotFoundError as error:
        fault = Fault(f"the package '{error.name}' is not installed", valid='pip install "toerail[fleet]"')
        raise InputError("cluster", [fault]) from None


@contextmanager
def cluster_pool(scheduler: str | None = None, workers: int | None = None) -> Iterator[Pool]:
    """Open the workers of a cluster; one of this machine is closed at the end, another is left as it is.

    Args:
        scheduler: address of a scheduler, such as `tcp://10.0.0.5:8786`; None for a cluster of this machine.
        workers: of this machine, one for each core where None.

    Raises:
        InputError: a package of the cluster is not installed, or the address is none.
        CannotFinishError: no scheduler answers.
    """
    check_installed()
    from distributed import Client, LocalCluster

    # What fails on a worker comes back as an outcome; its log would run across the progress bar.
    for name in ("distributed", "distributed.nanny", "distributed.scheduler", "distributed.worker", "bokeh"):
        logging.getLogger(name).setLevel(logging.CRITICAL)
    with tempfile.TemporaryDirectory(prefix="toerail-fleet-", ignore_cleanup_errors=True) as folder:
        if scheduler is not None:
            with _connect(Client, scheduler) as client:
                _check_workers(client)
                yield _pool(client)
            return
        with (
            LocalCluster(
                n_workers=workers or os.cpu_count() or 1, threads_per_worker=1, processes=True, host="127.0.0.1",
                dashboard_address="127.0.0.1:0", worker_dashboard_address=None, local_directory=folder, memory_limit=0,
                silence_logs=logging.CRITICAL,
            ) as cluster,
            Client(cluster) as client,
        ):  # fmt: skip
            yield _pool(client)


def _connect(client: Any, scheduler: str) -> Any:
    """Return a client of a scheduler.

    Raises:
        InputError: the address is none.
        CannotFinishError: no scheduler answers.
    """
    try:
        return client(scheduler, timeout=_ANSWERS)
    except ValueError as error:
        raise InputError("arguments", [Fault(str(error), "--scheduler", read=scheduler)]) from None
    except OSError:
        raise CannotFinishError(f"no scheduler answers at {scheduler}") from None


def _check_workers(client: Any) -> None:
    """Refuse workers without this program or with another version of it, whose rows would not be the same.

    Raises:
        CannotFinishError: a worker has no such version.
    """
    own = installed_version()
    try:
        found = client.run(installed_version)
    except Exception as error:
        raise CannotFinishError(f"the workers do not have this program: {error}") from None
    other = sorted({f"{version} on {worker}" for worker, version in found.items() if version != own})
    if other:
        raise CannotFinishError(f"this is version {own}, the workers have another: {', '.join(other[:5])}")


def installed_version() -> str:
    """Return the version of this program where the function is called."""
    return version("toerail")


def _pool(client: Any) -> Pool:
    def pool(
        work: Callable[[AnyBatch], tuple[Outcome, ...]], batches: Iterable[AnyBatch]
    ) -> Iterator[tuple[Outcome, ...]]:
        failed: list[AnyBatch] = []
        for batch, outcomes in _outcomes(client, work, iter(batches)):
            if isinstance(outcomes, Exception):
                failed.append(batch)
            else:
                yield outcomes
        # One boat at a time: where a worker is lost again, it is this boat that it was lost on.
        for batch in failed:
            for single in batch.singles():
                for _, outcomes in _outcomes(client, work, iter([single])):
                    yield single.lost_outcomes(outcomes) if isinstance(outcomes, Exception) else outcomes

    return pool


def _outcomes(
    client: Any, work: Callable[[AnyBatch], tuple[Outcome, ...]], batches: Iterator[AnyBatch]
) -> Iterator[tuple[AnyBatch, tuple[Outcome, ...] | Exception]]:
    """Yield each batch with its outcomes, or the error that ended it; a few batches a worker are out at a time.

    The batches of a worker that is lost are given to others by the scheduler.
    """
    from distributed import as_completed

    out: dict[str, AnyBatch] = {}
    done = as_completed(with_results=True, raise_errors=False)

    def send(count: int) -> None:
        for batch in islice(batches, count):
            future = client.submit(work, batch, pure=False)
            out[future.key] = batch
            done.add(future)

    wanted = until_counted = _AT_HAND * _worker_count(client)
    send(wanted)
    for future, result in done:
        # Workers come and go; the scheduler is polled from time to time.
        until_counted -= 1
        if until_counted <= 0:
            wanted = until_counted = _AT_HAND * _worker_count(client)
        batch = out.pop(future.key)
        if future.status == "finished":
            yield batch, result
        else:
            yield batch, _lost(future)
        future.release()
        send(wanted - len(out))


def _worker_count(client: Any) -> int:
    return max(len(client.scheduler_info(n_workers=-1)["workers"]), 1)


def _lost(future: Any) -> Exception:
    """Return why the work of a future was not done."""
    error = future.exception()
    if type(error).__name__ == "KilledWorker":
        return CannotFinishError("the workers ended while they worked on it")
    return error if isinstance(error, Exception) else CannotFinishError(f"not done: {future.status}")
