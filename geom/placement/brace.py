"""The brace of a gate post: its foot from the post's foot, its joint on the tube, its slant and angle to the tube."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.placement.place import PlacedPost, side_sign
from geom.units import Mm, Rad
from geom.vec import Vec


@dataclass(frozen=True)
class PlacedBrace:
    """A brace by its axis: its foot aft, outboard and above the post's foot, its joint along the tube from there.

    `slant` is the length from the foot to the tube's axis, `angle` that to the tube; `foot` and `top` are its ends
    from the post's foot [mm].
    """

    aft: Mm
    out: Mm
    up: Mm
    along: Mm
    slant: Mm
    angle: Rad
    foot: Vec
    top: Vec


def brace_of(post: PlacedPost) -> PlacedBrace | None:
    """Return the brace of a post, None where it has none."""
    spec = post.spec.brace
    if spec is None:
        return None
    foot, top = vec.sub(spec.foot, post.foot), vec.scale(post.axis, spec.along)
    run = vec.sub(foot, top)
    return PlacedBrace(
        aft=foot[0],
        out=side_sign(post.side) * foot[1],
        up=foot[2],
        along=spec.along,
        slant=math.hypot(*run),
        angle=vec.angle(run, vec.scale(post.axis, -1.0)),
        foot=foot,
        top=top,
    )
