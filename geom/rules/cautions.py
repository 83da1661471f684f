"""Cautions of every report and sheet.

Source: common practice, no source, except for the harness line, whose anchorage has to hold 2000 daN by the French
Division 240, article 240-2.59.
"""

from __future__ import annotations

from geom.boat.model import Boat
from geom.remark import Remark

# Printed on every sheet.
SHEET_CAUTION = Remark("caution.sheet")

CAUTIONS: tuple[Remark, ...] = (
    Remark("caution.computed"),
    Remark("caution.edition"),
    Remark("caution.no_harness"),
    Remark("caution.certificate"),
    Remark("caution.weak_link"),
    Remark("caution.gate_hook"),
    Remark("caution.bare_wire"),
    Remark("caution.hmpe"),
    Remark("caution.holes"),
    Remark("caution.test_piece"),
    Remark("caution.cut_long"),
    Remark("caution.units"),
    Remark("caution.insulate"),
    Remark("caution.pins"),
    Remark("caution.print_scale"),
)


def main_cautions(boat: Boat) -> tuple[Remark, ...]:
    """Return the three cautions that matter most for a boat, by its lines and fittings."""
    lines = [boat.lines[run.line].construction for run in boat.runs]
    fittings = (name for run in boat.runs for end in (run.start, run.finish) for name in end.fittings)
    chosen = [Remark("caution.computed")]
    if any(boat.fittings[name].family == "over-centre gate hook" for name in fittings):
        chosen.append(Remark("caution.gate_hook"))
    if any("HMPE" in line for line in lines):
        chosen.append(Remark("caution.hmpe"))
    if any("wire" in line for line in lines):
        chosen.append(Remark("caution.bare_wire"))
    return tuple([*chosen, Remark("caution.weak_link"), Remark("caution.edition")][:3])
