"""Names of assemblies, and file names of models."""

from __future__ import annotations

import re

from geom.boat.model import Side
from geom.placement.place import PlacedPost, PlacedRun

SIDES: dict[Side, str] = {
    "S": "starboard",
    "P": "port",
    "SI": "starboard inboard",
    "PI": "port inboard",
    "C": "across",
}


def file_name(product: str) -> str:
    """Return a product's name as a file name without ending: small letters, digits, dots and dashes."""
    return re.sub(r"[^a-z0-9.]+", "-", product.lower()).strip("-.")


def of_post(post: PlacedPost) -> tuple[str, ...]:
    """Return the assemblies that a post and what stands on it belong to, from the boat's down."""
    return (SIDES[post.side], f"stanchion {post.id}")


def of_run(run: PlacedRun) -> tuple[str, ...]:
    """Return the assemblies that a line and its ends belong to, from the boat's down."""
    return (SIDES[run.side], f"run {run.id}")
