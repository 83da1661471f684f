"""The files that a command writes: of the kind that it writes, and none of them a file that it reads."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from geom.cli.app import given_files
from geom.errors import Fault, InputError

PAPER = (".pdf",)
PAGE = (".html", ".htm")
TEXT = (".yaml", ".yml")


def check_targets(
    *targets: Path, replace: bool, endings: tuple[str, ...] | None = None, inputs: Iterable[Path] | None = None
) -> None:
    """Refuse files that a command cannot write without loss, before any of them is written or worked out.

    Args:
        targets: the files to be written.
        replace: whether existing files may be replaced.
        endings: the endings of their kind, with the dot; None where the kind is checked elsewhere.
        inputs: the files that are read and stay; else all that the command was given, but for where it writes.

    Raises:
        InputError: another ending, a file that is read as well, or a file that exists and may not be replaced.
    """
    from geom.files import refuse_existing

    read = tuple(given_files() if inputs is None else inputs)
    for target in targets:
        if endings is not None and target.suffix.lower() not in endings:
            fault = Fault("not the ending of what is written", read=target.suffix or "none", valid=" or ".join(endings))
            raise InputError(str(target), [fault])
        for one in read:
            if _same(target, one):
                name = "" if str(one) == str(target) else f", as {one}"
                fault = Fault(f"this file is read by the command{name}, and would be lost", valid="another name")
                raise InputError(str(target), [fault])
    if not replace:
        refuse_existing(*targets)


def _same(target: Path, read: Path) -> bool:
    """Return whether two names stand for one file, by another spelling or a link as well."""
    try:
        return target.samefile(read)
    except (OSError, RuntimeError, ValueError):
        return False
