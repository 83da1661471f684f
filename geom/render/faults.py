"""An automatic look over a drawn sheet: lettering that collides, spills out of its cell or leaves its frame."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom import lettering
from geom.figure import Point, Rect, Sheet, Table, View
from geom.render.collisions import LayoutFault, collisions, letterings, name_of
from geom.render.explode import SHEET, pieces
from geom.render.pieces import Piece
from geom.render.plane import extent, flatten
from geom.render.style import DRAFTING, Style

__all__ = ["Allowance", "Layout", "LayoutFault", "faults", "layout", "model_window"]

_BORDER = ("FRAME", "GRID", "TITLE")
_ROUNDING = 0.01


@dataclass(frozen=True)
class Allowance:
    """A collision that is meant: the beginnings of the two things `LayoutFault` names, and why it may stand.

    Raises:
        ValueError: an empty beginning or an empty reason, which would allow too much.
    """

    first: str
    second: str
    reason: str

    def __post_init__(self) -> None:
        if not (self.first and self.second and self.reason):
            raise ValueError("an allowance needs two beginnings and a reason")

    def covers(self, fault: LayoutFault) -> bool:
        """Return whether a fault is the collision that this allowance means, in either order."""
        pairs = ((fault.first, fault.second), (fault.second, fault.first))
        return any(a.startswith(self.first) and b.startswith(self.second) for a, b in pairs)


@dataclass(frozen=True)
class Layout:
    """What the look over a sheet found: the faults that stand, and how often each allowance was used."""

    faults: tuple[LayoutFault, ...]
    allowed: tuple[tuple[Allowance, int], ...]


def _within(inner: Rect, outer: Rect) -> bool:
    return (
        inner.left >= outer.left - _ROUNDING
        and inner.bottom >= outer.bottom - _ROUNDING
        and inner.right <= outer.right + _ROUNDING
        and inner.top <= outer.top + _ROUNDING
    )


def _strays(sheet: Sheet, found: Sequence[Piece]) -> Iterator[LayoutFault]:
    paper = Rect(0.0, 0.0, sheet.width, sheet.height)
    frame = sheet.frame or paper
    windows = {view.name: view.window for view in sheet.views}
    for piece in found:
        chain = flatten(piece.shape)
        reach = extent(chain)
        if not _within(reach, paper):
            yield LayoutFault("off the paper", piece.view, chain[0], name_of(piece), "sheet")
        elif piece.shape.layer not in _BORDER and not _within(reach, frame):
            yield LayoutFault("out of the frame", piece.view, chain[0], name_of(piece), "frame")
        if piece.view != SHEET and not _within(reach, windows[piece.view]):
            yield LayoutFault("out of the window", piece.view, chain[0], name_of(piece), f"view {piece.view}")


def _cells(found: Sequence[Piece]) -> Iterator[LayoutFault]:
    for one in letterings(found):
        room = one.piece.room
        width = lettering.width(one.text.text, one.text.height)
        if room is not None and width > room + 1e-9:
            over = f"text of {width:.1f} mm in a cell of {room:.1f} mm"
            yield LayoutFault("text wider than its cell", one.piece.view, one.text.at, name_of(one.piece), over)


def _low_rows(sheet: Sheet, style: Style) -> Iterator[LayoutFault]:
    for view in (*sheet.views, None):
        where = SHEET if view is None else view.name
        for item in sheet.items if view is None else view.items:
            if isinstance(item, Table) and item.pitch < style.min_row * item.height - 1e-9:
                name = item.tag or f"table '{item.title}'"
                at = item.at if view is None else _paper(view, item.at)
                yield LayoutFault("row too low for its text", where, at, name, f"text of {item.height} mm")


def _paper(view: View, point: Point) -> Point:
    return (view.origin[0] + point[0] * view.scale, view.origin[1] + point[1] * view.scale)


def model_window(view: View) -> Rect:
    """Return the part of DXF model space that a view's window shows [mm at full size]."""
    (x, y), (ox, oy), window = view.model_at, view.origin, view.window
    return Rect(
        x + (window.left - ox) / view.scale,
        y + (window.bottom - oy) / view.scale,
        x + (window.right - ox) / view.scale,
        y + (window.top - oy) / view.scale,
    )


def _shared_model_space(sheet: Sheet) -> Iterator[LayoutFault]:
    for index, view in enumerate(sheet.views):
        a = model_window(view)
        for other in sheet.views[:index]:
            b = model_window(other)
            if a.left < b.right and b.left < a.right and a.bottom < b.top and b.bottom < a.top:
                at = (view.window.left, view.window.bottom)
                names = f"view {other.name}", f"view {view.name}"
                yield LayoutFault("views overlap in model space", view.name, at, *names)


def layout(sheet: Sheet, allowances: Sequence[Allowance] = (), style: Style = DRAFTING) -> Layout:
    """Return all layout faults of a sheet, those that an allowance covers counted apart."""
    found = pieces(sheet)
    everything = [
        *collisions(found, style),
        *_strays(sheet, found),
        *_cells(found),
        *_low_rows(sheet, style),
        *_shared_model_space(sheet),
    ]
    used = [0] * len(allowances)
    standing = []
    for fault in dict.fromkeys(everything):
        covering = [index for index, allowance in enumerate(allowances) if allowance.covers(fault)]
        if covering:
            used[covering[0]] += 1
        else:
            standing.append(fault)
    return Layout(tuple(standing), tuple(zip(allowances, used, strict=True)))


def faults(sheet: Sheet, allowances: Sequence[Allowance] = ()) -> list[LayoutFault]:
    """Return the layout faults of a sheet that no allowance covers.

    Args:
        sheet: the sheet.
        allowances: collisions that are meant.

    Returns:
        Text on text, text on a stroke, things out of the frame or their window, text wider than its cell,
        rows too low for their text, views that overlap in DXF model space; empty for a clean sheet.
    """
    return list(layout(sheet, allowances).faults)
