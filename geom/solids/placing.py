"""Where the parts of posts, rails and holes stand: caps, eyes, liners, gate eyes, what is slid on a line."""

from __future__ import annotations

from collections.abc import Iterator

from geom import vec
from geom.boat.model import RailEye, SlideOn
from geom.errors import GeometryError
from geom.parts.shape.frame import Frame, frame_along
from geom.placement.place import PlacedRun
from geom.placement.spacers import spacer_tubes
from geom.refit import Refit
from geom.solids import boat_parts
from geom.solids.colours import FITTING, GATE_EYE
from geom.solids.fittings import GENERIC
from geom.solids.piece import Piece, of_post, of_run
from geom.vec import Vec

# A rail whose axis passes farther from an eye than this is not the one that the eye stands on [mm].
_NEAR_RAIL = 80.0


def caps(refit: Refit) -> list[Piece]:
    """Return the caps of the posts that have one.

    Raises:
        GeometryError: a cap cannot be made.
    """
    pieces = []
    for post in refit.placed.posts.values():
        if post.spec.cap is None:
            continue
        spec, stated = boat_parts.tube_cap(post.spec.cap, post.tube_od, post.tube_wall)
        frame = Frame(post.at(post.top), post.fore_and_aft, post.axis)
        name = f"cap {post.tube_od:g} x {post.tube_wall:g}, dome {spec.dome:g} ({GENERIC})"
        pieces.append(Piece(name, FITTING, spec, f"{post.id} cap", frame, sources=stated, within=of_post(post)))
    return pieces


def rail_eyes(refit: Refit) -> list[Piece]:
    """Return the eyes whose family the boat file gives: foot on the nearest rail, else away from the line.

    Raises:
        GeometryError: an eye cannot be made.
    """
    pieces = []
    for eye in refit.boat.eyes:
        if eye.family is None:
            continue
        line, rail = _line_at(refit, eye), _nearest_rail(refit, eye)
        stand_off = None if rail is None else rail[1]
        spec, stated = boat_parts.rail_eye(eye, stand_off)
        level = vec.cross((0.0, 0.0, 1.0), line)
        up = vec.unit(vec.square_to(line if rail is None else rail[0], level))
        frame = Frame(eye.at, vec.unit(vec.cross(level, up)), up)
        name = f"{eye.family} {spec.hole:g} ({GENERIC})"
        pieces.append(Piece(name, FITTING, spec, f"{eye.id} rail eye", frame, sources=stated))
    return pieces


def _line_at(refit: Refit, eye: RailEye) -> Vec:
    """Return the direction in which the line leaves an eye; aft where none does."""
    for run in refit.placed.runs.values():
        for end, at, towards in (
            (run.spec.start, run.points[0], run.points[1]),
            (run.spec.finish, run.points[-1], run.points[-2]),
        ):
            if end.eye == eye.id:
                return vec.unit(vec.sub(towards, at))
    return (1.0, 0.0, 0.0)


def _nearest_rail(refit: Refit, eye: RailEye) -> tuple[Vec, float] | None:
    """Return the direction from the nearest rail's axis to an eye and the height over the tube [mm]; None without."""
    found: list[tuple[float, Vec, float]] = []
    for rail in refit.boat.rails.values():
        for start, end in zip(rail.points, rail.points[1:], strict=False):
            along = vec.sub(end, start)
            share = vec.dot(vec.sub(eye.at, start), along) / vec.dot(along, along)
            foot = vec.along(start, along, min(max(share, 0.0), 1.0))
            away = vec.sub(eye.at, foot)
            found.append((vec.norm(away), away, 0.5 * refit.boat.tubes[rail.tube].od))
    near = [one for one in found if one[2] < one[0] < _NEAR_RAIL]
    if not near:
        return None
    distance, away, radius = min(near, key=lambda one: one[0])
    return vec.unit(away), distance - radius


def liners(refit: Refit) -> list[Piece]:
    """Return the planned liners, each in its hole and along its hole's axis."""
    pieces = []
    for post, hole in refit.placed.holes():
        liner = hole.edge.bush
        if liner is None:
            continue
        spec, stated = boat_parts.liner_bush(hole.diameter, liner.bore, liner.length, liner.mouth_radius)
        frame = frame_along(hole.centre, refit.placed.drillings[hole.id].axis, post.axis)
        name = f"liner {hole.diameter:g} x {liner.bore:g} x {liner.length:g}"
        pieces.append(Piece(name, FITTING, spec, f"{hole.id} liner", frame, sources=stated, within=of_post(post)))
    return pieces


