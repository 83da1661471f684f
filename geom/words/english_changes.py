"""English: labels of what changed from one refit to another, beside those that the page has."""

from __future__ import annotations

from collections.abc import Mapping

CHANGES: Mapping[str, str] = {
    "height_upper": "Height, upper",
    "height_middle": "Height, middle",
    "height_lower_middle": "Height, lower middle",
    "height_lower": "Height, lower",
    "along": "Hole from foot",
    "foot_x": "Foot, X",
    "foot_y": "Foot, Y",
    "foot_z": "Foot, Z",
    "plate_out": "To deck, outboard",
    "plate_aft": "To deck, aft",
    "end_through": "End through the hole",
    "added": "Added",
    "taken_out": "Taken out",
    "item_closed": "Open item closed",
    "item_opened": "Open item, new",
}
