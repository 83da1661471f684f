"""Which posts are identical, which are mirror images, and which are alike within fabrication tolerances."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from geom.boat.model import Side
from geom.parts.families.post import DrilledHole, PostSpec
from geom.placement.fabrication import ShopLimits, shop_limits
from geom.placement.holes import Drilling
from geom.placement.place import PlacedPost, side_sign
from geom.placement.placed import Placed

# Decimals of lengths [mm] and angles [rad] within which computed sizes count as identical.
LENGTH_DECIMALS = 9
ANGLE_DECIMALS = 12


@dataclass(frozen=True)
class Build:
    """Everything needed to fabricate a post: drilled tube, tube-to-plate angles [rad], grade, base and brace.

    `intended` are the intended lean and rake [rad], `holes` the holes as the boat file states them, `brace` the
    height of the brace along the tube [mm].
    """

    spec: PostSpec
    grade: str
    plate: tuple[float, float]
    intended: tuple[float, float] | None
    base: str | None
    holes: tuple[object, ...]
    brace: float | None


def post_spec(post: PlacedPost, drillings: Mapping[str, Drilling]) -> PostSpec:
    """Return the specification of a post: its tube and its holes, each on its drilling axis.

    Args:
        post: the placed post.
        drillings: drilling axis of each hole, by hole id.

    Raises:
        GeometryError: the tube or a hole cannot be made.
    """
    axes = [(hole, drillings[hole.id]) for hole in post.holes]
    return PostSpec(
        od=round(post.tube_od, LENGTH_DECIMALS),
        wall=round(post.tube_wall, LENGTH_DECIMALS),
        top=round(post.top, LENGTH_DECIMALS),
        drilled=tuple(
            DrilledHole(
                name=hole.level,
                along=round(hole.along, LENGTH_DECIMALS),
                diameter=round(hole.diameter, LENGTH_DECIMALS),
                clocking=round(axis.clocking, ANGLE_DECIMALS),
                tilt=round(axis.tilt, ANGLE_DECIMALS),
            )
            for hole, axis in axes
        ),
        hand=hand_of(post.side),
    )


def hand_of(side: Side) -> Literal["P", "S"]:
    """Return the hand of a post: P where outboard is to port, S where it is to starboard."""
    return "S" if side_sign(side) > 0.0 else "P"


def distinct_tubes(placed: Placed) -> dict[PostSpec, tuple[str, ...]]:
    """Return each distinct drilled tube with the ids of its posts, in the order of the boat file."""
    shared: dict[PostSpec, tuple[str, ...]] = {}
    for post in placed.posts.values():
        spec = post_spec(post, placed.drillings)
        shared[spec] = (*shared.get(spec, ()), post.id)
    return shared


def build(placed: Placed, post: PlacedPost) -> Build:
    """Return everything needed to fabricate a post."""
    stated = post.spec
    return Build(
        spec=post_spec(post, placed.drillings),
        grade=placed.boat.tubes[stated.tube].grade,
        plate=(round(post.plate.out, ANGLE_DECIMALS), round(post.plate.aft, ANGLE_DECIMALS)),
        intended=None if stated.intended is None else (stated.intended.lean, stated.intended.rake),
        base=stated.base,
        holes=tuple(hole.spec for hole in post.holes),
        brace=None if stated.brace is None else stated.brace.along,
    )


def builds(placed: Placed) -> dict[Build, tuple[str, ...]]:
    """Return each distinct post with the ids that share it, in the order of the boat file: one card for each."""
    shared: dict[Build, tuple[str, ...]] = {}
    for post in placed.posts.values():
        one = build(placed, post)
        shared[one] = (*shared.get(one, ()), post.id)
    return shared


def mirror_image(one: Build) -> Build:
    """Return the same post for the other side of the boat."""
    return replace(one, spec=replace(one.spec, hand="P" if one.spec.hand == "S" else "S"))


def mirror_images(placed: Placed, name: str, limits: ShopLimits | None = None) -> dict[str, bool]:
    """Return the posts of the other side that are a mirror image of a post, exactly or within tolerances.

    Args:
        placed: the boat in space.
        name: the post's id.
        limits: fabrication tolerances, those of the data where None.

    Returns:
        Post id -> True where identical, False where alike within tolerances.
    """
    tolerances, mirrored = limits or shop_limits(), mirror_image(build(placed, placed.posts[name]))
    others = {post.id: build(placed, post) for post in placed.posts.values()}
    return {
        other: one == mirrored for other, one in others.items() if one == mirrored or _alike(one, mirrored, tolerances)
    }


def alike_groups(placed: Placed, limits: ShopLimits | None = None) -> dict[str, str]:
    """Return a group letter for each post; any two posts of a group are alike within fabrication tolerances.

    Posts are alike if they have the same side, tube, grade and base and holes of the same sizes at the same
    levels, and their lengths, hole and brace positions, clockings, tilts and plate angles differ by no more
    than the tolerances.

    Args:
        placed: the boat in space.
        limits: fabrication tolerances, those of the data where None.
    """
    tolerances = limits or shop_limits()
    groups: list[list[Build]] = []
    found: dict[str, int] = {}
    for post in placed.posts.values():
        one = build(placed, post)
        at = next((n for n, group in enumerate(groups) if all(_alike(one, other, tolerances) for other in group)), None)
        if at is None:
            at = len(groups)
            groups.append([])
        groups[at].append(one)
        found[post.id] = at
    return {name: group_name(at) for name, at in found.items()}


def group_name(number: int) -> str:
    """Return the letter of a group, numbered from 0: A to Z without I and O, then AA and so on."""
    letters = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    high, low = divmod(number, len(letters))
    return (letters[high - 1] if high else "") + letters[low]


def _alike(a: Build, b: Build, limits: ShopLimits) -> bool:
    if _same_kind(a) != _same_kind(b):
        return False
    pairs = zip(a.spec.drilled, b.spec.drilled, strict=True)
    return (
        abs(a.spec.top - b.spec.top) <= limits.tube_length
        and abs((a.brace or 0.0) - (b.brace or 0.0)) <= limits.hole_position
        and all(abs(p - q) <= limits.tube_to_plate for p, q in zip(a.plate, b.plate, strict=True))
        and all(
            abs(p.along - q.along) <= limits.hole_position
            and abs(p.clocking - q.clocking) <= limits.clocking
            and abs(p.tilt - q.tilt) <= limits.clocking
            for p, q in pairs
        )
    )


def _same_kind(one: Build) -> tuple[object, ...]:
    holes = tuple((hole.name, hole.diameter) for hole in one.spec.drilled)
    return one.spec.hand, one.spec.od, one.spec.wall, one.grade, one.base, holes
