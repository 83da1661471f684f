"""The limits in data/rules against the documents they were read in, and the form of those tables.

The figures are typed here anew from the documents: World Sailing OSR 3.14 (wording of 2008, amendment of
2014, wording of August 2024), ISO 15085:2003 table 4, 46 CFR 169.327, 177.900 and 45.115, ABYC H-41 (1998),
the UK codes 22.2 and the French Division 240. Inches and feet are the documents' own.
"""

from __future__ import annotations

import csv
import importlib
import inspect
import math
import re
from pathlib import Path
from typing import get_args

import pytest

import geom.data
from geom.boat.forms import DocumentWord
from geom.boat.words import known_words
from geom.data.editions import editions
from geom.mechanics.catenary import tension_while_loaded
from geom.rules.cautions import CAUTIONS, SHEET_CAUTION
from geom.rules.documents import own
from geom.rules.edition import limits
from geom.rules.finding import Limit
from geom.rules.register import DOCUMENTS
from geom.words import worded
from tests.some import some

TABLES = Path(geom.data.__file__).parent / "rules"
INCH, FOOT, POUND = 25.4, 304.8, 4.4482216152605
# How a clause's source names each document.
TITLES = {
    "osr": "OSR", "iso-15085": "ISO 15085", "abyc-h-41": "ABYC", "cfr-169.327": "46 CFR", "cfr-177.900": "46 CFR",
    "cfr-45.115": "46 CFR", "uk-1993": "UK code 1993", "uk-harmonised": "UK harmonised code",
    "division-240": "Division 240",
}  # fmt: skip
SURE = {"found", "found-2", "calc", "memory hi", "memory mid", "memory lo", "common practice"}
PUBLISHED = [
    ("osr", "2024", "3.14.1 b) i", "min upper height", 600.0),
    ("osr", "2024", "3.14.1 b) ii", "min intermediate height", 230.0),
    ("osr", "2024", "3.14.1 b) iii", "max opening", 380.0),
    ("osr", "2024", "3.14.1 b) iii", "max opening, older boat", 560.0),
    ("osr", "2024", "3.14.1 b) iii", "older boat launched before", 1993.0),
    ("osr", "2024", "3.14.1 b) iv", "hull length below", 8500.0),
    ("osr", "2024", "3.14.1 b) iv", "min single line", 450.0),
    ("osr", "2024", "3.14.1 b) iv", "max single line", 560.0),
    ("osr", "2024", "3.14.1 c)", "max support spacing", 2200.0),
    ("osr", "2024", "3.14.1 e)", "max base inboard", 150.0),
    ("osr", "2024", "3.14.1 e)", "max base inboard, share of beam", 5.0),
    ("osr", "2024", "3.14.1 f) i", "height judged", 50.0),
    ("osr", "2024", "3.14.1 f) i", "max displacement", 10.0),
    ("osr", "2024", "3.14.1 f) ii", "max tilt", 10.0),
    ("osr", "2024", "3.14.1 g)", "max pulpit opening", 360.0),
    ("osr", "2014", "3.14.2 a)", "force", 40.0),
    ("osr", "2014", "3.14.2 a)", "max deflection", 50.0),
    ("osr", "2014", "3.14.2 b)", "force", 40.0),
    ("osr", "2014", "3.14.2 b)", "max deflection", 120.0),
    ("osr", "2008", "3.14.2 a)", "force", 50.0),
    ("osr", "2008", "3.14.6 wire diameter", "min diameter, first step", 3.0),
    ("osr", "2008", "3.14.6 wire diameter", "min diameter, second step", 4.0),
    ("osr", "2008", "3.14.6 wire diameter", "min diameter, third step", 5.0),
    ("osr", "2008", "3.14.6 c) lanyard", "max gap", 100.0),
    ("common-practice", "no source", "coated-wire", "share of rating, corroded", 20.0),
    ("iso-15085", "2003", "1", "max hull length", 24000.0),
    ("iso-15085", "2003", "10.2 height", "min upper height", 600.0),
    ("iso-15085", "2003", "10.2 height", "min low line height", 450.0),
    ("iso-15085", "2003", "10.2 height", "max hull length, low line", 8500.0),
    ("iso-15085", "2003", "10 load without break", "load", 560.0),
    ("cfr-169.327", "undated", "169.327 height", "min height", 30 * INCH),
    ("cfr-169.327", "undated", "169.327 spacing", "max support spacing", 7 * FOOT),
    ("cfr-169.327", "undated", "169.327 courses", "max gap", 12 * INCH),
    ("cfr-169.327", "undated", "169.327 lowest opening", "max gap", 9 * INCH),
    ("cfr-177.900", "2003", "177.900 height", "min height", 910.0),
    ("cfr-177.900", "2003", "177.900 height", "min height, excursion, ferry or load line", 1000.0),
    ("cfr-45.115", "undated", "45.115 height", "min height", 36 * INCH),
    ("cfr-45.115", "undated", "45.115 lowest opening", "max gap", 9 * INCH),
    ("cfr-45.115", "undated", "45.115 other openings", "max gap", 15 * INCH),
    ("abyc-h-41", "1998", "H-41.6.3.4", "min end fitting share", 90.0),
    ("abyc-h-41", "1998", "H-41.6.3.6 line", "static load", 400 * POUND),
    ("uk-1993", "1993", "22.2.2 height", "min height", 600.0),
    ("uk-1993", "1993", "22.2.2 height", "min height, single course", 450.0),
    ("uk-1993", "1993", "22.2.2 height", "vessel length below, single course", 9000.0),
    ("uk-1993", "1993", "22.2.2 spacing", "max support spacing", 2200.0),
    ("uk-1993", "1993", "22.2.5", "max cockpit opening", 500.0),
    ("uk-harmonised", "undated", "22.2.2 height", "min height", 1000.0),
    ("uk-harmonised", "undated", "22.2.2 lowest opening", "max gap", 230.0),
    ("uk-harmonised", "undated", "22.2.2 other openings", "max gap", 380.0),
    ("division-240", "1987", "240-2.58 height", "min length", 8000.0),
    ("division-240", "1987", "240-2.58 gap", "max gap", 300.0),
    ("division-240", "1987", "240-2.58 line", "min load, category A", 13000.0),
    ("division-240", "1987", "240-2.58 line", "min load, categories B and C", 9000.0),
    ("division-240", "1987", "240-2.56 toe-rail", "min toe-rail height", 30.0),
    ("division-240", "1987", "240-2.56 toe-rail gap", "max gap", 100.0),
]
# Whole millimetres of a document that prints both units stand for its inches.
ROUNDED = {"cfr-169.327": 1.0}


