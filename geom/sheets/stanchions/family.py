"""Which stanchions stand on one tabulated drawing: identical and mirrored ones in one row, and what is done to each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from geom.boat.model import BasePlate
from geom.open_items import OpenItem
from geom.open_items.concerns import held_posts
from geom.placement.identical_posts import Build, builds, mirror_image
from geom.placement.place import PlacedPost
from geom.placement.tube_cut import TubeCut, tube_cut
from geom.refit import Refit

Action = Literal["hold", "alter", "leave", "make"]


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
    """Return the rows of all stanchions in the boat file's order; those on hold have rows of their own.

    Args:
        refit: the boat as calculated.
        items: its open items.
    """
    held = held_posts(refit, items)
    made: dict[tuple[Build, bool], tuple[str, ...]] = {}
    for build, ids in builds(refit.placed).items():
        twin = mirror_image(build)
        for name in ids:
            alike, stopped = build, name in held
            if (twin, stopped) in made:
                alike = twin
            made[alike, stopped] = (*made.get((alike, stopped), ()), name)
    return tuple(_row(refit, ids, held) for ids in made.values())


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


def _row(refit: Refit, ids: tuple[str, ...], held: Mapping[str, tuple[OpenItem, ...]]) -> Row:
    post = refit.placed.posts[ids[0]]
    base = None if post.spec.base is None else refit.boat.bases[post.spec.base]
    stopping = {item.number: item for name in ids for item in held.get(name, ())}
    items = tuple(stopping[number] for number in sorted(stopping))
    return Row(ids, post, tube_cut(post, base), base, _action(refit, post, bool(items)), items)


def _action(refit: Refit, post: PlacedPost, stopped: bool) -> Action:
    if stopped:
        return "hold"
    if refit.boat.survey == "as designed":
        return "make"
    planned = post.spec.intended is not None or any(hole.spec.planned is not None for hole in post.holes)
    return "alter" if planned else "leave"
