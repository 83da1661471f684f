"""How near a post is to folding, worked out beforehand for pulls at known places.

Moments add up, so that each place is bent once by a unit force outboard and once by one aft; many loads
on the same post then cost a few products each.
"""

from __future__ import annotations

import math

from geom import vec
from geom.runs.post_bending import PostFrame, Pull, bending, loaded_hole, section_share
from geom.vec import Vec

# Moments at one section, athwartships and fore-and-aft, by a unit force outboard and by one aft [mm].
_ByUnit = tuple[tuple[float, float], tuple[float, float]]


class FoldShare:
    """A post with lines that pull steadily, and places on it where other pulls will come."""

    def __init__(self, post: PostFrame, still: tuple[Pull, ...], places: tuple[float, ...]) -> None:
        """Bend the post by its steady pulls, and by unit forces at each place.

        Args:
            post: the post.
            still: its steady pulls.
            places: distances along the tube of the pulls to come [mm].
        """
        idle = tuple(Pull(place, (0.0, 0.0, 0.0), "") for place in places)
        at_rest = bending(post, still + idle)
        self._post = post
        self._hole = loaded_hole(post, at_rest)
        sections = [0.0]
        if post.brace is not None:
            sections.append(post.brace.along)
        self._whole_sections = len(sections)
        if self._hole is not None:
            sections.append(self._hole.along)
        self._still = [at_rest.at(section) for section in sections]
        self._by_unit = [self._bent_by_unit(place, sections) for place in places]

    def _bent_by_unit(self, place: float, sections: list[float]) -> list[_ByUnit]:
        out = bending(self._post, (Pull(place, self._post.outboard, ""),))
        aft = bending(self._post, (Pull(place, self._post.fore_and_aft, ""),))
        return [(out.at(section), aft.at(section)) for section in sections]

    def under(self, forces: list[Vec]) -> float | None:
        """Return the worst section's moment over its plastic moment, as `plastic_share` does.

        Args:
            forces: of the pulls at the places given beforehand, in their order [N].
        """
        moments = self._still
        for force, by_unit in zip(forces, self._by_unit, strict=True):
            out, aft = vec.dot(force, self._post.outboard), vec.dot(force, self._post.fore_and_aft)
            moments = [
                (side + out * by_out[0] + aft * by_aft[0], fore_aft + out * by_out[1] + aft * by_aft[1])
                for (side, fore_aft), (by_out, by_aft) in zip(moments, by_unit, strict=True)
            ]
        worst = max(math.hypot(*moment) for moment in moments[: self._whole_sections])
        return section_share(self._post, worst, self._hole, moments[-1])
