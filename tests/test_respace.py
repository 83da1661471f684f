"""Places for the stanchions: against brute force, clear of what is barred, within the limits of the check."""

from __future__ import annotations

import itertools
import json
import math
import random
import re
from dataclasses import replace

import numpy as np
import pytest
import yaml
from typer.testing import CliRunner

from geom.boat.file import read_boat
from geom.boat.turn import to_file_axes
from geom.cli import app
from geom.errors import InputError
from geom.fleet.respacing import Request, Respacing, respace
from geom.fleet.respacing.solve import (
    Course,
    Problem,
    evenest,
    farthest_reached,
    fewest,
    largest_turn,
    least_turned,
    span_lengths,
)
from geom.intake.list_edit import PartEdit
from geom.refit import refit
from tests.boats import BOATS
from tests.counts import seeds
from tests.random_boats import random_data
from tests.some import some

RUN = CliRunner()
DEMO = (BOATS / "saltwhin-31.yaml").read_text("utf-8")
BARRED = """
spacing:
  # what is under the deck
  fixed: [P-S2]
  barred:
    - {side: S, forward: 2600, aft: 2900, what: chainplate}
    - {side: S, forward: 4100, aft: 4300, what: winch}

lines:
"""


def random_edge(seed: int, step: float = 1.0) -> Problem:
    """Return a stretch along a curved edge with barred stations, one or two lines, a limit of a fifth to a half."""
    chance = random.Random(seed)
    length = chance.uniform(400.0, 1100.0)
    slope, bend = chance.uniform(0.0, 0.6), chance.uniform(-6e-4, 0.0)
    stations = np.arange(math.ceil(30.0 / step), math.floor((length - 30.0) / step)) * step
    for _ in range(chance.randint(0, 4)):
        first = chance.uniform(30.0, length)
        stations = stations[(stations < first) | (stations > first + chance.uniform(5.0, 120.0))]

    def at(x: np.ndarray) -> np.ndarray:
        return np.stack([x, 200.0 + slope * x + 0.5 * bend * x * x, 600.0 - 0.03 * x + 2e-5 * x * x], axis=-1)

    courses = []
    for drop in (0.0, 100.0)[: chance.randint(1, 2)]:
        below = np.array([0.0, 0.0, -drop])
        off = np.array([0.0, chance.uniform(-15.0, 15.0), chance.uniform(-15.0, 15.0)])
        courses.append(Course(at(np.array(0.0)) + below + off, at(np.array(length)) + below, at(stations) + below))
    grade = chance.choice((1.0, 1.0, 1.1, 0.92))
    return Problem(stations, tuple(courses), length * chance.uniform(0.2, 0.8), chance.uniform(10.0, 40.0), grade)


class Brute:
    """Every pair of stations of a stretch; a span beyond the limit counts as infinite."""

    def __init__(self, problem: Problem) -> None:
        def longest(a: list[np.ndarray], b: list[np.ndarray]) -> np.ndarray:
            found = [np.sqrt(((x[:, None, :] - y[None, :, :]) ** 2).sum(axis=2)) for x, y in zip(a, b, strict=True)]
            return np.where(np.max(found, axis=0) > problem.limit, np.inf, np.max(found, axis=0))

        holes, starts = [one.holes for one in problem.courses], [one.start[None, :] for one in problem.courses]
        apart = problem.stations[None, :] - problem.stations[:, None]
        self.between = np.where(apart < problem.apart, np.inf, longest(holes, holes))
        self.first = longest(starts, holes)[0]
        self.last = longest(holes, [one.end[None, :] for one in problem.courses])[:, 0]

    def smallest(self, shares: np.ndarray) -> float:
        """Return the smallest largest share of a span over every layout with so many spans."""
        worst = self.first / shares[0]
        for share in shares[1:-1]:
            worst = np.min(np.maximum(worst[:, None], self.between / share), axis=0)
        return float(np.min(np.maximum(worst, self.last / shares[-1])))


