"""Refit -> the weldments: each distinct tube with the plate that is welded to it, in the tube's axes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from geom.parts.families.plate import PlateSpec
from geom.parts.families.post import PostSpec
from geom.parts.part import Part
from geom.parts.shape.frame import Frame
from geom.refit import Refit
from geom.solids.bases import base_of, plate_frame, plate_spec
from geom.solids.colours import FITTING
from geom.solids.curves import copy_of
from geom.solids.posts import post_frame, standing_spec
from geom.solids.step import STEEL, Instance, Product

# Two plates stand alike on their tubes if equal to so many decimals [mm, and parts of a unit direction].
_ALIKE = 9


@dataclass(frozen=True)
class Weldment:
    """A tube and its plate: the posts made so, both parts, and the plate's frame in the tube's axes."""

    posts: tuple[str, ...]
    tube: PostSpec
    plate: PlateSpec
    lies: Frame

    @property
    def name(self) -> str:
        """Its name, with the posts made so."""
        return f"weldment {' '.join(self.posts)}"

    def products(self, make: Callable[[Part], Any]) -> tuple[Product, ...]:
        """Return tube and plate with their shapes.

        Args:
            make: returns the shape of the kernel for a specification.
        """
        tube, plate = copy_of(make(self.tube)), copy_of(make(self.plate))
        return Product("tube", tube, STEEL), Product("plate", plate, FITTING)

    def instances(self) -> tuple[Instance, ...]:
        """Return tube and plate in place."""
        return Instance("tube", "tube"), Instance("plate", "plate", self.lies)


def weldments(refit: Refit, aft_mark: bool = False) -> tuple[Weldment, ...]:
    """Return each distinct weldment, in the boat file's order; a tube in a socket is none.

    Args:
        refit: the boat as calculated.
        aft_mark: whether the AFT mark is cut into the tubes as a groove.

    Raises:
        GeometryError: a tube or a plate cannot be made.
    """
    found: dict[tuple[PostSpec, PlateSpec, Frame], tuple[str, ...]] = {}
    for post in refit.placed.posts.values():
        base = base_of(refit, post)
        if base is not None and base.socket is None:
            lies = plate_frame(base, post).seen_from(post_frame(post))
            origin, x, z = (tuple(round(part, _ALIKE) + 0.0 for part in one) for one in (lies.origin, lies.x, lies.z))
            alike = standing_spec(refit, post, aft_mark), plate_spec(base, post), Frame(origin, x, z)  # type: ignore[arg-type]
            found[alike] = (*found.get(alike, ()), post.id)
    return tuple(Weldment(posts, *alike) for alike, posts in found.items())
