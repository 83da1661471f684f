"""The manifest of a package, and the differences between a folder and its manifest."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from geom.errors import InputError
from geom.files.names import checked_name

MANIFEST = "manifest.json"
SUMS = "SHA256SUMS"
Kind = Literal["a whole package", "solids", "drawings", "a quotation", "papers of what was made"]
_TOOL = "toerail"
_FORMAT = 1


@dataclass(frozen=True)
class ListedFile:
    """One file of a manifest: size in bytes and SHA-256."""

    size: int
    sha256: str


@dataclass(frozen=True)
class Comparison:
    """Comparison of a folder with its manifest; names are relative to it, sorted, those of empty folders end in `/`."""

    kind: Kind
    whole: tuple[str, ...]
    missing: tuple[str, ...]
    changed: tuple[str, ...]
    foreign: tuple[str, ...]

    def not_ours(self) -> list[str]:
        """Return each changed and each foreign file as one line."""
        return [f"changed: {name}" for name in self.changed] + [f"foreign: {name}" for name in self.foreign]


def listed_files(data: bytes) -> dict[str, ListedFile] | None:
    """Return the files listed in a manifest; None where this program did not write it."""
    try:
        manifest: Any = json.loads(data)
        if manifest["tool"] != _TOOL or manifest["format"] != _FORMAT:
            return None
        return {
            checked_name(entry["file"]): ListedFile(int(entry["size"]), str(entry["sha256"]))
            for entry in manifest["files"]
        }
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, InputError):
        return None


def compare_with_manifest(folder: Path) -> Comparison | None:
    """Return how a folder differs from its manifest; None where it has no manifest of this program.

    Raises:
        OSError: something in the folder cannot be read.
    """
    try:
        data = (folder / MANIFEST).read_bytes()
    except (FileNotFoundError, IsADirectoryError, NotADirectoryError):
        return None
    listed = listed_files(data)
    if listed is None:
        return None
    kind = kind_of(listed)
    listed[MANIFEST] = _entry(data)
    listed[SUMS] = _entry(sums({name: entry.sha256 for name, entry in listed.items()}))
    found = set(_contents(folder))
    here = sorted(listed.keys() & found)
    changed = {name for name in here if not _is_as_listed(folder / name, listed[name])}
    if SUMS in changed:
        # One of the two was changed, and there is no telling which.
        changed.add(MANIFEST)
    return Comparison(
        kind,
        whole=tuple(name for name in here if name not in changed),
        missing=tuple(sorted(listed.keys() - found)),
        changed=tuple(sorted(changed)),
        foreign=tuple(sorted(found - listed.keys())),
    )


def sums(hashes: Mapping[str, str]) -> bytes:
    """Return SHA-256 hashes by name as input for `sha256sum -c`."""
    return "".join(f"{sha256}  {name}\n" for name, sha256 in sorted(hashes.items())).encode("ascii")


def kind_of(names: Iterable[str]) -> Kind:
    """Return the kind of package by the names in its manifest."""
    names = set(names)
    if "check.json" in names:
        return "a whole package"
    if "quotation.pdf" in names:
        return "a quotation"
    if "as-made.pdf" in names:
        return "papers of what was made"
    return "solids" if any("/" not in name and name.endswith(".step") for name in names) else "drawings"


def _entry(data: bytes) -> ListedFile:
    return ListedFile(len(data), hashlib.sha256(data).hexdigest())


def _contents(folder: Path) -> Iterable[str]:
    """Yield the names of all files, links and empty folders below a folder."""

    def refuse(error: OSError) -> None:
        raise error

    for path, folders, files in os.walk(folder, onerror=refuse):
        here = Path(path)
        links = [name for name in folders if (here / name).is_symlink()]
        for name in [*files, *links]:
            yield (here / name).relative_to(folder).as_posix()
        if not files and not folders and here != folder:
            yield here.relative_to(folder).as_posix() + "/"


def _is_as_listed(path: Path, listed: ListedFile) -> bool:
    """Return whether a regular file has the size and hash of its entry."""
    if path.is_symlink() or not path.is_file() or path.stat().st_size != listed.size:
        return False
    return hashlib.sha256(path.read_bytes()).hexdigest() == listed.sha256