def gate_eyes(refit: Refit) -> list[Piece]:
    """Return one double eye for each hole where runs end at eyes that stand off the tube."""
    offsets: dict[tuple[str, str], float] = {}
    for run in refit.boat.runs:
        for end in (run.start, run.finish):
            if end.post is not None and end.eye_offset:
                offsets.setdefault((end.post, run.level), end.eye_offset)
    pieces = []
    for (post_id, level), offset in offsets.items():
        post = refit.placed.posts[post_id]
        hole = post.hole(level)  # type: ignore[arg-type]
        made = boat_parts.gate_eye(post.tube_od, hole.diameter, offset) if hole is not None else None
        if hole is None or made is None:
            continue
        spec, stated = made
        axis = refit.placed.drillings[hole.id].axis
        across = vec.unit(vec.cross(vec.unit(vec.square_to(post.axis, axis)), axis))
        name = f"gate eye {spec.between:g} ({GENERIC})"
        frame = Frame(hole.centre, across, axis)
        pieces.append(Piece(name, GATE_EYE, spec, f"{hole.id} gate eye", frame, sources=stated, within=of_post(post)))
    return pieces


def spacers(refit: Refit) -> list[Piece]:
    """Return the spacer tubes on the bolts of double eyes, each in its hole and along the hole's axis."""
    pieces = []
    holes = {hole.id: (post, hole) for post, hole in refit.placed.holes()}
    made = {piece.instance.removesuffix(" gate eye") for piece in gate_eyes(refit)}
    for name, size in spacer_tubes(refit.boat).items():
        if name not in made:
            continue
        post, hole = holes[name]
        spec, stated = boat_parts.spacer_tube(size)
        frame = frame_along(hole.centre, refit.placed.drillings[name].axis, post.axis)
        product = f"spacer {size.od:g} x {size.bore:g} x {size.length:g} ({GENERIC})"
        pieces.append(Piece(product, FITTING, spec, f"{name} spacer", frame, sources=stated, within=of_post(post)))
    return pieces


def slid_on(refit: Refit) -> list[Piece]:
    """Return what is slid on the lines and belongs to a hole, in the middle of that hole and along the line there."""
    pieces = []
    for run in refit.placed.runs.values():
        diameter = refit.placed.line(run).diameter
        for item in run.slide_on:
            place = _at_hole(refit, run, item)
            if place is None:
                continue
            try:
                name, spec, stated = boat_parts.slid_on(item, diameter)
            except GeometryError:
                continue
            # An envelope begins at its frame's origin, a sleeve has it in its middle.
            shift = -0.5 * item.length if spec.family == "envelope" and item.length is not None else 0.0
            frame = place.of(Frame((0.0, 0.0, shift)))
            pieces.append(
                Piece(
                    name, FITTING, spec, f"{run.id} {item.hole} {item.kind}", frame, sources=stated, within=of_run(run)
                )
            )
    return pieces


def _at_hole(refit: Refit, run: PlacedRun, item: SlideOn) -> Frame | None:
    """Return the frame of a run's line in a hole: Z half-way between the line's directions in and out."""
    for passage in run.passages:
        if passage.hole.id == item.hole:
            along = vec.add(vec.unit(passage.incoming), vec.unit(passage.outgoing))
            return frame_along(passage.hole.centre, along, refit.placed.posts[passage.hole.post].axis)
    return None


def not_placed(refit: Refit) -> Iterator[tuple[str, str]]:
    """Yield what the boat file names and the model does not hold: the thing, and why not."""
    for run in refit.placed.runs.values():
        for item in run.slide_on:
            if _at_hole(refit, run, item) is None:
                yield item.item, "at no hole of its run"
                continue
            try:
                boat_parts.slid_on(item, refit.placed.line(run).diameter)
            except GeometryError:
                yield item.item, "length and width not stated"
    wanted = {f"{end.post}-{run.level}" for run in refit.boat.runs for end in (run.start, run.finish)
              if end.post is not None and end.eye_offset}  # fmt: skip
    made = {piece.instance.removesuffix(" gate eye") for piece in gate_eyes(refit)}
    for _ in sorted(wanted - made):
        yield "double eye through a post", "too near the tube for the shape"
