"""The text of the push test diagrams."""

from __future__ import annotations

TITLE = "push test curves"
KIND = "Tension and deflection"
KIND_OF_SIDE = {
    "S": "Starboard curves",
    "P": "Port curves",
    "C": "Curves of lines across",
    "SI": "Starboard hull, inboard curves",
    "PI": "Port hull, inboard curves",
}
HEAD = "{run} span {span}: {start} to {end}"
WANTED = "needs {maximum}"
GOVERNS = "; this span governs its line"
HELD = "; on hold"
BESIDE = "mast beside this span: it may not count"
RIGID = "{length} along the line; rigid ends: {minimum}"
NO_TENSION = "no tension"
SET_TO = "set to {tension}: deflection {deflection}"
LIMIT = "limit {limit}"
GIVING_CURVE = "ends give"
GIVING_OVER = "off scale"
RIGID_CURVE = "rigid ends"
AXIS_UP = "set tension, {force}"
AXIS_ACROSS = "deflection, {unit}"
KEY_AXES = "Up: set tension. To the right: deflection of the middle of the span under {force}."
KEY_GIVING = "ends give: posts and ends give until the tension does not rise. needs: where it meets the limit."
KEY_RIGID = "rigid ends: only the line gives, sliding free in its holes. A real boat lies between the curves."
KEY_ONE = "The stiffness of a line is not stated: only the curve of ends that give can be drawn."
KEY_SET = "Chain line: the set tension, a ring where it meets each curve; right of the limit is too much."
KEY_FORWARD = "Not drawn, forward of the mast: {spans}."
KEY_NOT_ASKED = "For information, not asked by 3.14.2 a): {spans}."
KEY_NO_MAST = "The boat file does not say where the mast stands: all spans are drawn, the rule tests those aft of it."
KEY_CHECK = "Check the edition in force. Computed figures, not an approval."
