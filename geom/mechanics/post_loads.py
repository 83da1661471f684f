"""What the lines do to a post: moments and stress at every section that may govern, and whether it collapses.

A side load bends the tube athwartships: it meets a fore-and-aft hole's exits on the neutral axis, so the
net section tells. A fore-and-aft load meets them at the extreme fibre: there the published stress
concentration stands beside the net section's stress, and says where its chart does not go so far.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom.mechanics.base_load import BaseLoad, base_load
from geom.mechanics.post_bending import (
    Bending,
    PostFrame,
    Pull,
    Section,
    about_hole,
    bending,
    section_share,
    section_stress,
    sections,
)
from geom.mechanics.run_line import AssumedTension
from geom.mechanics.tube import Concentration, bending_concentration
from geom.remark import Remark, Stated
from geom.units import Mm, MPa, N, NMm, Ratio

State = Literal["elastic", "yields", "collapsed", "cannot tell"]


@dataclass(frozen=True)
class SectionLoad:
    """A section of a post under its lines: moments [N mm], net stress [MPa], share of its plastic moment.

    `place` is "foot", "brace" or "hole" with its id. At a hole `concentration` times the gross section's stress
    in the plane of the hole's axis is the `peak` at its edge [MPa].
    """

    place: str
    along: Mm
    moment_side: NMm
    moment_fore_aft: NMm
    stress: MPa
    plastic_share: Ratio | None
    concentration: Concentration | None
    peak: MPa | None

    @property
    def moment(self) -> NMm:
        """The moment in the plane where the section bends [N mm]."""
        return math.hypot(self.moment_side, self.moment_fore_aft)


@dataclass(frozen=True)
class PostLoad:
    """A post under its lines. Forces [N] outboard and aft positive, `moment_side` and so on at the foot [N mm].

    `governing` is the section with the greatest stress, `collapses_at` the one nearest to its plastic moment.
    `yield_share` is the greatest stress over the proof stress, `plastic_share` 1 where the post collapses; None
    where the tube's strength is not known. `tensions` are what the lines were taken to be set to.
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
    yield_share: Ratio | None
    plastic_share: Ratio | None
    state: State
    proof_stress: MPa | None
    proof_source: Stated
    proof_stated: bool
    base: BaseLoad
    tensions: tuple[AssumedTension, ...]

    @property
    def stress(self) -> float:
        """The greatest bending stress of the post [MPa]."""
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
        """Moments, stress and the share of the plastic moment, for a report."""
        at = self.governing
        bends = Remark("post.bends", foot_nmm=self.moment, stress_mpa=at.stress, place=at.place, moment_nmm=at.moment)
        if self.proof_stress is None or self.plastic_share is None:
            return Remark("post.no_proof_stress", bends=bends)
        return Remark(
            "post.collapsed" if self.plastic_share >= 1.0 else "post.stands", bends=bends,
            proof_mpa=self.proof_stress, source=self.proof_source, share=self.plastic_share,
        )  # fmt: skip


def post_load(
    post: PostFrame, pulls: tuple[Pull, ...], braced: bool = True, tensions: tuple[AssumedTension, ...] = ()
) -> PostLoad:
    """Return what forces on a post do to it.

    The foot is held fast, a brace does not give: both are upper bounds of what the tube takes there.

    Args:
        post: the post.
        pulls: forces of the lines.
        braced: whether its brace, if any, counts.
        tensions: what the lines were taken to be set to, to be told with the result.
    """
    bent = bending(post, pulls, braced)
    found = tuple(_section_load(post, section, bent) for section in sections(post, bent.top, braced))
    governing = max(found, key=lambda one: one.stress)
    nearest = None if post.proof_stress is None else max(found, key=lambda one: one.plastic_share or 0.0)
    yield_share = None if post.proof_stress is None else governing.stress / post.proof_stress
    plastic = None if nearest is None else nearest.plastic_share
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
        yield_share=yield_share,
        plastic_share=plastic,
        state=_state(yield_share, plastic),
        proof_stress=post.proof_stress,
        proof_source=post.proof_source,
        proof_stated=post.proof_stated,
        base=base_load(post, bent),
        tensions=tensions,
    )


def _state(yield_share: float | None, plastic_share: float | None) -> State:
    if yield_share is None or plastic_share is None:
        return "cannot tell"
    if plastic_share >= 1.0:
        return "collapsed"
    return "yields" if yield_share > 1.0 else "elastic"


def _section_load(post: PostFrame, section: Section, bent: Bending) -> SectionLoad:
    moments = bent.at(section.along)
    proof = post.proof_stress
    concentration = peak = None
    if section.hole is not None:
        concentration = bending_concentration(post.tube, section.hole.diameter)
        peak = concentration.factor * abs(about_hole(section.hole, moments)[0]) / post.tube.modulus
    return SectionLoad(
        place=section.place,
        along=section.along,
        moment_side=moments[0],
        moment_fore_aft=moments[1],
        stress=section_stress(post.tube, section, moments),
        plastic_share=None if proof is None else section_share(post.tube, section, moments, proof),
        concentration=concentration,
        peak=peak,
    )


def ranked(posts: tuple[PostLoad, ...]) -> tuple[PostLoad, ...]:
    """Return posts from the worst to the least loaded: by share of the plastic moment, else by stress."""
    return tuple(sorted(posts, key=lambda one: (-(one.plastic_share or 0.0), -one.stress, one.id)))


def hook_post(first: PostLoad, second: PostLoad) -> str | None:
    """Return which gate post should carry the hook: the one with more in reserve with its gate open.

    Own reasoning by statics: the hook's post takes the closing effort on top of its run's pull. None where
    the tubes' strength is not known.
    """
    if first.plastic_share is None or second.plastic_share is None:
        return None
    return first.id if first.plastic_share <= second.plastic_share else second.id
