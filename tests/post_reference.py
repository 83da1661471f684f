"""Posts computed independently of the program, with a general array library, from the boat file."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

import numpy as np
from scipy.optimize import root

RULE = 600.0
# Load steps of a push by finite elements.
PUSH_STEPS = 20


def side_of(name):
    return 1.0 if name.startswith("S") else -1.0


def unit(v):
    return np.asarray(v, float) / np.linalg.norm(v)


def axis_of(post, attitude=None):
    """Return the tube's direction in boat axes, as found or on another attitude."""
    stated = attitude or post
    return unit([math.tan(stated.rake), side_of(post.id) * math.tan(stated.lean), 1.0])


def deck_of(post):
    """Return the deck's directions at the foot as rows: aft, outboard, up."""
    falls = post.deck_falls
    up = unit([math.tan(falls.aft), side_of(post.id) * math.tan(falls.outboard), 1.0])
    aft = unit(np.array([1.0, 0.0, 0.0]) - up[0] * up)
    return np.array([aft, side_of(post.id) * np.cross(up, aft), up])


def offsets_of(post, attitude=None, rule=RULE):
    """Return how far the axis stands outboard and aft of square at a height over the deck."""
    aft, out, up = deck_of(post) @ axis_of(post, attitude)
    return rule * out / up, rule * aft / up


def brace_of(post):
    """Return a brace's foot aft, outboard, above the post's foot, its slant to the tube's axis, its angle to it."""
    away = np.asarray(post.brace.foot) - np.asarray(post.foot)
    run = away - post.brace.along * axis_of(post)
    slant = float(np.linalg.norm(run))
    return away[0], side_of(post.id) * away[1], away[2], slant, math.acos(float(-run @ axis_of(post)) / slant)


def foot_spread(post, od):
    """Return how much longer a tube is on one side where the deck cuts it, and that side's place aft and outboard."""
    axis, frame = axis_of(post), deck_of(post)
    across = frame[2] - (frame[2] @ axis) * axis
    long = across / np.linalg.norm(across)
    return od * float(np.linalg.norm(across)) / float(frame[2] @ axis), frame[:2] @ long


def hole_at(post, level):
    return np.asarray(post.foot) + post.holes[level].along * axis_of(post)


def clocking_seen(post, drilled):
    """Return the angle of a hole's aft end from the plate's aft mark, both seen along the tube, outboard + [deg]."""
    axis = axis_of(post)
    mark = deck_of(post)[0]
    flat = [v - (v @ axis) * axis for v in (mark, np.asarray(drilled))]
    turn = math.atan2(np.cross(flat[0], flat[1]) @ axis, flat[0] @ flat[1])
    return math.degrees(side_of(post.id) * turn)


def four_lengths(a, b):
    """Return upper to upper, lower to lower, upper to lower, lower to upper of two posts, foot for a missing lower."""

    def ends(post):
        found = sorted((hole_at(post, level) for level in post.holes), key=lambda p: p[2])
        return found[-1], (np.asarray(post.foot) if len(found) == 1 else found[0])

    (a_up, a_low), (b_up, b_low) = ends(a), ends(b)
    return [float(np.linalg.norm(p - q)) for p, q in ((a_up, b_up), (a_low, b_low), (a_up, b_low), (a_low, b_up))]


# Least thickness of a pad, so that it has no feather edge [mm]: from memory, of the trade.
PAD_LEAST = 3.0


def pad_on_axis(post, base):
    """Return how thick a pad is on the tube's axis under a plate square to it: its lowest corner has the least."""
    axis, frame = axis_of(post), deck_of(post)
    aft = unit(np.array([1.0, 0.0, 0.0]) - axis[0] * axis)
    out = side_of(post.id) * np.cross(axis, aft)
    corners = [0.5 * (a * base.length * aft + b * base.width * out) for a in (-1, 1) for b in (-1, 1)]
    heights = [float(corner @ frame[2]) / float(axis @ frame[2]) for corner in corners]
    return PAD_LEAST - min(heights) if max(heights) - min(heights) > 0.1 else -min(heights)


