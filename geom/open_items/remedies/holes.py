"""Remedies at holes: a larger bore, a bush of larger bore, holes on the best axis, in a new tube where need be."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.boat.post_model import Hole, HoleDirection, PlannedHole
from geom.open_items.group import once, some_of
from geom.open_items.item import OpenItem
from geom.open_items.remedies import edit
from geom.open_items.remedies.edit import Edit
from geom.open_items.remedies.remedy import Candidate, Edits, Part, ids
from geom.refit import Refit
from geom.remark import Remark

# Largest step of a bore [0.1 mm].
MOST_TENTHS = 120


def larger_bore(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield the holes drilled out, or their bushes with a larger bore, all to one size."""
    holes = tuple(name for name in item.places if name in refit.placed.lines_in_holes)
    if not holes:
        return
    passages = [refit.placed.lines_in_holes[name] for name in holes]
    base = math.floor(min(one.passage.hole.bore for one in passages) * 10.0) / 10.0
    line = max(refit.placed.line(refit.placed.runs[one.run]).diameter for one in passages)

    def drilled(tenths: int) -> Edits:
        return tuple(bored(refit, name, base + tenths / 10.0) for name in holes)

    yield Candidate(
        (Part(holes[0], ids(item), drilled, max(math.ceil((line - base) * 10.0), 1), MOST_TENTHS),),
        lambda steps: Remark("remedy.bore", at=some_of(holes, "holes"), to_mm=base + steps[0] / 10.0),
        step=0.1,
    )


def bored(refit: Refit, name: str, bore: float) -> Edit:
    """Return a hole with a bore at least so large: of its bush where it has one, else drilled out.

    Args:
        refit: the refit.
        name: id of the hole.
        bore: the bore [mm].
    """
    place, hole = _hole(refit, name)
    if hole.liner is not None:
        return edit.quantity(refit.boat, (*place, "planned", "liner", "bore"), max(bore, hole.liner.bore))
    if hole.planned is not None:
        return edit.quantity(refit.boat, (*place, "planned", "diameter"), max(bore, hole.planned.diameter))
    # Drilled out, in the direction that it has where that was measured.
    size = round(max(bore, hole.diameter), 4)
    found = None if hole.as_found is None else hole.as_found.direction
    drilled = PlannedHole(diameter=size, direction=found if isinstance(found, HoleDirection) else "best")
    return edit.entry(refit.loaded, (*place, "planned"), drilled)


def best_axis(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield planned holes on the best axis."""
    if not item.places or any(_hole(refit, name)[1].planned is None for name in item.places):
        return
    edits = tuple(
        edit.word(refit.boat, (*_hole(refit, name)[0], "planned", "direction"), "best") for name in item.places
    )
    yield Candidate(
        (Part(item.places[0], ids(item), lambda _: edits),),
        lambda _: Remark("remedy.best_axis", at=some_of(item.places, "holes")),
    )


def new_tubes(refit: Refit, item: OpenItem) -> Iterator[Candidate]:
    """Yield new tubes in place of drilled ones, all their holes on the best axis, as large as they were."""
    posts = once(name.rpartition("-")[0] for name in item.places if name in refit.placed.lines_in_holes)
    edits = tuple(one for post in posts for one in _drilled_anew(refit, post))
    if edits:
        yield Candidate(
            (Part(posts[0], ids(item), lambda _: edits),),
            lambda _: Remark("remedy.new_tube", at=some_of(posts, "posts")),
        )


def _drilled_anew(refit: Refit, post: str) -> Iterator[Edit]:
    for level, hole in refit.placed.posts[post].spec.holes.items():
        place = ("posts", post, "holes", level)
        if hole.as_found is not None:
            text = edit.written(refit.loaded, hole.as_found)
            yield Edit((*place, "as_found"), None, text, "left out")
        if hole.planned is None:
            yield edit.entry(refit.loaded, (*place, "planned"), PlannedHole(diameter=hole.diameter))
        elif hole.planned.direction != "best":
            yield edit.word(refit.boat, (*place, "planned", "direction"), "best")


def _hole(refit: Refit, name: str) -> tuple[tuple[str, ...], Hole]:
    """Return the path of a hole and the hole itself."""
    post, _, level = name.rpartition("-")
    path = ("posts", post, "holes", level)
    return path, edit.at(refit.boat, path)
