"""At which height the sheets of posts give a tube's offsets: a round one that lies on every tube of the boat."""

from __future__ import annotations

import math

from geom.refit import Refit
from geom.schedules import numbers
from geom.schedules.placing import PLATE_RULE_LENGTH
from geom.units import Mm

_INCH_STEP, _INCH_MOST = 6.0 * 25.4, 24.0 * 25.4
_STEP = 100.0


def offset_height(refit: Refit) -> Mm:
    """Return the height, square to the deck or plumb, at which offsets of all tubes are given.

    It is 600 mm or 24 in, or as many whole 100 mm or 6 in less as the shortest tube asks for.

    Args:
        refit: the boat worked out.
    """
    step, most = (_STEP, PLATE_RULE_LENGTH) if numbers(refit.boat).unit == "mm" else (_INCH_STEP, _INCH_MOST)
    reach = min(post.top * math.cos(max(post.plate.total, post.tilt)) for post in refit.placed.posts.values())
    if reach < step:
        step /= 10.0
    return min(most, math.floor(reach / step + 1e-9) * step)
