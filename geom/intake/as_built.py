"""The as-built record of a boat: what was made, measured and set, and the readings of later seasons."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pydantic import Field, ValidationError

from geom.boat.faults import LocatedFault, closest, model_faults, to_faults
from geom.boat.forms import Date, FirstFormat, Mark, Name, PostId, RunId
from geom.boat.model import Boat, Model, Units
from geom.boat.quantity import Angle, Force, Length, Reading
from geom.boat.tree import Location, Tree, read_tree
from geom.errors import InputError
from geom.intake.boat_edit import number_text
from geom.units import Mm


class Record(Model):
    """The boat file that the record belongs to, its date, who measured and with what tool."""

    boat: Name
    data_sha256: str = Field(pattern=r"^[0-9a-f]{64}$")
    revision: Mark
    date: Date
    by: Name
    tool: Name


class RunRecord(Model):
    """One run as built: its finished length, and the length pin to pin or thread showing of each adjuster, by name.

    `eye_marks` is the distance between the eye marks as laid off, `first_eye` that from the throat of the finished
    first eye to the other eye mark; `date` and `by` where they are not those of the record.
    """

    finished: Length | None = Field(default=None, gt=0)
    eye_marks: Length | None = Field(default=None, gt=0)
    first_eye: Length | None = Field(default=None, gt=0)
    settings: dict[Name, Length] = Field(default={})
    tension: Force | None = Field(default=None, ge=0)
    lot: Name | None = None
    certificate: Name | None = None
    date: Date | None = None
    by: Name | None = None
    note: Name | None = None


class PostReading(Model):
    """The attitude of a stanchion as measured."""

    lean: Angle | None = None
    rake: Angle | None = None
    note: Name | None = None


class SeasonRun(Model):
    """One run a season later: its adjusters, and the tension found."""

    settings: dict[Name, Length] = Field(default={})
    tension: Force | None = Field(default=None, ge=0)
    note: Name | None = None


class Season(Model):
    """The readings of one inspection: lines, stanchions, what was seen by place, photographs by place."""

    date: Date
    by: Name
    tool: Name | None = None
    runs: dict[RunId, SeasonRun] = Field(default={}, max_length=60)
    posts: dict[PostId, PostReading] = Field(default={}, max_length=60)
    seen: dict[Name, Name] = Field(default={}, max_length=500)
    photographs: dict[Name, Name] = Field(default={}, max_length=500)


class Retension(Model):
    """One later retensioning: date, run, tension found, tension left."""

    date: Date
    run: RunId
    found: Force | None = Field(default=None, ge=0)
    left: Force | None = Field(default=None, ge=0)
    by: Name
    note: Name | None = None


class AsBuilt(Model):
    """A whole as-built record."""

    format: FirstFormat
    units: Units = Units()
    as_built: Record
    runs: dict[RunId, RunRecord] = Field(max_length=60)
    posts: dict[PostId, PostReading] = Field(default={}, max_length=60)
    retension: tuple[Retension, ...] = Field(default=(), max_length=500)
    seasons: tuple[Season, ...] = Field(default=(), max_length=60)


@dataclass(frozen=True)
class AsBuiltRow:
    """A run's finished length as designed and as built [mm]; None where it was not designed or not measured."""

    run: str
    designed: Mm | None
    built: Mm | None
    note: str

    @property
    def difference(self) -> Mm | None:
        """As built less as designed [mm]."""
        return None if self.designed is None or self.built is None else self.built - self.designed


def read_as_built(data: bytes, source: str, boat: Boat) -> AsBuilt:
    """Read an as-built record.

    Args:
        data: the file's bytes.
        source: its name, for messages.
        boat: the boat it belongs to.

    Raises:
        InputError: the file cannot be used, or names a run that the boat does not have.
    """
    return as_built_of(read_tree(data, source), source, boat)


