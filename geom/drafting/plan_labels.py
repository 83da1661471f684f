"""The row of names and eye symbols inboard of each post and rail on the deck plan."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geom.boat.model import Level, Side
from geom.drafting.label_places import spread
from geom.drafting.symbols import eye_symbol
from geom.figure import Item, Text
from geom.lettering import width as text_width
from geom.placement.holes import edge_y
from geom.placement.place import PlacedPost, side_sign
from geom.refit import Refit

SIDES: tuple[Side, Side] = ("S", "P")
_LABEL_GAP = 3.2
_ID_HEIGHT = 2.5
# The eye symbols are smaller than in tables, so that they are not mistaken for fittings.
_SIGN_SIZE = 0.75
_SIGN_PITCH = 8.8
_SIGN_OFF = 2.0
# From a gate's inner face to the bracket that shows its posts, and to the foot of its lettering.
GATE_BRACKET = 12.6
GATE_TEXT = 16.2


@dataclass(frozen=True)
class Label:
    """The label inboard of a post or of a rail's eyes: its text, its eye symbols, its preferred X [mm].

    `near` is the smallest distance of the post or eyes from the centreline [mm]. A symbol is given by level
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
        return max(text_width(self.text, _ID_HEIGHT), len(self.signs) * _SIGN_PITCH)

    @property
    def height(self) -> float:
        """Height on paper [mm]."""
        return 7.9 if self.signs else _ID_HEIGHT


def label_items(refit: Refit, side: Side, mm: float, low: float, high: float) -> list[Item]:
    """Return names and eye symbols in a row inboard of each post and rail, moved along where they would touch.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    items: list[Item] = []
    inward = -side_sign(side)
    for label, centre, inner in label_places(refit, side, mm, low, high):
        y = side_sign(side) * inner + inward * _LABEL_GAP * mm
        second = y - 6.6 * mm if inward < 0 else y + 1.3 * mm
        first = y - _ID_HEIGHT * mm if inward < 0 else y + (4.1 * mm if label.signs else 0.0)
        x = centre * mm
        items.append(Text((x, first), label.text, _ID_HEIGHT, "TEXT", "centre", tag=f"label:{label.name}"))
        left = x - len(label.signs) * 0.5 * _SIGN_PITCH * mm + 0.7 * mm
        for index, (level, hole_id) in enumerate(label.signs):
            at = (left + index * _SIGN_PITCH * mm, second)
            items.append(Text(at, f"{level}:", _ID_HEIGHT, "NOTE", upright="middle"))
            verdict = refit.placed.eye(hole_id).verdict
            off = (text_width(f"{level}:", _ID_HEIGHT) + _SIGN_OFF) * mm
            items += eye_symbol((at[0] + off, at[1]), verdict, _SIGN_SIZE * mm, tag=f"sign:{hole_id}")
    return items


def labels_clear(refit: Refit, mm: float, low: float, high: float) -> bool:
    """Return whether the labels of both sides are clear of the centreline at a scale.

    Args:
        refit: the boat as calculated.
        mm: boat millimetres to one paper millimetre.
        low: smallest X of labels [boat mm].
        high: largest X of labels [boat mm].
    """
    gated = {post for gate in refit.placed.gates.values() for post in gate.posts}
    for side in SIDES:
        for label, _, inner in label_places(refit, side, mm, low, high):
            tall = GATE_TEXT if label.name in gated else _LABEL_GAP + label.height
            if inner < (tall + 0.8) * mm:
                return False
    return True


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
    centres = spread([label.x / mm for label in labels], widths, 1.5, low / mm, high / mm)
    return [
        (label, centre, _inner(refit, side, label, centre * mm, (0.5 * label.width + 1.0) * mm))
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
    for rail in ("pulpit", "pushpit"):
        eyes = [eye for eye in refit.boat.eyes if eye.on == rail and eye.id[0] == side]
        if eyes:
            x = math.fsum(eye.at[0] for eye in eyes) / len(eyes)
            near = min(abs(eye.at[1]) for eye in eyes)
            labels.append(Label(f"{side}-{rail}", rail.upper(), x, near))
    return sorted(labels, key=lambda label: label.x)


def _inner(refit: Refit, side: Side, label: Label, at: float, half: float) -> float:
    """Return the smallest distance of lines, deck edge and the labelled part from the centreline along a label [mm]."""
    distances = [label.near]
    chains: list[Sequence[tuple[float, float, float]]] = [
        run.points for run in refit.placed.runs.values() if run.side == side
    ]
    for chain in (*chains, refit.boat.edge(side)):
        distances += [abs(y) for x, y, _ in chain if at - half <= x <= at + half]
        distances += [abs(y) for y in (edge_y(tuple(chain), x) for x in (at - half, at + half)) if y is not None]
    return min(distances)


def _signs_of(refit: Refit, post: PlacedPost) -> list[tuple[Level, str]]:
    return [(hole.level, hole.id) for hole in post.holes if hole.id in refit.placed.lines_in_holes]
