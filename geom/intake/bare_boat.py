"""A boat file for a new boat: what was measured, and a question for everything else; nothing from another boat."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geom.boat.model import LEVELS
from geom.intake.deck_plan.result import PlanReading
from geom.intake.survey.readings import PostFacts
from geom.intake.survey.result import SurveyResult
from geom.intake.tables.read import deg, mm
from geom.vec import Vec

_HEAD = """\
# A new boat{sources}.
#
# Each line that begins with `#?` is a question. Put the answer in the place of the question mark and take the `#? `
# away; what the boat does not have stays as it is. `toerail check` says what is still missing, with line and key.
"""
# Questions with the lines to fill in, in the order of a boat file. A part that is known takes the place of its own.
_QUESTIONS: tuple[tuple[str, str], ...] = (
    ("axes", "What is Z counted from? X is aft of the stem head, Y to starboard, as measured.\n"
             "axes: {origin: [0, 0, 0], x: aft, y: starboard, z_zero: ?}"),
    ("boat", "What is the boat called, how long is she over all and along the hull, how wide, one hull or more?\n"
             "boat: {name: ?, loa: ?, hull_length: ?, beam: ?, hulls: ?}"),
    ("survey", "Were the figures taken on board (as measured) or from a plan (as designed)?\nsurvey: ?"),
    ("revision", "Which issue of this file is it, of what date, by whom?\n"
                 "revision: {mark: A, date: ?, by: ?, note: first issue}"),
    ("deck_edge", "Where is the edge of the working deck, from forward to aft, as [X, Y, Z]?\n"
                  "deck_edge:\n  starboard:\n    - [?, ?, ?]\n    - [?, ?, ?]\n"
                  "  port:\n    - [?, ?, ?]\n    - [?, ?, ?]"),
    ("tubes", "What tube are the stanchions made of, and what does its certificate say?\n"
              "tubes:\n  ?: {od: ?, wall: ?, grade: ?}"),
    ("bases", "What do the stanchions stand on?\nbases: {}"),
    ("posts", "Which stanchions are there, and where do they stand?\nposts:\n  - {id: S-S1}"),
    ("eyes", "Where on the rails do the lines begin and end?\neyes:\n  - {id: S-PULPIT-U, on: pulpit, at: [?, ?, ?]}"),
    ("lines", "What is each guard line made of, and what does its certificate say?\n"
              "lines:\n  ?: {construction: ?, material: ?, diameter: ?}"),
    ("ends", "What ends does it get?\nends:\n  ?: {family: ?}"),
    ("fittings", "What is between line and rail?\nfittings:\n  ?: {family: ?}"),
    ("runs", "Which lines run from where through which stanchions to where?\n"
             "runs:\n  - id: S-F-U\n    line: ?\n    start: {eye: ?, end: ?}\n    through: [?]\n"
             "    finish: {eye: ?, end: ?}"),
    ("tapes", "What did a tape measure between two holes or eyes, as a check?\n"
              "tapes:\n  - {start: ?, end: ?, length: ?}"),
)  # fmt: skip
# Questions of a post, by its key.
_OF_POST = {
    "foot": "foot: [?, ?, ?]  # where the axis of the tube meets the deck",
    "lean": "lean: ?          # outboard + [deg]",
    "rake": "rake: ?          # aft + [deg]",
    "deck_falls": "deck_falls: {aft: ?, outboard: ?}  # slope of the deck at the foot [deg]",
    "tube": "tube: ?          # a name from `tubes`",
    "top": "top: ?           # length of the tube from the foot, along it",
}


# The id of an eye: side, rail, level.
_EYE = re.compile(rf"[PS]-[A-Z0-9]+-(?:{'|'.join(LEVELS)})")


@dataclass(frozen=True)
class BareBoat:
    """What is known of a new boat: parts as a plain tree with quantities as text, and where they came from."""

    parts: dict[str, Any]
    sources: tuple[str, ...] = ()

    def text(self) -> str:
        """Return the boat file with its questions."""
        return "\n".join(self._lines()) + "\n"

    def _lines(self) -> Iterator[str]:
        read_from = f", read from {', '.join(self.sources)}" if self.sources else ""
        yield from _HEAD.format(sources=read_from).splitlines()
        yield ""
        yield "format: 2"
        yield ""
        yield "# The unit of a number that states none."
        yield "units: {length: mm, angle: deg}"
        for key, question in _QUESTIONS:
            words, *lines = question.split("\n")
            yield ""
            part = self.parts.get(key)
            if part is None:
                yield f"# {words}"
                yield from (f"#? {line}" for line in lines)
            elif key == "posts":
                yield "posts:"
                for post in part:
                    yield from _post_lines(post)
            else:
                yield from _part_lines(key, part)


def of_survey(result: SurveyResult) -> BareBoat:
    """Return a new boat of a solved survey; what the survey withholds is a question."""
    survey = result.survey
    held = result.withheld
    posts = []
    for post in result.posts:
        entry: dict[str, Any] = {"id": post.id}
        if post.foot not in held:
            entry["foot"] = _at(result.point(post.foot).at)
        if f"lean and rake of {post.id}" not in held:
            entry |= {"lean": _degrees(post.lean), "rake": _degrees(post.rake)}
        facts = survey.facts.get(post.id, PostFacts())
        if facts.falls_aft is not None and facts.falls_outboard is not None:
            entry["deck_falls"] = {"aft": _degrees(facts.falls_aft), "outboard": _degrees(facts.falls_outboard)}
        if facts.top is not None:
            entry["top"] = _mm(facts.top)
        entry["holes"] = {
            level: {
                "along": None if hole.name in held else mm(round(hole.along, 1)),
                "as_found": {"diameter": None if size is None else mm(round(size, 3))},
            }
            for hole in reversed(post.holes)
            for level in (hole.name.removeprefix(f"{post.id}-"),)
            for size in (facts.diameters.get(level),)  # type: ignore[call-overload]
        }
        posts.append(entry)
    eyes = [
        {"id": point.name, "on": _rail(point.name), "at": None if point.name in held else _at(point.at)}
        for point in result.points
        if _EYE.fullmatch(point.name) and not result.network.is_hole(point.name)
    ]
    parts: dict[str, Any] = {
        "boat": {"name": survey.boat, "loa": None, "hull_length": None, "beam": None, "hulls": None},
        "survey": "as measured",
        "revision": {"mark": "A", "date": survey.date, "by": survey.by, "note": "first issue"},
        "posts": posts,
        "eyes": eyes,
    }
    return BareBoat(parts, (Path(survey.source).name,))


def of_tables(parts: dict[str, Any], sources: tuple[str, ...]) -> BareBoat:
    """Return a new boat of spreadsheet tables.

    Args:
        parts: of a boat file, as read from the tables, in boat axes.
        sources: names of the files.
    """
    return BareBoat(parts, sources)


def of_plan(plan: PlanReading) -> BareBoat:
    """Return a new boat of a deck plan; heights that it does not show are questions."""
    posts: list[dict[str, Any]] = []
    eyes: list[dict[str, Any]] = []
    for point in plan.points:
        at = [_mm(point.x), _mm(point.y), None if point.z is None else _mm(point.z)]
        if point.kind == "eye":
            eyes.append({"id": point.id, "on": _rail(point.id), "at": at})
            continue
        attitude = {"lean": point.lean, "rake": point.rake}
        known = {way: _degrees(value) for way, value in attitude.items() if value is not None}
        posts.append({"id": point.id, "foot": at, **known})
    edges: dict[str, list[list[str | None]]] = {}
    for edge in plan.edges:
        word = "starboard" if edge.side == "S" else "port"
        edges[word] = [[_mm(x), _mm(y), None if z is None else _mm(z)] for x, y, z in edge.points]
    parts = {"survey": "as designed", "deck_edge": edges, "posts": posts, "eyes": eyes}
    return BareBoat({key: part for key, part in parts.items() if part}, (plan.source,))


def _mm(value: float) -> str:
    return mm(round(value, 1))


def _at(at: Vec) -> list[str]:
    return [_mm(value) for value in at]


def _degrees(angle: float) -> str:
    return deg(math.radians(round(math.degrees(angle), 2)))


def _rail(eye: str) -> str | None:
    """Return the rail that an eye's id names, None where it is left as a question."""
    word = eye.split("-")[1].lower()
    return word if word in ("pulpit", "pushpit") else None


