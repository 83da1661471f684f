"""Refit -> the whole boat in 3D: distinct products, and every object of the boat file as a named instance.

Instances have the boat file's ids: posts `S-S2`, lines `S-F-U`, rail eye points `S-PULPIT-U`; parts at
the ends of a run are named after the run and the end, `S-F-U start lashing`. Rail eye points and deck
edges are curves, not parts: the boat file gives their positions, not their shapes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from geom import vec
from geom.boat.model import RunEnd
from geom.parts.families.base import BaseSpec
from geom.parts.families.line import LineSpec
from geom.parts.families.rail import RailSpec
from geom.parts.families.rope_ends import SoftEyeSpec, StopKnotSpec
from geom.parts.part import Part
from geom.parts.shape.frame import Frame, frame_along
from geom.placement.place import PlacedRun
from geom.refit import Refit
from geom.solids import drawn, ends, fittings, placing
from geom.solids.bases import base_of, base_part, pad_part, plate_frame
from geom.solids.colours import DECK_EDGE, EYE_POINT, FITTING, NET, PAD, RAIL, ROPE_END, line_colour, post_colour
from geom.solids.curves import copy_of, cross_wire, edge_wire
from geom.solids.piece import Piece as Piece
from geom.solids.piece import of_post, of_run
from geom.solids.posts import post_frame, post_name, standing_spec
from geom.solids.step import Instance, Product
from geom.solids.step_text import Rgb
from geom.vec import Vec

Maker = Callable[[Part], Any]
# Follows the name of a line whose work is on hold, in the model.
ON_HOLD = " ON HOLD, do not make"
# A net is shown by its edges alone.
NETTING = "edges, placeholder for netting"


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
        return tuple(Instance(piece.instance, piece.product, piece.frame, piece.within) for piece in self.pieces)


def assemble(refit: Refit, aft_mark: bool = False) -> Assembly:
    """Return the boat's assembly; no solid is built yet.

    Args:
        refit: the boat as calculated.
        aft_mark: whether the AFT mark is cut into the tubes as a groove.

    Raises:
        GeometryError: a post or a line cannot be made.
    """
    pieces: list[Piece] = []
    for name in ("starboard", "port", "starboard_inner", "port_inner", "bow", "stern"):
        edge = getattr(refit.boat.deck_edge, name)
        if edge is not None:
            label = f"deck edge {name.replace('_', ' ')}"
            pieces.append(Piece(label, DECK_EDGE, None, label, Frame(), _lazy(edge_wire, edge)))
    pieces += _nets(refit)
    pieces += _posts(refit, aft_mark)
    pieces += _bases(refit)
    pieces += _pads(refit)
    pieces += placing.caps(refit)
    for eye in refit.boat.eyes:
        pieces.append(Piece("rail eye point", EYE_POINT, None, eye.id, Frame(eye.at), _lazy(cross_wire)))
    pieces += placing.rail_eyes(refit)
    pieces += _rails(refit)
    pieces += placing.liners(refit)
    pieces += placing.gate_eyes(refit)
    pieces += placing.spacers(refit)
    pieces += placing.slid_on(refit)
    for run in refit.placed.runs.values():
        pieces += _run(refit, run)
    return Assembly(refit.boat.boat.name, _with_distinct_names(pieces))


def fitting_pieces(refit: Refit) -> tuple[Piece, ...]:
    """Return the parts bought or made beside posts, rails, plates and lines, named as in the assembly.

    Raises:
        GeometryError: a liner, a cap or a base cannot be made.
    """
    pieces = [
        *(piece for piece in _bases(refit) if isinstance(piece.part, BaseSpec)),
        *placing.caps(refit),
        *placing.rail_eyes(refit),
        *placing.liners(refit),
        *placing.gate_eyes(refit),
        *placing.spacers(refit),
        *placing.slid_on(refit),
    ]
    for run in refit.placed.runs.values():
        pieces += _ends(refit, run)[0]
    return _with_distinct_names(pieces)


def _with_distinct_names(pieces: list[Piece]) -> tuple[Piece, ...]:
    """Return the pieces, products and instances numbered where one name would have two specifications."""
    seen: dict[str, list[Part | None]] = {}
    times: Counter[str] = Counter()
    named = []
    for piece in pieces:
        parts = seen.setdefault(piece.product, [])
        if piece.part not in parts:
            parts.append(piece.part)
        number = parts.index(piece.part)
        times[piece.instance] += 1
        product = f"{piece.product} {number + 1}" if number else piece.product
        nth = times[piece.instance]
        instance = f"{piece.instance} {nth}" if nth > 1 else piece.instance
        named.append(replace(piece, product=product, instance=instance))
    return tuple(named)


def not_drawn(refit: Refit) -> tuple[tuple[str, str, int], ...]:
    """Return what the boat file names and the model does not hold: the thing, why not, and how many of it."""
    found: Counter[tuple[str, str]] = Counter(placing.not_placed(refit))
    for run in refit.placed.runs.values():
        rope = refit.placed.line(run).diameter
        for end in (run.spec.start, run.spec.finish):
            for name in end.fittings:
                stated = refit.boat.fittings[name]
                if not fittings.fitting_members(stated, rope):
                    found[(f"{name} ({stated.family})", "no length from pin to pin")] += 1
            made_on = refit.boat.ends[end.end]
            seat = ends.Seat(rope, max(8.0, 1.2 * rope))
            if ends.end_shapes(made_on)[0] != drawn.LINE and not ends.end_members(made_on, seat):
                found[(f"{end.end} ({made_on.family})", "length not stated")] += 1
    return tuple((what, why, count) for (what, why), count in found.items())


def _lazy(make: Callable[..., Any], *arguments: Any) -> Callable[[], Any]:
    return lambda: make(*arguments)


def _nets(refit: Refit) -> list[Piece]:
    """Return the edges of each bay of a net, which stand for its netting."""
    pieces = []
    for net in refit.nets:
        for number, corners in enumerate(net.outlines, start=1):
            label = net.id if net.spec.corners is not None else f"{net.id} bay {number}"
            curve = _lazy(edge_wire, (*corners, corners[0]))
            pieces.append(Piece(f"{label} ({NETTING})", NET, None, label, Frame(), curve))
    return pieces


def _posts(refit: Refit, aft_mark: bool) -> list[Piece]:
    """Return the posts; those of the same size, holes and colour share a product, named after the first."""
    names: dict[tuple[Part, Rgb], str] = {}
    pieces = []
    for post in refit.placed.posts.values():
        spec, rgb = standing_spec(refit, post, aft_mark), post_colour(refit, post.id)
        name = names.setdefault((spec, rgb), post_name(refit, (post.id,)))
        pieces.append(Piece(name, rgb, spec, post.id, post_frame(post), within=of_post(post)))
    return pieces


def _bases(refit: Refit) -> list[Piece]:
    """Return the plate under each post whose base the boat file gives."""
    pieces = []
    for post in refit.placed.posts.values():
        base = base_of(refit, post)
        if base is not None:
            made, frame = base_part(base, post), plate_frame(base, post)
            label, name = f"{post.id} base", f"base {post.spec.base}"
            pieces.append(Piece(name, FITTING, made[0], label, frame, sources=made[1], within=of_post(post)))
    return pieces


def _pads(refit: Refit) -> list[Piece]:
    """Return the pad under each plate that needs one; those of the same size share a product, named after the first."""
    names: dict[Part, str] = {}
    pieces = []
    for post in refit.placed.posts.values():
        base = base_of(refit, post)
        made = None if base is None else pad_part(base, post)
        if base is not None and made is not None:
            name = names.setdefault(made, f"pad {post.id}")
            pieces.append(Piece(name, PAD, made, f"{post.id} pad", plate_frame(base, post), within=of_post(post)))
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
            pieces.append(Piece(f"brace of {post.id}", RAIL, None, label, Frame(), curve, within=of_post(post)))
    return pieces


def _run(refit: Refit, run: PlacedRun) -> list[Piece]:
    """Return the line of a run and the fittings at both its ends; the product of a line on hold is named so."""
    line = refit.placed.line(run)
    pieces, starts = _ends(refit, run)
    points = (starts[0], *run.points[1:-1], starts[1])
    product = f"line {run.id}{ON_HOLD if refit.work.runs[run.id].refused else ''}"
    spec = LineSpec(line.outside, _tidy(points))
    return [Piece(product, line_colour(run.side), spec, run.id, Frame(), within=of_run(run)), *pieces]


def _ends(refit: Refit, run: PlacedRun) -> tuple[list[Piece], list[Vec]]:
    """Return the fittings at both ends of a run, and the start and end of its line [mm]."""
    starts: list[Vec] = []
    pieces: list[Piece] = []
    for word, end, at, towards in (
        ("start", run.spec.start, run.points[0], run.points[1]),
        ("finish", run.spec.finish, run.points[-1], run.points[-2]),
    ):
        fittings_of_end, taken = _end(refit, run, end, word, at, towards)
        pieces += (replace(piece, within=of_run(run)) for piece in fittings_of_end)
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
    rope, made_on = refit.placed.line(run).diameter, refit.boat.ends[end.end]
    bight = ends.bight(made_on, rope)
    pieces: list[Piece] = []
    taken, seat = 0.0, ends.Seat(rope, max(8.0, 1.2 * rope))
    for index, name in enumerate(end.fittings):
        stated = refit.boat.fittings[name]
        last = index == len(end.fittings) - 1
        stud = last and made_on.bears_on == "thread"
        for member in fittings.fitting_members(stated, rope, bight if last else rope, stud):
            pieces.append(_piece(member, frame, FITTING, run.id, word, name))
        taken += stated.length.planned
        frame = Frame(vec.along(at, frame.z, taken), frame.y, frame.z)
        inside, behind = fittings.held_by(stated)
        seat = ends.Seat(rope, max(inside, 1.2 * rope), behind)
    for member in ends.end_members(made_on, seat):
        colour = ROPE_END if isinstance(member.part, (SoftEyeSpec, StopKnotSpec)) else FITTING
        pieces.append(_piece(member, frame, colour, run.id, word, end.end))
        taken += member.reach
    return pieces, taken


def _piece(member: fittings.Member, frame: Frame, colour: Rgb, *names: str) -> Piece:
    label = " ".join(name for name in (*names, member.suffix) if name)
    return Piece(member.product, colour, member.part, label, frame.of(member.frame), sources=member.sources)


def _first_bar(refit: Refit, end: RunEnd, direction: Vec) -> Vec:
    """Return the direction of the hole of the end's eye: along the post, or horizontal on a rail."""
    if end.post is not None:
        return refit.placed.posts[end.post].axis
    return vec.cross((0.0, 0.0, 1.0), direction)
