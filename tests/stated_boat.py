"""A boat with everything stated: reels, prices, a sleeve, a stitched end, lines to compare (all invented)."""

from __future__ import annotations

from functools import cache

from geom.boat.file import read_boat
from geom.refit import Refit, refit
from tests.boats import BOATS

_CHANGES = (
    (
        "    take_up: {each: 30, source: trial splice of this rope (invented)}",
        "    take_up: {each: 30, source: trial splice of this rope (invented)}\n"
        "    mass: 16 g/m\n"
        "    reels: [10000, 25000]\n"
        "    price_per_m: 6.5\n"
        "    bedding_in: {min_percent: 0.2, max_percent: 0.4, source: invented}\n"
        "    stiffness: {ea: 1200 kN, source: invented}\n"
        "  guard wire: {construction: 1x19 wire, material: stainless steel 316, diameter: 4, price_per_m: 4.2}",
    ),
    (
        "    through: [S-S1, S-S2]\n    finish: {post: S-S3, eye_offset: 20, end: eye end, anchorage: {bar: 8}}\n"
        "    set_tension: 350 N",
        "    through: [S-S1, S-S2]\n    finish: {post: S-S3, eye_offset: 20, end: stitched end, anchorage: {bar: 8}}\n"
        "    set_tension: 400 N\n    marking_tension: 100 N\n"
        "    slide_on: [{item: chafe sleeve, kind: sleeve, hole: S-S1-U, width: 9, length: 150, price: 3}]",
    ),
    (
        "  lashing end: {",
        "  stitched end: {family: straight-bury eye, throat_to_pin: 25, eye_girth: 75, trim: 50}\n  lashing end: {",
    ),
    ("lines:\n", "compare: [guard rope, guard wire]\ncurrency: EUR\nlines:\n"),
)


@cache
def stated_refit() -> Refit:
    """Return the boat worked out."""
    text = (BOATS / "saltwhin-31.yaml").read_text("utf-8")
    for old, new in _CHANGES:
        assert old in text
        text = text.replace(old, new, 1)
    return refit(read_boat(text.encode("utf-8"), "told boat"))
