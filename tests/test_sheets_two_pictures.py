"""Sheets as issued, drawn from their SVG by two programs and from their PDF by a third: the same picture."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import maximum_filter

from geom.render.pdf import pdf_bytes
from geom.render.svg import svg_bytes
from tests.made import set_of
from tests.some import some

# Thin lines are two dots wide here; ink counts as matched within half a millimetre, as lettering is hinted otherwise.
DPI, WITHIN = 200, 9
LIMIT = 0.02
SHEETS = {
    "saltwhin-31": ("G1", "G3", "F1", "F3", "R1", "A1"),
    "pipwing-25": ("R6",),
}


def pictures(folder: Path, svg: bytes, pdf: bytes) -> tuple[Image.Image, Image.Image]:
    (folder / "s.svg").write_bytes(svg)
    (folder / "s.pdf").write_bytes(pdf)
    # This reader takes no font from the file, and here it finds none installed.
    (folder / "fonts.conf").write_text(f"<fontconfig><cachedir>{folder}</cachedir></fontconfig>", encoding="utf-8")
    given = {**os.environ, "FONTCONFIG_FILE": str(folder / "fonts.conf")}
    command = ["rsvg-convert", "-d", str(DPI), "-p", str(DPI), "s.svg", "-o", "v.png"]
    subprocess.run(command, cwd=folder, check=True, env=given)
    subprocess.run(["pdftoppm", "-r", str(DPI), "-png", "-singlefile", "s.pdf", "p"], cwd=folder, check=True)
    return alike_in_size(*(black(folder / name) for name in ("v.png", "p.png")))


def black(path: Path) -> Image.Image:
    """Return the ink of a picture."""
    with Image.open(path) as picture:
        return picture.convert("L").point(lambda value: 255 if value < 128 else 0)


def alike_in_size(*found: Image.Image) -> tuple[Image.Image, Image.Image]:
    """Return two pictures without the rows or columns that one has more: a browser's window is whole CSS pixels."""
    size = tuple(min(a, b) for a, b in zip(found[0].size, found[1].size, strict=True))
    assert max(abs(a - b) for a, b in zip(found[0].size, found[1].size, strict=True)) <= 2
    return found[0].crop((0, 0, *size)), found[1].crop((0, 0, *size))


def unmatched(one: Image.Image, other: Image.Image) -> float:
    """Return the share of one picture's ink that has none of the other near it."""
    ink = np.asarray(one)
    lone = (ink > 0) & (maximum_filter(np.asarray(other), WITHIN) == 0)
    return np.count_nonzero(lone) / np.count_nonzero(ink)


@pytest.mark.skipif(shutil.which("rsvg-convert") is None, reason="rsvg-convert is not installed")
@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm is not installed")
@pytest.mark.parametrize(("boat", "name"), [(boat, name) for boat, names in SHEETS.items() for name in names])
def test_the_svg_and_the_pdf_of_a_sheet_look_alike(tmp_path, boat, name):
    sheet = next(sheet for sheet in set_of(boat) if sheet.name.startswith(name))
    one, other = pictures(tmp_path, svg_bytes(sheet), pdf_bytes([sheet], "t"))
    assert one.histogram()[255] > 20_000
    assert unmatched(one, other) < LIMIT and unmatched(other, one) < LIMIT


@pytest.mark.skipif(shutil.which("rsvg-convert") is None, reason="rsvg-convert is not installed")
@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm is not installed")
def test_two_different_sheets_do_not_look_alike(tmp_path):
    first, second = (sheet for sheet in set_of("saltwhin-31") if sheet.name in ("G2-deck-plan", "G3-profiles"))
    one, other = pictures(tmp_path, svg_bytes(first), pdf_bytes([second], "t"))
    assert unmatched(one, other) > LIMIT


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm is not installed")
@pytest.mark.parametrize("name", ["G1", "F1"])
def test_a_browser_shows_the_svg_as_the_pdf_is_and_marks_its_texts(tmp_path, name, running):
    """The lettering that a reader marks is as long as its outlines, a single letter apart, and is copied as text."""
    sheet = next(sheet for sheet in set_of("saltwhin-31") if sheet.name.startswith(name))
    (tmp_path / "s.svg").write_bytes(svg_bytes(sheet))
    (tmp_path / "s.pdf").write_bytes(pdf_bytes([sheet], "t"))
    subprocess.run(["pdftoppm", "-r", str(DPI), "-png", "-singlefile", "s.pdf", "p"], cwd=tmp_path, check=True)
    factor = DPI / 96.0
    size = {"width": round(sheet.width / 25.4 * 96.0), "height": round(sheet.height / 25.4 * 96.0)}
    with running.new_context(viewport=size, device_scale_factor=factor) as context:
        page = context.new_page()
        page.goto((tmp_path / "s.svg").as_uri())
        page.screenshot(path=tmp_path / "v.png")
        wide = page.evaluate(
            """() => [...document.querySelectorAll('text')].filter(text => text.getNumberOfChars() > 1).map(text => {
            const a = text.getStartPositionOfChar(0), b = text.getEndPositionOfChar(text.getNumberOfChars() - 1);
            return [Math.hypot(a.x - b.x, a.y - b.y), text.getAttribute('textLength')]; })"""
        )
        chosen = page.evaluate(
            """() => { const text = [...document.querySelectorAll('text')].find(t => t.textContent === 'SALTWHIN 31');
            getSelection().selectAllChildren(text); return getSelection().toString().trim(); }"""
        )
    assert chosen == "SALTWHIN 31"
    for computed, stated in some(wide):
        assert computed == pytest.approx(float(stated), abs=0.5)
    one, other = alike_in_size(black(tmp_path / "v.png"), black(tmp_path / "p.png"))
    assert unmatched(one, other) < LIMIT and unmatched(other, one) < LIMIT
