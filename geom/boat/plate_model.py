"""The boat file's grammar of stanchion bases: the plate and its bolts."""

from typing import Annotated, Literal

from pydantic import Field

from geom.boat.base import Model
from geom.boat.forms import Name
from geom.boat.quantity import Length

BoltPlace = Annotated[tuple[Length, Length], "aft and outboard of the tube's axis"]


Retention = Literal["set screw", "through pin", "set screw and through pin", "clamp"]


class Socket(Model):
    """The socket of a bought base, into which the tube goes: outside diameter, bore, height above the plate.

    `depth` is how far the tube goes in, from the socket's mouth; where it is not stated the tube stands on the plate.
    `pin_hole` is the hole across the socket for a pin, `pin_height` the height of its axis above the plate.
    """

    od: Length = Field(gt=0)
    bore: Length = Field(gt=0)
    height: Length = Field(gt=0)
    depth: Length | None = Field(default=None, gt=0)
    retention: Retention | None = None
    pin_hole: Length | None = Field(default=None, gt=0)
    pin_height: Length | None = Field(default=None, gt=0)


class BasePlate(Model):
    """A base plate, its sides fore-and-aft and athwartships, the tube's axis through its centre.

    `tube` is the angle of tube to plate: a plate made to suit each post lies on the deck and holds its tube at
    the post's own angles; on a standard plate the tube is square, and a pad under the plate takes up the slope
    of the deck. `length` is fore-and-aft. Bolt positions are aft and outboard of the plate's centre, so that one
    pattern serves both sides, port as the mirror image of starboard. A plate with a `socket` has four bolts, one
    at each corner of a rectangle about the tube. `weld_leg` is the leg of the fillet weld all round the tube;
    `material` is that of the plate.
    """

    tube: Literal["to suit the post", "square to the plate"]
    length: Length = Field(gt=0)
    width: Length = Field(gt=0)
    thickness: Length = Field(gt=0)
    corner_radius: Length = Field(ge=0)
    bolt: Length = Field(gt=0)
    bolt_hole: Length = Field(gt=0)
    bolts: tuple[BoltPlace, ...] = Field(min_length=1, max_length=12)
    socket: Socket | None = None
    weld_leg: Length | None = Field(default=None, gt=0)
    material: Name | None = None