class RingGrid:
    """A round tube's section as a grid of small areas, a cross hole's strip left out; X along the hole's axis."""

    def __init__(self, od, wall, hole=0.0, around=1440, through=12):
        edge = np.linspace(0.5 * od - wall, 0.5 * od, through + 1)
        r = 0.5 * (edge[1:] + edge[:-1])
        turn = (np.arange(around) + 0.5) * 2.0 * math.pi / around
        rr, tt = np.meshgrid(r, turn, indexing="ij")
        area = rr * (edge[1] - edge[0]) * 2.0 * math.pi / around
        x, y = rr * np.cos(tt), rr * np.sin(tt)
        # A cell on the strip's edge counts with its share.
        across = np.abs(np.cos(tt)) * rr * math.pi / around + 1e-9
        kept = np.clip((np.abs(y) - 0.5 * hole) / (2.0 * across) + 0.5, 0.0, 1.0)
        self.area, self.x, self.y = area * kept, x, y
        self.ix, self.iy = float((self.area * x * x).sum()), float((self.area * y * y).sum())
        outer = 0.5 * od
        on_edge = math.asin(hole / od)
        turns = np.linspace(on_edge, math.pi - on_edge, 1800)
        self._rim = outer * np.cos(turns), outer * np.sin(turns)
        self._normals = np.array([[math.cos(a), math.sin(a)] for a in np.linspace(0.0, math.pi, 721)])
        # What a plastic section carries about any axis: the sum of areas times their distance from it.
        along = np.abs(self._normals @ np.array([x.ravel(), y.ravel()]))
        self._plastic = along @ self.area.ravel()

    def stress(self, in_plane, square):
        """Return the greatest bending stress under moments in the plane of the hole's axis and square to it."""
        x, y = self._rim
        return float(np.max(np.abs(in_plane * x / self.ix) + np.abs(square * y / self.iy)))

    def plastic_utilisation(self, in_plane, square, proof):
        """Return the moments over what the plastic section carries in their direction."""
        return float(np.max(np.abs(self._normals @ np.array([in_plane, square])) / self._plastic)) / proof


def propped_moments(pulls, prop, at, length=700.0, cells=7000):
    """Return the moment at places of a cantilever with a rigid prop, in one plane, by work on a grid.

    `pulls` are (place, force); `prop` a place or None. The prop's force is the one that makes the work of its own
    unit force zero along the tube.
    """
    z = (np.arange(cells) + 0.5) * length / cells

    def moment(forces):
        return sum((force * np.clip(place - z, 0.0, None) for place, force in forces), np.zeros(cells))

    forces = list(pulls)
    if prop is not None:
        own = np.clip(prop - z, 0.0, None)
        forces.append((prop, -float((moment(pulls) * own).sum() / (own * own).sum())))
    return [sum(force * max(place - where, 0.0) for place, force in forces) for where in at]


def post_moments(post, pulls, at, braced=True):
    """Return the moments outboard and aft at places of a post under pulls (place, force vector), prop by its brace."""
    axis, out, aft = (np.asarray(v) for v in (post.axis, post.outboard, post.fore_and_aft))
    resolved = [(place, float(np.dot(force, out)), float(np.dot(force, aft))) for place, force in pulls]
    if post.brace is None or not braced:
        side = propped_moments([(place, o) for place, o, _ in resolved], None, at)
        along = propped_moments([(place, a) for place, _, a in resolved], None, at)
        return list(zip(side, along, strict=True))
    held = np.asarray(post.brace.direction) - np.dot(post.brace.direction, axis) * axis
    held = np.array([held @ out, held @ aft]) / np.linalg.norm(held)
    free = np.array([-held[1], held[0]])
    by_held = propped_moments([(p, held @ [o, a]) for p, o, a in resolved], post.brace.along, at)
    by_free = propped_moments([(p, free @ [o, a]) for p, o, a in resolved], None, at)
    return [tuple(h * held + f * free) for h, f in zip(by_held, by_free, strict=True)]


def places_of(post, top, braced=True):
    """Return the sections to look at: name, place and hole, those with a pull above them."""
    found = [("foot", 0.0, None)]
    if post.brace is not None and braced:
        found.append(("brace", post.brace.along, None))
    return found + [(f"hole {hole.id}", hole.along, hole) for hole in post.holes if hole.along < top]


def on_section(post, hole, moments, proof):
    """Return stress and plastic share at a section by the grid."""
    side, aft = moments
    grid = ring_grid(post.tube.od, post.tube.wall, 0.0 if hole is None else hole.diameter)
    turn = 0.0 if hole is None else hole.clocking
    in_plane = aft * math.cos(turn) + side * math.sin(turn)
    square = side * math.cos(turn) - aft * math.sin(turn)
    return grid.stress(in_plane, square), grid.plastic_utilisation(in_plane, square, proof)


