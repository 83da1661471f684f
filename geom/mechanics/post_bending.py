"""A post as a tube held fast at its foot, with a brace or without: bending moments from the pulls of its lines."""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.mechanics.tube import TubeSection, net_section
from geom.remark import Stated
from geom.vec import Vec


@dataclass(frozen=True)
class PostHole:
    """A hole of a post: distance along the tube [mm], diameter [mm], and its axis' turn about the tube [rad].

    `clocking` is the best known: measured, planned, or the line's own direction; 0 is fore-and-aft.
    """

    along: float
    diameter: float
    clocking: float


@dataclass(frozen=True)
class PostFrame:
    """A post for its loads: foot, axis, its own fore-and-aft and outboard directions, tube, holes, proof stress."""

    id: str
    foot: Vec
    axis: Vec
    fore_and_aft: Vec
    outboard: Vec
    tube: TubeSection
    holes: tuple[PostHole, ...]
    proof_stress: float | None
    proof_source: Stated
    brace: Prop | None = None


@dataclass(frozen=True)
class Prop:
    """A brace: how far up the tube it holds [mm], and the unit direction from its foot to the tube there."""

    along: float
    direction: Vec


@dataclass(frozen=True)
class Pull:
    """A force on a post at a distance along its tube [mm]; `of` names the line."""

    along: float
    force: Vec
    of: str


# A pull resolved: distance along the tube [mm], its outboard and its aft part [N].
Part = tuple[float, float, float]


@dataclass(frozen=True)
class Bending:
    """Moments in a post [N mm], athwartships and fore-and-aft: at the foot, and at the brace where it has one.

    `parts` are the pulls resolved, a brace's hold among them; `brace_force` runs along the brace: + pulls its
    foot, - presses it.
    """

    parts: tuple[Part, ...]
    foot: tuple[float, float]
    at_brace: tuple[float, float] | None
    brace_force: float | None

    @property
    def worst(self) -> float:
        """The greater of the moments at the foot and at the brace [N mm]."""
        at_foot = math.hypot(*self.foot)
        return at_foot if self.at_brace is None else max(at_foot, math.hypot(*self.at_brace))

    def at(self, along: float) -> tuple[float, float]:
        """Return the moments at a distance along the tube."""
        return _moments(self.parts, along)


def bending(post: PostFrame, pulls: tuple[Pull, ...], braced: bool = True) -> Bending:
    """Return the bending of a post whose foot is held fast and whose brace, if any, does not give.

    Args:
        post: the post.
        pulls: forces of the lines.
        braced: whether its brace counts.
    """
    parts = tuple(
        (pull.along, vec.dot(pull.force, post.outboard), vec.dot(pull.force, post.fore_and_aft)) for pull in pulls
    )
    brace = post.brace
    if not braced or brace is None:
        return Bending(parts, _moments(parts, 0.0), None, None)
    out, aft = vec.dot(brace.direction, post.outboard), vec.dot(brace.direction, post.fore_and_aft)
    size = math.hypot(out, aft)
    out, aft = out / size, aft / size
    reaction = sum(prop_reaction(out * side + aft * fore_aft, at, brace.along) for at, side, fore_aft in parts)
    held = (*parts, (brace.along, -reaction * out, -reaction * aft))
    return Bending(held, _moments(held, 0.0), _moments(parts, brace.along), reaction / size)


def _moments(parts: tuple[Part, ...], along: float) -> tuple[float, float]:
    side = fore_aft = 0.0
    for at, out, aft in parts:
        if at > along:
            side += out * (at - along)
            fore_aft += aft * (at - along)
    return side, fore_aft


def prop_reaction(load: float, at: float, prop: float) -> float:
    """Return what a rigid prop takes of a load on a cantilever.

    Source: propped cantilever by superposition of end-loaded cantilevers (any strength-of-materials text):
    R = P (3 a - b) / 2b for a load beyond the prop, R = P a^2 (3 b - a) / 2b^3 for one short of it.

    Args:
        load: square to the beam [N].
        at: distance a of the load from the fixed end [mm].
        prop: distance b of the prop [mm].
    """
    if at >= prop:
        return load * (3.0 * at - prop) / (2.0 * prop)
    return load * at**2 * (3.0 * prop - at) / (2.0 * prop**3)


def loaded_hole(post: PostFrame, bent: Bending) -> PostHole | None:
    """Return the lowest hole with a pull above it, where the drilled tube bends most; None where there is none."""
    top = max((at for at, _, _ in bent.parts), default=0.0)
    return min((hole for hole in post.holes if hole.along < top - 1e-9), key=lambda one: one.along, default=None)


def about_hole(hole: PostHole, moments: tuple[float, float]) -> tuple[float, float]:
    """Return moments in the plane of a hole's axis and square to it [N mm]; `moments` athwartships, fore-and-aft."""
    side, fore_aft = moments
    cos, sin = math.cos(hole.clocking), math.sin(hole.clocking)
    return fore_aft * cos + side * sin, side * cos - fore_aft * sin


def plastic_share(post: PostFrame, bent: Bending) -> float | None:
    """Return the worst section's moment over its plastic moment: 1 where the post folds; None for unknown strength.

    Args:
        post: the post.
        bent: its bending.
    """
    hole = loaded_hole(post, bent)
    return section_share(post, bent.worst, hole, (0.0, 0.0) if hole is None else bent.at(hole.along))


def section_share(post: PostFrame, worst: float, hole: PostHole | None, at_hole: tuple[float, float]) -> float | None:
    """Return the greatest moment of a post over its section's plastic moment; None for unknown strength.

    Args:
        post: the post.
        worst: greatest moment where the tube is whole [N mm].
        hole: the hole where the drilled tube bends most, if any.
        at_hole: moments there, athwartships and fore-and-aft [N mm].
    """
    if post.proof_stress is None:
        return None
    share = worst / (post.tube.plastic_modulus * post.proof_stress)
    if hole is None:
        return share
    net = net_section(post.tube, hole.diameter)
    return max(share, net.plastic_share(*about_hole(hole, at_hole), post.proof_stress))
