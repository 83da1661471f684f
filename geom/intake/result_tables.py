"""Results of the input commands as rows of text, headings first, for screen and CSV."""

from __future__ import annotations

import math
from collections.abc import Iterable

from geom.intake.boat_edit import Change
from geom.intake.survey.closure import ClosureRow
from geom.intake.survey.fairness import AsFound
from geom.intake.survey.readings import LeanReading, Reading
from geom.intake.survey.result import ResidualRow, SurveyResult
from geom.units import decimal

Rows = list[tuple[str, ...]]


def coordinate_rows(result: SurveyResult) -> Rows:
    """Return each point's coordinates with their standard deviations."""
    rows: Rows = [("point", "X [mm]", "Y [mm]", "Z [mm]", "sd X [mm]", "sd Y [mm]", "sd Z [mm]")]
    for point in result.points:
        rows.append((point.name, *(decimal(value, 1) for value in (*point.at, *point.sd))))
    return rows


def attitude_rows(result: SurveyResult) -> Rows:
    """Return each post's lean and rake with their standard deviations."""
    rows: Rows = [("post", "lean [deg]", "rake [deg]", "sd lean [deg]", "sd rake [deg]")]
    for post in result.posts:
        angles = (post.lean, post.rake, post.lean_sd, post.rake_sd)
        rows.append((post.id, *(decimal(math.degrees(angle), 2) for angle in angles)))
    return rows


def residual_rows(result: SurveyResult, maximum: int | None = None) -> Rows:
    """Return readings with the largest standardised residuals first.

    Args:
        result: a solved survey.
        maximum: how many, None for all.
    """
    rows: Rows = [("reading", "unit", "read", "computed", "residual", "residual / sd", "least found", "used")]
    for row in result.worst(len(result.rows) if maximum is None else maximum):
        rows.append((row.reading.label, *_numbers(row)))
    return rows


def _numbers(row: ResidualRow) -> tuple[str, ...]:
    factor, unit = _unit(row.reading)
    places = 2 if unit == "deg" else 1
    detectable = "none" if math.isinf(row.min_detectable) else decimal(row.min_detectable * factor, places)
    values = (decimal(value * factor, places) for value in (row.reading.value, row.computed, row.residual))
    return (unit, *values, decimal(row.standardised, 2), detectable, "yes" if row.used else "no")


def _unit(reading: Reading) -> tuple[float, str]:
    return (180.0 / math.pi, "deg") if isinstance(reading, LeanReading) else (1.0, "mm")


def survey_notes(result: SurveyResult, everything: bool = False) -> list[str]:
    """Return notes on a solved survey: blunders, unchecked readings, stated against actual uncertainty.

    Args:
        result: a solved survey.
        everything: name each reading that hardly any other checks, not only their number.
    """
    notes = [blunder.words() for blunder in result.blunders]
    hardly = "hardly checked by any other; an error would not be noticed"
    if everything:
        notes += [f"{reading.label}: {hardly}" for reading in result.unchecked]
    elif result.unchecked:
        count = len(result.unchecked)
        notes.append(f"{count} of {len(result.rows)} readings {hardly}, which moves no part far; --all names them")
    if result.unit_deviation is None or result.unit_bounds is None:
        notes.append("nothing is over-determined: no reading is checked")
        return notes
    low, high = result.unit_bounds
    note = f"residuals are {result.unit_deviation:.2f} times those expected from the stated uncertainties"
    if result.unit_deviation > high:
        note += f" (at most {high:.2f} in 95 of 100 surveys): the uncertainties are stated too small"
    elif result.unit_deviation < low:
        note += f" (at least {low:.2f} in 95 of 100 surveys): the uncertainties are stated too large"
    notes.append(note)
    return notes


def change_rows(changes: Iterable[Change]) -> Rows:
    """Return the changed numbers of a boat file, before and after."""
    rows: Rows = [("place", "line", "was", "becomes")]
    rows += [(change.place, str(change.line), change.before, change.after) for change in changes]
    return rows


def closure_rows(closure: Iterable[ClosureRow]) -> Rows:
    """Return taped against computed distances, with the likeliest cause of a flagged one."""
    rows: Rows = [
        ("from", "to", "taped [mm]", "computed [mm]", "residual [mm]", "limit [mm]", "flagged", "likely cause")
    ]
    for row in closure:
        lengths = (decimal(value, 1) for value in (row.taped, row.computed, row.residual, row.limit))
        cause = str(row.causes[0]) if row.causes else ("unknown" if row.flagged else "")
        rows.append((row.start, row.end, *lengths, "yes" if row.flagged else "no", cause))
    return rows


def fair_rows(check: AsFound) -> Rows:
    """Return each post against its row: off the fair curve, inboard, lean and rake, and whether it is probably bent."""
    rows: Rows = [
        (
            "post",
            "off curve [mm]",
            "inboard [mm]",
            "off family [mm]",
            "off the row",
            "lean [deg]",
            "rake [deg]",
            "found",
        )
    ]
    for fair, lean in zip(sorted(check.fair, key=_post), sorted(check.leans, key=_post), strict=True):
        measures = (
            "cannot tell" if value is None else decimal(value, 1)
            for value in (fair.off_curve, fair.inboard, fair.off_family)
        )
        angles = (decimal(math.degrees(angle), 1) for angle in (lean.lean, lean.rake))
        rows.append((fair.post, *measures, "yes" if fair.out else "no", *angles, lean.words()))
    return rows


def _post(row: object) -> str:
    return str(getattr(row, "post", ""))


def twin_rows(check: AsFound) -> Rows:
    """Return starboard less port for each pair of posts."""
    rows: Rows = [
        ("posts", "station [mm]", "foot out [mm]", "foot height [mm]", "lean [deg]", "upper hole out [mm]", "alike")
    ]
    for twin in check.twins:
        lengths = [decimal(value, 1) for value in (twin.station, twin.out, twin.height)]
        lean = decimal(math.degrees(twin.lean), 1)
        alike = "yes" if twin.alike else "DO NOT PAIR"
        rows.append((twin.name, *lengths, lean, decimal(twin.upper_out, 1), alike))
    return rows
