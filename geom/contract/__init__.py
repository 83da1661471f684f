"""The shape of check.json, typed once: keys carry their units, what cannot be told is null."""

from __future__ import annotations

# Pydantic makes the schema from these; before Python 3.12 it wants this home of the type.
from typing_extensions import TypedDict

from geom.contract.loads import LoadsReport
from geom.contract.work import WorkReport


class Identity(TypedDict):
    """Which boat file was worked out."""

    name: str
    survey: str
    revision: str
    date: str
    file: str
    file_sha256: str
    data_sha256: str
    notes: list[str]


class Eye(TypedDict):
    """Whether the end that leads goes through a hole."""

    verdict: str
    needs_mm: float | None
    has_mm: float
    factor: str
    source: str


class Square(TypedDict):
    """The same hole as if it were square to the tube and fore-and-aft."""

    line_angle_deg: float
    free_angle_deg: float
    clear_mm: float
    touches_both_lips: bool


class HoleReport(TypedDict):
    """One hole; turn, free angle and clear diameter are null where no run goes through."""

    id: str
    post: str
    level: str
    run: str | None
    x_mm: float
    y_mm: float
    z_mm: float
    along_mm: float
    diameter_mm: float
    direction: str
    axis_basis: str
    turn_deg: float | None
    turn_in_plan_deg: float | None
    clocking_deg: float
    tilt_deg: float
    free_angle_deg: float | None
    clear_mm: float | None
    if_square: Square | None
    eye: Eye | None


class PostReport(TypedDict):
    """One post; heights are vertical, above the deck at the foot and above the deck edge abreast."""

    id: str
    side: str
    foot_x_mm: float
    foot_y_mm: float
    foot_z_mm: float
    lean_out_deg: float
    rake_aft_deg: float
    tilt_deg: float
    height_upper_mm: float | None
    height_middle_mm: float | None
    height_lower_mm: float | None
    height_upper_above_edge_mm: float | None
    height_middle_above_edge_mm: float | None
    height_lower_above_edge_mm: float | None
    opening_mm: float | None
    plate_out_deg: float
    plate_aft_deg: float
    plate_total_deg: float
    offset_out_from_plate_at_600_mm: float
    offset_aft_from_plate_at_600_mm: float
    offset_out_from_plumb_at_600_mm: float
    offset_aft_from_plumb_at_600_mm: float


# `from` is a keyword, so that this one is spelt as a call.
RunReport = TypedDict(
    "RunReport",
    {
        "id": str,
        "side": str,
        "level": str,
        "from": str,
        "to": str,
        "line": str,
        "through": list[str],
        "spans_mm": list[float],
        "lowest_above_edge_mm": list[float | None],
        "path_mm": float,
        "stack_mm": float,
        "deductions_mm": float,
        "finished_mm": float,
        "cut_mm": float | None,
        "shorten_mm": float | None,
        "lengthen_mm": float | None,
        "leading_end": str,
        "made_in_place": str | None,
        "reason": str,
        "work": WorkReport,
    },
)


class GateReport(TypedDict):
    """One level of a gate: hole to hole, and clear between the tubes' faces."""

    id: str
    level: str
    hole_to_hole_mm: float
    clear_mm: float


class PairReport(TypedDict):
    """One measure on both sides; the difference is starboard less port."""

    name: str
    quantity: str
    starboard_mm: float
    port_mm: float
    difference_mm: float


class FindingReport(TypedDict):
    """One clause against one place."""

    id: str
    run: str | None
    post: str | None
    document: str
    edition: str
    clause: str
    subject: str
    quantity: str
    measured: float | None
    limit: float | None
    printed: str
    unit: str
    margin: float | None
    uncertainty: float | None
    verdict: str
    would: str | None
    where: str
    binding: bool
    sure: str
    waiver: str | None
    note: str


class CheckReport(TypedDict):
    """The whole of check.json."""

    format: int
    caution: str
    boat: Identity
    runs: list[RunReport]
    posts: list[PostReport]
    holes: list[HoleReport]
    gates: list[GateReport]
    pairs: list[PairReport]
    loads: LoadsReport
    findings: list[FindingReport]
    cautions: list[str]
