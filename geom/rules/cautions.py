"""Cautions of every report and sheet.

Source: common practice, no source, except for the harness line, whose anchorage has to hold 2000 daN by the French
Division 240, article 240-2.59.
"""

from __future__ import annotations

# Printed on every sheet.
SHEET_CAUTION = "GUARD LINE (LIFELINE) - NOT A HARNESS ATTACHMENT"

CAUTIONS: tuple[str, ...] = (
    "These are computed figures, not an approval: let a qualified rigger or surveyor check; follow local codes.",
    "Check the rule, edition and category in force for this boat; clauses read second hand or from memory are marked.",
    "A guard line is neither a harness attachment nor a backrest: a harness line has to hold several times as much.",
    "Diameter does not give strength: use the minimum breaking load of the certificate, less splice and terminal.",
    "Pulpits, bases and gate posts are the weak link: a line that holds does not prove what it is fixed to.",
    "Never sit or lean on a gate hook; it needs a second retainer and must open only against the line's pull.",
    "Leave wire bare where the rule requires it; look for cracks at swages; renew the line at the first broken wire.",
    "HMPE lengthens as it beds in: tighten again after a day, a week, a month; no knots; guard it from sun and chafe.",
    "Check every hole: no rope through a hole that old wire has grooved; renew lashings every year.",
    "Draw a test piece of the finished eye through the hole before the run is cut.",
    "Cut long and measure at the stated tension: a bury shortens the line, and what is cut off is gone.",
    "Read the unit beside every number: mm and inch, newton, decanewton and kilogram-force are not alike.",
    "Insulate stainless steel from aluminium or carbon fibre posts.",
    "Bend split pins, tape sharp ends, tighten locknuts: an end that can work loose will.",
    "Before a print is used as a template, measure its 100 mm bars both ways and reject it when either is off.",
)
