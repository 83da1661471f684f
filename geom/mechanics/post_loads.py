"""What the lines do to a post: moment at its foot and at its lower hole, stress there, and whether it folds.

A side load bends the tube athwartships: it meets a fore-and-aft hole's exits on the neutral axis, so the
net section tells. A fore-and-aft load meets them at the extreme fibre: there the published stress
concentration applies, inside its chart's range only.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geom.errors import OutsideTableError
from geom.mechanics.post_bending import Bending, PostFrame, Pull, about_hole, bending, loaded_hole, plastic_share
from geom.mechanics.tube import bending_concentration, net_section
from geom.units import Mm, MPa, N, NMm, Ratio

State = Literal["elastic", "yields", "collapses", "cannot tell"]


@dataclass(frozen=True)
class HoleStress:
    """Stress at a hole below the top one: moments there [N mm], net section's stress, peak by concentration [MPa].

    `peak` is None outside the chart; `note` says so.
    """

    along: Mm
    moment_side: NMm
    moment_fore_aft: NMm
    net_stress: MPa
    concentration: Ratio | None
    peak: MPa | None
    note: str


@dataclass(frozen=True)
class PostLoad:
    """A post under its lines. Forces [N] outboard and aft positive, moments [N mm] at the foot.

    `stress` [MPa] is at the foot, or at the brace where that is more; `yield_share` is it over the proof
    stress, `plastic_share` the worst section's moment over its plastic moment: 1 is where the post folds.
    """

    id: str
    force_side: N
    force_fore_aft: N
    moment_side: NMm
    moment_fore_aft: NMm
    moment: NMm
    moment_at_brace: NMm | None
    brace_force: N | None
    stress: MPa
    yield_share: Ratio | None
    plastic_share: Ratio | None
    hole: HoleStress | None
    state: State
    proof_stress: MPa | None
    proof_source: str

    @property
    def words(self) -> str:
        """One line for a report."""
        at_brace = self.moment_at_brace or 0.0
        brace = f", {at_brace / 1e3:.0f} N m at the brace" if at_brace > self.moment else ""
        text = f"{self.moment / 1e3:.0f} N m at the foot{brace}, {self.stress:.0f} MPa"
        if self.proof_stress is None or self.plastic_share is None:
            return f"{text}; the tube's proof stress is not known: cannot tell"
        text += f" against {self.proof_stress:.0f} MPa proof stress ({self.proof_source})"
        if self.plastic_share >= 1.0:
            return f"{text}: folded, {self.plastic_share:.2f} times the plastic moment"
        return f"{text}, {self.plastic_share:.2f} of the plastic moment"


def post_load(post: PostFrame, pulls: tuple[Pull, ...], braced: bool = True) -> PostLoad:
    """Return what forces on a post do to it.

    The foot is held fast, a brace does not give: both are upper bounds of what the tube takes there.

    Args:
        post: the post.
        pulls: forces of the lines.
        braced: whether its brace, if any, counts.
    """
    bent = bending(post, pulls, braced)
    hole = _hole_stress(post, bent)
    stress = bent.worst / post.tube.modulus
    share = plastic_share(post, bent)
    yield_share = stress / post.proof_stress if post.proof_stress is not None else None
    return PostLoad(
        id=post.id,
        force_side=sum(part[1] for part in bent.parts[: len(pulls)]),
        force_fore_aft=sum(part[2] for part in bent.parts[: len(pulls)]),
        moment_side=bent.foot[0],
        moment_fore_aft=bent.foot[1],
        moment=math.hypot(*bent.foot),
        moment_at_brace=math.hypot(*bent.at_brace) if bent.at_brace is not None else None,
        brace_force=bent.brace_force,
        stress=stress,
        yield_share=yield_share,
        plastic_share=share,
        hole=hole,
        state=_state(post, hole, yield_share, share),
        proof_stress=post.proof_stress,
        proof_source=post.proof_source,
    )


def _state(post: PostFrame, hole: HoleStress | None, yield_share: float | None, plastic: float | None) -> State:
    if post.proof_stress is None or plastic is None or yield_share is None:
        return "cannot tell"
    if plastic >= 1.0:
        return "collapses"
    over_at_hole = hole is not None and hole.net_stress > post.proof_stress
    return "yields" if yield_share > 1.0 or over_at_hole else "elastic"


def _hole_stress(post: PostFrame, bent: Bending) -> HoleStress | None:
    hole = loaded_hole(post, bent)
    if hole is None:
        return None
    side, fore_aft = bent.at(hole.along)
    fibre, neutral = about_hole(hole, (side, fore_aft))
    net = net_section(post.tube, hole.diameter).stress(fibre, neutral)
    try:
        concentration = bending_concentration(post.tube, hole.diameter)
    except OutsideTableError as error:
        return HoleStress(hole.along, side, fore_aft, net, None, None, f"{error}: net section only")
    peak = concentration * abs(fibre) / post.tube.modulus
    return HoleStress(hole.along, side, fore_aft, net, concentration, peak, "stress concentration inside the chart")


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
