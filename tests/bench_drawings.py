"""Time and size of every sheet and format, beside what the DXF library itself needs for the same.

Run by hand: `python tests/bench_drawings.py [BOAT]`. Prints; asserts nothing about time.

SVG and PDF stand against the DXF library's own drawing add-on, which renders the layout of our `cad` file, already
loaded, by its own SVG writer and by its plotting back end. DXF stands against the library's own cost of the same
document: every entity made again from plain values, with its extended data, and the document written.
"""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

import ezdxf
from ezdxf.addons.drawing import Frontend, RenderContext
from ezdxf.addons.drawing import layout as page_layout
from ezdxf.addons.drawing.svg import SVGBackend

from geom.figure import Sheet
from geom.render.dxf import dxf_bytes
from geom.render.faults import layout
from geom.render.pdf import pdf_bytes
from geom.render.svg import svg_bytes
from geom.sheets import SHEETS, drawing_set
from tests.boats import refit_of

Recipe = Callable[[Any], None]


def best(work: Callable[[], Any], times: int = 3) -> tuple[float, Any]:
    """Return the least processor time of several [ms], and what was made."""
    spent, made = [], None
    for _ in range(times):
        start = time.process_time()
        made = work()
        spent.append(1e3 * (time.process_time() - start))
    return min(spent), made


def paper_of(doc: Any) -> Any:
    """Return the layout of a sheet."""
    return next(one for one in doc.layouts if not one.is_modelspace)


def add_on_svg(doc: Any, sheet: Sheet) -> bytes:
    """Return the add-on's SVG of a sheet's layout."""
    backend = SVGBackend()
    Frontend(RenderContext(doc), backend).draw_layout(paper_of(doc))
    return backend.get_string(page_layout.Page(sheet.width, sheet.height)).encode("utf-8")


def add_on_pdf(doc: Any, sheet: Sheet) -> bytes:
    """Return the add-on's PDF of a sheet's layout, by its plotting back end."""
    from ezdxf.addons.drawing.matplotlib import MatplotlibBackend
    from matplotlib.backends.backend_pdf import FigureCanvasPdf
    from matplotlib.figure import Figure

    figure = Figure(figsize=(sheet.width / 25.4, sheet.height / 25.4))
    canvas = FigureCanvasPdf(figure)
    Frontend(RenderContext(doc), MatplotlibBackend(figure.add_axes((0, 0, 1, 1)))).draw_layout(paper_of(doc))
    stream = io.BytesIO()
    canvas.print_pdf(stream)
    return stream.getvalue()


def recipe(entity: Any) -> Recipe:
    """Return a function that makes an entity again in a space, its values taken beforehand."""
    kind, look = entity.dxftype(), entity.dxfattribs(drop={"handle", "owner"})
    tags = list(entity.get_xdata("TOERAIL")) if entity.has_xdata("TOERAIL") else []
    make: Callable[[Any], Any]
    if kind == "LWPOLYLINE":
        points, closed = list(entity.get_points("xy")), entity.closed
        look = {key: look[key] for key in ("layer", "ltscale") if key in look}

        def make(space: Any) -> Any:
            return space.add_lwpolyline(points, close=closed, dxfattribs=look)
    elif kind == "POLYLINE":
        corners = list(entity.points())

        def make(space: Any) -> Any:
            return space.add_polyline3d(corners, dxfattribs={"layer": look["layer"]})
    elif kind == "LEADER":
        vertices = list(entity.vertices)

        def make(space: Any) -> Any:
            return space.add_leader(vertices, dimstyle=look["dimstyle"], dxfattribs={"layer": look["layer"]})
    elif kind == "HATCH":
        paths = [list(path.vertices) for path in entity.paths]

        def make(space: Any) -> Any:
            hatch = space.add_hatch(color=256, dxfattribs={"layer": look["layer"]})
            for path in paths:
                hatch.paths.add_polyline_path(path, is_closed=True)
            return hatch
    elif kind == "INSERT":
        labels = [(one.dxf.tag, one.dxf.text, tuple(one.dxf.insert), one.dxf.height) for one in entity.attribs]

        def make(space: Any) -> Any:
            insert = space.add_blockref(look["name"], look["insert"], dxfattribs={"layer": look["layer"]})
            for tag, text, at, height in labels:
                insert.add_attrib(tag, text, at, dxfattribs={"layer": look["layer"], "height": height})
            return insert
    elif kind == "VIEWPORT":
        keys = ("center", "width", "height", "view_center_point", "view_height")
        centre, wide, high, seen, view_height = (look.get(key) for key in keys)

        def make(space: Any) -> Any:
            return space.add_viewport(centre, (wide, high), seen, view_height, dxfattribs={"layer": look["layer"]})
    else:

        def make(space: Any) -> Any:
            return space.new_entity(kind, look)

    def cook(space: Any) -> None:
        made = make(space)
        if tags:
            made.set_xdata("TOERAIL", tags)

    return cook


