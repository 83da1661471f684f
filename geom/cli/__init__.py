"""Commands; the only place that prints and sets exit codes."""

from __future__ import annotations

import gc
import os

# A short-lived process: looking for garbage while modules load costs a twentieth of a check.
gc.disable()
# No plugin takes part in reading a boat file; looking through all installed packages for one takes as long.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

from geom.cli import bench as bench  # noqa: E402
from geom.cli import boats as boats  # noqa: E402
from geom.cli import starting as starting  # noqa: E402
from geom.cli.app import app  # noqa: E402


def main() -> None:
    """Run the command line."""
    import logging

    # What libraries log is not what the command says: without a handler it would land on the screen.
    logging.getLogger().addHandler(logging.NullHandler())
    app()
