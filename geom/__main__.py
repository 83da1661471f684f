"""Entry point of `toerail` and `python -m geom`; signal handlers are set before slow imports."""

import os
import signal
from types import FrameType


def _leave(number: int, frame: FrameType | None) -> None:  # noqa: ARG001 - signature of a signal handler
    os.write(2, b"toerail: interrupted\n")
    os._exit(130)


def main() -> None:
    """Run the command line; a signal outside a command ends the process at once."""
    # The matrices here are small: threads of the linear algebra only wait for each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for number in (signal.SIGINT, signal.SIGTERM):
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _leave)
    from geom.cli import main as run

    run()


if __name__ == "__main__":
    main()