def is_main_viewport(entity: Any) -> bool:
    """Return whether an entity is the layout's own viewport, which every layout has from the start."""
    return entity.dxftype() == "VIEWPORT" and entity.dxf.id == 1


def library_dxf(doc: Any) -> Callable[[], bytes]:
    """Return a function that writes the same entities, tables and blocks with the library alone."""
    layers = [layer.dxfattribs(drop={"handle", "owner", "name"}) | {"name": layer.dxf.name} for layer in doc.layers]
    styles = [style.dxfattribs(drop={"handle", "owner"}) for style in doc.dimstyles]
    types = [(one.dxf.name, one.simplified_line_pattern()) for one in doc.linetypes]
    blocks = [
        (block.name, [recipe(entity) for entity in block])
        for block in doc.blocks
        if not block.is_any_layout and len(block)
    ]
    model = [recipe(entity) for entity in doc.modelspace()]
    paper = [recipe(entity) for entity in paper_of(doc) if not is_main_viewport(entity)]

    def write() -> bytes:
        fresh = ezdxf.new(doc.acad_release, units=4)
        fresh.appids.add("TOERAIL")
        for name, pattern in types:
            if name not in fresh.linetypes and pattern:
                fresh.linetypes.add(name, [sum(pattern), *pattern])
        for look in layers:
            if look["name"] not in fresh.layers:
                rest = {key: value for key, value in look.items() if key != "name" and "handle" not in key}
                fresh.layers.new(look["name"], dxfattribs=rest)
        fresh.styles.add("LETTERING", font="arial.ttf")
        for look in styles:
            if look["name"] not in fresh.dimstyles:
                rest = {key: value for key, value in look.items() if key != "name" and "handle" not in key}
                fresh.dimstyles.add(look["name"], dxfattribs=rest)
        for name, recipes in blocks:
            if name not in fresh.blocks:
                block = fresh.blocks.new(name)
                for cook in recipes:
                    cook(block)
        for space, recipes in ((fresh.modelspace(), model), (paper_of(fresh), paper)):
            for cook in recipes:
                cook(space)
        stream = io.StringIO()
        fresh.write(stream)
        return stream.getvalue().encode("utf-8")

    return write


