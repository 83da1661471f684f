"""The tables that sheets, CSV and screen share: rows made once, formatted once."""

from __future__ import annotations

from geom.schedules.loads import falls, post_loads, push_tests
from geom.schedules.placing import gates, holes, in_place_words, leading_verdict, offsets, pairs, posts, runs, spans
from geom.schedules.schedule import Column, Schedule, cells, csv_bytes, numbers, written
from geom.schedules.work import work_schedule, work_schedules

# The schedules of geometry and loads; those of the line work are made by work_schedules.
ALL = (posts, holes, runs, spans, gates, pairs, push_tests, post_loads, falls)

__all__ = [
    "ALL",
    "Column",
    "Schedule",
    "cells",
    "csv_bytes",
    "falls",
    "gates",
    "holes",
    "in_place_words",
    "leading_verdict",
    "numbers",
    "offsets",
    "pairs",
    "post_loads",
    "posts",
    "push_tests",
    "runs",
    "spans",
    "work_schedule",
    "work_schedules",
    "written",
]
