"""The 3D checks as lines for the screen and as a JSON file beside the solids."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from geom.figure import LengthFormat
from geom.refit import Refit
from geom.solids.assembly import assemble
from geom.solids.cache import PartCache
from geom.solids.checks import SolidCheck, solid_checks
from geom.tables import numbers
from geom.units import decimal

PROOF_FORMAT = 1
# Decimals of a millimetre and of a degree in the file, coarser than the kernel's numerical noise.
_DECIMALS = 4


def prove(refit: Refit, cache: Path | None = None) -> tuple[SolidCheck, ...]:
    """Return all 3D checks of a boat, measured on the same solids as in the files.

    Args:
        refit: the boat as calculated.
        cache: folder of the part cache, None for no cache.

    Raises:
        CannotFinishError: the kernel is missing or refuses a shape.
        GeometryError: a post or a line cannot be made.
    """
    return solid_checks(refit, assemble(refit), PartCache(cache).shape)


def verdict(check: SolidCheck) -> str:
    """Return the verdict, as in the check report."""
    return "pass" if check.holds else "fail"


def proof_lines(refit: Refit, checks: Iterable[SolidCheck]) -> Iterator[str]:
    """Yield one line for each check: verdict, kind, subject, measured value, limit, note."""
    fmt = numbers(refit.boat)
    for check in checks:
        line = (
            f"{verdict(check):4}  {check.kind:16}  {check.subject:32}  {_amount(check.measured, check.unit, fmt):>12}"
        )
        if check.limit is not None:
            line += f"  limit {_amount(check.limit, check.unit, fmt)}"
        yield f"{line}  {check.note.strip()}".rstrip()


def _amount(value: float, unit: str, fmt: LengthFormat) -> str:
    if unit != "mm":
        return f"{decimal(value, 1)} {unit}"
    return f"{decimal(value / fmt.mm, fmt.decimals + 1)} {fmt.unit}"


def proof_json(refit: Refit, checks: Iterable[SolidCheck]) -> bytes:
    """Return the checks as a JSON file; keys carry the unit."""
    rows = []
    for check in checks:
        row: dict[str, Any] = {"kind": check.kind, "subject": check.subject}
        row[f"measured_{check.unit}"] = round(check.measured, _DECIMALS) + 0.0
        row[f"limit_{check.unit}"] = None if check.limit is None else round(check.limit, _DECIMALS) + 0.0
        rows.append({**row, "verdict": verdict(check), "note": check.note.strip()})
    proof = {
        "format": PROOF_FORMAT,
        "boat": refit.boat.boat.name,
        "revision": refit.boat.revision.mark,
        "data_sha256": refit.loaded.data_sha256,
        "checks": rows,
    }
    return (json.dumps(proof, indent=1, ensure_ascii=False) + "\n").encode("utf-8")
