"""Sheets as issued, drawn from their SVG and from their PDF by two other programs: the same picture."""

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
from tests.boats import ROOT
from tests.made import set_of

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
    # This reader takes no font from the file: it is given the same face as an installed one.
    fonts = f"<fontconfig><dir>{ROOT / 'templates' / 'fonts'}</dir><cachedir>{folder}</cachedir></fontconfig>"
    (folder / "fonts.conf").write_text(fonts, encoding="utf-8")
    given = {**os.environ, "FONTCONFIG_FILE": str(folder / "fonts.conf")}
    command = ["rsvg-convert", "-d", str(DPI), "-p", str(DPI), "s.svg", "-o", "v.png"]
    subprocess.run(command, cwd=folder, check=True, env=given)
    subprocess.run(["pdftoppm", "-r", str(DPI), "-png", "-singlefile", "s.pdf", "p"], cwd=folder, check=True)
    found = []
    for name in ("v.png", "p.png"):
        with Image.open(folder / name) as picture:
            found.append(picture.convert("L").point(lambda value: 255 if value < 128 else 0))
    size = tuple(min(a, b) for a, b in zip(found[0].size, found[1].size, strict=True))
    assert max(abs(a - b) for a, b in zip(found[0].size, found[1].size, strict=True)) <= 1
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
