"""Draws the template of a yard's frame, to be renewed by hand: `python tests/make_frame_template.py`.

Invented: another arrangement of the title block than ours, as a yard's own frame would have, with one block for
each sheet size and an attribute for each field.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import ezdxf

from geom.drafting.paper import SERIES, Paper

TEMPLATE = Path(__file__).parent.parent / "templates" / "frames" / "yard-frame.dxf"
LINES, LETTERS = "YARD-FRAME", "YARD-TITLE"
LABEL, VALUE = 1.8, 2.5
ROWS: tuple[tuple[float, tuple[tuple[str, str, float], ...]], ...] = (
    (8.5, (("OWNER", "Owner", 60.0), ("TITLE", "Title", 120.0))),
    (
        8.0,
        (
            ("NUMBER", "Drawing", 34.0), ("REVISION", "Rev.", 14.0), ("DATE", "Issued", 26.0), ("SHEET", "Sheet", 14.0),
            ("SHEETS", "of", 14.0), ("PAPER", "Paper", 18.0), ("SCALE", "Scale", 22.0), ("PROJECTION", "Views", 38.0),
        ),
    ),
    (
        7.75,
        (
            ("CREATOR", "Drawn", 45.0), ("APPROVAL", "Approved", 45.0), ("KIND", "Kind", 52.0),
            ("STATUS", "Status", 38.0),
        ),
    ),
    (
        7.75,
        (
            ("UNITS", "Units", 34.0), ("LANGUAGE", "Lang.", 12.0), ("SURVEY", "Survey", 60.0),
            ("TOLERANCE", "Tolerance", 46.0), ("DATA", "Data", 28.0),
        ),
    ),
)  # fmt: skip


def draw(block, paper: Paper) -> None:
    """Draw the frame of one sheet size into a block."""
    width, height, frame = paper.width, paper.height, paper.frame
    left, right, bottom, top = frame.left, frame.right, frame.bottom, frame.top

    def box(a: float, b: float, c: float, d: float, weight: int) -> None:
        look = {"layer": LINES, "lineweight": weight}
        block.add_lwpolyline([(a, b), (c, b), (c, d), (a, d)], close=True, dxfattribs=look)

    box(0.0, 0.0, width, height, 13)
    box(left, bottom, right, top, 70)
    start = right - 180.0
    y = bottom + sum(high for high, _ in ROWS)
    box(start, bottom, right, y, 70)
    for high, cells in ROWS:
        x = start
        for tag, label, wide in cells:
            if x > start:
                block.add_line((x, y), (x, y - high), dxfattribs={"layer": LINES, "lineweight": 35})
            look = {"layer": LETTERS, "style": "YARD"}
            block.add_text(label, height=LABEL, dxfattribs=look).set_placement((x + 1.0, y - 1.0 - LABEL))
            size = 3.5 if tag == "TITLE" else VALUE
            block.add_attdef(tag, (x + 1.0, y - high + 1.4), "", height=size, dxfattribs={**look, "width": 0.85})
            x += wide
        y -= high
        if y > bottom + 0.1:
            block.add_line((start, y), (right, y), dxfattribs={"layer": LINES, "lineweight": 35})


def template() -> bytes:
    """Return the template's bytes."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        doc = ezdxf.new("R2000", units=4)
        doc.header["$MEASUREMENT"] = 1
        doc.layers.add(LINES, color=7)
        doc.layers.add(LETTERS, color=7, lineweight=25)
        doc.styles.add("YARD", font="arial.ttf")
        sizes = [size for series in SERIES.values() for size in series.items()]
        for name, (width, height) in sizes:
            # The smallest sheets stand upright: forms to be filled in.
            size = (height, width) if name in ("A4", "ANSI A") else (width, height)
            draw(doc.blocks.new(f"YARD-FRAME-{name.replace(' ', '-')}"), Paper(name, *size))
        for kind in sorted(doc.entitydb.dxf_types_in_use()):
            doc.classes.add_class(kind)
        stream = io.StringIO()
        doc.write(stream)
        return stream.getvalue().encode("cp1252")
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


if __name__ == "__main__":
    TEMPLATE.parent.mkdir(exist_ok=True)
    TEMPLATE.write_bytes(template())
    print(f"{TEMPLATE.name}: {TEMPLATE.stat().st_size / 1000.0:.0f} kB")
