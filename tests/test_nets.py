"""Nets: bays and areas by hand, lacing by its own length in space, and what cannot be told."""

from __future__ import annotations

import math

import pytest

from geom.boat.file import read_boat
from geom.boat.model import Lacing
from geom.errors import InputError
from geom.page.scene import scene
from geom.placement.nets import lacing_cord, placed_nets
from geom.purchasing.order import order_list
from geom.refit import Refit, refit
from geom.solids.assembly import assemble
from geom.solids.curves import strokes_of
from tests.boats import refit_of
from tests.some import some

# Straight, level and plumb, so that each figure follows by hand: posts 2000 apart, holes 600 and 300 above the foot,
# which stands on the deck edge; from the second post aft the edge rises by 100 in 2000.
BOAT = """
format: 2
units: {length: mm, angle: deg}
axes: {origin: [0, 0, 0], x: aft, y: starboard, z_zero: waterline}
boat: {name: NETS BY HAND, loa: 8000, hull_length: 8000, beam: 2000, hulls: mono}
survey: as designed
revision: {mark: A, date: 2026-03-01, by: designer, note: first issue}
mirror: true
deck_edge: {starboard: [[0, 1000, 900], [3000, 1000, 900], [5000, 1000, 1000], [8000, 1000, 1000]]}
tubes: {stanchion: {od: 25, wall: 2, grade: 316L}}
posts:
  - {id: S-S1, foot: [1000, 1000, 900], lean: 0, rake: 0, deck_falls: {aft: 0, outboard: 0}, tube: stanchion, top: 620,
     holes: {U: {along: 600, planned: {diameter: 10}}, L: {along: 300, planned: {diameter: 10}}}}
  - {id: S-S2, foot: [3000, 1000, 900], lean: 0, rake: 0, deck_falls: {aft: 0, outboard: 0}, tube: stanchion, top: 620,
     brace: {foot: [3300, 1000, 915], along: 450},
     holes: {U: {along: 600, planned: {diameter: 10}}, L: {along: 300, planned: {diameter: 10}}}}
  - {id: S-S3, foot: [5000, 1000, 1000], lean: 0, rake: 0, deck_falls: {aft: 0, outboard: 0}, tube: stanchion, top: 620,
     holes: {U: {along: 600, planned: {diameter: 10}}, L: {along: 300, planned: {diameter: 10}}}}
eyes:
  - {id: S-PULPIT-U, on: pulpit, at: [500, 1000, 1500]}
  - {id: S-PULPIT-L, on: pulpit, at: [500, 1000, 1200]}
  - {id: S-PUSHPIT-U, on: pushpit, at: [7000, 1000, 1600]}
  - {id: S-PUSHPIT-L, on: pushpit, at: [7000, 1000, 1300]}
lines: {wire: {construction: 1x19 wire, diameter: 5, material: 316}}
ends: {terminal: {family: swaged eye, throat_to_pin: 40}}
runs:
  - {id: S-F-U, line: wire, start: {eye: S-PULPIT-U, end: terminal}, through: [S-S1, S-S2, S-S3],
     finish: {eye: S-PUSHPIT-U, end: terminal}}
  - {id: S-F-L, line: wire, start: {eye: S-PULPIT-L, end: terminal}, through: [S-S1, S-S2, S-S3],
     finish: {eye: S-PUSHPIT-L, end: terminal}}
nets:
"""
HANGING = """  - {id: S-NET, along: S-F-U, between: [S-S1, S-S3], foot: FOOT, bar: 50, edge_cord: 6, laced_to: 10,
     lacing: {diameter: 3, pitch: 60, tail: 200}}
"""
IN_DECK = """  - {id: C-NET, corners: [[500, -900, 900], [500, 900, 900], [2500, 700, 900], [2500, -700, 900]], bar: 40,
     edge_cord: 8, laced_to: 12, lacing: {diameter: 4, pitch: 80, tail: 300}}
"""


def boat_with(net: str) -> Refit:
    return refit(read_boat((BOAT + net).encode(), "nets.yaml"))


