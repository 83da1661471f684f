"""The findings of surveys, tables and plans as rows: headings with units, equal widths, the worst first."""

from __future__ import annotations

import re

from geom.intake import result_tables as intake_tables
from geom.intake.boat_edit import write_survey
from geom.intake.survey.closure import boat_closure
from geom.intake.survey.fairness import as_found, customary_limits
from geom.intake.survey.file import read_survey
from geom.intake.survey.solve import solve_survey
from geom.resources import template_bytes
from tests.survey_boats import boat


def test_every_table_is_rectangular_and_names_its_units():
    result = solve_survey(read_survey(template_bytes("survey/saltwhin-31.yaml"), "starter"))
    found = as_found(boat(), *customary_limits())
    tables = [
        intake_tables.coordinate_rows(result),
        intake_tables.attitude_rows(result),
        intake_tables.residual_rows(result),
        intake_tables.change_rows(write_survey(template_bytes("boats/saltwhin-31.yaml"), "b", result).changes),
        intake_tables.closure_rows(boat_closure(boat(), 5.0)),
        intake_tables.fair_rows(found),
        intake_tables.twin_rows(found),
    ]
    for rows in tables:
        assert len(rows) > 3
        assert {len(row) for row in rows} == {len(rows[0])}
    assert len(intake_tables.residual_rows(result, 3)) == 4
    shares = [abs(float(row[5])) for row in intake_tables.residual_rows(result)[1:]]
    assert shares == sorted(shares, reverse=True)


def test_the_rows_say_what_was_found():
    rows = intake_tables.closure_rows(boat_closure(boat(), 5.0))
    flagged = [row for row in rows if row[6] == "yes"]
    assert [row[:3] for row in flagged] == [("S-S3-U", "S-S4-U", "702.0")]
    assert flagged[0][7].startswith("digits transposed")
    found = as_found(boat(), *customary_limits())
    assert [row[0] for row in intake_tables.fair_rows(found) if row[4] == "yes"] == ["P-S3"]
    assert [row[0] for row in intake_tables.twin_rows(found) if row[6] == "DO NOT PAIR"] == ["S2", "S3", "S4"]


def test_notes_on_a_survey():
    text = template_bytes("survey/saltwhin-31.yaml").decode()
    # Without the tapes from eye to eye, a few readings at the rails are hardly checked.
    kept = re.sub(r"(PUSHPIT.*?),? +(?:[PS]-PUSHPIT )?L-U \d+", r"\1", text).replace("    PUSHPIT\n", "")
    result = solve_survey(read_survey(kept.encode(), "starter"))
    notes = intake_tables.survey_notes(result)
    (hardly,) = (note for note in notes if "hardly checked" in note)
    assert hardly.startswith(f"{len(result.unchecked)} of {len(result.rows)} readings")
    every = intake_tables.survey_notes(result, everything=True)
    assert len([note for note in every if "hardly checked" in note]) == len(result.unchecked) > 1
    assert notes[-1].startswith("residuals are ")
