"""The frame of the command line: the app, its common options, and errors as messages and exit codes.

0 done; 1 a verdict fails or a package differs from its manifest; 2 unusable input or usage; 3 could not finish;
130 interrupted.
"""

from __future__ import annotations

import functools
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Annotated, Any, TypeVar

import typer

from geom.errors import ToerailError

app = typer.Typer(
    name="toerail",
    help="Guard line runs of sailing boats: hole checks, shop drawings, solids and schedules.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
_verbose = False
_quiet = False
# What the command was given, but for where it writes: names of files, and words that are none.
_given: tuple[Path, ...] = ()
# The parameter of every command that names what it writes.
_WRITTEN = "to"
Command = TypeVar("Command", bound=Callable[..., Any])


def _version(wanted: bool) -> None:
    if wanted:
        print(f"toerail {version()}")
        raise typer.Exit


def version() -> str:
    """Return the installed version."""
    from importlib.metadata import version as installed

    return installed("toerail")


def tell(text: str) -> None:
    """Print a line to standard error, except with --quiet."""
    if not _quiet:
        print(("\r\x1b[K" if sys.stderr.isatty() else "") + text, file=sys.stderr)


def is_quiet() -> bool:
    """Return whether only results and errors are printed."""
    return _quiet


def given_files() -> tuple[Path, ...]:
    """Return the files that the running command was given to read."""
    # A value of another option may be longer than any name of a file, at which `Path.is_file` raises.
    return tuple(path for path in _given if os.path.isfile(path))  # noqa: PTH113


def _names(values: Iterable[Any]) -> Iterator[Path]:
    """Yield all that may name a file among the values of a command's parameters."""
    for value in values:
        if isinstance(value, (str, Path)):
            yield Path(value)
        elif isinstance(value, (list, tuple)):
            yield from _names(value)


def progress(text: str) -> None:
    """Show the current step on a terminal, overwriting the last one; nothing goes to a log."""
    if not _quiet and sys.stderr.isatty():
        print(f"\r\x1b[K{text}", end="", file=sys.stderr, flush=True)


@contextmanager
def _interruptible() -> Iterator[None]:
    """Let SIGTERM interrupt a command as SIGINT does; a second signal goes to the previous handlers."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    found = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    before = {number: handler for number, handler in found.items() if handler is not signal.SIG_IGN}

    def restore() -> None:
        for number, handler in before.items():
            signal.signal(number, handler)

    stopped = False

    def stop(number: int, frame: FrameType | None) -> None:  # noqa: ARG001 - signature of a signal handler
        nonlocal stopped
        stopped = True
        restore()
        raise KeyboardInterrupt

    try:
        for number in before:
            signal.signal(number, stop)
        yield
    except Exception as error:
        # An extension module that is interrupted during its import raises an ImportError of its own.
        if stopped:
            raise KeyboardInterrupt from error
        raise
    finally:
        restore()


def guarded(command: Command) -> Command:
    """Turn errors of this package, and internal errors, into messages and an exit code."""

    @functools.wraps(command)
    def run(*args: Any, **kwargs: Any) -> Any:
        global _given
        _given = tuple(_names((*args, *(value for name, value in kwargs.items() if name != _WRITTEN))))
        try:
            with _interruptible():
                return command(*args, **kwargs)
        except ToerailError as error:
            for line in str(error).splitlines():
                print(f"toerail: {line}", file=sys.stderr)
            code = error.exit_code
        except KeyboardInterrupt:
            print("toerail: interrupted; every file and package is complete, old or new", file=sys.stderr)
            code = 130
        except BrokenPipeError:
            sys.stderr.close()
            code = 0
        except (typer.Exit, typer.Abort):
            raise
        except Exception as error:
            if _verbose:
                raise
            fault = f"{type(error).__name__}: {error}"
            print(f"toerail: internal error: {fault} (--verbose shows the traceback)", file=sys.stderr)
            code = 3
        raise typer.Exit(code)

    return run  # type: ignore[return-value]


@app.callback()
def options(
    show_version: Annotated[  # noqa: ARG001 - handled by its callback
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and exit.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", "-q", help="Print results and errors only.")] = False,
    verbose: Annotated[bool, typer.Option("--verbose", help="Show the traceback of an internal error.")] = False,
) -> None:
    """Guard line runs of sailing boats: hole checks, shop drawings, solids and schedules."""
    global _quiet, _verbose
    _quiet, _verbose = quiet, verbose
