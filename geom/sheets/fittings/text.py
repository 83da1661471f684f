"""The text of the fitting sheets."""

from __future__ import annotations

TITLE = "fittings"
TITLE_OF = "fittings {number} of {count}, {letters}"
LETTERS = "{first}-{last}"
UNITS = {"mm": "mm", "in": "inches"}
KIND = "Fitting sheet"
FRONT = "front"
SIDE = "right side"
PLAN = "from above"
CUT_SHORT = "{view}, tail cut short"
SIZE = "SIZE"
FROM = "FROM"
SEE_NOTE = "note {number}"
STANDS_FOR = "{family}: ENVELOPE"
HEAD = "{letter}  {name}"
COUNT = "{count} OFF"
HELD = " and {held} on hold"
MODEL = "model {file}"
MEMBERS = "members: see the drawings that follow"
ENVELOPE = "ENVELOPE, NOT FOR MANUFACTURE"
GENERIC = "GENERIC SHAPE, NOT FOR MANUFACTURE"
TO_SIZE = "to these sizes; material not stated"
AT = "AT: {places}"
HELD_AT = "ON HOLD with their lines: {places}"
TOLERANCE = "not applicable"
# Clearer names for families on the sheets.
NAMES = {
    "bush": "BUSH, SPACER TUBE",
    "soft eye": "FINISHED EYE",
    "pin": "CLEVIS PIN",
    "base": "BASE WITH SOCKET",
    "gate hook, shut": "GATE HOOK, SHUT",
}
# Names of sizes that need to say what they are measured between.
SIZES = {
    ("lashing", "between"): "pin to pin",
    ("lashing", "pin"): "inside, as drawn",
    ("soft eye", "pin"): "inside of eye, as drawn",
    ("gate eye", "between"): "hole to hole",
    ("open-body turnbuckle", "opening"): "set at",
    ("gate hook body", "edge"): "hole to edge",
    ("gate hook body", "slot bottom"): "hole to slot bottom",
    ("gate hook body", "corner"): "corner radius",
    ("shackle", "inside"): "pin to bow, inside",
    ("thimble", "inside"): "width inside",
    ("thimble", "width"): "width over all",
    ("thimble", "thickness"): "metal under groove",
    ("pin", "grip"): "head to cross hole",
    ("toggle", "length"): "pin to eye",
    ("base", "fastening pitch x"): "bolts fore-and-aft",
    ("base", "fastening pitch y"): "bolts athwartships",
    ("base", "fastening hole"): "bolt hole",
}
# Short names of sources for the table.
SOURCES = {"generic, invented": "invented", "slot and both cheeks of the body": "slot and both cheeks"}
# Sizes of a shape that are neither visible nor needed.
UNSEEN = frozenset({("open-body turnbuckle", "screw")})

NOTE_GENERIC = 'Generic shapes, no maker\'s: buy parts that fit. Where a size is "invented", measure the part on board.'
NOTE_LOAD = "The breaking load of a fitting comes from its certificate, never from these sizes."
NOTE_VIEWS = "Views stand by their captions, in neither first nor third angle. Sizes are rounded to {step}."
NOTE_VIEWS_INCH = "Views stand by captions, in neither first nor third angle. Sizes to {step}; names of models in mm."
NOTE_ROPE = "Rope work is an envelope: the room that it takes, not how rope lies."
NOTE_EYE = "Rope work is an envelope, not how rope lies. An eye's tail is cut short: see the splice sheets."
NOTE_THREAD = "Threads are drawn as plain bars."
NOTE_SHUT = "Pin to pin is taken from the line's pin to the middle of the bar that lies in the eye."
NOTE_KEEPER = "The keeper pin through the smaller holes of body and lever is not drawn: it is bought with the hook."
NOTE_STUD = "The hook's screwed stud (min {minimum}, max {maximum}, pin to pin) is not drawn."
NOTE_HELD = "On hold: the line cannot be made as planned, see its sheet; order nothing for it yet."
NOTE_ENVELOPE = "ENVELOPE: the program has no shape for it; a plain body of the stated length and width stands for it."
NOTE_RAIL_EYE = "An eye's foot is drawn flat and the rail is not drilled: fit it to the rail."
NOTE_THIMBLE = "The thimble of the listed size is shown; how line and groove fit is seen on a trial splice."
NOTE_UNDRAWN = "Not drawn: {parts}."
STEPS = {"mm": "0.1 mm", "in": "0.001 in"}
