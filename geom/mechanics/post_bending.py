"""A post as a tube fixed at its foot, with or without a brace: bending moments from the pulls of its lines.

Only bending is considered: the axial stress from brace and lines is a few per cent of the bending stress.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geom import vec
from geom.boat.model import BasePlate
from geom.frozen import frozen
from geom.mechanics.tube import TubeSection, net_section
from geom.remark import Stated
from geom.vec import Vec


@frozen
class PostHole:
    """A hole of a post: id, height along the tube [mm], diameter [mm] and clocking [rad].

    `clocking` is measured, planned, or that of the line; 0 is fore-and-aft.
    """

    id: str
    along: float
    diameter: float
    clocking: float


@dataclass(frozen=True)
class PinHole:
    """The hole through a tube for the pin of its socket: height along the tube and diameter [mm].

    Its direction is not stated: its section is taken in the direction that is worst for it.
    """

    along: float
    diameter: float


@frozen
class PostFrame:
    """A post for load analysis: foot [mm], unit directions of axis and frame, tube, holes, strength, brace and base.

    Proof stress and elastic modulus are in MPa, None where not known. `proof_stated` is True where the boat file states
    the proof stress; else it is the minimum of a standard for the grade. `pin` is the hole through the tube for the pin
    of its socket.
    """

    id: str
    foot: Vec
    axis: Vec
    fore_and_aft: Vec
    outboard: Vec
    tube: TubeSection
    holes: tuple[PostHole, ...]
    proof_stress: float | None
    proof_source: Stated
    proof_stated: bool
    elastic_modulus: float | None
    brace: Prop | None
    base: BasePlate | None
    pin: PinHole | None = None


@dataclass(frozen=True)
class Prop:
    """A brace: its height along the tube [mm], and the unit direction from its foot to the tube."""

    along: float
    direction: Vec


@frozen
class Pull:
    """A force on a post [N] at a height along its tube [mm]; `of` is the run."""

    along: float
    force: Vec
    of: str


# A pull resolved: height along the tube [mm], outboard and aft components [N].
Part = tuple[float, float, float]


@frozen
class Bending:
    """Moments in a post [N mm], athwartships and fore-and-aft: at the foot, and at the brace where it has one.

    `parts` are the resolved pulls, including the reaction of the brace. `brace_force` is the axial force in the brace,
    tension + [N]. `pull_off` is the force on the base along the tube, uplift + [N].
    """

    parts: tuple[Part, ...]
    foot: tuple[float, float]
    at_brace: tuple[float, float] | None
    brace_force: float | None
    pull_off: float

    @property
    def top(self) -> float:
        """Height of the uppermost force along the tube [mm]."""
        return max((at for at, _, _ in self.parts), default=0.0)

    def at(self, along: float) -> tuple[float, float]:
        """Return the moments [N mm] at a height along the tube [mm]."""
        return moments_at(self.parts, along)


def bending(post: PostFrame, pulls: tuple[Pull, ...], braced: bool = True) -> Bending:
    """Return the bending of a post with a fixed foot and a rigid brace, if any.

    Args:
        post: the post.
        pulls: forces of the lines.
        braced: whether its brace counts.
    """
    parts = resolved(post, pulls)
    pull_off = math.fsum([vec.dot(pull.force, post.axis) for pull in pulls])
    brace = post.brace
    if not braced or brace is None:
        return Bending(parts, moments_at(parts, 0.0), None, None, pull_off)
    forces, force = _propped(post, brace, parts)
    pull_off -= force * vec.dot(brace.direction, post.axis)
    return Bending(forces, moments_at(forces, 0.0), moments_at(parts, brace.along), force, pull_off)


def resolved(post: PostFrame, pulls: tuple[Pull, ...]) -> tuple[Part, ...]:
    """Return pulls resolved outboard and aft."""
    return tuple(
        [(pull.along, vec.dot(pull.force, post.outboard), vec.dot(pull.force, post.fore_and_aft)) for pull in pulls]
    )


def with_reaction(post: PostFrame, *parts: Part, braced: bool = True) -> tuple[Part, ...]:
    """Return resolved pulls with the reaction of the brace to them, where the post has one.

    Args:
        post: the post.
        *parts: the resolved pulls.
        braced: whether its brace counts.
    """
    return _propped(post, post.brace, parts)[0] if braced and post.brace is not None else parts


def _propped(post: PostFrame, brace: Prop, parts: tuple[Part, ...]) -> tuple[tuple[Part, ...], float]:
    """Return parts with the reaction of a brace to them, and the axial force in it, tension + [N]."""
    out, aft = vec.dot(brace.direction, post.outboard), vec.dot(brace.direction, post.fore_and_aft)
    size = math.hypot(out, aft)
    out, aft = out / size, aft / size
    reaction = math.fsum([prop_reaction(out * side + aft * fore_aft, at, brace.along) for at, side, fore_aft in parts])
    return (*parts, (brace.along, -reaction * out, -reaction * aft)), reaction / size


def moments_at(parts: tuple[Part, ...], along: float) -> tuple[float, float]:
    """Return the moments of resolved pulls, athwartships and fore-and-aft [N mm].

    Args:
        parts: the pulls with the reaction of the brace.
        along: height along the tube [mm].
    """
    side = fore_aft = 0.0
    for at, out, aft in parts:
        if at > along:
            side += out * (at - along)
            fore_aft += aft * (at - along)
    return side, fore_aft


def prop_reaction(load: float, at: float, prop: float) -> float:
    """Return the reaction of a rigid prop to a load on a cantilever [N].

    Source: propped cantilever by superposition of end-loaded cantilevers (any strength-of-materials text):
    R = P (3 a - b) / 2b for a load outside the prop, R = P a^2 (3 b - a) / 2b^3 for one inside it.

    Args:
        load: square to the beam [N].
        at: distance a of the load from the fixed end [mm].
        prop: distance b of the prop [mm].
    """
    if at >= prop:
        return load * (3.0 * at - prop) / (2.0 * prop)
    return load * at**2 * (3.0 * prop - at) / (2.0 * prop**3)


@frozen
class Section:
    """A section of a post to be checked, and its height along the tube [mm].

    `place` is "foot", "pin hole", "brace", or "hole" with its id.
    """

    place: str
    along: float
    hole: PostHole | PinHole | None


def sections(post: PostFrame, top: float, braced: bool = True) -> tuple[Section, ...]:
    """Return the sections of a post that may govern: foot, pin hole, brace, and every hole below the uppermost pull.

    The tube is taken as bent at the pin hole as if its socket began at the deck, which is an upper bound.

    Args:
        post: the post.
        top: height of the uppermost pull along the tube [mm].
        braced: whether its brace counts.
    """
    found = [Section("foot", 0.0, None)]
    if post.pin is not None:
        found.append(Section("pin hole", post.pin.along, post.pin))
    if braced and post.brace is not None:
        found.append(Section("brace", post.brace.along, None))
    found += [Section(f"hole {hole.id}", hole.along, hole) for hole in post.holes if hole.along < top - 1e-9]
    return tuple(found)


def section_stress(tube: TubeSection, section: Section, moments: tuple[float, float]) -> float:
    """Return the maximum bending stress at a section, on the net section at a hole [MPa].

    Args:
        tube: the post's tube.
        section: the section.
        moments: at the section, athwartships and fore-and-aft [N mm].
    """
    hole = section.hole
    if hole is None:
        return math.hypot(*moments) / tube.modulus
    net = net_section(tube, hole.diameter)
    if isinstance(hole, PinHole):
        return math.hypot(*moments) * net.worst_stress
    return net.stress(*about_hole(hole, moments))


def section_utilisation(
    tube: TubeSection, section: Section, moments: tuple[float, float], proof_stress: float
) -> float:
    """Return the ratio of the moment at a section to its plastic moment: 1 where the post collapses.

    Args:
        tube: the post's tube.
        section: the section.
        moments: at the section, athwartships and fore-and-aft [N mm].
        proof_stress: of the tube [MPa].
    """
    hole = section.hole
    if hole is None:
        return math.hypot(*moments) / (tube.plastic_modulus * proof_stress)
    net = net_section(tube, hole.diameter)
    if isinstance(hole, PinHole):
        return math.hypot(*moments) * net.worst_plastic / proof_stress
    return net.plastic_utilisation(*about_hole(hole, moments), proof_stress)


def about_hole(hole: PostHole, moments: tuple[float, float]) -> tuple[float, float]:
    """Return moments in the plane of a hole axis and square to it [N mm], from athwartships and fore-and-aft."""
    side, fore_aft = moments
    cos, sin = math.cos(hole.clocking), math.sin(hole.clocking)
    return fore_aft * cos + side * sin, side * cos - fore_aft * sin
