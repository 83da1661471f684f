"""What the lines do to a post: moment at its foot and at its lower hole, stress there, and whether it folds.

A side load bends the tube athwartships: it meets a fore-and-aft hole's exits on the neutral axis, so the
net section tells. A fore-and-aft load meets them at the extreme fibre: there the published stress
concentration applies, inside its chart's range only.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom import vec
from geom.errors import OutsideTableError
from geom.runs.tube import TubeSection, bending_concentration, net_section
from geom.vec import Vec

State = Literal["elastic", "yields", "folded", "cannot tell"]


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
    proof_source: str
    brace: Prop | None = None


@dataclass(frozen=True)
class Prop:
    """A brace: how far up the tube it holds [mm], and the unit direction from its foot to the tube there."""

    along: float
    direction: Vec


@dataclass(frozen=True)
class HoleStress:
    """Stress at a hole below the top one: moments there [N mm], net section's stress, peak by concentration [MPa].

    `peak` is None outside the chart; `note` says so.
    """

    along: float
    moment_side: float
    moment_fore_aft: float
    net_stress: float
    concentration: float | None
    peak: float | None
    plastic_share: float | None
    note: str


@dataclass(frozen=True)
class PostLoad:
    """A post under its lines. Forces [N] outboard and aft positive, moments [N mm] at the foot.

    `stress` [MPa] is at the foot, or at the brace where that is more; `yield_share` is it over the proof
    stress, `plastic_share` the worst section's moment over its plastic moment: 1 is where the post folds.
    """

    id: str
    force_side: float
    force_fore_aft: float
    moment_side: float
    moment_fore_aft: float
    moment: float
    moment_at_brace: float | None
    brace_force: float | None
    stress: float
    yield_share: float | None
    plastic_share: float | None
    hole: HoleStress | None
    state: State
    words: str


@dataclass(frozen=True)
class Pull:
    """A force on a post at a distance along its tube [mm]; `of` names the line."""

    along: float
    force: Vec
    of: str


def post_load(post: PostFrame, pulls: tuple[Pull, ...], braced: bool = True) -> PostLoad:
    """Return what forces on a post do to it.

    The foot is held fast, a brace does not give: both are upper bounds of what the tube takes there.

    Args:
        post: the post.
        pulls: forces of the lines.
        braced: whether its brace, if any, counts.
    """
    side = sum(vec.dot(pull.force, post.outboard) for pull in pulls)
    fore_aft = sum(vec.dot(pull.force, post.fore_and_aft) for pull in pulls)
    at_foot = _moments(post, pulls, 0.0)
    at_brace, brace_force, foot = None, None, at_foot
    if braced and post.brace is not None:
        foot, at_brace, brace_force = _propped(post, pulls, post.brace)
    moment = math.hypot(*foot)
    worst = max(moment, math.hypot(*at_brace)) if at_brace is not None else moment
    stress = worst / post.tube.modulus
    hole = _lower_hole(post, pulls, braced)
    shares: list[float] = []
    if post.proof_stress is not None:
        shares.append(worst / (post.tube.plastic_modulus * post.proof_stress))
        if hole is not None and hole.plastic_share is not None:
            shares.append(hole.plastic_share)
    plastic = max(shares, default=None)
    yield_share = stress / post.proof_stress if post.proof_stress is not None else None
    return PostLoad(
        id=post.id,
        force_side=side,
        force_fore_aft=fore_aft,
        moment_side=foot[0],
        moment_fore_aft=foot[1],
        moment=moment,
        moment_at_brace=math.hypot(*at_brace) if at_brace is not None else None,
        brace_force=brace_force,
        stress=stress,
        yield_share=yield_share,
        plastic_share=plastic,
        hole=hole,
        state=_state(post, hole, yield_share, plastic),
        words=_words(post, moment, worst, stress, plastic),
    )


def _state(post: PostFrame, hole: HoleStress | None, yield_share: float | None, plastic: float | None) -> State:
    if post.proof_stress is None or plastic is None or yield_share is None:
        return "cannot tell"
    if plastic >= 1.0:
        return "folded"
    over_at_hole = hole is not None and hole.net_stress > post.proof_stress
    return "yields" if yield_share > 1.0 or over_at_hole else "elastic"


def _words(post: PostFrame, moment: float, worst: float, stress: float, plastic: float | None) -> str:
    at_brace = f", {worst / 1e3:.0f} N m at the brace" if worst > moment else ""
    text = f"{moment / 1e3:.0f} N m at the foot{at_brace}, {stress:.0f} MPa"
    if post.proof_stress is None or plastic is None:
        return f"{text}; the tube's proof stress is not known: cannot tell"
    text += f" against {post.proof_stress:.0f} MPa proof stress ({post.proof_source})"
    if plastic >= 1.0:
        return f"{text}: folded, {plastic:.2f} times the plastic moment"
    return f"{text}, {plastic:.2f} of the plastic moment"


def _moments(post: PostFrame, pulls: tuple[Pull, ...], along: float) -> tuple[float, float]:
    """Return the bending moments at a distance along the tube: athwartships and fore-and-aft."""
    side = sum(vec.dot(p.force, post.outboard) * (p.along - along) for p in pulls if p.along > along)
    fore_aft = sum(vec.dot(p.force, post.fore_and_aft) * (p.along - along) for p in pulls if p.along > along)
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


def _prop_plane(post: PostFrame, brace: Prop) -> tuple[Vec, float]:
    """Return the direction square to the tube in which a brace holds it, and its share of the brace's direction."""
    across = vec.square_to(brace.direction, post.axis)
    size = vec.norm(across)
    return vec.scale(across, 1.0 / size), size


