"""Where a part stands in the boat: an origin and the directions of its own X and Z."""

from __future__ import annotations

from dataclasses import dataclass

from geom import vec
from geom.vec import Vec


@dataclass(frozen=True)
class Frame:
    """A right-handed frame: origin [mm], unit Z and a unit X square to it."""

    origin: Vec = (0.0, 0.0, 0.0)
    x: Vec = (1.0, 0.0, 0.0)
    z: Vec = (0.0, 0.0, 1.0)

    @property
    def y(self) -> Vec:
        """The direction of Y: Z x X."""
        return vec.cross(self.z, self.x)

    def point(self, local: Vec) -> Vec:
        """Return a point of the part's frame in the frame outside [mm]."""
        return vec.add(self.origin, self.direction(local))

    def direction(self, local: Vec) -> Vec:
        """Return a direction of the part's frame in the frame outside."""
        turned = vec.add(vec.scale(self.x, local[0]), vec.scale(self.y, local[1]))
        return vec.add(turned, vec.scale(self.z, local[2]))

    def of(self, inner: Frame) -> Frame:
        """Return a frame that stands in this one, as it stands outside."""
        return Frame(self.point(inner.origin), self.direction(inner.x), self.direction(inner.z))


def frame_along(origin: Vec, z: Vec, towards: Vec) -> Frame:
    """Return a frame whose Z lies along a direction and whose X leans as far towards another as it can.

    Args:
        origin: the frame's origin [mm].
        z: direction of Z, of any length.
        towards: a direction that is not parallel to z.
    """
    axis = vec.unit(z)
    return Frame(origin, vec.unit(vec.square_to(towards, axis)), axis)
