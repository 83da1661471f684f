"""Consistency checks of runs and of the words used for lines, ends and fittings."""

from __future__ import annotations

from collections.abc import Iterator

from geom.boat.faults import LocatedFault, closest
from geom.boat.mirror import with_both_sides
from geom.boat.model import Boat, Run, RunEnd, level_of, side_of
from geom.boat.quantity import Point
from geom.boat.tree import Location
from geom.boat.words import known_words

# Stations, as shares of the length over all, beyond which a run across the boat crosses its deck.
MAX_BOW, MIN_STERN = 1.0 / 3.0, 2.0 / 3.0


def faults(boat: Boat) -> Iterator[LocatedFault]:
    """Yield the faults of a boat's runs, and unknown words for lines, ends and fittings."""
    yield from _words(boat)
    yield from _holes_shared(boat)
    given, whole = boat, with_both_sides(boat)
    given_points, points = _points(given), _points(whole)
    for index, run in enumerate(boat.runs):
        place: Location = ("runs", index)
        # A run across the boat ends on both sides, of which the file may give one.
        across = run.side == "C"
        boat = whole if across else given
        if run.line not in boat.lines:
            yield LocatedFault((*place, "line"), "no such line", valid=closest(run.line, boat.lines))
        yield from _end(boat, run, run.start, (*place, "start"))
        for position, name in enumerate(run.through):
            yield from _post(boat, run, name, (*place, "through", position))
        yield from _end(boat, run, run.finish, (*place, "finish"))
        yield from _order(points if across else given_points, run, place)
        yield from _across(boat, points, run, place)
        yield from _slide_on(run, place)


def _holes_shared(boat: Boat) -> Iterator[LocatedFault]:
    """Yield holes that more than one run goes through."""
    taken: dict[str, str] = {}
    for index, run in enumerate(boat.runs):
        for position, post in enumerate(run.through):
            hole = f"{post}-{run.level}"
            if hole in taken:
                place: Location = ("runs", index, "through", position)
                yield LocatedFault(
                    place, f"run {taken[hole]} goes through {hole} already", valid="one run for one hole"
                )
            taken.setdefault(hole, run.id)


def _slide_on(run: Run, place: Location) -> Iterator[LocatedFault]:
    posts = (run.start.post, *run.through, run.finish.post)
    holes = [f"{post}-{run.level}" for post in posts if post is not None]
    for index, item in enumerate(run.slide_on):
        if item.hole is not None and item.hole not in holes:
            valid = closest(item.hole, holes)
            yield LocatedFault((*place, "slide_on", index, "hole"), f"run {run.id} has no such hole", valid=valid)


def _words(boat: Boat) -> Iterator[LocatedFault]:
    for index, word in enumerate(boat.compare):
        if word not in boat.lines:
            yield LocatedFault(("compare", index), "no such line", valid=closest(word, boat.lines))
    for name, line in boat.lines.items():
        if line.construction not in known_words("construction"):
            valid = closest(line.construction, known_words("construction"))
            yield LocatedFault(("lines", name, "construction"), "unknown construction", valid=valid)
    for name, end in boat.ends.items():
        if end.family not in known_words("end"):
            yield LocatedFault(
                ("ends", name, "family"), "unknown family", valid=closest(end.family, known_words("end"))
            )
    for index, eye in enumerate(boat.eyes):
        if eye.family is not None and eye.family not in known_words("eye"):
            valid = closest(eye.family, known_words("eye"))
            yield LocatedFault(("eyes", index, "family"), "unknown family", valid=valid)
        if eye.hole is not None and eye.family is None:
            yield LocatedFault(("eyes", index, "hole"), "belongs to an eye with a family", valid="family beside it")
    for name, fitting in boat.fittings.items():
        place: Location = ("fittings", name)
        if fitting.family not in known_words("fitting"):
            yield LocatedFault(
                (*place, "family"), "unknown family", valid=closest(fitting.family, known_words("fitting"))
            )
        size = fitting.length
        if size.min is not None and size.min > size.planned:
            yield LocatedFault((*place, "length", "min"), "more than planned", valid="min, planned, max in this order")
        if size.max is not None and size.max < size.planned:
            yield LocatedFault((*place, "length", "max"), "less than planned", valid="min, planned, max in this order")


