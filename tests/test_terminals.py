"""Wire ends: fittings that adjust nothing, threads as stated, what a stud bears on, rigid lengths, swages on board."""

from __future__ import annotations

import math

import pytest

from geom import vec
from geom.boat.model import Adjust, Anchorage, LineEnd
from geom.parts.thread import major_diameter
from geom.placement.holes import clear_along
from geom.purchasing.parts_list import parts_list
from geom.rigging.end_compatibility import departure_angle
from geom.rigging.terminals import clear_of_wall, clear_within_bush, lies_in_both_walls
from geom.solids.ends import Seat, end_members
from geom.solids.fittings import fitting_members
from geom.words import worded
from tests.line_boats import boat_of, codes, with_end, with_fitting, with_line, with_run, work_of, worked
from tests.some import some


def with_shackle(boat, run_id="S-F-U", **stated):
    """The boat with a shackle between the after end of a run and its anchorage."""
    shackle = boat.fittings["hook"].model_copy(
        update={"family": "shackle", "length": Adjust(planned=20.0), "thread": None, "hand": None} | stated
    )
    run = next(run for run in boat.runs if run.id == run_id)
    finish = run.finish.model_copy(update={"fittings": ("shackle", *run.finish.fittings)})
    added = boat.model_copy(update={"fittings": {**boat.fittings, "shackle": shackle}})
    return with_run(added, run_id, finish=finish)


def test_a_shackle_does_not_make_the_range_unknown():
    """It adjusts nothing: the range is that of turnbuckle and hook, 1.5 in shorter and 2.0 in longer."""
    found = worked(with_shackle(boat_of("pipwing-25"))).runs["S-F-U"].budget
    assert (found.shorten / 25.4, found.lengthen / 25.4) == pytest.approx((1.5, 2.0))
    assert found.verdict != "cannot tell"


def test_a_hook_whose_range_is_not_stated_still_does():
    boat = with_fitting(boat_of("pipwing-25"), "hook", length=Adjust(planned=114.3))
    assert worked(boat).runs["S-F-U"].budget.verdict == "cannot tell"


@pytest.mark.parametrize(
    ("designation", "diameter"),
    [("3/8-24 UNF", 9.525), ("1/4-28 UNF-2A LH", 6.35), ("5/16 - 24", 7.9375), ("M8", 8.0), ("M10 x 1.25", 10.0),
     ("M6 left", 6.0), ("10-32 UNF", 4.826), ("whitworth", None), ("", None)],
)  # fmt: skip
def test_the_major_diameter_of_a_thread(designation, diameter):
    """ISO 261 and ASME B1.1, from memory, verify: 3/8 in is 9.525 mm; number 10 is 0.060 + 10 x 0.013 = 0.190 in."""
    found = major_diameter(designation)
    assert found == (None if diameter is None else pytest.approx(diameter))


def test_a_stated_thread_is_the_one_drawn_named_and_ordered():
    """3/8-24 UNF on 1/8 in wire, where the size rows have a 1/4 in thread from memory."""
    boat = with_end(boat_of("pipwing-25"), "terminal", family="swaged stud", width=6.0, thread="3/8-24 UNF")
    (stud,) = end_members(boat.ends["terminal"], Seat(3.175, 8.0))
    assert stud.part.thread == pytest.approx(9.525)
    assert "3/8-24 UNF" in stud.product and dict(stud.sources)["thread"] == "boat file, 3/8-24 UNF"
    rows = parts_list(boat, worked(boat).placed.runs, frozenset())
    row = next(row for row in rows if row.part == "terminal")
    assert "thread 3/8-24 UNF" in row.facts
    assert not any("memory" in fact for fact in row.facts)
    (body,) = fitting_members(boat.fittings["turnbuckle"].model_copy(update={"thread": "1/4-28 UNF"}), 3.175)
    assert body.part.thread == pytest.approx(6.35) and "1/4-28 UNF" in body.product


