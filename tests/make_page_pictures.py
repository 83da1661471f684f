"""Writes out/page-<boat>.png: sections of the page on phone and desk, light and dark, side by side, to be looked at.

Run by .ci/renew, or by hand: `python -m tests.make_page_pictures saltwhin-31`.
"""

from __future__ import annotations

import io
import sys
import tempfile
from pathlib import Path

from PIL import Image

from geom.package import drawing_sheets, page_file
from geom.refit import read_refit
from tests.boats import BOATS, ROOT
from tests.browser import browser, opened

PHONE, DESK = (390, 844), (1440, 900)
VIEWS = (
    (PHONE, "light", ("items", "boat", "lines", "run-S-F-U", "run-S-G-U")),
    (PHONE, "dark", ("run-S-F-U", "post-S-S2", "tension", "log", "sheet-R1-starboard-upper")),
    (DESK, "light", ("boat", "run-S-F-U", "sheet-G2-deck-plan")),
    (DESK, "dark", ("items", "lines", "order")),
)
HEIGHT, GAP = 520, 12


def pictures(name: str) -> list[list[Image.Image]]:
    """Return the pictures of a boat's page, row by row; all phones are in the first."""
    worked_out = read_refit(str(BOATS / f"{name}.yaml"))
    rows = []
    with tempfile.TemporaryDirectory() as folder, browser() as running:
        file = Path(folder) / "refit.html"
        file.write_bytes(page_file(worked_out, drawing_sheets(worked_out)))
        for size, scheme, places in VIEWS:
            row = []
            with opened(running, file.as_uri(), size, scheme) as seen:
                for place in places:
                    seen.section(place)
                    if place.startswith("sheet-"):
                        seen.until("() => !document.getElementById('reader').hidden")
                    seen.page.wait_for_timeout(400)
                    shot = Image.open(io.BytesIO(seen.page.screenshot())).convert("RGB")
                    row.append(
                        shot.resize((round(HEIGHT * shot.width / shot.height), HEIGHT), Image.Resampling.LANCZOS)
                    )
            if size == PHONE and rows:
                rows[-1] += row
            else:
                rows.append(row)
    return rows


def sheet(rows: list[list[Image.Image]]) -> Image.Image:
    """Return rows of pictures as one picture."""
    wide = max(sum(one.width + GAP for one in row) for row in rows) + GAP
    whole = Image.new("RGB", (wide, len(rows) * (HEIGHT + GAP) + GAP), "#808080")
    for down, row in enumerate(rows):
        across = GAP
        for one in row:
            whole.paste(one, (across, GAP + down * (HEIGHT + GAP)))
            across += one.width + GAP
    return whole.convert("P", palette=Image.Palette.ADAPTIVE, colors=32)


if __name__ == "__main__":
    for boat in sys.argv[1:] or ["saltwhin-31"]:
        sheet(pictures(boat)).save(ROOT / "out" / f"page-{boat}.png", optimize=True)
