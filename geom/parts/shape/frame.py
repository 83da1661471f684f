"""Position and orientation of a part: an origin and the directions of its X and Z."""

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
        """Return a point of the part's frame in the outer frame [mm]."""
        return vec.add(self.origin, self.direction(local))

    def direction(self, local: Vec) -> Vec:
        """Return a direction of the part's frame in the outer frame."""
        in_plane = vec.add(vec.scale(self.x, local[0]), vec.scale(self.y, local[1]))
        return vec.add(in_plane, vec.scale(self.z, local[2]))

    def of(self, inner: Frame) -> Frame:
        """Return a frame given in this one, in the outer frame."""
        return Frame(self.point(inner.origin), self.direction(inner.x), self.direction(inner.z))

    def seen_from(self, other: Frame) -> Frame:
        """Return this frame in the axes of another that is given in the same outer frame."""

        def along(way: Vec) -> Vec:
            return (vec.dot(way, other.x), vec.dot(way, other.y), vec.dot(way, other.z))

        return Frame(along(vec.sub(self.origin, other.origin)), along(self.x), along(self.z))


def frame_along(origin: Vec, z: Vec, towards: Vec) -> Frame:
    """Return a frame with Z along a direction and X as close to another direction as possible.

    Args:
        origin: the frame's origin [mm].
        z: direction of Z, of any length.
        towards: a direction that is not parallel to z.
    """
    axis = vec.unit(z)
    return Frame(origin, vec.unit(vec.square_to(towards, axis)), axis)
