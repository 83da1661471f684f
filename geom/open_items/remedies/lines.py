"""Remedies at lines: thinner, thicker or stronger, wire, tighter, ends further apart, one line in place of two."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from geom.boat.line_model import GuardLine, LineEnd, SlideOn
from geom.boat.model import Boat
from geom.open_items.group import once, some_of
from geom.open_items.item import OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.edit import Edit
from geom.open_items.remedies.posts import along_edge, of_run
from geom.open_items.remedies.remedy import Candidate, Edits, Part, by_mm, fittings_of, ids, one_value, steps_off
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.alternatives import continuous_run, min_hmpe_diameter, min_line_diameter

# Largest changes that are tried [N], [mm].
MOST_NEWTONS, MOST_TENSION, MOST_GATE = 60_000, 5_000, 600
TENTH = 0.1
# Families of ends on wire, the usual one first.
_TERMINALS = ("swaged stud", "swaged eye", "compression terminal")


def thinner(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a thinner line, but no thinner than the rule's least for rope."""
    runs = once(finding.run for finding in item.findings if finding.run in refit.placed.runs)
    names = once(refit.placed.runs[run].spec.line for run in runs)
    if len(names) == 1:
        least = min_hmpe_diameter(refit.boat).value
        most = math.floor((refit.boat.lines[names[0]].diameter - least) / TENTH + 1e-6)
        if most >= 1:
            yield _diameter(refit, item, names[0], -TENTH, most)


def thicker(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield a thicker line."""
    if len(item.places) == 1 and item.places[0] in refit.boat.lines:
        yield _diameter(refit, item, item.places[0], TENTH, 100)


def _diameter(refit: Refit, item: OpenItem, name: str, step: float, most: int) -> Candidate:
    path = ("lines", name, "diameter")
    return one_value(
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
            yield one_value(
                refit, item, path, 1.0, MOST_NEWTONS, lambda to: Remark("remedy.strength", at=name, to_n=to), "N"
            )


def more_tension(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the set tension at which each line passes the push test."""
    stated = {run: refit.placed.runs[run].spec.set_tension for run in item.places if run in refit.placed.runs}
    set_now = {run: math.floor(tension) for run, tension in stated.items() if tension is not None}
    if not set_now or len(set_now) < len(item.places):
        return

    def part(run: str) -> Part:
        def edits(more: int) -> Edits:
            return (edit.quantity(refit.boat, ("runs", run, "set_tension"), float(set_now[run] + more), "N"),)

        needed = max((one.demand or 0.0 for one in item.findings if one.run == run), default=0.0)
        return Part(run, of_run(item, run), edits, max(math.ceil(needed - set_now[run]), 1), MOST_TENSION)

    at, now = some_of(item.places, "runs"), tuple(set_now[run] for run in item.places)

    def what(steps: tuple[int, ...]) -> Remark:
        return Remark("remedy.tension", at=at, to_n=float(max(map(sum, zip(now, steps, strict=True)))))

    yield Candidate(tuple(map(part, item.places)), what, 1.0, "N")


def wider_gate(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the after posts of gates moved aft, and the forward ones forward, until the buries fit."""
    yield from _longer_runs(refit, item, "finish", "remedy.wider_gate")
    yield from _longer_runs(refit, item, "start", "remedy.wider_gate_forward")


def ends_apart(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the posts at the after ends of lines moved aft, and those at the forward ends forward."""
    yield from _longer_runs(refit, item, "finish", "remedy.post_aft")
    yield from _longer_runs(refit, item, "start", "remedy.post_forward")


def _longer_runs(refit: Refit, item: OpenItem, end: Literal["start", "finish"], what: str) -> Iterator[Candidate]:
    """Yield the posts at one end of an item's runs moved along the deck edge away from the other end."""
    ends = {run: getattr(refit.placed.runs[run].spec, end).post for run in item.places}
    posts = once(ends.values())
    if None in ends.values():
        return
    sign = 1 if end == "finish" else -1

    def part(post: str) -> Part:
        found = [one for one in item.findings if one.run is not None and ends.get(one.run) == post]
        guess = steps_off([one.margin for one in found], 1.0)
        own = frozenset(one.id for one in found)
        return Part(post, own, lambda by: along_edge(refit, post, float(sign * by)), guess, MOST_GATE)

    at = some_of(posts, "posts")
    yield Candidate(tuple(map(part, posts)), lambda steps: Remark(what, at=at, by=by_mm(steps)), 1.0)


def shorter_fitting(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each kind of fitting in the lines with a smaller planned length."""
    for name in fittings_of(refit, item):
        length = refit.boat.fittings[name].length
        most = math.floor((length.planned - (length.min or 0.0)) / TENTH)
        if most >= 1:
            yield _shorter(refit, item, name, most)


def _shorter(refit: Refit, item: OpenItem, name: str, most: int) -> Candidate:
    path = ("fittings", name, "length", "planned")
    return one_value(refit, item, path, -TENTH, most, lambda to: Remark("remedy.planned_length", at=name, to_mm=to))


def wire(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield wire of the rule's least diameter with terminals, in place of the lines.

    Wire and terminals that the boat file has already are taken; of new ones only what decides is stated.
    """
    boat = refit.boat
    runs = [run for run in boat.runs if run.id in item.places or run.line in item.places]
    if not runs or any(not boat.lines[run.line].rope for run in runs):
        return
    line = next((name for name, one in boat.lines.items() if not one.rope), None)
    end = next((name for name, one in boat.ends.items() if one.family in _TERMINALS), None)
    new: list[Edit] = []
    if line is None:
        line = "guard wire"
        made = GuardLine(construction="1x19 wire", material="stainless steel 316", diameter=min_wire_diameter(boat))
        new.append(edit.entry(refit.loaded, ("lines", line), made))
    if end is None:
        end = "wire terminal"
        new.append(edit.entry(refit.loaded, ("ends", end), LineEnd(family=_TERMINALS[0])))
    lines = [edit.word(boat, ("runs", run.id, "line"), line) for run in runs]
    ends = [edit.word(boat, ("runs", run.id, key, "end"), end) for run in runs for key in ("start", "finish")]
    edits = (*new, *lines, *ends)
    names = tuple(run.id for run in runs)
    yield Candidate(
        (Part(names[0], ids(item), lambda _: edits),),
        lambda _: Remark("remedy.wire", at=some_of(names, "runs"), line=line),
    )


def min_wire_diameter(boat: Boat) -> float:
    """Return the minimum diameter of wire by the rule in force, for the boat's hull length [mm].

    Source: OSR 3.14.6, table 8.
    """
    return min_line_diameter(boat, "3.14.6 wire diameter").value


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
            edit.names(refit.boat, ("runs", line.id, "through"), line.through),
            Edit(("runs", line.id, "finish"), line.finish, f"at {old.finish.post}", text),
            Edit(("runs", line.id, "slide_on"), (stop,), "", f"[{{item: stop, kind: stop, hole: {stop.hole}}}]"),
            Edit(("runs", run), None, "", "left out"),
        ]
    yield Candidate(
        (Part(item.places[0], ids(item), lambda _: tuple(edits)),),
        lambda _: Remark("remedy.one_line", at=some_of(item.places, "gate_lines")),
    )
