"""An over-centre gate hook: a forked body and a lever with a bight that takes the gate eye.

The frame: origin at the line's pin in the body, Z along the pull towards the gate eye, Y across the
plates. The lever turns about a rivet beside the line of pull, on the side of its own tail: the pull
turns the tail against the body and keeps the hook closed. A keeper pin through the tail secures it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from geom.parts.part import Dim, Part, require, require_positive
from geom.parts.shape.body import Body, Extruded, Turned
from geom.parts.shape.built import Built
from geom.parts.shape.frame import Frame
from geom.parts.shape.profile import Profile, Step, rounded

_UP = math.pi / 2.0


def _sizes(part: object) -> dict[str, float]:
    return {name: float(value) for name, value in vars(part).items()}


def _upright(y: float, x: float = 0.0, z: float = 0.0) -> Frame:
    """Return the frame of a plate in the XZ plane, extruded from y towards -Y."""
    return Frame((x, y, z), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0))


@dataclass(frozen=True)
class HookLeverSpec(Built):
    """Opening of the bight, width and thickness of the lever, bight above pivot, nose, tail, and its two holes [mm].

    Origin at the pivot; the bight opens towards -Z; the tail extends down to the keeper hole.
    """

    opening: float
    width: float
    thickness: float
    rise: float
    nose: float
    tail: float
    pivot: float
    keeper: float

    family: ClassVar[str] = "gate hook lever"

    @property
    def offset(self) -> float:
        """Distance of the pivot from the line of pull through the bight's centre [mm]."""
        return 0.5 * (self.opening + self.width)

    def validate(self) -> None:
        """Check that the holes leave metal and that the nose is shorter than the lever.

        Raises:
            GeometryError: they do not, or it is not.
        """
        require_positive(self.family, **_sizes(self))
        require(max(self.pivot, self.keeper) < self.width, self.family, "its holes must be smaller than its width")
        require(0.5 * (self.pivot + self.keeper) < self.tail, self.family, "pivot and keeper holes overlap")
        require(self.nose < self.rise + self.tail, self.family, "the nose must be shorter than the lever")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name, value) for name, value in _sizes(self).items())

    def bodies(self) -> tuple[Body, ...]:
        """Return the bent lever as one plate."""
        h, p, top, foot = 0.5 * self.width, self.offset, self.rise, self.rise - self.nose
        bight, nose = (-p, top), (-2.0 * p, foot)
        profile = Profile(
            (h, -self.tail),
            (
                Step((h, top)),
                Step((-2.0 * p - h, top), bight),
                Step((-2.0 * p - h, foot)),
                Step((-2.0 * p + h, foot), nose),
                Step((-2.0 * p + h, top)),
                Step((-h, top), bight, ccw=False),
                Step((-h, -self.tail)),
                Step((h, -self.tail), (0.0, -self.tail)),
            ),
        )
        bores = (("pivot", (0.0, 0.0), 0.5 * self.pivot), ("keeper", (0.0, -self.tail), 0.5 * self.keeper))
        return (Extruded(profile, self.thickness, _upright(0.5 * self.thickness), bores),)


