"""The tables that sheets, CSV and screen share: rows made once, formatted once."""

from __future__ import annotations

from geom.schedules.loads import falls, post_loads, push_tests
from geom.schedules.placing import gates, holes, in_place_words, leading_verdict, offsets, pairs, posts, runs, spans
from geom.schedules.schedule import Column, Schedule, cells, csv_bytes, numbers, written
from geom.schedules.work import cut_list, fittings_order, line_order, marks, threading

# Every schedule of a package, in the order of the job.
ALL = (
    posts, holes, runs, spans, gates, pairs, cut_list, marks, threading, line_order, fittings_order,
    push_tests, post_loads, falls,
)  # fmt: skip

__all__ = [
    "ALL",
    "Column",
    "Schedule",
    "cells",
    "csv_bytes",
    "cut_list",
    "falls",
    "fittings_order",
    "gates",
    "holes",
    "in_place_words",
    "leading_verdict",
    "line_order",
    "marks",
    "numbers",
    "offsets",
    "pairs",
    "post_loads",
    "posts",
    "push_tests",
    "runs",
    "spans",
    "threading",
    "written",
]
