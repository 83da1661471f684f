"""Labels: the code of each tag read back from its print, the figures those of check.json."""

from __future__ import annotations

import re
import shutil
import subprocess

import pytest
import segno
from PIL import Image

from geom.figure import Hatch
from geom.paperwork.labels.code import QUIET, modules
from geom.paperwork.labels.sheet import LABELS, label_sheets
from geom.paperwork.labels.tags import on_hold, tags
from geom.paperwork.paper import paper_bytes
from tests.boats import NAMES, refit_of, report_of
from tests.papers import faults
from tests.sheet_texts import texts_of
from tests.some import some

DPI = 254
PER_MM = DPI / 25.4


def grey(tmp_path, worked_out):
    """Return the pages of the labels as printed in grey."""
    (tmp_path / "labels.pdf").write_bytes(paper_bytes(worked_out, LABELS, label_sheets(worked_out)))
    subprocess.run(["pdftoppm", "-gray", "-png", "-r", str(DPI), "labels.pdf", "page"], cwd=tmp_path, check=True)
    return [Image.open(path).convert("L") for path in sorted(tmp_path.glob("page-*.png"))]


def seen(page, sheet, tag) -> tuple[tuple[bool, ...], ...]:
    """Return the modules of the code of a tag, by the grey of the middle of each on the printed page."""
    strips = [item for item in sheet.items if isinstance(item, Hatch) and item.tag == f"tag:{tag.name}:code"]
    xs = [x for strip in some(strips) for x, _ in strip.outline]
    ys = [y for strip in strips for _, y in strip.outline]
    count = len(modules(tag.text))
    size = (max(xs) - min(xs)) / count
    return tuple(
        tuple(
            page.getpixel((
                round((min(xs) + (column + 0.5) * size) * PER_MM),
                round((sheet.height - max(ys) + (row + 0.5) * size) * PER_MM),
            )) < 128
            for column in range(count)
        )
        for row in range(count)
    )  # fmt: skip


def test_every_code_is_printed_module_by_module(tmp_path):
    """Against the library's own code of the words that stand on the tag."""
    worked_out = refit_of("saltwhin-31")
    sheets = label_sheets(worked_out)
    pages = grey(tmp_path, worked_out)
    texts = texts_of(sheets)
    for tag in some(tags(worked_out)):
        page, sheet = next(
            pair for pair in zip(pages, sheets, strict=True)
            if any(getattr(item, "tag", "") == f"tag:{tag.name}:code" for item in pair[1].items)
        )  # fmt: skip
        words = [texts[f"tag:{tag.name}:boat"], texts[f"tag:{tag.name}:name"]]
        words += [texts[f"tag:{tag.name}:{number}"] for number in range(1, len(tag.lines) + 1)]
        code = segno.make("; ".join(words), error="m", micro=False, boost_error=False, encoding="utf-8")
        assert seen(page, sheet, tag) == tuple(tuple(bool(module) for module in row) for row in code.matrix)


@pytest.mark.skipif(shutil.which("zbarimg") is None, reason="no reader of codes on this machine")
def test_a_reader_reads_what_stands_on_the_tags(tmp_path):
    worked_out = refit_of("saltwhin-31")
    grey(tmp_path, worked_out)
    pages = sorted(str(path) for path in tmp_path.glob("page-*.png"))
    said = subprocess.run(["zbarimg", "--raw", "-q", *pages], capture_output=True, text=True, check=True).stdout
    assert sorted(line for line in said.splitlines() if line) == sorted(tag.text for tag in tags(worked_out))


def test_a_code_has_its_quiet_zone():
    worked_out = refit_of("pipwing-25")
    sheet = label_sheets(worked_out)[0]
    tag = tags(worked_out)[0]
    strips = [item for item in sheet.items if isinstance(item, Hatch) and item.tag == f"tag:{tag.name}:code"]
    xs = [x for strip in some(strips) for x, _ in strip.outline]
    size = (max(xs) - min(xs)) / len(modules(tag.text))
    assert (max(xs) - min(xs)) + 2 * QUIET * size == pytest.approx(36.0)
    assert size > 0.4, "modules too small for a telephone's camera; common practice, no source"


@pytest.mark.parametrize("name", NAMES)
def test_the_figures_of_tags_are_those_of_check_json(name):
    worked_out, report = refit_of(name), report_of(name)
    texts, mm = texts_of(label_sheets(worked_out)), 25.4 if worked_out.boat.units.length == "in" else 1.0
    held = on_hold(worked_out)
    for run in some(report["runs"]):
        lines = [text for tag, text in texts.items() if re.fullmatch(rf"tag:{run['id']}:\d+", tag)]
        if run["id"] in held:
            assert lines == []
            continue
        finished = next(line for line in some(lines) if line.startswith("finished"))
        assert float(finished.split()[1]) * mm == pytest.approx(run["finished_mm"], abs=0.051 * mm)
        if run["from_reel_mm"] is not None and mm == 1.0:
            assert f"from reel {run['from_reel_mm']:.0f} mm" in lines
    assert all(f"tag:{post['id']}:name" in texts for post in some(report["posts"]))
    assert faults(label_sheets(worked_out)) == []
