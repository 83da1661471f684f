"""The loads of a boat as they stand in check.json: forces in N, moments in N m, stresses in MPa."""

from __future__ import annotations

from typing_extensions import TypedDict


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


class PostLoadReport(TypedDict):
    """One post with its lines at rest."""

    id: str
    side_n: float
    fore_and_aft_n: float
    moment_at_foot_nm: float
    stress_mpa: float
    share_of_proof_stress: float | None
    state: str
    words: str


class OpenGateReport(TypedDict):
    """One gate post with its gate open, as it is and without its brace."""

    gate: str
    post: str
    moment_nm: float
    state: str
    moment_unbraced_nm: float
    state_unbraced: str
    hook_post: str | None


class FallReport(TypedDict):
    """A person's load across one span, and what gives first; posts held rigid, so an upper bound for the line."""

    run: str
    span: int
    place: str
    person: str
    force_n: float
    tension_n: float
    deflection_mm: float
    weakest_link: str | None
    share_of_weakest: float | None
    first_post_folds_at_n: float | None
    reached: bool | None


class LoadsReport(TypedDict):
    """All loads, ranked from the worst down, and what could not be worked out."""

    pushes: list[PushReport]
    posts: list[PostLoadReport]
    open_gates: list[OpenGateReport]
    falls: list[FallReport]
    not_known: list[str]
