"""Which posts are one part, mirror images, alike within limits; feet and pads; bases in a boat file."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from geom.boat.file import read_boat
from geom.boat.plate_model import BasePlate, Socket
from geom.errors import InputError
from geom.placement.fabrication import shop_limits
from geom.placement.identical_posts import (
    alike_groups,
    builds,
    distinct_tubes,
    group_name,
    mirror_image,
    mirror_images,
)
from geom.placement.pads import foot_ellipse, foot_on_plate, length_above_plate, plate_edge
from geom.placement.tube_cut import tube_cut
from geom.refit import refit
from tests.boats import refit_of
from tests.post_reference import axis_of, deck_of
from tests.random_boats import random_data, random_refit
from tests.some import some


def with_posts(name, change):
    """Return a boat with each post changed by a function from post to updates."""
    loaded = refit_of(name).loaded
    posts = tuple(post.model_copy(update=change(post)) for post in loaded.boat.posts)
    return refit(replace(loaded, boat=loaded.boat.model_copy(update={"posts": posts})))


def test_a_mirrored_boat_has_mirror_images_only():
    found = builds(refit_of("first-try").placed)
    for one, ids in some(found.items()):
        (other,) = found[mirror_image(one)]
        assert other[1:] == ids[0][1:]
        assert other[0] != ids[0][0]


def test_every_post_is_in_one_build_and_one_tube():
    placed = refit_of("saltwhin-31").placed
    for groups in (builds(placed), distinct_tubes(placed)):
        assert sorted(name for ids in groups.values() for name in ids) == sorted(placed.posts)


@pytest.mark.parametrize("seed", range(5))
def test_alike_within_a_group_and_only_there(seed):
    placed = random_refit(seed).placed
    limits, groups = shop_limits(), alike_groups(placed)
    wide = replace(limits, tube_length=1e6, hole_position=1e6, clocking=10.0, tube_to_plate=10.0)
    none = replace(limits, tube_length=-1.0)
    for a in placed.posts.values():
        for b in placed.posts.values():
            if a.id != b.id and groups[a.id] == groups[b.id]:
                assert a.side == b.side
                assert abs(a.top - b.top) <= limits.tube_length
                assert abs(a.plate.out - b.plate.out) <= limits.tube_to_plate
    assert len(set(alike_groups(placed, none).values())) == len(placed.posts)
    assert len(set(alike_groups(placed, wide).values())) <= len(set(groups.values()))


def longer(post, by):
    return {"top": post.top + by}


def drilled_higher(post, by):
    hole = post.holes["U"]
    return {"holes": {**post.holes, "U": hole.model_copy(update={"along": hole.along + by})}}


@pytest.mark.parametrize(
    ("changed", "limit"), [(longer, shop_limits().tube_length), (drilled_higher, shop_limits().hole_position)]
)
def test_a_hair_more_than_the_limit_parts_two_posts(changed, limit):
    falls = refit_of("first-try").boat.posts[0].deck_falls
    same = with_posts("first-try", lambda _: {"lean": 0.07, "rake": 0.0, "deck_falls": falls})
    first, second = (one for one in same.boat.posts if one.side == "S")
    wide = replace(shop_limits(), clocking=1.0)
    for more, alike in ((limit - 1e-6, True), (limit + 1e-3, False)):
        posts = tuple(
            one.model_copy(update=changed(first, more)) if one.id == second.id else one for one in same.boat.posts
        )
        placed = refit(replace(same.loaded, boat=same.boat.model_copy(update={"posts": posts}))).placed
        groups = alike_groups(placed, wide)
        assert (groups[first.id] == groups[second.id]) is alike


def test_mirror_images_within_the_shop_s_limits():
    """S-S1 and P-S1 differ by 0.1 deg of clocking and 0.2 of tilt; no other pair comes within the limits."""
    placed = refit_of("saltwhin-31").placed
    found = {name: mirror_images(placed, name) for name in placed.posts}
    assert {name: stated for name, stated in found.items() if stated} == {
        "S-S1": {"P-S1": False},
        "P-S1": {"S-S1": False},
    }
    assert mirror_images(placed, "S-S1", replace(shop_limits(), clocking=math.radians(0.01))) == {}
    placed = refit_of("first-try").placed
    for name in placed.posts:
        assert mirror_images(placed, name) == {f"{'P' if name[0] == 'S' else 'S'}{name[1:]}": True}


def test_a_braced_post_is_not_alike_one_without():
    falls = refit_of("first-try").boat.posts[0].deck_falls
    same = with_posts("first-try", lambda _: {"lean": 0.07, "rake": 0.0, "deck_falls": falls})
    wide = replace(shop_limits(), clocking=1.0)
    brace = refit_of("saltwhin-31").boat.post("S-S3").brace
    braced = tuple(one.model_copy(update={"brace": brace}) if one.id == "S-S1" else one for one in same.boat.posts)
    placed = refit(replace(same.loaded, boat=same.boat.model_copy(update={"posts": braced}))).placed
    groups, before = alike_groups(placed, wide), alike_groups(same.placed, wide)
    assert before["S-S1"] == before["S-S2"]
    assert groups["S-S1"] != groups["S-S2"]


def test_group_names_count_on():
    assert [group_name(k) for k in (0, 7, 8, 23, 24, 48)] == ["A", "H", "J", "Z", "AA", "BA"]


@pytest.mark.parametrize("seed", range(4))
def test_the_foot_s_ellipse_against_points_of_the_tube_in_the_deck(seed):
    worked_out = random_refit(seed)
    for post in some(worked_out.placed.posts.values()):
        axis, (aft, out, up) = axis_of(post.spec), deck_of(post.spec)
        e1 = np.cross(axis, [0.3, 0.5, 0.1])
        e1 /= np.linalg.norm(e1)
        e2 = np.cross(axis, e1)
        angles = np.linspace(0.0, math.tau, 7201)
        ring = 0.5 * post.tube_od * (np.outer(np.cos(angles), e1) + np.outer(np.sin(angles), e2))
        points = ring - np.outer(ring @ up / (axis @ up), axis)
        reach = np.linalg.norm(points, axis=1)
        foot = foot_ellipse(post)
        assert reach.max() == pytest.approx(foot.half_long, abs=1e-5)
        assert reach.min() == pytest.approx(foot.half_short, abs=1e-5)
        long = points[reach.argmax()]
        turned = math.atan2(long @ out, long @ aft)
        # The long axis has two ends: half a turn makes no difference.
        assert math.sin(turned - foot.turned) == pytest.approx(0.0, abs=2e-2)


def plate(tube="to suit the post"):
    return BasePlate(
        tube=tube, length=90.0, width=76.0, thickness=6.0, corner_radius=12.0, bolt=6.0, bolt_hole=6.5,
        bolts=((32.0, 25.0), (-32.0, -25.0)),
    )  # fmt: skip


def test_the_edge_of_a_plate_is_a_rectangle_with_quarter_circles():
    """Area by the shoelace formula: length times width less (4 - pi) r2; no point is off the plate."""
    edge = np.array(plate_edge(plate(), 200))
    following = np.roll(edge, -1, axis=0)
    area = 0.5 * np.sum(edge[:, 0] * following[:, 1] - following[:, 0] * edge[:, 1])
    assert area == pytest.approx(90.0 * 76.0 - (4.0 - math.pi) * 12.0**2, abs=0.01)
    assert np.abs(edge).max(axis=0) == pytest.approx([38.0, 45.0])


@pytest.mark.parametrize("tube", ["to suit the post", "square to the plate"])
def test_the_tube_stands_on_its_plate_and_the_plate_on_the_deck(tube):
    """A plate to suit lies on the deck; under the lowest corner of one square to its tube the pad is 3 mm thick.

    A feather edge breaks off: least thickness of a pad from memory, common practice.
    """
    base = plate(tube)
    for post in some(random_refit(0).placed.posts.values()):
        axis, (_, _, up) = axis_of(post.spec), deck_of(post.spec)
        start = post.top - length_above_plate(post, base)
        sideways = [
            aft * 45.0 * np.asarray(post.fore_and_aft) + out * 38.0 * np.asarray(post.outboard)
            for aft, out in product((-1.0, 1.0), repeat=2)
        ]
        # The thickness of a pad is measured square to the plate, along the tube.
        lower_face = [(start - 6.0) * axis + corner for corner in sideways]
        under = min(corner @ up for corner in lower_face) / (axis @ up)
        found, wanted = (start * axis @ up, 6.0) if tube == "to suit the post" else (under, 3.0)
        assert found == pytest.approx(wanted, abs=0.01)


@pytest.mark.parametrize("height", [40.0, 500.0])
def test_a_tube_in_a_socket_begins_above_its_plate_by_what_it_does_not_go_in(height):
    """Mitred to a plate of 6 mm on the deck and 35 mm deep in its socket: 6 / cos of its angle + height - 35 up."""
    base = plate().model_copy(update={"socket": Socket(od=34.0, bore=25.4, height=height, depth=35.0)})
    post = refit_of("saltwhin-31").placed.posts["S-S1"]
    cut = tube_cut(post, base)
    assert cut.mitre == post.plate.total > 0.0
    assert cut.start == pytest.approx(6.0 / math.cos(cut.mitre) + height - 35.0)
    assert cut.length == pytest.approx(post.top - cut.start)


def test_the_tubes_outline_on_a_plate_lies_on_the_tube():
    """Every point of it is half the tube's diameter from the axis, and a plate's thickness off the deck."""
    worked_out = random_refit(0)
    for post in some(worked_out.placed.posts.values()):
        axis, (aft, out, up) = axis_of(post.spec), deck_of(post.spec)
        outline = foot_on_plate(post, plate())
        assert len(set(outline)) == 72
        for along, across in outline:
            off = along * aft + across * out + 6.0 * up
            assert np.linalg.norm(np.cross(off, axis)) == pytest.approx(0.5 * post.tube_od)


def consistency_faults(change):
    data = random_data(0)
    data["bases"] = {
        "plate": {
            "tube": "to suit the post", "length": "90 mm", "width": "76 mm", "thickness": "6 mm",
            "corner_radius": "12 mm", "bolt": "6 mm", "bolt_hole": "6.5 mm",
            "bolts": [["32 mm", "25 mm"], ["-32 mm", "-25 mm"]],
        }
    }  # fmt: skip
    for post in data["posts"]:
        post["base"] = "plate"
    change(data)
    try:
        read_boat(json.dumps(data).encode("utf-8"), "test")
    except InputError as error:
        return str(error)
    return ""


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda _: None, ""),
        (lambda data: data["posts"][0].update(base="plaet"), "no such base"),
        (lambda data: data["bases"]["plate"].update(bolts=[["42 mm", "0 mm"]]), "runs off the plate"),
        (lambda data: data["bases"]["plate"].update(bolt_hole="5 mm"), "narrower than its bolt"),
        (lambda data: data["bases"]["plate"].update(corner_radius="40 mm"), "corner radius too large for the plate"),
        (lambda data: data["bases"]["plate"].update(tube="welded"), "not a valid word here"),
    ],
)
def test_bases_in_a_boat_file(change, words):
    found = consistency_faults(change)
    assert (words in found) if words else found == ""
