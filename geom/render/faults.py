"""Layout check of a drawn sheet: lettering that collides or leaves the frame."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geom.figure import Rect, Sheet, View
from geom.render.collisions import LayoutFault, collisions, name_of
from geom.render.explode import SHEET, pieces
from geom.render.pieces import Piece
from geom.render.plane import extent, flatten
from geom.render.style import DRAFTING, Style

__all__ = ["Allowance", "Layout", "LayoutFault", "faults", "layout", "model_window"]

_BORDER = ("FRAME", "GRID", "TITLE")
_ROUNDING = 0.01


@dataclass(frozen=True)
class Allowance:
    """A permitted collision: the beginnings of the two names in a `LayoutFault`, and the reason.

    Raises:
        ValueError: an empty beginning or an empty reason, which would permit too much.
    """

    first: str
    second: str
    reason: str

    def __post_init__(self) -> None:
        if not (self.first and self.second and self.reason):
            raise ValueError("an allowance needs two beginnings and a reason")

    def covers(self, fault: LayoutFault) -> bool:
        """Return whether a fault is the permitted collision, its names in either order."""
        pairs = ((fault.first, fault.second), (fault.second, fault.first))
        return any(a.startswith(self.first) and b.startswith(self.second) for a, b in pairs)


@dataclass(frozen=True)
class Layout:
    """Result of the layout check: the faults not permitted, and how often each allowance was used."""

    faults: tuple[LayoutFault, ...]
    allowed: tuple[tuple[Allowance, int], ...]


def _within(inner: Rect, outer: Rect) -> bool:
    return (
        inner.left >= outer.left - _ROUNDING
        and inner.bottom >= outer.bottom - _ROUNDING
        and inner.right <= outer.right + _ROUNDING
        and inner.top <= outer.top + _ROUNDING
    )


def _outside(sheet: Sheet, drawn: Sequence[Piece]) -> Iterator[LayoutFault]:
    paper = Rect(0.0, 0.0, sheet.width, sheet.height)
    frame = sheet.frame or paper
    windows = {view.name: view.window for view in sheet.views}
    for piece in drawn:
        chain = flatten(piece.shape)
        reach = extent(chain)
        if not _within(reach, paper):
            yield LayoutFault("off the paper", piece.view, chain[0], name_of(piece), "sheet")
        elif piece.shape.layer not in _BORDER and not _within(reach, frame):
            yield LayoutFault("out of the frame", piece.view, chain[0], name_of(piece), "frame")
        if piece.view != SHEET and not _within(reach, windows[piece.view]):
            yield LayoutFault("out of the window", piece.view, chain[0], name_of(piece), f"view {piece.view}")


def model_window(view: View) -> Rect:
    """Return the part of DXF model space shown by a view's window [mm, full size]."""
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
    """Return the layout faults of a sheet, with those that an allowance covers counted separately.

    Args:
        sheet: the sheet.
        allowances: permitted collisions.
        style: drafting sizes.
    """
    drawn = pieces(sheet)
    all_faults = [
        *collisions(drawn, style),
        *_outside(sheet, drawn),
        *_shared_model_space(sheet),
    ]
    used = [0] * len(allowances)
    not_permitted = []
    for fault in dict.fromkeys(all_faults):
        covering = [index for index, allowance in enumerate(allowances) if allowance.covers(fault)]
        if covering:
            used[covering[0]] += 1
        else:
            not_permitted.append(fault)
    return Layout(tuple(not_permitted), tuple(zip(allowances, used, strict=True)))


def faults(sheet: Sheet, allowances: Sequence[Allowance] = ()) -> list[LayoutFault]:
    """Return the layout faults of a sheet that no allowance covers.

    Args:
        sheet: the sheet.
        allowances: permitted collisions.

    Returns:
        Text on text, text on a stroke, items outside the frame or their window, views that overlap
        in DXF model space; empty for a sheet without faults.
    """
    return list(layout(sheet, allowances).faults)
