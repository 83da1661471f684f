"""Compatibility of the parts at each end of a run: pin and hole, jaw and plate, eye and bar, thread hands, metals.

A missing measure is not guessed: it is named once per end. A plate lets a line swing in its own plane only.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom import vec
from geom.boat.model import Anchorage, Boat, Fitting, LineEnd, Side
from geom.data import table
from geom.placement.eyes import Where, eye_shape, limits
from geom.placement.line_ends import BOTH, family, is_spliced, line_end, run_end
from geom.placement.place import PlacedPost, PlacedRun, end_name, side_sign
from geom.placement.stack import closes_gap
from geom.remark import Remark, Stated
from geom.rigging.line_remark import LineRemark, RemarkKind
from geom.rigging.splice import girth_round
from geom.vec import Vec


def end_fit(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun) -> tuple[LineRemark, ...]:
    """Return what fits at the ends of a run, what does not, and what cannot be determined.

    Args:
        boat: the boat file.
        posts: every placed post by its id.
        run: the placed run.
    """
    found: list[LineRemark] = []
    for where in BOTH:
        found += _anchorage(boat, run, where)
        found += _eye(boat, run, where)
        found += _girth(boat, run, where)
        found += _stitching(boat, run, where)
        found += _hands(boat, run, where)
        found += _hooks(boat, run, where)
        found += _stop(boat, run, where)
    found += _metals(boat, posts, run)
    return tuple(found)


def departure_angle(anchorage: Anchorage, side: Side, line: Vec) -> float | None:
    """Return the angle of a line out of the plane of its plate [rad]; None where the plane is not given.

    Args:
        anchorage: the plate, its turn in plan (+ with the aft end outboard) and its lean outboard.
        side: P or S.
        line: direction of the line at its end, any length.
    """
    if anchorage.plane_turn is None:
        return None
    sign = side_sign(side)
    along: Vec = (math.cos(anchorage.plane_turn), sign * math.sin(anchorage.plane_turn), 0.0)
    up: Vec = (0.0, sign * math.sin(anchorage.plane_lean), math.cos(anchorage.plane_lean))
    normal = vec.unit(vec.cross(along, up))
    return math.asin(min(abs(vec.dot(normal, vec.unit(line))), 1.0))


def _anchorage(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    end = run_end(run, where)
    stated = end.anchorage
    outer = None if end.outer is None else boat.fittings[end.outer]
    if stated is None:
        says = Remark("anchorage.not_given", at=end_name(end))
        yield LineRemark("anchorage", "cannot tell", run.id, says, end=where)
        return
    if outer is not None:
        yield from _pin_and_jaw(run.id, where, outer, stated)
    leaves = run.points[1], run.points[0]
    direction = vec.sub(*leaves) if where == "start" else vec.sub(run.points[-2], run.points[-1])
    angle = departure_angle(stated, run.side, direction)
    if angle is not None:
        swings = any(boat.fittings[word].family == "toggle" for word in end.fittings)
        limit = table.datum("splice_practice", key="plane_angle")
        degrees = math.degrees(angle)
        if degrees > limit.value and not swings:
            says = Remark("toggle.wanted", end=where, angle_rad=angle)
            yield LineRemark(
                "toggle", "notice", run.id, says, degrees, limit.value, "deg", limit.source, end=where
            )  # fmt: skip


def _pin_and_jaw(run: str, where: Where, fitting: Fitting, stated: Anchorage) -> Iterator[LineRemark]:
    if fitting.pin is not None and stated.hole is not None:
        kind: RemarkKind = "agreed" if fitting.pin <= stated.hole else "refused"
        says = Remark("pin.in_hole", end=where, pin_mm=fitting.pin, hole_mm=stated.hole)
        yield LineRemark("pin", kind, run, says, fitting.pin, stated.hole, "mm", end=where)
    if fitting.jaw is not None and stated.thickness is not None:
        kind = "agreed" if fitting.jaw >= stated.thickness else "refused"
        says = Remark("jaw.over_plate", end=where, jaw_mm=fitting.jaw, plate_mm=stated.thickness)
        yield LineRemark("jaw", kind, run, says, fitting.jaw, stated.thickness, "mm", end=where)


def _eye(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    """Check a spliced eye against what it bears on: the next fitting's pin, else the anchorage's bar.

    An eye under a lashing bears on the turns of the cord, which have no pin.
    """
    line_eye, end = line_end(boat, run, where), run_end(run, where)
    if not is_spliced(line_eye) or (end.inner is not None and closes_gap(boat.fittings[end.inner])):
        return
    bears_on = bearing_pin(boat, run, where)
    shape = eye_shape(boat.lines[run.spec.line].diameter, line_eye.throat_to_pin, bears_on)
    if shape.kept is None and bears_on is None:
        says = Remark("end.says", end=where, says=shape.warnings[0])
        yield LineRemark("eye-shape", "cannot tell", run.id, says, end=where)
        return
    for warning in shape.warnings:
        kind: RemarkKind = "refused" if warning.code.endswith("_under_min") else "notice"
        # The warning names the source of its own limit.
        yield LineRemark("eye-shape", kind, run.id, Remark("end.says", end=where, says=warning), end=where)


def bearing_pin(boat: Boat, run: PlacedRun, where: Where) -> float | None:
    """Return the diameter that an end bears on: the pin of the next fitting, else the bar of its anchorage [mm].

    Args:
        boat: the boat file.
        run: the placed run.
        where: which end.
    """
    end = run_end(run, where)
    if end.inner is not None:
        return boat.fittings[end.inner].pin
    return end.anchorage.bar if end.anchorage else None


def _girth(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    """Check the rope of a spliced eye against its thimble, else against the pin that it goes round."""
    end = line_end(boat, run, where)
    if not is_spliced(end) or end.eye_girth is None:
        return
    name = run_end(run, where).end
    if end.thimble is not None:
        needs, code = end.thimble.girth, "girth.thimble"
        source: Stated = "boat file"
    else:
        pin = bearing_pin(boat, run, where)
        needs, code = girth_round(boat.lines[run.spec.line].diameter, pin), "girth.pin"
        source = Remark("source.girth")
        if pin is None:
            code = "girth.no_pin"
    if end.eye_girth < needs - 1e-9:
        says = Remark(code, end=where, name=name, has_mm=end.eye_girth, needs_mm=needs)
        yield LineRemark("girth", "refused", run.id, says, end.eye_girth, needs, "mm", source, end=where)


def _stitching(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    """Check the stitching of a splice: a straight bury without it slips, a lock without it may work loose at rest.

    Source: common practice, no source; data/splice_practice.csv, keys stitch_start and stitch_length.
    """
    end = line_end(boat, run, where)
    if not is_spliced(end) or end.stitching != "none":
        return
    straight = family(end)["lock"] == "stitched bury" or end.lock == "stitched bury"
    says = Remark("stitching.none_straight" if straight else "stitching.none_locked", end=where)
    source = Remark("source.common_practice")
    yield LineRemark("stitching", "refused" if straight else "notice", run.id, says, source=source, end=where)


def _hands(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    """Check the hands of thread: a turnbuckle takes one left-hand and one right-hand stud."""
    end = run_end(run, where)
    chain: list[tuple[str, LineEnd | Fitting]] = [(end.end, line_end(boat, run, where))]
    chain += [(word, boat.fittings[word]) for word in reversed(end.fittings)]
    for index, (word, part) in enumerate(chain):
        if not isinstance(part, Fitting):
            continue
        needed = table.row("fitting_families", word=part.family)["needs_hand"]
        # A hook with rope spliced to it has no stud.
        if needed not in ("one", "both") or (needed == "one" and is_spliced(line_end(boat, run, where))):
            continue
        if part.hand is None:
            says = Remark("hand.not_given", end=where, fitting=word)
            yield LineRemark("hand", "cannot tell", run.id, says, end=where)
            continue
        if needed == "both":
            if part.hand != "left and right":
                says = Remark("hand.both_studs", end=where, fitting=word, hand=part.hand)
                yield LineRemark("hand", "refused", run.id, says, end=where)
            before = getattr(chain[index - 1][1], "hand", None)
            after = getattr(chain[index + 1][1], "hand", None) if index + 1 < len(chain) else None
            if before is not None and before == after:
                sides = (chain[index - 1][0], chain[index + 1][0])
                says = Remark("hand.same_on_both_sides", end=where, parts=sides, hand=before, fitting=word)
                yield LineRemark("hand", "refused", run.id, says, end=where)


def _hooks(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    for word in run_end(run, where).fittings:
        fitting = boat.fittings[word]
        if fitting.family != "over-centre gate hook":
            continue
        size = fitting.length
        ranged = (size.min is not None and size.min < size.planned) or (
            size.max is not None and size.max > size.planned
        )
        if not ranged:
            yield LineRemark("hook-range", "notice", run.id, Remark("hook.no_range", fitting=word), end=where)


def _stop(boat: Boat, run: PlacedRun, where: Where) -> Iterator[LineRemark]:
    """Check stops against their holes: a knot at this end, and the stops on the line (once, at the start)."""
    stops: list[tuple[str, float | None, str | None]] = []
    end = line_end(boat, run, where)
    if end.family == "stop knot":
        hole = run.passages[0 if where == "start" else -1].hole.id if run.passages else None
        stops.append((run_end(run, where).end, end.width, hole))
    if where == "start":
        stops += [(item.item, item.width, item.hole) for item in run.slide_on if item.kind == "stop"]
    bores = {passage.hole.id: passage.hole.bore for passage in run.passages}
    for word, width, hole in stops:
        bore = bores.get(hole or "")
        if width is None or bore is None:
            says = Remark("stop.no_width" if width is None else "stop.no_hole", stop=word)
            yield LineRemark("stop", "cannot tell", run.id, says)
            continue
        pulls = width <= bore + limits(boat.eye_factors).tolerance
        code = "stop.pulls_through" if pulls else "stop.holds"
        says = Remark(code, stop=word, width_mm=width, bore_mm=bore, hole=hole or "")
        yield LineRemark("stop", "refused" if pulls else "agreed", run.id, says, width, bore, "mm")


def _metals(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun) -> Iterator[LineRemark]:
    """Yield a notice for stainless steel on aluminium: a wire in a tube, an end or fitting at its anchorage."""
    line = boat.lines[run.spec.line]
    tubes = {post: boat.tubes[posts[post].spec.tube].grade for post in run.spec.through}
    if _is_steel(line.material):
        for post, grade in tubes.items():
            if _is_aluminium(grade):
                yield LineRemark("metals", "notice", run.id, Remark("metals.wire_in_tube", post=post))
    for where in BOTH:
        end = run_end(run, where)
        parts = [line_end(boat, run, where).material, *(boat.fittings[word].material for word in end.fittings)]
        ground = [end.anchorage.material if end.anchorage else None]
        ground.append(boat.tubes[posts[end.post].spec.tube].grade if end.post is not None else None)
        if any(_is_steel(part) for part in parts) and any(_is_aluminium(part) for part in ground):
            yield LineRemark("metals", "notice", run.id, Remark("metals.at_end", end=where), end=where)


def _is_steel(material: str | None) -> bool:
    return material is not None and ("stainless" in material.lower() or "316" in material)


def _is_aluminium(material: str | None) -> bool:
    return material is not None and "alumin" in material.lower()