def _post(boat: Boat, run: Run, name: str, place: Location) -> Iterator[LocatedFault]:
    post = next((post for post in boat.posts if post.id == name), None)
    if post is None:
        yield LocatedFault(place, "no such post", valid=closest(name, [post.id for post in boat.posts]))
    elif run.side not in (post.side, "C"):
        yield LocatedFault(place, f"a post of the other side than run {run.id}", valid="posts of the run's own side")
    elif run.level not in post.holes:
        yield LocatedFault(place, f"{name} has no hole {run.level} for run {run.id}", valid=", ".join(post.holes))


def _end(boat: Boat, run: Run, end: RunEnd, place: Location) -> Iterator[LocatedFault]:
    if (end.eye is None) == (end.post is None):
        message = "ends nowhere" if end.eye is None else "ends at an eye and at a post"
        yield LocatedFault(place, f"the run {message}", valid="either eye or post")
    elif end.eye is not None:
        yield from _eye(boat, run, end.eye, (*place, "eye"))
        if end.eye_offset is not None:
            yield LocatedFault((*place, "eye_offset"), "belongs to an end at a post", valid="left out")
    elif end.post is not None:
        yield from _post(boat, run, end.post, (*place, "post"))
        if end.eye_offset is None:
            yield LocatedFault(place, "the key 'eye_offset' is missing", valid="from the tube's axis to the eye's pin")
    if end.end not in boat.ends:
        yield LocatedFault((*place, "end"), "no such end", valid=closest(end.end, boat.ends))
    for position, name in enumerate(end.fittings):
        if name not in boat.fittings:
            yield LocatedFault((*place, "fittings", position), "no such fitting", valid=closest(name, boat.fittings))


def _eye(boat: Boat, run: Run, name: str, place: Location) -> Iterator[LocatedFault]:
    if name not in [eye.id for eye in boat.eyes]:
        yield LocatedFault(place, "no such eye", valid=closest(name, [eye.id for eye in boat.eyes]))
    elif run.side not in (side_of(name), "C"):
        yield LocatedFault(place, f"an eye of the other side than run {run.id}", valid="eyes of the run's own side")
    elif level_of(name) != run.level:
        yield LocatedFault(place, f"an eye of another level than run {run.id}", valid=f"an eye of level {run.level}")


def _order(found: dict[str, Point], run: Run, place: Location) -> Iterator[LocatedFault]:
    """Yield the stations of a run that are not aft of the one before them, or to starboard of it on a run across."""
    way, order, valid = 0, "aft", "posts from forward to aft"
    if run.side == "C":
        way, order, valid = 1, "to starboard", "supports from port to starboard"
    last: tuple[str, float] | None = None
    for where, name in _stations(run, place):
        if name is None or name not in found:
            continue
        at = found[name][way]
        if last is not None and at <= last[1]:
            yield LocatedFault(where, f"{name} does not lie {order} of {last[0]}", name, valid)
        last = (name, at)


def _across(boat: Boat, found: dict[str, Point], run: Run, place: Location) -> Iterator[LocatedFault]:
    """Yield what cannot be true of a run across the boat: where it crosses is not stated, or it crosses elsewhere."""
    if run.side != "C":
        if run.across is not None:
            message = f"run {run.id} goes along a side"
            yield LocatedFault((*place, "across"), message, valid="left out; a run across the boat is of side C")
        return
    if run.across is None:
        yield LocatedFault(place, "the key 'across' is missing", valid="stern, bow or deck: where the run crosses")
        return
    for where, name in _stations(run, place):
        if name not in found or run.across == "deck":
            continue
        x = found[name][0]
        beyond = x < MIN_STERN * boat.boat.loa if run.across == "stern" else x > MAX_BOW * boat.boat.loa
        if beyond:
            part = "last" if run.across == "stern" else "first"
            message = f"the run crosses the deck at {name}, not at the {run.across}"
            valid = f"supports in the {part} third of the boat; `across: deck` where a line is to cross the deck"
            yield LocatedFault(where, message, name, valid)


def _points(boat: Boat) -> dict[str, Point]:
    return {post.id: post.foot for post in boat.posts} | {eye.id: eye.at for eye in boat.eyes}


def _stations(run: Run, place: Location) -> list[tuple[Location, str | None]]:
    return [
        ((*place, "start"), run.start.eye or run.start.post),
        *(((*place, "through", position), name) for position, name in enumerate(run.through)),
        ((*place, "finish"), run.finish.eye or run.finish.post),
    ]
