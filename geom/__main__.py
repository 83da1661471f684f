"""The program's start: `toerail`, or `python -m geom`. Nothing slow is loaded before signals are heeded."""

import os
import signal
from types import FrameType


def _leave(number: int, frame: FrameType | None) -> None:  # noqa: ARG001 - as the system calls it
    os.write(2, b"toerail: broken off\n")
    os._exit(130)


def main() -> None:
    """Run the command line; a signal outside of a command ends the process at once."""
    for number in (signal.SIGINT, signal.SIGTERM):
        if signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, _leave)
    from geom.cli import main as run

    run()


if __name__ == "__main__":
    main()
