"""English: what a revision changes."""

from __future__ import annotations

from collections.abc import Mapping

COMPARISON: Mapping[str, str] = {
    "compare.revisions": "revision {old} of {old_date} against {new} of {new_date}",
    "compare.same_data": "the data are the same: every sheet stays valid, and what was made fits",
    "compare.again": "to be issued again: {sheets:list}",
    "compare.none_again": "no sheet has to be issued again",
    "compare.valid": "stay valid: {sheets:list}",
    "compare.withdrawn": "withdrawn: {sheets:list}",
    "compare.same_mark": "both files have revision {mark}: give the later one another mark before it is issued",
    "compare.no_record": "without an as-built record (--record) it is not known what is made already",
    "compare.nothing_lost": "by the as-built record nothing that was made is lost",
    "compare.run_gone": "the boat has no such line any more",
    "compare.other_line": "the line is now another: {line}",
    "compare.other_ends": "its ends are made differently",
    "compare.on_hold": "the line is on hold: its length is not determined",
    "compare.cut_not_known": "what it was cut to is not determined",
    "compare.cut_short": "cut {by_mm:.1f} too short",
    "compare.cut_long": "cut {by_mm:.1f} longer than it is now",
    "compare.too_short": "too short by {by_mm:.1f}, its fittings let out {room_mm:.1f}",
    "compare.too_long": "too long by {by_mm:.1f}, its fittings take up {room_mm:.1f}",
    "compare.range_not_stated": "off by {by_mm:.1f}: the range of its fittings is not stated",
    "compare.eyes_too_wide": (
        "made with both ends, of which none is sure to go through {holes:list} (bore {bore_mm:.1f}): one end is made "
        "anew on board, unless the line is in its holes already"
    ),
    "compare.post_gone": "the boat has no such stanchion any more",
    "compare.other_tube": "its tube is now another: {tube}",
    "compare.tube_short": "its tube is {by_mm:.1f} too short",
    "compare.tube_long": "its tube is {by_mm:.1f} too long: shorten it",
    "compare.foot_moved": "its foot moves: new holes in the deck, the old ones to be closed",
    "compare.set_otherwise": "its lean or rake changes: a new base or pad",
    "compare.hole_gone": "the hole is no longer in the file: close it or leave it empty",
    "compare.hole_moved": "drilled {by_mm:.1f} off along the tube",
    "compare.hole_smaller": "drilled {was_mm:.1f}, now {is_mm:.1f}: a bush, or another tube",
    "compare.hole_measured": (
        "measured {was_mm:.1f} before, now {is_mm:.1f}: a corrected measurement, nothing was drilled"
    ),
    "compare.place_measured": (
        "measured {was_mm:.1f} along the tube before, now {is_mm:.1f}: a corrected measurement, nothing was drilled"
    ),
    "compare.hole_larger": "drilled {was_mm:.1f}: open it out to {is_mm:.1f}",
    "compare.hole_turned": "the drilling axis changes: check the free angle of the line in the hole as drilled",
}

COMPARE_STATES: Mapping[str, str] = {
    "changed": "issue again",
    "same": "stays valid",
    "new": "new",
    "withdrawn": "withdrawn",
}

COMPARE_FATES: Mapping[str, str] = {"scrap": "scrap", "rework": "rework", "check": "check"}

# Headings of the tables.
COMPARE_TABLE: Mapping[str, str] = {
    "place": "PLACE",
    "fate": "BECOMES",
    "why": "WHY",
    "sheet": "SHEET",
    "title": "TITLE",
    "state": "THIS REVISION",
    "paper": "PAPER",
    "figure": "FIGURE",
    "was": "WAS",
    "is": "IS",
    "if_made": "IF MADE",
    "too_short": "scrap: too short",
    "lost": "MADE ALREADY",
    "sheets": "SHEETS",
    "papers": "PAPERS",
    "figures": "FIGURES",
    "items": "OPEN ITEMS",
    "item": "ITEM",
    "item_state": "STATE",
}
