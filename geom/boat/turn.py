"""A boat from its file's own axes to boat axes: X aft of the stem head, Y to starboard, Z up."""

from __future__ import annotations

from geom.boat.model import Axes, Boat, Brace, DeckEdge, Post, Rail, RailEye, Spacing
from geom.boat.quantity import Point

BOAT_AXES = {"origin": (0.0, 0.0, 0.0), "x": "aft", "y": "starboard"}


def is_turned(axes: Axes) -> bool:
    """Return whether a file's axes differ from boat axes."""
    return axes.model_dump(exclude={"z_zero"}) != BOAT_AXES


def turn(boat: Boat) -> Boat:
    """Return the boat with every point in boat axes, to 1e-9 mm; angles are measured outboard and aft in either.

    Rounded in any axes, so that the same boat gives the same numbers in all.
    """
    axes = boat.axes
    mast_x = boat.boat.mast_x
    return boat.model_copy(
        update={
            "axes": Axes(origin=(0.0, 0.0, 0.0), x="aft", y="starboard", z_zero=axes.z_zero),
            "boat": boat.boat.model_copy(update={"mast_x": None if mast_x is None else _x(axes, mast_x)}),
            "deck_edge": DeckEdge(
                **{word: _points(axes, getattr(boat.deck_edge, word)) for word in boat.deck_edge.model_fields_set}
            ),
            "posts": tuple(_post(axes, post) for post in boat.posts),
            "eyes": tuple(_eye(axes, eye) for eye in boat.eyes),
            "nets": tuple(net.model_copy(update={"corners": _points(axes, net.corners)}) for net in boat.nets),
            "spacing": _spacing(axes, boat.spacing),
            "rails": {word: _rail(axes, rail) for word, rail in boat.rails.items()},
        }
    )


def to_file_axes(axes: Axes, point: Point) -> Point:
    """Return a point of boat axes in a file's own axes [mm]."""
    x, y, z = (value - zero for value, zero in zip(point, axes.origin, strict=True))
    return (x if axes.x == "aft" else -x, y if axes.y == "starboard" else -y, z)


def _settled(value: float) -> float:
    # Adding zero turns a negative zero into a positive one.
    return round(value, 9) + 0.0


def _x(axes: Axes, x: float) -> float:
    return _settled(axes.origin[0] + (x if axes.x == "aft" else -x))


def _point(axes: Axes, point: Point) -> Point:
    x, y, z = point
    across = axes.origin[1] + (y if axes.y == "starboard" else -y)
    return (_x(axes, x), _settled(across), _settled(axes.origin[2] + z))


def _points(axes: Axes, points: tuple[Point, ...] | None) -> tuple[Point, ...] | None:
    return None if points is None else tuple(_point(axes, point) for point in points)


def _post(axes: Axes, post: Post) -> Post:
    brace: Brace | None = post.brace
    if brace is not None:
        brace = brace.model_copy(update={"foot": _point(axes, brace.foot)})
    return post.model_copy(update={"foot": _point(axes, post.foot), "brace": brace})


def _eye(axes: Axes, eye: RailEye) -> RailEye:
    return eye.model_copy(update={"at": _point(axes, eye.at)})


def _rail(axes: Axes, rail: Rail) -> Rail:
    return rail.model_copy(update={"points": _points(axes, rail.points)})


def _spacing(axes: Axes, spacing: Spacing | None) -> Spacing | None:
    if spacing is None:
        return None
    barred = tuple(
        one.model_copy(update={"forward": _x(axes, one.forward), "aft": _x(axes, one.aft)}) for one in spacing.barred
    )
    return spacing.model_copy(update={"barred": barred})
