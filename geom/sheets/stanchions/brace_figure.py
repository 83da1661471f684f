"""The brace of a post: position of its foot, length, and its axis in the views of the post."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.drafting import post_text as post_words
from geom.drafting.post_text import across_of
from geom.drafting.views import LETTERING
from geom.figure import Item, Line, Point, Text
from geom.parts.shape.view import Sight
from geom.placement.place import PlacedPost, side_sign
from geom.units import Mm, Rad
from geom.vec import Vec

_FOOT = 3.0


@dataclass(frozen=True)
class BracePlace:
    """A brace: its foot aft, outboard and above the post's foot, its joint along the tube, its angle to the tube.

    `slant` is the length from the foot to the tube's axis; `foot` and `top` are its ends from the post's foot [mm].
    """

    aft: Mm
    out: Mm
    up: Mm
    along: Mm
    slant: Mm
    angle: Rad
    foot: Vec
    top: Vec


def brace_of(post: PlacedPost) -> BracePlace | None:
    """Return the brace of a post, None where it has none."""
    spec = post.spec.brace
    if spec is None:
        return None
    foot, top = vec.sub(spec.foot, post.foot), vec.scale(post.axis, spec.along)
    run = vec.sub(foot, top)
    return BracePlace(
        aft=foot[0],
        out=side_sign(post.side) * foot[1],
        up=foot[2],
        along=spec.along,
        slant=math.hypot(*run),
        angle=vec.angle(run, vec.scale(post.axis, -1.0)),
        foot=foot,
        top=top,
    )


def brace_items(post: PlacedPost, sight: Sight, mm: float) -> list[Item]:
    """Return the axis of a post's brace from its foot to the tube, with its name; its own tube is not known.

    Args:
        post: the post.
        sight: the view.
        mm: model millimetres to a paper millimetre.
    """
    brace = brace_of(post)
    if brace is None:
        return []
    foot, top = sight.point(brace.foot), sight.point(brace.top)
    half = _FOOT * mm
    items: list[Item] = [
        Line(foot, top, "ADJACENT", tag=f"brace:{post.id}"),
        Line((foot[0] - half, foot[1]), (foot[0] + half, foot[1]), "ADJACENT"),
    ]
    if abs(foot[0]) > 20.0 * mm:
        away = 1.0 if foot[0] > 0.0 else -1.0
        at = _part_way(foot, top, 0.6)
        items.append(
            Text((at[0] + 2.0 * away * mm, at[1]), post_words.BRACE, LETTERING, "NOTE", across_of(away), "middle")
        )
    return items


def brace_stub(post: PlacedPost, sight: Sight, mm: float) -> list[Item]:
    """Return the upper end of the brace's axis, for a view without room for its foot.

    Args:
        post: the post.
        sight: the view.
        mm: model millimetres to a paper millimetre.
    """
    brace = brace_of(post)
    if brace is None:
        return []
    foot, top = sight.point(brace.foot), sight.point(brace.top)
    reach = math.dist(foot, top)
    return [Line(top, _part_way(top, foot, min(1.0, 14.0 * mm / reach)), "ADJACENT")]


def _part_way(start: Point, end: Point, share: float) -> Point:
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
