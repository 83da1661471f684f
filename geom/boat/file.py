"""Reading a boat file: the boat in boat axes, or every fault of the file with its key and line."""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path, PurePath
from typing import Any

from pydantic import ValidationError

from geom.boat.consistency import consistency_faults
from geom.boat.faults import LocatedFault, model_faults, to_fault, to_faults
from geom.boat.migrate import migrate
from geom.boat.mirror import SIDE_WORDS, mirrored, sides_given
from geom.boat.model import Axes, Boat, Side, Units
from geom.boat.quantity import Echo, Reading
from geom.boat.tree import MAX_BYTES, Location, Tree, read_tree
from geom.boat.turn import is_turned, turn
from geom.errors import Fault, InputError
from geom.units import decimal, in_unit

# Endings of tables, which a new boat file is made of.
_TABLES = (".csv", ".xlsx")


@dataclass(frozen=True)
class Identity:
    """Which boat file was worked out: names, revision, and the hashes of its bytes and of its data."""

    name: str
    survey: str
    revision: str
    date: str
    file: str
    file_sha256: str
    data_sha256: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class LoadedBoat:
    """A boat as read from its file, with hashes and notes.

    `file_sha256` is the hash of the bytes; `data_sha256` that of the canonical data, which comments, the spelling of
    quantities and the choice of axes do not change. `mirrored_from` is the side given in a file with
    `mirror: true`, `given` the boat without what was mirrored, whose locations are those of `tree`, and `axes` the
    file's own. `echoes` are quantities given in another unit than the file's own.
    """

    boat: Boat
    given: Boat
    axes: Axes
    tree: Tree = field(repr=False)
    source: str
    file_sha256: str
    data_sha256: str
    mirrored_from: Side | None
    echoes: tuple[Echo, ...]
    notes: tuple[str, ...]

    def refuse(self, faults: Sequence[LocatedFault]) -> None:
        """Refuse the file for faults in what it gives, if there are any.

        Raises:
            InputError: there are; the error lists them with their lines.
        """
        _refuse(faults, self.tree, self.source)

    @property
    def tapes_as_written(self) -> tuple[str, ...]:
        """The length of each tape as the file writes it."""
        return tuple(str(self.tree.at(("tapes", index, "length"))) for index in range(len(self.given.tapes)))

    @property
    def identity(self) -> Identity:
        """Which boat file this is."""
        return Identity(
            name=self.boat.boat.name,
            survey=self.boat.survey,
            revision=self.boat.revision.mark,
            date=self.boat.revision.date,
            file=PurePath(self.source).name,
            file_sha256=self.file_sha256,
            data_sha256=self.data_sha256,
            notes=self.notes,
        )


def load_boat(path: str | Path) -> LoadedBoat:
    """Read a boat file, `-` for standard input.

    Raises:
        InputError: the file cannot be read or used; the error lists every fault.
    """
    if str(path) == "-":
        return read_boat(sys.stdin.buffer.read(MAX_BYTES + 1), "standard input")
    source = str(path)
    try:
        with Path(path).open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise InputError(source, [Fault(f"cannot be read: {reason}")]) from None
    return read_boat(data, source)


def read_boat(data: bytes, source: str) -> LoadedBoat:
    """Read the bytes of a boat file.

    Args:
        data: the file's bytes.
        source: the file's name, for messages.

    Raises:
        InputError: the file cannot be used; the error lists every fault.
    """
    return boat_of_tree(boat_tree(data, source), source, hashlib.sha256(data).hexdigest())


def boat_tree(data: bytes, source: str) -> Tree:
    """Read the bytes of a boat file into a tree.

    Args:
        data: the file's bytes.
        source: the file's name, for messages.

    Raises:
        InputError: the file is not YAML as a boat file is; a table is named as one.
    """
    try:
        return read_tree(data, source)
    except InputError:
        if PurePath(source).suffix.lower() not in _TABLES:
            raise
        fault = Fault("this is a table, and a boat file is YAML", read=PurePath(source).suffix,
                      valid=f"a boat file; `toerail new --from {source}` makes one of a table")  # fmt: skip
        raise InputError(source, [fault]) from None


