"""Pictures of solids: isometric axes, the whole boat with its posts."""

from __future__ import annotations

import itertools
import math
import subprocess
import sys

import numpy as np
import pytest

from geom import resources
from geom.boat.file import read_boat
from geom.figure import Arc, Circle, Item, Line, Point, Polyline
from geom.parts.catalogue import part
from geom.refit import refit
from geom.solids.assembly import assemble
from geom.solids.cache import PartCache
from geom.solids.views import ISOMETRIC, boat_view, pictorial


def chains(items: tuple[Item, ...], layer: str) -> list[list[Point]]:
    found: list[list[Point]] = []
    for item in items:
        if getattr(item, "layer", "") != layer:
            continue
        if isinstance(item, Line):
            found.append([item.start, item.end])
        elif isinstance(item, Polyline):
            found.append([*item.points, item.points[0]] if item.closed else list(item.points))
        elif isinstance(item, Arc | Circle):
            start, end = (item.start, item.end) if isinstance(item, Arc) else (0.0, math.tau)
            sweep = (end - start) % math.tau or math.tau
            angles = [start + sweep * k / 96 for k in range(97)]
            (x, y), r = item.centre, item.radius
            found.append([(x + r * math.cos(a), y + r * math.sin(a)) for a in angles])
    return found


def samples(items: tuple[Item, ...], layer: str = "OUTLINE", step: float = 0.05) -> np.ndarray:
    points = []
    for chain in chains(items, layer):
        for (x0, y0), (x1, y1) in itertools.pairwise(chain):
            count = max(1, int(math.dist((x0, y0), (x1, y1)) / step))
            points += [(x0 + (x1 - x0) * (k + 0.5) / count, y0 + (y1 - y0) * (k + 0.5) / count) for k in range(count)]
    return np.array(points)


def test_isometric_axes() -> None:
    """ISO 5456-3: in an isometric view all three axes are shortened alike, by sqrt(2/3), 120 deg apart."""
    block = part("rail_eye", "8")
    items = pictorial((block.solid(),), ISOMETRIC)
    upright = [i for i in items if isinstance(i, Line) and abs(i.start[0] - i.end[0]) < 1e-6]
    assert upright
    foot_to_shoulder = max(abs(i.end[1] - i.start[1]) for i in upright)
    assert foot_to_shoulder == pytest.approx(14.0 * math.sqrt(2.0 / 3.0), abs=1e-3)


def test_whole_boat_holds_its_posts_and_is_the_same_in_every_process() -> None:
    boat = refit(read_boat(resources.starter_text("first-try").encode("utf-8"), "first-try"))
    items = boat_view(assemble(boat), PartCache(None).shape)
    code = (
        "from geom import resources\nfrom geom.boat.file import read_boat\nfrom geom.refit import refit\n"
        "from geom.solids.assembly import assemble\nfrom geom.solids.cache import PartCache\n"
        "from geom.solids.views import boat_view\n"
        "boat = refit(read_boat(resources.starter_text('first-try').encode(), 'first-try'))\n"
        "print(boat_view(assemble(boat), PartCache(None).shape))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert run.stdout.strip() == repr(items)
    points = samples(items, step=5.0)
    right = (-math.sqrt(0.5), math.sqrt(0.5), 0.0)
    for post in boat.placed.posts.values():
        foot = post.foot
        x = foot[0] * right[0] + foot[1] * right[1]
        assert abs(points[:, 0] - x).min() < 20.0
