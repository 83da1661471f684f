"""File names of models."""

from __future__ import annotations

import re


def file_name(product: str) -> str:
    """Return a product's name as a file name without ending: small letters, digits, dots and dashes."""
    return re.sub(r"[^a-z0-9.]+", "-", product.lower()).strip("-.")
