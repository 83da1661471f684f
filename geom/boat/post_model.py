"""The boat file's grammar of supports: stanchions with their tubes, holes and braces; eyes and their rails."""

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from geom.boat.base import RAILS, Level, Model, Side, level_of, side_of
from geom.boat.forms import EyeId, Name, PostId, Word, Yes
from geom.boat.quantity import Angle, Length, Point, Stress
from geom.units import to_compare


class Tube(Model):
    """A stanchion tube; `proof_stress` is the certificate's value, where there is one; `finish` is of its surface."""

    od: Length = Field(gt=0)
    wall: Length = Field(gt=0)
    grade: Name
    proof_stress: Stress | None = Field(default=None, gt=0)
    proof_stress_source: Name | None = None
    finish: Name | None = None


class Falls(Model):
    """Slope of the deck at a foot: the angles by which it falls going aft and going outboard."""

    aft: Angle
    outboard: Angle


class HoleDirection(Model):
    """The measured direction of a hole: clocking about the tube (aft end outboard +), tilt (aft end higher +)."""

    clocking: Angle
    tilt: Angle


def _direction_kind(value: Any) -> str:
    return "<measured>" if isinstance(value, (dict, HoleDirection)) else "<word>"


FoundDirection = Annotated[
    Annotated[Literal["unknown"], Tag("<word>")] | Annotated[HoleDirection, Tag("<measured>")],
    Discriminator(_direction_kind),
]
PlannedDirection = Annotated[
    Annotated[Literal["best"], Tag("<word>")] | Annotated[HoleDirection, Tag("<measured>")],
    Discriminator(_direction_kind),
]


class AsFoundHole(Model):
    """A hole as found; its direction is unknown unless measured."""

    diameter: Length = Field(gt=0)
    direction: FoundDirection = "unknown"
    lip_radius: Length | None = Field(default=None, ge=0)
    condition: Literal["unknown", "clean", "burred", "grooved", "worn"] = "unknown"


class Liner(Model):
    """A bush in a hole: bore, length over all, mouth radius."""

    bore: Length = Field(gt=0)
    length: Length = Field(gt=0)
    mouth_radius: Length = Field(ge=0)


EdgeChoice = Literal["polished edge", "welded through-tube", "plastic bush", "sleeve on the line"]


class HoleEdges(Model):
    """What rounds the edges of the holes that rope passes, one choice for the boat; a hole's own radius or liner holds.

    `wall` is that of tube, bush or sleeve; a bush has its own length and mouth radius where it is not flush with the
    tube and rounded by its whole wall. `length` of a sleeve is along the line.
    """

    choice: EdgeChoice
    wall: Length | None = Field(default=None, gt=0)
    length: Length | None = Field(default=None, gt=0)
    mouth_radius: Length | None = Field(default=None, ge=0)


class PlannedHole(Model):
    """A hole as planned, on the best axis unless a direction is given."""

    diameter: Length = Field(gt=0)
    direction: PlannedDirection = "best"
    lip_radius: Length | None = Field(default=None, ge=0)
    liner: Liner | None = None


class Hole(Model):
    """One hole of a post, at a distance along the tube from the foot."""

    along: Length = Field(gt=0)
    as_found: AsFoundHole | None = None
    planned: PlannedHole | None = None

    @property
    def diameter(self) -> float:
        """The governing diameter [mm]: as planned where planned, else as found."""
        if self.planned is not None:
            return self.planned.diameter
        assert self.as_found is not None
        return self.as_found.diameter

    @property
    def takes_new_tube(self) -> bool:
        """Whether it is planned smaller than it is, which no hole in the same tube can become."""
        if self.planned is None or self.as_found is None:
            return False
        return to_compare(self.planned.diameter) < to_compare(self.as_found.diameter)

    @property
    def liner(self) -> Liner | None:
        """The planned bush, if any."""
        return self.planned.liner if self.planned is not None else None


class Lean(Model):
    """The intended attitude of a tube, where it differs from the one found."""

    lean: Angle
    rake: Angle


class Brace(Model):
    """A brace of a gate post: its foot on deck and the distance along the tube to where it meets the post.

    `folds`: it can be folded away, and holds the post only while it is locked.
    """

    foot: Point
    along: Length = Field(gt=0)
    folds: Yes | None = None


class Cap(Model):
    """The cap of a tube: what goes into the tube and what stands above its end; sizes not given are generic ones."""

    plug: Length | None = Field(default=None, gt=0)
    plug_length: Length | None = Field(default=None, gt=0)
    rim: Length | None = Field(default=None, gt=0)
    dome: Length | None = Field(default=None, gt=0)


class Post(Model):
    """A stanchion: foot on deck, attitude as found, tube and holes.

    `stands` says that it can be taken out or laid down: it does not divide a gate that goes past it. `foot_above_deck`
    is the height of the foot over the working deck where it stands on a bulwark or a toe rail.
    """

    id: PostId
    foot: Point
    foot_above_deck: Length | None = Field(default=None, ge=0)
    lean: Angle
    rake: Angle
    intended: Lean | None = None
    deck_falls: Falls
    tube: Word
    base: Word | None = None
    holes: dict[Level, Hole] = Field(min_length=1)
    top: Length = Field(gt=0)
    cap: Cap | None = None
    brace: Brace | None = None
    stands: Literal["removable", "hinged"] | None = None

    @property
    def side(self) -> Side:
        """The side that the post stands on."""
        return side_of(self.id)


EyeSupport = Literal["pulpit", "pushpit", "arch", "deck", "house", "crossbeam", "mast base", "bulwark"]


class RailEye(Model):
    """An eye where a run may start or end, on a rail or a fitting; `at` is the bearing point of the pin.

    `family` is the kind of eye; without it the eye is a bearing point only.
    """

    id: EyeId
    on: EyeSupport
    at: Point
    family: Word | None = None
    hole: Length | None = Field(default=None, gt=0)

    @property
    def level(self) -> Level:
        """Level of the eye."""
        return level_of(self.id)

    @property
    def is_on_rail(self) -> bool:
        """Whether the eye is on a rail above the deck."""
        return self.on in RAILS

    @property
    def support(self) -> str:
        """The eye's name without its level, shared by the eyes that stand one above the other."""
        return self.id.rpartition("-")[0]

    @property
    def side(self) -> Side:
        """The side that the eye is on."""
        return side_of(self.id)


class Rail(Model):
    """One bent tube of a pulpit or pushpit, given whole, across both sides of the boat where it does so.

    `points` are the ends and corners of its axis, `bend_radius` the radius of the axis at every corner.
    """

    tube: Word
    bend_radius: Length = Field(gt=0)
    points: tuple[Point, ...] = Field(min_length=2, max_length=40)
