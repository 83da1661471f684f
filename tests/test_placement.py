"""Placement against tables that were computed twice, by independent scripts."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from geom.placement.heights import openings
from geom.placement.place import end_name
from geom.placement.summary import post_summary, span_summaries
from geom.refit import place
from tests.boats import by_id, expected, refit_of, report_of
from tests.post_reference import axis_of
from tests.some import some

BOATS = ("saltwhin-31", "pipwing-25")
# Lengths of a table in inches are given to a hundredth of an inch.
TO_MM = {"mm": 1.0, "in": 25.4}
LENGTH_TOLERANCE = {"mm": 0.1, "in": 0.005 * 25.4 + 0.01}
ANGLE_TOLERANCE = 0.02


@pytest.fixture(params=BOATS)
def boat(request):
    return request.param


def _length(boat):
    unit = expected(boat)["units"]["length"]
    return TO_MM[unit], LENGTH_TOLERANCE[unit]


def test_spans_and_paths(boat):
    mm, tolerance = _length(boat)
    ours = by_id(report_of(boat)["runs"])
    assert set(ours) == {run["id"] for run in expected(boat)["runs"]}
    for run in expected(boat)["runs"]:
        assert ours[run["id"]]["spans_mm"] == pytest.approx([s * mm for s in run["spans"]], abs=tolerance)
        assert ours[run["id"]]["path_mm"] == pytest.approx(run["path"] * mm, abs=tolerance)


def test_each_span_begins_where_the_one_before_it_ends(boat):
    placed = refit_of(boat).placed
    for run in some(placed.runs.values()):
        spans = span_summaries(placed, run)
        assert [span.number for span in spans] == list(range(1, len(run.spec.through) + 2))
        assert (spans[0].from_, spans[-1].to) == (end_name(run.spec.start), end_name(run.spec.finish))
        assert [span.to for span in spans[:-1]] == [span.from_ for span in spans[1:]]
        assert [span.to for span in spans[:-1]] == [f"{post}-{run.level}" for post in run.spec.through]


def test_openings_lie_along_the_tube_and_are_measured_upright(boat):
    """Deck to the lowest hole, then hole to hole: lengths along the tube times the cosine of its slope."""
    for post in some(refit_of(boat).placed.posts.values()):
        alongs = sorted(hole.along for hole in post.spec.holes.values())
        upright = float(axis_of(post.spec)[2])
        wanted = [(upper - lower) * upright for lower, upper in pairwise([0.0, *alongs])]
        assert openings(post) == pytest.approx(wanted)


def test_finished_lengths_of_the_metric_boat():
    ours = by_id(report_of("saltwhin-31")["runs"])
    for run in some(expected("saltwhin-31")["runs"]):
        assert ours[run["id"]]["stack_mm"] == run["fitting_allowance"]
        assert ours[run["id"]]["finished_mm"] == pytest.approx(run["finished"], abs=0.1)


def test_paths_of_the_inch_boat_in_millimetres():
    ours = by_id(report_of("pipwing-25")["runs"])
    for run in some(expected("pipwing-25")["runs"]):
        assert ours[run["id"]]["path_mm"] == pytest.approx(run["path_mm"], abs=0.1)


def test_hole_centres_and_heights(boat):
    mm, tolerance = _length(boat)
    posts, holes = by_id(report_of(boat)["posts"]), by_id(report_of(boat)["holes"])
    for post in some(expected(boat)["posts"]):
        ours = posts[post["id"]]
        for level, letter in (("upper", "U"), ("lower", "L")):
            if post[f"{level}_hole"] is None:
                assert f"{post['id']}-{letter}" not in holes
                assert ours[f"height_{level}_mm"] is None
                continue
            hole = holes[f"{post['id']}-{letter}"]
            centre = (hole["x_mm"], hole["y_mm"], hole["z_mm"])
            assert centre == pytest.approx([value * mm for value in post[f"{level}_hole"]], abs=tolerance)
            assert ours[f"height_{level}_mm"] == pytest.approx(post[f"height_{level}"] * mm, abs=tolerance)
        if post["opening"] is not None:
            assert ours["opening_mm"] == pytest.approx(post["opening"] * mm, abs=tolerance)


def test_angles_of_posts(boat):
    posts = by_id(report_of(boat)["posts"])
    for post in some(expected(boat)["posts"]):
        ours = posts[post["id"]]
        found = (ours["tilt_deg"], ours["plate_out_deg"], ours["plate_aft_deg"], ours["plate_total_deg"])
        wanted = (post["tilt"], post["plate_out"], post["plate_aft"], post["plate_total"])
        assert found == pytest.approx(wanted, abs=ANGLE_TOLERANCE)


def test_angles_of_lines_through_holes(boat):
    holes = by_id(report_of(boat)["holes"])
    for hole in some(expected(boat)["holes"]):
        ours = holes[hole["id"]]
        found = (ours["turn_deg"], ours["turn_in_plan_deg"], ours["clocking_deg"], ours["tilt_deg"])
        wanted = (hole["turn_3d"], hole["turn_in_plan"], hole["clocking"], hole["tilt"])
        assert found == pytest.approx(wanted, abs=ANGLE_TOLERANCE), hole["id"]


def test_square_holes_would_touch_both_lips(boat):
    holes = by_id(report_of(boat)["holes"])
    for hole in some(expected(boat)["square_holes"]):
        square = holes[hole["id"]]["if_square"]
        assert square["touches_both_lips"] is True
        if "over_by" in hole:
            assert square["line_angle_deg"] - square["free_angle_deg"] == pytest.approx(hole["over_by"], abs=0.06)
        else:
            assert square["line_angle_deg"] == pytest.approx(hole["clocking_and_half_turn"], abs=0.06)
            assert square["free_angle_deg"] == pytest.approx(hole["free_angle"], abs=0.06)


def test_gates_pairs_and_offsets():
    report, table = report_of("saltwhin-31"), expected("saltwhin-31")
    upper = {gate["id"]: gate for gate in report["gates"] if gate["level"] == "U"}
    for gate in some(table["gates"]):
        assert upper[gate["id"]]["hole_to_hole_mm"] == pytest.approx(gate["hole_to_hole"], abs=0.1)
        assert upper[gate["id"]]["clear_mm"] == pytest.approx(gate["clear_between_tubes"], abs=0.1)
    differences = {pair["name"]: pair["difference_mm"] for pair in report["pairs"] if pair["quantity"] == "path"}
    for pair in table["pair_differences"]:
        assert abs(differences[pair["pair"]]) == pytest.approx(pair["difference"], abs=0.1)
    posts = by_id(report["posts"])
    for post in table["offsets_at_600"]:
        ours = posts[post["id"]]
        assert ours["offset_out_from_plate_at_600_mm"] == pytest.approx(post["out_from_plate"], abs=0.5)
        assert ours["offset_out_from_plumb_at_600_mm"] == pytest.approx(post["out_from_plumb"], abs=0.5)


def test_the_bent_post_lies_inboard_of_its_mirror():
    table = expected("saltwhin-31")["inboard_of_mirror"]
    pairs = [
        p
        for p in report_of("saltwhin-31")["pairs"]
        if p["name"] == f"{table['id'][2:]}-U" and "centreline" in p["quantity"]
    ]
    assert pairs[0]["difference_mm"] == pytest.approx(table["upper_hole_inboard_of_mirror"], abs=0.5)


def test_a_hole_in_another_unit_is_read_and_echoed():
    given = expected("pipwing-25")["given_in_another_unit"][0]
    report = report_of("pipwing-25")
    assert by_id(report["holes"])[given["hole"]]["diameter_mm"] == 10.0
    assert any(given["given"] in note for note in report["boat"]["notes"])


def test_heights_along_a_span_follow_a_sagging_sheer():
    """A straight chord over a sheer that is high between the posts is lowest there, not at a post."""
    from geom.boat.model import Boat
    from geom.refit import place

    boat = refit_of("saltwhin-31").boat
    edge = tuple((x, y, z + (60.0 if x == 5000 else 0.0)) for x, y, z in boat.edge("S"))
    data = boat.model_dump()
    data["deck_edge"]["starboard"] = edge
    placed = place(Boat.model_validate(data))
    second = placed.span_heights["S-F-U"][2]
    assert second.at_x == 5000
    a, b = placed.runs["S-F-U"].points[2:4]
    line = a[2] + (b[2] - a[2]) * (5000 - a[0]) / (b[0] - a[0])
    assert second.lowest == pytest.approx(line - (996 + 60), abs=1e-9)


def test_the_lowest_place_of_a_line_across_lies_on_the_line():
    """One end 100 mm further aft: over the crown of the deck, amidships, the line is half way, 50 mm aft of the other.

    There it is as high as its ends, 2148, over a deck of 1520.
    """
    boat = refit_of("catamaran-39").boat
    run = next(run for run in boat.runs if run.id == "C-BOW-U")
    eyes = tuple(
        eye.model_copy(update={"at": (470.0, *eye.at[1:])}) if eye.id == run.finish.eye else eye for eye in boat.eyes
    )
    (low,) = place(boat.model_copy(update={"eyes": eyes})).span_heights["C-BOW-U"]
    assert (low.lowest, low.at_x) == pytest.approx((628.0, 420.0))


def test_clocking_is_the_best_axis_of_the_two_legs():
    """The bisector makes the same angle with both legs: half the turn."""
    from geom import vec

    for line_in_hole in some(refit_of("saltwhin-31").placed.lines_in_holes.values()):
        passage = line_in_hole.passage
        for leg in (passage.incoming, passage.outgoing):
            assert vec.angle(leg, passage.best_axis) == pytest.approx(passage.turn / 2.0, abs=1e-12)
        assert math.isclose(vec.norm(passage.best_axis), 1.0)


def test_the_opening_of_a_post_is_between_neighbouring_lines():
    """Three holes at 150, 380 and 600 along a post of 3 deg lean: the larger gap, 230 cos 3, not 450 cos 3. By hand."""
    boat = refit_of("saltwhin-31").boat
    post = boat.post("S-S3")
    holes = {"U": 600.0, "M": 380.0, "L": 150.0}
    drilled = {level: post.holes["U"].model_copy(update={"along": along}) for level, along in holes.items()}
    posts = tuple(one.model_copy(update={"holes": drilled}) if one.id == "S-S3" else one for one in boat.posts)
    placed = place(boat.model_copy(update={"posts": posts}))
    assert post_summary(placed, placed.posts["S-S3"]).opening == pytest.approx(230.0 * math.cos(math.radians(3.0)))
    assert post_summary(placed, placed.posts["S-S2"]).opening == pytest.approx(
        298.0 * math.cos(placed.posts["S-S2"].tilt)
    )
