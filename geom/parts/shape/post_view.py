"""The views of a post: its tube with drilled holes, and the curves where a hole meets the surface of a tube."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geom.figure import Circle, Dimension, Item, Line, Polyline
from geom.vec import Vec

if TYPE_CHECKING:
    from geom.parts.families.post import DrilledHole, PostSpec


def view(post: PostSpec, axis: int) -> tuple[Item, ...]:
    """Return a view of a post: 0 square to the fore-and-aft plane, 1 from aft."""
    r, b = 0.5 * post.od, 0.5 * post.bore
    items: list[Item] = [
        *_tube(post, axis),
        *(Line((w, _foot_of(post, axis, w)), (w, post.top), "HIDDEN") for w in (-b, b)),
        Line((0.0, -10.0), (0.0, post.top + 10.0), "CENTRE"),
    ]
    if axis == 0:
        items.append(Dimension((-r, post.top), (r, post.top), 12.0, along=0.0, text="Ø<>", tag="dim:od"))
    items.append(Dimension((r, 0.0), (r, post.top), -26.0, along=math.pi / 2.0, tag="dim:length"))
    for hole, cylinder in zip(post.drilled, post.holes(), strict=True):
        items += _hole_items(post, hole, cylinder.direction, axis)
    return tuple(items)


def _foot_of(post: PostSpec, axis: int, across: float) -> float:
    return post.foot_at(across, 0.0) if axis == 0 else post.foot_at(0.0, across)


def _tube(post: PostSpec, axis: int) -> list[Item]:
    """Return the silhouette; a sloped foot shows its rim, the far half hidden where the near half covers it."""
    r = 0.5 * post.od
    left, right = _foot_of(post, axis, -r), _foot_of(post, axis, r)
    if post.slope == 0.0:
        return [Polyline(((-r, left), (r, right), (r, post.top), (-r, post.top)), "OUTLINE", closed=True)]
    items: list[Item] = [Polyline(((-r, left), (-r, post.top), (r, post.top), (r, right)), "OUTLINE")]
    hand = 1.0 if post.hand == "S" else -1.0
    deepest = math.atan2(-hand * post.foot_rise[1], -post.foot_rise[0])
    near = -1.0 if axis == 0 else 1.0
    rims = {}
    for side in (near, -near):
        # Half a turn from one side of the silhouette to the other, including the lowest point.
        first = (math.pi if side < 0.0 else 0.0) if axis == 0 else (-0.5 * math.pi if side > 0.0 else 0.5 * math.pi)
        angles = sorted({(math.pi * k) / 36.0 for k in range(37)} | {(deepest - first) % math.tau})
        places = [(r * math.cos(first + a), r * math.sin(first + a)) for a in angles if a <= math.pi + 1e-12]
        rims[side] = tuple((p[axis], post.foot_at(*p)) for p in places)
    deeper = min(z for _, z in rims[-near]) < min(z for _, z in rims[near])
    items.append(Polyline(rims[near], "OUTLINE"))
    items.append(Polyline(rims[-near], "OUTLINE" if deeper else "HIDDEN"))
    return items


def _hole_items(post: PostSpec, hole: DrilledHole, direction: Vec, axis: int) -> list[Item]:
    """Return the edge curves of a drilled hole on the tube, in true position, and its axis."""
    towards_viewer = (1, -1.0) if axis == 0 else (0, 1.0)
    items: list[Item] = []
    for edge in hole_edges(0.5 * post.od, 0.5 * hole.diameter, direction):
        seen = any(p[towards_viewer[0]] * towards_viewer[1] > 0.0 for p in edge)
        points = tuple((p[axis], p[2] + hole.along) for p in edge)
        items.append(Polyline(points, "OUTLINE" if seen else "HIDDEN", closed=True, tag=f"hole:{hole.name}"))
    slope = (direction[axis], direction[2])
    reach = 0.5 * post.od + 6.0
    stretch = reach / max(abs(direction[0]), abs(direction[1]))
    ends = [(s * slope[0] * stretch, hole.along + s * slope[1] * stretch) for s in (-1.0, 1.0)]
    items.append(Line(ends[0], ends[1], "CENTRE"))
    if axis == 0:
        at = (0.5 * post.od, hole.along)
        items.append(Dimension((0.5 * post.od, 0.0), at, -14.0, along=math.pi / 2.0, tag=f"dim:{hole.name} along"))
    return items


def end(post: PostSpec) -> tuple[Item, ...]:
    """Return the view of a post along its tube."""
    items: list[Item] = [
        Circle((0.0, 0.0), 0.5 * post.od, "OUTLINE"),
        Circle((0.0, 0.0), 0.5 * post.bore, "OUTLINE"),
    ]
    for cylinder in post.holes():
        length = math.hypot(cylinder.direction[0], cylinder.direction[1])
        x, y = (v / length * (0.5 * post.od + 8.0) for v in cylinder.direction[:2])
        items.append(Line((-x, -y), (x, y), "CENTRE", tag=f"hole:{cylinder.name}"))
    return tuple(items)


def hole_edges(radius: float, a: float, u: Vec, steps: int = 48) -> tuple[list[Vec], list[Vec]]:
    """Return the two closed curves where a hole meets the surface of a tube [mm], the aft one first.

    e = u x Z over its length and f = e x u span the hole's section, so that a point of its wall is
    a (cos t e + sin t f) + s u; the tube's radius gives two values of s, one forward and one aft.

    Args:
        radius: outside radius of the tube [mm].
        a: radius of the hole [mm].
        u: unit direction of the hole's axis.
        steps: number of points on each curve.
    """
    flat = math.hypot(u[0], u[1])
    e = (u[1] / flat, -u[0] / flat, 0.0)
    f = (e[1] * u[2], -e[0] * u[2], e[0] * u[1] - e[1] * u[0])
    aft: list[Vec] = []
    fore: list[Vec] = []
    for k in range(steps):
        t = math.tau * k / steps
        p = tuple(a * (math.cos(t) * e[i] + math.sin(t) * f[i]) for i in range(3))
        half = (p[0] * u[0] + p[1] * u[1]) / (flat * flat)
        root = math.sqrt(half * half - (p[0] ** 2 + p[1] ** 2 - radius * radius) / (flat * flat))
        for store, s in ((aft, -half + root), (fore, -half - root)):
            store.append((p[0] + s * u[0], p[1] + s * u[1], p[2] + s * u[2]))
    return aft, fore
