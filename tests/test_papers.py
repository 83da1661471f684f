"""The papers of a package: which there are, upright pages with the caution, no approval, the same bytes again."""

from __future__ import annotations

import io
from functools import cache

import pdfplumber
import pytest

from geom.package import FOLDERS, paper_files
from geom.paperwork.handover.sheet import HANDOVER
from geom.paperwork.inspection.sheet import INSPECTION
from geom.paperwork.labels.sheet import LABELS
from geom.paperwork.made.sheet import MADE
from geom.paperwork.orders.papers import SUPPLIERS
from geom.paperwork.quote.sheet import QUOTATION
from geom.sheets import drawing_set
from tests.boats import refit_of
from tests.some import some

# Points in a millimetre.
MM = 72.0 / 25.4
SIZES = {"saltwhin-31": (210.0, 297.0), "pipwing-25": (215.9, 279.4)}
NAMES = {
    "saltwhin-31": {"order-rope.pdf", "order-fittings.pdf", "labels.pdf", "handover.pdf"},
    "pipwing-25": {"order-wire.pdf", "order-fittings.pdf", "labels.pdf", "handover.pdf"},
}


@cache
def files_of(name: str) -> dict[str, bytes]:
    return paper_files(refit_of(name), lambda said: None)


@pytest.mark.parametrize("name", NAMES)
def test_the_papers_of_a_package(name):
    assert set(files_of(name)) == NAMES[name]


@pytest.mark.parametrize("name", NAMES)
def test_every_page_is_upright_and_has_the_caution(name):
    for data in some(files_of(name).values()):
        with pdfplumber.open(io.BytesIO(data)) as file:
            for page in some(file.pages):
                assert (float(page.width) / MM, float(page.height) / MM) == pytest.approx(SIZES[name], abs=0.1)
                text = page.extract_text() or ""
                assert "NOT A HARNESS ATTACHMENT" in text
                assert not {"safe", "certified"} & set(text.lower().replace(".", " ").split())


def test_the_same_bytes_again():
    assert paper_files(refit_of("pipwing-25"), lambda said: None) == files_of("pipwing-25")


def test_the_numbers_of_papers_are_no_numbers_of_sheets():
    papers = [QUOTATION, LABELS, HANDOVER, MADE, INSPECTION, *(paper for paper, _ in SUPPLIERS)]
    assert len({paper.number for paper in papers}) == len(papers) == len({paper.name for paper in papers})
    sheets = {sheet.name.partition("-")[0] for sheet in some(drawing_set(refit_of("first-try")))}
    assert not {paper.number[0] for paper in papers} & {number[0] for number in sheets}


def test_a_fabricator_gets_no_papers():
    assert [trade for trade, folders in FOLDERS.items() if "papers" not in folders] == ["fabricator"]
