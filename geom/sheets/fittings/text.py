"""The text of the page of fittings."""

from __future__ import annotations

TITLE = "bought fittings"
KIND = "Fittings to buy"
HEADS = ("FITTING", "QTY", "ENVELOPE ({unit})", "SIZES ({unit})", "AT")
HELD = "{count} + {held} held"
BOTH_ENDS = "both ends"
END_OF = "{end}: {runs}"
HELD_AT = "on hold: {places}"
STANDS_FOR = "{family} (plain body)"
# Clearer names for families on the page.
NAMES = {
    "soft eye": "finished eye",
    "pin": "clevis pin",
    "base": "base with socket",
}
# The bush on the bolt of a double eye.
SPACER = "spacer tube"
# Names of sizes that need to say what they are measured between.
SIZES = {
    ("lashing", "between"): "pin to pin",
    ("lashing", "pin"): "inside, as drawn",
    ("soft eye", "pin"): "inside of eye, as drawn",
    ("soft eye", "throat to bearing"): "throat to inside of rope",
    ("gate eye", "between"): "pins apart",
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
# Sizes of a shape that are neither visible nor needed.
UNSEEN = frozenset({("open-body turnbuckle", "screw")})

NOTE_ENVELOPE = "ENVELOPE: nominal room that the fitting takes, along, across and up. Shapes: folder solids."
NOTE_GENERIC = "*: generic size, no maker's and no source: buy parts that fit, and measure the part on board."
NOTE_LOAD = "The breaking load of a fitting comes from its certificate, never from these sizes."
NOTE_PLAIN_BODY = "plain body: a body of the stated length and width stands for a part that has no shape here."
NOTE_HELD = "On hold: the line cannot be made as planned, see its sheet; order nothing for it yet."
NOTE_UNDRAWN = "Not listed: {parts}."
