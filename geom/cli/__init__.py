"""Commands; the only place that prints and sets exit codes."""

from __future__ import annotations

import gc

# A short-lived process: looking for garbage while modules load costs a twentieth of a check.
gc.disable()

from geom.cli import bench as bench  # noqa: E402
from geom.cli import boats as boats  # noqa: E402
from geom.cli import starting as starting  # noqa: E402
from geom.cli.app import app  # noqa: E402


def main() -> None:
    """Run the command line."""
    app()
