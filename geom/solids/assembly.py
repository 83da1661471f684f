"""Refit -> the whole boat in 3D: distinct products, and every object of the boat file as a named instance.

Instances have the boat file's ids: posts `S-S2`, lines `S-F-U`, rail eye points `S-PULPIT-U`; parts at
the ends of a run are named after the run and the end, `S-F-U start lashing`. Rail eye points and deck
edges are curves, not parts: the boat file gives their positions, not their shapes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from geom import vec
from geom.boat.model import RunEnd
from geom.parts.families.line import LineSpec
from geom.parts.families.rail import RailSpec
from geom.parts.part import Part
from geom.parts.shape.frame import Frame, frame_along
from geom.placement.place import PlacedRun
from geom.refit import Refit
from geom.solids import fittings
from geom.solids.bases import base_of, plate_frame, plate_spec
from geom.solids.colours import DECK_EDGE, EYE_POINT, FITTING, GATE_EYE, RAIL, ROPE_END, line_colour, post_colour
from geom.solids.curves import copy_of, cross_wire, edge_wire
from geom.solids.posts import post_frame, standing_spec
from geom.solids.sources import Sources
from geom.solids.step import Instance, Product
from geom.solids.step_text import Rgb
from geom.vec import Vec

Maker = Callable[[Part], Any]


@dataclass(frozen=True)
class Piece:
    """A placed part: product name and colour, specification (None for curves), instance, frame.

    `sources` are the sources of a fitting's sizes.
    """

    product: str
    rgb: Rgb
    part: Part | None
    instance: str
    frame: Frame
    curve: Any = None
    sources: Sources = ()


@dataclass(frozen=True)
class Assembly:
    """The assembly that files are written from; `pieces` are in the order of the instances."""

    title: str
    pieces: tuple[Piece, ...]

    def parts(self) -> tuple[Part, ...]:
        """Return the distinct specifications, in the order of their first use."""
        return tuple(dict.fromkeys(piece.part for piece in self.pieces if piece.part is not None))

    def products(self, make: Maker) -> tuple[Product, ...]:
        """Return the distinct products with their shapes, each part built once.

        Args:
            make: returns the shape of the kernel for a specification.
        """
        shapes = {part: make(part) for part in self.parts()}
        products: dict[str, Product] = {}
        used: set[Part] = set()
        for piece in self.pieces:
            if piece.product in products:
                continue
            if piece.part is None:
                products[piece.product] = Product(piece.product, piece.curve(), piece.rgb, is_curve=True)
                continue
            shape = shapes[piece.part]
            # A shape may be used by one product only.
            products[piece.product] = Product(piece.product, copy_of(shape) if piece.part in used else shape, piece.rgb)
            used.add(piece.part)
        return tuple(products.values())

    def instances(self) -> tuple[Instance, ...]:
        """Return every instance."""
        return tuple(Instance(piece.instance, piece.product, piece.frame) for piece in self.pieces)


def assemble(refit: Refit) -> Assembly:
    """Return the boat's assembly; no solid is built yet.

    Raises:
        GeometryError: a post or a line cannot be made.
    """
    pieces: list[Piece] = []
    for name, edge in (("starboard", refit.boat.deck_edge.starboard), ("port", refit.boat.deck_edge.port)):
        if edge is not None:
            label = f"deck edge {name}"
            pieces.append(Piece(label, DECK_EDGE, None, label, Frame(), _lazy(edge_wire, edge)))
    pieces += _posts(refit)
    pieces += _bases(refit)
    for eye in refit.boat.eyes:
        pieces.append(Piece("rail eye point", EYE_POINT, None, eye.id, Frame(eye.at), _lazy(cross_wire)))
    pieces += _rails(refit)
    pieces += _liners(refit)
    pieces += _gate_eyes(refit)
    for run in refit.placed.runs.values():
        pieces += _run(refit, run)
    return Assembly(refit.boat.boat.name, _with_distinct_names(pieces))


def fitting_pieces(refit: Refit) -> tuple[Piece, ...]:
    """Return liners, gate eyes and the fittings of run ends, without posts and lines, named as in the assembly.

    Raises:
        GeometryError: a liner cannot be made.
    """
    pieces = [*_liners(refit), *_gate_eyes(refit)]
    for run in refit.placed.runs.values():
        pieces += _ends(refit, run)[0]
    return _with_distinct_names(pieces)


def _with_distinct_names(pieces: list[Piece]) -> tuple[Piece, ...]:
    """Return the pieces, with products numbered where one name would have two specifications."""
    seen: dict[str, list[Part | None]] = {}
    named = []
    for piece in pieces:
        parts = seen.setdefault(piece.product, [])
        if piece.part not in parts:
            parts.append(piece.part)
        number = parts.index(piece.part)
        named.append(replace(piece, product=f"{piece.product} {number + 1}") if number else piece)
    return tuple(named)


def _lazy(make: Callable[..., Any], *arguments: Any) -> Callable[[], Any]:
    return lambda: make(*arguments)


def _posts(refit: Refit) -> list[Piece]:
    """Return the posts; those of the same size, holes and colour share a product, named after the first."""
    names: dict[tuple[Part, Rgb], str] = {}
    pieces = []
    for post in refit.placed.posts.values():
        spec, rgb = standing_spec(refit, post), post_colour(refit, post.id)
        name = names.setdefault((spec, rgb), f"post {post.id}")
        pieces.append(Piece(name, rgb, spec, post.id, post_frame(post)))
    return pieces


def _bases(refit: Refit) -> list[Piece]:
    """Return the plate under each post whose base the boat file gives."""
    pieces = []
    for post in refit.placed.posts.values():
        base = base_of(refit, post)
        if base is not None:
            spec, frame = plate_spec(base, post), plate_frame(base, post)
            pieces.append(Piece(f"base {post.spec.base}", FITTING, spec, f"{post.id} base", frame))
    return pieces


def _rails(refit: Refit) -> list[Piece]:
    """Return the tubes of pulpit and pushpit, and the axes of braces, whose tubes are not in the boat file."""
    pieces = []
    for word, rail in refit.boat.rails.items():
        tube = refit.boat.tubes[rail.tube]
        spec = RailSpec(tube.od, tube.wall, rail.bend_radius, rail.points)
        pieces.append(Piece(f"rail {word}", RAIL, spec, word, Frame()))
    for post in refit.placed.posts.values():
        if post.spec.brace is not None:
            joint = vec.along(post.spec.foot, post.axis, post.spec.brace.along)
            label = f"{post.id} brace"
            curve = _lazy(edge_wire, (joint, post.spec.brace.foot))
            pieces.append(Piece(f"brace of {post.id}", RAIL, None, label, Frame(), curve))
    return pieces


def _liners(refit: Refit) -> list[Piece]:
    """Return the planned liners, each in its hole and along its hole's axis."""
    pieces = []
    for post, hole in refit.placed.holes():
        liner = hole.spec.liner
        if liner is None:
            continue
        spec, size_sources = fittings.liner_bush(hole.diameter, liner.bore, liner.length, liner.mouth_radius)
        frame = frame_along(hole.centre, refit.placed.drillings[hole.id].axis, post.axis)
        name = f"liner {hole.diameter:g} x {liner.bore:g} x {liner.length:g}"
        pieces.append(Piece(name, FITTING, spec, f"{hole.id} liner", frame, sources=size_sources))
    return pieces


