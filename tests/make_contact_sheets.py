"""Draws a contact sheet of each larger starter boat's set; `.ci/renew` calls it.

Needs poppler (pdftoppm) and ImageMagick (montage). Small on purpose: they show at a glance what the set is, the
sheets themselves stand in the package.
"""

from __future__ import annotations

import hashlib
import io
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from PIL import Image
from PIL.PngImagePlugin import PngInfo

from geom.figure import Sheet
from geom.render.pdf import pdf_bytes
from geom.render.svg import svg_bytes
from geom.sheets import drawing_set
from tests.boats import ROOT, refit_of

BOATS = ("saltwhin-31", "pipwing-25")
# Key of the picture's text that names the sheets it shows.
SHOWS = "sheets"
# All that is committed in out/ has to stay under 8 MB.
MOST = 400_000
# Widths of one sheet's picture that are tried, the largest first.
WIDTHS = (700, 640, 560, 480, 400, 360, 320, 280, 240, 220, 200, 180, 160)
# Black, grey and white, and up to which grey of the shrunk picture each goes: thin lines have to stay.
GREYS = (0, 150, 255)
UP_TO = (100, 215, 255)
BACKGROUND = "#969696"
ACROSS = 6
DENSITY = "60"


def few_greys(path: Path, shown: str) -> bytes:
    """Return a grey picture as PNG with the few greys of its palette, and in its text what it shows."""
    stated = [next(index for index, maximum in enumerate(UP_TO) if value <= maximum) for value in range(256)]
    grey = Image.open(path).convert("L").point(stated)
    grey.putpalette([GREYS[index // 3] for index in range(3 * len(GREYS))])
    said = PngInfo()
    said.add_text(SHOWS, shown)
    stream = io.BytesIO()
    grey.save(stream, "PNG", optimize=True, bits=2, pnginfo=said)
    return stream.getvalue()


def shown_by(sheets: Sequence[Sheet]) -> str:
    """Return the hash of the sheets that a contact sheet shows, by which a test finds a stale one."""
    digest = hashlib.sha256()
    for sheet in sheets:
        digest.update(svg_bytes(sheet))
    return digest.hexdigest()


def contact_sheet(name: str, folder: Path) -> bytes:
    """Return one picture of all sheets of a boat as PNG, as large as stays under the limit."""
    sheets = drawing_set(refit_of(name))
    (folder / "set.pdf").write_bytes(pdf_bytes(sheets, title=name))
    subprocess.run(["pdftoppm", "-r", DENSITY, "-gray", "set.pdf", "page"], cwd=folder, check=True)
    pages = sorted(path.name for path in folder.glob("page-*.pgm"))
    assert len(pages) == len(sheets)
    for width in WIDTHS:
        command = ["montage", *pages, "-resize", f"{width}x{width}", "-tile", f"{ACROSS}x", "-geometry", "+5+5"]
        command += ["-background", BACKGROUND, "-depth", "8", "contact.pgm"]
        subprocess.run(command, cwd=folder, check=True)
        data = few_greys(folder / "contact.pgm", shown_by(sheets))
        if len(data) < MOST:
            print(f"{name}: {len(sheets)} sheets, {width} px wide each, {len(data) / 1000.0:.0f} kB")
            return data
    raise RuntimeError(f"no contact sheet of {name} under {MOST / 1000.0:.0f} kB")


if __name__ == "__main__":
    for boat in BOATS:
        with tempfile.TemporaryDirectory() as temporary:
            picture = contact_sheet(boat, Path(temporary))
        (ROOT / "out" / f"contact-{boat}.png").write_bytes(picture)