def _prop_pull(post: PostFrame, pulls: tuple[Pull, ...], brace: Prop) -> tuple[Pull, float]:
    plane, size = _prop_plane(post, brace)
    reaction = sum(prop_reaction(vec.dot(pull.force, plane), pull.along, brace.along) for pull in pulls)
    return Pull(brace.along, vec.scale(plane, -reaction), "brace"), reaction / size


def _propped(
    post: PostFrame, pulls: tuple[Pull, ...], brace: Prop
) -> tuple[tuple[float, float], tuple[float, float], float]:
    """Return moments at the foot and at the brace, and the force along the brace (+ pulls its foot, - presses)."""
    held, force = _prop_pull(post, pulls, brace)
    return _moments(post, (*pulls, held), 0.0), _moments(post, pulls, brace.along), force


def _lower_hole(post: PostFrame, pulls: tuple[Pull, ...], braced: bool) -> HoleStress | None:
    """Return the stress at the lowest hole that has a pull above it."""
    holes = [hole for hole in post.holes if any(pull.along > hole.along + 1e-9 for pull in pulls)]
    if not holes:
        return None
    hole = min(holes, key=lambda one: one.along)
    if braced and post.brace is not None:
        pulls = (*pulls, _prop_pull(post, pulls, post.brace)[0])
    side, fore_aft = _moments(post, pulls, hole.along)
    cos, sin = math.cos(hole.clocking), math.sin(hole.clocking)
    fibre, neutral = fore_aft * cos + side * sin, side * cos - fore_aft * sin
    net = net_section(post.tube, hole.diameter)
    share = net.plastic_share(fibre, neutral, post.proof_stress) if post.proof_stress is not None else None
    try:
        concentration = bending_concentration(post.tube, hole.diameter)
        peak, note = concentration * abs(fibre) / post.tube.modulus, "stress concentration inside the chart"
    except OutsideTableError as error:
        concentration, peak, note = None, None, f"{error}: net section only"
    return HoleStress(hole.along, side, fore_aft, net.stress(fibre, neutral), concentration, peak, share, note)


def ranked(posts: tuple[PostLoad, ...]) -> tuple[PostLoad, ...]:
    """Return posts from the worst to the least loaded: by share of the plastic moment, else by moment."""
    return tuple(sorted(posts, key=lambda one: (-(one.plastic_share or 0.0), -one.moment, one.id)))


def hook_post(first: PostLoad, second: PostLoad) -> str | None:
    """Return which gate post should carry the hook: the one with more in reserve with its gate open.

    Own reasoning by statics: the hook's post takes the closing effort on top of its run's pull. None where
    the tubes' strength is not known.
    """
    if first.plastic_share is None or second.plastic_share is None:
        return None
    return first.id if first.plastic_share <= second.plastic_share else second.id
