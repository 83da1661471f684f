"""English: the sentences and headings of a new spacing of the stanchions."""

from __future__ import annotations

from collections.abc import Mapping

RESPACING: Mapping[str, str] = {
    "respace.evenest": "fewest stanchions, evenest spans",
    "respace.least_turn": "fewest stanchions, least turn in the holes, no span under half the mean",
    "respace.one_more": "one stanchion more where the spans are widest, evenest spans",
    "respace.gate_post": "gate stanchion",
    "respace.end_post": "a line ends at it",
    "respace.braced": "braced",
    "respace.can_be_removed": "hinged or removable",
    "respace.net_post": "a net goes to it",
    "respace.across": "a line across the boat goes through it",
    "respace.stated_fixed": "stated as fixed",
    "respace.edge_straight": "the deck edge is taken as straight between the points of the file",
    "respace.pattern": (
        "stanchions on {side:side} like {post}: lean {lean_rad:.1f}, rake {rake_rad:.1f}, "
        "foot {inboard_mm:.1f} inboard of the deck edge"
    ),
    "respace.room_of_plate": (
        "each stanchion on {side:side} takes up {room_mm:.0f} of the deck edge, the length of its plate"
    ),
    "respace.room_of_tube": (
        "each stanchion on {side:side} takes up {room_mm:.0f} of the deck edge, its tube: the file states no plate"
    ),
    "respace.falls_between": "the slope of the deck is taken as straight between the stanchions as they stand",
    "respace.measure_first": (
        "before drilling: measure edge, slope and what is under the deck at each station, and check that a backing "
        "plate has room"
    ),
    "respace.limit": "supports no farther apart than {limit_mm:.1f} ({document}, {clause})",
    "respace.stays": "kept where they stand ({why}): {posts:list}",
    "respace.summary": "{count} stanchions placed; widest span {widest_mm:.1f}, narrowest {narrowest_mm:.1f}",
    "respace.summary_one": "1 stanchion placed; widest span {widest_mm:.1f}, narrowest {narrowest_mm:.1f}",
    "respace.turned": "largest turn {turn_rad:.1f}, in {hole}",
    "respace.posts_out": "taken out: {posts:list}",
    "respace.tapes_out": "tapes taken out, as their stanchions move: {tapes:also}",
    "respace.trials_out": "trials taken out with their posts: {holes:list}",
    "respace.failing": "findings that fail: {failing:g}, before {before:g}; `toerail check` lists what is open",
}

# Over what the layouts rest on.
RESTS_ON = "THE LAYOUTS REST ON"
# Headings and words of the tables.
RESPACE_TABLE: Mapping[str, str] = {
    "posts": "PLACED POSTS",
    "post": "POST",
    "x": "X",
    "y": "Y",
    "z": "Z",
    "was": "WAS AT X",
    "state": "STATE",
    "spans": "SPANS, AXIS TO AXIS",
    "run": "RUN",
    "from": "FROM",
    "to": "TO",
    "span": "SPAN",
}
