"""What is slid on a line before its ends are made: in which order, and whether it travels through the holes."""

from __future__ import annotations

from geom.boat.model import SlideOn
from geom.runs.eye import Where
from geom.runs.place import PlacedRun


def in_order(run: PlacedRun, leading: Where) -> tuple[SlideOn, ...]:
    """Return the items in the order in which they go on from the leading, plain end.

    The item that comes to lie nearest the far end goes on first. An item that belongs to no hole lies at
    the far end, behind all holes, and goes on before them.
    """
    holes = [passage.hole.id for passage in run.passages]
    from_far = holes if leading == "finish" else holes[::-1]

    def rank(item: SlideOn) -> int:
        return -1 if item.hole is None or item.hole not in from_far else from_far.index(item.hole)

    return tuple(sorted(run.told.slide_on, key=rank))


def blocked_by(run: PlacedRun, leading: Where, tolerance: float) -> str | None:
    """Return which item keeps a line with both ends made from being drawn through, None where none does.

    With both ends made everything is on the line before it is threaded, so an item for a far hole has to
    travel through the holes before it.

    Args:
        run: the placed run.
        leading: the end that is drawn through.
        tolerance: by which a bore may fall short [mm].
    """
    bores = [(passage.hole.id, passage.hole.bore) for passage in run.passages]
    way = bores if leading == "finish" else bores[::-1]
    for item in run.told.slide_on:
        if item.hole is None:
            continue
        names = [name for name, _ in way]
        before = way[: names.index(item.hole)] if item.hole in names else []
        for name, bore in before:
            if item.width is None:
                return f"{item.item} has to travel through {name} and its width is not given"
            if item.width > bore + tolerance:
                return f"{item.item} ({item.width:g} mm) does not travel through {name} ({bore:g} mm)"
    return None
