"""What follows from geometry: posts, holes, runs, spans, gates, port against starboard."""

from __future__ import annotations

from math import tan

from geom.boat.model import Level
from geom.placement.eyes import EyeVerdict, RunEyes
from geom.placement.place import PlacedPost
from geom.placement.stack import finished_length
from geom.refit import Refit
from geom.tables.schedule import Column, Schedule, Value
from geom.units import degrees

LEVEL_WORDS: dict[Level, str] = {"U": "upper", "M": "middle", "L": "lower"}
PLATE_RULE_LENGTH = 600.0


def posts(refit: Refit) -> Schedule:
    """Return the stanchion schedule: feet, attitude, heights, plate angles and offsets."""
    levels = _levels(refit)
    columns = [
        Column("post", "POST"),
        Column("foot_x_mm", "X", "fine length"),
        Column("foot_y_mm", "Y", "fine length"),
        Column("foot_z_mm", "Z", "fine length"),
        Column("lean_out_deg", "LEAN", "angle"),
        Column("rake_aft_deg", "RAKE", "angle"),
        Column("tilt_deg", "TILT", "angle", 2),
        *(Column(f"height_{LEVEL_WORDS[level]}_mm", f"H {level}", "length") for level in levels),
        *(Column(f"height_{LEVEL_WORDS[level]}_above_edge_mm", f"EDGE {level}", "length") for level in levels),
        Column("plate_out_deg", "TO DECK OUT", "angle", 2),
        Column("plate_aft_deg", "TO DECK AFT", "angle", 2),
        Column("plate_total_deg", "PLATE", "angle", 2),
        Column("offset_out_from_plate_at_600_mm", "OUT AT 600", "length"),
        Column("offset_aft_from_plate_at_600_mm", "AFT AT 600", "length"),
        Column("offset_out_from_plumb_at_600_mm", "PLUMB OUT", "length"),
        Column("offset_aft_from_plumb_at_600_mm", "PLUMB AFT", "length"),
    ]
    rows = [_post_row(refit, post, levels) for post in refit.placed.posts.values()]
    return Schedule("posts", "STANCHIONS", tuple(columns), tuple(refit.placed.posts), tuple(rows))


def _post_row(refit: Refit, post: PlacedPost, levels: tuple[Level, ...]) -> tuple[Value, ...]:
    holes = [post.hole(level) for level in levels]
    heights = [None if hole is None else refit.placed.hole_heights[hole.id] for hole in holes]
    plate, plumb = offsets(post)
    return (
        post.id, *post.foot, degrees(post.lean), degrees(post.rake), degrees(post.tilt),
        *(None if height is None else height.above_foot for height in heights),
        *(None if height is None else height.above_edge for height in heights),
        degrees(post.plate.out), degrees(post.plate.aft), degrees(post.plate.total), *plate, *plumb,
    )  # fmt: skip


