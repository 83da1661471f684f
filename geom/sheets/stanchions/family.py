"""Which stanchions stand on one tabulated drawing: identical and mirrored ones in one row, and what is done to each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from geom.boat.model import BasePlate
from geom.open_items import OpenItem
from geom.placement.identical_posts import Build, builds, mirror_image
from geom.placement.place import PlacedPost
from geom.placement.tube_cut import TubeCut, tube_cut
from geom.refit import Refit

Action = Literal["hold", "alter", "leave", "make"]
# Items of these kinds stop the work on a stanchion.
_STOPS = ("stop", "fails")


@dataclass(frozen=True)
class Row:
    """Stanchions made alike: their ids, the first of them with its cut, what is done, open items that stop it."""

    ids: tuple[str, ...]
    post: PlacedPost
    cut: TubeCut
    base: BasePlate | None
    action: Action
    items: tuple[OpenItem, ...]

    @property
    def label(self) -> str:
        """Their ids, the first and how many more where there are many."""
        return ", ".join(self.ids) if len(self.ids) <= 2 else f"{self.ids[0]} +{len(self.ids) - 1}"

    @property
    def braced(self) -> bool:
        """Whether a brace stands beside them."""
        return self.post.spec.brace is not None

    @property
    def altered(self) -> bool:
        """Whether they are to be altered, or it is not known yet how they are to be."""
        return self.action in ("hold", "alter")


def rows(refit: Refit, items: Sequence[OpenItem]) -> tuple[Row, ...]:
    """Return the rows of all stanchions in the boat file's order.

    Args:
        refit: the boat as calculated.
        items: its open items.
    """
    made: dict[Build, tuple[str, ...]] = {}
    for build, ids in builds(refit.placed).items():
        twin = mirror_image(build)
        key = twin if twin in made else build
        made[key] = (*made.get(key, ()), *ids)
    return tuple(_row(refit, ids, items) for ids in made.values())


def families(found: Sequence[Row]) -> tuple[tuple[Row, ...], tuple[Row, ...]]:
    """Return the through-line stanchions, and the braced and altered ones where the boat has braces.

    On a boat without braces all stanchions are of the first family.

    Args:
        found: the rows of all stanchions.
    """
    if not any(row.braced for row in found):
        return tuple(found), ()
    second = tuple(row for row in found if row.braced or row.altered)
    return tuple(row for row in found if row not in second), second


def _row(refit: Refit, ids: tuple[str, ...], items: Sequence[OpenItem]) -> Row:
    post = refit.placed.posts[ids[0]]
    base = None if post.spec.base is None else refit.boat.bases[post.spec.base]
    stopping = tuple(item for item in items if item.kind in _STOPS and _concerns(refit, item, ids))
    return Row(ids, post, tube_cut(post, base), base, _action(refit, post, bool(stopping)), stopping)


def _concerns(refit: Refit, item: OpenItem, ids: tuple[str, ...]) -> bool:
    """Return whether an item is about these stanchions or a hole of theirs, and not about every one of the boat."""
    # A tape between two holes is about their distance, and no sheet of stanchions shows it.
    of_holes = "stanchions" in item.sheets
    posts = {hole.id: post.id for post, hole in refit.placed.holes() if of_holes}
    concerned = {posts.get(place, place) for place in item.places}
    return not concerned.isdisjoint(ids) and not set(refit.placed.posts) <= concerned


def _action(refit: Refit, post: PlacedPost, stopped: bool) -> Action:
    if stopped:
        return "hold"
    if refit.boat.survey == "as designed":
        return "make"
    planned = post.spec.intended is not None or any(hole.spec.planned is not None for hole in post.holes)
    return "alter" if planned else "leave"