@pytest.mark.long
def test_fewest_posts_and_largest_span_agree_with_brute_force() -> None:
    counted = set()
    for seed in some(seeds(50)):
        problem = random_edge(seed)
        found = fewest(problem)
        if problem.without_posts() <= problem.limit:
            assert found == 0
            continue
        brute = Brute(problem)
        by_brute = next((posts for posts in range(1, 9) if brute.smallest(np.ones(posts + 1)) < np.inf), None)
        assert found == by_brute, seed
        counted.add(found)
        if found is None:
            reached = farthest_reached(problem)
            assert reached is None or reached < problem.stations[-1] + 1.0
            continue
        for posts in (found, found + 1):
            chosen, smallest = evenest(problem, posts), brute.smallest(problem.shares(posts))
            if smallest == np.inf:
                continue
            assert chosen is not None
            shares = span_lengths(problem, chosen) / problem.shares(posts)
            assert shares.max() == pytest.approx(smallest, abs=1.0), seed
            assert span_lengths(problem, chosen).max() <= problem.limit + 1e-6
            assert np.diff(problem.stations[list(chosen)]).min(initial=np.inf) >= problem.apart
    assert len(counted) >= 4


@pytest.mark.long
def test_evenness_and_turn_agree_with_every_layout_on_a_coarse_grid() -> None:
    looked = 0
    for seed in some(seeds(25)):
        problem = random_edge(seed, 30.0)
        posts = fewest(problem)
        if not posts or posts > 3:
            continue
        every = [
            one for one in itertools.combinations(range(len(problem.stations)), posts)
            if span_lengths(problem, one).max() <= problem.limit
            and np.diff(problem.stations[list(one)]).min(initial=np.inf) >= problem.apart
        ]  # fmt: skip
        shares = {one: span_lengths(problem, one) / problem.shares(posts) for one in some(every)}
        smallest = min(one.max() for one in shares.values())
        alike = [one for one in every if shares[one].max() <= smallest + 0.5]
        rest = min(float(np.sqrt((shares[one] ** 2).mean())) for one in alike)
        as_even = [one for one in alike if np.sqrt((shares[one] ** 2).mean()) <= rest + 0.5]
        chosen = evenest(problem, posts)
        assert chosen in as_even
        assert largest_turn(problem, chosen) == pytest.approx(min(largest_turn(problem, one) for one in as_even))
        own = span_lengths(problem, chosen)
        least = min(0.5 * own.mean(), own.min())
        open_enough = [one for one in every if span_lengths(problem, one).min() >= least - 1e-9]
        turned = least_turned(problem, posts)
        assert turned is not None
        assert largest_turn(problem, turned) == pytest.approx(min(largest_turn(problem, one) for one in open_enough))
        looked += 1
    assert looked >= 8


def test_of_layouts_as_even_the_one_with_the_least_turn_is_taken() -> None:
    """Two stations as far from both ends, one nearer to the straight line between them."""
    holes = np.array([[500.0, 40.0, 0.0], [500.0, 20.0, 0.0]])
    course = Course(np.array([0.0, 0.0, 0.0]), np.array([1000.0, 0.0, 0.0]), holes)
    problem = Problem(np.array([500.0, 500.0]), (course,), 600.0, 10.0)
    assert evenest(problem, 1) == (1,)
    wider = replace(problem, courses=(replace(course, holes=holes * [1.0, 5.0, 1.0]),))
    assert evenest(wider, 1) == (1,), "the evenest where they differ"


def worked(text: str, request: Request = Request()) -> Respacing:  # noqa: B008 - frozen
    data = text.encode("utf-8")
    return respace(refit(read_boat(data, "boat.yaml")), data, request)


def with_spacing(text: str, spacing: str = BARRED) -> str:
    assert text.count("\nlines:\n") == 1
    return text.replace("\nlines:\n", spacing)


