"""Nets in space: bays, area, the cord round their edges, and the lacing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from geom import vec
from geom.boat.model import Lacing, Net, Run
from geom.boat.net_checks import run_below, supports_along, supports_of_net
from geom.placement.heights import edge_of, turned
from geom.placement.place import PlacedRun
from geom.placement.placed import Placed, support_points
from geom.units import Mm, Mm2
from geom.vec import Vec


@dataclass(frozen=True)
class NetBay:
    """One bay of netting between neighbouring supports: its edges [mm], area [mm2], and the braces it is cut out for.

    Foot, heights and area are None where the deck edge was not surveyed that far.
    """

    net: str
    number: int
    from_: str
    to: str
    top: Mm
    foot: Mm | None
    height_from: Mm | None
    height_to: Mm | None
    area: Mm2 | None
    braces: int


@dataclass(frozen=True)
class NetEdge:
    """One laced edge: its length, the diameter of what it is laced to, and the cord; None where not known [mm]."""

    net: str
    edge: str
    length: Mm | None
    laced_to: Mm | None
    lacing: Mm | None


@dataclass(frozen=True)
class PlacedNet:
    """A net in space: bays, edges, area [mm2], cord round its edge and lacing [mm], meshes along and up at the most.

    A sum is None where one of its parts is not known. `outlines` are the corners of each bay, or of a net in the deck.
    """

    id: str
    spec: Net
    bays: tuple[NetBay, ...]
    edges: tuple[NetEdge, ...]
    area: Mm2 | None
    edge_cord: Mm | None
    lacing: Mm | None
    meshes_along: int | None
    meshes_up: int | None
    outlines: tuple[tuple[Vec, ...], ...]

    @property
    def bar(self) -> Mm:
        """A side of a mesh [mm]."""
        return self.spec.bar


def placed_nets(placed: Placed) -> tuple[PlacedNet, ...]:
    """Return every net of a boat."""
    return tuple(_hanging(placed, net) if net.corners is None else _in_deck(net, net.corners)
                 for net in placed.boat.nets)  # fmt: skip


def lacing_cord(length: float, laced_to: float, edge_cord: float, lacing: Lacing) -> float:
    """Return the cord that laces an edge: turns round it and what it is laced to, with both tails [mm].

    Each turn is a belt round two circles that touch, drawn out by the pitch.

    Source: geometry of a belt and of a helix developed on its cylinder; one turn a pitch is common practice, no source.

    Args:
        length: of the edge [mm].
        laced_to: diameter of what it is laced to [mm].
        edge_cord: diameter of the rope round the net's edge [mm].
        lacing: the lacing cord.
    """
    large, small = sorted((laced_to, edge_cord), reverse=True)
    apart, step = (large + small) / 2.0, (large - small) / 2.0
    # The axis of the lacing runs half its own thickness outside both.
    round_both = large / 2.0 + small / 2.0 + lacing.diameter
    belt = 2.0 * math.sqrt(apart**2 - step**2) + math.pi * round_both + 2.0 * step * math.asin(step / apart)
    return length / lacing.pitch * math.hypot(belt, lacing.pitch) + 2.0 * lacing.tail


def _hanging(placed: Placed, net: Net) -> PlacedNet:
    run = placed.runs[net.along or ""]
    names = supports_of_net(net, run.spec)
    every = supports_along(run.spec)
    points = dict(zip(every, support_points(placed, run), strict=True))
    bays: list[NetBay] = []
    outlines: list[tuple[Vec, ...]] = []
    for number, bay in enumerate(pairwise(names), start=1):
        upper = (points[bay[0]], points[bay[1]])
        foot = _foot(placed, net, run.spec, bay, upper)
        bays.append(_bay(placed, net, number, bay, upper, foot))
        if foot:
            outlines.append((*upper, *reversed(foot)))
    top = math.fsum(bay.top for bay in bays)
    along = _total([bay.foot for bay in bays])
    ends = (bays[0].height_from, bays[-1].height_to)
    heights = [height for bay in bays for height in (bay.height_from, bay.height_to)]
    highest = None if None in heights else max(height for height in heights if height is not None)
    edges = (
        _edge(net, "top", top, placed.line(run).diameter),
        _edge(net, "foot", along, _foot_line(placed, net, run)),
        *(
            _edge(net, name, length, _tube(placed, name))
            for name, length in zip((names[0], names[-1]), ends, strict=True)
        ),
    )
    longest = None if along is None else max(top, along)
    return PlacedNet(
        id=net.id,
        spec=net,
        bays=tuple(bays),
        edges=edges,
        area=_total([bay.area for bay in bays]),
        edge_cord=_total([edge.length for edge in edges]),
        lacing=_total([edge.lacing for edge in edges]),
        meshes_along=None if longest is None else math.ceil(longest / net.bar - 1e-9),
        meshes_up=None if highest is None else math.ceil(highest / net.bar - 1e-9),
        outlines=tuple(outlines),
    )


def _in_deck(net: Net, corners: tuple[Vec, ...]) -> PlacedNet:
    """Return a net in the deck; its area is that in the mean plane of its corners."""
    ring = (*corners, corners[0])
    edges = tuple(
        _edge(net, f"{number} to {number % len(corners) + 1}", math.dist(a, b), net.laced_to)
        for number, (a, b) in enumerate(pairwise(ring), start=1)
    )
    doubled = (0.0, 0.0, 0.0)
    for a, b in pairwise(ring):
        doubled = vec.add(doubled, vec.cross(vec.sub(a, corners[0]), vec.sub(b, corners[0])))
    return PlacedNet(
        id=net.id,
        spec=net,
        bays=(),
        edges=edges,
        area=math.hypot(*doubled) / 2.0,
        edge_cord=_total([edge.length for edge in edges]),
        lacing=_total([edge.lacing for edge in edges]),
        meshes_along=None,
        meshes_up=None,
        outlines=(corners,),
    )


def _edge(net: Net, name: str, length: float | None, laced_to: float | None) -> NetEdge:
    lacing = None
    if length is not None and laced_to is not None and net.lacing is not None:
        lacing = lacing_cord(length, laced_to, net.edge_cord, net.lacing)
    return NetEdge(net.id, name, length, laced_to, lacing)


def _bay(
    placed: Placed, net: Net, number: int, bay: tuple[str, str], top: tuple[Vec, Vec], foot: tuple[Vec, ...]
) -> NetBay:
    posts = [placed.boat.post(name) for name in bay if name in placed.posts]
    return NetBay(
        net=net.id,
        number=number,
        from_=bay[0],
        to=bay[1],
        top=math.dist(*top),
        foot=math.fsum(math.dist(a, b) for a, b in pairwise(foot)) if foot else None,
        height_from=math.dist(top[0], foot[0]) if foot else None,
        height_to=math.dist(top[1], foot[-1]) if foot else None,
        area=_area(top, foot) if foot else None,
        braces=len([post for post in posts if post.brace is not None and _into(post.foot, post.brace.foot, top)]),
    )


def _into(foot: Vec, brace: Vec, top: tuple[Vec, Vec]) -> bool:
    """Return whether a brace stands on the bay's side of its post, seen in plan."""
    middle = vec.between(*top, 0.5)
    return (brace[0] - foot[0]) * (middle[0] - foot[0]) + (brace[1] - foot[1]) * (middle[1] - foot[1]) > 0.0


