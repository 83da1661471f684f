"""The demonstration boats, worked out once for all tests, and their independently computed tables."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from geom.export import check_report
from geom.refit import Refit, read_refit, refit

ROOT = Path(__file__).parent.parent
BOATS = ROOT / "templates" / "boats"
NAMES = ("saltwhin-31", "pipwing-25", "first-try")


@cache
def refit_of(name: str) -> Refit:
    return read_refit(str(BOATS / f"{name}.yaml"))


@cache
def boat_of_all_families() -> Refit:
    """Return a boat on which every family of ends, fittings and other parts stands once at least."""
    return read_refit(str(ROOT / "tests" / "fixtures" / "all-families.yaml"))


@cache
def report_of(name: str) -> dict[str, Any]:
    return check_report(refit_of(name))


@cache
def expected(name: str) -> dict[str, Any]:
    """Return the table of a boat, computed twice by hand scripts written apart from this program."""
    return json.loads((ROOT / "tests" / "expected" / f"{name}.json").read_text("utf-8"))


def by_id(rows: Any) -> dict[str, Any]:
    return {row["id"]: row for row in rows}


def drawn(name: str, projection: str | None, series: str = "ISO"):
    """Return a demonstration boat with another projection and paper series in its file."""
    worked_out = refit_of(name)
    stated = worked_out.boat.drawing.model_copy(update={"projection": projection, "sheets": series})
    return refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"drawing": stated})))
