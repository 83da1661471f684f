"""The loads of a boat as they stand in check.json: forces in N, moments in N m, stresses in MPa."""

from __future__ import annotations

from typing_extensions import TypedDict


class TensionReport(TypedDict):
    """What a load takes a run to be set to; `stated` where the boat file says so."""

    run: str
    set_tension_n: float
    stated: bool


class PushReport(TypedDict):
    """One span's push test at the rule's force: tensions that would do, and the sag to expect."""

    run: str
    span: int
    length_mm: float
    while_loaded_n: float
    needed_lower_n: float | None
    needed_upper_n: float | None
    slack_that_passes_mm: float | None
    verdict: str
    expected_free_mm: float | None
    expected_locked_mm: float | None


class SectionReport(TypedDict):
    """The section of a post with the greatest stress: "foot", "brace" or "hole" with its id, net of the hole.

    `peak_stress_mpa` is by the stress concentration; `stress_concentration_extrapolated` where its chart ends before.
    """

    governing_place: str
    moment_nm: float
    stress_mpa: float
    share_of_proof_stress: float | None
    share_of_plastic_moment: float | None
    state: str
    stress_concentration: float | None
    stress_concentration_extrapolated: bool | None
    peak_stress_mpa: float | None


class AnchorageReport(TypedDict):
    """What a post's brace and base carry; None where not determined, with the reason in `_missing`."""

    brace_n: float | None
    pull_off_deck_n: float
    bolt_tension_n: float | None
    bolt_missing: str | None
    weld_stress_mpa: float | None
    weld_missing: str | None


class PostLoadReport(SectionReport, AnchorageReport):
    """One post with its lines at rest and all gates shut."""

    id: str
    side_n: float
    fore_and_aft_n: float
    moment_at_foot_nm: float
    words: str
    set_tensions: list[TensionReport]


class OpenGateReport(SectionReport, AnchorageReport):
    """One gate post with its gate open, as it is and without its brace; moments and stresses where they govern."""

    gate: str
    post: str
    moment_at_foot_nm: float
    governing_place_unbraced: str
    moment_unbraced_nm: float
    stress_unbraced_mpa: float
    share_of_proof_stress_unbraced: float | None
    state_unbraced: str
    hook_post: str | None
    set_tensions: list[TensionReport]


class FallReport(TypedDict):
    """A person's load across one span, and what gives first.

    `tension_n` is the greatest on rigid posts at the greatest stiffness of the line, `deflection_mm` the greatest on
    rigid posts at the least one. A `lower` push is on rigid posts, a `likely` one on posts that bend on their braces.
    """

    run: str
    span: int
    place: str
    person: str
    force_n: float
    tension_n: float
    deflection_mm: float
    weakest_link: str | None
    share_of_weakest: float | None
    first_post_yields_at_lower_n: float | None
    first_post_yields_at_likely_n: float | None
    first_post_collapses_at_lower_n: float | None
    first_post_collapses_at_likely_n: float | None
    first_post_to_collapse_lower: str | None
    first_post_to_collapse_likely: str | None
    reached: bool | None
    set_tensions: list[TensionReport]


class RailEyeReport(TypedDict):
    """What a run does to a rail eye at rest and under the worst of the falls, posts and ends rigid."""

    eye: str
    run: str
    at_rest_n: float
    worst_n: float
    worst_fall: str
    set_tensions: list[TensionReport]


class LoadsReport(TypedDict):
    """All loads, ranked from the worst down, and what could not be worked out."""

    set_tensions: list[TensionReport]
    pushes: list[PushReport]
    posts: list[PostLoadReport]
    open_gates: list[OpenGateReport]
    falls: list[FallReport]
    rail_eyes: list[RailEyeReport]
    not_known: list[str]
