"""Drafting style: every size in paper millimetres, for all file formats."""

from __future__ import annotations

from dataclasses import dataclass

from geom.figure import Layer


@dataclass(frozen=True)
class Style:
    """Drafting sizes [paper mm] in the style of ISO 129-1 and ISO 3098-1.

    Sources: ISO 129-1 (arrow 3:1 filled, value above an unbroken dimension line, extension line
    about 8 line widths beyond it); ISO 3098-1 (2.5 mm the smallest height of dimensions). The gap at
    the feature is that of ASME Y14.5; in ISO the extension line touches it. From memory, verify.
    """

    text_height: float = 2.5
    arrow_length: float = 2.5
    arrow_ratio: float = 3.0
    arrows_inside_from: float = 3.0
    outside_stub: float = 2.0
    extension_gap: float = 1.0
    extension_beyond: float = 1.44
    text_gap: float = 1.0
    leader_gap: float = 1.0
    dot_radius: float = 0.6
    ordinate_leg: float = 2.5
    line_pitch: float = 1.6
    clearance: float = 0.15

    @property
    def arrow_half_width(self) -> float:
        """Half the width of an arrow at its foot [mm]."""
        return self.arrow_length / self.arrow_ratio / 2.0


DRAFTING = Style()

# Strokes and gaps in line widths: ISO 128-2 (dashes 12d, chains 24d, gaps 3d, dots at most 0.5d), from memory.
_PATTERNS: dict[str, tuple[float, ...]] = {
    "continuous": (),
    "dashed": (12.0, 3.0),
    "short-dashed": (7.0, 3.5),
    "chain": (24.0, 3.0, 0.5, 3.0),
    "double-chain": (24.0, 3.0, 0.5, 3.0, 0.5, 3.0),
}


def dashes(layer: Layer) -> tuple[float, ...]:
    """Return the alternating strokes and gaps of a layer's line [paper mm], empty for a continuous line."""
    return tuple(part * layer.width for part in _PATTERNS[layer.linetype])
