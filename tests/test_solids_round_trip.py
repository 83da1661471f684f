"""Every family written to STEP and read back: one valid solid, exact volume and box, holes where specified."""

from __future__ import annotations

import math
import random
from dataclasses import fields, replace

import pytest

from geom.errors import GeometryError
from geom.parts.catalogue import FAMILIES, part, sizes
from geom.parts.families.rail import RailSpec
from geom.parts.part import Part
from geom.solids.proof import read_step, require_true
from geom.solids.step import Product, step_bytes
from tests.counts import SEED, TIMES, seeds
from tests.some import some

ALL = [(table, size) for table in FAMILIES for size in sizes(table)]


def round_trip(spec: Part) -> None:
    (body,) = read_step(step_bytes("PART", (Product("PART", spec.solid()),)))
    require_true(spec, body)


@pytest.mark.parametrize(("table", "size"), ALL)
def test_listed_sizes(table: str, size: str) -> None:
    round_trip(part(table, size))


def random_part(table: str, pick: random.Random) -> Part:
    """A listed size, scaled as a whole and then each size by itself, until it can be made."""
    listed = part(table, pick.choice(sizes(table)))
    while True:
        whole = pick.uniform(0.6, 1.6)
        changes: dict[str, float] = {}
        for field in fields(listed):  # type: ignore[arg-type]
            value = getattr(listed, field.name)
            if isinstance(value, float) and value != 0.0:
                scale = 1.0 if field.name == "wedge" else whole
                changes[field.name] = value * scale * pick.uniform(0.9, 1.1)
        try:
            return replace(listed, **changes)  # type: ignore[type-var]
        except GeometryError:
            continue


@pytest.mark.long
@pytest.mark.parametrize("table", FAMILIES)
def test_random_sizes(table: str) -> None:
    for seed in some(seeds(3)):
        round_trip(random_part(table, random.Random(f"{table} {seed}")))


@pytest.mark.long
def test_random_rails() -> None:
    """Rails through random points: volume is section times developed length, the box follows the bends."""
    pick = random.Random(7 + SEED)
    made = 0
    while made < 4 * TIMES:
        points = [(0.0, 0.0, 0.0)]
        for _ in range(pick.randint(1, 4)):
            points.append(tuple(c + pick.uniform(-500.0, 500.0) for c in points[-1]))  # type: ignore[arg-type]
        try:
            spec = RailSpec(pick.uniform(18.0, 33.0), pick.uniform(1.0, 2.5), pick.uniform(60.0, 150.0), tuple(points))
        except GeometryError:
            continue
        round_trip(spec)
        made += 1


def test_proof_fails_for_every_size_that_is_off() -> None:
    """Each size of a turned, an extruded and a swept part, 0.01 mm off: the proof says so."""
    for table in ("cap", "rail_eye", "shackle", "thimble", "base"):
        spec = part(table, sizes(table)[-1])
        (body,) = read_step(step_bytes("PART", (Product("PART", spec.solid()),)))
        for field in some(fields(spec)):  # type: ignore[arg-type]
            off = replace(spec, **{field.name: getattr(spec, field.name) + 0.01})  # type: ignore[type-var]
            with pytest.raises(GeometryError):
                require_true(off, body)


def test_bent_rail_against_hand_calculation() -> None:
    """Two legs of 500 mm and a square bend of 100 mm: developed length 2 x 400 + 100 pi / 2."""
    spec = RailSpec(25.0, 1.5, 100.0, ((0.0, 0.0, 0.0), (500.0, 0.0, 0.0), (500.0, 500.0, 0.0)))
    length = 800.0 + 50.0 * math.pi
    assert spec.volume() == pytest.approx(math.pi * 23.5 * 1.5 * length, rel=1e-12)
    round_trip(spec)
