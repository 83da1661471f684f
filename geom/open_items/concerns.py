"""What open items concern: the lines that each is flagged at, and the stanchions that one of them puts on hold."""

from __future__ import annotations

from collections.abc import Sequence

from geom.open_items.item import OpenItem
from geom.refit import Refit

# Open items about stanchions that are flagged at the lines on them, beside those of heights.
_OF_POSTS = (
    "survey.bent", "strength.as_set", "strength.gate_open", "strength.weak_as_set", "strength.weak_gate_open",
)  # fmt: skip

# Items of these kinds stop the work on a stanchion.
_STOPS = ("stop", "fails")


def of_run(refit: Refit, name: str, items: Sequence[OpenItem]) -> tuple[OpenItem, ...]:
    """Return the open items of the rigger's sheets that name a run, its line, ends, fittings or holes, or its posts.

    Args:
        refit: the boat as calculated.
        name: the run.
        items: the open items of the boat.
    """
    run = refit.placed.runs[name]
    ends = (run.spec.start, run.spec.finish)
    named = {run.id, run.spec.line, *(passage.hole.id for passage in run.passages)}
    named |= {one for end in ends for one in (end.end, *end.fittings)}
    named |= {f"{end.post}-{run.level}" for end in ends if end.post is not None}
    posts = {end.post for end in ends} | {passage.hole.post for passage in run.passages}

    def concerned(item: OpenItem) -> bool:
        if "line_sheets" in item.sheets:
            return not named.isdisjoint(item.places)
        of_posts = item.name.startswith("post.") or item.name in _OF_POSTS
        return of_posts and not posts.isdisjoint(item.places)

    return tuple(filter(concerned, items))


def held_posts(refit: Refit, items: Sequence[OpenItem]) -> dict[str, tuple[OpenItem, ...]]:
    """Return the stanchions on hold in the boat file's order, each with the open items that stop the work on it.

    Args:
        refit: the boat as calculated.
        items: its open items.
    """
    posts = {hole.id: post.id for post, hole in refit.placed.holes()}
    found: dict[str, list[OpenItem]] = {}
    for item in items:
        if item.kind not in _STOPS:
            continue
        # A tape between two holes is about their distance, and no sheet of stanchions shows it.
        named = {posts.get(place, place) for place in item.places} if "stanchions" in item.sheets else {*item.places}
        for name in refit.placed.posts:
            if name in named:
                found.setdefault(name, []).append(item)
    return {name: tuple(found[name]) for name in refit.placed.posts if name in found}
