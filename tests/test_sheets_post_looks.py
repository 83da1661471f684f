"""Beside a post on its deck: dimension of the height and plumb line stand clear of the plate, at any scale."""

from __future__ import annotations

import pytest

from geom.drafting.sight import offset_height
from geom.figure import Dimension, Line
from geom.sheets.stanchions.post_figure import offset_items, standing
from geom.sheets.stanchions.post_views import places, plate_corners, seen_from_aft, seen_from_outboard
from geom.sheets.stanchions.tube_figure import base_of
from geom.tables import numbers
from tests.random_boats import random_refit
from tests.some import some

# Boats with bases of both kinds, millimetres and inches.
SEEDS = (20, 25, 39, 50, 63, 71, 97)


def drawn(seed, mm):
    """Yield each post with a base, its view, and what is drawn of it."""
    worked_out = random_refit(seed)
    height, fmt = offset_height(worked_out), numbers(worked_out.boat)
    for post in worked_out.placed.posts.values():
        base = base_of(worked_out, post)
        for view in (seen_from_outboard(post), seen_from_aft(post)):
            if base is not None:
                items = [
                    *standing(worked_out, post, view, height, mm),
                    *offset_items(worked_out, post, view, height, mm, fmt),
                ]
                yield (
                    post,
                    view,
                    plate_corners(post, base, view.sight),
                    items,
                    places(worked_out, post, view, height, mm),
                )


@pytest.mark.parametrize("mm", [1.0, 2.0, 5.0])
@pytest.mark.parametrize("seed", SEEDS)
def test_lines_beside_a_post_are_clear_of_its_plate(seed, mm):
    seen = 0
    for post, view, corners, items, _ in drawn(seed, mm):
        low, high = min(x for x, _ in corners), max(x for x, _ in corners)
        for item in items:
            if isinstance(item, Dimension) and item.tag == f"rule:{post.id}:{view.key}":
                xs = [item.start[0]]
            elif isinstance(item, Line) and item.tag == f"plumb-line:{post.id}:{view.key}":
                # As high as the plate stands.
                share = max(y for _, y in corners) / item.end[1]
                xs = [item.start[0], item.start[0] + share * (item.end[0] - item.start[0])]
            else:
                continue
            seen += 1
            assert all(x < low - 1.0 * mm or x > high + 1.0 * mm for x in xs)
    assert seen > 0


@pytest.mark.parametrize("seed", SEEDS)
def test_a_view_holds_lines_and_plate(seed):
    mm = 2.0
    for _, _, corners, items, place in some(drawn(seed, mm)):
        xs = [x for x, _ in corners]
        xs += [item.start[0] for item in items if isinstance(item, Dimension) and item.tag.startswith("rule:")]
        assert min(xs) > -place.left * mm
        assert max(xs) < place.right * mm
