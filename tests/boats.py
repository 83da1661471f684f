"""The demonstration boats, worked out once for all tests, and their independently computed tables."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from geom.boat.file import read_boat
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
def without_tensions(name: str) -> Refit:
    """Return a boat without the set tensions that its file states."""
    text = (BOATS / f"{name}.yaml").read_text("utf-8")
    return refit(
        read_boat(re.sub(r"^ +set_tension: .*\n", "", text, flags=re.MULTILINE).encode(), f"{name}, no tensions")
    )


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


def turned(name: str, origin: tuple[str, str, str], x: str, y: str) -> bytes:
    """Return the file of a demonstration boat written in other axes, its numbers exact."""
    data = yaml.load((BOATS / f"{name}.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    assert data["axes"]["origin"] == ["0", "0", "0"]
    data["axes"] |= {"origin": list(origin), "x": x, "y": y}
    zero = [Decimal(one) for one in origin]
    signs = (1 if x == "aft" else -1, 1 if y == "starboard" else -1, 1)

    def station(text: str, axis: int = 0) -> str:
        return str(signs[axis] * (Decimal(text) - zero[axis]))

    def walk(node: Any, key: str = "") -> Any:
        if key == "axes":
            return node
        if key == "mast_x":
            return station(node)
        if isinstance(node, dict):
            return {inner: walk(value, inner) for inner, value in node.items()}
        if isinstance(node, list) and key in ("foot", "at", "point"):
            return [station(text, axis) for axis, text in enumerate(node)]
        if isinstance(node, list):
            inner = "point" if key in ("starboard", "port", "points") else ""
            return [walk(value, inner) for value in node]
        return node

    return yaml.dump(walk(data), sort_keys=False, default_style=None).encode("utf-8")
