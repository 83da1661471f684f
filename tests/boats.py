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
def mirrored() -> Refit:
    """Return a boat with one line, surveyed to starboard, with stanchions that are too high and eyes too short."""
    return read_refit(str(ROOT / "tests" / "fixtures" / "mirrored-24.yaml"))


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
    """Return the table of a boat, computed twice by scripts written independently of this program."""
    return json.loads((ROOT / "tests" / "expected" / f"{name}.json").read_text("utf-8"))


def by_id(rows: Any) -> dict[str, Any]:
    return {row["id"]: row for row in rows}


def drawn(name: str, projection: str | None, series: str = "ISO"):
    """Return a demonstration boat with another projection and paper series in its file."""
    worked_out = refit_of(name)
    stated = worked_out.boat.drawing.model_copy(update={"projection": projection, "sheets": series})
    return refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"drawing": stated})))


# Keys whose values are lists of points.
_POINTS = ("starboard", "port", "starboard_inner", "port_inner", "bow", "stern", "points", "corners")


def in_own_units(name: str) -> bytes:
    """Return the file of a demonstration boat declared in metres and radians, each of its values with its own unit."""
    return text_in_own_units((BOATS / f"{name}.yaml").read_text("utf-8"))


def text_in_own_units(text: str) -> bytes:
    """Return the text of a boat file declared in metres or feet and radians, each of its values with its own unit.

    Which values are lengths and angles is read from the published schema of boat files.
    """
    schema = json.loads((BOATS.parent / "boat.schema.json").read_text("utf-8"))
    data = yaml.load(text, Loader=yaml.BaseLoader)
    declared = data["units"]

    def with_unit(text: str, kind: str) -> str:
        bare = re.fullmatch(r"[-+]?[\d./ ]+", text)
        return f"{text} {declared[kind]}" if bare and kind in declared else text

    def walk(node: Any, shape: dict[str, Any]) -> Any:
        while "$ref" in shape:
            shape = schema["$defs"][shape["$ref"].rpartition("/")[2]]
        kind = shape.get("description", "").partition(":")[0]
        if isinstance(node, str):
            inner = (one.get("description", "").partition(":")[0] for one in shape.get("anyOf", ()))
            kind = next((one for one in (kind, *inner) if one in declared), "")
            return with_unit(node, kind) if kind else node
        for one in (*shape.get("anyOf", ()), *shape.get("oneOf", ())):
            if "$ref" in one or one.get("type") in ("object", "array"):
                return walk(node, one)
        if isinstance(node, list):
            items, first = shape.get("items", {}), shape.get("prefixItems", [])
            return [walk(value, first[k] if k < len(first) else items) for k, value in enumerate(node)]
        known, of_words = shape.get("properties", {}), list(shape.get("patternProperties", {}).values())
        other = of_words[0] if of_words else shape.get("additionalProperties", {})
        return {
            key: walk(value, known.get(key, other if isinstance(other, dict) else {})) for key, value in node.items()
        }

    # An inch boat stays one: its sheets and roundings are in inches.
    length = "ft" if declared["length"] == "in" else "m"
    written = walk(data, schema) | {"units": {"length": length, "angle": "rad"}}
    return yaml.dump(written, sort_keys=False).encode("utf-8")


def turned(name: str, origin: tuple[str, str, str], x: str, y: str) -> bytes:
    """Return the file of a demonstration boat written in other axes, its numbers exact."""
    return text_turned((BOATS / f"{name}.yaml").read_text("utf-8"), origin, x, y)


def text_turned(text: str, origin: tuple[str, str, str], x: str, y: str) -> bytes:
    """Return the text of a boat file written in other axes, its numbers exact."""
    data = yaml.load(text, Loader=yaml.BaseLoader)
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
            inner = "point" if key in _POINTS else ""
            return [walk(value, inner) for value in node]
        return node

    return yaml.dump(walk(data), sort_keys=False, default_style=None).encode("utf-8")