def offsets(post: PlacedPost) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return how far a tube stands out and aft at 600 mm: square to its plate, and from plumb [mm]."""
    return (
        (PLATE_RULE_LENGTH * tan(post.plate.out), PLATE_RULE_LENGTH * tan(post.plate.aft)),
        (PLATE_RULE_LENGTH * tan(post.lean), PLATE_RULE_LENGTH * tan(post.rake)),
    )


def runs(refit: Refit) -> Schedule:
    """Return the run schedule: from, to, spans, path, stack and finished length."""
    columns = (
        Column("run", "RUN"),
        Column("from", "FROM"),
        Column("to", "TO"),
        Column("line", "LINE"),
        Column("path_mm", "PATH", "length"),
        Column("stack_mm", "STACK", "length"),
        Column("finished_mm", "FINISHED", "length"),
        Column("cut_mm", "CUT", "length"),
        Column("made_in_place", "IN PLACE"),
    )
    rows: list[tuple[Value, ...]] = []
    for run in refit.placed.runs.values():
        stack = refit.placed.stacks[run.id]
        rows.append((
            run.id, run.names[0], run.names[-1], run.spec.line, run.path, stack.total,
            finished_length(run, stack), refit.work.runs[run.id].cut, in_place_words(refit.placed.eyes[run.id]),
        ))  # fmt: skip
    return Schedule("runs", "RUNS", columns, tuple(refit.placed.runs), tuple(rows))


def spans(refit: Refit) -> Schedule:
    """Return every span: its true length, and where it lies lowest over the deck edge."""
    columns = (
        Column("run", "RUN"),
        Column("span", "SPAN"),
        Column("from", "FROM"),
        Column("to", "TO"),
        Column("length_mm", "LENGTH", "length"),
        Column("lowest_above_edge_mm", "LOWEST", "length"),
        Column("lowest_at_x_mm", "AT X", "length"),
    )
    ids, rows = [], []
    for run in refit.placed.runs.values():
        for index, low in enumerate(refit.placed.span_heights[run.id]):
            ids.append(f"{run.id}:{index + 1}")
            ends = run.names[index], run.names[index + 1]
            rows.append((run.id, str(index + 1), *ends, run.spans[index], low.lowest, low.at_x))
    return Schedule("spans", "SPANS", columns, tuple(ids), tuple(rows))


def in_place_words(eyes: RunEyes) -> str:
    """Return which end of a run is made on board, in a word."""
    return "none" if eyes.in_place is None else {"start": "forward end", "finish": "after end"}[eyes.in_place]


def holes(refit: Refit) -> Schedule:
    """Return the hole schedule: diameter, turn, best axis, free angle, clear diameter, eye verdict."""
    columns = (
        Column("hole", "HOLE"),
        Column("run", "RUN"),
        Column("diameter_mm", "Ø", "fine length"),
        Column("turn_deg", "TURN", "angle"),
        Column("clocking_deg", "CLOCK", "angle"),
        Column("tilt_deg", "TILT", "angle"),
        Column("free_angle_deg", "FREE", "angle"),
        Column("clear_mm", "CLEAR", "length"),
        Column("eye", "MADE-UP END"),
    )
    rows: list[tuple[Value, ...]] = []
    ids = []
    for hole_id, line_in_hole in refit.placed.lines_in_holes.items():
        passage, rest, verdict = (
            line_in_hole.passage,
            line_in_hole.on_axis,
            leading_verdict(refit, line_in_hole.run, hole_id),
        )
        ids.append(hole_id)
        rows.append((
            hole_id, line_in_hole.run, passage.hole.diameter, degrees(passage.turn), degrees(passage.clocking),
            degrees(passage.tilt), None if rest is None else degrees(rest.free_angle),
            None if rest is None else rest.clear, verdict.verdict,
        ))  # fmt: skip
    return Schedule("holes", "HOLES", columns, tuple(ids), tuple(rows))


def leading_verdict(refit: Refit, run_id: str, hole_id: str) -> EyeVerdict:
    """Return the verdict of the end that is drawn through a hole."""
    eyes = refit.placed.eyes[run_id]
    hole = next(hole for hole in eyes.holes if hole.hole == hole_id)
    return hole.start if eyes.leading == "start" else hole.finish


def gates(refit: Refit) -> Schedule:
    """Return the gate schedule: widths hole to hole and clear between tubes."""
    columns = (
        Column("gate", "GATE"),
        Column("level", "LEVEL"),
        Column("hole_to_hole_mm", "HOLE TO HOLE", "length"),
        Column("clear_mm", "CLEAR", "length"),
    )
    found = [(gate, level) for gate in refit.placed.gates.values() for level in gate.levels]
    return Schedule(
        "gates", "GATES", columns,
        tuple(f"{gate.id}-{level.level}" for gate, level in found),
        tuple((gate.id, level.level, level.hole_to_hole, level.clear) for gate, level in found),
    )  # fmt: skip


def pairs(refit: Refit) -> Schedule:
    """Return starboard against port, run by run and post by post."""
    columns = (
        Column("name", "NAME"),
        Column("quantity", "QUANTITY"),
        Column("starboard_mm", "STARBOARD", "length"),
        Column("port_mm", "PORT", "length"),
        Column("difference_mm", "DIFFERENCE", "length"),
    )
    found = refit.placed.pairs
    return Schedule(
        "pairs", "PORT AGAINST STARBOARD", columns,
        tuple(f"{pair.name}:{pair.quantity}" for pair in found),
        tuple((pair.name, pair.quantity, pair.starboard, pair.port, pair.difference) for pair in found),
    )  # fmt: skip


def _levels(refit: Refit) -> tuple[Level, ...]:
    used = {hole.level for _, hole in refit.placed.holes()}
    return tuple(level for level in LEVEL_WORDS if level in used)