def check_layouts(found: Respacing) -> None:
    """Check every layout by its own refit: spans by the rules, nothing barred, posts that stay, what was read."""
    before = found.refit
    stays = {one.post for one in found.fixed}
    for layout in some(found.layouts):
        after = layout.refit
        judged = [one for one in after.findings if one.quantity.code == "quantity.widest_span" and one.binding]
        runs = {one.run for one in layout.spans}
        assert {one.verdict for one in some(one for one in judged if one.run in runs)} <= {"pass", "notice"}
        assert layout.widest.length <= found.limit.limit + 1e-6
        spacing = after.boat.spacing
        for bar in spacing.barred if spacing else ():
            for post in after.boat.posts:
                if post.side == bar.side and post.id not in stays:
                    base = after.boat.bases.get(post.base or "")
                    half = 0.5 * (after.boat.tubes[post.tube].od if base is None else base.length)
                    clear = max(bar.forward - (post.foot[0] + half), post.foot[0] - half - bar.aft)
                    # Feet on an inch boat are written to a thousandth of an inch.
                    assert clear >= -0.05, (post.id, bar)
        for name in stays:
            assert after.boat.post(name) == before.boat.post(name)
        assert {one.id for one in layout.posts} | stays >= {
            post.id for post in after.boat.posts if post.side in {one.side for one in layout.posts}
        }


def test_layouts_of_the_demonstration_boat_keep_clear_of_what_is_barred() -> None:
    found = worked(with_spacing(DEMO))
    check_layouts(found)
    free = worked(DEMO)
    check_layouts(free)
    assert [one.best.code for one in found.layouts] == ["respace.evenest", "respace.least_turn", "respace.one_more"]
    # Both were in the way of the evenest layout of the boat without them.
    feet = {one.id: one.x for one in free.layouts[0].posts}
    assert 2600 - 45 < feet["S-S1"] < 2900 + 45 and 4100 - 45 < feet["S-S2"] < 4300 + 45
    assert "P-S2" in feet and "P-S2" not in {one.id for one in found.layouts[0].posts}


@pytest.mark.long
def test_random_boats_with_barred_stretches() -> None:
    refused = 0
    for seed in some(seeds(8)):
        chance, data = random.Random(seed), random_data(seed)
        before = read_boat(json.dumps(data).encode(), "boat")
        bars = []
        for _ in range(chance.randint(1, 3)):
            x = chance.uniform(0.15, 0.8) * before.boat.boat.loa
            ends = [to_file_axes(before.axes, (one, 0.0, 0.0))[0] for one in (x, x + chance.uniform(60.0, 300.0))]
            bars.append({"side": chance.choice("SP"), "forward": f"{ends[0]:.1f} mm", "aft": f"{ends[1]:.1f} mm",
                         "what": "track"})  # fmt: skip
        data["spacing"] = {"barred": bars}
        data["rules"] = {"documents": ["osr"]}
        request = Request(alike=seed % 3 == 0, grade=chance.choice((1.0, 1.08)))
        try:
            found = worked(json.dumps(data), request)
        except InputError as error:
            said = str(error)
            assert re.search("no stations keep spans|on one side only|stand beyond|another from", said), said
            refused += 1
            continue
        check_layouts(found)
    assert refused <= len(seeds(8)) // 2


def test_both_sides_alike_stand_at_the_same_stations() -> None:
    found = worked(DEMO, Request(alike=True))
    check_layouts(found)
    for layout in some(found.layouts):
        sides = {side: [one.x for one in layout.posts if one.side == side] for side in "SP"}
        assert sides["S"] == sides["P"]
        assert len(sides["S"]) >= 2


def test_graded_spans_grow_by_their_ratio() -> None:
    found = worked(DEMO, Request(side="S", grade=1.1)).layouts[0]
    lengths = [one.length for one in found.spans if one.run == "S-F-U"]
    assert len(lengths) == 3
    for before, after in some(itertools.pairwise(lengths)):
        assert after / before == pytest.approx(1.1, abs=0.002)
    assert {one.side for one in found.posts} == {"S"}


