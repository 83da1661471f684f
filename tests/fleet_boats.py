"""Synthetic boat files of a fleet: the starter boats in turn, each with its number in its name and a foot moved."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

STARTERS = sorted((Path(__file__).parent.parent / "templates" / "boats").glob("*.yaml"))
BROKEN = "format: 2\nboat: {name: BROKEN\n"


@cache
def _text(place: int) -> str:
    return STARTERS[place % len(STARTERS)].read_text("utf-8")


def fleet_text(number: int) -> str:
    """Return the text of boat file `number`, from 1: a boat like no other of the fleet."""
    text = re.sub(r"\bname: ([^,}#\n]*[^,}#\n ])", rf"name: \g<1> NO {number}", _text(number), count=1)
    moved = number % 50 / 500
    return re.sub(r"(foot: \[\s*)([\d.]+)", lambda found: f"{found[1]}{float(found[2]) + moved:.3f}", text, count=1)


def write_fleet(folder: Path, count: int, broken_every: int = 0) -> None:
    """Write a fleet of boat files, every so many of them broken.

    Args:
        folder: of the files, made here.
        count: of files.
        broken_every: 100 breaks one in a hundred; 0 breaks none.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(1, count + 1):
        is_broken = broken_every and number % broken_every == 0
        (folder / f"boat-{number:05}.yaml").write_text(BROKEN if is_broken else fleet_text(number), "utf-8")
