"""The text of the splice sheets."""

from __future__ import annotations

from geom.rigging.threading_steps import FROM_THROAT, LONG_MARKS, SPLICE_MARKS
from geom.words import worded

TITLE = "splice {number}, {lock}"
TITLES = "splices {first} and {last}"
KIND = "Splice sheet"
HEAD = "SPLICE {number}"
HEADS, KINDS, OF = "SPLICES", "each mark from the rope's end, then from the throat", ", SPLICE {number}"
LOCK = {
    "locked Brummel": "eye with a locked Brummel",
    "one-ended": "eye with a one-ended lock",
    "stitched bury": "straight bury, lock-stitched",
}
LOCK_SHORT = {"locked Brummel": "locked", "one-ended": "one-ended lock", "stitched bury": "stitched"}
FOR = "{count} OFF, in {line}: {ends}"
END = {"start": "forward end of {runs}", "finish": "after end of {runs}"}
BIG = (("tail", "TAIL"), ("eye", "EYE"), ("exit", "EXIT"))
BIG_UNIT = "{unit} from the end"
BIG_BELOW = "{exit} from EYE to EXIT"
BEFORE = "A  BEFORE SPLICING: MARKS FROM THE ROPE'S END ({unit})"
FINISHED = "B  FINISHED: MARKS FROM THE THROAT, DIAMETERS BELOW ({unit})"
SCALE = "1:{mm}{broken}"
BROKEN = ", broken"
FROM_EYE = "{value} from EYE"
MARKS_TITLE = "MARKS AND LENGTHS"
MARKS_HEAD = ("WHAT", "COUNTED FROM")
MARKS = {
    "tail": ("tail mark", "rope's end"),
    "eye": ("eye mark, the throat", "rope's end"),
    "exit-end": ("exit mark", "rope's end"),
    "exit": ("exit mark", "eye mark"),
    "tuck": ("second tuck", "first tuck"),
    "stitch-from": ("stitching begins", "throat"),
    "stitch-to": ("stitching ends", "throat"),
    "full": ("buried taper begins", "throat"),
    "bury": ("buried tail ends, at most", "throat"),
    "girth": ("eye circumference", "TAIL to EYE"),
    "take-up": ("take-up, line shorter by", "each splice"),
    "take-up-max": ("take-up, at most", "each splice"),
    "slack": ("slack for work on board", "standing part"),
    "fid": ("fid", "its length"),
}
STEPS = "STEPS (common practice, no source)"
STEP_LAY = {
    paired: f"Pre-stretch the rope. Lay {worded(marks)} under the marking tension."
    for paired, marks in LONG_MARKS.items()
}
STEP_FIRST = "{who}cut the trim of {trim} off the rope's end; FROM REEL on its line sheet allows for it."
STEP_FIRST_BARE = "{who}no trim is stated: the rope's end stays as it was cut."
STEP_LAST = (
    f"{{who}}set EYE, under the marking tension, {worded(FROM_THROAT)} (its sheet). "
    "Keep {eye} beyond it; cut off the rest, the trim."
)
STEP_LAST_ALONE = (
    "{who}set EYE, under the marking tension, by the finished length of its sheet, less throat to pin, plus take-up. "
    "Keep {eye} beyond it; the rest is trim: cut it off."
)
STEP_AGAIN = "Made on board ({runs}): set the line and check EYE before that cut."
MADE_FIRST, MADE_LAST = "End made first: ", "End made last: "
STEP_MARK = (
    f"Mark {worded(SPLICE_MARKS)}: TAIL {{tail}}, EYE {{eye}}, EXIT {{exit_end}} ({{exit}} on from EYE), "
    "{cuts} marks of the taper."
)
STEP_BEFORE = "On the line before the eye is closed: {before}. Order: the line's sheet."
STEPS_LOCK = {
    "locked Brummel": (
        "Eye: the {girth} of rope from TAIL to EYE. First tuck: the tail through the standing part at EYE, up to TAIL.",
        "Second tuck: open the tail {tuck} on from the first and pass the whole standing part through it. "
        "Draw both tight.",
    ),
    "one-ended": (
        "Eye: the {girth} of rope from TAIL to EYE. First tuck: the tail through the standing part at EYE, up to TAIL.",
        "Second tuck: the tail through the standing part again, {tuck} on. Capsize it, so that each part goes through "
        "the other; the line's other end does not move. Draw both tight.",
    ),
    "stitched bury": (
        "Eye: the {girth} of rope from TAIL to EYE. There is no lock: only the stitching holds it at rest.",
    ),
}
STEPS_BURY = (
    "Taper the tail: cut {cuts} single strands, one at each mark, on alternate sides. One strand reaches the end.",
    "Fid in at the throat, out at EXIT. Draw the tail in and milk the cover over it until the tail is gone inside.",
)
STEP_STITCH = "Lock-stitch or whip from {start} to {end} from the throat, then a second row square to the first."
STEP_SET_PULL = "Set pull: {pull}; milk again, measure and mark again, write it in the log. It proves nothing."
STEP_TAKE_UP = (
    "If the take-up is not {take_up}, the other end's will differ alike: set its EYE further from this throat by the "
    "difference, nearer if it is less."
)
THIMBLE_LATE = "Open thimble: into the eye after threading, not before."
THIMBLE_IN = "Open thimble: in when the eye is made."
THIMBLE_BOTH = "Open thimble: in when the eye is made, but at the {ends} after threading, not before."
THIMBLE_DOUBT = "Thimble: it may not go in after threading; see the line's sheet."
THIMBLE_FIRST = "Closed thimble: the rope goes round it before the eye is closed."
THIMBLE_NONE = "Thimble: not stated in the boat file."
THIMBLE_FOR = "{text} For: {ends}."
THROAT = "throat"
SECOND_TUCK = "tuck 2"
STITCH = "stitch"
BEARS = "bearing"
TAPER = "taper"
ENDS = "end"
WARNINGS = "TAKE NOTE"
SOURCES = "SOURCES"
# Confidence in a source, in words; left out where the text of the source says it.
SURE = {"found": "text read", "found-2": "read second hand", "calc": "worked out from it"}
EYE_DRAWN = "Eye drawn round by its own length; it takes the shape of its pin or thimble."
TOLERANCE = "EYE to EYE ±{value}"
