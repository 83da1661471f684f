"""What lines and posts carry: push tests, posts at rest, falls; forces in N, moments in N m."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from geom.mechanics.boat_loads import SpanPush
from geom.mechanics.falls import Fall
from geom.mechanics.post_loads import PostLoad
from geom.refit import Refit
from geom.tables.table import Column, Table, Value, column
from geom.units import raised

# Falls are ranked; beyond these only the same picture repeats.
FALLS_SHOWN = 24


def push_tests(refit: Refit) -> Table:
    """Return every span's push test."""
    of = partial(column, SpanPush, decimals=0)
    columns = (
        of("run", "RUN"),
        of("span=number", "SPAN"),
        _to_set(of("tension_while_loaded=while_loaded", "WHILE PUSHED")),
        _to_set(of("needed_lower=needed.lower", "RIGID ENDS")),
        _to_set(of("needed_upper=needed.upper", "SET TO")),
        of("permitted_slack=needed.slack", "PERMITTED SLACK"),
        of("verdict", "ACHIEVABLE BY HAND"),
        of("expected_sag_free=expected.free", "SAG FREE"),
        of("expected_sag_locked=expected.locked", "SAG LOCKED"),
    )
    found = refit.loads.pushes
    return Table("push-tests", "PUSH TESTS", columns, found, tuple(f"{push.run}:{push.number}" for push in found))


def _to_set(tension: Column) -> Column:
    """Return a column of tensions that keep a limit, in whole newtons and never under it."""

    def read(row: object) -> Value:
        value = tension.read(row)
        return float(raised(value, 0)) if isinstance(value, float) else value

    return replace(tension, read=read)


def post_loads(refit: Refit) -> Table:
    """Return every post with its lines at rest, the most loaded first."""
    of = partial(column, PostLoad, decimals=0)
    columns = (
        of("post=id", "POST"),
        of("force_outboard=force_side", "OUTBOARD"),
        of("force_aft=force_fore_aft", "AFT"),
        of("moment_at_foot=moment", "FOOT", decimals=1),
        of("stress", "STRESS"),
        of("proof_stress_utilisation=yield_share", "OF PROOF", decimals=2),
        of("state", "STATE"),
    )
    found = refit.loads.posts
    return Table("post-loads", "POSTS AT REST", columns, found, tuple(post.id for post in found))


def falls(refit: Refit) -> Table:
    """Return the worst of a person's loads across the lines; posts held rigid."""
    of = partial(column, Fall, decimals=0)
    columns = (
        of("run", "RUN"),
        of("span=number", "SPAN"),
        of("place", "PLACE"),
        of("person=person.name", "LOAD"),
        of("line.force", "LOAD"),
        of("tension=line.loaded.greatest", "TENSION"),
        of("deflection=line.loaded.sag", "DEFLECTION"),
        of("first_post_collapses_at=collapse.force", "POST COLLAPSE"),
        of("weakest_link=links.governing.link.name", "WEAKEST LINK"),
    )
    found = refit.loads.falls[:FALLS_SHOWN]
    return Table("falls", "PERSON-IMPACT LOADS", columns, found, tuple(f"fall:{i + 1}" for i in range(len(found))))
