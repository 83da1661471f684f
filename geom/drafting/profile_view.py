"""A side of the boat from outboard: deck edge, posts, lines, heights above the deck at each foot."""

from __future__ import annotations

import math

from geom.boat.model import RailEye, Side
from geom.drafting.rail_lines import leg_beyond, profile_rails, rail_heights, top_over
from geom.drafting.straight_line import spread
from geom.drafting.symbols import bow_arrow
from geom.figure import Across, Circle, Item, Line, Polyline, Text
from geom.lettering import width as text_width
from geom.placement.heights import edge_z
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.tables import numbers
from geom.units import decimal

ROOM_BELOW = 7.0
_LETTERING = 2.5
_PITCH = 3.9
# From the highest point of a profile to the foot of its labels, and smallest gap between two labels [paper mm].
_LABEL_FOOT = 4.0
_LABEL_GAP = 3.4


def facing(side: Side) -> float:
    """Return the sign from boat X to paper x, a factor: -1 from starboard, where the bow is at the right, else +1.

    The inboard edge of the port hull is seen from starboard, too.
    """
    return -1.0 if side in ("S", "PI") else 1.0


def room_above(refit: Refit) -> float:
    """Return the height of the rows of figures over a profile [paper mm]."""
    rows = 1 + max((len(post.holes) for post in refit.placed.posts.values()), default=0)
    return _LABEL_FOOT + rows * _PITCH + 1.0


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


def profile_items(refit: Refit, side: Side, mm: float, low: float, high: float) -> tuple[Item, ...]:
    """Return all items of one profile.

    Args:
        refit: the boat as calculated.
        side: which side, seen from outboard.
        mm: boat millimetres to one paper millimetre.
        low: smallest x of labels [view mm].
        high: largest x of labels [view mm].
    """
    turn = facing(side)
    edge = refit.boat.edge(side)
    items: list[Item] = [Polyline(tuple((turn * x, z) for x, _, z in edge), "DECK-EDGE", tag=f"sheer:{side}")]
    items += profile_rails(refit, side, turn)
    posts = [post for post in refit.placed.posts.values() if post.side == side]
    for post in posts:
        top = post.at(post.top)
        foot = (turn * post.foot[0], post.foot[2])
        items.append(Line(foot, (turn * top[0], top[2]), "POST", tag=f"profile:{post.id}"))
    for run in refit.placed.runs.values():
        if run.side == side:
            chain = tuple((turn * x, z) for x, _, z in run.points)
            items.append(Polyline(chain, f"GUARD-LINE-{run.level}", tag=f"profile:{run.id}"))
    for eye in eyes_of(refit, side):
        items.append(Circle((turn * eye.at[0], eye.at[2]), 0.5 * mm, "FITTING", tag=f"profile:{eye.id}"))
    items += rail_words(refit, side, turn, mm)
    _, maximum = height_range(refit, side)
    items += _labels(refit, posts, turn, mm, maximum, low, high)
    items += mast_items(refit, side, turn, mm, maximum)
    minimum = min(z for _, _, z in edge)
    bow_x = turn * edge[0][0]
    items += bow_arrow((bow_x - turn * -16.0 * mm, minimum - 2.0 * mm), turn * -1.0, mm)
    return tuple(items)


def _labels(
    refit: Refit, posts: list[PlacedPost], turn: float, mm: float, maximum: float, low: float, high: float
) -> list[Item]:
    """Return the posts' ids with their heights in a row above, each with a leader to its post."""
    fmt = numbers(refit.boat)
    ordered = sorted(posts, key=lambda post: turn * post.foot[0])
    texts = []
    for post in ordered:
        heights = refit.placed.hole_heights
        lines = [(post.id, f"name:{post.id}")]
        for hole in post.holes:
            value = decimal(heights[hole.id].above_foot / fmt.mm, fmt.decimals)
            lines.append((f"{hole.level} {value}", f"height:{hole.id}"))
        texts.append(lines)
    widths = [max(text_width(text, _LETTERING) for text, _ in lines) for lines in texts]
    tops = [post.at(post.top) for post in ordered]
    centres = spread([turn * top[0] / mm for top in tops], widths, _LABEL_GAP, low / mm, high / mm)
    rows = max((len(lines) for lines in texts), default=0)
    items: list[Item] = []
    for lines, centre, top in zip(texts, centres, tops, strict=True):
        x = centre * mm
        foot_of_label = maximum + _LABEL_FOOT * mm
        items.append(Line((turn * top[0], top[2] + 0.8 * mm), (x, foot_of_label - 0.6 * mm), "DIM"))
        for row, (text, tag) in enumerate(lines):
            y = foot_of_label + (rows - 1 - row - (rows - len(lines))) * _PITCH * mm
            items.append(Text((x, y), text, _LETTERING, "TEXT" if row == 0 else "NOTE", "centre", tag=tag))
    return items


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


def names_extent(refit: Refit, mm: float) -> tuple[float, float]:
    """Return the smallest and largest X of the names of rail eyes in either profile [mm].

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to a paper millimetre.
    """
    reaches = []
    for eye in refit.boat.eyes:
        outward = -1.0 if is_forward(refit, eye) else 1.0
        reaches.append(outward * (_name_off(refit, eye, outward, mm) + text_width(eye.id, _LETTERING) * mm))
    return min(reaches, default=math.inf), max(reaches, default=-math.inf)


def is_forward(refit: Refit, eye: RailEye) -> bool:
    """Return whether the name of an eye stands forward of it: on the pulpit, or where a run starts elsewhere."""
    if eye.on in ("pulpit", "pushpit"):
        return eye.on == "pulpit"
    return any(run.start.eye == eye.id for run in refit.boat.runs)


def _name_off(refit: Refit, eye: RailEye, outward: float, mm: float) -> float:
    """Return the start of a rail eye's name, measured outward as in `leg_beyond` [mm]."""
    return max(outward * eye.at[0] + 2.0 * mm, leg_beyond(refit, eye, outward) + 1.2 * mm)
