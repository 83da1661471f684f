"""The marks of a run as a strip: bow at left, counted from the end made first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from geom.page.value import Value

# Width of the narrowest strip and of a letter on it [px].
_WIDTH, _LETTER = 290.0, 7.5
_SHOWN = ("bears", "hole")


@dataclass(frozen=True)
class Tick:
    """One mark: its place along the strip [per cent], its row of lettering and to which side its words go on."""

    station: Value
    at: float
    row: int
    anchor: Literal["start", "middle", "end"]


@dataclass(frozen=True)
class Bar:
    """The stretch of one bury along the strip [per cent]."""

    start: float
    width: float


@dataclass(frozen=True)
class Strip:
    """The marks of one run with figures, its buries, the number of rows, and whether zero is at the right."""

    ticks: tuple[Tick, ...]
    bars: tuple[Bar, ...]
    rows: int
    zero: float


def strip(run: Value) -> Strip:
    """Return the strip of a run from its values in check.json.

    Args:
        run: a run that is not on hold.
    """
    stations = list(run.work.stations)
    whole = max(one.raw["at_mm"] for one in stations)
    taken: list[float] = []
    ticks = []
    for one in stations:
        if one.raw["mark"] not in _SHOWN:
            continue
        at = 100.0 * one.raw["at_mm"] / whole
        anchor: Literal["start", "middle", "end"] = "start" if at < 8.0 else "end" if at > 92.0 else "middle"
        width = _LETTER * max(len(one.raw["place"]), 8)
        left = at * _WIDTH / 100.0 - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * width
        row = next((row for row, right in enumerate(taken) if right + 6.0 <= left), len(taken))
        taken[row:row + 1] = [left + width]  # fmt: skip
        ticks.append(Tick(one, round(at, 2), row, anchor))
    first = next(one for one in stations if one.raw["from_end_made_first_mm"] == 0.0)
    return Strip(tuple(ticks), _bars(stations, whole), len(taken), 100.0 * first.raw["at_mm"] / whole)


def _bars(stations: list[Value], whole: float) -> tuple[Bar, ...]:
    """Return the stretch between throat and end of each bury."""
    bars = []
    for throat in (one.raw for one in stations if one.raw["mark"] == "throat"):
        ends = [one.raw for one in stations if (one.raw["mark"], one.raw["place"]) == ("bury ends", throat["place"])]
        for end in ends[:1]:
            low, high = sorted((throat["at_mm"], end["at_mm"]))
            bars.append(Bar(round(100.0 * low / whole, 2), round(100.0 * (high - low) / whole, 2)))
    return tuple(bars)
