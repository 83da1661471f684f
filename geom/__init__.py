"""Guard line runs of sailing boats: from deck coordinates to a refit package.

A boat (the file) is given placement (where posts, holes and lines are), mechanics (what they carry) and rigging (how
each line is made), checked by rules, set on sheets, rendered to files; data is what others published. `refit.py` is
the whole pipeline on one page: start reading there.

    refit = geom.read_refit("boat.yaml")
    report = geom.check_report(refit)
    sheets = geom.drawing_set(refit)
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from geom.boat.file import load_boat as load_boat
    from geom.errors import InputError as InputError
    from geom.errors import ToerailError as ToerailError
    from geom.export import check_report as check_report
    from geom.refit import Refit as Refit
    from geom.refit import read_refit as read_refit
    from geom.sheets import drawing_set as drawing_set

_HOMES = {
    "InputError": "geom.errors",
    "Refit": "geom.refit",
    "ToerailError": "geom.errors",
    "check_report": "geom.export",
    "drawing_set": "geom.sheets",
    "load_boat": "geom.boat.file",
    "read_refit": "geom.refit",
}
__all__ = ["InputError", "Refit", "ToerailError", "check_report", "drawing_set", "load_boat", "read_refit"]


def __getattr__(name: str) -> Any:
    """Load a public name on first use, to keep `import geom` fast."""
    if name not in _HOMES:
        raise AttributeError(f"module 'geom' has no attribute '{name}'")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)
