"""Values leave with the unit of their type, rounded; a table's columns and check.json call them alike."""

from __future__ import annotations

import csv
import io
import json
import math
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace

import pytest

from geom.export import check_report, json_bytes
from geom.placement.symmetry import Pair
from geom.render.svg import svg_bytes
from geom.sheets.line_sheets.sheet import line_sheets
from geom.tables import csv_bytes
from geom.tables.field import field
from geom.tables.loads import post_loads
from geom.tables.placing import posts, runs
from geom.tables.table import Column, column, written
from geom.units import Gram, LengthFormat, Mm, MPa, N, NMm, Rad, Ratio
from tests.boats import NAMES, refit_of, report_of
from tests.made import sheets_by


@dataclass(frozen=True)
class Part:
    """A part of a sample."""

    length: Mm
    force: N | None


@dataclass(frozen=True)
class Sample:
    """A result with a value of every unit."""

    span: Mm
    lean: Rad
    moment: NMm
    stress: MPa
    mass: Gram
    share: Ratio
    name: str
    from_: str
    parts: tuple[Part, ...]
    best: Part | None
    bare: float
    corner: tuple[Mm, Mm]

    @property
    def half(self) -> Mm | None:
        """Half the span."""
        return self.span / 2.0


PARTS = (Part(1.0, None), Part(2.0, 5.0))
SAMPLE = Sample(10.0, math.pi, 2500.0, 3.0, 4.0, 0.5, "n", "f", PARTS, None, 1.0, (6.0, 7.0))
INCHES = LengthFormat("in", 25.4, 2)


@pytest.mark.parametrize(
    ("path", "key", "value"),
    [
        ("span", "span_mm", 10.0),
        ("half", "half_mm", 5.0),
        ("lean", "lean_deg", 180.0),
        ("moment", "moment_nm", 2.5),
        ("stress", "stress_mpa", 3.0),
        ("mass", "mass_g", 4.0),
        ("share", "share", 0.5),
        ("name", "name", "n"),
        ("from_", "from", "f"),
        ("parts.length", "length_mm", (1.0, 2.0)),
        ("pull=parts.force", "pull_n", (None, 5.0)),
        ("best.force", "force_n", None),
        ("y=corner.1", "y_mm", 7.0),
    ],
)
def test_a_key_ends_in_the_unit_of_its_type(path, key, value):
    found = field(Sample, path)
    assert found.key == key
    assert found.read(SAMPLE) == value


def test_a_heading_names_the_unit_that_the_title_does_not():
    columns = [column(Sample, path) for path in ("span", "lean", "moment", "stress", "share", "name")]
    metric, inches = ([one.head(fmt) for one in columns] for fmt in (LengthFormat(), INCHES))
    assert metric == ["SPAN", "LEAN", "MOMENT N m", "STRESS MPa", "SHARE", "NAME"]
    assert inches == ["SPAN", "LEAN", "MOMENT lbf ft", "STRESS MPa", "SHARE", "NAME"]
    assert [one.kind for one in columns] == ["length", "angle", "moment", "number", "number", "text"]


def test_forces_and_moments_are_in_the_system_of_the_lengths():
    """1 lbf is 4.4482216152605 N, so that 1 lbf ft is 1.3558179 N m; a force to be reached is rounded up."""
    force = Column("force_n", "FORCE", lambda row: row, "force", decimals=0)
    moment = Column("moment_nm", "MOMENT", lambda row: row, "moment")
    assert [written(348.0, force, fmt) for fmt in (LengthFormat(), INCHES)] == ["348", "78"]
    assert written(348.0, replace(force, up=True), INCHES) == "79"
    assert [written(1.3558179 * 20.0, moment, fmt) for fmt in (LengthFormat(), INCHES)] == ["27.1", "20.0"]


def test_a_number_without_a_unit_does_not_leave():
    with pytest.raises(TypeError, match="bare of Sample"):
        field(Sample, "bare")


