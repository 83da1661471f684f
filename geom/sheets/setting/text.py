"""The text of the setting card, the push tests and the test bar."""

from __future__ import annotations

from geom.drafting.ruling import KEPT

TITLE = "setting and test"
SAID = "adjusters while the line is marked, spans to push, the bar to test with"
KIND = "Setting and push tests"
UNITS = {"mm": "mm, N", "in": "inches, lbf [N]"}
FORCE = {"mm": "N", "in": f"lbf{KEPT}[N]"}
FORCE_ALONE = {"mm": "N", "in": "lbf"}
NO_TOLERANCE = "not applicable"

SETTINGS = "ADJUSTERS ({unit}, pin to pin) while the line is marked"
HELD = "{run}, on hold"
HELD_KEY = "on hold: cannot be made, see its sheet."
NOT_APPLICABLE = "n/a"
ADJUSTS = {"gap": "its gap", "one": "its stud", "both": "two studs"}
ADJUSTER_KEY = {
    "beyond_closed": "OPENED BY: SET AT less MIN.",
    "per_stud": "PER STUD: OPENED BY shared out on the studs.",
    "showing": "THREAD SHOWING: thread to be seen on each stud.",
}
MARK_KEY = "Marking tension where not stated: {range} (common practice)."
SET_KEY = {
    "recommended": "SET TO: recommended, as none is stated: keeps LIMIT on the span that governs the line.",
    "stated": "SET TO: as the boat file states{runs}.",
}
FROM_TO = {False: "{minimum} to {maximum}", True: "to {maximum}"}
WEIGHED = {"mm": "{kg} kg ({newton} N)", "in": "{lb} lb [{kg} kg, {newton} N]"}
ROPE_KEY = "Rope beds in: tighten again at the times of the log"
TIMES_KEY = "Look at the line again at the times of the log"
LASHING_KEY = "renew lashings every year"
TIMES_SOURCE = "{times} (common practice, no source)."
STUD_KEY = "Lock nuts and split pins are set last."

PUSHES = "PUSH TESTS ({unit}, {force}): {push} midway between supports, square to the line"
COLLAPSE = "CAUTION: the test may bring these stanchions down ({force}). Load slowly, stop when one moves."
YIELDING = (
    "CAUTION: at these set tensions stanchions yield or collapse; do not set the lines before the designer agrees."
)
GATE_POSTS = "GATE STANCHIONS, GATE OPEN: worst section, share of proof stress and of plastic moment"
# Units of its page, beside those of the diagrams.
GATE_UNITS = {"mm": "N m, MPa", "in": "lbf ft, MPa"}
MOMENT = {"mm": "N m", "in": "lbf ft [N m]"}
HOOK = {False: "{post}", True: "either stanchion"}
NO_MAST = (
    "Push tests: which spans are aft of the mast is not determined; the boat file does not say where the mast stands."
)
NO_SPAN = "Push tests: no span of any line reaches aft of the mast."
DEFLECTION_MOST = "DEFLECTION, MAX"
NOT_DETERMINED = "not determined"
CLAUSES = {
    "widest": "a) widest",
    "widest wholly aft": "a) widest, all aft",
    "widest if beside counts": "a) widest, beside mast",
    "every": "b)",
    "every, beside": "b) beside mast",
}
PUSH_KEY = {
    "lengths": "SUPPORTS: between tube axes or rail eyes. LINE: along the line, between holes or pins.",
    "beside": "beside mast: the mast stands beside this span; the rule does not say whether it then counts.",
    "all_aft": "beside mast: whether such a span counts is not said; all aft: the widest if it does not.",
    "needs": "NEEDS: tension at which the span keeps LIMIT, ends flexible.",
    "slack": "Rigid ends, free lines: {minimum} to {maximum} {unit} of slack passes.",
    "rigid": "RIGID ENDS: tension needed if stanchions and ends were rigid and the line free; none: passes slack.",
    "unknown": "Empty: not determined, as the stiffness of the line is not stated.",
    "deflection": "DEFLECTION: expected at SET TO, from rigid to flexible ends.",
    "deflection_most": (
        "DEFLECTION, MAX: expected at SET TO, ends flexible. On rigid ends not determined, as the stiffness of the "
        "line is not stated."
    ),
    "source": "{push}, limits: {source} 3.14.2 {clauses}, {edition}{sure}; {before}: a), {before_edition}.",
    "check": "Check the edition in force. Computed figures, not an approval.",
}
FROM_MEMORY = "from memory, verify"
NONE_NEEDED = "none"
BEFORE = "before 2014"

BAR_TITLE = "TEST BAR on the widest span tested, {run}: {start} to {end}"
BAR_TITLE_NO_MAST = "TEST BAR on the widest span, {run}: {start} to {end}"
BLOCK_TITLE = "ACROSS, at mid-span"
BAR_STEPS = (
    "Hold the bar against the inboard side of both tubes or rails, its middle mark midway between them, its lower "
    "edge level with the top of the line there, and tape it fast. It must not touch the line.",
    "Hang a weight of {new} on the line under the bar's middle mark{old}.",
    "Offer up the block, on the line and under the bar, at the middle: {sides}.",
    "The block enters: FAIL. It does not: PASS.",
    "Write down what was found, the date and by whom.",
)
BAR_ON_DECK = "At {ends}, on deck, rest that end of the bar on packing, its lower edge level with the top of the line."
BAR_OLD = "; {weight} for upper or single lines by the wording before 2014"
BAR_SIDE_ONE = "its {upper} side upright"
BAR_SIDES = "its {upper} side upright for upper or single lines, its {other} side for the others"
BAR_MADE = (
    "BAR: {depth} deep, {thick} thick, stiff; straight within {straight}, held on edge by its ends. Scribe its middle.",
    "BLOCK: {upper} by {other}, {along} along the line. By the rule: {ruled}. Other sizes are ours, no source.",
)
BAR_RULED = {True: "{upper} and {other}", False: "{upper}"}
BAR_TOLERANCE = "bar ±{bar}, block ±{block}"
BAR_BLOCK = "block"
BAR_EDGE = "bar"
BAR_TAPE = "tape"
BAR_LINE = "line"
BAR_WEIGHT = "weight"
BAR_SEEN = "seen from inboard"
BAR_INBOARD = "INBOARD"
SECTION_REST = "line at rest"
SECTION_TUBE = "tube, behind"
SECTION_LOADED = "line, pushed to the limit"
