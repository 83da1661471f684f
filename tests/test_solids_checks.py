"""The solids as an independent witness of holes, eyes, gates and hooks."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from geom import resources
from geom.boat.file import read_boat
from geom.parts.catalogue import part, sizes
from geom.parts.families.post import DrilledHole, PostSpec
from geom.parts.families.turnbuckle import StudTurnbuckleSpec
from geom.parts.part import Part
from geom.placement.eyes import bare_eye, limits
from geom.placement.holes import clear_diameter
from geom.refit import Refit, refit
from geom.solids.assembly import Assembly, assemble
from geom.solids.cache import PartCache
from geom.solids.checks import (
    SolidCheck,
    bored_walls,
    free_diameter,
    gate_widths,
    hook_swings,
    line_past_solids,
    solid_checks,
    turnbuckle_ranges,
)
from geom.solids.step import location
from tests.boats import refit_of
from tests.counts import seeds
from tests.made import parts
from tests.some import some


def starter(name: str) -> Refit:
    return refit(read_boat(resources.starter_text(name).encode("utf-8"), name))


@pytest.fixture(scope="module")
def store() -> PartCache:
    return parts()


def by_kind(checks: tuple[SolidCheck, ...]) -> dict[str, list[SolidCheck]]:
    found: dict[str, list[SolidCheck]] = {}
    for check in checks:
        found.setdefault(check.kind, []).append(check)
    return found


@pytest.mark.slow
@pytest.mark.parametrize("name", ["pipwing-25", "saltwhin-31"])
def test_solids_agree_with_the_numbers(name: str, store: PartCache) -> None:
    boat = starter(name)
    checks = by_kind(solid_checks(boat, assemble(boat), store.shape))
    assert len(checks["line in hole"]) == len(boat.placed.lines_in_holes)
    for check in checks["line in hole"]:
        stated = boat.placed.lines_in_holes[check.subject.split(" in ")[1]].on_axis
        assert stated is not None
        assert max(stated.clear, 0.0) == pytest.approx(check.measured, abs=0.001)
        assert check.holds == (not stated.touches_both_lips)
    for check in checks["bore on axis"]:
        assert check.holds, check
    for check in checks.get("gate clear width", []):
        gate = boat.placed.gates[check.subject]
        # The least distance of two leaning tubes is at most the clear width told at any level.
        assert check.measured <= min(level.clear for level in gate.levels) + 0.001
    assert {check.holds for check in checks["line past solids"]} == {True}
    assert len(checks["hook swing"]) == sum(
        boat.boat.fittings[name].family == "over-centre gate hook"
        for run in boat.boat.runs
        for end in (run.start, run.finish)
        for name in end.fittings
    )


def tube_with(hole: DrilledHole, od: float, wall: float) -> PostSpec:
    return PostSpec(od, wall, 200.0, (hole,))


@pytest.mark.long
def test_eye_verdicts_against_drilled_tubes() -> None:
    """Random holes, ropes and angles: the folded eye's envelope of 2 d, along the hole, and the line at its angle.

    Every other rope is nearly as thick as the bore takes. The eye's axis is the hole's own, so its room is the bore;
    the verdict is `passes` or `squeeze` exactly where the envelope and the tube do not share room, but for the
    verdict's own tolerance on the bore.
    """
    rule = limits(None)
    for seed in some(seeds(10)):
        pick = random.Random(seed)
        od, wall = pick.uniform(22.0, 32.0), pick.uniform(1.2, 2.2)
        hole = DrilledHole("U", 100.0, pick.uniform(6.0, 14.0), pick.uniform(-0.4, 0.4), pick.uniform(-0.2, 0.2))
        spec = tube_with(hole, od, wall)
        solid = spec.solid().wrapped
        axis, centre = spec.direction(hole), (0.0, 0.0, 100.0)
        walls = bored_walls(solid, spec.holes()[0])
        room = free_diameter(solid, walls, centre, axis)
        rope = pick.uniform(3.0, 8.0) if seed % 2 else 0.5 * hole.diameter * pick.uniform(0.97, 1.03)
        verdict = bare_eye(hole.diameter, rope, rule).verdict
        if abs(room - 2.0 * rope) > rule.tolerance:
            assert (verdict in ("passes", "squeeze")) == (room > 2.0 * rope)
        turn, lift = pick.uniform(-0.25, 0.25), pick.uniform(-0.2, 0.2)
        tilted = replace(hole, clocking=hole.clocking + turn, tilt=hole.tilt + lift)
        line = spec.direction(tilted)
        stated = clear_diameter(od, hole.diameter, (0.0, 0.0, 1.0), axis, line)
        assert max(stated, 0.0) == pytest.approx(free_diameter(solid, walls, centre, line), abs=0.001)


def broken(whole: Assembly, instance: str, spec: Part) -> Assembly:
    pieces = tuple(replace(p, part=spec) if p.instance == instance else p for p in whole.pieces)
    return replace(whole, pieces=pieces)


def test_a_post_in_the_way_of_a_line_is_seen(store: PartCache) -> None:
    boat = starter("saltwhin-31")
    whole = assemble(boat)
    run = boat.placed.runs["S-F-U"]
    middle = tuple((a + b) / 2.0 for a, b in zip(run.points[1], run.points[2], strict=True))
    foot = (middle[0], middle[1] + 14.0, middle[2] - 300.0)
    pieces = list(whole.pieces)
    at = next(k for k, p in enumerate(pieces) if p.instance == "P-S1")
    pieces[at] = replace(pieces[at], frame=replace(pieces[at].frame, origin=foot))
    moved = replace(whole, pieces=tuple(pieces))
    placed = {p.instance: store.shape(p.part).Moved(location(p.frame)) for p in pieces if p.part is not None}
    (found,) = line_past_solids(run, moved, placed)
    assert "P-S1" in found.note
    assert found.measured < 14.0


def test_gate_width_follows_the_tubes(store: PartCache) -> None:
    boat = starter("saltwhin-31")
    widths = {check.subject: check.measured for check in gate_widths(boat, store.shape)}
    # Posts S-S3 and S-S4 stand parallel: 720 mm apart aft, 23 mm outboard, less a tube's diameter.
    lean = math.radians(3.0)
    assert widths["S-GATE"] == pytest.approx(
        math.hypot(720.0, 23.0 * math.cos(lean) + 11.0 * math.sin(lean)) - 25.0, abs=0.05
    )


def with_runs(boat: Refit, names: tuple[str, ...]) -> Refit:
    """Return a boat that has some of its runs only."""
    runs = tuple(run for run in boat.boat.runs if run.id in names)
    return refit(replace(boat.loaded, boat=boat.boat.model_copy(update={"runs": runs, "gates": ()})))


def test_a_hook_without_room_is_seen(store: PartCache) -> None:
    """A lever longer than its hook's distance from the gate post meets the post as it opens."""
    boat = with_runs(starter("saltwhin-31"), ("S-G-L", "P-G-L"))
    whole = assemble(boat)
    name = "S-G-L finish gate hook lever"
    lever = next(p.part for p in whole.pieces if p.instance == name)
    long = broken(whole, name, replace(lever, tail=150.0))  # type: ignore[type-var]
    placed = {p.instance: store.shape(p.part).Moved(location(p.frame)) for p in long.pieces if p.part is not None}
    found = {check.subject: check for check in hook_swings(boat, long, placed, store.shape)}
    assert found["S-G-L finish gate hook"].measured < found["P-G-L finish gate hook"].measured


