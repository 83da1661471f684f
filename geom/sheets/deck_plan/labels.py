"""The row of names and eye symbols inboard of each post on the deck plan."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from geom.boat.model import Level, Side
from geom.drafting import placing
from geom.drafting.boat_view import SIDES
from geom.drafting.straight_line import spread
from geom.drafting.symbols import eye_symbol
from geom.figure import Item, Point, Text
from geom.lettering import width as text_width
from geom.placement.heights import edge_y
from geom.placement.place import PlacedPost, hull_sign
from geom.refit import Refit

# Room inboard of a gate's names for its clear opening [paper mm].
GATE_ROOM = 14.0
_LABEL_GAP, _CLEAR = 3.6, 1.0
# Between the names of two posts, so that the line of a flag passes [paper mm].
_BESIDE = 2.6
_NAME = 3.5
_LETTERING = 2.5
# The eye symbols are smaller than in tables, so that they are not mistaken for fittings.
_SIGN_SIZE = 0.85
_SIGN_PITCH = 8.0
_SIGN_OFF = 2.2
# From the name's base line to the middle of the symbols [paper mm].
_SIGNS_BELOW = 4.2
# Round the foot of a post: distances of its label, directions, the first aft, start of the leader [paper mm, deg].
_REACHES = (8.0, 12.0, 16.0, 20.0, 26.0, 32.0)
_TURNS = (0, 180, 20, -20, 160, -160, 45, -45, 135, -135, 90, -90)
_OFF_FOOT = 2.6


@dataclass(frozen=True)
class Label:
    """The label inboard of a post: its text, its eye symbols, its preferred X [mm].

    `near` is the smallest distance of the post from the centreline [mm]. A symbol is given by level
    and hole.
    """

    name: str
    text: str
    x: float
    near: float
    signs: tuple[tuple[Level, str], ...] = ()

    @property
    def width(self) -> float:
        """Width on paper [mm]."""
        return max(text_width(self.text, _NAME, "semibold"), len(self.signs) * _SIGN_PITCH)

    @property
    def height(self) -> float:
        """Height on paper [mm]."""
        return _NAME + (_SIGNS_BELOW + 1.3 if self.signs else 0.0)


def label_items(refit: Refit, side: Side, mm: float, low: float, high: float) -> list[Item]:
    """Return names and eye symbols in a row inboard of each post, moved along where they would touch.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    items: list[Item] = []
    inward = -hull_sign(side)
    for label, centre, inner in label_places(refit, side, mm, low, high):
        face = hull_sign(side) * inner + inward * _LABEL_GAP * mm
        if _has_room(label, inner, mm):
            items += _items(refit, label, (centre * mm, face), inward, mm)
    return items


def loose_items(refit: Refit, drawn: placing.Drawn, side: Side, mm: float, low: float, high: float) -> Iterator[Item]:
    """Yield names and eye symbols for which the centreline leaves no room in the row, each beside its post's foot.

    Args:
        refit: the boat as calculated.
        drawn: what is in the view already; the names are added.
        side: of the boat.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    for label, _, inner in label_places(refit, side, mm, low, high):
        if not _has_room(label, inner, mm):
            foot = refit.placed.posts[label.name].foot
            yield from drawn.put(_beside_foot(refit, drawn, label, (foot[0], foot[1]), mm)).items


def _has_room(label: Label, inner: float, mm: float) -> bool:
    """Return whether a label in the row ends before the centreline."""
    return inner >= (_LABEL_GAP + label.height + 0.8) * mm


def _beside_foot(refit: Refit, drawn: placing.Drawn, label: Label, foot: Point, mm: float) -> Iterator[placing.Label]:
    """Yield a label at its places round the foot of its post, led to it: aft, forward, then all round."""
    half = 0.5 * label.width
    for reach, turn in product(_REACHES, _TURNS):
        x, y = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        middle = (foot[0] + (reach + half) * x * mm, foot[1] + (reach + 0.5 * label.height) * y * mm)
        items = _items(refit, label, (middle[0], middle[1] + 0.5 * label.height * mm), -1.0, mm)
        near = (foot[0] + _OFF_FOOT * x * mm, foot[1] + _OFF_FOOT * y * mm)
        end = (middle[0] - (half + 1.0) * x * mm, middle[1] - (0.5 * label.height + 1.0) * y * mm)
        yield drawn.group(items, (near, end))


def _items(refit: Refit, label: Label, at: Point, way: float, mm: float) -> Iterator[Item]:
    """Yield the name of a post and under it, in the direction of Y given, its symbols, from the middle of its edge."""
    base = at[1] - _NAME * mm if way < 0 else at[1]
    signs = base - _SIGNS_BELOW * mm if way < 0 else base + (_NAME + _SIGNS_BELOW - 1.2) * mm
    x = at[0]
    yield Text((x, base), label.text, _NAME, "TEXT", "centre", tag=f"label:{label.name}", weight="semibold")
    left = x - 0.5 * len(label.signs) * _SIGN_PITCH * mm + 1.2 * mm
    for index, (level, hole_id) in enumerate(label.signs):
        place = (left + index * _SIGN_PITCH * mm, signs)
        yield Text(place, level, _LETTERING, "NOTE", upright="middle")
        off = (text_width(level, _LETTERING) + _SIGN_OFF) * mm
        verdict = refit.placed.eye(hole_id).verdict
        yield from eye_symbol((place[0] + off, place[1]), verdict, _SIGN_SIZE * mm, tag=f"sign:{hole_id}")


def labels_clear(refit: Refit, mm: float, low: float, high: float) -> bool:
    """Return whether the labels of both sides are clear of the centreline at a scale.

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    gated = {post.id for gate in refit.placed.gates.values() for post in (*gate.posts, *gate.loose)}
    for side in SIDES:
        for label, _, inner in label_places(refit, side, mm, low, high):
            tall = _LABEL_GAP + label.height + (GATE_ROOM if label.name in gated else 0.0)
            if inner < (tall + 0.8) * mm:
                return False
    return True


