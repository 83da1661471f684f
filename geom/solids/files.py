"""Refit -> all solid files: one STEP for each distinct post, weldment and fitting, the whole boat as STEP and GLB."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from geom.parts.part import Part
from geom.refit import Refit
from geom.solids.assembly import Assembly, assemble
from geom.solids.cache import PartCache
from geom.solids.glb import glb_bytes
from geom.solids.piece import file_name
from geom.solids.posts import distinct_posts, post_name
from geom.solids.step import Product, Schema, step_bytes
from geom.solids.weldments import weldments

BOAT_AXES = "X aft, Y to starboard, Z up, origin as in the boat file"
Progress = Callable[[int, int, str], None]


def solid_files(
    refit: Refit,
    cache: Path | None = None,
    schema: Schema = "AP242",
    progress: Progress | None = None,
    aft_mark: bool = False,
) -> dict[str, bytes]:
    """Return every solid file by its name.

    Args:
        refit: the boat as calculated.
        cache: folder of the part cache (see geom.cache), None for no cache.
        schema: STEP application protocol.
        progress: called with the number of parts done, the number of all parts, and the next one.
        aft_mark: whether the AFT mark is cut into the tubes as a groove.

    Raises:
        CannotFinishError: the kernel is missing or refuses a shape.
        GeometryError: a post or a line cannot be made.
    """
    assembly = assemble(refit, aft_mark)
    parts = assembly.parts()
    store, done = PartCache(cache), 0
    shapes = {}
    for part in parts:
        if progress is not None:
            progress(done, len(parts), part.family)
        shapes[part] = store.shape(part)
        done += 1
    if progress is not None:
        progress(done, len(parts), "files")
    date = refit.boat.revision.date
    products, instances = assembly.products(shapes.__getitem__), assembly.instances()
    files: dict[str, bytes] = {}
    for spec, ids in distinct_posts(refit, aft_mark).items():
        name = post_name(refit, ids)
        files[f"post-{ids[0]}.step"] = step_bytes(
            name, (Product(name, shapes[spec]),), date=date, schema=schema, axes=spec.axes
        )
    for one in weldments(refit, aft_mark):
        made = one.products(shapes.__getitem__)
        files[f"weldment-{one.posts[0]}.step"] = step_bytes(
            one.name, made, one.instances(), date=date, schema=schema, axes=one.tube.axes
        )
    for name, part in fittings(assembly).items():
        product = Product(name, shapes[part])
        files[f"{file_name(name)}.step"] = step_bytes(name, (product,), date=date, schema=schema, axes=part.axes)
    files["boat.step"] = step_bytes(assembly.title, products, instances, date=date, schema=schema, axes=BOAT_AXES)
    files["boat.glb"] = glb_bytes(assembly.title, products, instances)
    return files


def fittings(assembly: Assembly) -> dict[str, Part]:
    """Return the distinct parts that are neither posts nor lines, by product name."""
    return {
        piece.product: piece.part
        for piece in assembly.pieces
        if piece.part is not None and piece.part.family not in ("post", "line")
    }
