"""Coordinates written into a boat file's text: only the numbers change, comments and blanks stay.

The text is not generated again: the numbers are located in it and their characters replaced. Nothing is
written to disk here; the new text is returned.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from geom.boat.faults import closest
from geom.boat.file import read_boat
from geom.boat.model import Axes, Boat, Units
from geom.boat.quantity import Reading
from geom.boat.tree import Location, Tree, read_tree
from geom.boat.turn import to_file_axes
from geom.errors import Fault, InputError
from geom.intake.survey.readings import PostFacts
from geom.intake.survey.result import SurveyResult
from geom.units import in_unit, read_quantity
from geom.vec import Vec

# Decimals that hold 0.1 mm in each length unit, and 0.01 deg (0.1 mm at the height of a hole).
_DECIMALS = {"mm": 1, "cm": 2, "m": 4, "in": 3, "ft": 4, "deg": 2, "rad": 4}


@dataclass(frozen=True)
class Change:
    """One changed number of the file: location, line, text before and after.

    `moved` is after less before, `sd` the standard deviation of the new value, both in mm or rad.
    """

    place: str
    line: int
    before: str
    after: str
    moved: float
    sd: float | None


@dataclass(frozen=True)
class EditedBoat:
    """A boat file's new bytes, the changes made, and notes on what was left unchanged."""

    data: bytes
    changes: tuple[Change, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _NewValue:
    """A new value for one number of the file [mm or rad]."""

    location: Location
    kind: str
    value: float
    sd: float | None


def write_survey(data: bytes, source: str, result: SurveyResult) -> EditedBoat:
    """Write a survey's coordinates into a boat file's text.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        result: the solved survey; its posts and eyes are matched with the file's by name. Parts that it withholds are
            left as they are.

    Raises:
        InputError: the boat file cannot be used, or holds none of the surveyed posts and eyes, or the
            edited file fails the boat file's own checks.
    """
    loaded = read_boat(data, source)
    tree = read_tree(data, source)
    axes = Axes.model_validate(tree.root["axes"], context=Reading(_bare_units(tree.root)))
    held = result.withheld
    new_values: list[_NewValue] = []
    notes: list[str] = []
    posts = {entry["id"]: index for index, entry in enumerate(tree.root["posts"])}
    eyes = {entry["id"]: index for index, entry in enumerate(tree.root.get("eyes") or [])}
    for post in result.posts:
        if post.id not in posts:
            notes.append(f"{post.id} was surveyed and is not in the boat file")
            continue
        place: Location = ("posts", posts[post.id])
        foot = result.point(post.foot)
        if post.foot not in held:
            new_values += _point((*place, "foot"), to_file_axes(axes, foot.at), foot.sd)
        if f"lean and rake of {post.id}" not in held:
            new_values.append(_NewValue((*place, "lean"), "angle", post.lean, post.lean_sd))
            new_values.append(_NewValue((*place, "rake"), "angle", post.rake, post.rake_sd))
        for hole in post.holes:
            level = hole.name.removeprefix(f"{post.id}-")
            if tree.at((*place, "holes", level)) is None:
                notes.append(f"hole {hole.name} was surveyed and is not in the boat file")
            elif hole.name not in held:
                new_values.append(_NewValue((*place, "holes", level, "along"), "length", hole.along, hole.along_sd))
        new_values += _facts(tree, place, result.survey.facts.get(post.id))
    for point in result.points:
        if point.name in eyes and point.name not in held:
            new_values += _point(("eyes", eyes[point.name], "at"), to_file_axes(axes, point.at), point.sd)
    surveyed = {post.id for post in result.posts} | {point.name for point in result.points}
    if not surveyed & {*posts, *eyes}:
        raise InputError(source, [Fault("the file holds none of the surveyed posts and eyes", valid=", ".join(posts))])
    notes += [f"{name} was not surveyed and is left unchanged" for name in (*posts, *eyes) if name not in surveyed]
    edited = _edit(data, source, new_values)
    return EditedBoat(edited[0], edited[1], (*notes, *_shift_notes(loaded.boat, edited[1])))


def _facts(tree: Tree, post: Location, facts: PostFacts | None) -> list[_NewValue]:
    """Return what was measured of a post beside the survey, for keys that the file has."""
    if facts is None:
        return []
    found: list[tuple[Location, str, float | None]] = [
        (("top",), "length", facts.top),
        (("deck_falls", "aft"), "angle", facts.falls_aft),
        (("deck_falls", "outboard"), "angle", facts.falls_outboard),
    ]
    found += [(("holes", level, "as_found", "diameter"), "length", size) for level, size in facts.diameters.items()]
    return [
        _NewValue((*post, *keys), kind, value, None)
        for keys, kind, value in found
        if value is not None and tree.at((*post, *keys)) is not None
    ]


@dataclass(frozen=True)
class Place:
    """New position of a post's foot or an eye in boat axes [mm]; its attitude [rad] where given."""

    id: str
    at: Vec
    lean: float | None = None
    rake: float | None = None


def write_places(data: bytes, source: str, places: tuple[Place, ...]) -> EditedBoat:
    """Write positions of posts and eyes into a boat file's text.

    Args:
        data: the boat file's bytes.
        source: its name, for messages.
        places: the new positions; each post or eye must be in the file already.

    Raises:
        InputError: the boat file cannot be used, a post or an eye is not in it, or the edited file fails its
            own checks.
    """
    read_boat(data, source)
    tree = read_tree(data, source)
    axes = Axes.model_validate(tree.root["axes"], context=Reading(_bare_units(tree.root)))
    where: dict[str, tuple[Location, str]] = {}
    for index, entry in enumerate(tree.root["posts"]):
        where[entry["id"]] = (("posts", index), "foot")
    for index, entry in enumerate(tree.root.get("eyes") or []):
        where[entry["id"]] = (("eyes", index), "at")
    new_values: list[_NewValue] = []
    faults = []
    for place in places:
        if place.id not in where:
            faults.append(Fault("not in the boat file", read=place.id, valid=closest(place.id, where)))
            continue
        location, key = where[place.id]
        new_values += _point((*location, key), to_file_axes(axes, place.at), None)
        for way, value in (("lean", place.lean), ("rake", place.rake)):
            if value is not None and key == "foot":
                new_values.append(_NewValue((*location, way), "angle", value, None))
    if faults:
        raise InputError(source, faults)
    placed = {place.id for place in places}
    edited = _edit(data, source, new_values)
    notes = tuple(f"{name} is left unchanged" for name in where if name not in placed)
    return EditedBoat(edited[0], edited[1], notes)


def _shift_notes(boat: Boat, changes: tuple[Change, ...]) -> list[str]:
    """Return a note on the largest move, which shows a gross error at once."""
    lengths = [change for change in changes if not change.place.endswith(("lean", "rake"))]
    if not lengths:
        return []
    largest = max(lengths, key=lambda change: abs(change.moved))
    return [f"largest move: {largest.place} by {largest.moved:.0f} mm in {boat.boat.name}"]


def _point(location: Location, at: Vec, sd: Vec | None) -> list[_NewValue]:
    deviations = (None, None, None) if sd is None else sd
    return [
        _NewValue((*location, index), "length", value, deviation)
        for index, (value, deviation) in enumerate(zip(at, deviations, strict=True))
    ]


def _bare_units(root: dict[str, Any]) -> dict[str, str]:
    units = Units.model_validate(root.get("units") or {})
    return {kind: unit for kind, unit in (("length", units.length), ("angle", units.angle)) if unit is not None}


def _edit(data: bytes, source: str, new_values: list[_NewValue]) -> tuple[bytes, tuple[Change, ...]]:
    text = data.decode("utf-8-sig")
    bare = _bare_units(read_tree(data, source).root)
    where = positions(text)
    edits: list[tuple[int, int, str]] = []
    changes = []
    for new_value in new_values:
        start, end, line, before = where[new_value.location]
        old, _ = read_quantity(before, new_value.kind, bare.get(new_value.kind))
        after = number_text(new_value.value, new_value.kind, bare.get(new_value.kind))
        new, _ = read_quantity(after, new_value.kind, bare.get(new_value.kind))
        place = ".".join(str(part) for part in new_value.location)
        named = _named(place, new_value.location, where)
        changes.append(Change(named, line, before, after, new - old, new_value.sd))
        if abs(new - old) > 1e-9:
            edits.append((start, end, after))
    for start, end, after in sorted(edits, reverse=True):
        text = text[:start] + after + text[end:]
    bom = b"\xef\xbb\xbf" if data.startswith(b"\xef\xbb\xbf") else b""
    new_data = bom + text.encode("utf-8")
    read_boat(new_data, source)
    return new_data, tuple(change for change in changes if abs(change.moved) > 1e-9)


def number_text(value: float, kind: str, bare_unit: str | None) -> str:
    """Return a length or an angle as text for a boat file.

    Args:
        value: the length [mm] or the angle [rad].
        kind: `length` or `angle`.
        bare_unit: the unit that the file declares for bare numbers, None where it declares none.

    Returns:
        A bare number in the declared unit, else a number with its unit.
    """
    unit = bare_unit or {"length": "mm", "angle": "deg"}[kind]
    shown = value if unit in ("mm", "rad") else math.degrees(value) if unit == "deg" else in_unit(value, unit, kind)
    text = f"{shown:.{_DECIMALS[unit]}f}".rstrip("0").rstrip(".")
    text = "0" if text in ("-0", "") else text
    return text if bare_unit is not None else f"{text} {unit}"


def _named(place: str, location: Location, spans: dict[Location, tuple[int, int, int, str]]) -> str:
    """Return a location with the id of its post or eye instead of an index."""
    item = spans.get((*location[:2], "id"))
    if item is None:
        return place
    axis = {0: "X", 1: "Y", 2: "Z"}
    parts = [axis[part] if isinstance(part, int) else part for part in location[2:]]
    return ".".join([item[3], *parts])


def positions(text: str) -> dict[Location, tuple[int, int, int, str]]:
    """Return the position of each scalar of a boat file: first and last character, line, and its text.

    Args:
        text: of the boat file.
    """
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
