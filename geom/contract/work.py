"""The line work of one run as it stands in check.json."""

from __future__ import annotations

from typing_extensions import TypedDict


class TermReport(TypedDict):
    """One term of a cut length, with its formula."""

    name: str
    formula: str
    value_mm: float


class StationReport(TypedDict):
    """One mark along the finished line, from one zero."""

    at_mm: float
    what: str
    place: str


class ThreadingReport(TypedDict):
    """Which end is made where, how the line is led, and what is slid on before it can no longer be."""

    bench_ends: list[str]
    in_place_end: str | None
    direction: str
    from_point: str
    to_point: str
    possible: bool
    reason: str
    slide_on: list[str]
    steps: list[str]
    tools: list[str]
    captive: list[str]


class BuryReport(TypedDict):
    """Whether the buries of both ends find room in the run."""

    needs_mm: float
    apart_mm: float | None
    fits: bool


class BudgetReport(TypedDict):
    """The combined standard uncertainty of the made line against what the fittings can take up."""

    combined_mm: float
    bias_mm: float
    shorten_mm: float | None
    lengthen_mm: float | None
    wants_shorten_mm: float
    wants_lengthen_mm: float
    verdict: str
    text: str


class SettingReport(TypedDict):
    """One fitting's opening while the line is marked."""

    end: str
    fitting: str
    family: str
    min_mm: float | None
    planned_mm: float
    max_mm: float | None
    thread_showing_mm: float | None
    thread: str | None
    hand: str | None


class WorkReport(TypedDict):
    """The line work of a run; `refused` says why a line must not be cut, null where nothing speaks against it."""

    marked_mm: float
    cut_min_mm: float | None
    cut_max_mm: float | None
    terms: list[TermReport]
    missing: list[str]
    refused: str | None
    alternatives: list[str]
    stations: list[StationReport]
    threading: ThreadingReport
    buries: BuryReport
    budget: BudgetReport
    settings: list[SettingReport]