@pytest.mark.parametrize(
    ("bears_on", "engaged", "beyond"), [("tip", None, 0.0), ("thread", 12.0, 12.0), ("shoulder", None, None)]
)
def test_what_a_stud_bears_on_is_where_it_is_drawn(bears_on, engaged, beyond):
    """At its tip nothing stands beyond the bearing point, screwed in the thread engaged, at its shoulder all thread."""
    end = LineEnd(
        family="swaged stud", width=6.0, deduction=60.0, bears_on=bears_on, thread_engaged=engaged, thread="1/4-28 UNF"
    )  # fmt: skip
    (stud,) = end_members(end, Seat(3.175, 8.0))
    whole = stud.part.shank_length + stud.part.thread_length
    beyond = stud.part.thread_length if beyond is None else beyond
    assert whole - stud.frame.origin[2] == pytest.approx(beyond)
    if bears_on != "shoulder":
        # The deduction is from the wire's end in the shank to the bearing point.
        assert stud.reach == pytest.approx(60.0)


def test_a_bearing_that_nobody_stated_is_said():
    assert "stud" in codes(work_of("pipwing-25"), "S-F-U", "notice")
    stated = worked(with_end(boat_of("pipwing-25"), "terminal", bears_on="thread"))
    assert "stud" in codes(stated, "S-F-U", "cannot tell")
    whole = worked(with_end(boat_of("pipwing-25"), "terminal", bears_on="thread", thread_engaged=15.0))
    assert not codes(whole, "S-F-U", "cannot tell") & {"stud"}


def widest_body(length, angle, slabs, hole):
    """Return the width of the widest rectangle that is led through slots of one height at an angle, by trying.

    The slots lie in slabs from x0 to x1, half the height above and below their axis. At every stage of its way the
    rectangle may be shifted across; what it covers of a slab has to fit into the slot.
    """
    step = length * math.cos(angle) / 400.0

    def covers(width, start, low, high):
        """The heights covered between two x by a rectangle whose lower after corner is at (start, 0)."""
        corners = [(start, 0.0), (start + length * math.cos(angle), length * math.sin(angle))]
        corners += [(x - width * math.sin(angle), z + width * math.cos(angle)) for x, z in corners]
        a, b, c, d = corners[0], corners[1], corners[3], corners[2]
        heights = []
        for (x0, z0), (x1, z1) in ((a, b), (b, c), (c, d), (d, a)):
            heights += [z for x, z in ((x0, z0), (x1, z1)) if low <= x <= high]
            heights += [z0 + (z1 - z0) * (x - x0) / (x1 - x0) for x in (low, high) if min(x0, x1) < x < max(x0, x1)]
        return heights

    def passes(width):
        reach = length * math.cos(angle) + width * math.sin(angle)
        start = slabs[0][0] - reach
        while start < slabs[-1][1] + reach:
            over = [heights for slab in slabs if (heights := covers(width, start, *slab))]
            tall = [z for heights in over for z in heights]
            if tall and max(tall) - min(tall) > hole + 1e-9:
                return False
            start += step
        return True

    low, high = 0.0, hole
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if passes(middle) else (low, middle)
    return low


@pytest.mark.parametrize("angle", [0.02, 0.1, 0.2])
@pytest.mark.parametrize("length", [8.0, 15.0, 40.0, 70.0])
def test_a_rigid_body_is_led_through_the_walls_of_a_tube(length, angle):
    """Tube of 25 x 1.5, hole of 12.7, tilted along the tube: two slabs of 1.5, 22 between them.

    By hand for 70 mm at 0.1: 12.7 cos a - 25 sin a = 10.14 through both walls; for 8 mm 12.7 cos a - 1.5 sin a = 12.49.
    """
    found = widest_body(length, angle, ((-12.5, -11.0), (11.0, 12.5)), 12.7)
    both = lies_in_both_walls(25.0, 1.5, 12.7, (length, found), angle)
    formula = clear_along(25.0, 12.7, angle) if both else clear_of_wall(25.0, 1.5, 12.7, angle)
    assert formula <= found + 1e-3
    if length in (8.0, 40.0, 70.0):
        # At the sides of the hole its edges lie 1.8 apart, not 1.5, which is taken for the wall.
        assert formula == pytest.approx(found, abs=0.3 * math.sin(angle) + 2e-2)


