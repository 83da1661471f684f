"""The grammar of nets: netting under a guard line, and nets laced into the deck between hulls."""

from typing import Literal

from pydantic import Field

from geom.boat.base import Model, Side, side_of
from geom.boat.forms import NetId, RunId, SupportId
from geom.boat.quantity import Length, Point


class Lacing(Model):
    """Cord that laces the edges of a net: its diameter, the pitch of its turns, and what is left for the knots.

    `tail` is the length left at each end of a laced edge.
    """

    diameter: Length = Field(gt=0)
    pitch: Length = Field(gt=0)
    tail: Length = Field(gt=0)


class Net(Model):
    """A net with square meshes: `bar` is a side of a mesh, `edge_cord` the diameter of the rope round its edge.

    Netting under a guard line hangs `along` a run, from its first support to its last or `between` two of them, down
    to its `foot`. A net in the deck has `corners`, in order round it. `laced_to` is the diameter of the rod, rope or
    rail that the foot is laced to, and every edge of a net in the deck.
    """

    id: NetId
    along: RunId | None = None
    between: tuple[SupportId, SupportId] | None = None
    foot: Literal["deck edge", "lower line"] | None = None
    corners: tuple[Point, ...] | None = Field(default=None, min_length=3, max_length=40)
    bar: Length = Field(gt=0)
    edge_cord: Length = Field(gt=0)
    laced_to: Length | None = Field(default=None, gt=0)
    lacing: Lacing | None = None

    @property
    def side(self) -> Side:
        """The side that the net is on."""
        return side_of(self.id)
