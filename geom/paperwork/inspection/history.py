"""Readings of a boat over the years: the last of each, how far lines stretched, how stanchions settled.

A line stretches by what its adjusters are shorter than when it was made. Source: geometry.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from geom.intake.as_built import AsBuilt, PostReading
from geom.paperwork.handover.checks import made_runs
from geom.refit import Refit
from geom.units import Mm, N, Rad


@dataclass(frozen=True)
class LastSetting:
    """The last length of an adjuster of a run [mm], and its day; as planned and None where it was never read."""

    run: str
    name: str
    length: Mm
    day: str | None


@dataclass(frozen=True)
class LastTension:
    """The last tension of a run [N], and its day; the set tension and None where it was never read."""

    run: str
    tension: N
    day: str | None


@dataclass(frozen=True)
class LastAttitude:
    """The last lean and rake of a stanchion [rad], and the day; as surveyed and None where not read since."""

    post: str
    lean: Rad
    rake: Rad
    day: str | None


@dataclass(frozen=True)
class Reading:
    """One value of a trend on a day: stretch [mm] or lean [deg]."""

    day: str
    value: float


@dataclass(frozen=True)
class Trend:
    """How a line stretched [mm] or a stanchion settled [deg] from the first reading on."""

    name: str
    kind: Literal["stretch", "lean"]
    readings: tuple[Reading, ...]

    @property
    def change(self) -> float:
        """The last value less the first [mm or deg]."""
        return self.readings[-1].value - self.readings[0].value


def last_day(record: AsBuilt | None) -> str | None:
    """Return the day of the last inspection, else of the making; None without a record."""
    return None if record is None else max((record.as_built.date, *(season.date for season in record.seasons)))


def last_settings(refit: Refit, record: AsBuilt | None) -> Iterator[LastSetting]:
    """Yield the last length of each adjuster of the lines that are not on hold."""
    for run in made_runs(refit):
        cards = refit.work.runs[run.id].settings
        for card in cards:
            twice = sum(other.fitting == card.fitting for other in cards) > 1
            name = f"{card.fitting} {card.end}" if twice else card.fitting
            read = [(day, found[name]) for day, found in _settings(record, run.id) if name in found]
            day, length = max(read) if read else (None, card.planned)
            yield LastSetting(run.id, name, length, day)


def _settings(record: AsBuilt | None, run: str) -> Iterator[tuple[str, dict[str, float]]]:
    """Yield the day and the adjusters of each reading of a run, the making first."""
    if record is None:
        return
    entry = record.runs.get(run)
    if entry is not None and entry.settings:
        yield entry.date or record.as_built.date, entry.settings
    for season in record.seasons:
        if run in season.runs and season.runs[run].settings:
            yield season.date, season.runs[run].settings


def last_tensions(refit: Refit, record: AsBuilt | None) -> Iterator[LastTension]:
    """Yield the last tension of each line that is not on hold, as it was left."""
    for run in made_runs(refit):
        read: list[tuple[str, float]] = []
        if record is not None:
            entry = record.runs.get(run.id)
            if entry is not None and entry.tension is not None:
                read.append((entry.date or record.as_built.date, entry.tension))
            read += [(one.date, one.left) for one in record.retension if one.run == run.id and one.left is not None]
            for season in record.seasons:
                found = season.runs.get(run.id)
                if found is not None and found.tension is not None:
                    read.append((season.date, found.tension))
        day, tension = max(read) if read else (None, refit.work.tensions[run.id].set_tension)
        yield LastTension(run.id, tension, day)


def last_attitudes(refit: Refit, record: AsBuilt | None) -> Iterator[LastAttitude]:
    """Yield the last lean and rake of each stanchion."""
    for post in refit.boat.posts:
        lean, rake = post.lean, post.rake
        day: str | None = None
        for when, found in _attitudes(record, post.id):
            lean = lean if found.lean is None else found.lean
            rake = rake if found.rake is None else found.rake
            day = when
        yield LastAttitude(post.id, lean, rake, day)


def _attitudes(record: AsBuilt | None, post: str) -> Iterator[tuple[str, PostReading]]:
    """Yield the day and the attitude of each reading of a stanchion, in the order of the days."""
    if record is None:
        return
    read = [(record.as_built.date, record.posts[post])] if post in record.posts else []
    read += [(season.date, season.posts[post]) for season in record.seasons if post in season.posts]
    yield from sorted(read, key=lambda one: one[0])


def trends(refit: Refit, record: AsBuilt | None) -> tuple[Trend, ...]:
    """Return the trends of lines and stanchions that were read at least twice."""
    found = (*_stretches(refit, record), *_leans(refit, record))
    return tuple(trend for trend in found if len(trend.readings) > 1)


def _stretches(refit: Refit, record: AsBuilt | None) -> Iterator[Trend]:
    for run in made_runs(refit):
        read = sorted(_settings(record, run.id), key=lambda one: one[0])
        if not read:
            continue
        _, first = read[0]
        # What was read each time: an adjuster that was left out once says nothing of the line.
        names = [name for name in first if all(name in found for _, found in read)]
        if names:
            readings = (Reading(day, math.fsum(first[name] - found[name] for name in names)) for day, found in read)
            yield Trend(run.id, "stretch", tuple(readings))


def _leans(refit: Refit, record: AsBuilt | None) -> Iterator[Trend]:
    for post in refit.boat.posts:
        read = [(day, found.lean) for day, found in _attitudes(record, post.id) if found.lean is not None]
        if record is not None and post.id not in record.posts and read:
            # As surveyed: the first reading where none was taken at the handover.
            read = [(refit.boat.revision.date, post.lean), *read]
        yield Trend(post.id, "lean", tuple(Reading(day, math.degrees(lean)) for day, lean in sorted(read)))
