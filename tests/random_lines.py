"""Random guard lines: a few spans that bend a little at every hole, as on a boat."""

from __future__ import annotations

import math
import random

from geom.mechanics.elastic_line import Line, PointLoad


def random_line(rng: random.Random, spans: int | None = None) -> Line:
    count = spans if spans is not None else rng.randint(1, 5)
    points = [(rng.uniform(-500.0, 500.0), rng.uniform(-500.0, 500.0), rng.uniform(1000.0, 1500.0))]
    heading, climb = rng.uniform(-0.4, 0.4), rng.uniform(-0.05, 0.05)
    for _ in range(count):
        length = rng.uniform(700.0, 2200.0)
        x, y, z = points[-1]
        flat = length * math.cos(climb)
        points.append((x + flat * math.cos(heading), y + flat * math.sin(heading), z + length * math.sin(climb)))
        heading += rng.uniform(-0.2, 0.2)
        climb += rng.uniform(-0.04, 0.04)
    return Line(tuple(points), rng.uniform(0.4e6, 2.5e6), 0.0, (0.0,) * (count - 1))


def random_load(rng: random.Random, line: Line) -> PointLoad:
    size = 10.0 ** rng.uniform(1.3, 3.8)
    bearing, dip = rng.uniform(-math.pi, math.pi), rng.uniform(-1.2, 1.2)
    force = (
        size * 0.3 * math.cos(dip) * math.cos(bearing),
        size * math.cos(dip) * math.sin(bearing),
        size * math.sin(dip),
    )
    return PointLoad(rng.randrange(len(line.spans)), rng.uniform(0.1, 0.9), force)
