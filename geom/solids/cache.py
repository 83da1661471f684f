"""Parts by specification, kept between runs in the user's cache folder.

An entry's name is the hash of the specification, of the code that makes parts and of the kernel's
version; its content carries its own hash. Entries are written beside and renamed, so two runs may
share the folder; a stale name is never asked for, and a broken entry is made again. A part that is
made also goes through its stored form, so that a cold run and a warm one give the same bytes.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import sys
import tempfile
from collections.abc import Iterator
from functools import cache
from importlib import metadata, resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from geom.parts.part import Part, missing_kernel

_DIGEST = 32


def cache_folder() -> Path:
    """Return the user's cache folder for solids: as the system's custom has it."""
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = str(Path.home() / "Library" / "Caches")
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "toerail" / "solids"


class PartCache:
    """Makes parts, or takes them from a folder; with no folder it only makes them."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self.made = 0
        self.taken = 0

    def shape(self, part: Part) -> Any:
        """Return the solid of a part as a shape of the kernel.

        Raises:
            CannotFinishError: the kernel is missing.
        """
        path = None if self.folder is None else self.folder / f"{key(part)}.part"
        content = None if path is None else _read(path)
        if content is not None:
            shape = _unpack(content)
            if shape is not None:
                self.taken += 1
                return shape
        self.made += 1
        content = _pack(part.solid().wrapped)
        if path is not None:
            _write(path, content)
        return _unpack(content)


def key(part: Part) -> str:
    """Return the name of a part's entry: the same only for the same specification, code and kernel."""
    text = f"{type(part).__qualname__}|{part!r}|{_code()}|{_kernel()}"
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


@cache
def _code() -> str:
    """Return the hash of the code that makes parts, so that a change of a shape never meets an old entry."""
    digest = hashlib.sha256()
    for name, source in _sources(resources.files("geom.parts"), ""):
        digest.update(name.encode("utf-8") + b"\0" + source)
    return digest.hexdigest()


def _sources(folder: Traversable, above: str) -> Iterator[tuple[str, bytes]]:
    """Yield name and text of every module in a folder and below it."""
    for entry in sorted(folder.iterdir(), key=lambda item: item.name):
        if entry.is_dir():
            yield from _sources(entry, f"{above}{entry.name}/")
        elif entry.name.endswith(".py"):
            yield above + entry.name, entry.read_bytes()


@cache
def _kernel() -> str:
    for name in ("cadquery-ocp", "cadquery"):
        with contextlib.suppress(metadata.PackageNotFoundError):
            return f"{name} {metadata.version(name)}"
    return "unknown"


def _pack(shape: Any) -> bytes:
    from OCP.BinTools import BinTools

    stream = io.BytesIO()
    BinTools.Write_s(shape, stream)
    return stream.getvalue()


def _unpack(content: bytes) -> Any:
    """Return the shape of an entry; None where the kernel finds nothing in it."""
    try:
        from OCP.BinTools import BinTools
    except ImportError as fault:
        raise missing_kernel(fault) from fault
    from OCP.TopoDS import TopoDS_Shape

    shape = TopoDS_Shape()
    BinTools.Read_s(shape, io.BytesIO(content))
    return None if shape.IsNull() else shape


def _read(path: Path) -> bytes | None:
    """Return an entry's content, None where there is none or it does not match its own hash."""
    try:
        whole = path.read_bytes()
    except OSError:
        return None
    digest, content = whole[:_DIGEST], whole[_DIGEST:]
    return content if hashlib.sha256(content).digest() == digest else None


def _write(path: Path, content: bytes) -> None:
    """Keep an entry; a folder that cannot be written is no reason to fail."""
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, suffix=".new")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(hashlib.sha256(content).digest() + content)
            Path(name).replace(path)
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
