"""Refit -> the distinct posts as fabricated, with their holes."""

from __future__ import annotations

from dataclasses import replace

from geom.parts.families.post import PostSpec
from geom.parts.shape.frame import Frame
from geom.placement.identical_posts import ANGLE_DECIMALS, post_spec
from geom.placement.place import PlacedPost
from geom.placement.tube_cut import mark_turn
from geom.refit import Refit
from geom.solids.bases import base_of, tube_foot
from geom.solids.step import STEEL, Product, Schema, step_bytes

# In the name of a tube whose base is not stated: its square lower end is not a finished foot.
FOOT_NOT_CUT = "foot not cut: base not stated"


def post_frame(post: PlacedPost) -> Frame:
    """Return a post's frame in boat axes."""
    return Frame(post.foot, post.fore_and_aft, post.axis)


def standing_spec(refit: Refit, post: PlacedPost, aft_mark: bool = False) -> PostSpec:
    """Return a post's tube as installed: from the deck, or from the upper face of its base plate.

    Args:
        refit: the boat as calculated.
        post: the post.
        aft_mark: whether the AFT mark is cut into the tube as a groove.

    Raises:
        GeometryError: the tube or a hole cannot be made.
    """
    spec, base = post_spec(post, refit.placed.drillings), base_of(refit, post)
    if aft_mark:
        hidden = 0.0 if base is None or base.socket is None else base.socket.depth or base.socket.height
        spec = replace(spec, mark=round(mark_turn(post), ANGLE_DECIMALS) + 0.0, hidden=hidden)
    if base is None:
        return spec
    start, rise = tube_foot(base, post)
    return replace(spec, start=start, foot_rise=rise)


def post_name(refit: Refit, ids: tuple[str, ...]) -> str:
    """Return the name of a post's product and file header; it says where the foot is not cut, as its base is unknown.

    Args:
        refit: the boat as calculated.
        ids: the posts that share the product.
    """
    name = f"post {' '.join(ids)}"
    if any(base_of(refit, refit.placed.posts[one]) is None for one in ids):
        return f"{name} - {FOOT_NOT_CUT}"
    return name


def distinct_posts(refit: Refit, aft_mark: bool = False) -> dict[PostSpec, tuple[str, ...]]:
    """Return each distinct post with the ids of its posts, in the boat file's order.

    Args:
        refit: the boat as calculated.
        aft_mark: whether the AFT mark is cut into the tubes as a groove.
    """
    shared: dict[PostSpec, tuple[str, ...]] = {}
    for post in refit.placed.posts.values():
        spec = standing_spec(refit, post, aft_mark)
        shared[spec] = (*shared.get(spec, ()), post.id)
    return shared


def post_files(refit: Refit, schema: Schema = "AP242") -> dict[str, bytes]:
    """Return one STEP file per distinct post, named after its first id.

    Raises:
        CannotFinishError: the kernel is missing.
        GeometryError: a post cannot be made.
    """
    files = {}
    for spec, ids in distinct_posts(refit).items():
        name = post_name(refit, ids)
        product = Product(name, spec.solid(), STEEL)
        files[f"post-{ids[0]}.step"] = step_bytes(name, (product,), date=refit.boat.revision.date, schema=schema)
    return files