@cache
def ring_grid(od, wall, hole):
    return RingGrid(od, wall, hole)


def moments_of_pushed_posts(posts, points, push, line, start=None):
    """Return by finite elements the moments that a push on a line adds to its posts, by post and place.

    The only use of the finite-element package. Tubes are beams that turn with their ends, foot held, brace a stiff
    bar; each hole is a length of tube with its net section. The line is a chain of bars stretched beforehand, its
    loaded point a joint; it slides through its inner points until the tension is the same on each side of the load.

    Args:
        posts: the posts, each with the places of the sections to be returned.
        points: of the line: (number of its post or None, place in space, place along the tube or None).
        push: (span, share of it, force vector).
        line: (EA, tension to which it is set).
        start: lengths slipped at inner points by an earlier push, to begin with.

    Returns:
        Moments outboard and aft for each post and place, and the lengths slipped.
    """
    import openseespy.opensees as ops

    (span, share, force), (ea, tension) = push, line
    spots = [np.asarray(at) for _, at, _ in points]
    loaded = spots[span] + share * (spots[span + 1] - spots[span])
    corners = [*spots[: span + 1], loaded, *spots[span + 1 :]]
    lengths = np.array([float(np.linalg.norm(b - a)) for a, b in pairwise(corners)])
    inner = [i for i in range(1, len(corners) - 1) if i != span + 1]

    def solve(slips, of_force=1.0):
        rests = lengths / (1.0 + tension / ea)
        for i, slip in zip(inner, slips, strict=True):
            rests[i - 1] += slip
            rests[i] -= slip
        push_now = of_force * np.asarray(force)
        return _beams_and_bars(ops, posts, points, corners, span + 1, push_now, tension, ea, rests)

    def misfit(slips, of_force):
        tensions = solve(slips, of_force)[1]
        return [tensions[i - 1] - tensions[i] for i in inner]

    slips = np.zeros(len(inner)) if start is None else np.asarray(start)
    if inner:
        # Counted in what the shortest span is stretched by, so that no trial lets one fall slack.
        unit_slip = float(min(lengths)) * tension / ea
        for of_force in [1.0] if start is not None else [0.02, 0.1, 0.25, 0.5, 1.0]:
            found = root(
                lambda x, share: misfit(x * unit_slip, share), slips / unit_slip, args=(of_force,),
                options={"xtol": 1e-8, "factor": 0.2},
            )  # fmt: skip
            slips = found.x * unit_slip
        if max(abs(one) for one in found.fun) > 1e-3 * max(1.0, tension):
            raise RuntimeError("the line did not come to rest in its holes")
    return solve(slips)[0], slips