@pytest.mark.parametrize("size", sizes("turnbuckle"))
def test_turnbuckles_reach_both_limits(size: str) -> None:
    spec = part("turnbuckle", size)
    whole = starter("pipwing-25")
    assembly = assemble(whole)
    name = "S-F-U start turnbuckle"
    checks = list(turnbuckle_ranges(broken(assembly, name, spec)))
    assert all(check.holds for check in checks)
    outside = 0.5 * (spec.maximum - spec.opening) + spec.outside  # type: ignore[attr-defined]
    short = replace(spec, screw=0.99 * outside)  # type: ignore[type-var]
    assert not all(check.holds for check in turnbuckle_ranges(broken(assembly, name, short)))


def test_a_stud_is_screwed_into_its_turnbuckle() -> None:
    """Pin to face is the planned length of the boat file, 215 mm, and 30 mm of the stud's thread are inside."""
    assembly = assemble(refit_of("yacht-52"))
    pieces = {piece.instance: piece for piece in assembly.pieces}
    turnbuckle, stud = pieces["S-F-U finish turnbuckle"], pieces["S-F-U finish stud"]
    assert isinstance(turnbuckle.part, StudTurnbuckleSpec) and stud.part is not None
    pin, face = (turnbuckle.frame.point((0.0, 0.0, z)) for z in (-107.5, 107.5))
    assert math.dist(pin, refit_of("yacht-52").placed.runs["S-F-U"].points[-1]) == pytest.approx(0.0, abs=1e-6)
    box = turnbuckle.part.box()
    assert (box.low[2], box.high[2]) == pytest.approx((-107.5 - turnbuckle.part.eye_radius, 107.5))
    ends = [stud.frame.point((0.0, 0.0, z)) for z in (stud.part.box().low[2], stud.part.box().high[2])]
    assert min(math.dist(end, pin) for end in ends) == pytest.approx(215.0 - 30.0)
    assert min(math.dist(end, face) for end in ends) == pytest.approx(30.0)
    checks = [check for check in turnbuckle_ranges(assembly) if check.subject == turnbuckle.instance]
    assert [(check.measured, check.holds) for check in checks] == [(165.0, True), (230.0, True)]
    short = replace(turnbuckle.part, screw=0.99 * (turnbuckle.part.outside + 7.5))
    assert not all(check.holds for check in turnbuckle_ranges(broken(assembly, turnbuckle.instance, short)))
