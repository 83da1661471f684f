"""Relations that hold for every loaded line: balance, brackets, mirrors, and which way things go."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geom import vec
from geom.errors import InputError
from geom.mechanics.cable import MAX_ITERATIONS, Loaded, load_line
from geom.mechanics.catenary import segment
from geom.mechanics.elastic_line import LOCKED, Line, PointLoad, SetLine, set_line
from tests.random_lines import random_line, random_load

seeds = st.integers(0, 10**6)
frictions = st.one_of(st.just(0.0), st.floats(0.01, 2.0), st.just(LOCKED))
tensions = st.floats(0.0, 2000.0)
weights = st.sampled_from([0.0, 2e-4, 1.2e-3])


def drawn(seed: int, friction: float, tension: float, weight: float = 0.0) -> tuple[SetLine, PointLoad]:
    rng = random.Random(seed)
    line = replace(random_line(rng), weight=weight).with_friction(friction)
    return set_line(line, max(tension, line.min_tension)), random_load(rng, line)


def across(line: Line, span: int, force: float) -> PointLoad:
    chord = vec.unit(vec.sub(line.points[span + 1], line.points[span]))
    return PointLoad(span, 0.5, vec.scale(vec.unit(vec.square_to((0.0, 0.0, -1.0), chord)), force))


def unit_pulls(state: SetLine, loaded: Loaded) -> list[vec.Vec]:
    """Return what a weightless line does to each fixed point, from its tensions and directions alone."""
    points, k = state.line.points, loaded.load.span
    forces: list[vec.Vec] = [(0.0, 0.0, 0.0)] * len(points)
    for j, (first, last) in enumerate(loaded.tensions):
        a, b = points[j], points[j + 1]
        forces[j] = vec.along(forces[j], vec.unit(vec.sub(loaded.place if j == k else b, a)), first)
        forces[j + 1] = vec.along(forces[j + 1], vec.unit(vec.sub(loaded.place if j == k else a, b)), last)
    return forces


@settings(max_examples=200, deadline=None)
@given(seeds, frictions, tensions)
def test_equilibrium_at_every_point(seed: int, friction: float, tension: float) -> None:
    state, load = drawn(seed, friction, tension)
    loaded = load_line(state, load)
    scale = max(loaded.max_tension, 1.0)
    total = (0.0, 0.0, 0.0)
    for ours, theirs in zip(loaded.post_forces, unit_pulls(state, loaded), strict=True):
        assert vec.distance(ours, theirs) <= 1e-6 * scale
        total = vec.add(total, ours)
    # The line is in balance: what it does to its supports is what is done to it.
    assert vec.distance(total, load.force) <= 1e-6 * scale
    assert loaded.iterations < MAX_ITERATIONS


@pytest.mark.parametrize("weight", [0.0, 0.005])
def test_a_load_beside_its_support_goes_into_it(weight: float) -> None:
    """By moments about the near support: a tenth of a millimetre off, the one at 2 m takes 1/20 000 at most.

    The short side is so stiff that the last digit of its length is worth more force than the tolerance.
    """
    line = Line(((0.0, 0.0, 0.0), (2000.0, 0.0, 0.0)), 5e6, weight, ())
    loaded = load_line(set_line(line, 300.0), PointLoad(0, 0.1 / 2000.0, (0.0, 200.0, 0.0)))
    far = 200.0 * loaded.place[0] / 2000.0
    assert 0.0 < far < 0.01
    assert [force[1] for force in loaded.post_forces] == pytest.approx([200.0 - far, far], abs=1e-4)
    assert loaded.iterations < MAX_ITERATIONS


def test_a_touch_on_a_wire_without_tension() -> None:
    """A shallow triangle of sides a and b: T = EA y2 / 2ab and P = T y (1/a + 1/b), so y3 = 2 P a2 b2 / (EA L).

    A tenth of a newton is so little that the last digit of a length is worth more force than the tolerance.
    """
    line = Line(((0.0, 0.0, 0.0), (2000.0, 0.0, 0.0)), 2e6, 0.0, ())
    loaded = load_line(set_line(line, 0.0), PointLoad(0, 100.0 / 2000.0, (0.0, 0.1, 0.0)))
    assert loaded.deflection == pytest.approx(math.cbrt(2.0 * 0.1 * (100.0 * 1900.0) ** 2 / (2e6 * 2000.0)), rel=1e-3)
    assert loaded.iterations < MAX_ITERATIONS


# Unit directions without a component along some of the axes.
ALONG = [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.8, 0.6, 0.0), (0.0, 0.6, 0.8), (0.6, 0.0, 0.8)]


@pytest.mark.parametrize("way", ALONG)
def test_a_load_along_its_span(way: vec.Vec) -> None:
    """Both sides act as springs EA / unstressed length, so that each takes the part of the load of the other's length.

    Once slack, the far side carries nothing and the near one all.
    """
    line = Line(((0.0, 0.0, 0.0), vec.scale(way, 2000.0)), 1e6, 0.0, ())
    taut = load_line(set_line(line, 300.0), PointLoad(0, 0.25, vec.scale(way, 200.0)))
    assert taut.tensions[0] == pytest.approx((300.0 + 150.0, 300.0 - 50.0))
    assert taut.moved == pytest.approx(150.0 * 0.25 * 2000.0 / 1.0003 / 1e6)
    assert taut.deflection == 0.0
    slack = load_line(set_line(line, 0.0, 8.0), PointLoad(0, 0.25, vec.scale(way, 200.0)))
    assert slack.tensions[0] == pytest.approx((200.0, 0.0))
    assert slack.place == pytest.approx(vec.scale(way, 0.25 * 2008.0 * (1.0 + 200.0 / 1e6)))


@pytest.mark.parametrize("friction", [0.0, 0.3, LOCKED])
@pytest.mark.parametrize("push", [200.0, 400.0])
def test_a_load_along_the_middle_of_three_spans(friction: float, push: float) -> None:
    """In one straight line nothing rubs: each side takes half of the load, over its own length or as far as it is free.

    At 400 N the half of the span that eases is shorter than without any tension, as what follows it gives back stretch.
    """
    line = Line(tuple((x, 0.0, 0.0) for x in (0.0, 1000.0, 2000.0, 3000.0)), 1e6, 0.0, (friction, friction))
    loaded = load_line(set_line(line, 300.0), PointLoad(1, 0.5, (push, 0.0, 0.0)))
    assert loaded.tensions[1] == pytest.approx((300.0 + push / 2.0, 300.0 - push / 2.0))
    length = 500.0 if math.isinf(friction) else 1500.0
    assert loaded.moved == pytest.approx(push / 2.0 * length / 1.0003 / 1e6)


@pytest.mark.parametrize("friction", [0.3, 1.0, 3.0])
@pytest.mark.parametrize(
    ("tension", "slack", "share", "push"), [(0.0, 7.5, 0.2, 50.0), (50.0, 0.0, 0.95, 1.0), (50.0, 0.0, 0.95, 200.0)]
)
def test_a_push_in_the_first_of_three_spans(
    friction: float, tension: float, slack: float, share: float, push: float
) -> None:
    """Balance of forces, the capstan law at the hole beside the load, and the length of each side, by hand.

    Spans of 1 m; slack is shared by all. Beyond the first hole the line is straight.
    """
    line = Line(tuple((x, 0.0, 0.0) for x in (0.0, 1000.0, 2000.0, 3000.0)), 1e6, 0.0, (friction, friction))
    loaded = load_line(set_line(line, tension, slack), PointLoad(0, share, (0.0, push, 0.0)))
    (first, near), (far, _), (last, _) = loaded.tensions
    x, y, _ = loaded.place
    one, other = math.hypot(x, y), math.hypot(1000.0 - x, y)
    assert first * x / one == pytest.approx(near * (1000.0 - x) / other)
    assert first * y / one + near * y / other == pytest.approx(push)
    assert far == pytest.approx(max(tension, near * math.exp(-friction * math.atan2(y, 1000.0 - x))))
    assert last == pytest.approx(far)
    rest = 1000.0 / (1.0 + tension / 1e6) + slack / 3.0
    assert one / (1.0 + first / 1e6) == pytest.approx(share * rest)
    assert other / (1.0 + near / 1e6) + 2000.0 / (1.0 + far / 1e6) == pytest.approx((3.0 - share) * rest)


@pytest.mark.parametrize("share", [0.9, 0.95, 0.98])
def test_a_hole_where_the_line_turns_holds_a_small_push_as_if_it_were_locked_there(share: float) -> None:
    """Round 0.30 rad at a friction of 3 the line holds up to exp(0.89) = 2.4 times its tension."""
    line = Line(((0.0, 0.0, 0.0), (1000.0, 150.0, 0.0), (2000.0, 0.0, 0.0)), 1e6, 0.0, (3.0,))
    load = PointLoad(0, share, (-0.15, 1.0, 0.0))
    held, locked = (load_line(set_line(one, 50.0), load) for one in (line, line.locked))
    assert 50.0 < held.tensions[0][1] < 120.0
    assert held.tensions == (pytest.approx(locked.tensions[0]), pytest.approx((50.0, 50.0)))
    assert held.place == pytest.approx(locked.place)


@pytest.mark.parametrize("weight", [0.0, 1e-10, 1.6e-4])
def test_a_segment_pulls_with_its_tension_and_stretches_by_it(weight: float) -> None:
    """Straight without weight and with next to none; stretch at a tenth of EA, and its slope by two tensions."""
    start, end, ea, tension = (100.0, -200.0, 50.0), (1300.0, 160.0, -30.0), 1e6, 1e5
    found = segment(start, end, tension, ea, weight)
    chord = vec.sub(end, start)
    assert found.chord == pytest.approx(vec.norm(chord))
    assert found.start_pull == pytest.approx(vec.scale(vec.unit(chord), tension), abs=1.0)
    assert found.end_pull == pytest.approx(vec.scale(vec.unit(chord), -tension), abs=1.0)
    assert vec.norm(found.start_pull) == pytest.approx(tension)
    assert found.end_tension == pytest.approx(tension + weight * chord[2])
    assert found.rest == pytest.approx(vec.norm(chord) / 1.1)
    less, more = (segment(start, end, tension + by, ea, weight).rest for by in (-10.0, 10.0))
    assert found.rest_slope == pytest.approx((more - less) / 20.0, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(seeds, st.sampled_from([0.0, 0.1, LOCKED]), st.floats(20.0, 2000.0), st.sampled_from([2e-4, 1.2e-3]))
def test_balance_with_weight(seed: int, friction: float, tension: float, weight: float) -> None:
    state, load = drawn(seed, friction, tension, weight)
    loaded = load_line(state, load)
    total = (0.0, 0.0, 0.0)
    for force in loaded.post_forces:
        total = vec.add(total, force)
    hung = weight * sum(state.rest)
    assert total[:2] == pytest.approx(load.force[:2], abs=1e-6 * max(loaded.max_tension, 1.0))
    # Weight is per stretched length, which is longer by the strain.
    assert total[2] == pytest.approx(load.force[2] - hung, abs=0.03 * hung + 1e-6 * loaded.max_tension)


@settings(max_examples=100, deadline=None)
@given(seeds, st.floats(0.02, 1.0), st.floats(1.0, 2000.0))
def test_capstan_law_at_every_hole_and_no_line_lost(seed: int, friction: float, tension: float) -> None:
    """T2 = T1 exp(mu beta) where the line has slipped, less where it has not; lengths add up on each side."""
    state, load = drawn(seed, friction, tension)
    loaded = load_line(state, load)
    line, k = state.line, load.span
    rests = []
    for j, (first, last) in enumerate(loaded.tensions):
        a, b = line.points[j], line.points[j + 1]
        if j == k:
            rests += [vec.distance(a, loaded.place) / (1.0 + first / line.ea)]
            rests += [vec.distance(loaded.place, b) / (1.0 + last / line.ea)]
        else:
            rests.append(vec.distance(a, b) / (1.0 + first / line.ea))
    for hole in range(1, len(line.points) - 1):
        into = vec.sub(line.points[hole], loaded.place if hole - 1 == k else line.points[hole - 1])
        out = vec.sub(loaded.place if hole == k else line.points[hole + 1], line.points[hole])
        ratio = math.exp(-friction * vec.angle(into, out))
        ahead, behind = loaded.tensions[hole - 1][1], loaded.tensions[hole][0]
        assert min(ahead, behind) >= max(ahead, behind) * ratio - 1e-6 * loaded.max_tension - 1e-9
        far_tension, near = (ahead, behind) if hole <= k else (behind, ahead)
        if abs(far_tension - tension) > 1e-6 * max(tension, 1.0):
            assert far_tension in (pytest.approx(near * ratio, rel=1e-6), pytest.approx(near / ratio, rel=1e-6))
    if loaded.tensions[k][0] > 0.0:
        own = load.share * state.rest[k]
        assert sum(rests[: k + 1]) == pytest.approx(own + sum(state.rest[:k]), abs=1e-7)
    if loaded.tensions[k][1] > 0.0:
        own = (1.0 - load.share) * state.rest[k]
        assert sum(rests[k + 1 :]) == pytest.approx(own + sum(state.rest[k + 1 :]), abs=1e-7)


@settings(max_examples=80, deadline=None)
@given(seeds, st.floats(0.01, 2.0), st.floats(1.0, 2000.0))
def test_free_and_locked_bracket_every_friction(seed: int, friction: float, tension: float) -> None:
    rng = random.Random(seed)
    line = random_line(rng)
    load = across(line, rng.randrange(len(line.spans)), 10.0 ** rng.uniform(1.3, 3.8))

    def under(mu: float) -> Loaded:
        return load_line(set_line(line.with_friction(mu), tension), load)

    free, between, locked = under(0.0), under(friction), under(LOCKED)
    # Under much friction the solver stops where its steps are small: 1.2e-8 of the deflection was met once.
    slip = 1e-7 * free.deflection
    assert locked.deflection - slip <= between.deflection <= free.deflection + slip
    assert free.max_tension * (1.0 - 1e-9) <= between.max_tension <= locked.max_tension * (1.0 + 1e-9)


@settings(max_examples=80, deadline=None)
@given(seeds, frictions, tensions, st.floats(1.0, 500.0), weights)
def test_more_tension_less_deflection(seed: int, friction: float, tension: float, more: float, weight: float) -> None:
    rng = random.Random(seed)
    line = replace(random_line(rng), weight=weight).with_friction(friction)
    load = across(line, rng.randrange(len(line.spans)), 10.0 ** rng.uniform(1.0, 3.5))
    tension = max(tension, line.min_tension)
    loose, tight = (load_line(set_line(line, t), load) for t in (tension, tension + more))
    assert tight.deflection < loose.deflection


@settings(max_examples=80, deadline=None)
@given(seeds, frictions, tensions, st.floats(1.05, 4.0))
def test_stiffer_line_more_tension(seed: int, friction: float, tension: float, times: float) -> None:
    rng = random.Random(seed)
    line = random_line(rng).with_friction(friction)
    load = across(line, rng.randrange(len(line.spans)), 10.0 ** rng.uniform(1.3, 3.5))
    soft = load_line(set_line(line, tension), load)
    stiff = load_line(set_line(replace(line, ea=line.ea * times), tension), load)
    assert stiff.max_tension > soft.max_tension
    assert stiff.deflection < soft.deflection


@settings(max_examples=80, deadline=None)
@given(seeds, frictions, tensions, weights)
def test_mirrored_boat_mirrored_forces(seed: int, friction: float, tension: float, weight: float) -> None:
    state, load = drawn(seed, friction, tension, weight)

    def flip(v: vec.Vec) -> vec.Vec:
        return (v[0], -v[1], v[2])

    line = replace(state.line, points=tuple(flip(p) for p in state.line.points))
    other = load_line(set_line(line, state.tension[0]), replace(load, force=flip(load.force)))
    ours = load_line(state, load)
    assert other.deflection == pytest.approx(ours.deflection, abs=1e-7)
    for a, b in zip(ours.post_forces, other.post_forces, strict=True):
        assert vec.distance(flip(a), b) <= 1e-6 * max(ours.max_tension, 1.0)


@pytest.mark.parametrize(
    ("seed", "friction", "tension", "weight"),
    [
        (634040, 0.0, 4.463544045232159, 2e-4),
        (634040, 0.11508757742603387, 4.4003413931960145, 2e-4),
        (128418, LOCKED, 2.7106909747037387, 2e-4),
    ],
)
def test_short_stiff_part_of_an_almost_slack_line(seed: int, friction: float, tension: float, weight: float) -> None:
    """Lengths solved to a share of the whole line once left a short part some 5e-7 N out of balance: refused."""
    state, load = drawn(seed, friction, tension, weight)
    unloaded = load_line(state, replace(load, force=(0.0, 0.0, 0.0)))
    assert unloaded.moved == 0.0
    total = (0.0, 0.0, 0.0)
    for force in unloaded.post_forces:
        total = vec.add(total, force)
    assert total[:2] == pytest.approx((0.0, 0.0), abs=1e-7)
    loaded = load_line(state, load)
    assert loaded.iterations < MAX_ITERATIONS
    assert loaded.deflection > unloaded.deflection


@settings(max_examples=60, deadline=None)
@given(seeds, frictions, tensions)
def test_run_read_from_the_other_end(seed: int, friction: float, tension: float) -> None:
    state, load = drawn(seed, friction, tension)
    line = replace(state.line, points=state.line.points[::-1])
    back = PointLoad(len(line.spans) - 1 - load.span, 1.0 - load.share, load.force)
    ours, other = load_line(state, load), load_line(set_line(line, tension), back)
    assert other.deflection == pytest.approx(ours.deflection, abs=1e-6)
    assert [pair[::-1] for pair in other.tensions[::-1]] == [pytest.approx(pair, abs=1e-5) for pair in ours.tensions]


@settings(max_examples=60, deadline=None)
@given(seeds, st.floats(50.0, 1500.0), st.floats(-3.0, 20.0).filter(lambda mm: abs(mm) > 1e-3), weights)
def test_slack_lowers_tension_and_lets_the_line_give(seed: int, tension: float, slack: float, weight: float) -> None:
    rng = random.Random(seed)
    line = replace(random_line(rng), weight=weight)
    load = across(line, 0, 100.0)
    tension = max(tension, 4.0 * line.min_tension)
    if weight > 0.0:
        slack = min(slack, 0.3)
    eased = set_line(line, tension, slack)
    taut = set_line(line, tension)
    assert sum(eased.rest) == pytest.approx(sum(taut.rest) + slack, abs=1e-6)
    assert (eased.tension[0] <= taut.tension[0]) == (slack >= 0.0)
    assert (load_line(eased, load).deflection >= load_line(taut, load).deflection - 1e-9) == (slack >= 0.0)


@settings(max_examples=60, deadline=None)
@given(seeds, st.floats(0.0, 5000.0), st.floats(1e-4, 0.9), st.floats(1e3, 1e6))
def test_length_taken_out_stretches_what_is_left(seed: int, tension: float, share: float, ea: float) -> None:
    """Hooke's law: the rest times 1 + T / EA is the path, before and after, however much a line gives."""
    line = replace(random_line(random.Random(seed)), ea=ea)
    rest = line.path / (1.0 + tension / ea)
    shorter = set_line(line, tension, -share * rest)
    assert shorter.tension[0] == pytest.approx(ea * (line.path / ((1.0 - share) * rest) - 1.0), rel=1e-6)