def _area(top: tuple[Vec, Vec], foot: tuple[Vec, ...]) -> float:
    """Return the area between a straight upper edge and a foot of straight pieces, strip by strip [mm2].

    A strip that is not plane is taken as the mean of its two divisions into triangles.
    """
    reach = vec.sub(foot[-1], foot[0])
    whole = vec.dot(reach, reach)
    upper = [vec.between(*top, vec.dot(vec.sub(point, foot[0]), reach) / whole) for point in foot]
    strips = zip(pairwise(upper), pairwise(foot), strict=True)
    return math.fsum(
        (_triangle(a, b, c) + _triangle(b, d, c) + _triangle(a, b, d) + _triangle(a, d, c)) / 2.0
        for (a, b), (c, d) in strips
    )


def _triangle(a: Vec, b: Vec, c: Vec) -> float:
    return math.hypot(*vec.cross(vec.sub(b, a), vec.sub(c, a))) / 2.0


def _foot(placed: Placed, net: Net, run: Run, bay: tuple[str, str], top: tuple[Vec, Vec]) -> tuple[Vec, ...]:
    """Return the points of a bay's foot; none where the deck edge was not surveyed that far."""
    if net.foot == "lower line":
        below = run_below(placed.boat, run, bay)
        assert below is not None
        points = dict(zip(supports_along(below), support_points(placed, placed.runs[below.id]), strict=True))
        return (points[bay[0]], points[bay[1]])
    return tuple(
        turned(run, point) for point in _along_edge(edge_of(placed.boat, run), *(turned(run, t)[0] for t in top))
    )


def _along_edge(edge: tuple[Vec, ...], start: float, end: float) -> Iterator[Vec]:
    """Yield the points of an edge from one station to another; none where it does not reach them."""
    if not edge or not edge[0][0] <= start < end <= edge[-1][0]:
        return
    yield _at(edge, start)
    yield from (point for point in edge if start < point[0] < end)
    yield _at(edge, end)


def _at(edge: tuple[Vec, ...], station: float) -> Vec:
    a, b = next((a, b) for a, b in pairwise(edge) if a[0] <= station <= b[0])
    return vec.between(a, b, (station - a[0]) / (b[0] - a[0]))


def _foot_line(placed: Placed, net: Net, run: PlacedRun) -> float | None:
    """Return the diameter of what the foot is laced to: as stated, else that of the line below."""
    if net.laced_to is not None or net.foot == "deck edge":
        return net.laced_to
    first, second, *_ = supports_of_net(net, run.spec)
    below = run_below(placed.boat, run.spec, (first, second))
    return None if below is None else placed.line(placed.runs[below.id]).diameter


def _tube(placed: Placed, support: str) -> float | None:
    """Return the diameter of the post that a net ends at; None at a rail or a fitting."""
    return placed.boat.tubes[placed.boat.post(support).tube].od if support in placed.posts else None


def _total(parts: list[float | None]) -> float | None:
    known = [part for part in parts if part is not None]
    return math.fsum(known) if len(known) == len(parts) else None
