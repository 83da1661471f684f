"""Refit -> the distinct posts as they go to the shop, each with its real holes."""

from __future__ import annotations

from geom.parts.frame import Frame
from geom.parts.post import PostSpec
from geom.refit import Refit
from geom.runs.alike import distinct_tubes
from geom.runs.alike import post_spec as post_spec
from geom.runs.place import PlacedPost
from geom.solids.step import STEEL, Product, Schema, step_bytes


def post_frame(post: PlacedPost) -> Frame:
    """Return where a post's own frame stands in boat axes."""
    return Frame(post.foot, post.fore_and_aft, post.axis)


def distinct_posts(refit: Refit) -> dict[PostSpec, tuple[str, ...]]:
    """Return each distinct post with the ids that share it, in the boat file's order."""
    return distinct_tubes(refit.placed)


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
