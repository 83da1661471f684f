"""Items of holes: a line that does not enter, that touches both lips, a direction that nobody measured."""

from __future__ import annotations

from collections.abc import Iterator

from geom.open_items.group import Draft, Group, Maker, limit, measured, once, some_of
from geom.open_items.item import Choice, Entry
from geom.placement.edge_options import open_holes
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import Finding


def _direction(refit: Refit, group: Group) -> Draft:
    holes = _holes(refit, group)
    square = [refit.placed.lines_in_holes[hole].if_square for hole in holes]
    pinched = sum(one is not None and one.touches_both_lips for one in square)
    title = Remark("item.hole_direction", at=some_of(holes, "holes"), pinched=pinched)
    posts = ", ".join(dict.fromkeys(hole.rpartition("-")[0] for hole in holes))
    entry = Entry(f"posts, {posts}: holes, as_found", "direction: {clocking: ..., tilt: ...}")
    again = Choice(Remark("choice.redrill"), None, Remark("choice.redrill_to_check"))
    return Draft(title, holes, (Choice(Remark("choice.measure_direction")), again), (entry,))


def _lips(refit: Refit, group: Group) -> Draft:
    holes = _holes(refit, group)
    title = Remark("item.lips", at=some_of(holes, "holes"))
    return Draft(title, holes, (Choice(Remark("choice.redrill"), None, Remark("choice.redrill_to_check")),))


def _bore(refit: Refit, group: Group) -> Draft:
    """Return the item of a line as thick as its holes or thicker; holes that clear it are not named."""
    runs = [refit.placed.runs[run] for run in group.runs]
    tight = [
        passage.hole
        for run in runs
        for passage in run.passages
        if passage.hole.bore <= refit.placed.lines_in_holes[passage.hole.id].diameter + 1e-6
    ]
    lines = (refit.placed.lines_in_holes[passage.hole.id].diameter for run in runs for passage in run.passages)
    line = max(lines, default=0.0)
    holes = tuple(hole.id for hole in tight)
    bore = min((hole.bore for hole in tight), default=0.0)
    return Draft(Remark("item.bore", at=some_of(holes, "holes"), bore_mm=bore, line_mm=line), holes or group.runs)


def edges(refit: Refit) -> Iterator[tuple[Draft, tuple[Finding, ...]]]:
    """Yield the item of edges that the wall cannot round as rope requires and for which nothing is chosen."""
    for finding in refit.findings_of.get("quantity.edge_radius_of_wall", ()):
        radius, min_radius = measured(finding), limit(finding)
        if radius >= min_radius:
            continue
        holes = tuple(hole.id for _, hole in open_holes(refit.placed))
        title = Remark("item.edges", at=some_of(holes, "holes"), min_mm=min_radius)
        choices = tuple(Choice(note) for note in finding.notes if note.code.startswith("edge.option"))
        yield Draft(title, holes, choices, (Entry("hole_edges", "choice: ..., wall: ..."),)), (finding,)


def _holes(refit: Refit, group: Group) -> tuple[str, ...]:
    of_runs = refit.placed.lines_in_holes
    named = (finding.where["name"] for finding in group.findings if finding.where is not None)
    return once(str(name) for name in named if str(name) in of_runs)


MAKERS: dict[str, Maker] = {"hole.direction": _direction, "hole.lips": _lips, "hole.bore": _bore}
