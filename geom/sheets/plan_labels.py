"""The row of ids and eye signs inboard of each post on the deck plan."""

from __future__ import annotations

from geom.boat.model import Level, Side
from geom.figure import Item, Text
from geom.lettering import width as text_width
from geom.refit import Refit
from geom.runs.heights import edge_y
from geom.runs.place import PlacedPost, side_sign
from geom.schedules import leading_verdict
from geom.sheets.placing import spread
from geom.sheets.symbols import eye_symbol

SIDES: tuple[Side, Side] = ("S", "P")
_LABEL_GAP = 3.2
_ID_HEIGHT = 2.5


def label_items(refit: Refit, side: Side, mm: float, low: float, high: float) -> list[Item]:
    """Return ids and eye signs in a row inboard of each post, moved along where they would touch."""
    items: list[Item] = []
    inward = -side_sign(side)
    for post, centre, inner in label_places(refit, side, mm, low, high):
        y = side_sign(side) * inner + inward * _LABEL_GAP * mm
        signs = _signs_of(refit, post)
        second = y - 6.6 * mm if inward < 0 else y + 1.3 * mm
        first = y - _ID_HEIGHT * mm if inward < 0 else y + (4.1 * mm if signs else 0.0)
        x = centre * mm
        items.append(Text((x, first), post.id, _ID_HEIGHT, "TEXT", "centre", tag=f"label:{post.id}"))
        left = x - len(signs) * 4.1 * mm + 0.2 * mm
        for index, (level, hole_id, run_id) in enumerate(signs):
            at = (left + index * 8.2 * mm, second)
            items.append(Text(at, level, 2.5, "NOTE", upright="middle"))
            verdict = leading_verdict(refit, run_id, hole_id).verdict
            items += eye_symbol((at[0] + 4.6 * mm, at[1]), verdict, mm, tag=f"sign:{hole_id}")
    return items


def labels_clear(refit: Refit, mm: float, low: float, high: float) -> bool:
    """Return whether the labels of both sides stay off the centreline at a scale.

    Args:
        refit: the boat worked out.
        mm: boat millimetres to one paper millimetre.
        low: least X that labels may reach [boat mm].
        high: greatest X that labels may reach [boat mm].
    """
    for side in SIDES:
        for post, _, inner in label_places(refit, side, mm, low, high):
            tall = _LABEL_GAP + (7.9 if _signs_of(refit, post) else _ID_HEIGHT) + 0.8
            if inner < tall * mm:
                return False
    return True


def label_places(refit: Refit, side: Side, mm: float, low: float, high: float) -> list[tuple[PlacedPost, float, float]]:
    """Return each post of a side with its label's centre along X [paper mm] and where its inner face is [mm]."""
    posts = sorted((post for post in refit.placed.posts.values() if post.side == side), key=lambda post: post.foot[0])
    widths = [_label_width(refit, post) for post in posts]
    centres = spread([post.at(post.top)[0] / mm for post in posts], widths, 1.5, low / mm, high / mm)
    return [
        (post, centre, _inner(refit, post, centre * mm, (0.5 * wide + 1.0) * mm))
        for post, centre, wide in zip(posts, centres, widths, strict=True)
    ]


def _inner(refit: Refit, post: PlacedPost, at: float, half: float) -> float:
    """Return how near the centreline the lines, the edge and the post come along a label."""
    found = [abs(post.foot[1]), abs(post.at(post.top)[1])]
    chains = [run.points for run in refit.placed.runs.values() if run.side == post.side]
    for chain in (*chains, refit.boat.edge(post.side)):
        found += [abs(y) for x, y, _ in chain if at - half <= x <= at + half]
        found += [abs(y) for y in (edge_y(chain, x) for x in (at - half, at + half)) if y is not None]
    return min(found)


def _label_width(refit: Refit, post: PlacedPost) -> float:
    return max(text_width(post.id, _ID_HEIGHT), len(_signs_of(refit, post)) * 8.2)


def _signs_of(refit: Refit, post: PlacedPost) -> list[tuple[Level, str, str]]:
    resting = refit.placed.restings
    return [(hole.level, hole.id, resting[hole.id].run) for hole in post.holes if hole.id in resting]
