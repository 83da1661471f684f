"""The part of the boat file's grammar that speaks of stanchion bases: the plate and its bolts."""

from typing import Annotated, Literal

from pydantic import Field

from geom.boat.base import Model
from geom.boat.quantity import Length

BoltPlace = Annotated[tuple[Length, Length], "aft and outboard of the tube's axis"]


class BasePlate(Model):
    """A base plate, its sides fore-and-aft and athwartships, the tube's axis through its middle.

    `tube` says how the tube stands on it: a plate made to suit each post lies on the deck and holds its tube at
    the post's own angles; on a standard one the tube stands square, and a pad under it takes up the deck's
    slope. `length` lies fore-and-aft. A bolt's place counts aft and outboard from the middle of the plate, so
    that one pattern serves both sides, port as the mirror image of starboard. `weld_leg` is the leg of the fillet
    weld all round the tube, where there is one and its size is known.
    """

    tube: Literal["to suit the post", "square to the plate"]
    length: Length = Field(gt=0)
    width: Length = Field(gt=0)
    thickness: Length = Field(gt=0)
    corner_radius: Length = Field(ge=0)
    bolt: Length = Field(gt=0)
    bolt_hole: Length = Field(gt=0)
    bolts: tuple[BoltPlace, ...] = Field(min_length=1, max_length=12)
    weld_leg: Length | None = Field(default=None, gt=0)