def labels_beside(refit: Refit, mm: float, low: float, high: float) -> bool:
    """Return whether each label stands beside its own post at a scale, moved along by no more than its width.

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    placed = (place for side in SIDES for place in label_places(refit, side, mm, low, high))
    return all(abs(centre - label.x / mm) <= label.width for label, centre, _ in placed)


def inner_faces(refit: Refit, side: Side, mm: float, low: float, high: float) -> dict[str, float]:
    """Return the distance from the centreline at which the label of each post of a side ends, inboard [mm].

    Args:
        refit: the boat as calculated.
        side: of the boat.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    return {
        label.name: inner - (_LABEL_GAP + label.height) * mm
        for label, _, inner in label_places(refit, side, mm, low, high)
    }


def label_places(refit: Refit, side: Side, mm: float, low: float, high: float) -> list[tuple[Label, float, float]]:
    """Return each label of a side with its centre along X [paper mm] and the distance of its inner face [mm].

    Args:
        refit: the boat as calculated.
        side: of the boat.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    labels = _labels(refit, side)
    widths = [label.width for label in labels]
    centres = spread([label.x / mm for label in labels], widths, _BESIDE, low / mm, high / mm)
    return [
        (label, centre, _inner(refit, side, label, centre * mm, (0.5 * label.width + 1.0) * mm, mm))
        for label, centre in zip(labels, centres, strict=True)
    ]


def _labels(refit: Refit, side: Side) -> list[Label]:
    """Return the labels of a side from forward to aft."""
    posts = [post for post in refit.placed.posts.values() if post.side == side]
    labels = [
        Label(
            name=post.id,
            text=post.id,
            x=post.at(post.top)[0],
            near=min(abs(post.foot[1]), abs(post.at(post.top)[1])),
            signs=tuple(_signs_of(refit, post)),
        )
        for post in posts
    ]
    return sorted(labels, key=lambda label: label.x)


def _inner(refit: Refit, side: Side, label: Label, at: float, half: float, mm: float) -> float:
    """Return the smallest distance of lines, deck edge and posts from the centreline along a label [mm]."""
    distances = [label.near]
    for post in (one for one in refit.placed.posts.values() if one.side == side):
        base = refit.boat.bases.get(post.spec.base) if post.spec.base else None
        od = refit.boat.tubes[post.spec.tube].od
        wide, deep = (base.length, base.width) if base else (od, od)
        # Outside a plate the label stands closer than beside the middle of a post.
        closer = 0.5 * deep - (_LABEL_GAP - _CLEAR) * mm
        distances += [
            abs(y) - max(0.0, closer) for x, y, _ in (post.foot, post.at(post.top)) if abs(x - at) <= half + 0.5 * wide
        ]
    chains: list[Sequence[tuple[float, float, float]]] = [
        run.points for run in refit.placed.runs.values() if run.side == side
    ]
    for chain in (*chains, refit.boat.edge(side)):
        distances += [abs(y) for x, y, _ in chain if at - half <= x <= at + half]
        distances += [abs(y) for y in (edge_y(tuple(chain), x) for x in (at - half, at + half)) if y is not None]
    return min(distances)


def _signs_of(refit: Refit, post: PlacedPost) -> list[tuple[Level, str]]:
    return [(hole.level, hole.id) for hole in post.holes if hole.id in refit.placed.lines_in_holes]
