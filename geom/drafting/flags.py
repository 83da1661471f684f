"""The flags of open items on a picture of the boat: beside the post, the span or the pin that an item is about."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from geom import vec
from geom.boat.model import Side
from geom.drafting.boat_view import OTHER_SIDES, SIDES
from geom.drafting.placing import Drawn, Label, flagged
from geom.figure import Item, Point
from geom.open_items import OpenItem
from geom.refit import Refit
from geom.vec import Vec

# An item that concerns more places than these is listed, not flagged: it is about the boat.
MAX_FLAGGED = 4
# Further shares of a post's height, and of a run's first span, at which a flag stands that is free nowhere else.
_UPS, _ALONGS = (1.0, 0.5), (0.5, 0.7)
_Near = tuple[Side, bool, int, int]


def anchors(
    refit: Refit, item: OpenItem, along: float = 0.3, up: float = 0.0
) -> Iterator[tuple[Side, bool, tuple[Vec, ...]]]:
    """Yield the side, whether on a post, and the points at which an item may be flagged, none where it is about many.

    Args:
        refit: the boat as calculated.
        item: the open item.
        along: share of a run's first span at which the run is flagged.
        up: share of a post's height at which the post is flagged.
    """
    if len(item.places) > MAX_FLAGGED:
        return
    placed = refit.placed
    found: dict[_Near, tuple[Vec, ...]] = {}
    holes = {hole.id: (post, hole) for post, hole in placed.holes()}
    pair = [place for place in item.places if place in holes]
    if item.cause.code == "item.tape" and len(pair) == len(item.places) == 2:
        (post, a), (other, b) = (holes[place] for place in pair)
        if post is not other:
            # At the other end from the flag of a run, whose name may stand in its middle.
            yield post.side, False, tuple(vec.between(a.centre, b.centre, share) for share in (1.0 - along, *_ALONGS))
            return
    for place in item.places:
        about = holes[place][0] if place in holes else placed.posts.get(place)
        if about is not None:
            side, ats = about.side, tuple(about.at(share * about.top) for share in (up, *_UPS))
        elif place in placed.runs:
            run = placed.runs[place]
            ends = run.points[0], run.points[1]
            side, ats = run.side, tuple(vec.between(*ends, share) for share in (along, *_ALONGS))
        else:
            eye = next((eye for eye in refit.boat.eyes if eye.id == place), None)
            if eye is None:
                continue
            side, ats = eye.side, (eye.at,)
        found.setdefault(_near(side, about is not None, ats[0]), ats)
    for (side, on_post, _, _), ats in found.items():
        yield side, on_post, ats


def _near(side: Side, on_post: bool, at: Vec) -> _Near:
    """Return the square in plan in which a point lies: upper and lower lines lie over each other."""
    return side, on_post, round(at[0] / 200.0), round(at[1] / 200.0)


def flag_items(
    refit: Refit,
    listed: Sequence[OpenItem],
    drawn: Drawn,
    where: Callable[[Side, Vec], tuple[Point, float]],
    along: float = 0.3,
    up: float = 0.0,
) -> tuple[Item, ...]:
    """Return all flags in paper millimetres, each where it covers nothing, with a line to what it is about.

    Args:
        refit: the boat as calculated.
        listed: the open items.
        drawn: what is on paper already; the flags are added.
        where: paper point of a point on a side, and the direction of the flag's first place [rad].
        along: share of a run's first span at which the run is flagged.
        up: share of a post's height at which the post is flagged.
    """
    rows: dict[_Near, tuple[tuple[Vec, ...], list[int]]] = {}
    for one in listed:
        for side, on_post, ats in anchors(refit, one, along, up):
            rows.setdefault(_near(side, on_post, ats[0]), (ats, []))[1].append(one.number)

    def places(side: Side, ats: Sequence[Vec], numbers: Sequence[int]) -> Iterator[Label]:
        return (place for at in ats for place in flagged(numbers, *where(side, at)))

    by_side = [(side, *row) for side in (*SIDES, *OTHER_SIDES) for near, row in rows.items() if near[0] == side]
    return tuple(item for label in drawn.put_all([partial(places, *row) for row in by_side]) for item in label.items)