@pytest.mark.parametrize(("word", "edition", "clause", "key", "value"), PUBLISHED)
def test_limit_is_the_published_one(word: str, edition: str, clause: str, key: str, value: float) -> None:
    assert limits(word)[edition, clause][key].value == pytest.approx(value, abs=ROUNDED.get(word, 0.1))


@pytest.mark.parametrize(
    ("force", "span", "sag", "tension"),
    [
        (50.0, 2200.0, 50.0, 550.6), (40.0, 2200.0, 50.0, 440.5), (40.0, 2200.0, 120.0, 184.4),
        (40.0, 1800.0, 50.0, 360.6), (40.0, 1500.0, 50.0, 300.7),
    ],
)  # fmt: skip
def test_push_test_as_tension_while_loaded(force: float, span: float, sag: float, tension: float) -> None:
    """OSR 3.14.2 turned into tension by T = W / (2 sin theta), theta = atan(2 s / L)."""
    assert tension_while_loaded(force, span, sag) == pytest.approx(tension, abs=0.1)
    assert force / (2 * math.sin(math.atan(2 * sag / span))) == pytest.approx(tension, abs=0.1)


def test_what_is_from_memory_or_contested_never_decides() -> None:
    table = limits("osr")["2024", "3.14.2 a)"]
    assert table["force"].value == pytest.approx(4 * 9.80665)
    assert [one.code for one in table["force"].doubts] == ["limit.from_memory", "limit.contested"]
    assert limits("division-240")["1987", "240-2.58 stanchion"]["load without set"].doubts[0].code == "limit.contested"
    assert limits("osr")["2024", "3.14.1 b) i"]["min upper height"].doubts == ()
    assert Limit(1.0, "mm", "", "", "memory hi").doubts != ()


