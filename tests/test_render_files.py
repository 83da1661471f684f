"""The written files under other readers, other processes and as pictures."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import math
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from geom.figure import Text
from geom.render.dxf import dxf_bytes
from geom.render.explode import explode
from geom.render.pdf import pdf_bytes
from geom.render.svg import svg_bytes
from tests.render_sample import sample_sheet

ROOT = Path(__file__).parent.parent

PROGRAM = """
import hashlib
from geom.render.dxf import dxf_bytes
from geom.render.pdf import pdf_bytes
from geom.render.svg import svg_bytes
from tests.render_sample import sample_sheet
sheet = sample_sheet()
files = svg_bytes(sheet), pdf_bytes([sheet], "t"), dxf_bytes(sheet, "cad"), dxf_bytes(sheet, "plain")
print(*(hashlib.sha256(data).hexdigest() for data in files))
"""


def needs(program: str) -> pytest.MarkDecorator:
    return pytest.mark.skipif(shutil.which(program) is None, reason=f"{program} is not installed")


def texts() -> set[str]:
    return {shape.text for group in explode(sample_sheet()) for shape in group.items if isinstance(shape, Text)}


def test_other_processes_write_the_same_bytes():
    sheet = sample_sheet()
    files = svg_bytes(sheet), pdf_bytes([sheet], "t"), dxf_bytes(sheet, "cad"), dxf_bytes(sheet, "plain")
    here = [hashlib.sha256(data).hexdigest() for data in files]
    for seed in ("0", "1", "5", "4711"):
        run = subprocess.run(
            [sys.executable, "-c", PROGRAM],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed, "TZ": "Asia/Tokyo"},
            capture_output=True,
            text=True,
            check=True,
        )
        assert run.stdout.split() == here


def nudged(node: Any) -> Any:
    """Return items with every coordinate off by its last binary digit, as another Python might add it up."""
    if dataclasses.is_dataclass(node):
        held = {field.name: getattr(node, field.name) for field in dataclasses.fields(node)}
        return dataclasses.replace(node, **{name: nudged(value) for name, value in held.items()})
    if isinstance(node, tuple):
        if node and all(isinstance(value, float) for value in node):
            return tuple(math.nextafter(value, math.inf) if value else value for value in node)
        return tuple(nudged(value) for value in node)
    return node


def test_the_last_digit_of_a_coordinate_changes_no_byte():
    sheet = sample_sheet()
    other = nudged(sheet)
    assert other != sheet
    for flavour in ("cad", "plain"):
        assert dxf_bytes(other, flavour) == dxf_bytes(sheet, flavour)
    assert svg_bytes(other) == svg_bytes(sheet)
    assert pdf_bytes([other], "t") == pdf_bytes([sheet], "t")


def test_looking_for_faults_loads_no_file_library():
    program = (
        "import sys; from geom.render.faults import faults; from tests.render_sample import sample_sheet;"
        "import geom.render.svg, geom.render.pdf, geom.render.dxf; faults(sample_sheet());"
        "print([m for m in ('ezdxf', 'svgwrite', 'reportlab', 'cadquery') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


@needs("ogrinfo")
def test_gdal_reads_every_text_of_the_plain_file(tmp_path):
    path = tmp_path / "plain.dxf"
    path.write_bytes(dxf_bytes(sample_sheet(), "plain"))
    run = subprocess.run(["ogrinfo", "-al", path.name], cwd=tmp_path, capture_output=True, text=True, check=True)
    found = {line.split(" = ", 1)[1] for line in run.stdout.splitlines() if " Text (String) = " in line}
    assert texts() <= found


@needs("librecad")
@pytest.mark.parametrize("flavour", ["plain", "cad"])
def test_librecad_opens_and_prints_the_file(tmp_path, flavour):
    path = tmp_path / "sheet.dxf"
    path.write_bytes(dxf_bytes(sample_sheet(), flavour))
    subprocess.run(
        ["librecad", "dxf2pdf", "-a", "-k", path.name],
        cwd=tmp_path,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        timeout=120,
        check=True,
    )
    with pdfplumber.open(tmp_path / "sheet.pdf") as pdf:
        page = pdf.pages[0]
        assert len(page.lines) + len(page.curves) + len(page.rects) > 60


@needs("rsvg-convert")
@needs("pdftoppm")
def test_svg_and_pdf_look_alike(tmp_path):
    """Ink of one picture without ink of the other within 2 pixels: hardly any, at 110 dots per inch."""
    from PIL import Image, ImageChops, ImageFilter

    (tmp_path / "s.svg").write_bytes(svg_bytes(sample_sheet()))
    (tmp_path / "s.pdf").write_bytes(pdf_bytes([sample_sheet()], "t"))
    # This reader takes no font from the file: it is given the same face as an installed one.
    fonts = Path(__file__).parent.parent / "templates" / "fonts"
    (tmp_path / "fonts.conf").write_text(
        f"<fontconfig><dir>{fonts}</dir><cachedir>{tmp_path}</cachedir></fontconfig>", encoding="utf-8"
    )
    command = ["rsvg-convert", "-d", "110", "-p", "110", "s.svg", "-o", "v.png"]
    given = {**os.environ, "FONTCONFIG_FILE": str(tmp_path / "fonts.conf")}
    subprocess.run(command, cwd=tmp_path, check=True, env=given)
    subprocess.run(["pdftoppm", "-r", "110", "-png", "-singlefile", "s.pdf", "p"], cwd=tmp_path, check=True)
    pictures = []
    for name in ("v.png", "p.png"):
        grey = Image.open(io.BytesIO((tmp_path / name).read_bytes())).convert("L")
        pictures.append(grey.point(lambda value: 255 if value < 128 else 0))
    assert abs(pictures[0].width - pictures[1].width) <= 1 and abs(pictures[0].height - pictures[1].height) <= 1
    size = tuple(min(a, b) for a, b in zip(pictures[0].size, pictures[1].size, strict=True))
    first, second = (picture.crop((0, 0, *size)) for picture in pictures)
    for one, other in ((first, second), (second, first)):
        lone = ImageChops.subtract(one, other.filter(ImageFilter.MaxFilter(5)))
        ink, unmatched = one.histogram()[255], lone.histogram()[255]
        assert ink > 5000
        assert unmatched / ink < 0.02
