"""Coordinates into a boat file: only the numbers are changed, every comment and blank stays where it was.

The file's text is never written anew: the places of its numbers are looked up and those characters replaced.
Nothing is written to disk here; the new text is handed back.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from geom.boat.faults import closest
from geom.boat.file import read_boat
from geom.boat.model import Axes, Boat, Units
from geom.boat.quantity import Reading
from geom.boat.tree import Location, read_tree
from geom.errors import Fault, InputError
from geom.intake.survey.result import SurveyResult
from geom.units import in_unit, read_quantity
from geom.vec import Vec

# Decimals that hold 0.1 mm in each length unit, and 0.01 deg (0.1 mm at the height of a hole).
_DECIMALS = {"mm": 1, "cm": 2, "m": 4, "in": 3, "ft": 4, "deg": 2, "rad": 4}


@dataclass(frozen=True)
class Change:
    """One number of the file: its place, as it stood, as it will stand, and the standard deviation behind it.

    `before` and `after` are texts as in the file; `moved` is after less before in mm or rad; `sd` likewise.
    """

    place: str
    line: int
    before: str
    after: str
    moved: float
    sd: float | None


@dataclass(frozen=True)
class EditedBoat:
    """A boat file's new bytes, the changes in them, and what of the survey or the file was left as it is."""

    data: bytes
    changes: tuple[Change, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Wanted:
    location: Location
    kind: str
    value: float
    sd: float | None


def write_survey(data: bytes, source: str, result: SurveyResult) -> EditedBoat:
    """Put a survey's coordinates into a boat file's text.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        result: the solved survey; its posts and eyes are found in the file by their names.

    Raises:
        InputError: the boat file cannot be used, or holds none of the surveyed posts and eyes, or the
            places would not pass the boat file's own checks.
    """
    loaded = read_boat(data, source)
    tree = read_tree(data, source)
    axes = Axes.model_validate(tree.root["axes"], context=Reading(_bare_units(tree.root)))
    wanted: list[_Wanted] = []
    notes: list[str] = []
    posts = {entry["id"]: index for index, entry in enumerate(tree.root["posts"])}
    eyes = {entry["id"]: index for index, entry in enumerate(tree.root.get("eyes") or [])}
    for post in result.posts:
        if post.id not in posts:
            notes.append(f"{post.id} was surveyed and is not in the boat file")
            continue
        place: Location = ("posts", posts[post.id])
        foot = result.point(post.foot)
        wanted += _point((*place, "foot"), to_file_axes(axes, foot.at), foot.sd)
        wanted.append(_Wanted((*place, "lean"), "angle", post.lean, post.lean_sd))
        wanted.append(_Wanted((*place, "rake"), "angle", post.rake, post.rake_sd))
        for hole in post.holes:
            level = hole.name.removeprefix(f"{post.id}-")
            if tree.at((*place, "holes", level)) is None:
                notes.append(f"hole {hole.name} was surveyed and is not in the boat file")
            else:
                wanted.append(_Wanted((*place, "holes", level, "along"), "length", hole.along, hole.along_sd))
    for point in result.points:
        if point.name in eyes:
            wanted += _point(("eyes", eyes[point.name], "at"), to_file_axes(axes, point.at), point.sd)
    if not wanted:
        raise InputError(source, [Fault("the file holds none of the surveyed posts and eyes", valid=", ".join(posts))])
    surveyed = {post.id for post in result.posts} | {point.name for point in result.points}
    notes += [f"{name} was not surveyed and is left as it is" for name in (*posts, *eyes) if name not in surveyed]
    edited = _edit(data, source, wanted)
    return EditedBoat(edited[0], edited[1], (*notes, *_shift_notes(loaded.boat, edited[1])))


@dataclass(frozen=True)
class Place:
    """Where a post's foot or an eye is to stand in boat axes [mm]; its attitude [rad] where that is told too."""

    id: str
    at: Vec
    lean: float | None = None
    rake: float | None = None


def write_places(data: bytes, source: str, places: tuple[Place, ...]) -> EditedBoat:
    """Put feet of posts and eyes into a boat file's text.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        places: what to put in; each must be in the file already.

    Raises:
        InputError: the boat file cannot be used, a post or an eye is not in it, or the places would not pass
            its own checks.
    """
    read_boat(data, source)
    tree = read_tree(data, source)
    axes = Axes.model_validate(tree.root["axes"], context=Reading(_bare_units(tree.root)))
    where: dict[str, tuple[Location, str]] = {}
    for index, entry in enumerate(tree.root["posts"]):
        where[entry["id"]] = (("posts", index), "foot")
    for index, entry in enumerate(tree.root.get("eyes") or []):
        where[entry["id"]] = (("eyes", index), "at")
    wanted: list[_Wanted] = []
    faults = []
    for place in places:
        if place.id not in where:
            faults.append(Fault("not in the boat file", read=place.id, valid=closest(place.id, where)))
            continue
        location, key = where[place.id]
        wanted += _point((*location, key), to_file_axes(axes, place.at), None)
        for way, value in (("lean", place.lean), ("rake", place.rake)):
            if value is not None and key == "foot":
                wanted.append(_Wanted((*location, way), "angle", value, None))
    if faults:
        raise InputError(source, faults)
    stated = {place.id for place in places}
    edited = _edit(data, source, wanted)
    notes = tuple(f"{name} is left as it is" for name in where if name not in stated)
    return EditedBoat(edited[0], edited[1], notes)


def to_file_axes(axes: Axes, point: Vec) -> Vec:
    """Return a point of boat axes in a file's own axes [mm]."""
    x, y, z = (value - zero for value, zero in zip(point, axes.origin, strict=True))
    return (x if axes.x == "aft" else -x, y if axes.y == "starboard" else -y, z)


def _shift_notes(boat: Boat, changes: tuple[Change, ...]) -> list[str]:
    """Name the largest move, since a survey seldom moves a foot far."""
    lengths = [change for change in changes if not change.place.endswith(("lean", "rake"))]
    if not lengths:
        return []
    largest = max(lengths, key=lambda change: abs(change.moved))
    return [f"largest move: {largest.place} by {largest.moved:.0f} mm in {boat.boat.name}"]


def _point(location: Location, at: Vec, sd: Vec | None) -> list[_Wanted]:
    deviations = (None, None, None) if sd is None else sd
    return [
        _Wanted((*location, index), "length", value, deviation)
        for index, (value, deviation) in enumerate(zip(at, deviations, strict=True))
    ]


def _bare_units(root: dict[str, Any]) -> dict[str, str]:
    units = Units.model_validate(root.get("units") or {})
    return {kind: unit for kind, unit in (("length", units.length), ("angle", units.angle)) if unit is not None}


def _edit(data: bytes, source: str, wanted: list[_Wanted]) -> tuple[bytes, tuple[Change, ...]]:
    text = data.decode("utf-8-sig")
    bare = _bare_units(read_tree(data, source).root)
    spans = _spans(text)
    edits: list[tuple[int, int, str]] = []
    changes = []
    for want in wanted:
        start, end, line, before = spans[want.location]
        old, _ = read_quantity(before, want.kind, bare.get(want.kind))
        after = number_text(want.value, want.kind, bare.get(want.kind))
        new, _ = read_quantity(after, want.kind, bare.get(want.kind))
        place = ".".join(str(part) for part in want.location)
        changes.append(Change(_named(place, want.location, spans), line, before, after, new - old, want.sd))
        if abs(new - old) > 1e-9:
            edits.append((start, end, after))
    for start, end, after in sorted(edits, reverse=True):
        text = text[:start] + after + text[end:]
    bom = b"\xef\xbb\xbf" if data.startswith(b"\xef\xbb\xbf") else b""
    new_data = bom + text.encode("utf-8")
    read_boat(new_data, source)
    return new_data, tuple(change for change in changes if abs(change.moved) > 1e-9)


def number_text(value: float, kind: str, bare_unit: str | None) -> str:
    """Return a length or an angle as a boat file would hold it: bare in the declared unit, else with its unit."""
    unit = bare_unit or {"length": "mm", "angle": "deg"}[kind]
    shown = value if unit in ("mm", "rad") else math.degrees(value) if unit == "deg" else in_unit(value, unit, kind)
    text = f"{shown:.{_DECIMALS[unit]}f}".rstrip("0").rstrip(".")
    text = "0" if text in ("-0", "") else text
    return text if bare_unit is not None else f"{text} {unit}"


def _named(place: str, location: Location, spans: dict[Location, tuple[int, int, int, str]]) -> str:
    """Return a place with the id of its post or eye in place of a number."""
    item = spans.get((*location[:2], "id"))
    if item is None:
        return place
    axis = {0: "X", 1: "Y", 2: "Z"}
    parts = [axis[part] if isinstance(part, int) else part for part in location[2:]]
    return ".".join([item[3], *parts])


def _spans(text: str) -> dict[Location, tuple[int, int, int, str]]:
    """Return where each scalar of a file stands: first and last character, line, and its text."""
    from ruamel.yaml import YAML

    spans: dict[Location, tuple[int, int, int, str]] = {}

    def walk(node: Any, location: Location) -> None:
        if node.id == "mapping":
            for key, value in node.value:
                walk(value, (*location, str(key.value)))
        elif node.id == "sequence":
            for index, item in enumerate(node.value):
                walk(item, (*location, index))
        else:
            mark = node.start_mark
            spans[location] = (mark.index, node.end_mark.index, mark.line + 1, str(node.value))

    walk(YAML(typ="safe", pure=True).compose(text), ())
    return spans
