"""The boat files of a fleet: of a folder, or of a list of their names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from geom.boat.tree import MAX_BYTES
from geom.errors import Fault, InputError

ENDINGS = (".yaml", ".yml")


@dataclass(frozen=True)
class FleetFile:
    """One boat file of a fleet: its name in rows, and where it is."""

    name: str
    place: Path

    def read(self) -> bytes:
        """Return its bytes.

        Raises:
            OSError: it cannot be read.
        """
        with self.place.open("rb") as file:
            return file.read(MAX_BYTES + 1)

    @property
    def folder(self) -> str:
        """The name of the folder of its package, of the folders it stands in and its own name.

        Raises:
            InputError: no folder name can be made of it.
        """
        from geom.package import slug

        parts = Path(self.name).with_suffix("").parts
        return "/".join(slug(part) for part in parts if part not in ("/", "..", "."))


def fleet_files(source: Path) -> tuple[FleetFile, ...]:
    """Return the boat files of a fleet in the order of their names.

    Args:
        source: a folder, whose YAML files are taken with those of its folders; or a text file with a name on each
            line, counted from its own folder, where `#` begins a comment.

    Raises:
        InputError: there is no such folder or list, it has no boat file, or a line of the list is no name of one.
    """
    try:
        if source.is_dir():
            found = [path for path in source.rglob("*") if path.suffix.lower() in ENDINGS and path.is_file()]
            names = {path.relative_to(source).as_posix(): path for path in found}
        else:
            names = {name: source.parent / name for name in _listed(source)}
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise InputError(str(source), [Fault(f"cannot be read: {reason}")]) from None
    if not names:
        raise InputError(str(source), [Fault("no boat file", valid="a folder with .yaml files, or a list of names")])
    return tuple(FleetFile(name, names[name]) for name in sorted(names))


def _listed(source: Path) -> Iterator[str]:
    """Yield the names of a list of boat files.

    Raises:
        InputError: a line is no name of a boat file, as where the list is itself a boat file.
        OSError: the list cannot be read.
    """
    for number, line in enumerate(source.read_text("utf-8-sig").splitlines(), start=1):
        name = line.partition("#")[0].strip()
        if name and not name.lower().endswith(ENDINGS):
            valid = "a folder of boat files, or a list with the name of one on each line, such as our-boat.yaml"
            raise InputError(str(source), [Fault("not the name of a boat file", "", number, name, valid)])
        if name:
            yield name


def check_folders(files: tuple[FleetFile, ...]) -> None:
    """Refuse files whose packages would go into one folder.

    Args:
        files: of the fleet.

    Raises:
        InputError: two files have one folder, or no folder name can be made of a file's name.
    """
    taken: dict[str, str] = {}
    for file in files:
        other = taken.setdefault(file.folder, file.name)
        if other != file.name:
            raise InputError(
                file.name, [Fault(f"its package would go into the folder of {other}", valid="another name")]
            )
