"""Words of the threading plan, the hole pass table, the open gates and the log of the making."""

from __future__ import annotations

from geom.placement.eyes import Verdict

THREADING_TITLE = "threading {runs}{part}"
THREADING_KIND = "Threading plan"
PART = ", {number} of {count}"
RUNS = "{first} to {last}"
THREAD = {"forward": "THREAD FORWARD", "aft": "THREAD AFT"}
NO_HOLE = "NO STANCHION HOLES"
BOTH_ON_BENCH = "BOTH ENDS ON THE BENCH"
ONE_IN_PLACE = {"start": "FORWARD END MADE ON BOARD", "finish": "AFTER END MADE ON BOARD"}
HELD_BACK = "ON HOLD: DO NOT CUT"
STOPPED = "Why: {why}. What would fit in its place stands on the run card of {run}."
STEPS_HEAD = "STEPS: tick when done"
WHY = "WHY: {text}"
WHY_STOPPED = {
    "trial": "passes only if a trial piece does",
    "in place": "does not pass",
    "line does not pass": "not even the plain line passes",
    "cannot tell": "not determined: the boat file states no width",
}
MADE_UP = "the finished {end} needs a hole of {needs} {unit}, {hole} is {has}: {verdict}"
MADE_UP_ONLY = "the finished {end} at {hole}: {verdict}"
EITHER_WAY = "{text}, either way"
EACH_WAY = "threaded {direction}, {text}"
SO_IN_PLACE = "So the plain line is threaded, and the {end} end is made on board."
SO_ON_BENCH = "threaded {direction}, {why}; both ends are made on the bench."
NO_HOLE_WHY = "no stanchion holes, so both ends are made on the bench."
TOOLS = "TOOLS: {text}"
ON_THE_LINE = "SLID ON THE LINE, IN THIS ORDER: {text}"
BARE = "EDGES OF ITS HOLES: not chosen. This plan is for the bare holes; a bush may turn it round."
CAPTIVE = "ONCE MADE: {text}"
FID_ROOM = "ROOM FOR THE FID: {needed} {unit} wanted from the throat, {there} to the nearest hole: {enough}"
FID_ENOUGH = {True: "enough", False: "NOT ENOUGH"}
SPLICE = "SPLICE {number}"
FASTENED = "{planned} {unit} pin to pin ({minimum} to {maximum})"
FASTENED_PLAIN = "{planned} {unit} pin to pin"
NAMED = "{name} {size}"
NOT_STATED = "not stated"
KEY_FORWARD = "Forward is at the left. Not to scale."
KEY_HOLES = "Numbers over holes: the order in which they are passed."
KEY_SIGNS = "Signs: whether the finished end that would lead{thimble} passes the hole:"
KEY_FILLED = "Filled end: made on board, after threading."
KEY_OPEN = "Open end: made on the bench."
KEY_DASHED = "Dashed: a line on hold."
KEY_SPLICE = "SPLICE n: on the splice sheet of that number."
KEY_PROVE = "Common practice, no source: prove each passage with a trial piece before cutting."
# Whether a finished end passes a hole.
PASSES: dict[Verdict, str] = {
    "passes": "passes",
    "squeeze": "passes, squeezed through with a messenger line",
    "trial": "trial piece first",
    "in place": "does not pass as a finished end",
    "line does not pass": "plain line does not pass",
    "cannot tell": "not determined",
}
PROVED = "{text}, proved"

PASS_TITLE = "HOLE PASS: does an end made up on the bench go through the hole? ({unit})"
PASS_HEADS = (
    "HOLE", "RUN", "BORE", "LINE Ø", "PLAIN LINE", "FORWARD END", "NEEDS", "SIGN", "VERDICT", "AFTER END", "NEEDS",
    "SIGN", "VERDICT", "BY", "SOURCE",
)  # fmt: skip
PLAIN_LINE = {True: "passes", False: "does not pass"}
GATES_TITLE = "GATES OPEN ({unit}): which line falls slack, and how far it can be pushed down"
GATE_HEADS = (
    "GATE", "RUN", "DRAWN AS", "LOOSE AT THE GATE", "WIDEST SPAN HELD", "FROM, TO", "SLACK, NO STOP", "DOWN BY",
    "SLACK, WITH STOP", "DOWN BY", "STOP IN BOAT FILE", "WHAT HAPPENS",
)  # fmt: skip
PLANNED = {True: "planned", False: "alternative"}
GATE_OWN = (
    "The lines before and behind end at {first} and {second} and stay taut; each post takes one side's pull alone."
)
GATE_THROUGH = "Without a stop the whole side falls slack; a stop bears against the post and holds it."
TO_DECK = "to the deck"
MAKING_LOG = "MAKING LOG, {side}; setting: on the setting card"
LOG_HEADS = ("RUN", "STEP", "ASKED", "DATE", "BY", "AS MEASURED, {unit}")
TENSION_NOT_STATED = "tension not stated"
NO_TOLERANCE = "not applicable"
TABLES_KIND = "Threading tables"
LOG_KIND = "Making log"
PASS_SIGNS = "SIGN, VERDICT: whether the end, made up before threading{thimble}, passes the hole:"
KEY_PULL = "Set pull: write down the pull as well, in N."
# By the id of each table: its name in the title, and its lines of the key.
TABLE_NAMES = {"hole-pass": "hole pass", "gates-open": "gates open", "making-log": "making log"}
TABLE_KEYS = {
    "hole-pass": (
        "BORE: the hole less any liner. NEEDS: the least bore for the finished end, BY so many line diameters d or by "
        "its own width.",
    ),
    "gates-open": (
        "alternative: if one line went on through the gate's post. LOOSE: what hangs from the post.",
        "SLACK: line that comes free; a stop sits {stop} {unit} clear of the post (common practice, no source).",
        "DOWN BY: under a hand at mid-span, a straight V. Computed figures, not an approval.",
    ),
    "making-log": (
        "Steps in the order of each run's threading plan. ASKED: the pull or tension wanted; a dash: none. "
        "Marks, cuts and splices: write the length and compare it with the run card.",
    ),
}
