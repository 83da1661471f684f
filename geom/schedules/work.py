"""What the rigger cuts, marks, threads and orders."""

from __future__ import annotations

from geom.refit import Refit
from geom.schedules.schedule import Column, Schedule, Value


def cut_list(refit: Refit) -> Schedule:
    """Return every term of every cut length with its formula, and the sum where the line may be cut."""
    columns = (
        Column("run", "RUN"),
        Column("term", "TERM"),
        Column("formula", "FORMULA"),
        Column("value_mm", "VALUE", "length"),
    )
    ids: list[str] = []
    rows: list[tuple[Value, ...]] = []
    for work in refit.work.runs.values():
        for index, term in enumerate(work.lengths.terms):
            ids.append(f"{work.run}:{index + 1}")
            rows.append((work.run, term.name, term.formula, term.value))
        why = work.refused or "; ".join(work.lengths.missing)
        ids.append(f"{work.run}:cut")
        rows.append((work.run, "CUT" if work.cut is not None else "DO NOT CUT", why, work.cut))
    return Schedule("cut-list", "CUT LIST", columns, tuple(ids), tuple(rows))


def marks(refit: Refit) -> Schedule:
    """Return the marks along every finished line, from its forward bearing point."""
    columns = (
        Column("run", "RUN"),
        Column("at_mm", "AT", "length"),
        Column("mark", "MARK"),
        Column("place", "PLACE"),
    )
    ids: list[str] = []
    rows: list[tuple[Value, ...]] = []
    for work in refit.work.runs.values():
        for index, station in enumerate(work.stations):
            ids.append(f"{work.run}:{index + 1}")
            rows.append((work.run, station.at, station.what, station.place))
    return Schedule("marks", "MARKS ALONG THE FINISHED LINE", columns, tuple(ids), tuple(rows))


def threading(refit: Refit) -> Schedule:
    """Return the threading plan of every run, step by step."""
    columns = (Column("run", "RUN"), Column("step", "STEP"), Column("what", "WHAT"))
    ids: list[str] = []
    rows: list[tuple[Value, ...]] = []
    for work in refit.work.runs.values():
        for index, step in enumerate(work.plan.steps):
            ids.append(f"{work.run}:{index + 1}")
            rows.append((work.run, str(index + 1), step))
    return Schedule("threading", "THREADING PLAN", columns, tuple(ids), tuple(rows))


def line_order(refit: Refit) -> Schedule:
    """Return the rope and wire to order, by line."""
    columns = (
        Column("line", "LINE"),
        Column("construction", "CONSTRUCTION"),
        Column("diameter_mm", "Ø", "fine length"),
        Column("total_mm", "TOTAL", "length"),
        Column("pieces", "PIECES"),
        Column("held_back", "HELD BACK"),
    )
    lines = refit.work.order.lines
    rows: list[tuple[Value, ...]] = [
        (
            line.line,
            line.construction,
            line.diameter,
            line.total,
            " ".join(piece.name for piece in line.pieces),
            "; ".join(f"{run}: {why}" for run, why in line.held_back),
        )
        for line in lines
    ]
    return Schedule("line-order", "ROPE AND WIRE", columns, tuple(line.line for line in lines), tuple(rows))


def fittings_order(refit: Refit) -> Schedule:
    """Return the fittings to order, by run end; what is not known stays blank."""
    columns = (
        Column("run", "RUN"),
        Column("end", "END"),
        Column("at", "AT"),
        Column("part", "PART"),
        Column("family", "FAMILY"),
        Column("least_mm", "CLOSED", "length"),
        Column("planned_mm", "PLANNED", "length"),
        Column("most_mm", "OPEN", "length"),
        Column("pin_mm", "PIN", "fine length"),
        Column("jaw_mm", "JAW", "fine length"),
        Column("thread", "THREAD"),
        Column("hand", "HAND"),
    )
    ends = refit.work.order.ends
    ids = tuple(f"{row.run}:{row.end}:{index + 1}" for index, row in enumerate(ends))
    rows: list[tuple[Value, ...]] = [
        (
            row.run, {"start": "forward", "finish": "aft"}[row.end], row.at, row.part, row.family,
            row.least, row.planned, row.most, row.pin, row.jaw, row.thread, row.hand,
        )
        for row in ends
    ]  # fmt: skip
    return Schedule("fittings-order", "FITTINGS BY RUN END", columns, ids, tuple(rows))