def test_clear_diameters_by_hand():
    assert clear_along(25.0, 12.7, 0.1) == pytest.approx(10.14, abs=0.005)
    # Edges at the sides of the hole: sqrt(12.5^2 - 6.35^2) - sqrt(11^2 - 6.35^2) = 1.784.
    assert clear_of_wall(25.0, 1.5, 12.7, 0.1) == pytest.approx(12.7 * math.cos(0.1) - 1.784 * math.sin(0.1), abs=1e-4)
    assert clear_within_bush(8.0, 10.0, 0.1) == pytest.approx((8.0 - 10.0 * math.sin(0.1)) / math.cos(0.1))
    assert clear_within_bush(8.0, 10.0, 0.1) == pytest.approx(
        widest_body(10.0, 0.1, ((-13.5, 13.5),), 8.0), abs=2e-2
    )  # fmt: skip


def test_a_body_on_the_slant_reaches_both_walls_by_its_length_and_its_width():
    """By hand, hole of 10 in 25 x 1.5, inside sqrt(22^2 - 10^2) = 19.60.

    At 10 deg 19 x 9 reaches over 20.27, 18 x 9 over 19.29, 19 x 4 over 19.41.
    """
    angle = math.radians(10.0)
    assert lies_in_both_walls(25.0, 1.5, 10.0, (19.0, 9.0), angle)
    assert not lies_in_both_walls(25.0, 1.5, 10.0, (18.0, 9.0), angle)
    assert not lies_in_both_walls(25.0, 1.5, 10.0, (19.0, 4.0), angle)


@pytest.mark.parametrize("side", ["S", "P"])
def test_a_line_leaves_a_plate_that_leans_and_is_turned(side):
    """The plate is turned by 20 deg, then leans by 10; a line in it has no angle, one square to it has 90 deg."""
    turn, lean, out = math.radians(20.0), math.radians(10.0), 1.0 if side == "S" else -1.0
    plate = Anchorage(hole=8.5, thickness=6.0, plane_turn=turn, plane_lean=lean)
    along = (math.cos(turn), out * math.sin(turn), 0.0)
    up = (0.0, out * math.sin(lean), math.cos(lean))
    square = vec.unit(vec.cross(along, up))
    for line in some((along, up, vec.add(along, up), vec.scale(along, -1700.0))):
        assert departure_angle(plate, side, line) == pytest.approx(0.0, abs=1e-9)
    assert departure_angle(plate, side, square) == pytest.approx(math.pi / 2.0)
    aside = vec.add(vec.scale(along, math.cos(0.3)), vec.scale(square, math.sin(0.3)))
    assert departure_angle(plate, side, aside) == pytest.approx(0.3)


def wide_holes(boat, bore):
    posts = []
    for post in boat.posts:
        holes = {level: hole.model_copy(update={"as_found": hole.as_found.model_copy(update={"diameter": bore})})
                 for level, hole in post.holes.items()}  # fmt: skip
        posts.append(post.model_copy(update={"holes": holes}))
    return boat.model_copy(update={"posts": tuple(posts)})


def test_a_terminal_is_judged_in_the_hole_by_its_rigid_length_too():
    """12 mm wide in a 12.2 mm hole: it goes in by its width, but not in the direction that the line takes there."""
    long = worked(wide_holes(with_end(boat_of("pipwing-25"), "terminal", width=12.0, rigid_length=70.0), 12.2))
    assert long.runs["S-F-U"].plan.in_place is None
    said = [one for one in long.runs["S-F-U"].remarks if one.code == "terminal-rigid"]
    for one in some(said):
        lying = long.placed.lines_in_holes[one.says["hole"]]
        rest = lying.if_square if one.says.code == "terminal.rigid_if_square" else lying.on_axis
        assert (one.kind, one.limit, one.end) == ("notice", 12.0, long.runs["S-F-U"].plan.order.leading)
        assert one.measured == pytest.approx(rest.clear) and one.says["angle_rad"] == rest.line_angle
    wide = worked(wide_holes(with_end(boat_of("pipwing-25"), "terminal", width=12.0, rigid_length=70.0), 20.0))
    assert "terminal-rigid" not in codes(wide, "S-F-U", "notice")
    unknown = worked(wide_holes(with_end(boat_of("pipwing-25"), "terminal", width=12.0), 20.0))
    assert "terminal-rigid" in codes(unknown, "S-F-U", "notice")


