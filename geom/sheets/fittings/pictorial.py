"""Isometric pictures of the whole boat and of each different fitting.

They need the solid kernel, so they are made with the solids; a drawing set without solids has none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from geom.drafting import text as words
from geom.drafting.paper import Paper, papers
from geom.drafting.ruling import broken
from geom.drafting.sheet import Draft, finish_issue, full_width_above, lettered, scale_words
from geom.drafting.title_block import issue_of
from geom.errors import GeometryError
from geom.figure import Item, Line, Point, Polyline, Rect, Sheet, Text, View
from geom.refit import Refit
from geom.solids.assembly import Maker, assemble
from geom.solids.files import fittings
from geom.solids.views import ISOMETRIC_PART, boat_view, pictorial

# ISO 5455 scales from the largest down.
_SCALES = (5.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50, 1 / 100, 1 / 200)
_CELL = (92.0, 62.0)
_LABEL = 11.0
_EDGE = 3.0
_TITLE_ROOM = 10.0


def pictorial_sheets(refit: Refit, make: Maker) -> tuple[Sheet, ...]:
    """Return the pictures of a boat: the whole boat first, then its fittings.

    Args:
        refit: the calculated boat.
        make: returns the kernel shape of a specification.

    Raises:
        CannotFinishError: the kernel is missing.
        GeometryError: the boat fits on the sheet at no scale.
    """
    assembly = assemble(refit)
    paper = papers(refit.boat.drawing.sheets, minimum=1)[0]
    # At this scale the two edges of a tube are a wide pen apart.
    boat = tuple(replace(item, layer="THIN") for item in boat_view(assembly, make))
    drafts = [_boat(paper, boat)]
    parts = fittings(assembly)
    drafts += _fittings(paper, {name: pictorial((make(part),), ISOMETRIC_PART) for name, part in parts.items()})
    issue = issue_of(refit)
    issue = replace(issue, number=f"{issue.number}-P")
    return tuple(finish_issue(issue, draft, len(drafts)) for draft in lettered(drafts))


def _boat(paper: Paper, items: tuple[Item, ...]) -> Draft:
    space = full_width_above(paper)
    room = Rect(space.left, space.bottom, space.right, space.top)
    view = _view("boat", words.PICTORIAL_BOAT, items, room, _TITLE_ROOM)
    return Draft(
        number="A8",
        name="pictorial-boat",
        title="whole boat",
        subtitle="Pictorial",
        paper=paper,
        scale=scale_words(view.scale),
        items=(),
        views=(view,),
        description="Isometric, seen from aft, to starboard and above; hidden edges left out.",
    )


def _fittings(paper: Paper, pictures: dict[str, tuple[Item, ...]]) -> list[Draft]:
    """Return the fittings in cells, on as many sheets as needed."""
    space = full_width_above(paper)
    across, down = int(space.width // _CELL[0]), int(space.height // _CELL[1])
    names = list(pictures)
    drafts = []
    for first in range(0, len(names), across * down):
        views: list[View] = []
        items: list[Item] = []
        for index, name in enumerate(names[first : first + across * down]):
            row, column = divmod(index, across)
            left, top = space.left + column * _CELL[0], space.top - row * _CELL[1]
            cell = Rect(left, top - _CELL[1] + _LABEL, left + _CELL[0] - 1.0, top - 1.0)
            view = _view(f"fitting-{first + index + 1}", "", pictures[name], cell, 0.0)
            views.append(replace(view, model_at=(1e5 * (first + index + 1), 0.0)))
            lines = (*broken(name, _CELL[0] - 5.0), scale_words(view.scale))
            first_line, pitch = (4.0, 4.2) if len(lines) == 2 else (3.6, 3.5)
            for line, text in enumerate(lines):
                at = (left + 2.0, cell.bottom - first_line - pitch * line)
                items.append(Text(at, text, 2.5, "NOTE", tag=f"name:{name}"))
        drafts.append(
            Draft(
                number="A8",
                name="pictorial-fittings",
                title="fittings",
                subtitle="Pictorial",
                paper=paper,
                scale="as shown",
                items=tuple(items),
                views=tuple(views),
                description="Isometric views of the fittings that the boat uses; generic shapes.",
            )
        )
    return drafts


def _view(name: str, title: str, items: Sequence[Item], window: Rect, above: float) -> View:
    """Return items centred in a window at the largest listed scale that fits."""
    points = [point for item in items for point in _points(item)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    room = (window.width - 2.0 * _EDGE, window.height - above - 2.0 * _EDGE)
    scale = next((s for s in _SCALES if wide * s <= room[0] and tall * s <= room[1]), None)
    if scale is None:
        raise GeometryError(f"the picture '{name}' fits at no listed scale")
    middle = ((window.left + window.right) / 2.0, (window.bottom + window.top - above) / 2.0)
    origin = (middle[0] - scale * (max(xs) + min(xs)) / 2.0, middle[1] - scale * (max(ys) + min(ys)) / 2.0)
    return View(name, title, scale, origin, window, tuple(items))


def _points(item: Any) -> tuple[Point, ...]:
    assert isinstance(item, (Line, Polyline))
    return (item.start, item.end) if isinstance(item, Line) else item.points