def test_the_limit_is_that_of_the_document_chosen() -> None:
    """2.2 m: offshore regulations, 3.14.1 c); 7 ft: 46 CFR 169.327, as printed (data/rules)."""
    assert worked(DEMO).limit.limit == 2200.0
    closer = "documents: [osr]\n  own: {title: own, max_support_spacing: 1200}"
    own = DEMO.replace("documents: [osr, iso-15085]", closer)
    found = worked(own)
    check_layouts(found)
    assert found.limit.limit == 1200.0
    assert len(found.layouts[0].posts) > len(worked(DEMO).layouts[0].posts)
    with pytest.raises(InputError, match="no document chosen limits the distance between supports"):
        worked(DEMO.replace("documents: [osr, iso-15085]", "documents: [iso-15085]"))


def test_comments_and_everything_else_of_the_file_stay() -> None:
    found = worked(with_spacing(DEMO))
    old = with_spacing(DEMO).splitlines()
    for layout in some(found.layouts):
        new = layout.data.decode("utf-8").splitlines()
        comments = [line for line in old if line.lstrip().startswith("#")]
        assert [line for line in new if line.lstrip().startswith("#")] == comments
        before, after = (yaml.load("\n".join(one), yaml.BaseLoader) for one in (old, new))
        for part in some(before.keys() - {"posts", "runs", "tapes"}):
            assert before[part] == after[part]
        kept = [tape for tape in before["tapes"] if f"{tape['start']} to {tape['end']}" not in layout.tapes_out]
        assert after.get("tapes", []) == kept
        assert len(kept) + len(layout.tapes_out) == len(before["tapes"])


def test_entries_go_in_and_out_of_lists_on_one_line_and_on_many() -> None:
    flow = json.dumps(yaml.load(DEMO, yaml.BaseLoader))
    for text in (DEMO, flow):
        edit = PartEdit(text.encode(), "boat")
        edit.take_out(("tapes",), (0, 2))
        holes = ("U: {along: 615, planned: {diameter: 12.7}}", "L: {along: 308, planned: {diameter: 12.7}}")
        lines = ("id: S-S9", "foot: [4900, 1400, 1000]", "lean: 3", "rake: 0", "deck_falls: {aft: 1, outboard: 4}",
                 "tube: stanchion", "top: 632", "holes:", *(f"  {hole}" for hole in holes))  # fmt: skip
        edit.put_after(("posts", 1), lines)
        edit.write(("posts", 0, "holes"), f"{{{', '.join(holes).replace('615', '600')}}}")
        before, after = read_boat(text.encode(), "boat").boat, read_boat(edit.data(), "boat").boat
        assert [one.id for one in after.posts[:4]] == ["S-S1", "S-S2", "S-S9", "S-S3"]
        assert after.posts[0].holes["U"].along == 600.0
        assert after.tapes == (before.tapes[1], *before.tapes[3:])
        every = PartEdit(text.encode(), "boat")
        every.take_out(("tapes",), tuple(range(len(before.tapes))))
        if text is DEMO:
            assert read_boat(every.data(), "boat").boat.tapes == ()


@pytest.mark.parametrize(
    ("spacing", "said"),
    [
        ("spacing: {fixed: [S-S7]}", "spacing.fixed[1]: no such post (read: S-S7) - valid: did you mean S-S4"),
        ("spacing: {fixed: [S-S1, S-S1]}", "named twice"),
        ("spacing: {barred: [{side: S, forward: 3400, aft: 3300, what: winch}]}", "does not lie aft of `forward`"),
        ("spacing: {barred: [{side: S, forward: 33000, aft: 34000, what: winch}]}", "X lies off the boat"),
        ("spacing: {barred: [{side: C, forward: 3300, aft: 3400, what: winch}]}", "not a valid word here (read: C)"),
        ("spacing: {barred: [{side: S, forward: 3300, aft: 3400}]}", "the key 'what' is missing"),
    ],
)
def test_a_spacing_that_cannot_be_is_refused_with_its_line(spacing: str, said: str) -> None:
    text = with_spacing(DEMO, f"\n{spacing}\n\nlines:\n")
    line = text.splitlines().index(spacing) + 1
    with pytest.raises(InputError) as error:
        read_boat(text.encode(), "boat.yaml")
    assert said in str(error.value) and f"boat.yaml:{line}:" in str(error.value)


