"""The plain DXF of every sheet that draws to scale, opened by readers that share no code with us.

GDAL lists every text as it stands in the file. LibreCAD letters with its own strokes, so its print is looked at as
a picture: where each text belongs there is ink, and none of it without the texts.
"""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
from collections import Counter
from functools import cache
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from PIL import Image

from geom.figure import Dimension, Ordinate, Sheet, Text
from geom.render.explode import dimension_text, pieces
from geom.render.plane import extent, text_box
from tests.counts import TIMES
from tests.made import dxf_of, set_of
from tests.some import some

DPI = 150
BOAT = "saltwhin-31"

pytestmark = pytest.mark.slow


@cache
def scaled_sheets() -> tuple[Sheet, ...]:
    return tuple(sheet for sheet in set_of(BOAT) if sheet.views)


def plain_dxf(sheet: Sheet) -> bytes:
    return dxf_of(BOAT, set_of(BOAT).index(sheet), "plain")


def of_each_kind() -> tuple[Sheet, ...]:
    """Return the last sheet of each kind, as F1d of the post cards F1a to F1d; every sheet in a long run."""
    if TIMES > 1:
        return scaled_sheets()
    kinds = {re.match(r"[A-Z]+\d+", sheet.name)[0]: sheet for sheet in scaled_sheets()}
    assert 5 < len(kinds) <= len(scaled_sheets())
    return tuple(kinds.values())


def texts_of(sheet: Sheet) -> list[Text]:
    return [piece.shape for piece in pieces(sheet) if isinstance(piece.shape, Text)]


def dimension_texts(sheet: Sheet) -> list[str]:
    return [
        dimension_text(item, view)
        for view in sheet.views
        for item in view.items
        if isinstance(item, Dimension | Ordinate)
    ]


def needs(program: str) -> pytest.MarkDecorator:
    return pytest.mark.skipif(shutil.which(program) is None, reason=f"{program} is not installed")


def gdal_texts(folder: Path, data: bytes) -> Counter[str]:
    (folder / "sheet.dxf").write_bytes(data)
    run = subprocess.run(["ogrinfo", "-al", "sheet.dxf"], cwd=folder, capture_output=True, text=True, check=True)
    return Counter(line.split(" = ", 1)[1] for line in run.stdout.splitlines() if " Text (String) = " in line)


@needs("ogrinfo")
def test_gdal_lists_every_dimension_and_every_other_text(tmp_path):
    count = 0
    for sheet in scaled_sheets():
        found = gdal_texts(tmp_path, plain_dxf(sheet))
        assert Counter(dimension_texts(sheet)) <= found, sheet.name
        wanted = Counter(text.text for text in texts_of(sheet))
        # A filled area's pattern is listed as a text, too.
        del found["SOLID"]
        (note,) = found - wanted
        assert (found - Counter([note]), note[:13]) == (wanted, "1 unit = 1 mm"), sheet.name
        count += len(dimension_texts(sheet))
    assert count > 200


@needs("ogrinfo")
def test_a_text_changed_or_lost_is_missed_by_gdal(tmp_path):
    sheet = scaled_sheets()[0]
    doc = ezdxf.read(io.StringIO(plain_dxf(sheet).decode("cp1252")))
    one = next(e for e in doc.modelspace().query("TEXT") if e.dxf.text == dimension_texts(sheet)[0])
    one.dxf.text = "999.9"
    assert not Counter(dimension_texts(sheet)) <= gdal_texts(tmp_path, written(doc))


def written(doc) -> bytes:
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode("cp1252")


def without(data: bytes, dropped) -> bytes:
    """Return a plain file without some of its lettering; the note on units stays, as it stretches the print."""
    doc = ezdxf.read(io.StringIO(data.decode("cp1252")))
    space = doc.modelspace()
    for entity in list(space.query("TEXT")):
        if dropped(entity) and not entity.dxf.text.startswith("1 unit"):
            space.delete_entity(entity)
    return written(doc)


