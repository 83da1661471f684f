"""The boat of the tables in `tests/fixtures/tables`: its values rounded as they are written there."""

from __future__ import annotations

import math
from typing import Any

from geom.data import table
from tests.random_boats import random_boat

TABLES = ("posts", "eyes", "deck edge", "tapes")
# Columns of each table, as `geom/data/table_headings.csv` names them.
_KEYS = {
    "posts": (
        "id", "x", "y", "z", "lean", "rake", "falls aft", "falls outboard", "tube", "top",
        "upper along", "upper diameter", "lower along", "lower diameter",
    ),
    "eyes": ("id", "on", "x", "y", "z"),
    "deck edge": ("side", "x", "y", "z"),
    "tapes": ("start", "end", "length"),
}  # fmt: skip


def rows_of(which: str) -> tuple[tuple[str, ...], tuple[str, ...], list[list[Any]]]:
    """Return a table's keys, their kinds and its rows: lengths to 0.1 mm, angles to 0.01 deg."""
    boat = random_boat(47).boat
    kinds = {row["key"]: row["kind"] for row in table.rows("table_headings") if row["table"] == which}
    keys = _KEYS[which]
    rows: list[list[Any]] = []
    if which == "posts":
        for post in boat.posts:
            angles = (post.lean, post.rake, post.deck_falls.aft, post.deck_falls.outboard)
            row = [post.id, *_mm(*post.foot), *(round(math.degrees(angle), 2) for angle in angles), post.tube]
            row += _mm(post.top)
            for level in ("U", "L"):
                hole = post.holes.get(level)
                drilled = hole and (hole.as_found or hole.planned)
                row += _mm(hole.along, drilled.diameter) if hole and drilled else [None, None]
            rows.append(row)
    elif which == "eyes":
        rows = [[eye.id, eye.on, *_mm(*eye.at)] for eye in boat.eyes]
    elif which == "deck edge":
        rows = [[side, *_mm(*point)] for side in ("S", "P") for point in boat.edge(side)]
    else:
        rows = [["S-S1-U", "S-S2-U", 1736.5], ["S-S2-U", "S-S3-U", 967.0], ["P-S1-U", "P-S2-U", 1234.0]]
    return keys, tuple("text" if kinds[key] in ("text", "side") else kinds[key] for key in keys), rows


def _mm(*values: float) -> list[float]:
    return [round(value, 1) for value in values]
