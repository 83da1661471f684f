"""The text of the labels."""

from __future__ import annotations

TITLE = "labels"
KIND = "Labels to cut out"
DESCRIPTION = "A tag for each line and each stanchion, with its figures as a QR code."
LINE = "{construction} {diameter}"
# The length of a line, by what it is.
HEADS = {
    "from reel": "from reel {length} {unit}",
    "cut": "cut {length} {unit}",
    "final cut": "from reel {reel} {unit}, final cut on board {length} {unit}",
}
FINISHED = "finished {length} {unit}"
END = {"start": "forward: {end}", "finish": "after: {end}"}
TUBE = "{tube} Ø{od} x {wall} {unit}, {grade}"
BASE = "base: {base}"
BASE_OPEN = "base: TBC"
HOLES = "holes {holes} {unit} from the foot"
HOLE = "{level} {along}"
DATA = "data {data}"
JOINT = "; "
HELD = "No tags for lines on hold: {runs}."
CUT_ON = "Cut on the dashed lines, tie on. The QR code holds the words of its tag."