def test_a_difference_of_nothing_has_no_minus():
    refit = refit_of("first-try")
    placed = replace(refit.placed, pairs=(Pair("F-U", "path", 1.0, 1.0 + 1e-9),))
    (pair,) = check_report(replace(refit, placed=placed))["pairs"]
    assert math.copysign(1.0, pair["difference_mm"]) == 1.0


def test_numbers_are_rounded():
    def numbers(value):
        if isinstance(value, dict):
            value = list(value.values())
        return [one for inner in value for one in numbers(inner)] if isinstance(value, list) else [value]

    found = [one for one in numbers(report_of("saltwhin-31")) if isinstance(one, float)]
    assert len(found) > 1000
    assert all(one == round(one, 6) for one in found)
    exact = check_report(refit_of("saltwhin-31"), decimals=15)
    assert any(one != round(one, 6) for one in numbers(exact) if isinstance(one, float))


@pytest.mark.parametrize("name", NAMES)
def test_tables_and_check_json_give_one_value_under_one_key(name):
    """CSV files are to three decimals, check.json to six."""
    report = json.loads(json_bytes(report_of(name)))
    for table, rows, first in (
        (posts, report["posts"], "post"),
        (runs, report["runs"], "run"),
        (post_loads, report["loads"]["posts"], "post"),
    ):
        read = list(csv.DictReader(io.StringIO(csv_bytes(table(refit_of(name))).decode("utf-8"))))
        assert len(read) == len(rows)
        for row, stated in zip(read, rows, strict=True):
            assert row.pop(first) == stated["id"]
            tensions = [(one["run"], one["set_tension_n"]) for one in stated.get("set_tensions", ())]
            assert row.pop("set_tensions_n", "") == "; ".join(f"{run} {pull:.0f}" for run, pull in tensions)
            for key, text in row.items():
                if isinstance(stated[key], bool):
                    assert text == str(stated[key]), key
                elif isinstance(stated[key], float):
                    assert float(text) == pytest.approx(stated[key], abs=6e-4), key
                elif key != "made_on_board":
                    assert text == (stated[key] or ""), key


def figures_of(node):
    """Return the numbers of a report, without their signs."""
    if isinstance(node, dict):
        return [one for value in node.values() for one in figures_of(value)]
    if isinstance(node, list):
        return [one for value in node for one in figures_of(value)]
    return [abs(node)] if isinstance(node, float) else []


def lettered(sheets):
    """Yield each line of lettering on sheets."""
    for sheet in sheets:
        for element in ET.fromstring(svg_bytes(sheet)).iter():
            if element.tag.endswith("text"):
                yield "".join(element.itertext())


def missing_of_cards(cards, report):
    """Return what the run cards print in mm or N and the report does not hold as a number."""
    held = figures_of({key: report[key] for key in ("runs", "holes")})
    printed = {
        figure for line in lettered(cards) for figure in re.findall(r"(?<![\w.])(\d+(?:\.\d+)?) (?:mm|N)\b", line)
    }
    decimals = {figure: len(figure.partition(".")[2]) for figure in printed}
    return sorted(
        figure
        for figure in printed
        if not any(abs(one - float(figure)) <= 0.5001 * 10.0 ** -decimals[figure] for one in held)
    )


def test_check_json_holds_as_a_number_what_the_run_cards_print():
    """Every length and force of all cards: splice marks, limits to accept and reject, and pulls included.

    The choices in place of a line on hold are words of its open item, there as here.
    """
    boat = refit_of("saltwhin-31")
    cards = [
        replace(sheet, items=tuple(item for item in sheet.items if not getattr(item, "tag", "").startswith("instead:")))
        for sheet in sheets_by(line_sheets, boat)
    ]
    report = report_of("saltwhin-31")
    # The gap of a stop, and the steady pull of hand that marking takes for granted, are figures of practice.
    assert set(missing_of_cards(cards, report)) <= {"25.4", "100", "300"}
    without = {**report, "runs": [{**run, "work": {}} for run in report["runs"]]}
    assert len(missing_of_cards(cards, without)) > 15
