"""The terminal output of `check`: short, in rank, as wide as requested, and never a number or word cut."""

from __future__ import annotations

import os
import re
import subprocess
import sys

import pytest

from geom.cli.layout import table_lines, wrapped
from geom.cli.terminal import VIEWS, Screen
from geom.open_items import open_items
from geom.rules.cautions import CAUTIONS, SHEET_CAUTION, main_cautions
from geom.tables.every import every_table
from geom.tables.table import cells, numbers
from geom.units import LengthFormat
from geom.words import worded
from tests.boats import BOATS, NAMES, ROOT, refit_of
from tests.random_boats import ODD, random_refit
from tests.some import some

WIDTHS = (72, 80, 100, 120)
NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?")


def shown(name: str, columns: int, *views: str) -> list[str]:
    return list(Screen(refit_of(name), columns, frozenset(views)).lines())


@pytest.mark.parametrize("columns", WIDTHS)
def test_the_summary_of_the_demo_stands_on_one_screen(columns: int) -> None:
    lines = shown("saltwhin-31", columns)
    assert len(lines) <= (32 if columns < 80 else 24)
    assert max(map(len, lines)) <= columns


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("columns", WIDTHS)
def test_no_line_is_wider_than_requested(name: str, columns: int) -> None:
    lines = shown(name, columns, "all")
    assert len(lines) > 100
    assert [line for line in lines if len(line) > columns] == []
    assert not any("…" in line for line in lines)


@pytest.mark.parametrize("columns", WIDTHS)
def test_words_and_numbers_are_whole_at_every_width(columns: int) -> None:
    """The same words in the same order as on a screen without an edge, whatever the width."""
    for view in some(("items", "cards", "findings", "cautions")):
        wide, narrow = (" ".join(shown("saltwhin-31", size, view)).split() for size in (10_000, columns))
        assert sorted(set(wide) - set(narrow)) == []


@pytest.mark.parametrize("columns", WIDTHS)
def test_a_table_has_every_number_at_every_width(columns: int) -> None:
    for refit in some((refit_of("saltwhin-31"), *(random_refit(seed) for seed in ODD))):
        fmt = numbers(refit.boat)
        for table in some(every_table(refit)):
            text = " ".join(" ".join(table_lines(table, fmt, columns)).split())
            for row in some(cells(table, fmt)):
                for value in some(row):
                    assert " ".join(value.split()) in text, table.name


def test_a_figure_and_its_unit_stay_together() -> None:
    lines = wrapped("a lashing gap of 60.0 mm against 100.0 mm under 40 N", 24)
    assert not any(re.match(r"\s*(?:mm|N)\b", line) for line in lines)
    assert wrapped("S-PULPIT-U to S-PUSHPIT-U", 14) == ["S-PULPIT-U to", "S-PUSHPIT-U"]


def test_items_stand_in_rank_with_their_numbers() -> None:
    lines = shown("saltwhin-31", 200)
    items = open_items(refit_of("saltwhin-31"))
    listed = [line for line in lines if re.match(r" ?\d+  (?:stop|fails|decide|measure|state)", line)]
    assert [int(line.split()[0]) for line in listed] == [item.number for item in items]


def test_a_line_on_hold_shows_no_marks() -> None:
    lines = shown("saltwhin-31", 100, "cards")
    card = lines[next(i for i, line in enumerate(lines) if line.startswith("RUN S-G-U")) :]
    card = card[: card.index("")]
    assert "DO NOT CUT" in card[0]
    assert not any("bury ends" in line or "throat" in line or re.match(r" +\d+\. ", line) for line in card)
    assert any("throat" in line for line in lines)


def test_three_cautions_of_this_boat_and_all_on_request() -> None:
    boat = refit_of("saltwhin-31").boat
    chosen = main_cautions(boat)
    assert len(chosen) == 3
    assert set(chosen) <= set(CAUTIONS)
    assert main_cautions(refit_of("pipwing-25").boat) != chosen
    short, long = (" ".join(shown("saltwhin-31", 100, *views)) for views in ((), ("cautions",)))
    assert sum(worded(caution) in short for caution in CAUTIONS) == 3
    assert all(worded(caution) in " ".join(long.split()) for caution in CAUTIONS)
    assert all(worded(SHEET_CAUTION) in text for text in (short, long))


@pytest.mark.parametrize("columns", WIDTHS)
def test_piped_output_is_as_wide_as_requested(columns: int) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "geom", "check", BOATS / "saltwhin-31.yaml", "--posts"],
        capture_output=True, text=True, cwd=ROOT, env={**os.environ, "COLUMNS": str(columns)}, check=False,
    )  # fmt: skip
    assert "\x1b[" not in done.stdout
    assert done.stdout.splitlines() == shown("saltwhin-31", columns, "posts")


def test_every_view_is_an_option() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "geom", "check", "--help"], capture_output=True, text=True, cwd=ROOT, check=True
    )
    assert [view for view in VIEWS if f"--{view}" not in done.stdout] == []


def test_a_wide_table_is_stacked_not_cut() -> None:
    fmt = LengthFormat()
    table = next(one for one in every_table(refit_of("saltwhin-31")) if one.name == "posts")
    narrow = list(table_lines(table, fmt, 72))
    assert max(map(len, narrow)) <= 72
    assert sum("S-S2" in line for line in narrow) == 1
    assert any("595.4" in line for line in narrow)