def test_no_line_is_shortened_by_all_its_length() -> None:
    line = random_line(random.Random(1))
    with pytest.raises(InputError, match="slack"):
        set_line(line, 500.0, -line.path)


def test_along_the_line_the_far_side_goes_slack() -> None:
    line = Line(tuple((x, 0.0, 0.0) for x in (0.0, 1000.0, 2000.0, 3000.0)), 1e6, 0.0, (0.0, 0.0))
    loaded = load_line(set_line(line, 100.0), PointLoad(1, 0.5, (5000.0, 0.0, 0.0)))
    assert loaded.tensions[2] == (0.0, 0.0)
    assert loaded.tensions[0][0] == pytest.approx(5000.0)


@pytest.mark.parametrize(
    "faulty",
    [
        {"points": ((0.0, 0.0, 0.0),), "friction": ()},
        {"points": ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))},
        {"ea": 0.0},
        {"ea": math.nan},
        {"weight": -1.0},
        {"friction": (0.1,)},
    ],
)
def test_impossible_lines_are_refused(faulty: dict) -> None:
    good = {"points": ((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0)), "ea": 1e6, "weight": 0.0, "friction": ()}
    with pytest.raises(InputError):
        Line(**{**good, **faulty})


def test_impossible_loads_and_tensions_are_refused() -> None:
    line = Line(((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0)), 1e6, 0.0, ())
    with pytest.raises(InputError):
        set_line(line, -1.0)
    with pytest.raises(InputError, match="weight"):
        set_line(replace(line, weight=1e-3), 0.0)
    for load in (
        PointLoad(1, 0.5, (0.0, 1.0, 0.0)),
        PointLoad(0, 1.0, (0.0, 1.0, 0.0)),
        PointLoad(0, 0.5, (0.0, math.nan, 0.0)),
    ):
        with pytest.raises(InputError):
            load_line(set_line(line, 1.0), load)
