"""Reading a survey file: the survey, or every fault of the file with its key and line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Literal

from pydantic import ValidationError

from geom.boat.faults import LocatedFault, closest, model_faults, to_faults
from geom.boat.model import LEVELS, Level, Units
from geom.boat.quantity import Reading
from geom.boat.tree import MAX_BYTES, Tree, read_tree
from geom.errors import Fault, InputError
from geom.intake.survey import readings
from geom.intake.survey.closure import foot_name
from geom.intake.survey.model import SurveyFile
from geom.intake.survey.readings import PostFacts
from geom.intake.survey.short import Entry, Names, ShortForm, entries_of
from geom.intake.survey.short_table import read_entries

_SIDES: dict[str, readings.Where] = {"starboard": "S", "port": "P", "centreline": "centreline"}


def load_survey(path: Path, table: Path | None = None) -> readings.Survey:
    """Read a survey file.

    Args:
        path: the file.
        table: a CSV file or workbook of more readings in the short form: a row for each post or rail.

    Raises:
        InputError: the file cannot be read or used; the error lists every fault.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        raise InputError(str(path), [Fault(f"cannot be read: {error.strerror}")]) from None
    return read_survey(data, str(path), () if table is None else read_entries(table))


def read_survey(data: bytes, source: str, more: Sequence[Entry] = ()) -> readings.Survey:
    """Read the bytes of a survey file.

    Args:
        data: the file's bytes.
        source: the file's name, for messages.
        more: readings in the short form from elsewhere.

    Raises:
        InputError: the file cannot be used; the error lists every fault.
    """
    tree = read_tree(data, source)
    units = _validated(Units, tree.root.get("units") or {}, tree, Reading({}), source, ("units",))
    bare = {kind: unit for kind, unit in (("length", units.length), ("angle", units.angle)) if unit is not None}
    entries: SurveyFile = _validated(SurveyFile, tree.root, tree, Reading(bare), source, ())
    return _Build(entries, tree, source, bare, more).survey()


def _validated(model: Any, node: Any, tree: Tree, reading: Reading, source: str, place: tuple[str, ...]) -> Any:
    try:
        return model.model_validate(node, context=reading)
    except ValidationError as error:
        faults = model_faults(error.errors(include_url=False), SurveyFile, place)
        raise InputError(source, to_faults(tree, faults)) from None


