"""The utilisation of the sections of posts under many loads at once.

Bending is linear: moments are calculated once for unit forces outboard and aft and superposed for each load.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from geom.mechanics.post_bending import PinHole, PostFrame, Pull, Section, bending, sections
from geom.mechanics.tube import net_section

if TYPE_CHECKING:
    from geom.mechanics.span_equilibrium import Array

# Limit of a post: the extreme fibre at the proof stress, or a whole section at it.
Limit = Literal["yield", "collapse"]
LIMITS: tuple[Limit, ...] = ("yield", "collapse")


@dataclass(frozen=True)
class SectionMoments:
    """Moments at sections of posts under constant pulls and variable pulls, and the strength of the sections.

    Moments are in the plane of the hole's axis and square to it [N mm]; without a hole, fore-and-aft and athwartships.
    `still` are those by the constant pulls: sections, 2. `by_force` are those by a unit force on each place [mm]:
    sections, 2, places, 3. `strength` has for each section, last axis: the reciprocal section modulus in either plane
    over the proof stress [1/(N mm)], cosine, sine and tangent of the angle to the edge of the hole, then the
    reciprocal plastic moment [1/(N mm)] square to the hole's axis, and the shift of the interaction circle, its ratio
    to the radius.
    """

    still: Array
    by_force: Array
    strength: Array

    def under(self, forces: Array, limit: Limit) -> Array:
        """Return the utilisation of each section: stress over proof stress, or moment over plastic moment.

        Args:
            forces: variable pulls [N], three components for each place; a leading axis for several loads.
            limit: yield or collapse.
        """
        shape = self.by_force.shape
        flat = forces.reshape(*forces.shape[:-2], 1, shape[-2] * shape[-1], 1)
        moments = self.still + (self.by_force.reshape(*shape[:-2], shape[-2] * shape[-1]) @ flat)[..., 0]
        return utilisations(np.abs(moments), self.strength, limit)


def utilisations(moments: Array, strength: Array, limit: Limit) -> Array:
    """Return the utilisation of sections under moments, see `NetSection.stress` and `NetSection.plastic_utilisation`.

    Args:
        moments: size of the moment in the plane of the hole's axis and square to it [N mm], last axis.
        strength: of each section, as in `SectionMoments`.
        limit: yield or collapse.
    """
    if limit == "yield":
        fibre, neutral = moments[..., 0] * strength[..., 0], moments[..., 1] * strength[..., 1]
        at_edge = fibre * strength[..., 2] + neutral * strength[..., 3]
        return np.where(neutral < fibre * strength[..., 4], at_edge, np.hypot(fibre, neutral))
    along, square = moments[..., 0] * strength[..., 6], (moments * moments).sum(axis=-1)
    found: Array = (along + np.sqrt(along * along + square)) * strength[..., 5]
    return found


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
    idle = tuple(Pull(place, (0.0, 0.0, 0.0), "") for place in places)
    at_rest = bending(post, still + idle)
    found = sections(post, at_rest.top)
    units = (post.outboard, post.fore_and_aft)
    bent = [[bending(post, (Pull(place, unit, ""),)) for unit in units] for place in places]
    turns = np.array([_turn(section) for section in found])
    by_unit = np.array([[[one.at(section.along) for one in by] for by in bent] for section in found])
    by_force = np.einsum("qij,qpuj,ux->qipx", turns, by_unit.reshape(len(found), len(places), 2, 2), np.array(units))
    moments = np.array([at_rest.at(section.along) for section in found])
    strength = np.array([_strength(post, section, proof_stress) for section in found])
    return SectionMoments(np.einsum("qij,qj->qi", turns, moments), by_force, strength)


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
