"""Templates for the user to copy or edit, from a checkout or an installed wheel."""

from __future__ import annotations

from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from geom.errors import CannotFinishError, Fault, InputError


@cache
def _templates() -> Traversable:
    """Return the folder of templates: inside the installed package, else beside it in a checkout."""
    package = resources.files("geom")
    for folder in (package / "templates", Path(str(package)).parent / "templates"):
        if (folder / "boats").is_dir():
            return folder
    raise CannotFinishError("the templates are not installed with the program")


def starter_names() -> tuple[str, ...]:
    """Return the names of the starter boat files, without their ending."""
    names = [entry.name for entry in (_templates() / "boats").iterdir()]
    return tuple(sorted(name.removesuffix(".yaml") for name in names if name.endswith(".yaml")))


def starter_text(name: str) -> str:
    """Return a starter boat file.

    Args:
        name: one of starter_names().

    Raises:
        InputError: there is no such starter file.
    """
    if name not in starter_names():
        raise InputError("starter files", [Fault("no such starter file", read=name, valid=", ".join(starter_names()))])
    return template_bytes(f"boats/{name}.yaml").decode("utf-8")


def template_bytes(path: str) -> bytes:
    """Return a template by its path below the folder of templates, such as `frames/a3.svg`.

    Raises:
        CannotFinishError: there is no such template.
    """
    parts = path.split("/")
    if any(part in ("", ".", "..") or "\\" in part for part in parts):
        raise CannotFinishError(f"'{path}' is not a path below the templates")
    entry = _templates().joinpath(*parts)
    if not entry.is_file():
        raise CannotFinishError(f"the template '{path}' is missing")
    return entry.read_bytes()