def test_a_short_terminal_passes_one_wall_after_the_other():
    """12 mm wide, 10 long in holes of 12.7: only the one at 17.8 deg stops it, 12.7 cos a - 1.8 sin a = 11.5."""

    def stopped(length):
        boat = wide_holes(with_end(boat_of("pipwing-25"), "terminal", width=12.0, rigid_length=length), 12.7)
        remarks = worked(boat).runs["S-F-U"].remarks
        return {one.says["hole"]: one.measured for one in remarks if one.code == "terminal-rigid"}

    assert stopped(10.0) == {"S-S1-U": pytest.approx(11.5, abs=0.05)}
    assert set(stopped(70.0)) == {"S-S1-U", "S-S2-U", "S-S3-U"}


def test_a_rigid_length_that_reaches_into_a_hole_is_said():
    boat = with_end(boat_of("pipwing-25"), "terminal", rigid_length=2000.0)
    assert "terminal-hole" in codes(worked(boat), "S-F-U", "notice")
    assert "terminal-hole" not in codes(worked(with_end(boat, "terminal", rigid_length=80.0)), "S-F-U", "notice")


def test_a_swage_that_would_have_to_be_made_on_board_is_on_hold_with_the_choices():
    """12 mm swages do not pass 3/8 in holes (9.5, one of 10): on hold; open each hole by 2.5 and 2.0, or clamp one."""
    work = worked(with_end(boat_of("pipwing-25"), "terminal", family="swaged stud", width=12.0))
    for run in ("S-F-U", "P-F-U"):
        assert "swage" in codes(work, run, "refused")
        assert work.runs[run].cut is None
        assert "on board" in worded(work.runs[run].refused)
    named = [worded((other.what, other.figures)) for other in work.runs["P-F-U"].alternatives]
    assert named == [
        "open P-S1-U for the swage, finished ashore; from 9.5 mm to 12.0 mm, by 2.5 mm",
        "open P-S2-U for the swage, finished ashore; from 10.0 mm to 12.0 mm, by 2.0 mm",
        "open P-S3-U for the swage, finished ashore; from 9.5 mm to 12.0 mm, by 2.5 mm",
        "a compression terminal in place of the swage; made on board with hand tools; its deduction is another, so the "
        "cut is worked out again",
    ]
    assert "swage" not in codes(work_of("pipwing-25"), "S-F-U", "refused"), "a compression terminal is made by hand"


def test_a_thinner_rope_is_rounded_down_and_checked_against_the_rule_at_once():
    """(575.45 - 50 - 30) / 144 = 3.44 mm: 3.4, and the table for HMPE of 8.5 to 13 m requires 5 mm (memory, verify)."""
    work = work_of("saltwhin-31").runs["S-G-U"]
    thinner = next(other for other in work.alternatives if other.diameter is not None)
    assert thinner.diameter == pytest.approx(3.4)
    assert pytest.approx(3.44, abs=0.005) == (575.45 - 50.0 - 30.0) / 144.0
    assert thinner.figures["min_mm"] == 5.0
    assert "under the rule's minimum of 5.0 mm" in worded(thinner.figures)
    assert "memory" in worded(thinner.figures)


@pytest.mark.parametrize("diameter", [3.45, 3.49, 3.5])
def test_a_thinner_rope_as_printed_does_fit(diameter):
    """A rope of the figure as printed has room for its two buries, and one of a tenth more has not."""
    boat = boat_of("saltwhin-31")
    thin = worked(with_line(boat, "guard rope", diameter=3.4)).runs["S-G-U"]
    assert thin.fit.fits
    assert not worked(with_line(boat, "guard rope", diameter=diameter)).runs["S-G-U"].fit.fits
