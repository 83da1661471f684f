"""Words of the run cards."""

from __future__ import annotations

from geom.placement.eyes import Verdict
from geom.rigging.threading_steps import EYE_TO_EYE, FROM_THROAT
from geom.words import worded

TITLE = "runs {names}"
KIND_PAGE = "{kind}, {page} of {pages}"
TOLERANCE = "{run} ±{value}"
TOLERANCE_MANY = "the error on each card"

CUT = "CUT, {unit}"
FROM_REEL = "FROM REEL, {unit}"
MORE_ROPE = {"spare": "take-up spare", "tail": "working tail"}
FINISHED = "FINISHED, {unit}"
FINISHED_LINE = "FINISHED, bearing to bearing {value} {unit}"
MARKED = "MARKED, {unit}"
SCALE = "1:{mm}{broken}; widths not to scale"
BROKEN = ", broken"
RECKONED = "Assumes: {end} end cut on board at step {step}, threading plan."
RECKONED_LOOSE = "Assumes: {end} end made on board, see the threading plan."
END_WORDS = {"start": "forward", "finish": "after"}
TRIM_OFF = "Splice marks: from the rope's end, trim cut off, {start} (forward), {finish} (after) to EYE."
TAPE_DISAGREES = "TAPE DISAGREES by {by}:"
TAPE_AGAIN = "MEASURE AGAIN"
TAPED = "{start} to {end}: taped {taped}, computed {computed} {unit}"
DECIDE_FIRST = "Decide first: {run} in one piece with this line, or not?"

# Beside a mark; where it is in full is in the key.
MARKS = {
    "bears": "bears",
    "throat": "throat",
    "taper begins": "taper",
    "bury ends": "bury",
    "hole": "hole",
    "pin": "pin",
    "wire ends": "wire",
}
MADE_UP: dict[Verdict, str] = {
    "passes": "end passes",
    "squeeze": "end squeezed through",
    "trial": "trial piece first",
    "in place": "end does not pass",
    "line does not pass": "line does not pass",
    "cannot tell": "not determined",
}
TERMINAL = "terminal"
BURY = "bury"
OVERLAP = "overlap"
APART = "between"

ERROR = "ERROR, {unit}"
ASKED = "{wants} of {has}"
ASKED_ONLY = "{wants}; range not given"
NO_PIN = "the pin or bar at {places} is not given"
NO_BEDDING = "Bedding-in is not stated and is not in it."
MORE_REMARKS = "and {count} more: in check.json"
THIMBLE = "{pattern}, girth {girth}"
SPLICE = "SPLICE {number}: {lock}"

KEY_ZERO = (
    "Marks count from ZERO, where the end made first bears, along the finished, set line; minus lies beyond that end."
)
KEY_REEL = "FROM REEL: the rope to cut off the reel, with trim and working tail; both are cut off again in the making."
KEY_PIN = "bears: on the fitting or on the boat. pin: where the fitting or lashing beyond bears on the boat."
KEY_FINISHED = "FINISHED: from bearing to bearing, fittings not in it."
KEY_MARKED = "MARKED: the same under the marking tension, less what the line still gives."
KEY_EYES = worded(EYE_TO_EYE) + ": before splicing, {of} less throat to pin, plus take-up."
KEY_THROAT = f"{worded(FROM_THROAT)} to the other EYE mark: the same, less the take-up of the made eye."
KEY_SPLICE = "throat: where the eye closes. taper, bury: where the buried tail begins to be thinned, and where it ends."
KEY_WIRE = "wire: its end inside the terminal. Terminals are drawn for their place, their bodies are not measured."
KEY_HOLES = "Sign at a hole: whether the finished end{thimble} passes it."
KEY_TRIAL = "Sign at a hole: whether the finished end{thimble} passes it; trial piece first, or made on board."
KEY_ERROR = "ERROR: {shares}, coverage factor 2. SHORTEN, LENGTHEN: asked, of what the fittings can do."
KEY_LAST = "Computed figures, not an approval."
