"""What riggers and shops commonly ask of holes, lips and pairs; none of it has a published source."""

from __future__ import annotations

from collections.abc import Iterator

from geom.rules.rule import Clause, Finding, Verdict, at_least, at_most
from geom.runs.eye import ORDER
from geom.runs.placed import Placed
from geom.units import degrees

DOCUMENT = "common practice"
EDITION = "no source"
HOLE_OVER_TUBE = 0.5
TOP_OVER_HOLE = 1.5
PAIR_LIMIT = 5.0


def line_enters_hole(placed: Placed) -> Iterator[Finding]:
    """The bore of each hole is at least the line's diameter; else drill out, bush larger or take a thinner line.

    Source: common practice, no source.
    """
    for run in placed.runs.values():
        line = placed.line(run).diameter
        for passage in run.passages:
            verdict, margin = at_least(passage.hole.bore, line)
            note = f"needs a bore of {line:g} mm: drill out, bush anew or take a thinner line" if margin < 0 else ""  # type: ignore[operator]
            yield _finding(
                "line-enters", passage.hole.id, "line through hole", "bore", verdict,
                passage.hole.bore, line, "mm", margin, run=run.id, post=passage.hole.post, note=note,
            )  # fmt: skip


def hole_leaves_tube(placed: Placed) -> Iterator[Finding]:
    """A hole is not wider than half its tube.

    Source: common practice, no source.
    """
    for post, hole in placed.holes():
        limit = HOLE_OVER_TUBE * post.tube_od
        kept, margin = at_most(hole.diameter, limit)
        yield _finding(
            "hole-in-tube", hole.id, "hole in tube", "diameter", _as_notice(kept),
            hole.diameter, limit, "mm", margin, post=post.id,
            note="" if kept == "pass" else "over half the tube's diameter: little tube is left beside it",
        )  # fmt: skip


def hole_clear_of_top(placed: Placed) -> Iterator[Finding]:
    """A hole's centre lies at least 1.5 hole diameters below the tube's top.

    Source: common practice, no source.
    """
    for post, hole in placed.holes():
        limit = TOP_OVER_HOLE * hole.diameter
        kept, margin = at_least(post.top - hole.along, limit)
        yield _finding(
            "hole-to-top", hole.id, "hole below top", "centre to top", _as_notice(kept),
            post.top - hole.along, limit, "mm", margin, post=post.id,
            note="" if kept == "pass" else "nearer to the top than 1.5 hole diameters",
        )  # fmt: skip


def line_clears_lips(placed: Placed) -> Iterator[Finding]:
    """At rest the line touches one lip of each hole, not both.

    A hole whose direction was not measured is judged as if square and fore-and-aft, for warning only.
    Source: geometry.
    """
    for hole_id, resting in placed.restings.items():
        hole = resting.passage.hole
        rest = resting.if_square if hole.measured is None and hole.told.planned is None else resting.on_axis
        if rest is None:
            continue
        verdict: Verdict = "fail" if rest.touches_both_lips else "pass"
        note = f"{rest.basis}: line at {degrees(rest.line_angle):.1f} deg, free to {degrees(rest.free_angle):.1f} deg"
        if hole.measured is None and hole.told.planned is None:
            if rest.touches_both_lips:
                verdict = "cannot tell"
                note += "; the hole's direction was not measured, and a square one would touch both lips"
            else:
                note += "; the hole's direction was not measured, a square one would be clear"
        line = placed.line(placed.runs[resting.run]).diameter
        yield _finding(
            "both-lips", hole_id, "line at rest in hole", "clear diameter", verdict,
            rest.clear, line, "mm", rest.clear - line, run=resting.run, post=hole.post, note=note,
        )  # fmt: skip


def eye_goes_through(placed: Placed) -> Iterator[Finding]:
    """The end that leads goes through every hole of its run, or is made in place.

    Source: common practice, no source; factors in data/eye_factors.csv.
    """
    for eyes in placed.eyes.values():
        for hole in eyes.holes:
            leading = getattr(hole, eyes.leading)
            kept = leading.verdict in ("passes", "squeeze")
            yield _finding(
                "eye", f"{hole.hole}", "made-up end through hole", f"bore against {leading.factor}",
                "pass" if kept else "fail" if leading.verdict == ORDER[-1] else "notice",
                leading.has, leading.needs, "mm", None if leading.needs is None else leading.has - leading.needs,
                run=eyes.run, post=hole.hole.rpartition("-")[0],
                note=leading.verdict if kept else f"{leading.verdict}: {eyes.reason}",
            )  # fmt: skip


def levels_in_order(placed: Placed) -> Iterator[Finding]:
    """The upper hole of a post stands above its lower one.

    Source: common practice, no source.
    """
    for post in placed.posts.values():
        upper, lower = post.hole("U"), post.hole("L")
        if upper is None or lower is None:
            continue
        verdict, margin = at_least(upper.along, lower.along)
        yield _finding(
            "levels", post.id, "order of holes", "upper less lower along the tube", verdict,
            upper.along - lower.along, 0.0, "mm", margin, post=post.id,
            note="" if verdict == "pass" else "the upper hole stands below the lower one",
        )  # fmt: skip


def sides_alike(placed: Placed) -> Iterator[Finding]:
    """Port and starboard lines are cut alike only where their paths differ by not more than 5 mm.

    Source: common practice, no source.
    """
    for pair in placed.pairs:
        if pair.quantity != "path":
            continue
        kept, margin = at_most(abs(pair.difference), PAIR_LIMIT)
        yield _finding(
            "pair", pair.name, "port against starboard", "difference of path", _as_notice(kept),
            abs(pair.difference), PAIR_LIMIT, "mm", margin,
            note="" if kept == "pass" else "DO NOT PAIR: cut each side to its own length",
        )  # fmt: skip


def _as_notice(verdict: Verdict) -> Verdict:
    """Turn a failed habit into a notice: nothing published stands behind it."""
    return "notice" if verdict == "fail" else verdict


def _finding(
    clause: str,
    place: str,
    subject: str,
    quantity: str,
    verdict: Verdict,
    measured: float | None,
    limit: float | None,
    unit: str,
    margin: float | None,
    run: str | None = None,
    post: str | None = None,
    note: str = "",
) -> Finding:
    return Finding(
        id=f"{clause}:{place}", document=DOCUMENT, edition=EDITION, clause=clause, subject=subject,
        quantity=quantity, verdict=verdict, measured=measured, limit=limit, unit=unit, margin=margin,
        run=run, post=post, note=note,
    )  # fmt: skip


CLAUSES = (
    Clause(DOCUMENT, EDITION, "line-enters", "line through hole", line_enters_hole),
    Clause(DOCUMENT, EDITION, "levels", "order of holes", levels_in_order),
    Clause(DOCUMENT, EDITION, "hole-in-tube", "hole in tube", hole_leaves_tube),
    Clause(DOCUMENT, EDITION, "hole-to-top", "hole below top", hole_clear_of_top),
    Clause(DOCUMENT, EDITION, "both-lips", "line at rest in hole", line_clears_lips),
    Clause(DOCUMENT, EDITION, "eye", "made-up end through hole", eye_goes_through),
    Clause(DOCUMENT, EDITION, "pair", "port against starboard", sides_alike),
)
