"""Loads on lines and posts: push tests, posts at rest and with a gate open, falls.

Forces in N and moments in N m, on paper and screen of an inch boat in lbf and lbf ft.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from geom.mechanics.boat_loads import EndReaction, SpanPush
from geom.mechanics.falls import Fall
from geom.mechanics.post_loads import PostLoad
from geom.mechanics.tension import RunTension
from geom.refit import Refit
from geom.remark import Remark
from geom.tables.table import Column, Table, Value, column, numbers
from geom.units import decimal, pounds_force, raised, to_compare
from geom.words import worded

# Falls are ranked, worst first; further ones add nothing new.
FALLS_SHOWN = 24


def push_tests(refit: Refit) -> Table:
    """Return the push test of every span: the tension needed, and the deflection at the set tension of its run."""
    of = partial(column, SpanPush, decimals=0)
    columns = (
        of("run", "RUN"),
        of("span=number", "SPAN"),
        _to_set(of("tension_while_loaded=while_loaded", "WHILE PUSHED")),
        _to_set(of("needed_lower=needed.lower", "NEEDED, RIGID ENDS")),
        _to_set(of("needed_upper=needed.upper", "ENDS GIVE")),
        of("permitted_slack=needed.slack", "PERMITTED SLACK"),
        of("verdict", "ACHIEVABLE BY HAND"),
        _set(of("set_tension=assumed.set_tension", "SET TO")),
        of("deflection_min=deflection.minimum", "DEFLECTION, MIN"),
        of("deflection_max=deflection.maximum", "MAX"),
        of("expected_sag_free=expected.free", "SAG FREE"),
        of("expected_sag_locked=expected.locked", "SAG LOCKED"),
    )
    found = refit.loads.pushes
    return Table("push-tests", "PUSH TESTS", columns, found, tuple(f"{push.run}:{push.number}" for push in found))


def _to_set(tension: Column) -> Column:
    """Return a column of tensions that meet a limit, rounded up to whole newtons or pounds."""

    def read(row: object) -> Value:
        value = tension.read(row)
        return float(raised(value, 0)) if isinstance(value, float) else value

    return replace(tension, read=read, up=True)


def _set(tension: Column) -> Column:
    """Return a column of set tensions: as they are in newtons, rounded up in pounds."""
    return replace(tension, up=True)


def set_tensions(refit: Refit) -> Table:
    """Return the marking and set tension of each run, with the deflection of its test span at the set tension."""
    of = partial(column, SpanPush, decimals=0)
    columns = (
        of("run", "RUN"),
        of("marking_tension=assumed.marking_tension", "MARK AT"),
        _set(of("set_tension=assumed.set_tension", "SET TO")),
        of("set_by=assumed.set_by", "BY"),
        of("test_span=number", "TEST SPAN"),
        of("deflection_min=deflection.minimum", "DEFLECTION, MIN"),
        of("deflection_max=deflection.maximum", "MAX"),
        of("basis=assumed.source", "BASIS"),
    )
    found = refit.loads.test_pushes
    return Table("set-tensions", "MARKING AND SET TENSIONS", columns, found, tuple(one.run for one in found))


def tensions_text(tensions: tuple[RunTension, ...], inches: bool = False) -> str:
    """Return the tensions assumed by a load, run by run.

    Args:
        tensions: of the runs.
        inches: whether they are in lbf, rounded up so that they still pass the push test, and not in N.
    """
    written = (pounds_force(one.set_tension, up=True) if inches else decimal(one.set_tension, 0) for one in tensions)
    return "; ".join(f"{one.run} {text}" for one, text in zip(tensions, written, strict=True))


def at_tensions(refit: Refit, of_rows: Iterable[tuple[RunTension, ...]]) -> str:
    """Return the set tensions that the rows of a table assume, as its heading, in the order of the runs."""
    named = {one.run for tensions in of_rows for one in tensions}
    assumed, inches = tuple(one for one in refit.loads.assumed if one.run in named), numbers(refit.boat).unit == "in"
    return f"at set tensions [{'lbf' if inches else 'N'}]: {tensions_text(assumed, inches)}"


def _post_columns(of: Any = lambda row: row) -> tuple[Column, ...]:
    """Return the columns of the governing section of a post.

    Args:
        of: returns the loads of the post from a row.
    """
    post = partial(column, PostLoad, of=of, decimals=0)
    fraction = partial(post, decimals=2)

    return (
        post("governing_place=governing.place", "GOVERNED BY"),
        post("moment=governing.moment", "MOMENT THERE", decimals=1),
        post("stress=governing.stress", "STRESS"),
        fraction("proof_stress_utilisation=yield_utilisation", "OF PROOF"),
        fraction("plastic_moment_utilisation=plastic_utilisation", "OF PLASTIC"),
        post("state", "STATE"),
        fraction("stress_concentration=governing.concentration.factor", "Ktg"),
        post("stress_concentration_extrapolated=governing.concentration.extrapolated", "Ktg EXTRAPOLATED"),
        post("peak_stress=governing.peak", "PEAK"),
        Column("set_tensions_n", "SET TENSIONS N", lambda row: tensions_text(of(row).tensions)),
    )


def post_loads(refit: Refit) -> Table:
    """Return the loads on every post with its lines at rest and all gates shut, the most loaded first."""
    of = partial(column, PostLoad, decimals=0)
    columns = (
        of("post=id", "POST"),
        of("force_outboard=force_side", "OUTBOARD"),
        of("force_aft=force_fore_aft", "AFT"),
        of("moment_at_foot=moment", "FOOT", decimals=1),
        *_post_columns(),
    )
    found = refit.loads.posts
    ids, assumes = tuple(post.id for post in found), at_tensions(refit, (post.tensions for post in found))
    return Table("post-loads", "POSTS AT REST, GATES SHUT", columns, found, ids, assumes, _peak_note(found))


def _peak_note(posts: Iterable[PostLoad]) -> str:
    """Return the highest stress at the edge of a hole that governs its post; empty where no hole does."""
    peaks = [(one.peak, post.id, one) for post in posts if (one := post.governing).peak is not None]
    if not peaks:
        return ""
    peak, _, section = max(peaks, key=lambda one: (to_compare(one[0] or 0.0), one[1]))
    concentration = section.concentration
    assert peak is not None and concentration is not None
    beyond = ", extrapolated beyond its chart" if concentration.extrapolated else ""
    return f"edge of {section.place}: peak {decimal(peak, 0)} MPa by Ktg {decimal(concentration.factor, 2)}{beyond}"


@dataclass(frozen=True)
class PostCase:
    """One post in one load case: at rest or with its gate open, braced or unbraced."""

    case: str
    gate: str
    brace: str
    post: PostLoad


def gate_posts(refit: Refit) -> Table:
    """Return the loads on the posts of every gate with the gate open, as built and unbraced."""
    hooks = {gate.gate: None if gate.hook is None else gate.hook.post for gate in refit.loads.gates}
    columns = (
        column(PostCase, "gate", "GATE"),
        column(PostCase, "post.id", "POST"),
        column(PostCase, "brace", "BRACE"),
        *_post_columns(lambda row: row.post),
        Column("hook_post", "HOOK ON", lambda row: hooks[row.gate]),
    )
    found = tuple(gate_cases(refit))
    ids = tuple(f"{one.post.id}:{one.brace}" for one in found)
    return Table(
        "gate-posts",
        "GATE POSTS, GATE OPEN",
        columns,
        found,
        ids,
        at_tensions(refit, (one.post.tensions for one in found)),
        _peak_note(one.post for one in found if one.brace != "left out"),
    )


def gate_cases(refit: Refit) -> Iterator[PostCase]:
    """Yield the posts of every gate with the gate open, as built and, where there is a brace, without it."""
    for gate in refit.loads.gates:
        for post in gate.posts:
            braced = post.as_built.brace_force is not None
            yield PostCase("gate open", gate.gate, "as built" if braced else "none", post.as_built)
            # A post without a brace has one case only.
            if braced:
                yield PostCase("gate open", gate.gate, "left out", post.unbraced)


def yielding(refit: Refit, run: str) -> tuple[str, ...]:
    """Return the posts of a run that yield or collapse under the lines as set, then those that do with gates open only.

    With its gate open a post of stated proof stress may yield at its worst section alone, as the clauses say.

    Args:
        refit: the boat as calculated.
        run: one of the lines that load them.
    """

    def of(posts: Iterable[PostLoad], opened: bool) -> list[str]:
        found = {
            post.id
            for post in posts
            if post.state == "collapsed" or (post.state == "yields" and not (opened and post.proof_stated))
            if any(tension.run == run for tension in post.tensions)
        }
        return [post for post in refit.placed.posts if post in found]

    closed = of(refit.loads.posts, opened=False)
    opened = of((one.as_built for one in refit.loads.gate_posts), opened=True)
    return (*closed, *(worded(Remark("post.gate_open", post=post)) for post in opened if post not in closed))


def bases(refit: Refit) -> Table:
    """Return the loads on braces and bases: rigid plates tilting about one edge, fillet welds all round."""
    of = partial(column, PostCase, decimals=0)

    def missing(row: PostCase) -> str:
        base = row.post.base
        return "; ".join(dict.fromkeys(one for one in (base.bolt_missing, base.weld_missing) if one is not None))

    columns = (
        of("post.id", "POST"),
        of("case", "CASE"),
        of("brace_force=post.brace_force", "BRACE"),
        of("pull_off_deck=post.base.pull_off", "OFF DECK"),
        of("bolt_tension=post.base.bolt_tension", "WORST BOLT"),
        of("weld_stress=post.base.weld_stress", "WELD"),
        Column("not_determined", "NOT DETERMINED", missing),
        Column("set_tensions_n", "SET TENSIONS N", lambda row: tensions_text(row.post.tensions)),
    )
    cases = [PostCase("at rest", "", "as built", post) for post in refit.loads.posts]
    cases += [one for one in gate_cases(refit) if one.brace != "left out"]
    ids = tuple(f"{one.post.id}:{one.case}" for one in cases)
    return Table(
        "post-bases",
        "BRACES AND BASES",
        columns,
        tuple(cases),
        ids,
        at_tensions(refit, (one.post.tensions for one in cases)),
        "brace and plate rigid, the plate tilting about one edge, bolts not preloaded; fillet weld all round",
    )


def rail_eyes(refit: Refit) -> Table:
    """Return the load of each run on its rail eyes, at rest and under the worst person-impact load."""
    of = partial(column, EndReaction, decimals=0)
    columns = (
        of("eye", "EYE"),
        of("run", "RUN"),
        of("at_rest=at_rest_size", "AT REST"),
        of("worst=worst_size", "PERSON, RIGID POSTS"),
        of("worst_fall", "UNDER"),
        Column("set_tensions_n", "SET TENSIONS N", lambda end: tensions_text((end.assumed,))),
    )
    found = refit.loads.ends
    ids, assumes = tuple(f"{end.eye}:{end.run}" for end in found), at_tensions(refit, ((end.assumed,) for end in found))
    return Table("rail-eyes", "RAIL EYES", columns, found, ids, assumes)


def falls(refit: Refit) -> Table:
    """Return the worst person-impact loads across the lines; posts and ends rigid."""
    of = partial(column, Fall, decimals=0)
    columns = (
        of("run", "RUN"),
        of("span=number", "SPAN"),
        of("place", "PLACE"),
        of("person=person.name", "LOAD"),
        of("line.force", "LOAD"),
        of("tension", "TENSION, MAX"),
        of("deflection", "DEFLECTION, MAX"),
        of("weakest_link=links.governing.link.name", "WEAKEST LINK"),
        Column("set_tensions_n", "SET TENSIONS N", lambda fall: tensions_text((fall.assumed,))),
    )
    found = refit.loads.falls[:FALLS_SHOWN]
    title = "PERSON-IMPACT LOADS, RIGID POSTS"
    ids, assumes = tuple(f"fall:{i + 1}" for i in range(len(found))), at_tensions(refit, [refit.loads.assumed])
    return Table("falls", title, columns, found, ids, assumes)


def push_limits(refit: Refit) -> Table:
    """Return the push across the line, at each place, at which the first post yields and at which it collapses."""
    of = partial(column, Fall, decimals=0)
    columns = (
        of("run", "RUN"),
        of("span=number", "SPAN"),
        of("place", "PLACE"),
        of("first_post_yields_at_lower=yields.lower", "YIELD, LOWER"),
        of("first_post_yields_at_likely=yields.likely", "LIKELY"),
        of("first_post_collapses_at_lower=collapses.lower", "COLLAPSE, LOWER"),
        of("first_post_collapses_at_likely=collapses.likely", "LIKELY"),
        Column("first_post_to_collapse", "POST", lambda fall: fall.collapses.likely_post or fall.collapses.lower_post),
        Column("set_tensions_n", "SET TENSIONS N", lambda fall: tensions_text((fall.assumed,))),
    )
    # The push does not depend on the person: one row for each place, the smallest push first.
    places = {(fall.run, fall.span, fall.place): fall for fall in refit.loads.falls}
    ranked = sorted(
        places.values(), key=lambda fall: (to_compare(fall.min_push), fall.run, fall.span, worded(fall.place))
    )
    found = tuple(fall for fall in ranked if fall.yields is not None and fall.collapses is not None)
    ids = tuple(f"{fall.run}:{fall.number}:{worded(fall.place)}" for fall in found)
    title = "PUSH AT WHICH THE FIRST POST YIELDS, COLLAPSES; RIGID POSTS: LOWER BOUND, POSTS THAT BEND: LIKELY"
    return Table("push-limits", title, columns, found, ids, at_tensions(refit, [refit.loads.assumed]))


LOAD_TABLES = (set_tensions, push_tests, post_loads, gate_posts, bases, rail_eyes, falls, push_limits)