def librecad_picture(folder: Path, data: bytes) -> np.ndarray:
    """Return LibreCAD's print of a file as rows of ink and no ink."""
    (folder / "sheet.dxf").write_bytes(data)
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    command = ["librecad", "dxf2pdf", "-a", "-k", "sheet.dxf"]
    subprocess.run(command, cwd=folder, env=environment, capture_output=True, timeout=120, check=True)
    command = ["pdftoppm", "-r", str(DPI), "-gray", "-singlefile", "sheet.pdf", "sheet"]
    subprocess.run(command, cwd=folder, check=True)
    return np.asarray(Image.open(folder / "sheet.pgm")) < 200


class Place:
    """Where paper millimetres lie in a picture: found by the frame, the outermost long strokes."""

    def __init__(self, sheet: Sheet, ink: np.ndarray) -> None:
        assert sheet.frame is not None
        columns = np.flatnonzero(ink.sum(axis=0) > 0.6 * ink.shape[0])
        rows = np.flatnonzero(ink.sum(axis=1) > 0.6 * ink.shape[1])
        self.left, self.right, self.top, self.bottom = columns[0], columns[-1], rows[0], rows[-1]
        self.across = (self.right - self.left) / sheet.frame.width
        self.down = (self.bottom - self.top) / sheet.frame.height
        self.frame = sheet.frame

    def window(self, text: Text) -> tuple[slice, slice]:
        """Return rows and columns of the picture round a text's box."""
        box = extent(text_box(text))
        x0, x1 = (self.left + (x - self.frame.left) * self.across for x in (box.left, box.right))
        y0, y1 = (self.bottom - (y - self.frame.bottom) * self.down for y in (box.top, box.bottom))
        return slice(int(y0) - 1, int(y1) + 2), slice(int(x0) - 1, int(x1) + 2)


def unseen(sheet: Sheet, shown: np.ndarray, bare: np.ndarray) -> list[str]:
    """Return the texts of a sheet at whose place a print has no ink beyond that of the print without texts."""
    place, without_texts = Place(sheet, shown), Place(sheet, bare)
    found = []
    for text in texts_of(sheet):
        window = shown[place.window(text)]
        # A print is fitted to its page by its extents: a wide text shifts it and makes it smaller.
        strokes = thickened(resampled(bare[without_texts.window(text)], window.shape))
        if not (window & ~strokes).any():
            found.append(text.text)
    return found


def resampled(ink: np.ndarray, shape: tuple[int, ...]) -> np.ndarray:
    rows, columns = (np.arange(wanted) * given // wanted for wanted, given in zip(shape, ink.shape, strict=True))
    return ink[np.ix_(rows, columns)]


def thickened(ink: np.ndarray) -> np.ndarray:
    """Return ink with the pixels beside it, so that rounding to pixels leaves no edge."""
    wide = np.pad(ink, 1)
    return np.any([np.roll(wide, (down, along), (0, 1)) for down in (-1, 0, 1) for along in (-1, 0, 1)], 0)[1:-1, 1:-1]


@needs("librecad")
@needs("pdftoppm")
@pytest.mark.long
def test_librecad_letters_every_text_at_its_place(tmp_path):
    for sheet in some(of_each_kind()):
        data = plain_dxf(sheet)
        shown = librecad_picture(tmp_path, data)
        bare = librecad_picture(tmp_path, without(data, lambda entity: True))
        place = Place(sheet, bare)
        assert place.across == pytest.approx(place.down, rel=2e-3), "the print is not stretched"
        assert unseen(sheet, shown, bare) == [], sheet.name


@needs("librecad")
@needs("pdftoppm")
def test_a_text_lost_is_missed_in_the_print(tmp_path):
    sheet = next(sheet for sheet in scaled_sheets() if "profiles" in sheet.name)
    data, lost = plain_dxf(sheet), dimension_texts(sheet)[0]
    bare = librecad_picture(tmp_path, without(data, lambda entity: True))
    shown = librecad_picture(tmp_path, without(data, lambda entity: entity.dxf.text == lost))
    assert unseen(sheet, shown, bare) == [lost] * dimension_texts(sheet).count(lost)
