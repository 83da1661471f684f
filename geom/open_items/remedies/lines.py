"""Remedies at lines: another diameter, a stronger one, more tension, a wider gate, one line through the gate."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.boat.model import SlideOn
from geom.open_items.group import once, some_of
from geom.open_items.item import OpenItem
from geom.open_items.lines import min_rope_diameter
from geom.open_items.remedies import edit
from geom.open_items.remedies.edit import Edit
from geom.open_items.remedies.posts import along_edge, of_run
from geom.open_items.remedies.remedy import Candidate, Edits, Part, ids, one_force, one_length, steps_off
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.alternatives import continuous_run

# Largest changes that are tried [N], [mm].
MOST_NEWTONS, MOST_TENSION, MOST_GATE = 60_000, 5_000, 600
TENTH = 0.1


def thinner(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a thinner line, but no thinner than the rule's least for rope."""
    runs = once(finding.run for finding in item.findings if finding.run in refit.placed.runs)
    names = once(refit.placed.runs[run].spec.line for run in runs)
    if len(names) == 1:
        least = min_rope_diameter(refit.boat) or 0.0
        most = math.floor((refit.boat.lines[names[0]].diameter - least) / TENTH + 1e-6)
        if most >= 1:
            yield _diameter(refit, item, names[0], -TENTH, most)


def thicker(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a thicker line."""
    if len(item.places) == 1 and item.places[0] in refit.boat.lines:
        yield _diameter(refit, item, item.places[0], TENTH, 100)


def _diameter(refit: Refit, item: OpenItem, name: str, step: float, most: int) -> Candidate:
    path = ("lines", name, "diameter")
    return one_length(
        refit, item, path, step, most, lambda to: Remark("remedy.line_diameter", at=name, to_mm=to)
    )  # fmt: skip


def stronger(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a line, an end or a fitting of a larger strength."""
    if len(item.places) != 1:
        return
    name = item.places[0]
    for path in (
        ("lines", name, "breaking_load", "value"),
        ("ends", name, "strength", "value"),
        ("fittings", name, "strength", "value"),
    ):
        if edit.at(refit.boat, path) is not None:
            yield one_force(
                refit, item, path, MOST_NEWTONS, lambda to: Remark("remedy.strength", at=name, to_n=to)
            )  # fmt: skip


def more_tension(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the set tension at which each line passes the push test."""
    stated = {run: refit.placed.runs[run].spec.set_tension for run in item.places if run in refit.placed.runs}
    set_now = {run: math.floor(tension) for run, tension in stated.items() if tension is not None}
    if not set_now or len(set_now) < len(item.places):
        return

    def part(run: str) -> Part:
        def edits(more: int) -> Edits:
            return (edit.force(refit.boat, ("runs", run, "set_tension"), float(set_now[run] + more)),)

        needed = max((one.demand or 0.0 for one in item.findings if one.run == run), default=0.0)
        return Part(run, of_run(item, run), edits, max(math.ceil(needed - set_now[run]), 1), MOST_TENSION)

    at, now = some_of(item.places, "runs"), tuple(set_now[run] for run in item.places)

    def what(steps: tuple[int, ...]) -> Remark:
        return Remark("remedy.tension", at=at, to_n=float(max(map(sum, zip(now, steps, strict=True)))))

    yield Candidate(tuple(map(part, item.places)), what, 1.0, "N")


def wider_gate(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the after post of each gate moved aft, until the buries fit."""
    gates = {
        max(gate.posts, key=lambda post: post.foot[0]).id: [
            run for run in item.places if _ends_at(refit, run) == set(gate.names)
        ]
        for gate in refit.placed.gates.values()
        if len(gate.posts) == 2 and gate.side != "C"
    }

    def part(post: str) -> Part:
        found = [one for one in item.findings if one.run in gates[post]]
        guess = steps_off([one.margin for one in found], 1.0)
        return Part(
            post, frozenset(one.id for one in found), lambda by: along_edge(refit, post, by), guess, MOST_GATE
        )  # fmt: skip

    posts = tuple(post for post, runs in gates.items() if runs)
    if posts:
        at = some_of(posts, "posts")
        yield Candidate(
            tuple(map(part, posts)),
            lambda steps: Remark("remedy.wider_gate", at=at, by_mm=float(max(steps))),
            step=1.0,
        )


def _ends_at(refit: Refit, run: str) -> set[str]:
    spec = refit.placed.runs[run].spec
    return {spec.start.support, spec.finish.support}


def one_line(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each gate line made in one piece with the line before it, which goes on through the gate post."""
    edits: list[Edit] = []
    for run in item.places:
        joined = continuous_run(refit.boat, refit.placed.runs[run])
        if joined is None or joined[0].slide_on:
            return
        line, old = joined[0], refit.placed.runs[joined[0].id].spec
        text = f"as finish of {run}"
        stop = SlideOn(item="stop", kind="stop", hole=f"{line.through[-1]}-{line.level}")
        edits += [
            Edit(("runs", line.id, "through"), line.through, _list(old.through), _list(line.through)),
            Edit(("runs", line.id, "finish"), line.finish, f"at {old.finish.post}", text),
            Edit(("runs", line.id, "slide_on"), (stop,), "", f"[{{item: stop, kind: stop, hole: {stop.hole}}}]"),
            Edit(("runs", run), None, "", "left out"),
        ]
    yield Candidate(
        (Part(item.places[0], ids(item), lambda _: tuple(edits)),),
        lambda _: Remark("remedy.one_line", at=some_of(item.places, "gate_lines")),
    )


def _list(names: tuple[str, ...]) -> str:
    return f"[{', '.join(names)}]"
