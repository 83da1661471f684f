"""Every family, every size row: sizes are named once and sourced, sizes that cannot be made are refused."""

from __future__ import annotations

import csv
import math
from dataclasses import fields, replace
from importlib import resources

import pytest

from geom.errors import GeometryError, OutsideTableError
from geom.parts.catalogue import FAMILIES, data_of, part, sizes
from geom.parts.families.bush import BushSpec
from geom.parts.families.gate_hook import GateHook
from geom.parts.families.rail import RailSpec
from tests.some import some

ALL = [(table, size) for table in FAMILIES for size in sizes(table)]
RAIL = RailSpec(25.0, 1.5, 80.0, ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 400.0, 100.0), (600.0, 500.0, 600.0)))
SURE = {"found", "found-2", "calc", "memory hi", "memory mid", "memory lo", "common practice", "invented"}


@pytest.mark.parametrize(("table", "size"), ALL)
def test_every_row_has_its_source(table: str, size: str) -> None:
    for dimension, datum in some(data_of(table, size).items()):
        assert datum.source, dimension
        assert datum.sure in SURE, dimension
        assert (datum.source == "generic, invented") == (datum.sure == "invented"), dimension
        if datum.sure.startswith("memory"):
            assert "verify" in datum.source, dimension


@pytest.mark.parametrize(("table", "size"), ALL)
def test_named_sizes_are_unique(table: str, size: str) -> None:
    spec = part(table, size)
    assert len({dim.name for dim in spec.dims()}) == len(spec.dims()) > 0


@pytest.mark.parametrize("table", FAMILIES)
@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_sizes_that_are_no_sizes_are_refused(table: str, bad: float) -> None:
    """Each size of each family, made zero, negative, not a number or infinite, is refused by name before the kernel."""
    spec = part(table, sizes(table)[0])
    may_be_zero = {"start", "hidden", "mouth_radius", "wedge", "socket_od", "socket_bore", "socket_height"}
    for field in some(fields(spec)):  # type: ignore[arg-type]
        value = getattr(spec, field.name)
        if not isinstance(value, float | int) or (bad == 0.0 and field.name in may_be_zero):
            continue
        if field.name == "wedge" and bad == -1.0:
            continue
        with pytest.raises(GeometryError, match=spec.family.split()[-1]):
            replace(spec, **{field.name: bad})  # type: ignore[type-var]


@pytest.mark.parametrize(
    ("table", "changes", "word"),
    [
        ("cap", {"plug": 26.0}, "plug"),
        ("bush", {"bore": 11.0}, "no wall"),
        ("bush", {"mouth_radius": 14.0, "od": 60.0}, "mouths"),
        ("base", {"wedge": 0.3}, "thin edge"),
        ("base", {"fastening_pitch_x": 75.0}, "run off the plate"),
        ("rail_eye", {"hole": 16.0}, "smaller than the eye"),
        ("eye_stud", {"collar": 12.0}, "collar"),
        ("shackle", {"ear_thickness": 3.0}, "thicker than the bar"),
        ("pin", {"grip": 2000.0}, "runs off the pin"),
        ("thimble", {"inside": 15.9}, "groove"),
        ("turnbuckle", {"opening": 140.0}, "limits"),
        ("turnbuckle", {"opening": 97.0}, "limits"),
        ("swaged_stud", {"bore": 6.0}, "bore"),
        ("compression_terminal", {"sleeve": 14.0}, "hexagon"),
        ("terminal_eye", {"eye_hole": 13.0}, "smaller than the eye"),
        ("terminal_eye", {"bore_depth": 44.0}, "inside the shank"),
        ("terminal_fork", {"pin_hole": 9.6}, "smaller than the cheek"),
        ("terminal_fork", {"neck": 3.0}, "runs into the block"),
        ("gate_hook_lever", {"pivot": 8.0}, "width"),
        ("stop_knot", {"knot": 4.0}, "thicker"),
        ("soft_eye", {"throat_width": 8.0}, "two legs"),
        ("soft_eye", {"throat_to_bearing": 9.0}, "too short"),
        ("lashing", {"between": 4.0}, "touch"),
    ],
)
def test_contradicting_sizes_are_refused(table: str, changes: dict[str, float], word: str) -> None:
    with pytest.raises(GeometryError, match=word):
        part(table, sizes(table)[0], **changes)


def test_rails_that_cannot_be_bent_are_refused() -> None:
    with pytest.raises(GeometryError, match="tighter"):
        replace(RAIL, points=((0.0, 0.0, 0.0), (40.0, 0.0, 0.0), (40.0, 40.0, 0.0)))
    with pytest.raises(GeometryError, match="coincident"):
        replace(RAIL, points=((0.0, 0.0, 0.0), (0.0, 0.0, 0.0)))
    with pytest.raises(GeometryError, match="no bore"):
        replace(RAIL, wall=13.0)


