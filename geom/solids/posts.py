"""Refit -> the distinct posts as they go to the shop, each with its real holes."""

from __future__ import annotations

from collections.abc import Mapping

from geom.parts.frame import Frame
from geom.parts.post import DrilledHole, PostSpec
from geom.refit import Refit
from geom.runs.drilling import Drilling
from geom.runs.place import PlacedPost
from geom.solids.step import STEEL, Product, Schema, step_bytes

# Sizes from the same numbers may differ in their last bits; these decimals [mm, rad] make them the same part.
_LENGTH_DECIMALS = 9
_ANGLE_DECIMALS = 12


def post_spec(post: PlacedPost, drillings: Mapping[str, Drilling]) -> PostSpec:
    """Return the specification of a post: its tube, and each hole on the axis on which it is to be drilled.

    Args:
        post: the placed post.
        drillings: on which axis each hole is drilled, by hole id.

    Raises:
        GeometryError: the tube or a hole cannot be made.
    """
    axes = [(hole, drillings[hole.id]) for hole in post.holes]
    return PostSpec(
        od=round(post.tube_od, _LENGTH_DECIMALS),
        wall=round(post.tube_wall, _LENGTH_DECIMALS),
        top=round(post.top, _LENGTH_DECIMALS),
        drilled=tuple(
            DrilledHole(
                name=hole.level,
                along=round(hole.along, _LENGTH_DECIMALS),
                diameter=round(hole.diameter, _LENGTH_DECIMALS),
                clocking=round(axis.clocking, _ANGLE_DECIMALS),
                tilt=round(axis.tilt, _ANGLE_DECIMALS),
            )
            for hole, axis in axes
        ),
        hand=post.side,
    )


def post_frame(post: PlacedPost) -> Frame:
    """Return where a post's own frame stands in boat axes."""
    return Frame(post.foot, post.fore_and_aft, post.axis)


def distinct_posts(refit: Refit) -> dict[PostSpec, tuple[str, ...]]:
    """Return each distinct post with the ids that share it, in the boat file's order."""
    shared: dict[PostSpec, tuple[str, ...]] = {}
    for post in refit.placed.posts.values():
        spec = post_spec(post, refit.placed.drillings)
        shared[spec] = (*shared.get(spec, ()), post.id)
    return shared


def post_files(refit: Refit, schema: Schema = "AP242") -> dict[str, bytes]:
    """Return one STEP file per distinct post, named after the first id that has it.

    Raises:
        CannotFinishError: the kernel is missing.
        GeometryError: a post cannot be made.
    """
    files = {}
    for spec, ids in distinct_posts(refit).items():
        name = f"post {' '.join(ids)}"
        product = Product(name, spec.solid(), STEEL)
        files[f"post-{ids[0]}.step"] = step_bytes(name, (product,), date=refit.boat.revision.date, schema=schema)
    return files
