"""Placement of text in free space: bounding boxes are occupied one by one, the first free candidate is used."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from geom.figure import LAYERS, Item, Rect, Text
from geom.render.plane import extent, flatten, text_box

_CLEAR = 0.35


def grown(rect: Rect, by: float) -> Rect:
    """Return a rectangle enlarged by a margin on every side [mm]."""
    return Rect(rect.left - by, rect.bottom - by, rect.right + by, rect.top + by)


def meets(a: Rect, b: Rect) -> bool:
    """Return whether two rectangles overlap."""
    return a.left < b.right and b.left < a.right and a.bottom < b.top and b.bottom < a.top


def within(inner: Rect, outer: Rect) -> bool:
    """Return whether a rectangle is within another."""
    return (
        inner.left >= outer.left
        and inner.right <= outer.right
        and inner.bottom >= outer.bottom
        and inner.top <= outer.top
    )


@dataclass
class Placer:
    """Occupied areas of a piece, as bounding rectangles [mm], and the texts placed."""

    occupied: list[Rect] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)

    def keep_off(self, items: Iterable[Item]) -> None:
        """Occupy the areas of strokes and fills."""
        for item in items:
            self.occupied.append(grown(extent(flatten(item)), LAYERS[item.layer].width / 2.0))  # type: ignore[arg-type]

    def free(self, place: Rect, room: Rect) -> bool:
        """Return whether a rectangle is within an area and clear of everything occupied."""
        return within(place, room) and not any(meets(place, other) for other in self.occupied)

    def put(self, candidates: Iterable[Text], room: Rect, heights: Sequence[float]) -> Text | None:
        """Place a text at the first free candidate, at the first of the heights with one.

        Args:
            candidates: the text at its possible positions, the best one first.
            room: the area that it must be in [mm].
            heights: lettering heights to try, the best one first [mm].

        Returns:
            The text as placed, None where there is no room.
        """
        first, *lower = heights
        tried: list[Text] = []
        # Most texts find room at once: the places further down the list are worked out only when they are needed.
        for candidate in candidates:
            tried.append(candidate)
            if self._takes(replace(candidate, height=first), room):
                return self.texts[-1]
        for height in lower:
            for candidate in tried:
                if self._takes(replace(candidate, height=height), room):
                    return self.texts[-1]
        return None

    def _takes(self, text: Text, room: Rect) -> bool:
        """Place a text if there is room."""
        place = grown(extent(text_box(text)), _CLEAR)
        is_free = self.free(place, room)
        if is_free:
            self.occupied.append(place)
            self.texts.append(text)
        return is_free