def boat_of_tree(tree: Tree, source: str, file_sha256: str) -> LoadedBoat:
    """Return the boat of a file that is read as far as its tree.

    Args:
        tree: of the file; changed in place where it is of an older format.
        source: the file's name, for messages.
        file_sha256: hash of the file's bytes, empty where the tree is of no file.

    Raises:
        InputError: the file cannot be used; the error lists every fault.
    """
    notes, fault = migrate(tree)
    if fault is not None:
        raise InputError(source, [to_fault(tree, fault)])
    reading = Reading(_declared_units(tree, source))
    in_file_axes = _validated(Boat, tree.root, (), reading, tree, source)
    boat = given = turn(in_file_axes)
    _refuse(consistency_faults(boat), tree, source)
    if is_turned(in_file_axes.axes):
        axes = in_file_axes.axes
        notes.append(f"axes converted: in the file X runs {axes.x} and Y to {axes.y}, from its own origin")
    mirrored_from: Side | None = None
    if boat.mirror:
        (given_side,) = sides_given(boat)["posts"]
        boat = mirrored(boat, given_side)
        mirrored_from = given_side
        notes.append(_mirror_note(boat, given_side))
    notes.extend(_echo_note(echo, reading) for echo in reading.echoes)
    return LoadedBoat(
        boat=boat,
        given=given,
        axes=in_file_axes.axes,
        tree=tree,
        source=source,
        file_sha256=file_sha256,
        data_sha256=data_hash(boat, mirrored_from),
        mirrored_from=mirrored_from,
        echoes=tuple(reading.echoes),
        notes=tuple(notes),
    )


def canonical_data(boat: Boat) -> dict[str, Any]:
    """Return the boat's data as plain values in mm, rad, N, MPa and g, to 1e-6, without format number and units."""
    rounded = _rounded(boat.model_dump(exclude={"format", "units"}, exclude_none=True))
    assert isinstance(rounded, dict)
    return rounded


def data_hash(boat: Boat, mirrored_from: Side | None) -> str:
    """Return the hash of a boat's canonical data.

    Args:
        boat: in boat axes, with both sides.
        mirrored_from: the side given in a file that gives one.
    """
    data = {"data": canonical_data(boat), "mirrored from": mirrored_from}
    text = json.dumps(data, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _rounded(value: Any) -> Any:
    kind = type(value)
    if kind is float:
        return round(value, 6) + 0.0
    if kind is dict:
        return {key: _rounded(inner) for key, inner in value.items()}
    if kind is list or kind is tuple:
        return [_rounded(inner) for inner in value]
    return value


def _declared_units(tree: Tree, source: str) -> dict[str, str]:
    """Return the units of bare numbers; a fault here would make every number a fault, so it is reported alone."""
    node = tree.root.get("units")
    if node is None:
        return {}
    units = _validated(Units, node, ("units",), Reading({}), tree, source)
    return {kind: unit for kind, unit in (("length", units.length), ("angle", units.angle)) if unit is not None}


def _validated(model: Any, node: Any, place: Location, reading: Reading, tree: Tree, source: str) -> Any:
    try:
        return model.model_validate(node, context=reading)
    except ValidationError as error:
        _refuse(model_faults(error.errors(include_url=False), place=place), tree, source)
        raise


def _refuse(faults: Sequence[LocatedFault], tree: Tree, source: str) -> None:
    if faults:
        raise InputError(source, to_faults(tree, faults))


def _mirror_note(boat: Boat, given: Side) -> str:
    listed = []
    for word in ("posts", "eyes", "gates", "runs"):
        count = len([one for one in getattr(boat, word) if not one.id.startswith("C-")]) // 2
        if count:
            listed.append(f"{count} {word if count > 1 else word[:-1]}")
    return f"mirrored from {SIDE_WORDS[given]}: {', '.join(listed)}"


def _echo_note(echo: Echo, reading: Reading) -> str:
    kind = {"mm": "length", "rad": "angle"}[echo.unit]
    unit = reading.bare_units[kind]
    decimals = {"mm": 2, "deg": 3}.get(unit, 4)
    shown = decimal(in_unit(echo.value, unit, kind), decimals)
    return f"line {echo.line}: '{echo.text}', where the file's unit is {unit}, read as {shown} {unit}"