def _gate_eyes(refit: Refit) -> list[Piece]:
    """Return one double eye for each hole where runs end at eyes offset from the tube."""
    offsets: dict[tuple[str, str], float] = {}
    for run in refit.boat.runs:
        for end in (run.start, run.finish):
            if end.post is not None and end.eye_offset:
                offsets.setdefault((end.post, run.level), end.eye_offset)
    pieces = []
    for (post_id, level), offset in offsets.items():
        post = refit.placed.posts[post_id]
        hole = post.hole(level)  # type: ignore[arg-type]
        result = fittings.gate_eye(post.tube_od, hole.diameter, offset) if hole is not None else None
        if hole is None or result is None:
            continue
        spec, size_sources = result
        axis = refit.placed.drillings[hole.id].axis
        across = vec.unit(vec.cross(vec.unit(vec.square_to(post.axis, axis)), axis))
        name = f"gate eye {spec.between:g} ({fittings.GENERIC})"
        frame = Frame(hole.centre, across, axis)
        pieces.append(Piece(name, GATE_EYE, spec, f"{hole.id} gate eye", frame, sources=size_sources))
    return pieces


def _run(refit: Refit, run: PlacedRun) -> list[Piece]:
    """Return the line of a run and the fittings at both its ends."""
    line = refit.placed.line(run)
    pieces, starts = _ends(refit, run)
    points = (starts[0], *run.points[1:-1], starts[1])
    return [
        Piece(f"line {run.id}", line_colour(run.side), LineSpec(line.diameter, _tidy(points)), run.id, Frame()),
        *pieces,
    ]