class _Build:
    """Builds points, posts and readings from validated entries and collects inconsistencies."""

    def __init__(self, spec: SurveyFile, tree: Tree, source: str, bare: dict[str, str], more: Sequence[Entry]) -> None:
        self.spec = spec
        self.tree = tree
        self.source = source
        self.bare = bare
        self.more = more
        self.faults: list[LocatedFault] = []

    def survey(self) -> readings.Survey:
        """Return the survey.

        Raises:
            InputError: entries that are inconsistent.
        """
        points = self._points()
        self.where = {point.name: point.where for point in points}
        taken = (*self._tapes(), *self._squares("offsets"), *self._squares("stations"), *self._levels(), *self._leans())
        short, facts, refused = self._short()
        taken = (*taken, *short)
        angled = any(isinstance(one, readings.LevelReading | readings.LeanReading) for one in taken)
        if angled and self.spec.attitude is None:
            valid = "attitude: {heel: 0 deg, trim: 0 deg} as the boat lay"
            self.faults.append(LocatedFault((), "levels and leans need the key 'attitude'", valid=valid))
        self._names()
        if self.faults or refused:
            raise InputError(self.source, [*to_faults(self.tree, self.faults), *refused])
        attitude = self.spec.attitude
        return readings.Survey(
            source=self.source,
            points=points,
            posts=tuple(
                readings.SurveyPost(post, foot_name(post), tuple(f"{post}-{level}" for level in _upwards(levels)))
                for post, levels in self.spec.posts.items()
            ),
            readings=taken,
            attitude=readings.Attitude() if attitude is None else readings.Attitude(attitude.heel, attitude.trim),
            boat=self.spec.survey.boat,
            date=str(self.spec.survey.date),
            by=self.spec.survey.by,
            facts=facts,
        )

    def _points(self) -> tuple[readings.SurveyPoint, ...]:
        points = []
        for name, entry in self.spec.points.items():
            y = 0.0 if entry.side == "centreline" and entry.y is None else entry.y
            points.append(
                readings.SurveyPoint(
                    name,
                    _SIDES[entry.side],
                    (entry.x, y, entry.z),
                    entry.near,
                    self.tree.line(("points", name)),
                )
            )
        for post, levels in self.spec.posts.items():
            line = self.tree.line(("posts", post))
            for name in (foot_name(post), *(f"{post}-{level}" for level in _upwards(levels))):
                points.append(readings.SurveyPoint(name, _side(post), line=line))
        for index, eye in enumerate(self.spec.eyes):
            points.append(readings.SurveyPoint(eye, _side(eye), line=self.tree.line(("eyes", index))))
        return tuple(points)

    def _names(self) -> None:
        lists = [(("points", name), name) for name in self.spec.points]
        lists += [(("eyes", index), eye) for index, eye in enumerate(self.spec.eyes)]  # type: ignore[misc]
        seen = {name for post, levels in self.spec.posts.items() for name in self._of_post(post, levels)}
        for place, name in lists:
            if name in seen:
                self.faults.append(LocatedFault(place, "two points with one name", name))
            seen.add(name)

    @staticmethod
    def _of_post(post: str, levels: tuple[Level, ...]) -> tuple[str, ...]:
        return (foot_name(post), *(f"{post}-{level}" for level in levels))

    def _known(self, name: str, place: tuple[str | int, ...]) -> bool:
        if name not in self.where:
            self.faults.append(LocatedFault(place, "no such point", name, closest(name, self.where)))
        return name in self.where

    def _sigma(self, own: float | None, usual: float | None, place: tuple[str | int, ...], kind: str) -> float:
        if own is None and usual is None:
            valid = f"`sd` here, or uncertainty: {{{kind}: ...}} for all"
            self.faults.append(LocatedFault(place, "a reading without uncertainty", valid=valid))
        return own or usual or 1.0

    def _text(self, place: tuple[str | int, ...], key: str, position: int) -> str:
        node = self.tree.at(place)
        value = node.get(key) if isinstance(node, dict) else node[position]
        return str(value)

    def _tapes(self) -> list[readings.Reading]:
        collected: list[readings.Reading] = []
        for index, tape in enumerate(self.spec.tapes):
            place = ("tapes", index)
            sigma = self._sigma(tape.sd, self.spec.uncertainty.tape, place, "tape")
            # Both names are checked, so that two unknown names give two faults.
            known = [self._known(name, place) for name in (tape.start, tape.end)]
            if all(known):
                text = self._text(place, "length", 2) if tape.add is None else ""
                collected.append(
                    readings.TapeReading(
                        tape.start, tape.end, tape.length + (tape.add or 0.0), sigma, text, self.tree.line(place)
                    )
                )
        return collected

    def _squares(self, key: Literal["offsets", "stations"]) -> list[readings.Reading]:
        collected: list[readings.Reading] = []
        for index, entry in enumerate(getattr(self.spec, key)):
            place = (key, index)
            sigma = self._sigma(entry.sd, self.spec.uncertainty.square, place, "square")
            if not self._known(entry.point, place):
                continue
            way: Literal["x", "y"] = "x" if key == "stations" else "y"
            sign = -1.0 if way == "y" and self.where[entry.point] == "P" else 1.0
            if way == "y" and self.where[entry.point] == "centreline":
                self.faults.append(LocatedFault(place, "an offset of a point on the centreline", entry.point))
            collected.append(
                readings.SquareReading(
                    entry.point,
                    way,
                    sign * entry.distance,
                    sigma,
                    self._text(place, "distance", 1),
                    self.tree.line(place),
                    sign,
                )
            )
        return collected

    def _levels(self) -> list[readings.Reading]:
        collected: list[readings.Reading] = []
        for index, entry in enumerate(self.spec.levels):
            sigma = self._sigma(entry.sd, self.spec.uncertainty.level, ("levels", index), "level")
            for point, value in entry.at.items():
                place = ("levels", index, "at", point)
                if self._known(point, place):
                    sign = 1.0 if entry.read == "above" else -1.0
                    text = str(self.tree.at(place))
                    line = self.tree.line(place)
                    collected.append(readings.LevelReading(entry.line, point, sign * value, sigma, text, line, sign))
        return collected

    def _leans(self) -> list[readings.Reading]:
        collected: list[readings.Reading] = []
        for post, entry in self.spec.leans.items():
            sigma = self._sigma(entry.sd, self.spec.uncertainty.lean, ("leans", post), "lean")
            if post not in self.spec.posts:
                self.faults.append(LocatedFault(("leans", post), "no such post", post, closest(post, self.spec.posts)))
                continue
            for way, value in (("lean", entry.lean), ("rake", entry.rake)):
                if value is not None:
                    place = ("leans", post, way)
                    text, line = str(self.tree.at(place)), self.tree.line(place)
                    collected.append(readings.LeanReading(post, way, value, sigma, text, line))  # type: ignore[arg-type]
        return collected

    def _short(self) -> tuple[list[readings.Reading], dict[str, PostFacts], list[Fault]]:
        """Return the readings in the short form, what they say of the posts beside, and their faults."""
        entries: list[Entry] = list(self.more)
        faults: list[Fault] = []
        sides: tuple[tuple[Literal["starboard", "port"], Literal["S", "P"]], ...] = (("starboard", "S"), ("port", "P"))
        for word, side in sides:
            line = self.tree.line(("short", word))
            found, wrong = entries_of(getattr(self.spec.short, word), side, None if line is None else line + 1)
            entries += found
            faults += wrong
        staff = self.spec.levels[0] if len(self.spec.levels) == 1 else None
        names = Names(
            marks=tuple(self.spec.points),
            posts=self.spec.posts,
            eyes=self.spec.eyes,
            staff_line=None if staff is None else staff.line,
            sign=1.0 if staff is not None and staff.read == "above" else -1.0,
        )
        usual = self.spec.uncertainty
        sigmas = {"tape": usual.tape, "square": usual.square, "level": usual.level, "lean": usual.lean}
        form = ShortForm(names, self.bare, sigmas)
        taken = list(form.readings(entries))
        return taken, form.facts, [*faults, *form.faults]


def _upwards(levels: tuple[Level, ...]) -> list[Level]:
    return [level for level in reversed(LEVELS) if level in levels]


def _side(name: str) -> readings.Where:
    return "P" if name.startswith("P") else "S"
