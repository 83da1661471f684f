"""Cautions of every report and sheet.

Source: common practice, no source, except for the harness line, whose anchorage has to hold 2000 daN by the French
Division 240, article 240-2.59.
"""

from __future__ import annotations

from geom.boat.model import Boat

# Printed on every sheet.
SHEET_CAUTION = "GUARD LINE (LIFELINE) - NOT A HARNESS ATTACHMENT"

_APPROVAL = "These are computed figures, not an approval: let a qualified rigger or surveyor check; follow local codes."
_EDITION = (
    "Check the rule, edition and category in force for this boat; clauses read second hand or from memory are marked."
)
_WEAK_LINK = "Pulpits, bases and gate posts are the weak link: a line that holds does not prove what it is fixed to."
_GATE_HOOK = "Never sit or lean on a gate hook; it needs a second retainer and must open only against the line's pull."
_WIRE = (
    "Leave wire bare where the rule requires it; look for cracks at swages; renew the line at the first broken wire."
)
_HMPE = (
    "HMPE lengthens as it beds in: tighten again after a day, a week, a month; no knots; guard it from sun and chafe."
)

CAUTIONS: tuple[str, ...] = (
    _APPROVAL,
    _EDITION,
    "A guard line is neither a harness attachment nor a backrest: a harness line has to hold several times as much.",
    "Diameter does not give strength: use the minimum breaking load of the certificate, less splice and terminal.",
    _WEAK_LINK,
    _GATE_HOOK,
    _WIRE,
    _HMPE,
    "Check every hole: no rope through a hole that old wire has grooved; renew lashings every year.",
    "Draw a test piece of the finished eye through the hole before the run is cut.",
    "Cut long and measure at the stated tension: a bury shortens the line, and what is cut off is gone.",
    "Read the unit beside every number: mm and inch, newton, decanewton and kilogram-force are not alike.",
    "Insulate stainless steel from aluminium or carbon fibre posts.",
    "Bend split pins, tape sharp ends, tighten locknuts: an end that can work loose will.",
    "Before a print is used as a template, measure its 100 mm bars both ways and reject it when either is off.",
)


def main_cautions(boat: Boat) -> tuple[str, ...]:
    """Return the three cautions that matter most for a boat, by its lines and fittings."""
    lines = [boat.lines[run.line].construction for run in boat.runs]
    fittings = (name for run in boat.runs for end in (run.start, run.finish) for name in end.fittings)
    chosen = [_APPROVAL]
    if any(boat.fittings[name].family == "over-centre gate hook" for name in fittings):
        chosen.append(_GATE_HOOK)
    if any("HMPE" in line for line in lines):
        chosen.append(_HMPE)
    if any("wire" in line for line in lines):
        chosen.append(_WIRE)
    return tuple([*chosen, _WEAK_LINK, _EDITION][:3])
