"""The edge that a hole gives its line, and the bore that it leaves: one object for every hole.

A rope bears on the edges of its holes, which are rounded for it: by polishing the wall to a full round, by a tube
welded through both walls, by a plastic bush, or by a sleeve on the line. The boat file chooses one for the boat,
`hole_edges`; a hole may have an edge radius or a liner of its own. Where nothing is chosen the bore is that of the bare
hole, and the edge stays an open question. Wire requires neither radius nor polish, and the choice leaves its holes as
they are; a liner or radius stated for such a hole holds.
Source: common practice, no source; radius and allowances in data/shop_limits.csv, choices in data/hole_edges.csv.
"""

from __future__ import annotations

from typing import Literal, get_args

from geom.boat.model import Boat, EdgeChoice, GuardLine, Hole, HoleEdges, Level, Liner, Post, Run, SlideOn
from geom.data import table
from geom.frozen import frozen
from geom.units import Mm

BoreOf = Literal["as found", "planned", "bushed"]
Edge = EdgeChoice | Literal["own radius", "own liner", "not chosen", "not required", "no line"]
CHOICES: tuple[EdgeChoice, ...] = get_args(EdgeChoice)
_LINED: tuple[EdgeChoice, ...] = ("welded through-tube", "plastic bush")


@frozen
class HoleEdge:
    """How the edges of one hole are finished, and the bore that is left.

    `bore` is what lines and ends pass through [mm], `bore_of` what it is the bore of. `radius` is the edge radius
    reached, None where it is not known; `min_radius` the one required for rope, else None. `bush` lines the hole,
    `sleeve` is slid on the line for it.
    """

    edge: Edge
    bore: Mm
    bore_of: BoreOf
    radius: Mm | None
    min_radius: Mm | None
    bush: Liner | None = None
    sleeve: SlideOn | None = None

    @property
    def made_by(self) -> str | None:
        """Who makes the edge; None where nothing is chosen for the boat."""
        return made_by(self.edge) if self.edge in CHOICES else None

    @property
    def reached(self) -> bool | None:
        """Whether the radius required is reached; None where none is, or the radius is not known."""
        if self.min_radius is None or self.radius is None:
            return None
        return self.radius >= self.min_radius


def min_edge_radius() -> Mm:
    """Return the edge radius that rope requires [mm].

    Source: data/shop_limits.csv, key edge radius; common practice, no source.
    """
    return table.datum("shop_limits", key="edge radius").value


def full_round(wall: Mm) -> Mm:
    """Return the radius of a wall's edge polished to a full round: half the wall [mm].

    Source: geometry; a half circle from face to face of the wall.

    Args:
        wall: of the tube [mm].
    """
    return 0.5 * wall


def made_by(choice: str) -> str:
    """Return who makes an edge.

    Source: data/hole_edges.csv.

    Args:
        choice: a word of `hole_edges` in the boat file.
    """
    return table.row("hole_edges", choice=choice)["made_by"]


def line_through(boat: Boat, post: Post, level: Level) -> tuple[Run, GuardLine] | None:
    """Return the run that passes through a hole, with its line; None where none does.

    Args:
        boat: the boat file.
        post: the hole's post.
        level: of the hole.
    """
    for run in boat.runs:
        if run.level == level and post.id in run.through:
            return run, boat.lines[run.line]
    return None


def hole_edge(boat: Boat, post: Post, level: Level, hole: Hole) -> HoleEdge:
    """Return the edge of a hole and its bore.

    Args:
        boat: the boat file.
        post: the hole's post.
        level: of the hole.
        hole: as the boat file states it.
    """
    tube = boat.tubes[post.tube]
    passing = line_through(boat, post, level)
    stated = hole.planned or hole.as_found
    bare: BoreOf = "as found" if hole.planned is None else "planned"
    min_radius = min_edge_radius() if passing is not None and passing[1].rope else None
    if hole.liner is not None:
        return HoleEdge("own liner", hole.liner.bore, "bushed", hole.liner.mouth_radius, min_radius, bush=hole.liner)
    if stated is not None and stated.lip_radius is not None:
        return HoleEdge("own radius", hole.diameter, bare, stated.lip_radius, min_radius)
    if passing is None:
        return HoleEdge("no line", hole.diameter, bare, None, None)
    run, line = passing
    if not line.rope:
        return HoleEdge("not required", hole.diameter, bare, None, None)
    chosen = boat.hole_edges
    if chosen is not None and chosen.choice in _LINED:
        bush = bush_in(chosen, hole.diameter, tube.od)
        return HoleEdge(chosen.choice, bush.bore, "bushed", bush.mouth_radius, min_radius, bush=bush)
    if chosen is None:
        return HoleEdge("not chosen", hole.diameter, bare, None, min_radius)
    sleeve = None
    if chosen.choice == "sleeve on the line":
        sleeve = sleeve_for(chosen, run, f"{post.id}-{level}", line)
    return HoleEdge(chosen.choice, hole.diameter, bare, full_round(tube.wall), min_radius, sleeve=sleeve)


def bush_in(chosen: HoleEdges, hole: Mm, tube: Mm) -> Liner:
    """Return the bush or through-tube of a hole, of the stated wall; it stands proud of the tube on both sides.

    Source: data/shop_limits.csv, key bush proud; common practice, no source.

    Args:
        chosen: the choice for the boat, with a wall.
        hole: diameter of the hole [mm].
        tube: outside diameter of the post [mm].
    """
    assert chosen.wall is not None
    radius = chosen.wall if chosen.mouth_radius is None else chosen.mouth_radius
    proud = table.datum("shop_limits", key="bush proud").value
    length = tube + 2.0 * proud if chosen.length is None else chosen.length
    return Liner(bore=hole - 2.0 * chosen.wall, length=length, mouth_radius=radius)


def sleeve_for(chosen: HoleEdges, run: Run, hole: str, line: GuardLine) -> SlideOn | None:
    """Return the sleeve of a line at a hole, None where the run states one for that hole.

    Args:
        chosen: the choice for the boat, with a wall and a length.
        run: the run through the hole.
        hole: its id.
        line: the rope.
    """
    assert chosen.wall is not None
    if any(item.kind == "sleeve" and item.hole == hole for item in run.slide_on):
        return None
    width = line.diameter + 2.0 * chosen.wall
    return SlideOn(item="sleeve", kind="sleeve", hole=hole, width=width, length=chosen.length)


def width_in_hole(line: GuardLine, items: tuple[SlideOn, ...], hole: str) -> Mm:
    """Return the diameter of a line at rest in a hole: its own, or that of its sleeve there [mm].

    Args:
        line: the rope or wire.
        items: what is slid on it.
        hole: the hole's id.
    """
    sleeves = [item.width for item in items if item.kind == "sleeve" and item.hole == hole]
    return max([line.outside, *(width for width in sleeves if width is not None)])
