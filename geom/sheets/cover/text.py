"""Text of the cover."""

from __future__ import annotations

TITLE = "Cover"
SUBTITLE = "pictorial, open items, drawing list"
HEADING = {True: "Guard lines, stanchions and gates", False: "Guard lines and stanchions"}
UNDER = "Drawing set, {sheets}. Pictorial from the port bow, not to scale; the far side is drawn lighter."
ONE_SHEET, SHEETS = "1 sheet", "{count} sheets"
OPEN_ITEMS = "OPEN ITEMS"
OPEN_ITEMS_UNDER = "in rank; nothing is cut, drilled or ordered against an open item"
NO_ITEMS = "None: nothing is wrong or missing by the documents named on sheet A1."
ITEM_HEADS = ("NO", "WHAT IS WRONG", "ACTION", "BY", "SHEET")
OR = "; or "
STATE = "state it in the boat file"
# Where a line that is too low ends at an eye on deck.
END_HIGHER = "end the line higher, at a rail or a stanchion, then check again"
# Where the line is too low or too high at eyes on a rail.
AT_EYES = {
    "item.too_low": "raise the eye on its rail, or the rail, then check again",
    "item.too_high": "lower the eye on its rail, then check again",
}
# What is done about an eye, by what its findings say.
OF_EYES = {
    "eye_shape.eye_under_min": "lengthen the eye",
    "eye_shape.pin_under_min": "fit a thicker pin, or a thimble",
    "girth.pin": "leave more rope round the eye",
    "girth.no_pin": "leave more rope round the eye",
    "girth.thimble": "leave more rope round the thimble",
}
AND = "; "
# What is done about an item that has no choices of its own and is not a fact to state.
ACTIONS = {
    "item.several_bent": "survey these stanchions again",
    "item.off_line": "survey the foot again",
    "item.off_curve": "survey the foot again",
    "item.several_off_line": "survey these feet again",
    "item.several_tapes": "tape these lengths again",
    "item.within": "measure again, more closely",
    "item.deck_edge": "survey the deck edge there",
    "item.too_low": "fit a taller stanchion, or raise the hole, then check again",
    "item.too_high": "fit a shorter stanchion, or lower the hole, then check again",
    "item.too_open": "fit a line between, or move one, then check again",
    "item.tilt": "set the stanchion closer to the vertical, then check again",
    "item.base_outboard": "move the base inboard of the deck edge, then check again",
    "item.base_inboard": "move the base towards the deck edge, then check again",
    "item.span_wide": "fit a stanchion between, or move one, then check again",
    "item.hole_order": "correct the heights of the holes in the boat file",
    "item.lips": "drill the hole on the axis of its line",
    "item.bore": "bore out the hole, or fit a thinner line",
    "item.as_set": "set the lines to less tension, or show the strength of the tube, before they are set",
    "item.weak_as_set": "set the lines to less tension, or fit a stronger tube, before they are set",
    "item.weak_gate_open": "brace the gate stanchions, or fit a stronger tube",
    "item.gate_open": "brace the gate stanchions, or test them with the gate open",
    "item.line_weak": "fit a stronger line",
    "item.end_weak": "fit an end of higher efficiency",
    "item.chain_weak": "test the parts on board, or have them checked by a qualified person",
    "item.slack": "raise the set tension, then check again",
    "item.push_test": "set the line and test it on board",
    "item.line_thin": "fit a thicker line",
    "item.line_material": "fit a line of an accepted material",
    "item.range": "fit an adjuster of more range",
    "item.opening": "fit an adjuster that opens further",
    "item.nothing_left": "fit shorter fittings",
    "item.gap": "lengthen the line, so that the lashing is shorter",
    "item.pin": "fit a pin that suits the hole",
    "item.jaw": "fit a jaw that suits the plate",
    "item.eye": "make eye and pin suit each other",
    "item.stitching": "lock-stitch the bury",
    "item.hand_splice": "fit a terminal in place of the splice",
    "item.swage": "have both ends made on the bench, or fit a terminal that is made by hand",
    "item.thread_engaged": "state the thread engaged in the boat file",
    "item.hand": "fit a turnbuckle with threads of the other hand",
    "item.stop": "fit a larger stop, or a bush",
    "item.thimble": "put the thimble in before threading, or make that end on board",
    "item.single_line": "fit a second line",
    "item.low_line": "read the document for category D",
    "item.service": "state the vessel's service",
    "item.length": "ask the authority which length governs",
    "item.ends": "carry the line on to bow, stern or gate",
    "item.across": "ask the authority for its rule",
    "item.near_end": "state where the lines end",
    "item.gates": "ask the authority whether it admits them",
    "item.courses": "fit the courses of lines that are lacking",
    "item.over": "change what is over, then check again",
}
ONE_MORE, MORE = "1 more open item: sheet A2.", "{count} more open items: sheet A2."
LIST = "DRAWING LIST"
LIST_UNDER = "D designer, F fabricator, R rigger"
LIST_HEADS = ("SHEET", "TITLE", "D", "F", "R")
REVISION = "Revision {mark}"
HELD = "Lines on hold are drawn hollow."
IN_FULL = "{label}: {text}"