def test_three_bays_by_hand() -> None:
    """Hand calculation: two rectangles and a parallelogram, all upright."""
    whole = HANGING.replace("FOOT", "deck edge").replace("between: [S-S1, S-S3]", "between: [S-PULPIT, S-S3]")
    net = boat_with(whole).nets[0]
    rise = math.hypot(2000.0, 100.0)
    wanted = ((500.0, 500.0, 500 * 600e0), (2000.0, 2000.0, 2000 * 600e0), (rise, rise, 2000 * 600e0))
    for bay, (top, foot, area) in some(zip(net.bays, wanted, strict=True)):
        assert (bay.top, bay.foot, bay.area) == pytest.approx((top, foot, area))
        assert (bay.height_from, bay.height_to) == pytest.approx((600.0, 600.0))
    assert [(bay.from_, bay.to, bay.braces) for bay in net.bays] == [
        ("S-PULPIT", "S-S1", 0), ("S-S1", "S-S2", 0), ("S-S2", "S-S3", 1),
    ]  # fmt: skip
    assert net.area == pytest.approx(4500 * 600e0)
    assert net.edge_cord == pytest.approx(2 * (2500.0 + rise) + 1200.0)
    assert (net.meshes_along, net.meshes_up) == (math.ceil((2500.0 + rise) / 50), 12)


@pytest.mark.parametrize(("foot", "braces"), [("3000, 700, 915", [0, 0]), ("2990, 700, 885", [1, 0])])
def test_a_brace_that_stands_straight_inboard_is_in_neither_bay(foot: str, braces: list[int]) -> None:
    """The deck rises or falls inboard, which puts no brace on either side of its post."""
    text = BOAT.replace("foot: [3300, 1000, 915]", f"foot: [{foot}]") + HANGING.replace("FOOT", "deck edge")
    net = refit(read_boat(text.encode(), "nets.yaml")).nets[0]
    assert [bay.braces for bay in net.bays] == braces


def test_a_net_is_shown_in_space_by_its_edges() -> None:
    """Three bays as closed rings that stand for netting: as long as their edges by hand, in solids and on the page."""
    boat = boat_with(HANGING.replace("FOOT", "deck edge").replace("between: [S-S1, S-S3]", "between: [S-PULPIT, S-S3]"))
    pieces = [piece for piece in assemble(boat).pieces if piece.instance.startswith("S-NET")]
    assert [piece.instance for piece in pieces] == ["S-NET bay 1", "S-NET bay 2", "S-NET bay 3"]
    rise = math.hypot(2000.0, 100.0)
    for piece, long in some(zip(pieces, (500.0, 2000.0, rise), strict=True)):
        assert "placeholder for netting" in piece.product
        strokes = strokes_of(piece.curve())
        assert math.fsum(math.dist(*stroke) for stroke in strokes) == pytest.approx(2.0 * long + 1200.0)
    shown = next(net for net in scene(boat)["nets"] if net["id"] == "S-NET")
    rings = shown["outlines"]
    assert all(ring[0] == ring[-1] for ring in some(rings))
    assert [math.dist(*ring[:2]) for ring in rings] == pytest.approx([500.0, 2000.0, rise], abs=0.2)


def test_a_net_down_to_the_lower_line() -> None:
    net = boat_with(HANGING.replace("FOOT", "lower line")).nets[0]
    assert [bay.area for bay in net.bays] == pytest.approx([2000 * 300.0, 2000 * 300.0])
    assert net.edges[1].laced_to == 10.0, "as the file states"
    unstated = boat_with(HANGING.replace("FOOT", "lower line").replace("laced_to: 10,", "")).nets[0]
    assert unstated.edges[1].laced_to == 5.0, "the lower line"


def test_a_net_in_the_deck() -> None:
    """Hand calculation: a trapezoid 2000 long, 1800 and 1400 wide."""
    net = boat_with(IN_DECK).nets[0]
    side = math.hypot(2000.0, 200.0)
    assert net.area == pytest.approx(2000 * 1600.0)
    assert [edge.length for edge in net.edges] == pytest.approx([1800.0, side, 1400.0, side])
    assert net.edge_cord == pytest.approx(3200.0 + 2 * side)
    assert net.lacing == pytest.approx(math.fsum(edge.lacing for edge in net.edges))


@pytest.mark.parametrize(("laced_to", "edge_cord", "cord", "pitch"), [(5, 6, 3, 60), (25, 6, 3, 50), (12, 8, 4, 200)])
def test_lacing_is_as_long_as_its_curve_in_space(laced_to: float, edge_cord: float, cord: float, pitch: float) -> None:
    """The axis of a cord wound round both, by summing short chords of one turn: outline of two circles, drawn out."""
    large, small = max(laced_to, edge_cord), min(laced_to, edge_cord)
    centres, radii = (0.0, (large + small) / 2.0), (large / 2.0 + cord / 2.0, small / 2.0 + cord / 2.0)
    # The outline of the hull, as the farthest reach in each direction; its length by the chords of its points.
    points = []
    for k in range(40_000):
        angle = math.tau * k / 40_000
        reach = [c * math.cos(angle) + r for c, r in zip(centres, radii, strict=True)]
        which = reach.index(max(reach))
        points.append((centres[which] + radii[which] * math.cos(angle), radii[which] * math.sin(angle)))
    turn = math.fsum(math.dist(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True))
    wanted = 1200.0 / pitch * math.hypot(turn, pitch) + 400.0
    assert lacing_cord(1200.0, laced_to, edge_cord, Lacing(diameter=cord, pitch=pitch, tail=200.0)) == pytest.approx(
        wanted, rel=1e-6
    )


