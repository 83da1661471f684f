"""Every limit of every document and edition just under, at and just over each printed figure, in mm and inches."""

from __future__ import annotations

from functools import cache

import pytest

from geom.boat.model import Boat, OwnLimits
from geom.cli.terminal import _more_decimals, _with_unit
from geom.data.editions import edition
from geom.refit import place
from geom.rules.edition import clause_check, limits
from geom.rules.finding import ROUNDING, Finding
from geom.rules.register import DOCUMENTS
from geom.sheets.compliance.figures import figures
from geom.units import LengthFormat, read_quantity
from geom.words import worded
from tests.limit_rows import KINDS, NOT_FLIPPED, ROWS, WORKED_OUT, Row, needed_tension

MILLIMETRES, INCHES = LengthFormat(), LengthFormat("in", 25.4, 2)
SYSTEMS = {"mm": ("{:.6f} mm", 1.0), "in": ("{:.9f} in", 25.4)}


def stated(row: Row, value: float, system: str) -> float:
    """Return a value as a boat file gives it in one system of units, read by its grammar."""
    figure = row.figures[0]
    if not isinstance(figure, str) or KINDS[figure.split()[-1]] != "length" or row.threshold is not float:
        return value
    form, unit = SYSTEMS[system]
    return read_quantity(form.format(value / unit), "length", None)[0]


@cache
def finding_of(row: Row, value: float) -> Finding:
    """Return what the clause of a row says of its boat at a value."""
    clause = next(one for one in DOCUMENTS[row.document] if one.clause == row.clause)
    checked = clause_check(edition(row.document, row.edition), clause)
    assert checked is not None and clause.check is not None
    boat: Boat = row.boat(value)
    found = list(clause.check(place(boat), checked))
    at = [one for place_ in row.at for one in found if one.id.endswith(f":{place_}")]
    assert at, f"{row} at {value}: no finding at {row.at} but {[one.id for one in found]}"
    return at[0]


def told_apart(finding: Finding) -> bool:
    """Return whether value and limit of a finding that differ are written with different figures everywhere."""
    if finding.measured is None or finding.limit is None or abs(finding.measured - finding.limit) <= ROUNDING:
        return True
    for fmt in (MILLIMETRES, INCHES):
        more = _more_decimals(finding, fmt)
        screen = [_with_unit(one, finding.unit, fmt, more) for one in (finding.measured, finding.limit)]
        paper = figures(finding, fmt)[:2]
        if screen[0] == screen[1] or paper[0] == paper[1]:
            return False
    return True


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("row", ROWS, ids=str)
def test_a_limit_turns_at_its_printed_figure(row: Row, system: str) -> None:
    turned = set()
    for value in row.tried():
        finding = finding_of(row, stated(row, value, system))
        kept = row.keeps(value)
        verdict = finding.would or finding.verdict
        assert verdict == (row.met if kept else row.unmet), (value, finding)
        turned.add(kept)
        if row.sure == "memory" and verdict in ("pass", "fail"):
            assert finding.verdict == "notice", "a limit from memory decides nothing"
        if row.judged:
            assert finding.sure.startswith(row.sure), finding.sure
            assert told_apart(finding), finding
        if row.noted:
            second = [note for note in finding.notes if note.code == "limit.met_as_also_printed"]
            assert [note["printed"] for note in second] == ([row.figures[1]] if row.by_second(value) else []), value
    assert turned == {True, False} or len(row.values) == 1


@pytest.mark.parametrize(
    ("force", "kept", "noted"), [(39.2266, True, False), (39.18, True, True), (39.13, False, False)]
)
def test_a_push_printed_in_two_units_may_be_either(force: float, kept: bool, noted: bool) -> None:
    """OSR 3.14.2 b) 4 kg (8.8 lb), 39.23 and 39.14 N: taut enough under the lesser is taut enough, and said so."""
    row = next(one for one in ROWS if one.clause == "3.14.2 b)" and one.edition == "2024")
    finding = finding_of(row, needed_tension(force, 120.0))
    assert ((finding.would or finding.verdict) == "pass") == kept
    assert ("meets the 8.8 lbf" in worded(finding.notes)) == noted


def test_no_limit_is_without_its_row(capsys: pytest.CaptureFixture[str]) -> None:
    """A number of a clause that is checked stands in the rows, or is named with the reason why no boat flips it."""
    computed = {
        (word, place_[0], place_[1], key)
        for word, clauses in DOCUMENTS.items()
        for place_, held in limits(word).items()
        for key in held
        if next(clause for clause in clauses if clause.clause == place_[1]).check is not None
    }
    rows = {(row.document, row.edition, row.clause, key) for row in ROWS for key in row.keys}
    worked_out = {one for one in rows if one[3].startswith(WORKED_OUT)}
    assert computed - rows - set(NOT_FLIPPED) == set(), "limits without a row in tests/limit_rows.py"
    assert rows - worked_out <= computed and set(NOT_FLIPPED) <= computed and not rows & set(NOT_FLIPPED)
    tried = 2 * sum(len(row.tried()) for row in ROWS)
    own = len(OwnLimits.model_fields) - 1
    with capsys.disabled():
        print(
            f"\n{len(rows)} limits of {len(DOCUMENTS)} documents at {tried} values in mm and inches; "
            f"{own} limits of the boat file in test_rules_boats; {len(NOT_FLIPPED)} numbers that no boat flips"
        )


def test_a_wrong_figure_turns_a_row_red() -> None:
    row = next(one for one in ROWS if one.clause == "3.14.1 b) i")
    with pytest.raises(AssertionError):
        test_a_limit_turns_at_its_printed_figure(Row(**{**vars(row), "figures": ("601 mm", "24 in")}), "mm")
    with pytest.raises(AssertionError):
        test_a_limit_turns_at_its_printed_figure(Row(**{**vars(row), "figures": ("600 mm", "23 in")}), "mm")
