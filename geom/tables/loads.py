"""What lines and posts carry: push tests, posts at rest and with a gate open, falls; forces in N, moments in N m."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geom.refit import Refit
from geom.tables.schedule import Column, Schedule, Value
from geom.units import raised
from geom.words import worded

if TYPE_CHECKING:
    from geom.mechanics.post_loads import PostLoad
    from geom.mechanics.run_line import AssumedTension

# Falls are ranked; beyond these only the same picture repeats.
FALLS_SHOWN = 24


def push_tests(refit: Refit) -> Schedule:
    """Return every span's push test."""
    columns = (
        Column("run", "RUN"),
        Column("span", "SPAN"),
        Column("while_loaded_n", "WHILE PUSHED N", "number", 0),
        Column("needed_lower_n", "RIGID ENDS N", "number", 0),
        Column("needed_upper_n", "SET TO N", "number", 0),
        Column("slack_that_passes_mm", "SLACK PASSES", "length"),
        Column("verdict", "SET BY HAND"),
        Column("expected_free_mm", "SAG FREE", "length"),
        Column("expected_locked_mm", "SAG LOCKED", "length"),
    )
    ids: list[str] = []
    rows: list[tuple[Value, ...]] = []
    for push in refit.loads.pushes:
        needed, expected = push.needed, push.expected
        ids.append(f"{push.run}:{push.span + 1}")
        rows.append((
            push.run, str(push.span + 1), _to_set(push.while_loaded),
            None if needed is None else _to_set(needed.lower),
            None if needed is None else _to_set(needed.upper),
            None if needed is None else needed.slack,
            "cannot tell" if needed is None else needed.verdict,
            None if expected is None else expected.free,
            None if expected is None else expected.locked,
        ))  # fmt: skip
    return Schedule("push-tests", "PUSH TESTS", columns, tuple(ids), tuple(rows))


def _to_set(tension: float | None) -> float | None:
    """Return a tension that keeps a limit in whole newtons, never under it."""
    return None if tension is None else float(raised(tension, 0))


def set_tensions(refit: Refit) -> Schedule:
    """Return the tension that every load takes each run to be set to."""
    columns = (
        Column("run", "RUN"),
        Column("set_tension_n", "SET TO N", "number", 0),
        Column("basis", "BASIS"),
    )
    runs = refit.loads.runs
    rows: list[tuple[Value, ...]] = [(name, run.tension, worded(run.basis)) for name, run in runs.items()]
    return Schedule("set-tensions", "SET TENSIONS THAT THE LOADS ASSUME", columns, tuple(runs), tuple(rows))


def tensions_text(tensions: tuple[AssumedTension, ...]) -> str:
    """Return the tensions that a load assumes, run by run in newtons."""
    return "; ".join(f"{one.run} {one.tension:.0f}" for one in tensions)


_POST_COLUMNS = (
    Column("governing_place", "GOVERNED BY"),
    Column("moment_nm", "N m THERE", "number", 1),
    Column("stress_mpa", "STRESS MPa", "number", 0),
    Column("share_of_proof_stress", "OF PROOF", "number", 2),
    Column("share_of_plastic_moment", "OF PLASTIC", "number", 2),
    Column("state", "STATE"),
    Column("stress_concentration", "Ktg", "number", 2),
    Column("stress_concentration_basis", "Ktg FROM"),
    Column("peak_stress_mpa", "PEAK MPa", "number", 0),
    Column("set_tensions_n", "SET TENSIONS N"),
)


def _post_values(post: PostLoad) -> tuple[Value, ...]:
    at = post.governing
    factor = basis = None
    if at.concentration is not None:
        factor, basis = at.concentration.factor, "extrapolated" if at.concentration.extrapolated else "chart"
    return (
        at.place, at.moment / 1e3, at.stress, post.yield_share, post.plastic_share, post.state,
        factor, basis, at.peak, tensions_text(post.tensions),
    )  # fmt: skip


def post_loads(refit: Refit) -> Schedule:
    """Return every post with its lines at rest and all gates shut, the most loaded first."""
    columns = (
        Column("post", "POST"),
        Column("side_n", "SIDE N", "number", 0),
        Column("fore_and_aft_n", "FORE-AFT N", "number", 0),
        Column("moment_at_foot_nm", "FOOT N m", "number", 1),
        *_POST_COLUMNS,
    )
    rows: list[tuple[Value, ...]] = [
        (p.id, p.force_side, p.force_fore_aft, p.moment / 1e3, *_post_values(p)) for p in refit.loads.posts
    ]
    ids = tuple(p.id for p in refit.loads.posts)
    return Schedule("post-loads", "POSTS AT REST, GATES SHUT", columns, ids, tuple(rows))


def open_gates(refit: Refit) -> Schedule:
    """Return the posts of every gate with the gate open, as they are braced and unbraced."""
    columns = (Column("gate", "GATE"), Column("post", "POST"), Column("brace", "BRACE"), *_POST_COLUMNS)
    ids: list[str] = []
    rows: list[tuple[Value, ...]] = []
    for gate in refit.loads.gates:
        for post in gate.as_built:
            ids.append(f"{post.id}:as built")
            brace = "none" if post.brace_force is None else "as built"
            rows.append((gate.gate, post.id, brace, *_post_values(post)))
        for built, bare in zip(gate.as_built, gate.unbraced, strict=True):
            # A post without a brace is the same both ways.
            if built.brace_force is not None:
                ids.append(f"{bare.id}:unbraced")
                rows.append((gate.gate, bare.id, "left out", *_post_values(bare)))
    return Schedule("open-gates", "GATE POSTS, GATE OPEN", columns, tuple(ids), tuple(rows))


