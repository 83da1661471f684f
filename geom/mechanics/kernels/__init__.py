"""The solvers of the loads as plain functions of floats and sequences, which run as they stand or compiled.

They are used as `pushed_line.under(...)`, from their modules, so that `compile_all` can put the compiled functions in
their place: for many boats in one process, not for one, as loading the compiler takes longer than the loads of a boat.
"""

from __future__ import annotations

import hashlib
import inspect
from collections.abc import Iterable, MutableSequence, Sequence
from pathlib import Path
from types import ModuleType
from typing import Any

from geom.cache import library_folder
from geom.mechanics.kernels import bending_run, limits, one_side, pushed_line, rigid_ends
from geom.placement import exit_edge

# A module that uses another stands after it.
MODULES: tuple[ModuleType, ...] = (one_side, pushed_line, bending_run, limits, rigid_ends, exit_edge)


class _Compiled:
    """Whether the functions are compiled, and how numbers are passed to them."""

    array: Any = None
    zeros: Any = None


def compiled_folder() -> Path | None:
    """Return the folder in which the compiled functions are kept; None where nothing can be kept."""
    # The compiler renews an entry when the file of its function changes, not when that of a function it calls does.
    return library_folder("kernels", hashlib.sha256("".join(map(inspect.getsource, MODULES)).encode()).hexdigest()[:16])


def compile_all() -> bool:
    """Compile the functions of these modules, once, between two boats; return whether they are compiled.

    Each is compiled at its first call, or read from the user's cache folder, where it has been compiled before. Without
    the compiler they run as they stand; the figures are the same.
    """
    if _Compiled.array is not None:
        return True
    try:
        import numba
        import numpy as np
    except ImportError:
        return False
    folder = compiled_folder()
    if folder is not None:
        numba.config.CACHE_DIR = str(folder)
    for module in MODULES:
        for name, function in list(vars(module).items()):
            if inspect.isfunction(function) and function.__module__ == module.__name__:
                setattr(module, name, numba.njit(cache=folder is not None)(function))
    _Compiled.array, _Compiled.zeros = np.array, np.zeros
    return True


def floats(values: Iterable[float]) -> MutableSequence[float]:
    """Return numbers as the functions take them."""
    found = list(values)
    array: MutableSequence[float] = found if _Compiled.array is None else _Compiled.array(found, dtype=float)
    return array


def zeros(count: int) -> MutableSequence[float]:
    """Return so many zeros as the functions take them."""
    array: MutableSequence[float] = [0.0] * count if _Compiled.zeros is None else _Compiled.zeros(count)
    return array


def integers(values: Iterable[int]) -> MutableSequence[int]:
    """Return whole numbers as the functions take them."""
    found = list(values)
    array: MutableSequence[int] = found if _Compiled.array is None else _Compiled.array(found, dtype="int64")
    return array


def as_list(values: Sequence[float]) -> list[float]:
    """Return numbers that the functions have filled in."""
    found: list[float] = list(values) if _Compiled.array is None else values.tolist()  # type: ignore[attr-defined]
    return found
