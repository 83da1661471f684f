"""Text of the list of fabricated parts."""

from __future__ import annotations

from geom.purchasing.fabricated import PartKind

TITLE = "fabricated parts"
SUBTITLE = "tubes by cut length and grade, what goes with them, parts of each stanchion"
HEAD = "FABRICATED PARTS"
HEAD_LINE = "lengths in {length}, masses in {mass}"
INCHES = "inches"
HEADS = (
    "ITEM",
    "PART",
    "QTY",
    "SIZE",
    "CUT LENGTH\nover long point",
    "MATERIAL",
    "MASS\neach",
    "MASS\nall",
    "FOR",
    "SHEET",
    "TBC",
)
BRACE = "slant {slant}"
PLATE = "{length} x {width} x {thickness}"
PAD = "{length} x {width}, tapered"
BUSH = "Ø{od} x Ø{bore} x {length}"
SPACER = "Ø{od} x {length}"
BOLT = "Ø{diameter}"
# What a part is called where its kind does not say it.
CALLED: dict[PartKind, str] = {"spacer": "spacer tube"}
SHEETS = {
    "tube": "F1",
    "brace tube": "F3",
    "plate": "F3",
    "pad": "F3",
    "bush": "F1",
    "spacer": "F4",
    "bolt": "F3",
    "cap": "F1",
}
# The sheet of braced and altered stanchions; those of F1 that stand there are named on both.
BRACED = "F2"
# What is asked for of each kind of part, and what it is called in the row of the part.
ASKED: dict[PartKind, str] = {
    "tube": "shop.base", "brace tube": "shop.brace", "plate": "shop.plate_material", "pad": "shop.pad_material",
    "bush": "shop.bush_material", "spacer": "shop.spacer", "bolt": "shop.base_bolts",
}  # fmt: skip
SHORT = {
    "shop.base": "base, cut length", "shop.brace": "tube, foot, ends", "shop.plate_material": "material",
    "shop.pad_material": "material", "shop.bush_material": "material", "shop.spacer": "bore, as the bolt; material",
    "shop.base_bolts": "length, grade",
}  # fmt: skip
TOTAL = "Tube {size} {grade}: {count} off, {length} {unit} net, {mass} {heavy}"
STOCK = "STOCK"
OF_EACH = "PARTS OF EACH STANCHION"
OF_EACH_LINE = "items of the list, with how many where more than one"
STANCHION = "STANCHION"
KINDS: dict[PartKind, str] = {
    "tube": "TUBE",
    "brace tube": "BRACE TUBE",
    "plate": "BASE",
    "pad": "PAD",
    "bush": "BUSH",
    "spacer": "SPACER",
    "bolt": "BOLT",
    "cap": "CAP",
}
TAKEN = {False: "{item}", True: "{item} ({count} off)"}
NOTES = "NOTES"
NET = "Cut lengths net: add the saw cut and the clamping length."
AS_FOUND = "Stanchions stand as found: make only what F1 and F2 say to alter; the rest is for replacements."
# In the row of a part, by whether it is for a stanchion on hold only.
ON_HOLD = {True: "on hold", False: "{posts} on hold"}
# Parts that are listed for what they fit, and bought by the order list.
BOUGHT: tuple[PartKind, ...] = ("bush", "spacer", "bolt")
ORDERED = {False: "Item {items}: bought by the order list, R7.", True: "Items {items}: bought by the order list, R7."}
EDGES = "Edges of holes for rope not chosen: a bush would be an item."
MASS = "Masses by density of the grade, holes taken off; none without a grade."
SPARE = "Bolts with nut and washer; backing plates: sheet F3."
MANY = "{count} stanchions"
