"""Loads on a post: moments and stress at every section that may govern, and whether the post collapses.

Under athwartships bending the edges of a fore-and-aft hole lie on the neutral axis, so that the net section governs.
Under fore-and-aft bending they lie at the extreme fibre: the published stress concentration is given besides the
stress on the net section, marked where it is extrapolated beyond its chart.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom.frozen import frozen
from geom.mechanics.base_load import BaseLoad, base_load
from geom.mechanics.post_bending import (
    Bending,
    PinHole,
    PostFrame,
    Pull,
    Section,
    about_hole,
    bending,
    moments_at,
    resolved,
    section_stress,
    section_utilisation,
    sections,
    with_reaction,
)
from geom.mechanics.tension import RunTension
from geom.mechanics.tube import Concentration, bending_concentration
from geom.remark import Remark, Stated
from geom.units import Mm, MPa, N, NMm, Ratio, to_compare

State = Literal["elastic", "yields", "collapsed", "cannot tell"]


@frozen
class SectionLoad:
    """A section of a post under its lines: moments [N mm], stress on the net section [MPa], plastic utilisation.

    `place` is "foot", "pin hole", "brace" or "hole" with its id. At a hole `peak` is `concentration` times the stress
    on the gross section in the plane of the hole axis [MPa].
    """

    place: str
    along: Mm
    moment_side: NMm
    moment_fore_aft: NMm
    stress: MPa
    plastic_utilisation: Ratio | None
    concentration: Concentration | None
    peak: MPa | None

    @property
    def moment(self) -> NMm:
        """Resultant moment [N mm]."""
        return math.hypot(self.moment_side, self.moment_fore_aft)


@frozen
class PostLoad:
    """A post under its lines: forces, outboard and aft positive [N], moments at the foot [N mm], sections and state.

    `governing` is the section of maximum stress, `collapses_at` the one of maximum plastic utilisation.
    `yield_utilisation` is maximum stress over proof stress, `plastic_utilisation` is 1 where the post collapses; None
    where the strength of the tube is not known. `tensions` are the assumed set tensions of the lines.
    """

    id: str
    force_side: N
    force_fore_aft: N
    moment_side: NMm
    moment_fore_aft: NMm
    moment: NMm
    moment_at_brace: NMm | None
    brace_force: N | None
    sections: tuple[SectionLoad, ...]
    governing: SectionLoad
    collapses_at: SectionLoad | None
    yield_utilisation: Ratio | None
    plastic_utilisation: Ratio | None
    state: State
    proof_stress: MPa | None
    proof_source: Stated
    proof_stated: bool
    base: BaseLoad
    tensions: tuple[RunTension, ...]

    @property
    def stress(self) -> float:
        """Maximum bending stress of the post [MPa]."""
        return self.governing.stress

    def at(self, place: str) -> SectionLoad:
        """Return the section at a place.

        Raises:
            KeyError: the post has no such section under these lines.
        """
        for section in self.sections:
            if section.place == place:
                return section
        raise KeyError(place)

    @property
    def remark(self) -> Remark:
        """Moments, stress and plastic utilisation, for a report."""
        at = self.governing
        bends = Remark("post.bends", foot_nmm=self.moment, stress_mpa=at.stress, place=at.place, moment_nmm=at.moment)
        if self.proof_stress is None or self.plastic_utilisation is None:
            return Remark("post.no_proof_stress", bends=bends)
        return Remark(
            "post.collapsed" if self.plastic_utilisation >= 1.0 else "post.stands", bends=bends,
            proof_mpa=self.proof_stress, source=self.proof_source, share=self.plastic_utilisation,
        )  # fmt: skip


def stresses(post: PostFrame, pulls: tuple[Pull, ...], braced: bool = True) -> dict[str, float]:
    """Return the bending stress at every section of a post that may govern, by its place [MPa], see `post_load`.

    Args:
        post: the post.
        pulls: forces of the lines.
        braced: whether its brace, if any, counts.
    """
    parts = with_reaction(post, *resolved(post, pulls), braced=braced)
    top = max([along for along, _, _ in parts], default=0.0)
    return {
        section.place: section_stress(post.tube, section, moments_at(parts, section.along))
        for section in sections(post, top, braced)
    }


def governing_place(stress: dict[str, float]) -> str:
    """Return the place of the maximum stress [MPa], the first of equal ones."""
    return max(stress, key=lambda place: to_compare(stress[place]))


def post_load(
    post: PostFrame, pulls: tuple[Pull, ...], braced: bool = True, tensions: tuple[RunTension, ...] = ()
) -> PostLoad:
    """Return a post under the pulls of its lines.

    The foot is fixed and a brace is rigid: both are upper bounds of the moments there.

    Args:
        post: the post.
        pulls: forces of the lines.
        braced: whether its brace, if any, counts.
        tensions: assumed set tensions of the lines, for the report.
    """
    bent = bending(post, pulls, braced)
    found = tuple(_section_load(post, section, bent) for section in sections(post, bent.top, braced))
    governing = max(found, key=lambda one: to_compare(one.stress))
    nearest = (
        None if post.proof_stress is None else max(found, key=lambda one: to_compare(one.plastic_utilisation or 0.0))
    )
    yield_utilisation = None if post.proof_stress is None else governing.stress / post.proof_stress
    plastic = None if nearest is None else nearest.plastic_utilisation
    return PostLoad(
        id=post.id,
        force_side=math.fsum(part[1] for part in bent.parts[: len(pulls)]),
        force_fore_aft=math.fsum(part[2] for part in bent.parts[: len(pulls)]),
        moment_side=bent.foot[0],
        moment_fore_aft=bent.foot[1],
        moment=math.hypot(*bent.foot),
        moment_at_brace=math.hypot(*bent.at_brace) if bent.at_brace is not None else None,
        brace_force=bent.brace_force,
        sections=found,
        governing=governing,
        collapses_at=nearest,
        yield_utilisation=yield_utilisation,
        plastic_utilisation=plastic,
        state=_state(yield_utilisation, plastic),
        proof_stress=post.proof_stress,
        proof_source=post.proof_source,
        proof_stated=post.proof_stated,
        base=base_load(post, bent),
        tensions=tensions,
    )


def _state(yield_utilisation: float | None, plastic_utilisation: float | None) -> State:
    if yield_utilisation is None or plastic_utilisation is None:
        return "cannot tell"
    if plastic_utilisation >= 1.0:
        return "collapsed"
    return "yields" if yield_utilisation > 1.0 else "elastic"


def _section_load(post: PostFrame, section: Section, bent: Bending) -> SectionLoad:
    moments = bent.at(section.along)
    proof = post.proof_stress
    concentration = peak = None
    if section.hole is not None:
        concentration = bending_concentration(post.tube, section.hole.diameter)
        hole = section.hole
        in_plane = math.hypot(*moments) if isinstance(hole, PinHole) else abs(about_hole(hole, moments)[0])
        peak = concentration.factor * in_plane / post.tube.modulus
    return SectionLoad(
        place=section.place,
        along=section.along,
        moment_side=moments[0],
        moment_fore_aft=moments[1],
        stress=section_stress(post.tube, section, moments),
        plastic_utilisation=None if proof is None else section_utilisation(post.tube, section, moments, proof),
        concentration=concentration,
        peak=peak,
    )


def ranked(posts: tuple[PostLoad, ...]) -> tuple[PostLoad, ...]:
    """Return posts from the most to the least loaded: by plastic utilisation, else by stress."""
    return tuple(
        sorted(posts, key=lambda one: (-to_compare(one.plastic_utilisation or 0.0), -to_compare(one.stress), one.id))
    )


@dataclass(frozen=True)
class HookPost:
    """The gate post that should carry the hook; `either` is True where the other will do as well."""

    post: str
    either: bool


# Two gate posts whose worst utilisations differ by no more than this ratio are alike.
_ALIKE = 0.01


def hook_post(first: PostLoad, second: PostLoad) -> HookPost | None:
    """Return which gate post should carry the hook: the one with more reserve while the gate is open.

    The post with the hook carries the closing force besides the pull of its run. Reserve is by the greater of the
    utilisations at yield and at plastic moment. None where the strength of the tubes is not known.
    Source: statics; common practice, no source.
    """
    worst = []
    for post in (first, second):
        if post.yield_utilisation is None or post.plastic_utilisation is None:
            return None
        worst.append((to_compare(max(post.yield_utilisation, post.plastic_utilisation)), post.id))
    (low, name), (high, _) = sorted(worst)
    alike = high <= low * (1.0 + _ALIKE)
    return HookPost(name, alike)