def test_barred_stretches_are_mirrored_and_turned_with_the_boat() -> None:
    first_try = (BOATS / "first-try.yaml").read_text("utf-8")
    bar = "\nspacing: {fixed: [S-S1], barred: [{side: S, forward: 3300, aft: 3420, what: track}]}\nlines:\n"
    boat = read_boat(with_spacing(first_try, bar).encode(), "boat").boat
    assert boat.spacing is not None
    assert [(one.side, one.forward) for one in boat.spacing.barred] == [("S", 3300.0), ("P", 3300.0)]
    assert boat.spacing.fixed == ("S-S1", "P-S1")
    check_layouts(worked(with_spacing(first_try, bar.replace("fixed: [S-S1], ", ""))))
    turned = first_try.replace("origin: [0, 0, 0], x: aft", "origin: [5400, 0, 0], x: forward")
    turned = turned.replace("mast_x: 1900", "mast_x: 3500")
    turned = with_spacing(turned, bar.replace("forward: 3300, aft: 3420", "forward: 2100, aft: 1980"))
    turned = re.sub(r"((?:foot|at): \[|    - \[)(\d+),", lambda m: f"{m[1]}{5400 - int(m[2])},", turned)
    assert read_boat(turned.encode(), "boat").boat.spacing == boat.spacing
    one, other = worked(turned), worked(with_spacing(first_try, bar))
    assert [[post.x for post in layout.posts] for layout in one.layouts] == [
        [post.x for post in layout.posts] for layout in other.layouts
    ]


def test_what_the_readme_says_as_a_new_user_would(tmp_path, monkeypatch) -> None:
    """The demonstration boat, and one that shares nothing with it: inches, one line, wire."""
    monkeypatch.chdir(tmp_path)
    for name, count in (("saltwhin-31", 3), ("pipwing-25", 3)):
        assert RUN.invoke(app, ["new", name]).exit_code == 0
        done = RUN.invoke(app, ["respace", f"{name}.yaml", "--alike"])
        assert done.exit_code == 0, done.output
        files = sorted((tmp_path / f"{name}-layouts").iterdir())
        assert len(files) == count
        assert "LAYOUT 1  fewest stanchions, evenest spans" in done.output
        assert RUN.invoke(app, ["respace", f"{name}.yaml"]).exit_code == 2, "layouts are not written over"
        as_json = RUN.invoke(app, ["--quiet", "respace", f"{name}.yaml", "--replace", "--alike", "--json"])
        report = json.loads(as_json.stdout)
        assert [one["file"] for one in report["layouts"]] == [file.name for file in files]
        for one in some(report["layouts"]):
            assert one["widest_span_mm"] == max(span["length_mm"] for span in one["spans"]) <= report["limit_mm"]
        assert RUN.invoke(app, ["check", str(files[0])]).exit_code in (0, 1)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--fixed", "S-S9"], "--fixed: no such post (read: S-S9)"),
        (["--side", "C"], "--side: no such side in the boat file (read: C) - valid: S, P"),
        (["--like", "S-S9"], "--like: no post of side S"),
        (["--grade", "9"], "--grade: no usable ratio of spans (read: 9)"),
        (["--side", "S", "--alike"], "--alike"),
    ],
)
def test_options_that_cannot_be_are_refused(more: list[str], said: str, tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = RUN.invoke(app, ["respace", str(BOATS / "saltwhin-31.yaml"), *more])
    assert done.exit_code == 2
    assert said in done.output
    assert list(tmp_path.iterdir()) == []


def test_a_stretch_that_cannot_be_spaced_says_how_far_posts_get() -> None:
    bar = "\nspacing: {barred: [{side: S, forward: 1600, aft: 4900, what: cabin}]}\n\nlines:\n"
    said = r"S-PULPIT to S-S3: no stations keep spans within 2200\.0 mm .* posts reach X"
    with pytest.raises(InputError, match=said):
        worked(with_spacing(DEMO, bar))
