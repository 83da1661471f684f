"""Refit -> check.json, the contract that other programs read."""

from __future__ import annotations

import json
from pathlib import PurePath

from geom.contract import CheckReport, Eye, FindingReport, HoleReport, PostReport, RunReport
from geom.placement.eyes import EyeVerdict
from geom.placement.place import PlacedHole, PlacedPost, PlacedRun
from geom.placement.stack import finished_length
from geom.refit import Refit
from geom.report.loads import loads_report
from geom.report.numbers import o, r
from geom.report.work import work_report
from geom.rules.cautions import CAUTIONS, SHEET_CAUTION
from geom.rules.finding import ORDER, Finding
from geom.tables import leading_verdict, offsets
from geom.units import degrees
from geom.words import worded

FORMAT = 1


def check_report(refit: Refit) -> CheckReport:
    """Return everything that `check` tells, in millimetres and degrees."""
    placed, boat, loaded = refit.placed, refit.boat, refit.loaded
    return {
        "format": FORMAT,
        "caution": SHEET_CAUTION,
        "boat": {
            "name": boat.boat.name,
            "survey": boat.survey,
            "revision": boat.revision.mark,
            "date": boat.revision.date,
            "file": PurePath(loaded.source).name,
            "file_sha256": loaded.file_sha256,
            "data_sha256": loaded.data_sha256,
            "notes": list(loaded.notes),
        },
        "runs": [_run(refit, run) for run in placed.runs.values()],
        "posts": [_post(refit, post) for post in placed.posts.values()],
        "holes": [_hole(refit, post, hole) for post, hole in placed.holes()],
        "gates": [
            {
                "id": gate.id,
                "level": width.level,
                "hole_to_hole_mm": r(width.hole_to_hole),
                "clear_mm": r(width.clear),
            }
            for gate in placed.gates.values()
            for width in gate.levels
        ],
        "pairs": [
            {
                "name": pair.name,
                "quantity": pair.quantity,
                "starboard_mm": r(pair.starboard),
                "port_mm": r(pair.port),
                "difference_mm": r(pair.difference),
            }
            for pair in placed.pairs
        ],
        "loads": loads_report(refit.loads),
        "findings": [_finding(finding) for finding in worst_first(refit.findings)],
        "cautions": list(CAUTIONS),
    }


