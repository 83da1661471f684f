"""Working out boat files of a fleet: bytes in, rows out, the package written where it is wanted."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path

from geom.boat.file import read_boat
from geom.errors import ToerailError
from geom.files import check_place, write_package
from geom.fleet.row import Outcome, error_outcome, worked_out
from geom.fleet.varying import RateFile, rates_of
from geom.refit import Refit, refit


@dataclass(frozen=True)
class Packages:
    """Packages of a fleet: their folder, as all workers see it, whether with solids, and the program's version."""

    folder: str
    solids: bool
    version: str


@dataclass(frozen=True)
class FleetBoat:
    """A boat file as it is passed to a worker: its name, its bytes, the folder of its package below that of all."""

    file: str
    data: bytes
    folder: str = ""

    @property
    def sha256(self) -> str:
        """The hash of its bytes."""
        return hashlib.sha256(self.data).hexdigest()


@dataclass(frozen=True)
class FleetBatch:
    """Some boat files that are worked out in one piece."""

    boats: tuple[FleetBoat, ...]
    rates: RateFile | None = None
    packages: Packages | None = None

    def singles(self) -> tuple[FleetBatch, ...]:
        """Return a batch of each boat alone."""
        return tuple(replace(self, boats=(boat,)) for boat in self.boats)

    def lost_outcomes(self, error: Exception) -> tuple[Outcome, ...]:
        """Return the outcomes of the boats where no worker could work them out.

        Args:
            error: why.
        """
        return tuple(error_outcome(0, boat.file, error, is_final=False) for boat in self.boats)


def work_boats(batch: FleetBatch) -> tuple[Outcome, ...]:
    """Return the outcome of each boat of a batch, in its order; a file that cannot be used is a row with its error."""
    return tuple(_outcome(boat, batch) for boat in batch.boats)


def _outcome(boat: FleetBoat, batch: FleetBatch) -> Outcome:
    try:
        made = refit(read_boat(boat.data, boat.file))
        rates = None if batch.rates is None else rates_of(batch.rates)
        outcome = worked_out(0, boat.file, made, rates, "" if batch.rates is None else batch.rates.source)
    except Exception as error:
        # One boat that cannot be worked out must not end the fleet.
        return error_outcome(0, boat.file, error)
    if batch.packages is None:
        return outcome
    try:
        _write(made, batch.packages, boat.folder)
    except Exception as error:
        text = str(error) if isinstance(error, ToerailError) else f"{type(error).__name__}: {error}"
        return replace(outcome, row=replace(outcome.row, error=f"package: {' | '.join(text.splitlines())}"))
    return replace(outcome, row=replace(outcome.row, package=boat.folder))


def _write(made: Refit, packages: Packages, folder: str) -> None:
    """Write the package of a boat into its folder, in place of an older one of this program."""
    # Drawings and sheets are loaded where packages are wanted alone.
    from geom.package import package_files

    target = Path(packages.folder) / folder
    check_place(target, "a whole package")
    files = package_files(made, packages.solids, packages.version, _silent)
    write_package(target, files)


def _silent(step: str) -> None:
    """Show nothing of a step."""
