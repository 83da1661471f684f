"""Sheets, files and packages of the demonstration boats, each made once in a session of tests."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path

from geom.drafting.sheet import Draft, finish, lettered
from geom.figure import Sheet
from geom.refit import Refit
from geom.render.dxf import dxf_bytes
from geom.sheets import SHEETS, drawing_set
from geom.sheets.aids import cut_files, full_size_sets
from geom.sheets.setting.push_plot import push_plot
from geom.sheets.setting.sheet import setting_card
from geom.solids.cache import PartCache
from tests.boats import BOATS, NAMES, refit_of
from tests.counts import TIMES
from tests.random_boats import random_refit
from tests.session import made, session_folder

# Those that solve every push, for minutes on a boat of many posts, are left to the long run.
QUICK = tuple(make for make in SHEETS if TIMES > 1 or make not in (setting_card, push_plot))


@cache
def set_of(boat: str) -> tuple[Sheet, ...]:
    """Return the drawing set of a demonstration boat."""
    return made(f"set {boat}", lambda: drawing_set(refit_of(boat)))


@cache
def dxf_of(boat: str, number: int, flavour: str = "cad") -> bytes:
    """Return the DXF of a sheet of a demonstration boat's set, counted from 0."""
    return made(f"{flavour} {boat} {number}", lambda: dxf_bytes(set_of(boat)[number], flavour))


@cache
def aids_of(boat: str) -> dict[str, tuple[Sheet, ...]]:
    """Return the full-size aids of a demonstration boat."""
    return made(f"aids {boat}", lambda: full_size_sets(refit_of(boat)))


@cache
def cuts_of(boat: str) -> dict[str, bytes]:
    """Return the cut files of a demonstration boat."""
    return made(f"cuts {boat}", lambda: cut_files(refit_of(boat)))


def parts() -> PartCache:
    """Return the session's store of parts."""
    return PartCache(session_folder() / "parts")


def numbered(worked_out: Refit, drafts: tuple[Draft, ...]) -> tuple[Sheet, ...]:
    """Return drafts as sheets, numbered among themselves."""
    return tuple(finish(worked_out, draft, len(drafts)) for draft in lettered(drafts))


def sheets_by(make: Callable[[Refit], tuple[Draft, ...]], worked_out: Refit) -> tuple[Sheet, ...]:
    """Return the sheets of one kind; those of a demonstration or random boat as it stands are made once."""
    name = worked_out.loaded.source.removesuffix(".yaml").rpartition("/")[2]
    if worked_out is _by_name(name):
        return _sheets_by(make, name)
    return numbered(worked_out, make(worked_out))


@cache
def _sheets_by(make: Callable[[Refit], tuple[Draft, ...]], name: str) -> tuple[Sheet, ...]:
    worked_out = _by_name(name)
    assert worked_out is not None
    return made(f"{make.__module__}.{make.__qualname__} {name}", lambda: numbered(worked_out, make(worked_out)))


def _by_name(name: str) -> Refit | None:
    """Return a boat that is worked out once in each process; a changed one has the same name and is another."""
    if name in NAMES:
        return refit_of(name)
    word, _, seed = name.rpartition(" ")
    return random_refit(int(seed)) if word == "random boat" else None


def package_of(boat: str, seed: str = "1") -> Path:
    """Return the folder of a whole package of a demonstration boat, written by the command.

    Args:
        boat: its name.
        seed: of Python's hashes; the command works in a folder of its own.
    """
    return made(f"package {boat} {seed}", lambda: _package(boat, seed))


def _package(boat: str, seed: str) -> Path:
    below = session_folder() / f"package-{boat}-{seed}"
    below.mkdir()
    subprocess.run(
        [sys.executable, "-m", "geom", "package", str(BOATS / f"{boat}.yaml"), "--to", "written"],
        cwd=below, env={**os.environ, "PYTHONHASHSEED": seed}, check=True, capture_output=True,
    )  # fmt: skip
    return below / "written"
