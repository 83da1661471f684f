"""Commands; the only place that prints and sets exit codes."""

from __future__ import annotations

import gc

from geom.cli import bench as bench
from geom.cli import boats as boats
from geom.cli import starting as starting
from geom.cli.app import app


def main() -> None:
    """Run the command line."""
    # A short-lived process: looking for garbage while modules load costs a twentieth of a check.
    gc.disable()
    app()
