"""Loads on the base of a post: tension in its bolts and stress in the weld round its tube.

Assumptions: the plate is rigid and rotates about its edge on the compression side, so that a bolt carries in
proportion to its distance from that edge; the deck is rigid, the bolts are not preloaded, and the uplift is shared
evenly. The effects of both moments are added, which is conservative. The weld is a fillet all round the tube. A
plate a few degrees off square is taken as square. Plate, pad, deck and backing of the bolts are not checked.
"""

from __future__ import annotations

import math
from typing import Literal

from geom.boat.model import BasePlate
from geom.frozen import frozen
from geom.mechanics.post_bending import Bending, PostFrame
from geom.units import MPa, N

# Why a figure of a base is not determined.
Missing = Literal["base not stated", "weld size not stated"]


@frozen
class BaseLoad:
    """Loads on the base of a post: uplift [N], tension in the most loaded bolt [N], stress in the weld [MPa].

    A figure that is not determined is None, and the matching `_missing` field is the reason.
    """

    pull_off: N
    bolt_tension: N | None
    bolt_missing: Missing | None
    weld_stress: MPa | None
    weld_missing: Missing | None


def base_load(post: PostFrame, bent: Bending) -> BaseLoad:
    """Return the loads on the base of a post under its bending.

    Args:
        post: the post.
        bent: its bending.
    """
    base = post.base
    if base is None:
        return BaseLoad(bent.pull_off, None, "base not stated", None, "base not stated")
    bolt = worst_bolt(base, bent.foot, bent.pull_off)
    if base.weld_leg is None:
        return BaseLoad(bent.pull_off, bolt, None, None, "weld size not stated")
    shear = math.hypot(math.fsum(part[1] for part in bent.parts), math.fsum(part[2] for part in bent.parts))
    weld = ring_weld_stress(post.tube.od, base.weld_leg, math.hypot(*bent.foot), bent.pull_off, shear)
    return BaseLoad(bent.pull_off, bolt, None, weld, None)


def worst_bolt(base: BasePlate, moments: tuple[float, float], pull_off: float) -> float:
    """Return the maximum bolt tension of a rigid plate that rotates about its compression edge [N].

    Source: rigid-plate bolt group, any text on machine design: T = M d / sum of d^2, d from that edge.

    Args:
        base: the plate and its bolts.
        moments: at the deck, athwartships and fore-and-aft, + outboard and + aft [N mm].
        pull_off: uplift along the tube [N]; a downward force is neglected.
    """
    side, fore_aft = moments
    outboard = [0.5 * base.width - math.copysign(y, side * y) for _, y in base.bolts]
    aft = [0.5 * base.length - math.copysign(x, fore_aft * x) for x, _ in base.bolts]
    by_side, by_aft = abs(side) / math.fsum(d * d for d in outboard), abs(fore_aft) / math.fsum(d * d for d in aft)
    by_moment = max(by_side * y + by_aft * x for y, x in zip(outboard, aft, strict=True))
    return by_moment + max(pull_off, 0.0) / len(base.bolts)


def ring_weld_stress(od: float, leg: float, moment: float, pull_off: float, shear: float) -> float:
    """Return the stress on the throat of a fillet weld round a tube [MPa].

    Source: weld treated as a line, as in Shigley's Mechanical Engineering Design, table of bending properties of
    fillet welds, from memory, verify: throat = leg / sqrt 2, area 2 pi r, section modulus pi r^2 of a unit throat.

    Args:
        od: outside diameter of the tube [mm].
        leg: leg length of the fillet [mm].
        moment: at the weld [N mm].
        pull_off: uplift along the tube [N]; a downward force is neglected.
        shear: force square to the tube [N].
    """
    radius, throat = 0.5 * od, leg / math.sqrt(2.0)
    area = 2.0 * math.pi * radius * throat
    bending = moment / (math.pi * radius * radius * throat)
    return math.hypot(bending + max(pull_off, 0.0) / area, shear / area)
