"""The as-built record: a blank one for a boat, filled in, held against the design."""

from __future__ import annotations

import pytest

from geom.errors import InputError
from geom.intake.as_built import blank_as_built, compare, read_as_built
from tests.survey_boats import boat

HASH = "a1" * 32
DESIGNED = {"S-F-U": 4687.7, "S-G-U": 575.5}


def filled() -> str:
    text = blank_as_built(boat(), DESIGNED, HASH, "mm")
    text = text.replace("  date:   # year-month-day", "  date: 2026-04-01").replace("  by:\n", "  by: rigger\n")
    text = text.replace("  tool:   # the tape", "  tool: steel tape  # the tape")
    made = "S-F-U: {finished: 4690.5, settings: {lashing gap: 57}, tension: 400 N, note: wet}"
    later = "retension:\n  - {date: 2026-05-01, run: S-F-U, found: 250 N, left: 400 N, by: owner}"
    return text.replace("S-F-U: {}", made).replace("retension: []", later)


def test_a_blank_record_shows_the_design_and_guesses_nothing():
    text = blank_as_built(boat(), DESIGNED, HASH, "mm")
    assert "  S-F-U: {}   # designed 4687.7 mm" in text
    assert text.count(": {}") == len(boat().runs)
    with pytest.raises(InputError, match=r"as_built\.(date|by|tool)"):
        read_as_built(text.encode(), "record.yaml", boat())


def test_a_filled_record_against_the_design():
    record = read_as_built(filled().encode(), "record.yaml", boat())
    rows, changed = compare(record, DESIGNED, HASH)
    by_run = {row.run: row for row in rows}
    assert by_run["S-F-U"].difference == pytest.approx(2.8)
    assert by_run["S-F-U"].note == "wet"
    assert by_run["S-G-U"].difference is None
    assert record.retension[0].left == 400.0
    assert changed is None
    assert "the boat file now holds bbbb" in compare(record, DESIGNED, "b" * 64)[1]


def test_a_run_that_is_not_there():
    with pytest.raises(InputError, match="no such run in the boat file"):
        read_as_built(filled().replace("run: S-F-U", "run: S-Q-U").encode(), "record.yaml", boat())
