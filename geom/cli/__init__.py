"""The commands; the only room that prints and sets exit codes."""

from __future__ import annotations

import gc
import os

# A short-lived process: garbage collection during imports costs a twentieth of a check.
gc.disable()
# Boat files need no pydantic plugin; searching all installed packages for one costs as much.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

from geom.cli import bench as bench  # noqa: E402
from geom.cli import boats as boats  # noqa: E402
from geom.cli import choosing as choosing  # noqa: E402
from geom.cli import fleets as fleets  # noqa: E402
from geom.cli import pages as pages  # noqa: E402
from geom.cli import papers as papers  # noqa: E402
from geom.cli import starting as starting  # noqa: E402
from geom.cli.app import app  # noqa: E402


def main() -> None:
    """Run the command line."""
    import logging

    # Without a handler the log messages of libraries would go to the screen.
    logging.getLogger().addHandler(logging.NullHandler())
    app()