def bases(refit: Refit) -> Schedule:
    """Return what braces and bases carry: rigid plates about their pressed edge, fillet welds all round."""
    columns = (
        Column("post", "POST"),
        Column("case", "CASE"),
        Column("brace_n", "BRACE N", "number", 0),
        Column("pull_off_deck_n", "OFF DECK N", "number", 0),
        Column("bolt_tension_n", "WORST BOLT N", "number", 0),
        Column("weld_stress_mpa", "WELD MPa", "number", 0),
        Column("not_determined", "NOT DETERMINED"),
        Column("set_tensions_n", "SET TENSIONS N"),
    )
    cases = [("at rest", post) for post in refit.loads.posts]
    cases += [("gate open", post) for gate in refit.loads.gates for post in gate.as_built]
    rows: list[tuple[Value, ...]] = []
    for case, post in cases:
        base = post.base
        missing = "; ".join(dict.fromkeys(one for one in (base.bolt_missing, base.weld_missing) if one is not None))
        rows.append((
            post.id, case, post.brace_force, base.pull_off, base.bolt_tension, base.weld_stress, missing or None,
            tensions_text(post.tensions),
        ))  # fmt: skip
    ids = tuple(f"{post.id}:{case}" for case, post in cases)
    return Schedule("post-bases", "BRACES AND BASES", columns, ids, tuple(rows))


def rail_eyes(refit: Refit) -> Schedule:
    """Return what each run does to its rail eyes at rest and under the worst of a person's loads."""
    columns = (
        Column("eye", "EYE"),
        Column("run", "RUN"),
        Column("at_rest_n", "AT REST N", "number", 0),
        Column("worst_n", "PERSON, RIGID POSTS N", "number", 0),
        Column("worst_fall", "UNDER"),
        Column("set_tensions_n", "SET TENSIONS N"),
    )
    ends = refit.loads.ends
    rows: list[tuple[Value, ...]] = [
        (end.eye, end.run, end.at_rest_size, end.worst_size, worded(end.worst_fall), tensions_text((end.assumed,)))
        for end in ends
    ]
    return Schedule("rail-eyes", "RAIL EYES", columns, tuple(f"{end.eye}:{end.run}" for end in ends), tuple(rows))


def falls(refit: Refit) -> Schedule:
    """Return the worst of a person's loads across the lines; posts and ends rigid."""
    columns = (
        Column("run", "RUN"),
        Column("span", "SPAN"),
        Column("place", "PLACE"),
        Column("person", "LOAD"),
        Column("force_n", "LOAD N", "number", 0),
        Column("tension_n", "TENSION, MAX N", "number", 0),
        Column("deflection_mm", "DEFLECTION, MAX", "length"),
        Column("weakest_link", "WEAKEST LINK"),
        Column("set_tensions_n", "SET TENSIONS N"),
    )
    shown = refit.loads.falls[:FALLS_SHOWN]
    rows: list[tuple[Value, ...]] = []
    for fall in shown:
        use = fall.links.governing
        rows.append((
            fall.run, str(fall.span + 1), worded(fall.place), fall.person.name, fall.line.force, fall.tension,
            fall.deflection,
            None if use is None else use.link.name, tensions_text((fall.assumed,)),
        ))  # fmt: skip
    ids = tuple(f"fall:{index + 1}" for index in range(len(shown)))
    return Schedule("falls", "A PERSON ACROSS THE LINE, RIGID POSTS", columns, ids, tuple(rows))


def push_limits(refit: Refit) -> Schedule:
    """Return the push across the line, at each place, at which the first post yields and collapses."""
    columns = (
        Column("run", "RUN"),
        Column("span", "SPAN"),
        Column("place", "PLACE"),
        Column("first_post_yields_at_lower_n", "YIELD N, LOWER", "number", 0),
        Column("first_post_yields_at_likely_n", "LIKELY", "number", 0),
        Column("first_post_collapses_at_lower_n", "COLLAPSE N, LOWER", "number", 0),
        Column("first_post_collapses_at_likely_n", "LIKELY", "number", 0),
        Column("first_post_to_collapse", "POST"),
        Column("set_tensions_n", "SET TENSIONS N"),
    )
    # The push does not hang on the person: one row a place, the least first.
    places = {(fall.run, fall.span, fall.place): fall for fall in refit.loads.falls}
    rows: list[tuple[Value, ...]] = []
    ids: list[str] = []
    for fall in sorted(places.values(), key=lambda one: (one.min_push, one.run, one.span, worded(one.place))):
        yields, collapses = fall.yields, fall.collapses
        if yields is None or collapses is None:
            continue
        ids.append(f"{fall.run}:{fall.span + 1}:{worded(fall.place)}")
        rows.append((
            fall.run, str(fall.span + 1), worded(fall.place), yields.lower, yields.likely, collapses.lower, collapses.likely,
            collapses.likely_post or collapses.lower_post, tensions_text((fall.assumed,)),
        ))  # fmt: skip
    title = "PUSH AT WHICH THE FIRST POST YIELDS, COLLAPSES; RIGID POSTS: LOWER BOUND, POSTS THAT BEND: LIKELY"
    return Schedule("push-limits", title, columns, tuple(ids), tuple(rows))
