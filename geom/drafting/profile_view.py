"""A side of the boat from outboard: which way it is seen, its range of heights, mast and names of rail eyes."""

from __future__ import annotations

import math

from geom.boat.model import RailEye, Side
from geom.drafting.rail_lines import leg_beyond, rail_heights, top_over
from geom.drafting.straight_line import spread
from geom.figure import Across, Item, Line, Text
from geom.lettering import width as text_width
from geom.placement.heights import edge_z
from geom.refit import Refit

_LETTERING = 2.5


def facing(side: Side) -> float:
    """Return the sign from boat X to paper x, a factor: -1 from starboard, where the bow is at the right, else +1.

    The inboard edge of the port hull is seen from starboard, too.
    """
    return -1.0 if side in ("S", "PI") else 1.0


def height_range(refit: Refit, side: Side) -> tuple[float, float]:
    """Return the smallest and largest Z in a profile [mm]."""
    zs = [z for _, _, z in refit.boat.edge(side)]
    zs += [post.at(post.top)[2] for post in refit.placed.posts.values() if post.side == side]
    zs += [point[2] for run in refit.placed.runs.values() if run.side == side for point in run.points]
    zs += rail_heights(refit)
    return min(zs), max(zs)


def eyes_of(refit: Refit, side: Side) -> list[RailEye]:
    """Return the eyes of a side, without those at which lines across the boat alone are made fast."""
    ends = {end.eye: run.side for run in refit.boat.runs for end in (run.start, run.finish)}
    return [eye for eye in refit.boat.eyes if eye.side == side and ends.get(eye.id) != "C"]


def mast_items(
    refit: Refit, side: Side, turn: float, mm: float, maximum: float, guides: tuple[float, ...] = ()
) -> list[Item]:
    """Return the mast's centre line and its label under the deck, clear of guides there.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        turn: sign from boat X to paper x.
        mm: boat millimetres to a paper millimetre.
        maximum: top of the line [view mm].
        guides: x of vertical lines under the deck [view mm]; the label is left out where there is no room.
    """
    x = refit.boat.boat.mast_x
    if x is None:
        return []
    deck = edge_z(refit.boat.edge(side), x)
    if deck is None:
        return []
    line = Line((turn * x, deck - 1.5 * mm), (turn * x, maximum + 1.5 * mm), "CENTRE", tag=f"mast:{side}")
    half = (0.5 * text_width("MAST", _LETTERING) + 1.0) * mm
    tries = [turn * x + shift * mm for step in range(8) for shift in (step, -step)]
    clear = [at for at in tries if all(abs(at - guide) >= half for guide in guides)]
    return [line, Text((clear[0], deck - 4.6 * mm), "MAST", _LETTERING, "NOTE", "centre")] if clear else [line]


def rail_words(refit: Refit, side: Side, turn: float, mm: float) -> list[Item]:
    """Return the name of each rail eye outside of it, one above the other and clear of the deck edge.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        turn: sign from boat X to paper x.
        mm: boat millimetres to a paper millimetre.
    """
    items: list[Item] = []
    edge = refit.boat.edge(side)
    for forward in (True, False):
        outward = -turn if forward else turn
        eyes = [eye for eye in eyes_of(refit, side) if is_forward(refit, eye) == forward]
        eyes.sort(key=lambda eye: eye.at[2])
        if not eyes:
            continue
        starts = [_name_off(refit, eye, outward * turn, mm) * outward for eye in eyes]
        reach = max(text_width(eye.id, _LETTERING) for eye in eyes) * mm
        ends = [start + outward * reach for start in starts]
        low, high = min(*starts, *ends), max(*starts, *ends)
        decks = [z for x, _, z in edge if low <= turn * x <= high]
        decks += [z for z in (edge_z(edge, turn * x) for x in (low, high)) if z is not None]
        floor = max(decks) / mm + 1.2 if decks else -math.inf
        ceiling = top_over(refit, eyes, outward * turn) / mm - 0.8
        places = spread([eye.at[2] / mm for eye in eyes], [_LETTERING] * len(eyes), 0.9, floor, ceiling)
        for eye, x, place in zip(eyes, starts, places, strict=True):
            across: Across = "left" if outward > 0 else "right"
            items.append(Text((x, place * mm), eye.id, _LETTERING, "NOTE", across, "middle", tag=f"eye-name:{eye.id}"))
    return items


def is_forward(refit: Refit, eye: RailEye) -> bool:
    """Return whether the name of an eye stands forward of it: on the pulpit, or where a run starts elsewhere."""
    if eye.on in ("pulpit", "pushpit"):
        return eye.on == "pulpit"
    return any(run.start.eye == eye.id for run in refit.boat.runs)


def _name_off(refit: Refit, eye: RailEye, outward: float, mm: float) -> float:
    """Return the start of a rail eye's name, measured outward as in `leg_beyond` [mm]."""
    return max(outward * eye.at[0] + 2.0 * mm, leg_beyond(refit, eye, outward) + 1.2 * mm)
