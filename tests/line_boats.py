"""Line work of the demonstration boats, and boats made from them with one thing changed."""

from __future__ import annotations

from functools import cache
from typing import Any

from geom.boat.model import Boat
from geom.refit import place
from geom.rigging.work import LineWork, line_work
from tests.boats import refit_of


@cache
def work_of(name: str) -> LineWork:
    return line_work(refit_of(name).placed)


def boat_of(name: str) -> Boat:
    return refit_of(name).boat


def with_line(boat: Boat, word: str, **changes: Any) -> Boat:
    return boat.model_copy(update={"lines": {**boat.lines, word: boat.lines[word].model_copy(update=changes)}})


def with_end(boat: Boat, word: str, **changes: Any) -> Boat:
    return boat.model_copy(update={"ends": {**boat.ends, word: boat.ends[word].model_copy(update=changes)}})


def with_fitting(boat: Boat, word: str, **changes: Any) -> Boat:
    return boat.model_copy(update={"fittings": {**boat.fittings, word: boat.fittings[word].model_copy(update=changes)}})


def with_run(boat: Boat, run_id: str, **changes: Any) -> Boat:
    runs = tuple(run.model_copy(update=changes) if run.id == run_id else run for run in boat.runs)
    return boat.model_copy(update={"runs": runs})


def worked(boat: Boat) -> LineWork:
    return line_work(place(boat))


def codes(work: LineWork, run: str, kind: str) -> set[str]:
    return {remark.code for remark in work.runs[run].remarks if remark.kind == kind}
