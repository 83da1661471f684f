"""First and third angle: the sign in the title block, and views that stand as it says."""

from __future__ import annotations

from dataclasses import replace

import pytest

from geom.boat.file import read_boat
from geom.drafting.projection import projection_symbol
from geom.drafting.sheet import finish, lettered
from geom.errors import InputError
from geom.figure import Circle, Polyline, Text
from geom.refit import refit
from geom.render.faults import layout
from geom.sheets import drawing_set
from geom.sheets.stanchions.cards import post_cards
from tests.boats import BOATS, refit_of

BOTH = ("first", "third")


def drawn(name: str, projection: str | None, series: str = "ISO"):
    worked_out = refit_of(name)
    stated = worked_out.boat.drawing.model_copy(update={"projection": projection, "sheets": series})
    return refit(replace(worked_out.loaded, boat=worked_out.boat.model_copy(update={"drawing": stated})))


def cards(worked_out):
    drafts = post_cards(worked_out)
    return [finish(worked_out, draft, len(drafts)) for draft in lettered(drafts)]


def signs(sheet) -> set[str]:
    return {item.tag for item in sheet.items if getattr(item, "tag", "").startswith("projection:")}


@pytest.mark.parametrize("projection", BOTH)
def test_the_sign_has_the_standards_proportions(projection):
    """ISO 5456-2:1996 annex A, from memory, verify: cone h and 2h wide, 2h long; first angle: circles at its right."""
    items = projection_symbol((100.0, 50.0), projection)
    (cone,) = [item for item in items if isinstance(item, Polyline)]
    small, large = sorted((item for item in items if isinstance(item, Circle)), key=lambda ring: ring.radius)
    h = 2.0 * small.radius
    assert h == 2.5
    assert (large.radius, large.centre) == (h, small.centre)
    xs = sorted({x for x, _ in cone.points})
    heights = {x: max(y for u, y in cone.points if u == x) - min(y for u, y in cone.points if u == x) for x in xs}
    assert [heights[x] for x in xs] == [h, 2.0 * h], "the small end lies at the left in both"
    assert xs[1] - xs[0] == 2.0 * h
    right_of_cone = small.centre[0] > xs[1]
    assert right_of_cone == (projection == "first")
    gap = small.centre[0] - h - xs[1] if right_of_cone else xs[0] - (small.centre[0] + h)
    assert gap == pytest.approx(h)
    assert (min(xs[0], small.centre[0] - h) + max(xs[1], small.centre[0] + h)) / 2.0 == pytest.approx(100.0)


@pytest.mark.parametrize("projection", BOTH)
@pytest.mark.parametrize("name", ["saltwhin-31", "pipwing-25"])
def test_the_view_from_aft_stands_on_the_hand_that_the_sign_says(name, projection):
    """The face that both views see lies towards the front view in third angle, away from it in first angle."""
    sheets = cards(drawn(name, projection))
    hands = set()
    for sheet in sheets:
        views = {view.name: view for view in sheet.views}
        front, aside = views["B"], views["C"]
        assert front.origin[1] == aside.origin[1] and front.scale == aside.scale
        at = {item.text: item.at[0] for item in aside.items if isinstance(item, Text)}
        outboard_right = at["OUTBOARD"] > at["INBOARD"]
        front_right = front.origin[0] > aside.origin[0]
        assert (outboard_right == front_right) == (projection == "third"), sheet.name
        hands.add(front_right)
        assert signs(sheet) == {f"projection:{projection}"}
        assert any(f"in {projection} angle" in getattr(item, "text", "") for item in sheet.items)
        assert layout(sheet).faults == ()
    assert hands == {True, False}, "port and starboard have aft at different hands"


@pytest.mark.parametrize("projection", BOTH)
def test_cards_on_ansi_sheets_hold_the_sign(projection):
    sheets = cards(drawn("pipwing-25", projection, "ANSI"))
    assert all(signs(sheet) and layout(sheet).faults == () for sheet in sheets)


def test_only_sheets_whose_views_stand_so_carry_the_sign():
    signed = {sheet.name for sheet in drawing_set(drawn("first-try", "first")) if signs(sheet)}
    assert signed and all("post-card" in name for name in signed)


def test_without_a_word_no_sign_stands_anywhere():
    assert not any(signs(sheet) for sheet in drawing_set(drawn("first-try", None)))
    (sheet, *_) = cards(drawn("first-try", None))
    assert any("neither first nor third angle" in getattr(item, "text", "") for item in sheet.items)


def test_the_boat_file_takes_first_third_and_no_other_word():
    text = (BOATS / "first-try.yaml").read_text("utf-8")
    assert read_boat(f"{text}\ndrawing: {{projection: third}}\n".encode(), "b").boat.drawing.projection == "third"
    with pytest.raises(InputError, match=r"drawing.projection: .*second.*first, third"):
        read_boat(f"{text}\ndrawing: {{projection: second}}\n".encode(), "b")
