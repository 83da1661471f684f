"""Posts worked out apart from the program, with a general array library, from what the boat file says."""

from __future__ import annotations

import math

import numpy as np

RULE = 600.0


def side_of(name):
    return 1.0 if name.startswith("S") else -1.0


def unit(v):
    return np.asarray(v, float) / np.linalg.norm(v)


def axis_of(post, attitude=None):
    """Return the tube's direction in boat axes, as found or on another attitude."""
    stated = attitude or post
    return unit([math.tan(stated.rake), side_of(post.id) * math.tan(stated.lean), 1.0])


def deck_of(post):
    """Return the deck's directions at the foot as rows: aft, outboard, up."""
    falls = post.deck_falls
    up = unit([math.tan(falls.aft), side_of(post.id) * math.tan(falls.outboard), 1.0])
    aft = unit(np.array([1.0, 0.0, 0.0]) - up[0] * up)
    return np.array([aft, side_of(post.id) * np.cross(up, aft), up])


def offsets_of(post, attitude=None, rule=RULE):
    """Return how far the axis stands outboard and aft of square at a height over the deck."""
    aft, out, up = deck_of(post) @ axis_of(post, attitude)
    return rule * out / up, rule * aft / up


def brace_of(post):
    """Return a brace's foot aft, outboard, above the post's foot, its slant to the tube's axis, its angle to it."""
    away = np.asarray(post.brace.foot) - np.asarray(post.foot)
    run = away - post.brace.along * axis_of(post)
    slant = float(np.linalg.norm(run))
    return away[0], side_of(post.id) * away[1], away[2], slant, math.acos(float(-run @ axis_of(post)) / slant)


def foot_spread(post, od):
    """Return how much longer a tube is on one side where the deck cuts it, and that side's place aft and outboard."""
    axis, frame = axis_of(post), deck_of(post)
    across = frame[2] - (frame[2] @ axis) * axis
    long = across / np.linalg.norm(across)
    return od * float(np.linalg.norm(across)) / float(frame[2] @ axis), frame[:2] @ long


def hole_at(post, level):
    return np.asarray(post.foot) + post.holes[level].along * axis_of(post)


def clocking_seen(post, drilled):
    """Return the angle of a hole's aft end from the plate's aft mark, both seen along the tube, outboard + [deg]."""
    axis = axis_of(post)
    mark = deck_of(post)[0]
    flat = [v - (v @ axis) * axis for v in (mark, np.asarray(drilled))]
    turn = math.atan2(np.cross(flat[0], flat[1]) @ axis, flat[0] @ flat[1])
    return math.degrees(side_of(post.id) * turn)


def four_lengths(a, b):
    """Return upper to upper, lower to lower, upper to lower, lower to upper of two posts, foot for a missing lower."""

    def ends(post):
        found = sorted((hole_at(post, level) for level in post.holes), key=lambda p: p[2])
        return found[-1], (np.asarray(post.foot) if len(found) == 1 else found[0])

    (a_up, a_low), (b_up, b_low) = ends(a), ends(b)
    return [float(np.linalg.norm(p - q)) for p, q in ((a_up, b_up), (a_low, b_low), (a_up, b_low), (a_low, b_up))]


def pad_on_axis(post, base):
    """Return how thick a pad is on the tube's axis under a plate square to it: the lowest corner of four touches."""
    axis, frame = axis_of(post), deck_of(post)
    aft = unit(np.array([1.0, 0.0, 0.0]) - axis[0] * axis)
    out = side_of(post.id) * np.cross(axis, aft)
    corners = [0.5 * (a * base.length * aft + b * base.width * out) for a in (-1, 1) for b in (-1, 1)]
    return -min(float(corner @ frame[2]) for corner in corners) / float(axis @ frame[2])
