"""One gate from inboard: its posts, deck and lines, with the chain of the upper line dimensioned."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from geom import vec
from geom.drafting import text as common
from geom.drafting.placing import Drawn, Label
from geom.drafting.rail_lines import rail_axis
from geom.drafting.sight import Sight
from geom.drafting.symbols import bow_arrow, flag
from geom.drafting.views import break_line
from geom.figure import Across, Circle, Dimension, Hatch, Item, Line, Point, Polyline, Text
from geom.lettering import width as text_width
from geom.open_items import OpenItem
from geom.placement.gates import PlacedGate, Support
from geom.placement.place import PlacedPost, side_sign
from geom.refit import Refit
from geom.rigging.gate_chain import GateChain
from geom.sheets.gate.dimensions import ROWS, chain_dimensions
from geom.tables import numbers
from geom.vec import Vec

Flat = Callable[[Vec], Point]
# Over the upper line: rows of dimensions; under the feet: names, side and bow; beside the posts [paper mm].
ABOVE, BELOW, BESIDE = 31.5, 17.5, 15.0
# A line on hold is drawn hollow, this wide [paper mm].
_HOLLOW = 1.3
_EYE = 1.5
# Of a rail beside its eyes is drawn what lies this near in the view [paper mm], and in plan [mm].
_RAIL, _NEAR_RAIL = 15.0, 600.0
# Along a line to its flag, from a seventh of its length, the first that is clear [paper mm].
_ALONG = (0.0, 8.0, -8.0, 16.0, 24.0, -16.0, 32.0)
# Least height under a line for a dimension with its number [paper mm].
_UNDER_LINE = 15.5


def gate_sight(gate: PlacedGate) -> Sight:
    """Return the view of a gate from inboard: upright, along its upper line; the bow is at the left from starboard.

    A gate at the stern is seen looking aft, so that port is at the right.
    """
    a, b = gate.ends(gate.levels[0].level)
    run = vec.unit((b[0] - a[0], b[1] - a[1], 0.0))
    right = run if gate.side != "C" and side_sign(gate.side) > 0.0 else vec.scale(run, -1.0)
    return Sight(right, (0.0, 0.0, 1.0), vec.cross(right, (0.0, 0.0, 1.0)))


def gate_items(
    refit: Refit, gate: PlacedGate, chains: Sequence[GateChain], items: Sequence[OpenItem], mm: float
) -> tuple[Item, ...]:
    """Return a gate from inboard, the middle of its upper line at zero.

    Args:
        refit: the boat as calculated.
        gate: the gate.
        chains: of its levels, the highest first.
        items: open items of the boat.
        mm: model millimetres to a paper millimetre.
    """
    sight = gate_sight(gate)
    middle = _middle(gate, chains[0].level)

    def flat(at: Vec) -> Point:
        return sight.point(vec.sub(at, middle))

    shown: list[Item] = []
    for support in gate.supports:
        post = support.post
        shown += _rail(refit, support, flat, mm) if post is None else _post(refit, post, flat, mm)
    for post in gate.loose:
        foot, top = flat(post.foot), flat(post.at(post.top))
        shown.append(Line(foot, top, "ADJACENT", tag=f"post:{post.id}"))
    shown += _deck(gate, flat, mm)
    for number, chain in enumerate(chains):
        shown += _line(refit, chain, gate.ends(chain.level), flat, number == 0, mm)
    drawn = Drawn(shown, mm, numbers=numbers(refit.boat))
    for post in gate.loose:
        shown += drawn.put(_loose_names(drawn, post, flat(post.foot), mm)).items
    for number, chain in enumerate(chains):
        below = chains[number + 1].level if number + 1 < len(chains) else None
        free = min(_free(support, chain.level, below) for support in gate.supports) / mm
        for one in chain_dimensions(chain, gate.ends(chain.level), flat, number == 0, free >= _UNDER_LINE, mm):
            found = drawn.put(_shifted(drawn, one, mm)).items
            drawn.add(found)
            shown += found
    shown += _names(gate, drawn, flat, mm)
    return (*shown, *_flags(gate, chains, items, drawn, flat, mm))


def _loose_names(drawn: Drawn, post: PlacedPost, foot: Point, mm: float) -> Iterator[Label]:
    """Yield the name of a post within a gate at its places beside its foot."""
    for up in (6.0, 2.0, 10.0, 14.0):
        for way in (1.0, -1.0):
            at = (foot[0] + 2.0 * way * mm, foot[1] + up * mm)
            across: Across = "left" if way > 0.0 else "right"
            yield drawn.label(Text(at, post.id, 2.5, "NOTE", across, tag=f"name:{post.id}"))


def _shifted(drawn: Drawn, one: Dimension, mm: float) -> Iterator[Label]:
    """Yield a dimension, its number moved along its line to either side; one beside its line stays."""
    yield drawn.numbered(one)
    room = math.dist(one.start, one.end) / mm
    for share in (0.2, -0.2, 0.3, -0.3) if not one.shift else ():
        yield drawn.numbered(replace(one, shift=share * room))


def extent(gate: PlacedGate) -> tuple[float, float, float, float]:
    """Return the reach of a gate's axes to the left, to the right, over and under the middle of its upper line [mm]."""
    sight = gate_sight(gate)
    middle = _middle(gate, gate.levels[0].level)
    points = [sight.point(vec.sub(at, middle)) for support in gate.supports for at in (support.deck, support.top)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return -min(xs), max(xs), max(ys), -min(ys)


def clear_between(gate: PlacedGate, height: float) -> float:
    """Return the width about the middle of the upper line that is clear of leaning posts up to a height over deck [mm].

    Args:
        gate: the gate.
        height: over the deck at the supports [mm].
    """
    sight = gate_sight(gate)
    middle = _middle(gate, gate.levels[0].level)
    halves = []
    for support in gate.supports:
        foot, top = (sight.point(vec.sub(at, middle)) for at in (support.deck, support.top))
        share = min(1.0, height / max(top[1] - foot[1], 1.0))
        sign = 1.0 if foot[0] > 0.0 else -1.0
        halves += [sign * x - support.radius for x in (foot[0], foot[0] + share * (top[0] - foot[0]))]
    return 2.0 * min(halves)


def opening(gate: PlacedGate) -> float:
    """Return the height under the lowest line of a gate, down to the deck at its supports [mm]."""
    ends = gate.ends(gate.levels[-1].level)
    return min(at[2] - support.deck[2] for at, support in zip(ends, gate.supports, strict=True))


def _middle(gate: PlacedGate, level: str) -> Vec:
    a, b = gate.ends(level)
    return vec.scale(vec.add(a, b), 0.5)


def _post(refit: Refit, post: PlacedPost, flat: Flat, mm: float) -> list[Item]:
    foot, top = flat(post.foot), flat(post.at(post.top))
    length = math.dist(foot, top)
    side = ((top[1] - foot[1]) / length * 0.5 * post.tube_od, -(top[0] - foot[0]) / length * 0.5 * post.tube_od)
    base = None if post.spec.base is None else refit.boat.bases[post.spec.base]

    def along(share: float) -> Point:
        return foot[0] + share * (top[0] - foot[0]), foot[1] + share * (top[1] - foot[1])

    # The tube stands on its plate.
    end = along(0.0 if base is None else base.thickness / length)
    low, high = ([(x + s * side[0], y + s * side[1]) for s in (-1.0, 1.0)] for x, y in (end, top))
    beyond = 4.0 * mm / length
    items: list[Item] = [
        Polyline((low[0], high[0], high[1], low[1]), "POST", closed=True, tag=f"post:{post.id}"),
        Line(along(-beyond), along(1.0 + beyond), "CENTRE"),
    ]
    if base is not None:
        half = 0.5 * base.length
        left, right, upper = foot[0] - half, foot[0] + half, foot[1] + base.thickness
        corners = ((left, foot[1]), (right, foot[1]), (right, upper), (left, upper))
        items.append(Polyline(corners, "EDGE", closed=True, tag=f"plate:{post.id}"))
    return [*items, *_brace(post, flat, mm)]


def _brace(post: PlacedPost, flat: Flat, mm: float) -> list[Item]:
    """Return the upper end of a post's brace, broken off."""
    if post.spec.brace is None:
        return []
    joint, end = flat(post.at(post.spec.brace.along)), flat(post.spec.brace.foot)
    reach = math.dist(joint, end)
    run = ((end[0] - joint[0]) / reach, (end[1] - joint[1]) / reach)
    half = 0.4 * post.tube_od
    away = (-run[1] * half, run[0] * half)
    # To a break within the view.
    stop = min(reach, 24.0 * mm, (BESIDE - 4.0) * mm / max(abs(run[0]), 0.2))
    items: list[Item] = []
    ends: list[Point] = []
    for sign in (-1.0, 1.0):
        # Each edge begins at the tube's face.
        begin = (0.5 * post.tube_od - math.copysign(1.0, run[0]) * sign * away[0]) / max(abs(run[0]), 0.2)
        low, high = ((joint[0] + at * run[0] + sign * away[0], joint[1] + at * run[1] + sign * away[1])
                     for at in (stop, begin))  # fmt: skip
        items.append(Line(low, high, "EDGE", tag=f"brace:{post.id}"))
        ends.append(low)
    return [*items, break_line(min(ends), max(ends), mm, 1.0)]


def _rail(refit: Refit, support: Support, flat: Flat, mm: float) -> list[Item]:
    """Return the rail beside its eyes, as far as the view reaches; a thin upright where the rail is not given."""
    eyes = [flat(at) for at in support.points.values()]
    x, low = eyes[0][0], flat(support.deck)[1]
    left, right = x - _RAIL * mm, x + _RAIL * mm
    near = support.points[max(support.points)]
    items: list[Item] = []
    for word, rail in refit.boat.rails.items():
        chain = [flat(at) for at in rail_axis(rail) if math.dist(at[:2], near[:2]) < _NEAR_RAIL]
        for (ax, ay), (bx, by) in pairwise(chain):
            if min(ax, bx) > right or max(ax, bx) < left:
                continue
            cut = []
            for px, py, qx, qy in ((ax, ay, bx, by), (bx, by, ax, ay)):
                to = min(max(px, left), right)
                share = 0.0 if px == qx else (to - px) / (qx - px)
                cut.append((to, py + share * (qy - py)))
            items.append(Line(cut[0], cut[1], "RAIL", tag=f"gate-rail:{word}"))
    if not items:
        top = max(y for _, y in eyes)
        items.append(Line((x, low), (x, top + 6.0 * mm), "ADJACENT", tag=f"gate-rail:{support.name}"))
    return items


def _deck(gate: PlacedGate, flat: Flat, mm: float) -> list[Item]:
    """Return the deck from support to support and a little beyond, with short strokes below it."""
    a, b = sorted(flat(support.deck) for support in gate.supports)
    reach = math.dist(a, b)
    run = ((b[0] - a[0]) / reach, (b[1] - a[1]) / reach)
    begin = (a[0] - BESIDE * mm * run[0], a[1] - BESIDE * mm * run[1])
    end = (b[0] + BESIDE * mm * run[0], b[1] + BESIDE * mm * run[1])
    items: list[Item] = [Line(begin, end, "EDGE", tag="deck")]
    step = 5.0 * mm
    for k in range(int(math.dist(begin, end) / step)):
        at = (begin[0] + (k + 0.5) * step * run[0], begin[1] + (k + 0.5) * step * run[1])
        items.append(Line(at, (at[0] - 1.5 * mm, at[1] - 2.0 * mm), "HATCH"))
    return items


def _free(support: Support, level: str, below: str | None) -> float:
    """Return the height from a level of a support down to the next one, or to the deck under it [mm]."""
    heights = {str(name): at[2] for name, at in support.points.items()}
    return heights[level] - next((z for name, z in heights.items() if name == below), support.deck[2])


def _along(a: Point, b: Point, share: float) -> Point:
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _line(refit: Refit, chain: GateChain, ends: tuple[Vec, ...], flat: Flat, upper: bool, mm: float) -> list[Item]:
    """Return eyes, fittings and line of one level from the forward hole aft; a line on hold is hollow."""
    a, b = flat(ends[0]), flat(ends[1])
    if chain.run is None:
        return [Line(a, b, "CENTRE", tag=f"no-line:{chain.gate}:{chain.level}")]
    held = bool(refit.work.runs[chain.run].refused)
    length = math.dist(a, b)
    across = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
    items: list[Item] = []
    for term, pin in zip((chain.terms[0], chain.terms[-1]), (a, b), strict=True):
        if term.kind != "eye":
            items.append(Circle(pin, _EYE * mm, "FITTING", f"eye:{chain.run}"))
    done = 0.0
    for term in chain.terms:
        start, end = (_along(a, b, at / chain.hole_to_hole) for at in (done, done + term.length))
        done += term.length
        if term.kind == "eye":
            pin = end if start == a else start
            post = a if start == a else b
            items += [Line(post, pin, "FITTING"), Circle(pin, _EYE * mm, "FITTING", f"eye:{chain.run}")]
        elif term.kind == "fitting":
            wide = 1.2 * mm
            corners = tuple(
                (p[0] + s * wide * across[0], p[1] + s * wide * across[1])
                for p, s in ((start, -1.0), (end, -1.0), (end, 1.0), (start, 1.0))
            )
            if upper and term.length / mm > text_width(term.name, 2.5) + 2.0:
                at = _along(start, end, 0.5)
                name = Text((at[0], at[1] - 5.0 * mm), term.name, 2.5, "NOTE", "centre", tag=f"name:{chain.run}")
                items.append(name)
            items += [Hatch(corners, "SHADE"), Polyline(corners, "FITTING", closed=True, tag=f"fitting:{chain.run}")]
        elif held:
            half = 0.5 * _HOLLOW * mm
            for sign in (-1.0, 1.0):
                points = [(p[0] + sign * half * across[0], p[1] + sign * half * across[1]) for p in (start, end)]
                items.append(Line(points[0], points[1], "HOLD", tag=f"held:{chain.run}"))
        else:
            items.append(Line(start, end, f"GUARD-LINE-{chain.level}", tag=f"line:{chain.run}"))
    return items


def _flags(
    gate: PlacedGate,
    chains: Sequence[GateChain],
    items: Sequence[OpenItem],
    drawn: Drawn,
    flat: Flat,
    mm: float,
) -> list[Item]:
    """Return the flags of open items: under a line, by the hole-to-hole figure of a tape, at the foot of a post."""
    shown: list[Item] = []
    top = chains[0].level
    a, b = (flat(at) for at in gate.ends(top))

    def put(at: Point, number: int, steps: Sequence[Point], of: str) -> None:
        places = ((at[0] + x * mm, at[1] + y * mm) for x, y in steps)
        flags = (flag(place, number, mm, tag=f"flag:{number}:{of}") for place in places)
        shown.extend(drawn.put(drawn.group(one) for one in flags).items)

    for item in items:
        if item.kind == "stop" and any(chain.run in item.places for chain in chains):
            put(_along(a, b, 0.14), item.number, [(x, y) for y in (-5.5, -9.0) for x in _ALONG], gate.id)
        holes = {f"{name}-{chain.level}" for name in gate.names for chain in chains}
        if item.cause.code == "item.tape" and len(holes & set(item.places)) == 2:
            left = (min(a[0], b[0]), _along(a, b, 0.5)[1])
            put(left, item.number, [(x, ROWS[0] + 4.8) for x in (14.0, 22.0, 30.0, 6.0)], gate.id)
    for post in gate.posts:
        foot = flat(post.foot)
        inward = 1.0 if foot[0] < 0.0 else -1.0
        for item in items:
            if post.id in item.places and item.kind in ("stop", "fails"):
                steps = [(5.0 + 7.5 * k, -6.8) for k in range(8)]
                steps += [(x, y) for y in (-6.8, -13.6) for x in (-5.0, -12.5, 5.0, 12.5)]
                # Beside the tube, where there is no room under the deck.
                steps += [(x, y) for y in (16.0, 23.0, 30.0, 37.0) for x in (8.0, 15.5)]
                put(foot, item.number, [(inward * x, y) for x, y in steps], post.id)
    return shown


def _names(gate: PlacedGate, drawn: Drawn, flat: Flat, mm: float) -> list[Item]:
    """Return the names of the supports over the deck, the side, and the arrow to the bow, none across the boat."""
    items: list[Item] = []
    feet = [flat(support.deck) for support in gate.supports]
    for support, foot in zip(gate.supports, feet, strict=True):
        inward = 1.0 if foot[0] < 0.0 else -1.0
        name = Text((0.0, 0.0), support.name, 3.5, "TEXT", tag=f"name:{support.name}", weight="semibold")
        places = [(inward * x, y) for x in (7.0, 11.0) for y in (6.0, 2.5, 10.0)]
        places += [(-inward * x, y) for x in (6.0, 9.0) for y in (6.0, 2.5, 10.0)]
        items += drawn.put(
            drawn.label(replace(name, at=(foot[0] + x * mm, foot[1] + y * mm), across="left" if x > 0.0 else "right"))
            for x, y in places
        ).items
    low = min(y for _, y in feet)
    side = Text((0.0, low - 14.5 * mm), common.SIDE[gate.side], 5.0, "TEXT", "centre", tag=f"side:{gate.id}",
                weight="semibold")  # fmt: skip
    items += drawn.put((drawn.label(side),)).items
    if gate.side == "C":
        return items
    towards = -side_sign(gate.side)
    outer = min(x for x, _ in feet) if towards < 0.0 else max(x for x, _ in feet)
    places = [(outer + towards * out * mm, down) for out in (0.0, 6.0, 12.0, 18.0) for down in (13.0, 8.0)]
    # Beside the word where the posts stand under it.
    half = 0.5 * text_width(side.text, side.height, side.weight) + text_width(common.BOW, 3.5)
    places += [(towards * (half + beyond) * mm, 13.0) for beyond in (5.0, 9.0)]
    tails = ((x, low - down * mm) for x, down in places)
    return [*items, *drawn.put(drawn.group(bow_arrow(tail, towards, mm)) for tail in tails).items]
