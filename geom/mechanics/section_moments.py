"""The moments at sections of posts by many loads, and the strength of the sections.

Bending is linear: moments are calculated once for unit forces outboard and aft and superposed for each load.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Literal

from geom import vec
from geom.frozen import frozen
from geom.mechanics.kernels import floats, integers
from geom.mechanics.kernels.limits import RunSections
from geom.mechanics.post_bending import PinHole, PostFrame, Pull, Section, bending, moments_at, sections, with_reaction
from geom.mechanics.tube import net_section
from geom.vec import Vec

# Limit of a post: the extreme fibre at the proof stress, or a whole section at it.
Limit = Literal["yield", "collapse"]
LIMITS: tuple[Limit, ...] = ("yield", "collapse")


@frozen
class SectionMoments:
    """Moments at sections of a post under constant pulls and variable pulls, and the strength of the sections.

    Moments are in the plane of the hole's axis and square to it [N mm]; without a hole, fore-and-aft and athwartships.
    Each section has in `still` those by the constant pulls, in `by_force` for each place of a variable pull the vectors
    whose products with a force are its moments [mm], and in `strength`: the reciprocal section modulus in either plane
    over the proof stress [1/(N mm)], cosine, sine and tangent of the angle to the edge of the hole, then the
    reciprocal plastic moment [1/(N mm)] square to the hole's axis, and the shift of the interaction circle, its ratio
    to the radius.
    """

    still: tuple[tuple[float, float], ...]
    by_force: tuple[tuple[tuple[Vec, Vec], ...], ...]
    strength: tuple[tuple[float, ...], ...]


def run_sections(posts: Iterable[tuple[SectionMoments, Sequence[int]]]) -> RunSections:
    """Return the sections of several posts, one after the other.

    Args:
        posts: moments at the sections of each, and the indices of the points of the run at its variable pulls.
    """
    still: list[float] = []
    strength: list[float] = []
    by_force: list[float] = []
    first, point = [0], []
    for moments, points in posts:
        for own, strong, places in zip(moments.still, moments.strength, moments.by_force, strict=True):
            still += own
            strength += strong
            for index, (along, square) in zip(points, places, strict=True):
                point.append(index)
                by_force += (*along, *square)
            first.append(len(point))
    return RunSections(floats(still), floats(strength), integers(first), integers(point), floats(by_force))


def section_moments(
    post: PostFrame, proof_stress: float, still: tuple[Pull, ...], places: tuple[float, ...]
) -> SectionMoments:
    """Return the moments at the sections of a post by constant pulls, and by unit forces at given heights.

    Args:
        post: the post.
        proof_stress: of its tube [MPa].
        still: constant pulls.
        places: heights of the variable pulls along the tube [mm].
    """
    at_rest = bending(post, still)
    found = sections(post, max((at_rest.top, *places)))
    # A unit force outboard and one aft at each place, with the reactions of the brace.
    units = [(with_reaction(post, (at, 1.0, 0.0)), with_reaction(post, (at, 0.0, 1.0))) for at in places]
    of_still, by_force = [], []
    for section in found:
        turn = _turn(section)
        of_still.append(_turned(turn, at_rest.at(section.along)))
        by_place = []
        for outboard, aft in units:
            by_outboard = _turned(turn, moments_at(outboard, section.along))
            by_aft = _turned(turn, moments_at(aft, section.along))
            by_place.append((_vector(post, by_outboard[0], by_aft[0]), _vector(post, by_outboard[1], by_aft[1])))
        by_force.append(tuple(by_place))
    strength = tuple([_strength(post, section, proof_stress) for section in found])
    return SectionMoments(tuple(of_still), tuple(by_force), strength)


def _vector(post: PostFrame, outboard: float, aft: float) -> Vec:
    """Return the vector with these components outboard and aft."""
    return vec.along(vec.scale(post.outboard, outboard), post.fore_and_aft, aft)


def _turned(turn: tuple[tuple[float, float], tuple[float, float]], moments: tuple[float, float]) -> tuple[float, float]:
    (a, b), (c, d) = turn
    return a * moments[0] + b * moments[1], c * moments[0] + d * moments[1]


def _turn(section: Section) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the matrix from moments athwartships and fore-and-aft to those in the plane of a hole and square to it."""
    clocking = 0.0 if section.hole is None or isinstance(section.hole, PinHole) else section.hole.clocking
    cos, sin = math.cos(clocking), math.sin(clocking)
    return (sin, cos), (cos, -sin)


def _strength(post: PostFrame, section: Section, proof_stress: float) -> tuple[float, ...]:
    """Return the strength of a section as in `SectionMoments`."""
    tube, hole = post.tube, section.hole
    if hole is None:
        stress, plastic = 1.0 / tube.modulus, 1.0 / tube.plastic_modulus
    elif isinstance(hole, PinHole):
        stress, plastic = net_section(tube, hole.diameter).worst_stress, net_section(tube, hole.diameter).worst_plastic
    else:
        net, radius = net_section(tube, hole.diameter), 0.5 * tube.od
        edge, ratio = math.asin(0.5 * hole.diameter / radius), net.plastic_neutral / net.plastic_fibre
        fibre, neutral = radius / net.inertia_fibre / proof_stress, radius / net.inertia_neutral / proof_stress
        shift = 0.5 * (ratio - 1.0 / ratio)
        one = 1.0 / (net.plastic_neutral * proof_stress)
        return (fibre, neutral, math.cos(edge), math.sin(edge), math.tan(edge), one, shift)
    return (stress / proof_stress, stress / proof_stress, 1.0, 0.0, 0.0, plastic / proof_stress, 0.0)