def test_a_size_outside_the_table_is_refused() -> None:
    with pytest.raises(OutsideTableError, match="it has 3, 4, 5"):
        part("thimble", "7")
    with pytest.raises(OutsideTableError, match="no family"):
        part("anchor", "1")


@pytest.mark.parametrize("size", sizes("gate_hook_body"))
def test_gate_hook_goes_together_at_its_named_length(size: str) -> None:
    hook = GateHook(part("gate_hook_body", size), part("gate_hook_lever", size))  # type: ignore[arg-type]
    assert hook.length == pytest.approx(float(size), abs=1e-9)
    _, (_, lever, frame), _ = hook.members()
    keeper = next(hole for hole in lever.holes() if hole.name == "keeper")
    wanted = next(hole for hole in hook.body.holes() if hole.name == "keeper")
    x, _, z = frame.point(keeper.point)
    assert (x, z) == pytest.approx((wanted.point[0], wanted.point[2]), abs=1e-9)


def drawn_places(open_by: float, size: str = "105") -> dict[str, tuple[float, float]]:
    """Return pivot and middle of the bight in the hook's own front view, from the lever's profile and bores."""
    hook = GateHook(part("gate_hook_body", size), part("gate_hook_lever", size), open_by)  # type: ignore[arg-type]
    _, (_, lever, frame), _ = hook.members()
    (body,) = lever.bodies()  # type: ignore[attr-defined]
    strokes = [stroke for profile in (body.profile, *body.windows) for stroke in profile.strokes()]
    half = 0.5 * lever.opening  # type: ignore[attr-defined]
    bights = {one.centre for one in strokes if one.centre is not None and abs(one.radius - half) < 1e-9}
    pivots = [centre for _, centre, radius in body.bores if abs(radius - 0.5 * lever.pivot) < 1e-9]  # type: ignore[attr-defined]
    assert len(bights) == len(pivots) == 1
    found = {}
    for name, (u, v) in (("bight", bights.pop()), ("pivot", pivots[0])):
        place = frame.point(body.frame.point((u, v, 0.0)))
        found[name] = (place[0], place[2])
    return found


def moment_about_pivot(bight: tuple[float, float], pivot: tuple[float, float]) -> float:
    """Return the moment of a unit pull at the bight, away from the line's pin at the origin, + from x to z [mm]."""
    long = math.hypot(*bight)
    pull = (bight[0] / long, bight[1] / long)
    arm = (bight[0] - pivot[0], bight[1] - pivot[1])
    return arm[0] * pull[1] - arm[1] * pull[0]


@pytest.mark.parametrize("size", sizes("gate_hook_body"))
def test_gate_hook_pull_shuts_the_lever(size: str) -> None:
    """The pull turns the lever against the way in which it opens, by its moment about the pivot as drawn."""
    shut, opened = drawn_places(0.0, size), drawn_places(0.01, size)
    arm, moved = (tuple(places["bight"][k] - places["pivot"][k] for k in (0, 1)) for places in (shut, opened))
    opens = arm[0] * moved[1] - arm[1] * moved[0]
    moment = moment_about_pivot(shut["bight"], shut["pivot"])
    assert abs(moment) > 1.0, "the pull goes through the pivot"
    assert moment * opens < 0.0, "the pull opens the hook"
    # Were the bight on the pivot's other side, the same pull would open it.
    mirrored = (2.0 * shut["pivot"][0] - shut["bight"][0], shut["bight"][1])
    assert moment_about_pivot(mirrored, shut["pivot"]) * opens > 0.0


def test_tables_are_whole() -> None:
    for table in some(FAMILIES):
        text = resources.files("geom.data").joinpath(f"parts/{table}.csv").read_text("utf-8")
        listed = list(csv.DictReader(text.splitlines()))
        keys = [(row["size"], row["dimension"]) for row in listed]
        assert len(keys) == len(set(keys)), table


def test_a_bush_rounded_by_its_whole_wall_has_no_flat_end() -> None:
    """Bore 8.7 in 12.7, mouths R 2.0: a tube of 27 less two quarter-round grooves, by Pappus and in the kernel."""
    bush = BushSpec(12.7, 8.7, 27.0, 2.0)
    # Cut from each mouth: a square of 2 x 2 less a quarter disc, its centroid by difference.
    square, disc = 4.0, math.pi
    off_bore = (square * 1.0 - disc * (2.0 - 8.0 / (3.0 * math.pi))) / (square - disc)
    cut = math.tau * (4.35 + off_bore) * (square - disc)
    tube = math.pi * (6.35**2 - 4.35**2) * 27.0
    assert bush.volume() == pytest.approx(tube - 2.0 * cut, rel=1e-9)
    assert bush.solid().Volume() == pytest.approx(bush.volume(), rel=1e-6)