def json_bytes(report: CheckReport) -> bytes:
    """Return the report as JSON text, keys in their order."""
    return (json.dumps(report, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")


def json_schema() -> dict[str, object]:
    """Return the schema of check.json, made from the types above."""
    from pydantic import TypeAdapter

    schema = TypeAdapter(CheckReport).json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "check.json of toerail"}


def worst_first(findings: tuple[Finding, ...]) -> list[Finding]:
    """Return findings by verdict, the worst first, and by the share of the limit that is missed."""
    return sorted(findings, key=lambda finding: (ORDER.index(finding.verdict), _spare(finding), finding.id))


def _spare(finding: Finding) -> float:
    if finding.margin is None or not finding.limit:
        return 0.0
    return finding.margin / abs(finding.limit)


def _run(refit: Refit, run: PlacedRun) -> RunReport:
    stack, eyes, work = refit.placed.stacks[run.id], refit.placed.eyes[run.id], refit.work.runs[run.id]
    return {
        "id": run.id,
        "side": run.side,
        "level": run.level,
        "from": run.names[0],
        "to": run.names[-1],
        "line": run.spec.line,
        "through": [passage.hole.id for passage in run.passages],
        "spans_mm": [r(span) for span in run.spans],
        "lowest_above_edge_mm": [o(span.lowest) for span in refit.placed.span_heights[run.id]],
        "path_mm": r(run.path),
        "stack_mm": r(stack.total),
        "deductions_mm": r(stack.deductions),
        "finished_mm": r(finished_length(run, stack)),
        "cut_mm": o(work.cut),
        "shorten_mm": o(stack.shorten),
        "lengthen_mm": o(stack.lengthen),
        "leading_end": eyes.leading,
        "made_in_place": eyes.in_place,
        "reason": worded(eyes.reason),
        "work": work_report(work),
    }


def _post(refit: Refit, post: PlacedPost) -> PostReport:
    upper, middle, lower = (post.hole(level) for level in ("U", "M", "L"))
    heights = refit.placed.hole_heights

    def above_foot(hole: PlacedHole | None) -> float | None:
        return None if hole is None else r(heights[hole.id].above_foot)

    def above_edge(hole: PlacedHole | None) -> float | None:
        return None if hole is None else o(heights[hole.id].above_edge)

    plate, plumb = offsets(post)
    return {
        "id": post.id,
        "side": post.side,
        "foot_x_mm": r(post.foot[0]),
        "foot_y_mm": r(post.foot[1]),
        "foot_z_mm": r(post.foot[2]),
        "lean_out_deg": r(degrees(post.lean)),
        "rake_aft_deg": r(degrees(post.rake)),
        "tilt_deg": r(degrees(post.tilt)),
        "height_upper_mm": above_foot(upper),
        "height_middle_mm": above_foot(middle),
        "height_lower_mm": above_foot(lower),
        "height_upper_above_edge_mm": above_edge(upper),
        "height_middle_above_edge_mm": above_edge(middle),
        "height_lower_above_edge_mm": above_edge(lower),
        "opening_mm": None if upper is None or lower is None else r(upper.centre[2] - lower.centre[2]),
        "plate_out_deg": r(degrees(post.plate.out)),
        "plate_aft_deg": r(degrees(post.plate.aft)),
        "plate_total_deg": r(degrees(post.plate.total)),
        "offset_out_from_plate_at_600_mm": r(plate[0]),
        "offset_aft_from_plate_at_600_mm": r(plate[1]),
        "offset_out_from_plumb_at_600_mm": r(plumb[0]),
        "offset_aft_from_plumb_at_600_mm": r(plumb[1]),
    }


def _hole(refit: Refit, post: PlacedPost, hole: PlacedHole) -> HoleReport:
    drilling = refit.placed.drillings[hole.id]
    line_in_hole = refit.placed.lines_in_holes.get(hole.id)
    rest = None if line_in_hole is None else line_in_hole.on_axis
    square = None if line_in_hole is None else line_in_hole.if_square
    return {
        "id": hole.id,
        "post": post.id,
        "level": hole.level,
        "run": None if line_in_hole is None else line_in_hole.run,
        "x_mm": r(hole.centre[0]),
        "y_mm": r(hole.centre[1]),
        "z_mm": r(hole.centre[2]),
        "along_mm": r(hole.along),
        "diameter_mm": r(hole.diameter),
        "direction": "unknown" if hole.measured is None else "told",
        "axis_basis": worded(drilling.basis),
        "turn_deg": None if line_in_hole is None else r(degrees(line_in_hole.passage.turn)),
        "turn_in_plan_deg": None if line_in_hole is None else r(degrees(line_in_hole.passage.turn_in_plan)),
        "clocking_deg": r(degrees(drilling.clocking)),
        "tilt_deg": r(degrees(drilling.tilt)),
        "free_angle_deg": None if rest is None else r(degrees(rest.free_angle)),
        "clear_mm": None if rest is None else r(rest.clear),
        "if_square": None
        if square is None
        else {
            "line_angle_deg": r(degrees(square.line_angle)),
            "free_angle_deg": r(degrees(square.free_angle)),
            "clear_mm": r(square.clear),
            "touches_both_lips": square.touches_both_lips,
        },
        "eye": None if line_in_hole is None else _eye(leading_verdict(refit, line_in_hole.run, hole.id)),
    }


def _eye(verdict: EyeVerdict) -> Eye:
    return {
        "verdict": verdict.verdict,
        "needs_mm": o(verdict.needs),
        "has_mm": r(verdict.has),
        "factor": worded(verdict.factor),
        "source": worded(verdict.source),
    }


def _finding(finding: Finding) -> FindingReport:
    return {
        "id": finding.id,
        "run": finding.run,
        "post": finding.post,
        "document": finding.document,
        "edition": finding.edition,
        "clause": finding.clause,
        "subject": finding.subject,
        "quantity": worded(finding.quantity),
        "measured": o(finding.measured),
        "limit": o(finding.limit),
        "printed": worded(finding.printed),
        "unit": finding.unit,
        "margin": o(finding.margin),
        "uncertainty": o(finding.uncertainty),
        "verdict": finding.verdict,
        "would": finding.would,
        "where": "" if finding.where is None else worded(finding.where),
        "binding": finding.binding,
        "sure": finding.sure,
        "waiver": worded(finding.waivers),
        "note": worded(finding.notes),
    }