@pytest.mark.parametrize("word", DOCUMENTS)
def test_table_says_where_each_number_comes_from(word: str) -> None:
    with (TABLES / f"{word}.csv").open(encoding="utf-8", newline="") as file:
        for row in some(csv.DictReader(file)):
            assert row["source"], row
            assert row["page"], row
            assert row["sure"] in SURE, row
            assert bool(row["value"]) == bool(row["unit"]) == (row["key"] != "text"), row


@pytest.mark.parametrize("word", DOCUMENTS)
def test_table_and_clauses_name_the_same_clauses_and_editions(word: str) -> None:
    known = {clause.clause for clause in DOCUMENTS[word]}
    assert len(known) == len(DOCUMENTS[word])
    named = {edition.edition for edition in editions(word)}
    for edition, clause in limits(word):
        assert clause in known
        assert edition in named
    assert sum(edition.default for edition in editions(word)) == 1


def names_its_source(text: str, word: str, clause: str) -> bool:
    """Return whether a docstring's source is document and clause, or says plainly that there is none."""
    source = " ".join(text.partition("\nSource: ")[2].partition("\n\n")[0].split())
    if word == "own":
        return source == f"boat file, rules, own, {clause.replace(' ', '_')}."
    if word == "common-practice":
        return source == "geometry." or source.startswith("common practice, no source")
    at_the_clause = clause.split()[0] in source or "clause not given" in source
    return re.search(rf"\b{TITLES[word]}\b", source) is not None and at_the_clause


@pytest.mark.parametrize("word", [*DOCUMENTS, "own"])
def test_every_clause_is_one_short_function_that_cites_its_source(word: str) -> None:
    for clause in some(own.CLAUSES if word == "own" else DOCUMENTS[word]):
        if clause.check is None:
            assert clause.why_not, clause
            continue
        assert names_its_source(inspect.getdoc(clause.check) or "", word, clause.clause), clause
        assert len(inspect.getsource(clause.check).splitlines()) <= 32, clause


def test_words_that_are_no_source_are_refused() -> None:
    assert names_its_source("It holds.\n\nSource: OSR 3.14.1 c).", "osr", "3.14.1 c)")
    for text in ("trial of the recipe", "OSR", "OSR 3.14.2 c).", "3.14.1 c)", "ISO 15085, 3.14.1 c).", ""):
        assert not names_its_source(f"It holds.\n\nSource: {text}", "osr", "3.14.1 c)"), text
    assert not names_its_source("Source: trial of the recipe.", "common-practice", "levels")
    assert not names_its_source("It holds.\n\nSource: boat file, rules, own, max_gap.", "own", "max opening")


def test_the_boat_file_knows_every_document() -> None:
    assert {*get_args(DocumentWord), "common-practice"} == set(DOCUMENTS)


def test_every_construction_is_classed() -> None:
    with (TABLES / "constructions.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["construction"] for row in rows} == set(known_words("construction"))
    assert {row["kind"] for row in rows} == {"wire", "HMPE", "other fibre"}


def test_cautions_say_what_the_field_says_and_approve_nothing() -> None:
    assert worded(SHEET_CAUTION) == "GUARD LINE (LIFELINE) - NOT A HARNESS ATTACHMENT"
    cautions = [worded(one) for one in CAUTIONS]
    text = " ".join(cautions).lower()
    for word in ("harness", "edition", "certificate", "pulpits", "hook", "hmpe", "hole", "unit", "qualified"):
        assert word in text
    assert not any(word in text for word in (" safe", "certified", "approved"))
    assert all(len(caution) <= 120 for caution in cautions)


def test_each_word_of_the_register_is_that_of_its_file() -> None:
    from geom.rules.register import _FILES

    for word, file in some(_FILES.items()):
        assert word == importlib.import_module(f"geom.rules.documents.{file}").WORD