def test_what_is_not_known_is_not_summed() -> None:
    loose = boat_with(HANGING.replace("FOOT", "deck edge").replace("laced_to: 10,", "")).nets[0]
    assert loose.edges[1].lacing is None and loose.lacing is None and loose.edge_cord is not None
    at_rail = boat_with(HANGING.replace("FOOT", "deck edge").replace("S-S1, S-S3", "S-PULPIT, S-S2")).nets[0]
    assert at_rail.edges[2].laced_to is None and at_rail.lacing is None
    short = BOAT.replace("[0, 1000, 900], [3000", "[2000, 1000, 900], [3000") + HANGING.replace("FOOT", "deck edge")
    beyond = refit(read_boat(short.encode(), "nets.yaml")).nets[0]
    assert beyond.bays[0].area is None and beyond.area is None and beyond.bays[1].area == pytest.approx(1.2e6)


def test_mirrored_nets_and_turned_corners() -> None:
    both = boat_with(HANGING.replace("FOOT", "deck edge") + IN_DECK).nets
    assert [net.id for net in both] == ["S-NET", "P-NET", "C-NET"] and both[0].area == pytest.approx(both[1].area)
    corners = boat_with(IN_DECK.replace("C-NET", "S-NET")).boat.nets
    assert [(net.id, net.corners[1]) for net in corners] == [("S-NET", (500, 900, 900)), ("P-NET", (500, -900, 900))]
    boat = refit_of("catamaran-39")
    assert placed_nets(boat.placed) == boat.nets and boat.nets[0].area == pytest.approx(boat.nets[1].area)


def test_nets_are_ordered_and_noticed() -> None:
    boat = boat_with(HANGING.replace("FOOT", "deck edge") + IN_DECK)
    rows = [row for row in order_list(boat.work).small if row.run.endswith("NET")]
    assert [(row.run, row.what.code) for row in rows] == [
        (name, f"net.{what}") for name in ("S-NET", "P-NET", "C-NET") for what in ("netting", "edge_cord", "lacing")
    ]
    lacing = {row.run: row.length for row in rows if row.what.code == "net.lacing"}
    assert lacing == {net.id: net.lacing for net in boat.nets}
    notices = [finding for finding in boat.findings if finding.clause == "netting"]
    assert [(one.id, one.verdict) for one in notices] == [
        ("netting:S-NET", "notice"), ("netting:P-NET", "notice"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("net", "message"),
    [
        ("  - {id: S-NET, bar: 50, edge_cord: 6}", "the net has neither a run nor corners"),
        ("  - {id: S-NET, along: S-F-U, bar: 50, edge_cord: 6}", "the key 'foot' is missing"),
        ("  - {id: S-NET, along: S-X-U, foot: deck edge, bar: 50, edge_cord: 6}", "no such run"),
        ("  - {id: C-NET, along: S-F-U, foot: deck edge, bar: 50, edge_cord: 6}", "a run of the other side"),
        ("  - {id: S-NET, along: S-F-L, foot: lower line, bar: 50, edge_cord: 6}", "no line below S-F-L"),
        ("  - {id: S-NET, along: S-F-U, between: [S-S1, S-S9], foot: deck edge, bar: 50, edge_cord: 6}",
         "run S-F-U has no such support"),
        ("  - {id: S-NET, along: S-F-U, between: [S-S1, S-S1], foot: deck edge, bar: 50, edge_cord: 6}",
         "from a support to itself"),
        ("  - {id: C-NET, corners: [[0, 0, 0], [1, 1, 0]], bar: 50, edge_cord: 6}", "corners"),
        ("  - {id: C-NET, corners: [[0, 0, 9], [9, 0, 9], [9, 9, 9]], foot: deck edge, bar: 50, edge_cord: 6}",
         "belongs to netting under a guard line"),
    ],
)  # fmt: skip
def test_a_net_that_cannot_be_is_refused(net: str, message: str) -> None:
    with pytest.raises(InputError) as caught:
        boat_with(net + "\n")
    text = str(caught.value)
    assert message in text and "nets" in text
