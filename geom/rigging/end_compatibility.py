"""Do the parts at each end of a run go together: pin and hole, jaw and plate, eye and bar, hands of thread, metals?

What is not given is not guessed: it is named once per end. A plate lets a line swing in its own plane only.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom import vec
from geom.boat.model import Anchorage, Boat, Fitting, LineEnd, Side
from geom.data import table
from geom.placement.eyes import Where, eye_shape, limits
from geom.placement.line_ends import BOTH, is_spliced, line_end, run_end
from geom.placement.place import PlacedPost, PlacedRun, end_name, side_sign
from geom.rigging.remark import Remark
from geom.vec import Vec

END_WORDS: dict[Where, str] = {"start": "forward end", "finish": "after end"}


def end_fit(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun) -> tuple[Remark, ...]:
    """Return what does not go together at the ends of a run, what cannot be told, and what agrees."""
    found: list[Remark] = []
    for where in BOTH:
        found += _anchorage(boat, run, where)
        found += _eye(boat, run, where)
        found += _hands(boat, run, where)
        found += _hooks(boat, run, where)
        found += _stop(boat, run, where)
    found += _metals(boat, posts, run)
    return tuple(found)


def departure_angle(anchorage: Anchorage, side: Side, line: Vec) -> float | None:
    """Return the angle of a line out of its plate's plane [rad]; None where the plane is not given.

    Args:
        anchorage: the plate, its turn in plan (aft end outboard +) and its lean outboard.
        side: P or S.
        line: direction of the line at its end.
    """
    if anchorage.plane_turn is None:
        return None
    sign = side_sign(side)
    along: Vec = (math.cos(anchorage.plane_turn), sign * math.sin(anchorage.plane_turn), 0.0)
    up: Vec = (0.0, sign * math.sin(anchorage.plane_lean), math.cos(anchorage.plane_lean))
    normal = vec.unit(vec.cross(along, up))
    return math.asin(min(abs(vec.dot(normal, vec.unit(line))), 1.0))


def _anchorage(boat: Boat, run: PlacedRun, where: Where) -> Iterator[Remark]:
    end = run_end(run, where)
    stated = end.anchorage
    outer = boat.fittings[end.fittings[-1]] if end.fittings else None
    name = END_WORDS[where]
    if stated is None:
        yield Remark("anchorage", "cannot tell", run.id, name, f"the pin or bar at {end_name(end)} is not given")
        return
    if outer is not None:
        yield from _pin_and_jaw(run.id, name, outer, stated)
    leaves = run.points[1], run.points[0]
    direction = vec.sub(*leaves) if where == "start" else vec.sub(run.points[-2], run.points[-1])
    angle = departure_angle(stated, run.side, direction)
    if angle is not None:
        swings = any(boat.fittings[word].family == "toggle" for word in end.fittings)
        limit = table.datum("splice_practice", key="plane_angle")
        degrees = math.degrees(angle)
        if degrees > limit.value and not swings:
            text = f"{name}: the line leaves the plate's plane by {degrees:.1f} deg: a toggle is wanted"
            yield Remark("toggle", "notice", run.id, name, text, degrees, limit.value, "deg", limit.source)


def _pin_and_jaw(run: str, name: str, fitting: Fitting, stated: Anchorage) -> Iterator[Remark]:
    if fitting.pin is not None and stated.hole is not None:
        kind = "agreed" if fitting.pin <= stated.hole else "refused"
        text = f"{name}: pin of {fitting.pin:g} mm in a hole of {stated.hole:g} mm"
        yield Remark("pin", kind, run, name, text, fitting.pin, stated.hole, "mm")  # type: ignore[arg-type]
    if fitting.jaw is not None and stated.thickness is not None:
        kind = "agreed" if fitting.jaw >= stated.thickness else "refused"
        text = f"{name}: jaw of {fitting.jaw:g} mm over a plate of {stated.thickness:g} mm"
        yield Remark("jaw", kind, run, name, text, fitting.jaw, stated.thickness, "mm")  # type: ignore[arg-type]


def _eye(boat: Boat, run: PlacedRun, where: Where) -> Iterator[Remark]:
    """Judge a spliced eye on what it bears on: the next fitting's pin, else the anchorage's bar.

    An eye that takes a lashing bears on soft turns, which have no pin.
    """
    line_eye, end = line_end(boat, run, where), run_end(run, where)
    if not is_spliced(line_eye) or (end.fittings and boat.fittings[end.fittings[0]].family == "lashing"):
        return
    bears_on = boat.fittings[end.fittings[0]].pin if end.fittings else end.anchorage.bar if end.anchorage else None
    shape = eye_shape(boat.lines[run.spec.line].diameter, line_eye.throat_to_pin, bears_on)
    name = END_WORDS[where]
    if shape.kept is None and bears_on is None:
        yield Remark("eye-shape", "cannot tell", run.id, name, f"{name}: {shape.warnings[0]}")
        return
    source = table.datum("splice_practice", key="min_eye_over_pin").source
    for warning in shape.warnings:
        kind = "refused" if shape.kept is False and "at least" in warning else "notice"
        yield Remark("eye-shape", kind, run.id, name, f"{name}: {warning}", source=source)  # type: ignore[arg-type]


def _hands(boat: Boat, run: PlacedRun, where: Where) -> Iterator[Remark]:
    """Judge the threads: a turnbuckle wants one left-hand and one right-hand stud, and blanks stay blank."""
    end = run_end(run, where)
    name = END_WORDS[where]
    chain: list[tuple[str, LineEnd | Fitting]] = [(end.end, line_end(boat, run, where))]
    chain += [(word, boat.fittings[word]) for word in end.fittings]
    for index, (word, part) in enumerate(chain):
        if not isinstance(part, Fitting):
            continue
        asks = table.row("fitting_families", word=part.family)["needs_hand"]
        # A hook that rope is spliced to has no stud.
        if asks not in ("one", "both") or (asks == "one" and is_spliced(line_end(boat, run, where))):
            continue
        if part.hand is None:
            text = f"{name}: hand of the thread of {word} is not given and stays blank"
            yield Remark("hand", "cannot tell", run.id, name, text)
            continue
        if asks == "both":
            if part.hand != "left and right":
                text = f"{name}: both studs of {word} would be {part.hand}-hand: it cannot be screwed shorter or longer"
                yield Remark("hand", "refused", run.id, name, text)
            before = getattr(chain[index - 1][1], "hand", None)
            after = getattr(chain[index + 1][1], "hand", None) if index + 1 < len(chain) else None
            if before is not None and before == after:
                text = f"{name}: {chain[index - 1][0]} and {chain[index + 1][0]} are both {before}-hand in {word}"
                yield Remark("hand", "refused", run.id, name, text)


def _hooks(boat: Boat, run: PlacedRun, where: Where) -> Iterator[Remark]:
    for word in run_end(run, where).fittings:
        fitting = boat.fittings[word]
        if fitting.family != "over-centre gate hook":
            continue
        size = fitting.length
        ranged = (size.min is not None and size.min < size.planned) or (
            size.max is not None and size.max > size.planned
        )
        if not ranged:
            text = (
                f"{word}: no adjusting range is stated; without one the line has to come out right, or another fitting "
                "takes the error"
            )
            yield Remark("hook-range", "notice", run.id, END_WORDS[where], text)


def _stop(boat: Boat, run: PlacedRun, where: Where) -> Iterator[Remark]:
    """Judge a stop against its hole: a knot at this end, and (told once, at the start) stops on the line."""
    stops: list[tuple[str, float | None, str | None]] = []
    end = line_end(boat, run, where)
    if end.family == "stop knot":
        hole = run.passages[0 if where == "start" else -1].hole.id if run.passages else None
        stops.append((run_end(run, where).end, end.width, hole))
    if where == "start":
        stops += [(item.item, item.width, item.hole) for item in run.spec.slide_on if item.kind == "stop"]
    bores = {passage.hole.id: passage.hole.bore for passage in run.passages}
    for word, width, hole in stops:
        bore = bores.get(hole or "")
        if width is None or bore is None:
            missing = "its width" if width is None else "its hole"
            yield Remark("stop", "cannot tell", run.id, word, f"{word}: {missing} is not given")
        elif width <= bore + limits(boat.eye_factors).tolerance:
            text = f"{word}: {width:g} mm pulls through the {bore:g} mm of {hole}"
            yield Remark("stop", "refused", run.id, word, text, width, bore, "mm")
        else:
            text = f"{word}: {width:g} mm against the {bore:g} mm of {hole}"
            yield Remark("stop", "agreed", run.id, word, text, width, bore, "mm")


def _metals(boat: Boat, posts: dict[str, PlacedPost], run: PlacedRun) -> Iterator[Remark]:
    """Name stainless steel that touches aluminium: a wire in a tube, an end or fitting at its anchorage."""
    line = boat.lines[run.spec.line]
    tubes = {post: boat.tubes[posts[post].spec.tube].grade for post in run.spec.through}
    if _is_steel(line.material):
        for post, grade in tubes.items():
            if _is_aluminium(grade):
                text = f"stainless wire through the aluminium tube of {post}: part them with a liner"
                yield Remark("metals", "notice", run.id, post, text)
    for where in BOTH:
        end = run_end(run, where)
        parts = [line_end(boat, run, where).material, *(boat.fittings[word].material for word in end.fittings)]
        ground = [end.anchorage.material if end.anchorage else None]
        ground.append(boat.tubes[posts[end.post].spec.tube].grade if end.post is not None else None)
        if any(_is_steel(part) for part in parts) and any(_is_aluminium(part) for part in ground):
            text = f"{END_WORDS[where]}: stainless on aluminium: part them electrically"
            yield Remark("metals", "notice", run.id, END_WORDS[where], text)


def _is_steel(material: str | None) -> bool:
    return material is not None and ("stainless" in material.lower() or "316" in material)


def _is_aluminium(material: str | None) -> bool:
    return material is not None and "alumin" in material.lower()
