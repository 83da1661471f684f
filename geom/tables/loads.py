"""What lines and posts carry: push tests, posts at rest, falls; forces in N, moments in N m."""

from __future__ import annotations

from geom.refit import Refit
from geom.tables.schedule import Column, Schedule, Value
from geom.units import raised
from geom.words import worded

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


def post_loads(refit: Refit) -> Schedule:
    """Return every post with its lines at rest, the most loaded first."""
    columns = (
        Column("post", "POST"),
        Column("side_n", "SIDE N", "number", 0),
        Column("fore_and_aft_n", "FORE-AFT N", "number", 0),
        Column("moment_at_foot_nm", "FOOT N m", "number", 1),
        Column("stress_mpa", "STRESS MPa", "number", 0),
        Column("share_of_proof_stress", "OF PROOF", "number", 2),
        Column("state", "STATE"),
    )
    rows: list[tuple[Value, ...]] = [
        (p.id, p.force_side, p.force_fore_aft, p.moment / 1e3, p.stress, p.yield_share, p.state)
        for p in refit.loads.posts
    ]
    return Schedule("post-loads", "POSTS AT REST", columns, tuple(p.id for p in refit.loads.posts), tuple(rows))


def falls(refit: Refit) -> Schedule:
    """Return the worst of a person's loads across the lines; posts held rigid."""
    columns = (
        Column("run", "RUN"),
        Column("span", "SPAN"),
        Column("place", "PLACE"),
        Column("person", "LOAD"),
        Column("force_n", "LOAD N", "number", 0),
        Column("tension_n", "TENSION N", "number", 0),
        Column("deflection_mm", "GIVES", "length"),
        Column("first_post_folds_at_n", "POST FOLDS N", "number", 0),
        Column("weakest_link", "WEAKEST LINK"),
    )
    shown = refit.loads.falls[:FALLS_SHOWN]
    rows: list[tuple[Value, ...]] = []
    for fall in shown:
        use = fall.links.governing
        rows.append((
            fall.run, str(fall.span + 1), worded(fall.place), fall.person.name, fall.line.force,
            fall.line.loaded.greatest, fall.line.loaded.sag,
            None if fall.collapse is None else fall.collapse.force, None if use is None else use.link.name,
        ))  # fmt: skip
    ids = tuple(f"fall:{index + 1}" for index in range(len(shown)))
    return Schedule("falls", "A PERSON ACROSS THE LINE", columns, ids, tuple(rows))
