"""The written PDF read back with an independent reader."""

from __future__ import annotations

import io
from dataclasses import replace

import pdfplumber
import pytest
from reportlab.pdfbase import pdfmetrics

from geom import lettering
from geom.errors import GeometryError
from geom.figure import Line, Sheet, Text
from geom.render.explode import explode
from geom.render.font import FAMILY
from geom.render.pdf import pdf_bytes
from tests.render_sample import sample_sheet
from tests.some import some

MM = 25.4 / 72.0


def second() -> Sheet:
    return Sheet("strip", "Strip", 210.0, 297.0, (Line((20, 20), (20, 270), "CUT", "edge"),))


@pytest.fixture(scope="module")
def written() -> bytes:
    return pdf_bytes([sample_sheet(), second()], "Sample set", {"revision": "A", "data": "0123abcd"})


@pytest.fixture(scope="module")
def pdf(written):
    with pdfplumber.open(io.BytesIO(written)) as opened:
        yield opened


def test_each_page_has_the_exact_size_of_its_sheet(pdf):
    sizes = [(float(page.width) * MM, float(page.height) * MM) for page in pdf.pages]
    assert sizes == [pytest.approx((420.0, 297.0), abs=1e-4), pytest.approx((210.0, 297.0), abs=1e-4)]


def test_lines_are_as_long_as_drawn(pdf):
    bars = [line for line in pdf.pages[0].lines if abs(line["y0"] * MM - 40.0) < 0.01]
    assert [(line["x1"] - line["x0"]) * MM for line in bars] == [pytest.approx(100.0, abs=1e-3)]
    (edge,) = pdf.pages[1].lines
    assert (edge["y1"] - edge["y0"]) * MM == pytest.approx(250.0, abs=1e-3)
    assert edge["linewidth"] * MM == pytest.approx(0.25, abs=1e-4)


def test_every_text_can_be_searched(pdf):
    found = "".join(char["text"] for char in pdf.pages[0].chars)
    shapes = (shape for group in explode(sample_sheet()) for shape in group.items)
    for shape in some(shape for shape in shapes if isinstance(shape, Text)):
        assert shape.text in found


def test_text_begins_where_it_is_anchored(pdf):
    chars = pdf.pages[0].chars
    start = next(i for i in range(len(chars)) if "".join(c["text"] for c in chars[i : i + 8]) == "100 mm w")
    words = "100 mm when printed at full size"
    run = chars[start : start + len(words)]
    wanted = lettering.width(words, 2.5)
    assert run[0]["x0"] * MM == pytest.approx(250.0 - wanted / 2.0, abs=1e-3)
    assert run[-1]["x1"] * MM == pytest.approx(250.0 + wanted / 2.0, abs=1e-3)


def test_widths_agree_with_the_library(written):
    for text in some(("1465.2", "Ø 600 × 40", "AVAST to WAY, 45°")):
        size = lettering.em_size(2.5)
        for weight in some(lettering.WEIGHTS):
            width = lettering.width(text, 2.5, weight)
            assert pdfmetrics.stringWidth(text, f"{FAMILY}-{weight}", size) == pytest.approx(width, abs=1e-3)


def test_only_our_font_is_inside_and_embedded(pdf, written):
    assert {char["fontname"].split("+")[-1] for char in pdf.pages[0].chars} == {
        "IBMPlexSansCond",
        "IBMPlexSansCond-SmBld",
    }
    assert b"/FontFile2" in written and b"Helvetica" not in written


def test_metadata_outline_and_print_scaling(pdf, written):
    assert pdf.metadata["Title"] == "Sample set"
    assert pdf.metadata["Keywords"] == "revision: A; data: 0123abcd"
    assert b"/PrintScaling /None" in written
    titles = [entry[1] for entry in pdf.doc.get_outlines()]
    assert titles == ["Sample sheet", "Strip"]


def test_a_second_run_gives_the_same_bytes(written):
    assert pdf_bytes([sample_sheet(), second()], "Sample set", {"revision": "A", "data": "0123abcd"}) == written


def test_what_cannot_be_written_is_refused():
    with pytest.raises(ValueError, match="at least one sheet"):
        pdf_bytes([], "empty")
    with pytest.raises(GeometryError, match="control character"):
        pdf_bytes([replace(sample_sheet(), title="a\x02")], "t")


@pytest.mark.parametrize("words", ["usual letters", "Ωmega ≥ 5"])
def test_a_page_is_the_same_whatever_files_it_was_in_before(words):
    sheet = replace(second(), items=(*second().items, Text((30.0, 100.0), words, 3.5, "NOTE", weight="semibold")))
    alone = pdf_bytes([replace(sheet)], "t")
    other = replace(sheet, items=(Text((30.0, 50.0), "≥ Ω before", 3.5, "NOTE", weight="semibold"),))
    pdf_bytes([other, sheet], "both")
    assert pdf_bytes([sheet], "t") == pdf_bytes([sheet], "t") == alone
    assert pdf_bytes([other, sheet], "both") == pdf_bytes([replace(other), replace(sheet)], "both")