def _post_lines(post: dict[str, Any]) -> Iterator[str]:
    yield f"  - id: {post['id']}"
    known = {key: value for key, value in post.items() if key not in ("id", "holes") and value is not None}
    for key in dict.fromkeys((*_OF_POST, *known)):
        if key in known:
            open_value = "?" in _flow(known[key])
            yield f"{_lead(open_value)}    {key}: {_flow(known[key])}"
        else:
            yield f"#?     {_OF_POST[key]}"
    if not post.get("holes"):
        yield "#?     holes: {U: {along: ?, as_found: {diameter: ?}}}  # from the foot along the tube, or planned"
        return
    yield "    holes:"
    for level, hole in post["holes"].items():
        if hole is None:
            continue
        entry = hole if "as_found" in hole or "planned" in hole else {**hole, "as_found": {"diameter": None}}
        text = _flow(entry)
        yield f"{_lead('?' in text)}      {level}: {text}"


def _lead(open_value: bool) -> str:
    return "#? " if open_value else ""


def _part_lines(key: str, part: Any) -> Iterator[str]:
    if isinstance(part, list):
        yield f"{key}:"
        for entry in part:
            text = _flow(entry)
            yield f"{_lead('?' in text)}  - {text}"
    elif isinstance(part, dict) and any(isinstance(value, list) for value in part.values()):
        yield f"{key}:"
        for name, entries in part.items():
            yield f"  {name}:"
            for entry in entries:
                text = _flow(entry)
                yield f"{_lead('?' in text)}    - {text}"
    else:
        text = _flow(part)
        yield f"{_lead('?' in text)}{key}: {text}"


def _flow(value: Any) -> str:
    """Return a value on one line as YAML writes it, in the units of the file, with a question mark for None."""
    if value is None:
        return "?"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_flow, value)) + "]"
    text = str(value)
    number = re.fullmatch(r"(-?[0-9.]+) (?:mm|deg)", text)
    if number is not None:
        return number.group(1)
    return text if re.fullmatch(r"[A-Za-z][A-Za-z0-9 ._-]*|[0-9-]+", text) else json.dumps(text, ensure_ascii=False)
