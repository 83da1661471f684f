"""The mapping of a deck plan: which layers or blocks hold what, and where stem and centreline are."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, StringConstraints, Tag, ValidationError

from geom.boat.faults import model_faults, to_faults
from geom.boat.forms import FirstFormat
from geom.boat.model import Model, Units
from geom.boat.quantity import Length, Number, Reading
from geom.boat.tree import read_tree
from geom.errors import InputError

Entry = Annotated[str, StringConstraints(min_length=1, max_length=120)]
Pick = tuple[Number, Number]
DrawingUnit = Literal["mm", "cm", "m", "in", "ft"]


def _yes_no(value: Any) -> Any:
    return {"true": True, "false": False}.get(str(value), value)


YesNo = Annotated[bool, BeforeValidator(_yes_no)]


class Named(Model):
    """Entities by layer, block, or both; case is ignored."""

    layer: Entry | None = None
    block: Entry | None = None


class Marks(Named):
    """Points of one kind, with the tags of their attributes.

    `name` is the tag of the attribute that holds the id; without it posts are numbered from the bow on
    each side, and eyes are refused. The other tags are optional.
    """

    name: Entry | None = None
    z: Entry | None = None
    lean: Entry | None = None
    rake: Entry | None = None


class EntityPlace(Named):
    """A drawn point: the only entity on a layer or of a block."""


def _place_kind(value: Any) -> str:
    return "<drawn>" if isinstance(value, (dict, EntityPlace)) else "<picked>"


AxisPoint = Annotated[
    Annotated[Pick, Tag("<picked>")] | Annotated[EntityPlace, Tag("<drawn>")], Discriminator(_place_kind)
]


class Axis(Model):
    """The centreline by two points: the stem head and a point aft of it, picked or drawn.

    Picked points are coordinates of the drawing, in its own units. `aft_x` is the distance of the second point aft of
    the stem, measured on board: it proves units and scale.
    """

    stem: AxisPoint
    aft: AxisPoint
    aft_x: Length = Field(gt=0)


class Profile(Model):
    """A side view for heights: entities matched by name or by station.

    `at` is a picked point of the drawing, `x` and `z` its position on the boat.
    """

    marks: Marks
    at: Pick
    x: Length
    z: Length
    bow: Literal["left", "right"]
    within: Length = Field(default=5.0, gt=0)


class PlanMapping(Model):
    """The whole mapping. `mirrored` exchanges port and starboard, for a plan seen from below or reflected."""

    format: FirstFormat
    units: Units = Units()
    drawing_units: DrawingUnit | None = None
    mirrored: YesNo = False
    axis: Axis
    posts: Marks | None = None
    eyes: Marks | None = None
    deck_edge: Named | None = None
    profile: Profile | None = None
    heights: dict[Entry, Length] = Field(default={})


def read_mapping(data: bytes, source: str) -> PlanMapping:
    """Read a mapping file.

    Raises:
        InputError: the file cannot be used; the error lists every fault.
    """
    tree = read_tree(data, source)
    node = tree.root.get("units")
    declared = node.get("length") if isinstance(node, dict) else None
    bare = {"length": str(declared)} if declared in ("mm", "cm", "m", "in", "ft") else {}
    try:
        return PlanMapping.model_validate(tree.root, context=Reading(bare))
    except ValidationError as error:
        raise InputError(source, to_faults(tree, model_faults(error.errors(include_url=False), PlanMapping))) from None
