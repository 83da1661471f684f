"""English of the cautions of every report and sheet."""

from __future__ import annotations

from collections.abc import Mapping

CAUTIONS: Mapping[str, str] = {
    "caution.sheet": "GUARD LINE (LIFELINE) - NOT A HARNESS ATTACHMENT",
    "caution.computed": (
        "These are computed figures, not an approval: let a qualified rigger or surveyor check; follow local codes."
    ),
    "caution.edition": (
        "Check the rule, edition and category in force for this boat; clauses read second hand or from memory are "
        "marked."
    ),
    "caution.no_harness": (
        "A guard line is neither a harness attachment nor a backrest: a harness line has to hold several times as much."
    ),
    "caution.certificate": (
        "Diameter does not give strength: use the minimum breaking load of the certificate, less splice and terminal."
    ),
    "caution.weak_link": (
        "Pulpits, bases and gate stanchions are the weak link: a line that holds does not prove what it is fixed to."
    ),
    "caution.gate_hook": (
        "Never sit or lean on a gate hook; it needs a second retainer and must open only against the line's pull."
    ),
    "caution.bare_wire": (
        "Leave wire bare where the rule requires it; look for cracks at swages; renew the line at the first broken "
        "wire."
    ),
    "caution.hmpe": (
        "HMPE lengthens as it beds in: tighten again after a day, a week, a month; no knots; guard it from sun and "
        "chafe."
    ),
    "caution.holes": "Check every hole: no rope through a hole that old wire has grooved; renew lashings every year.",
    "caution.test_piece": "Draw a test piece of the finished eye through the hole before the run is cut.",
    "caution.cut_long": (
        "Cut long and measure at the stated tension: a bury shortens the line, and what is cut off is gone."
    ),
    "caution.units": (
        "Read the unit beside every number: mm and inch, newton, decanewton and kilogram-force are not alike."
    ),
    "caution.insulate": "Insulate stainless steel from aluminium or carbon fibre stanchions.",
    "caution.pins": "Bend split pins, tape sharp ends, tighten locknuts: an end that can work loose will.",
    "caution.print_scale": (
        "Before a print is used as a template, measure its 100 mm bars both ways and reject it when either is off."
    ),
}