def as_built_of(tree: Tree, source: str, boat: Boat) -> AsBuilt:
    """Return the as-built record of a tree.

    Args:
        tree: of the file.
        source: its name, for messages.
        boat: the boat it belongs to.

    Raises:
        InputError: the file cannot be used, or names a run that the boat does not have.
    """
    node = tree.root.get("units")
    declared = node.get("length") if isinstance(node, dict) else None
    # Angles of stanchions are in degrees, as on a level.
    bare = {"length": str(declared)} if declared in ("mm", "cm", "m", "in", "ft") else {}
    bare["angle"] = "deg"
    try:
        record = AsBuilt.model_validate(tree.root, context=Reading(bare))
    except ValidationError as error:
        raise InputError(source, to_faults(tree, model_faults(error.errors(include_url=False), AsBuilt))) from None
    runs = [run.id for run in boat.runs]
    faults = [
        LocatedFault(("runs", run), "no such run in the boat file", run, closest(run, runs))
        for run in record.runs
        if run not in runs
    ]
    faults += [
        LocatedFault(("retension", index, "run"), "no such run in the boat file", entry.run, closest(entry.run, runs))
        for index, entry in enumerate(record.retension)
        if entry.run not in runs
    ]
    faults += _unknown(record, runs, [post.id for post in boat.posts])
    if faults:
        raise InputError(source, to_faults(tree, faults))
    return record


def _unknown(record: AsBuilt, runs: list[str], posts: list[str]) -> Iterator[LocatedFault]:
    """Yield a fault for each run of a season, and each stanchion, that the boat does not have."""
    for post in record.posts:
        if post not in posts:
            yield LocatedFault(("posts", post), "no such stanchion in the boat file", post, closest(post, posts))
    for index, season in enumerate(record.seasons):
        place: Location = ("seasons", index)
        for run in season.runs:
            if run not in runs:
                yield LocatedFault((*place, "runs", run), "no such run in the boat file", run, closest(run, runs))
        for post in season.posts:
            if post not in posts:
                message = "no such stanchion in the boat file"
                yield LocatedFault((*place, "posts", post), message, post, closest(post, posts))


def compare(record: AsBuilt, designed: Mapping[str, Mm], data_sha256: str) -> tuple[tuple[AsBuiltRow, ...], str | None]:
    """Return each run's length as built against its length as designed.

    Args:
        record: the record.
        designed: finished length by run [mm].
        data_sha256: hash of the boat file's present data.

    Returns:
        A row for each run, and a warning where the boat file has changed since the record was begun.
    """
    rows = []
    for run in dict.fromkeys((*designed, *record.runs)):
        entry = record.runs.get(run)
        note = entry.note if entry is not None and entry.note is not None else ""
        rows.append(AsBuiltRow(run, designed.get(run), entry.finished if entry is not None else None, note))
    changed = None
    if record.as_built.data_sha256 != data_sha256:
        changed = (
            f"the record belongs to data {record.as_built.data_sha256[:12]}, the boat file now holds {data_sha256[:12]}"
        )
    return tuple(rows), changed


def blank_as_built(boat: Boat, designed: Mapping[str, Mm], data_sha256: str, length_unit: str) -> str:
    """Return a blank record: every run with its designed length as a comment, no measurement filled in.

    Args:
        boat: the boat.
        designed: finished length by run [mm].
        data_sha256: hash of the boat file's data.
        length_unit: unit of bare lengths in the record.
    """
    lines = [
        f"# As-built record of {boat.boat.name}. Fill in what was measured; leave out what was not.",
        "format: 1",
        "",
        f"units: {{length: {length_unit}}}",
        "",
        "as_built:",
        f"  boat: {_quoted(boat.boat.name)}",
        f"  data_sha256: {data_sha256}",
        f"  revision: {_quoted(boat.revision.mark)}",
        "  date:   # year-month-day",
        "  by:",
        "  tool:   # the tape or bench that the lengths were taken with",
        "",
        "# finished: pin to pin of the line and its ends. settings: length of an adjuster, or thread showing.",
        "runs:",
    ]
    for run in boat.runs:
        length = designed.get(run.id)
        beside = "" if length is None else f"   # designed {number_text(length, 'length', length_unit)} {length_unit}"
        lines.append(f"  {run.id}: {{}}{beside}")
    lines += [
        "",
        "# One line for each later retensioning:",
        f"# - {{date: 2026-04-01, run: {boat.runs[0].id}, found: 250 N, left: 400 N, by: owner}}",
        "retension: []",
        "",
    ]
    return "\n".join(lines)


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