def sheet_row(sheet: Sheet) -> dict[str, float]:
    """Print one sheet's row and return its times [ms] and sizes [kB]."""
    row: dict[str, float] = {}
    row["svg"], svg = best(lambda: svg_bytes(sheet))
    row["pdf"], pdf = best(lambda: pdf_bytes([sheet], title=sheet.title))
    row["dxf"], data = best(lambda: dxf_bytes(sheet, "cad"))
    row["plain"], plain = best(lambda: dxf_bytes(sheet, "plain"))
    row["check"], _ = best(lambda: layout(sheet))
    doc = ezdxf.read(io.StringIO(data.decode("utf-8")))
    row["add-on svg"], their_svg = best(lambda: add_on_svg(doc, sheet), times=2)
    row["add-on pdf"], their_pdf = best(lambda: add_on_pdf(doc, sheet), times=2)
    row["library dxf"], their_dxf = best(library_dxf(doc))
    files = {"svg": svg, "pdf": pdf, "dxf": data, "plain": plain}
    files |= {"add-on svg": their_svg, "add-on pdf": their_pdf, "library dxf": their_dxf}
    row |= {f"{name} kB": len(found) / 1e3 for name, found in files.items()}
    print(
        f"{sheet.name:24} {row['svg']:5.0f} {row['pdf']:5.0f} {row['dxf']:5.0f} {row['plain']:5.0f} {row['check']:5.0f}"
        f" | {row['add-on svg']:6.0f} {row['add-on pdf']:6.0f} {row['library dxf']:6.0f}"
        f" | {(row['add-on svg'] + row['add-on pdf']) / (row['svg'] + row['pdf']):5.1f}"
        f" {row['dxf'] / row['library dxf']:5.2f} {row['check'] / (row['svg'] + row['pdf'] + row['dxf']):5.2f}"
        f" | {row['svg kB']:4.0f} {row['pdf kB']:4.0f} {row['dxf kB']:4.0f} {row['plain kB']:4.0f}"
        f" | {row['add-on svg kB']:5.0f} {row['add-on pdf kB']:5.0f} {row['library dxf kB']:5.0f}"
    )
    return row


def placement(name: str) -> float:
    """Print the time that each kind of sheet takes to be placed; return it for the whole set [ms]."""
    worked_out = refit_of(name)
    spent = {make.__name__: best(lambda make=make: make(worked_out))[0] for make in SHEETS}
    print("placed, ms: " + ", ".join(f"{maker} {took:.0f}" for maker, took in spent.items()))
    return best(lambda: drawing_set(worked_out))[0]


def main(name: str) -> None:
    """Print times, sizes and ratios of a boat's drawing set."""
    sheets = drawing_set(refit_of(name))
    print(f"{name}: {len(sheets)} sheets; least of three runs, processor time")
    print(
        f"{'sheets that draw to scale':24} ms:svg pdf   dxf plain check | add-on svg, pdf, library dxf"
        " | add-on/svg+pdf, dxf/library, check/all | kB: svg pdf dxf plain | add-on svg, pdf, library dxf"
    )
    scaled = [sheet_row(sheet) for sheet in sheets if sheet.views]
    whole = {key: sum(row[key] for row in scaled) for key in scaled[0]}
    ours = whole["svg"] + whole["pdf"]
    theirs = whole["add-on svg"] + whole["add-on pdf"]
    print(f"SVG + PDF: ours {ours:.0f} ms, the add-on {theirs:.0f} ms: {theirs / ours:.1f} times")
    for kind in ("svg", "pdf"):
        mine, other = whole[kind], whole[f"add-on {kind}"]
        print(f"{kind.upper()} alone: ours {mine:.0f} ms, the add-on {other:.0f} ms: {other / mine:.1f} times")
        mine, other = whole[f"{kind} kB"], whole[f"add-on {kind} kB"]
        print(f"{kind.upper()} size: ours {mine:.0f} kB, the add-on {other:.0f} kB: {other / mine:.1f} times")
    print(
        f"DXF: ours {whole['dxf']:.0f} ms, the library's own cost {whole['library dxf']:.0f} ms: "
        f"{whole['dxf'] / whole['library dxf']:.2f} times"
    )
    check = [(best(lambda sheet=sheet: layout(sheet), 2)[0]) for sheet in sheets]
    render = [
        sum(best(work, 2)[0] for work in (lambda s=s: svg_bytes(s), lambda s=s: pdf_bytes([s], title=s.title)))
        for s in sheets
    ]
    placed = placement(name)
    print(
        f"whole set: placed {placed:.0f} ms, layout check {sum(check):.0f} ms, SVG + PDF {sum(render):.0f} ms, "
        f"DXF {whole['dxf']:.0f} ms: placing and checking take "
        f"{(placed + sum(check)) / (sum(render) + whole['dxf']):.2f} of rendering to SVG, PDF and DXF, "
        f"{(placed + sum(check)) / sum(render):.2f} of SVG and PDF alone"
    )


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "saltwhin-31")
