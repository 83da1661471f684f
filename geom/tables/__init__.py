"""The tables that sheets, CSV and screen share: rows made once, formatted once.

Names are loaded on first use, so that a check does not wait for tables that it does not show.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from geom.tables.loads import (
        bases,
        falls,
        open_gates,
        post_loads,
        push_limits,
        push_tests,
        rail_eyes,
        set_tensions,
    )
    from geom.tables.placing import gates, holes, in_place_words, leading_verdict, offsets, pairs, posts, runs, spans
    from geom.tables.schedule import Column, Schedule, cells, csv_bytes, numbers, written
    from geom.tables.work import work_schedule, work_schedules

_HOMES = {
    "loads": (
        "bases", "falls", "open_gates", "post_loads", "push_limits", "push_tests", "rail_eyes", "set_tensions",
    ),
    "placing": (
        "gates", "holes", "in_place_words", "leading_verdict", "offsets", "pairs", "posts", "runs", "spans",
    ),
    "schedule": ("Column", "Schedule", "cells", "csv_bytes", "numbers", "written"),
    "work": ("work_schedule", "work_schedules"),
}  # fmt: skip
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}

__all__ = [
    "Column",
    "Schedule",
    "bases",
    "cells",
    "csv_bytes",
    "falls",
    "gates",
    "holes",
    "in_place_words",
    "leading_verdict",
    "numbers",
    "offsets",
    "open_gates",
    "pairs",
    "post_loads",
    "posts",
    "push_limits",
    "push_tests",
    "rail_eyes",
    "runs",
    "set_tensions",
    "spans",
    "work_schedule",
    "work_schedules",
    "written",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME_OF:
        raise AttributeError(f"module 'geom.tables' has no attribute '{name}'")
    from importlib import import_module

    return getattr(import_module(f"geom.tables.{_HOME_OF[name]}"), name)
