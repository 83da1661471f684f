"""What tests of the papers share."""

from __future__ import annotations

from collections.abc import Sequence

from geom.figure import Sheet
from geom.render.faults import layout


def faults(sheets: Sequence[Sheet]) -> list[str]:
    """Return the layout faults of some pages."""
    return [f"{sheet.name}: {fault}" for sheet in sheets for fault in layout(sheet).faults]