def _beams_and_bars(ops, posts, points, corners, loaded, force, tension, ea, rests):
    ops.wipe()
    ops.model("basic", "-ndm", 3, "-ndf", 6)
    tags, elements = iter(range(1, 100000)), iter(range(1, 100000))
    nodes = []
    for number, (post, wanted) in enumerate(posts):
        foot, axis = np.asarray(post.foot), np.asarray(post.axis)
        holds = [along for owner, _, along in points if owner == number]
        marks = {0.0, *holds, *wanted} | ({post.brace.along} if post.brace is not None else set())
        net = [(hole.along - 0.5 * hole.diameter, hole.along + 0.5 * hole.diameter, hole) for hole in post.holes]
        top = max([*holds] if post.brace is None else [*holds, post.brace.along])
        # A round hole in slices along the tube, each as wide as the hole is there.
        slices = [low + (high - low) * k / 6.0 for low, high, _ in net for k in range(7)]
        # Beams far shorter than thick make the solver fail: a slice's edge beside another place is left out.
        for edge in slices:
            if edge < top and min(abs(edge - mark) for mark in marks) > 0.8:
                marks.add(edge)
        places = sorted({round(mark, 6) for mark in marks if mark <= top + 1e-9})
        own = {}
        for place in places:
            own[place] = tag = next(tags)
            ops.node(tag, *(float(v) for v in foot + place * axis))
        ops.fix(own[0.0], 1, 1, 1, 1, 1, 1)
        above = {}
        young = post.elastic_modulus
        for low, high in pairwise(places):
            hole = next((one for a, b, one in net if a < 0.5 * (low + high) < b), None)
            turn = 0.0 if hole is None else hole.clocking
            off = 0.0 if hole is None else 0.5 * (low + high) - hole.along
            width = 0.0 if hole is None else 2.0 * math.sqrt(max(0.25 * hole.diameter**2 - off**2, 0.0))
            grid = ring_grid(post.tube.od, post.tube.wall, round(width, 6))
            # Local z lies along the hole's axis, so that bending about local y meets its exits at the rim.
            z = math.cos(turn) * np.asarray(post.fore_and_aft) + math.sin(turn) * np.asarray(post.outboard)
            transf = element = next(elements)
            ops.geomTransf("Corotational", transf, *(float(v) for v in z))
            section = (float(grid.area.sum()), young, young / 2.6, grid.ix + grid.iy, grid.ix, grid.iy)
            ops.element("elasticBeamColumn", element, own[low], own[high], *section, transf)
            above[low] = element
        if post.brace is not None:
            reach = foot + post.brace.along * axis - 500.0 * np.asarray(post.brace.direction)
            ground, element = next(tags), next(elements)
            ops.node(ground, *(float(v) for v in reach))
            ops.fix(ground, 1, 1, 1, 1, 1, 1)
            ops.uniaxialMaterial("Elastic", element, 1e8)
            ops.element("corotTruss", element, ground, own[round(post.brace.along, 6)], 1.0, element)
        nodes.append((own, above))
    chain = []
    for i, at in enumerate(corners):
        owner, along = (None, None) if i == loaded else (points[i if i < loaded else i - 1])[::2]
        if owner is not None:
            chain.append(nodes[owner][0][round(along, 6)])
            continue
        tag = next(tags)
        ops.node(tag, *(float(v) for v in at))
        ops.fix(tag, *((0, 0, 0, 1, 1, 1) if i == loaded else (1,) * 6))
        chain.append(tag)
    bars = []
    for (a, b), (first, last), rest in zip(pairwise(corners), pairwise(chain), rests, strict=True):
        element, stretch = next(elements), float(np.linalg.norm(b - a)) / rest
        ops.uniaxialMaterial("Elastic", 100000 + element, ea * stretch)
        ops.uniaxialMaterial("InitStrainMaterial", element, 100000 + element, (stretch - 1.0) / stretch)
        ops.element("corotTruss", element, first, last, 1.0, element)
        bars.append(element)
    ops.timeSeries("Constant", 1)
    ops.pattern("Plain", 1, 1)
    ops.timeSeries("Linear", 2)
    ops.pattern("Plain", 2, 2)
    ops.load(chain[loaded], *(float(v) for v in force), 0.0, 0.0, 0.0)
    ops.pattern("Plain", 3, 1)
    # What the line at rest does to its points was there before: it is taken off, so that only the push bends.
    for i, tag in enumerate(chain):
        pull = np.zeros(3)
        for j in (i - 1, i + 1):
            if 0 <= j < len(chain):
                pull += tension * (corners[j] - corners[i]) / np.linalg.norm(corners[j] - corners[i])
        if i != loaded:
            ops.load(tag, *(float(v) for v in -pull), 0.0, 0.0, 0.0)
    ops.system("BandGeneral")
    ops.numberer("RCM")
    ops.constraints("Plain")
    ops.test("NormUnbalance", 0.02, 100)
    ops.algorithm("Newton")
    ops.integrator("LoadControl", 1.0)
    ops.analysis("Static")
    # A line just taut is soft across: short steps first.
    for step in range(1, PUSH_STEPS + 1):
        ops.integrator("LoadControl", (step**2 - (step - 1) ** 2) / PUSH_STEPS**2)
        if ops.analyze(1) != 0:
            raise RuntimeError("the finite elements did not settle")
    moments = []
    for (post, wanted), (_, above) in zip(posts, nodes, strict=True):
        found = {}
        for place in wanted:
            element = above.get(round(place, 6))
            on_end = np.zeros(3) if element is None else -np.array(ops.eleResponse(element, "force")[3:6])
            turned = np.cross(post.axis, post.outboard), np.cross(post.axis, post.fore_and_aft)
            found[place] = float(on_end @ turned[0]), float(on_end @ turned[1])
        moments.append(found)
    return moments, [float(ops.eleResponse(bar, "axialForce")[0]) for bar in bars]
