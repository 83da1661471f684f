"""The words of the fitting sheets."""

from __future__ import annotations

TITLE = "fittings"
KIND = "Fitting sheet"
FRONT = "front"
SIDE = "from the right"
PLAN = "from above"
SIZE = "SIZE"
FROM = "FROM"
SEE_NOTE = "see note {number}"
HEAD = "{letter}  {name}"
COUNT = "{count} OFF, model {file}"
AT = "AT: {places}"
TOLERANCE = "none: sizes of the model"
NOTES = (
    '1  Generic functional shapes, like no maker\'s. "generic, invented": measure that size on the part on board.',
    "2  The breaking load of a fitting comes from its certificate, never from these sizes.",
    "3  Rope work is an envelope: the room it takes, not how rope lies. A lashing's turns are one bundle.",
    "4  Views stand by their captions, neither first nor third angle. Threads are drawn as plain bars.",
)
# A family's word where its part on a sheet goes by a clearer one.
NAMES = {"bush": "LINER", "soft eye": "MADE-UP EYE", "line": "FITTING WITHOUT A SHAPE: PLAIN ROD"}
