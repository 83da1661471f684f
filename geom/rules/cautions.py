"""Cautions of every report and sheet.

Source: common practice, no source, except for the harness line, whose anchorage has to hold 2000 daN by the French
Division 240, article 240-2.59.
"""

from __future__ import annotations

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
