"""Remedies at rail eyes: the eye higher or lower on its rail."""

from __future__ import annotations

from collections.abc import Iterator

from geom.open_items.group import some_of
from geom.open_items.item import OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.remedy import Candidate, Edits, each_place
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import Finding

MOST = 400


def higher(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each eye higher on its rail."""
    yield _moved(refit, item, 1, lowest=False)


def lower(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield each eye lower on its rail."""
    yield _moved(refit, item, -1, lowest=False)


def closer(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the lowest eye of each rail lower, and higher."""
    yield _moved(refit, item, -1, lowest=True)
    yield _moved(refit, item, 1, lowest=True)


def _moved(refit: Refit, item: OpenItem, sign: int, lowest: bool) -> Candidate:
    at = some_of(item.places, "rail_eyes")

    def moved(eye: str, by: int) -> Edits:
        name = _lowest_of(refit, eye) if lowest else eye
        x, y, z = refit.boat.eye(name).at
        return (edit.point(refit.loaded, ("eyes", name, "at"), (x, y, z + sign * by)),)

    def what(by: Remark) -> Remark:
        return Remark("remedy.eye_up" if sign > 0 else "remedy.eye_down", at=at, by=by)

    return each_place(item, moved, what, _of_eye, MOST)


def _lowest_of(refit: Refit, eye: str) -> str:
    """Return the lowest eye of the same rail and side."""
    rail = eye.rpartition("-")[0]
    return min((one for one in refit.boat.eyes if one.id.rpartition("-")[0] == rail), key=lambda one: one.at[2]).id


def _of_eye(item: OpenItem, eye: str) -> frozenset[str]:
    return frozenset(finding.id for finding in item.findings if eye in _named(finding))


def _named(finding: Finding) -> tuple[str, ...]:
    """Return the places that a finding names."""
    if finding.where is None:
        return ()
    if finding.where.code == "place.between":
        places = finding.where["places"]
        return tuple(map(str, places)) if isinstance(places, tuple) else ()
    return (str(finding.where["name"]),) if finding.where.code == "place.named" else ()