def _ends(refit: Refit, run: PlacedRun) -> tuple[list[Piece], list[Vec]]:
    """Return the fittings at both ends of a run, and the start and end of its line [mm]."""
    starts: list[Vec] = []
    pieces: list[Piece] = []
    for word, end, at, towards in (
        ("start", run.spec.start, run.points[0], run.points[1]),
        ("finish", run.spec.finish, run.points[-1], run.points[-2]),
    ):
        fittings_of_end, taken = _end(refit, run, end, word, at, towards)
        pieces += fittings_of_end
        starts.append(vec.along(at, vec.unit(vec.sub(towards, at)), taken))
    return pieces, starts


def _tidy(points: tuple[Vec, ...]) -> tuple[Vec, ...]:
    return tuple((round(x, 9), round(y, 9), round(z, 9)) for x, y, z in points)


def _end(refit: Refit, run: PlacedRun, end: RunEnd, word: str, at: Vec, towards: Vec) -> tuple[list[Piece], float]:
    """Return the chain of an end, link by link from the anchorage, and the length of path it takes [mm].

    Each link is square to the one before it; the bar of the first is along the eye's hole.
    """
    direction = vec.sub(towards, at)
    frame = frame_along(at, direction, _first_bar(refit, end, direction))
    rope = refit.placed.line(run).diameter
    pieces: list[Piece] = []
    taken, inside = 0.0, 8.0
    for name in end.fittings:
        fitting = refit.boat.fittings[name]
        for member in fittings.fitting_members(fitting, rope):
            label = " ".join(part for part in (run.id, word, name, member.suffix) if part)
            place = frame.of(member.frame)
            pieces.append(Piece(member.product, FITTING, member.part, label, place, sources=member.sources))
        taken += fitting.length.planned
        frame = Frame(vec.along(at, frame.z, taken), frame.y, frame.z)
        inside = 14.0 if fitting.family == "over-centre gate hook" else 8.0
    terminal = fittings.end_member(refit.boat.ends[end.end], rope, max(inside, 1.2 * rope))
    if terminal is not None:
        label = f"{run.id} {word} {end.end}"
        place = frame.of(terminal.frame)
        pieces.append(Piece(terminal.product, ROPE_END, terminal.part, label, place, sources=terminal.sources))
        taken += terminal.reach
    return pieces, taken


def _first_bar(refit: Refit, end: RunEnd, direction: Vec) -> Vec:
    """Return the direction of the hole of the end's eye: along the post, or horizontal on a rail."""
    if end.post is not None:
        return refit.placed.posts[end.post].axis
    return vec.cross((0.0, 0.0, 1.0), direction)
