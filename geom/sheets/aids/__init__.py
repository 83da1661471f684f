"""Full-size aids for the bench: tube wraps, drill templates, hole gauge, splice strips, and their cut files."""

from __future__ import annotations

from geom.figure import Sheet
from geom.refit import Refit
from geom.sheets.aids.cut import cut_files
from geom.sheets.aids.hole_gauge import hole_gauge
from geom.sheets.aids.page import aid_papers
from geom.sheets.aids.plate_template import plate_templates
from geom.sheets.aids.splice_strip import splice_strip, strips
from geom.sheets.aids.tube_wrap import tube_wrap

__all__ = ["cut_files", "full_size_sets"]


def full_size_sets(refit: Refit, thickness: float = 0.0) -> dict[str, tuple[Sheet, ...]]:
    """Return every set of full-size pages, on A4 and on Letter, by the name of its PDF without ending.

    Args:
        refit: the boat as calculated.
        thickness: of the paper wrapped round the tubes [mm]; with 0 a wrap is pi times the tube's diameter wide.
    """
    sets: dict[str, tuple[Sheet, ...]] = {}
    for upright, lying in zip(aid_papers(upright=True), aid_papers(upright=False), strict=True):
        posts = refit.placed.posts.values()
        sets[f"tube-wraps-{upright.word}"] = tuple(
            sheet for post in posts for sheet in tube_wrap(refit, post, upright, thickness)
        )
        sets[f"base-plates-{upright.word}"] = plate_templates(refit, upright)
        sets[f"hole-gauge-{upright.word}"] = hole_gauge(refit, upright)
        sets[f"splice-strips-{lying.word}"] = tuple(
            sheet for strip in strips(refit) for sheet in splice_strip(refit, strip, lying)
        )
    return {name: sheets for name, sheets in sets.items() if sheets}
