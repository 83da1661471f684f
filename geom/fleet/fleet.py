"""A fleet worked out into a folder: what is done already is left, rows and summary are written in order at the end."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from itertools import chain, islice
from pathlib import Path

from geom.errors import Fault, InputError
from geom.files import MANIFEST, write_file
from geom.fleet.boats import FleetFile, check_folders
from geom.fleet.columns import FLEET_BOATS, FLEET_ITEMS
from geom.fleet.fleet_work import FleetBatch, FleetBoat, Packages, work_boats
from geom.fleet.journal import Journal, journal
from geom.fleet.pool import Pool
from geom.fleet.row import Outcome, error_outcome, with_number
from geom.fleet.row_files import check_rows_file, write_rows
from geom.fleet.summary import Summary, summary_of, summary_page
from geom.fleet.varying import RateFile

JOURNAL, SUMMARY, PACKAGES = "journal.jsonl", "summary.html", "packages"
BOAT_ROWS, ITEM_ROWS = "boats", "open-items"
# Boats in a batch: most of a second of work, compared with which sending them costs little.
_BATCH = 4


@dataclass(frozen=True)
class Fleet:
    """A fleet to be worked out: its name, files, the folder for the results, and what is wanted.

    `ending` is that of the files of rows; `solids` is whether packages have solids, None for no packages.
    """

    name: str
    files: tuple[FleetFile, ...]
    folder: Path
    ending: str
    version: str
    rates: RateFile | None = None
    solids: bool | None = None

    @property
    def written(self) -> tuple[Path, ...]:
        """The files of its folder that are written anew by every run, and the journal."""
        rows = (f"{name}{self.ending}" for name in (BOAT_ROWS, ITEM_ROWS))
        return tuple(self.folder / name for name in (JOURNAL, SUMMARY, *rows))

    @property
    def packages(self) -> Packages | None:
        """The packages wanted, None for none."""
        if self.solids is None:
            return None
        return Packages(str((self.folder / PACKAGES).resolve()), self.solids, self.version)

    @property
    def made_by(self) -> dict[str, str | None]:
        """What all results depend on beside the boat files."""
        words = {None: None, True: "with solids", False: "without solids"}
        rates = None if self.rates is None else hashlib.sha256(self.rates.data).hexdigest()
        return {"version": self.version, "rates": rates, "packages": words[self.solids]}


def check_fleet(fleet: Fleet) -> None:
    """Refuse a fleet that cannot be written, before it is worked out.

    Args:
        fleet: the fleet.

    Raises:
        InputError: its folder holds something else, two packages have one folder, or a format cannot be written.
    """
    check_rows_file(fleet.folder / f"{BOAT_ROWS}{fleet.ending}")
    folder = fleet.folder
    is_free = not folder.exists() or (folder.is_dir() and not any(folder.iterdir()))
    if not is_free and not (folder / JOURNAL).exists():
        fault = Fault("this holds no fleet, and nothing in it is touched", valid="a new or empty folder")
        raise InputError(str(folder), [fault])
    if fleet.solids is not None:
        check_folders(fleet.files)


def work_fleet(
    fleet: Fleet,
    cluster: Callable[[], AbstractContextManager[Pool]],
    step: Callable[[int], None],
    replace_all: bool = False,
) -> tuple[Summary, int]:
    """Work out what is not done yet, write the rows and the summary page, and return the summary.

    Args:
        fleet: the fleet.
        cluster: opens the workers; not called where nothing is to be done.
        step: called with the number of boats done since.
        replace_all: whether results that were made in another way are replaced.

    Returns:
        The summary, and how many boats were worked out now.

    Raises:
        InputError: the results in the folder were made in another way and may not be replaced.
        CannotFinishError: the file system refused, or another process works on the folder.
    """
    check_fleet(fleet)
    with journal(fleet.folder / JOURNAL, fleet.made_by, replace_all) as done:
        worked = _work(fleet, done, cluster, step)

        def outcomes() -> Iterator[Outcome]:
            return (with_number(done.outcome(file.name), number) for number, file in enumerate(fleet.files, 1))

        rows = (outcome.row for outcome in outcomes())
        write_rows(fleet.folder / f"{BOAT_ROWS}{fleet.ending}", FLEET_BOATS, rows, replace=True)
        items = (item for outcome in outcomes() for item in outcome.items)
        write_rows(fleet.folder / f"{ITEM_ROWS}{fleet.ending}", FLEET_ITEMS, items, replace=True)
        summary = summary_of(fleet.name, outcomes())
    write_file(fleet.folder / SUMMARY, summary_page(summary), replace=True)
    return summary, worked


def _work(
    fleet: Fleet, done: Journal, cluster: Callable[[], AbstractContextManager[Pool]], step: Callable[[int], None]
) -> int:
    """Work out the boats that are not done, and return how many there were."""
    hashes: dict[str, str] = {}
    worked = 0
    wanted = _not_done(fleet, done, hashes, step)
    first = next(wanted, None)
    if first is None:
        return 0
    boats, size = chain((first,), wanted), 1 if fleet.packages is not None else _BATCH
    batches = (FleetBatch(batch, fleet.rates, fleet.packages) for batch in iter(lambda: tuple(islice(boats, size)), ()))
    with cluster() as pool:
        for outcomes in pool(work_boats, batches):
            for outcome in outcomes:
                own = hashes.pop(outcome.row.file)
                done.add(_seen(fleet, outcome), own if outcome.is_final else "")
            worked += len(outcomes)
            step(len(outcomes))
    return worked


def _not_done(fleet: Fleet, done: Journal, hashes: dict[str, str], step: Callable[[int], None]) -> Iterator[FleetBoat]:
    """Yield each boat to be worked out, its hash written down; a file that cannot be read is done with its error."""
    for file in fleet.files:
        try:
            boat = FleetBoat(file.name, file.read(), file.folder if fleet.packages is not None else "")
        except OSError as error:
            done.add(
                error_outcome(0, file.name, InputError(file.name, [Fault(f"cannot be read: {error.strerror}")])), ""
            )
            step(1)
            continue
        if done.has(boat) and _has_package(fleet, done, boat):
            step(1)
            continue
        hashes[file.name] = boat.sha256
        yield boat


def _seen(fleet: Fleet, outcome: Outcome) -> Outcome:
    """Return an outcome, with an error where its package was written to a disk that this machine does not see."""
    row = outcome.row
    if not row.package or (fleet.folder / PACKAGES / row.package / MANIFEST).exists():
        return outcome
    error = "package: not seen here; the workers have to write to the same disk"
    return replace(outcome, row=replace(row, package="", error=error), is_final=False)


def _has_package(fleet: Fleet, done: Journal, boat: FleetBoat) -> bool:
    """Return whether the package of a boat that is done is still where it was written, if one was."""
    if fleet.packages is None or not done.outcome(boat.file).row.package:
        return True
    return (Path(fleet.packages.folder) / boat.folder / MANIFEST).exists()
