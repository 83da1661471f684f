"""Colours: lines by side, posts by their worst finding."""

from __future__ import annotations

from geom.refit import Refit
from geom.solids.step import STEEL
from geom.solids.step_text import Rgb

STARBOARD: Rgb = (0, 140, 70)
PORT: Rgb = (200, 30, 40)
ACROSS: Rgb = (40, 80, 170)
FAILS: Rgb = (230, 110, 0)
NOT_DETERMINED: Rgb = (235, 200, 60)
FITTING: Rgb = (150, 160, 175)
GATE_EYE: Rgb = (120, 130, 145)
ROPE_END: Rgb = (205, 205, 215)
RAIL: Rgb = (175, 178, 182)
PAD: Rgb = (120, 115, 105)
NET: Rgb = (140, 140, 120)
DECK_EDGE: Rgb = (90, 70, 50)
EYE_POINT: Rgb = (90, 90, 90)


def line_colour(side: str) -> Rgb:
    """Return green for starboard, red for port, blue across the boat."""
    return ACROSS if side == "C" else STARBOARD if side.startswith("S") else PORT


def post_colour(refit: Refit, post: str) -> Rgb:
    """Return the colour of a post: orange where a finding fails, yellow where one is not determined, else steel."""
    verdicts = {finding.verdict for finding in refit.findings if finding.post == post and finding.binding}
    if "fail" in verdicts:
        return FAILS
    return NOT_DETERMINED if "cannot tell" in verdicts else STEEL
