"""Remedies of strength: another tube, a brace, lines set to a lower tension."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from geom.boat.model import Brace
from geom.mechanics.tube import TubeSection
from geom.open_items.group import limit, measured, once, some_of
from geom.open_items.item import OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.posts import along_edge, of_post
from geom.open_items.remedies.remedy import Candidate, Edits, Part, ids, one_value
from geom.placement.kept import posts_of
from geom.refit import Refit
from geom.remark import Remark

TENTH = 0.1
# Largest tube [mm] and highest proof stress [MPa] that are proposed: common practice, no source.
MAX_OD, MAX_PROOF = 50.0, 700.0
# Least height of a brace along its post and the steps from there [mm], and the distance of its foot from the post's,
# of the post's length: common practice, no source.
BRACE_LOWEST, BRACE_STEP, BRACE_SPREAD = 100.0, 10.0, 0.4


def other_tube(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the tube of the posts with a thicker wall, and of a larger diameter."""
    names = _tubes(refit, item)
    if len(names) != 1:
        return
    name, tube = names[0], refit.boat.tubes[names[0]]
    limits = [limit(finding) for finding in item.findings if finding.limit is not None]
    over = max(map(measured, item.findings)) / min(limits) if limits else 1.0
    needed = over * TubeSection(tube.od, tube.wall).modulus
    walls = math.floor((tube.od / 2.0 - tube.wall) / TENTH) - 1
    if walls >= 1:
        path = ("tubes", name, "wall")
        guess = _steps_to(needed, walls, lambda wall: TubeSection(tube.od, tube.wall + wall))
        what = lambda to: Remark("remedy.wall", at=name, to_mm=to)  # noqa: E731
        yield one_value(refit, item, path, TENTH, walls, what, guess=guess)
    sizes = math.floor((MAX_OD - tube.od) / TENTH)
    if sizes >= 1:
        path = ("tubes", name, "od")
        guess = _steps_to(needed, sizes, lambda more: TubeSection(tube.od + more, tube.wall))
        what = lambda to: Remark("remedy.od", at=name, to_mm=to)  # noqa: E731
        yield one_value(refit, item, path, TENTH, sizes, what, guess=guess)


def higher_proof(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the tube of the posts with a higher proof stress."""
    names = _tubes(refit, item)
    if len(names) == 1:
        yield from _higher_proof(refit, item, names[0])


def _tubes(refit: Refit, item: OpenItem) -> tuple[str, ...]:
    return once(refit.placed.posts[post].spec.tube for post in item.places)


def _steps_to(modulus: float, most: int, tube: Callable[[float], TubeSection]) -> int:
    """Return the number of tenths of a millimetre at which a tube has a section modulus [mm3], at most `most`."""
    return next((n for n in range(1, most) if tube(n * TENTH).modulus >= modulus), most)


def _higher_proof(refit: Refit, item: OpenItem, name: str) -> Iterator[Candidate]:
    path = ("tubes", name, "proof_stress")
    limits = [limit(finding) for finding in item.findings if finding.limit is not None]
    now: float = edit.at(refit.boat, path) or min(limits, default=0.0)
    needed = math.ceil(max(map(measured, item.findings)) - 1e-6)
    start = math.floor(now)
    if start < needed <= MAX_PROOF:

        def edits(more: int) -> Edits:
            return (edit.quantity(refit.boat, path, float(start + more), "MPa"),)

        yield Candidate(
            (Part(name, ids(item), edits, needed - start, math.floor(MAX_PROOF) - start),),
            lambda steps: Remark("remedy.proof_stress", at=name, to_mpa=float(start + steps[0])),
            1.0,
            "MPa",
        )


def braced(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each post braced away from its gate; the brace that it has meets it higher."""
    away = {post: _away(refit, post) for post in item.places if post in refit.placed.posts}

    def part(post: str) -> Part:
        spec = refit.placed.posts[post].spec
        below = BRACE_LOWEST - BRACE_STEP if spec.brace is None else spec.brace.along

        def edits(steps: int) -> Edits:
            along = below + steps * BRACE_STEP
            if steps == 0:
                return ()
            if spec.brace is not None:
                return (edit.quantity(refit.boat, ("posts", post, "brace", "along"), along),)
            foot = along_edge(refit, post, away[post] * BRACE_SPREAD * spec.top)[0].value
            return (edit.entry(refit.loaded, ("posts", post, "brace"), Brace(foot=foot, along=along)),)

        most = math.ceil((spec.top - below) / BRACE_STEP) - 1
        return Part(post, of_post(item, post), edits, max(most // 2, 1), max(most, 1))

    posts = tuple(away)

    def what(steps: tuple[int, ...]) -> Remark:
        heights = [one.edits(n)[0].value for one, n in zip(parts, steps, strict=True)]
        along = max(one.along if isinstance(one, Brace) else one for one in heights)
        return Remark("remedy.brace", at=some_of(posts, "posts"), along_mm=along)

    parts = tuple(map(part, posts))
    if parts:
        yield Candidate(parts, what, BRACE_STEP)


def _away(refit: Refit, post: str) -> float:
    """Return which way a post stands from the other support of its gate: +1 aft, -1 forward."""
    gate = next((gate for gate in refit.placed.gates.values() if post in gate.names), None)
    if gate is None:
        return 1.0
    other = next(one for one in gate.supports if one.name != post)
    return 1.0 if refit.placed.posts[post].foot[0] > other.deck[0] else -1.0


def less_tension(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the lines at the posts, without those of the gate itself, set to a tension that is not higher than one."""
    tensions = refit.work.tensions
    posts = set(item.places)
    gates = [set(gate.supports) for gate in refit.boat.gates]
    pulling = tuple(
        run.id for run in refit.boat.runs
        if posts & posts_of(run) and {run.start.support, run.finish.support} not in gates and run.id in tensions
    )  # fmt: skip
    if not pulling:
        return
    now = math.floor(max(tensions[run].set_tension for run in pulling))

    def edits(less: int) -> Edits:
        to = float(now - less)
        return tuple(
            edit.quantity(refit.boat, ("runs", run, "set_tension"), to, "N")
            for run in pulling
            if tensions[run].set_tension > to
        )

    yield Candidate(
        (Part(pulling[0], ids(item), edits, max(now // 2, 1), now - 1),),
        lambda steps: Remark("remedy.less_tension", at=some_of(pulling, "runs"), to_n=float(now - steps[0])),
        1.0,
        "N",
    )
