"""Cases of rule clauses as data: a change of the plain boat, and the clause's expected verdict."""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from geom.boat.model import Boat
from geom.data.editions import edition
from geom.placement.placed import Placed
from geom.refit import place
from geom.rules.applied import AppliedEdition, findings_of
from geom.rules.finding import Finding

FOLDER = Path(__file__).parent / "fixtures" / "rules"


@dataclass(frozen=True)
class Case:
    """One boat for one clause: `change` maps a path in the plain boat to a value, None to take it out."""

    document: str
    clause: str
    kind: str
    at: str
    verdict: str
    edition: str | None = None
    measured: float | None = None
    limit: float | None = None
    says: str = ""
    would: str | None = None
    change: dict[str, Any] = field(default_factory=dict)

    def __str__(self) -> str:
        return f"{self.document} {self.edition or ''} {self.clause} {self.kind} {self.at} {self.says}"


@cache
def _plain() -> dict[str, Any]:
    return dict(YAML(typ="safe", pure=True).load((FOLDER / "base.yaml").read_text("utf-8")))


def cases() -> list[Case]:
    """Return every case of every file beside the plain boat."""
    found = []
    for path in sorted(FOLDER.glob("*.yaml")):
        if path.stem != "base":
            rows = YAML(typ="safe", pure=True).load(path.read_text("utf-8"))
            found += [Case(document=path.stem, **row) for row in rows]
    return found


def boat_with(change: dict[str, Any]) -> Boat:
    """Return the plain boat with the changes made; a change must hit something that is there, or set a leaf."""
    data = copy.deepcopy(_plain())
    for path, value in change.items():
        *way, last = path.split("/")
        place_: Any = data
        for step in way:
            place_ = _step(place_, step)
        if value is None:
            if isinstance(place_, list):
                place_.remove(_step(place_, last))
            else:
                del place_[last]
        elif isinstance(place_, list):
            place_[int(last)] = value
        else:
            place_[last] = value
    return Boat.model_validate(data)


def _step(place_: Any, step: str) -> Any:
    if isinstance(place_, list):
        return place_[int(step)] if step.isdigit() else next(one for one in place_ if one["id"] == step)
    return place_[step]


@cache
def _placed(key: str) -> Placed:
    return place(boat_with(_CHANGES[key]))


_CHANGES: dict[str, dict[str, Any]] = {}


def placed_of(case: Case) -> Placed:
    """Return the case's boat, worked out once for all cases that share it."""
    key = repr(case.change)
    _CHANGES[key] = case.change
    return _placed(key)


def findings(case: Case) -> list[Finding]:
    """Return what the case's clause says of the case's place, the document taken as chosen."""
    of = edition(case.document, case.edition)
    said = findings_of(placed_of(case), AppliedEdition(of, chosen=True))
    return [finding for finding in said if finding.clause == case.clause and finding.id.endswith(f":{case.at}")]