@dataclass(frozen=True)
class HookBodySpec(Built):
    """Two cheeks joined by a spacer at the line's pin [mm].

    `offset` is the pivot's distance from the line of pull; `pivot_height` and `keeper_height` are
    above the line's pin; `edge` is the distance of the holes' centres from the edge, and the height of the spacer
    above the line's pin; `slot` is the gap between the cheeks.
    """

    line_hole: float
    pivot: float
    keeper: float
    offset: float
    pivot_height: float
    keeper_height: float
    edge: float
    cheek: float
    slot: float

    family: ClassVar[str] = "gate hook body"

    def validate(self) -> None:
        """Check that the holes leave metal.

        Raises:
            GeometryError: they do not.
        """
        require_positive(self.family, **_sizes(self))
        widest = max(self.line_hole, self.pivot, self.keeper)
        require(0.5 * widest < self.edge, self.family, "its holes leave no metal at the edge")
        require(self.edge + 0.5 * self.keeper < self.keeper_height, self.family, "the keeper runs into the spacer")
        require(
            self.keeper_height + 0.5 * (self.keeper + self.pivot) < self.pivot_height, self.family, "its holes overlap"
        )

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes, with those derived from `edge`: bottom of the slot and corner radius."""
        own = tuple(Dim(name.replace("_", " "), value) for name, value in _sizes(self).items())
        return (*own, Dim("slot bottom", self.edge), Dim("corner", self.corner))

    @property
    def corner(self) -> float:
        """Radius of the plates' corners [mm]."""
        return 0.6 * self.edge

    def bodies(self) -> tuple[Body, ...]:
        """Return cheek, spacer, cheek."""
        e, low, high = self.edge, -self.edge, self.pivot_height + self.edge
        left, right, r = -e, self.offset + e, self.corner
        plate = rounded(((left, low, r), (right, low, r), (right, high, r), (left, high, r)))
        block = rounded(((left, low, r), (right, low, r), (right, e, 0.0), (left, e, 0.0)))
        line = ("line", (0.0, 0.0), 0.5 * self.line_hole)
        pivot = ("pivot", (self.offset, self.pivot_height), 0.5 * self.pivot)
        keeper = ("keeper", (self.offset, self.keeper_height), 0.5 * self.keeper)
        half = 0.5 * self.slot
        return (
            Extruded(plate, self.cheek, _upright(half + self.cheek), (line, pivot, keeper)),
            Extruded(block, self.slot, _upright(half), (line,)),
            Extruded(plate, self.cheek, _upright(-half), (line, pivot, keeper)),
        )


@dataclass(frozen=True)
class RivetSpec(Built):
    """The hook's rivet: shank through both cheeks and two equal heads; origin at mid-length, Z along it [mm]."""

    diameter: float
    head: float
    head_thickness: float
    grip: float

    family: ClassVar[str] = "rivet"

    def validate(self) -> None:
        """Check that the rivet has heads.

        Raises:
            GeometryError: it has none.
        """
        require_positive("rivet", **_sizes(self))
        require(self.diameter < self.head, "rivet", "the heads must be wider than the shank")

    def dims(self) -> tuple[Dim, ...]:
        """Return the sizes."""
        return tuple(Dim(name.replace("_", " "), value) for name, value in _sizes(self).items())

    def bodies(self) -> tuple[Body, ...]:
        """Return one turned body."""
        r, h, g, end = 0.5 * self.diameter, 0.5 * self.head, 0.5 * self.grip, 0.5 * self.grip + self.head_thickness
        steps = ((h, -end), (h, -g), (r, -g), (r, g), (h, g), (h, end), (0.0, end))
        return (Turned(Profile((0.0, -end), tuple(Step(p) for p in steps))),)


@dataclass(frozen=True)
class GateHook:
    """The whole hook: body, lever and rivet, with the lever opened by an angle [rad] from closed."""

    body: HookBodySpec
    lever: HookLeverSpec
    open_by: float = 0.0

    def __post_init__(self) -> None:
        owner = "gate hook"
        require(abs(self.body.offset - self.lever.offset) < 1e-9, owner, "body and lever have different pivot offsets")
        require(
            abs(self.body.pivot_height - self.body.keeper_height - self.lever.tail) < 1e-9,
            owner,
            "the keeper holes of body and lever do not align when closed",
        )
        require(self.lever.thickness < self.body.slot, owner, "the lever does not fit between the cheeks")
        require(
            self.body.keeper_height - 0.5 * self.lever.width > self.body.edge, owner, "the tail runs into the spacer"
        )
        require(-1e-9 <= self.open_by <= math.radians(180.0), owner, "it opens from 0 to 180 deg")

    @property
    def length(self) -> float:
        """Length closed, from the line's pin to the middle of the bight's bar in the gate eye [mm]."""
        return self.body.pivot_height + self.lever.rise + self.lever.offset

    def members(self) -> tuple[tuple[str, Part, Frame], ...]:
        """Return the parts with names and frames; the lever turns about Y."""
        c, s = math.cos(self.open_by), math.sin(self.open_by)
        at = (self.body.offset, 0.0, self.body.pivot_height)
        grip = self.body.slot + 2.0 * self.body.cheek
        rivet = RivetSpec(self.lever.pivot, 1.7 * self.lever.pivot, 0.35 * self.lever.pivot, grip)
        return (
            ("body", self.body, Frame()),
            ("lever", self.lever, Frame(at, (c, 0.0, s), (-s, 0.0, c))),
            ("rivet", rivet, Frame(at, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))),
        )
