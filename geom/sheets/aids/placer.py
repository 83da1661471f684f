"""Words put where nothing stands yet: upright boxes taken one after the other, the first free candidate wins."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from geom.figure import LAYERS, Item, Rect, Text
from geom.render.plane import extent, flatten, text_box

_CLEAR = 0.35


def grown(rect: Rect, by: float) -> Rect:
    """Return a rectangle that reaches further by so much on every side [mm]."""
    return Rect(rect.left - by, rect.bottom - by, rect.right + by, rect.top + by)


def meets(a: Rect, b: Rect) -> bool:
    """Return whether two rectangles overlap."""
    return a.left < b.right and b.left < a.right and a.bottom < b.top and b.bottom < a.top


def within(inner: Rect, outer: Rect) -> bool:
    """Return whether a rectangle lies in another."""
    return (
        inner.left >= outer.left
        and inner.right <= outer.right
        and inner.bottom >= outer.bottom
        and inner.top <= outer.top
    )


@dataclass
class Placer:
    """What of a piece is taken already, each thing by the upright rectangle round it."""

    taken: list[Rect] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)

    def keep_off(self, items: Iterable[Item]) -> None:
        """Take the places of strokes and fills."""
        for item in items:
            self.taken.append(grown(extent(flatten(item)), LAYERS[item.layer].width / 2.0))  # type: ignore[arg-type]

    def free(self, place: Rect, room: Rect) -> bool:
        """Return whether a place lies in a room and clear of all that is taken."""
        return within(place, room) and not any(meets(place, other) for other in self.taken)

    def put(self, candidates: Iterable[Text], room: Rect, heights: Sequence[float]) -> Text | None:
        """Write a text at the first free candidate, with the largest of the heights that finds one.

        Args:
            candidates: the text at the places it may stand, the best one first.
            room: what it must lie in.
            heights: letterings to try, the best one first [mm].

        Returns:
            The text as it stands, None where it stands nowhere.
        """
        tried = tuple(candidates)
        for height in heights:
            for candidate in tried:
                text = replace(candidate, height=height)
                place = grown(extent(text_box(text)), _CLEAR)
                if self.free(place, room):
                    self.taken.append(place)
                    self.texts.append(text)
                    return text
        return None
