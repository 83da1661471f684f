"""The survey file's grammar: what is measured on deck, and nothing derived."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field

from geom.boat.forms import Date, EyeId, FirstFormat, Name, PostId, ShortName
from geom.boat.model import Level, Model, Units
from geom.boat.quantity import Angle, Length, Point


def _short(*keys: str) -> BeforeValidator:
    """Return a validator that accepts an entry as a list of its values in the order of the keys."""

    def spread(value: Any) -> Any:
        return dict(zip(keys, value, strict=False)) if isinstance(value, list) and len(value) <= len(keys) else value

    return BeforeValidator(spread)


class Head(Model):
    """The boat surveyed, the date and the surveyor."""

    boat: Name
    date: Date
    by: Name
    note: Name | None = None


class Uncertainty(Model):
    """The standard deviation of a reading of each kind, where an entry does not state its own."""

    tape: Length | None = Field(default=None, gt=0)
    square: Length | None = Field(default=None, gt=0)
    level: Length | None = Field(default=None, gt=0)
    lean: Angle | None = Field(default=None, gt=0)


class AttitudeEntry(Model):
    """Attitude of the boat: heel to starboard +, trim by the stern +."""

    heel: Angle
    trim: Angle


class PointEntry(Model):
    """A point other than posts and eyes: its side, the coordinates held fixed, an approximate position."""

    side: Literal["starboard", "port", "centreline"]
    x: Length | None = None
    y: Length | None = None
    z: Length | None = None
    near: Point | None = None


class TapeEntry(Model):
    """A tape between two points; `add` is added to the reading, such as half a tube's diameter."""

    start: ShortName
    end: ShortName
    length: Length = Field(gt=0)
    sd: Length | None = Field(default=None, gt=0)
    add: Length | None = None


class SquareEntry(Model):
    """A distance square to an axis: out from the centreline, or aft of the stem."""

    point: ShortName
    distance: Length
    sd: Length | None = Field(default=None, gt=0)


class LevelEntry(Model):
    """One set-up of the level: readings above or below its line, by point; those of the short form may be all."""

    line: ShortName
    read: Literal["above", "below"]
    sd: Length | None = Field(default=None, gt=0)
    at: dict[ShortName, Length] = Field(default={})


class LeanEntry(Model):
    """A tube's attitude by digital level: lean outboard +, rake aft +."""

    lean: Angle | None = None
    rake: Angle | None = None
    sd: Angle | None = Field(default=None, gt=0)


class ShortEntry(Model):
    """Readings in the short form, a line for each post or rail of a side."""

    starboard: str = Field(default="", max_length=20_000)
    port: str = Field(default="", max_length=20_000)


class SurveyFile(Model):
    """A whole survey file, validated but not yet solved."""

    EXAMPLES: ClassVar[Mapping[str, str]] = {"survey": "survey: {boat: OUR BOAT, date: 2026-03-01, by: rigger}"}

    format: FirstFormat
    units: Units = Units()
    survey: Head
    uncertainty: Uncertainty = Uncertainty()
    attitude: AttitudeEntry | None = None
    points: dict[ShortName, PointEntry] = Field(min_length=1, max_length=200)
    posts: dict[PostId, tuple[Level, ...]] = Field(default={}, max_length=80)
    eyes: tuple[EyeId, ...] = Field(default=(), max_length=60)
    tapes: tuple[Annotated[TapeEntry, _short("start", "end", "length", "sd")], ...] = Field(default=(), max_length=2000)
    offsets: tuple[Annotated[SquareEntry, _short("point", "distance", "sd")], ...] = Field(default=(), max_length=400)
    stations: tuple[Annotated[SquareEntry, _short("point", "distance", "sd")], ...] = Field(default=(), max_length=400)
    levels: tuple[LevelEntry, ...] = Field(default=(), max_length=50)
    leans: dict[PostId, LeanEntry] = Field(default={}, max_length=80)
    short: ShortEntry = ShortEntry()
