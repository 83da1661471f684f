"""Cache of parts by specification.

An entry's name, its key, is the hash of the specification, of the code that builds parts and of the versions of
program and kernel: an outdated entry is never read. A new part is also read from its stored form, so that an empty and
a filled cache give the same bytes.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
from collections.abc import Iterator
from functools import cache
from importlib import metadata, resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from geom.cache import read_entry, write_entry
from geom.parts.part import Part, missing_kernel
from geom.solids.mesh import DEFLECTION, TURN, triangulate


class PartCache:
    """Builds parts, or reads them from a folder; without a folder it only builds them."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self.built = 0
        self.read = 0

    def shape(self, part: Part) -> Any:
        """Return the solid of a part as a shape of the kernel.

        Raises:
            CannotFinishError: the kernel is missing.
        """
        name = key(part)
        path = None if self.folder is None else self.folder / f"{name}.part"
        content = None if path is None else read_entry(path)
        if content is not None:
            shape = _unpack(content)
            if shape is not None:
                self.read += 1
                return shape
        self.built += 1
        # With its facets, which the model of the boat and its picture need.
        content = _pack(triangulate(part.solid().wrapped))
        if path is not None:
            write_entry(path, content)
        return _unpack(content)


def key(part: Part) -> str:
    """Return the name of a part's entry, unique to specification, code, program and kernel."""
    text = f"{type(part).__qualname__}|{part!r}|{DEFLECTION}|{TURN}|{_code()}|{_program()}|{_kernel()}"
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


@cache
def _code() -> str:
    """Return the hash of the code that builds parts, so that no entry of an older shape is read."""
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
def _program() -> str:
    return metadata.version("toerail")


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
    """Return the shape of an entry, None where it contains none."""
    try:
        from OCP.BinTools import BinTools
    except ImportError as fault:
        raise missing_kernel(fault) from fault
    from OCP.TopoDS import TopoDS_Shape

    shape = TopoDS_Shape()
    try:
        BinTools.Read_s(shape, io.BytesIO(content))
        return None if shape.IsNull() else shape
    except Exception:
        # On rubbish the kernel raises errors of many kinds.
        return None
