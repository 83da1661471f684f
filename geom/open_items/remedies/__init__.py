"""Remedies: each single change of the boat that closes an item, the smallest of its kind, worked out on demand.

`solve.py` finds and checks them; the other files propose the changes, one file for each kind of part.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from geom.open_items.item import OpenItem
from geom.open_items.rank import open_items
from geom.open_items.remedies import eyes, fittings, holes, lines, posts
from geom.open_items.remedies.remedy import Candidate
from geom.open_items.remedies.remedy import Remedy as Remedy
from geom.open_items.remedies.solve import solved
from geom.refit import Refit

_PROPOSERS: dict[str, tuple[Callable[[Refit, OpenItem], Iterator[Candidate]], ...]] = {
    "line.gate": (lines.one_line, lines.wider_gate, lines.thinner),
    "line.short": (lines.thinner,),
    "line.thin": (lines.thicker,),
    "survey.bent": (posts.bent,),
    "post.low": (posts.too_low,),
    "post.high": (posts.too_high,),
    "post.open": (posts.too_open,),
    "post.tilt": (posts.tilted,),
    "post.base": (posts.base_moved,),
    "eye.low": (eyes.higher,),
    "eye.high": (eyes.lower,),
    "eye.open": (eyes.closer,),
    "span.low": (posts.supports_moved,),
    "span.high": (posts.supports_moved,),
    "span.open": (posts.supports_moved,),
    "span.wide": (posts.post_along_edge,),
    "hole.bore": (holes.larger_bore, lines.thinner),
    "hole.lips": (holes.best_axis, holes.larger_bore),
    "strength.line": (lines.stronger,),
    "strength.part": (lines.stronger,),
    "strength.posts": (fittings.thicker_wall,),
    "tension.low": (lines.more_tension,),
    "fitting.range": (fittings.more_range,),
    "fitting.opening": (fittings.more_range,),
    "fitting.gap": (fittings.smaller_gap,),
    "fitting.pin": (fittings.other_pin,),
    "fitting.jaw": (fittings.other_jaw,),
    "fitting.eye": (fittings.longer_eye,),
    "fitting.hand": (fittings.both_hands,),
    "fitting.stop": (fittings.wider_stop,),
}


def remedies(refit: Refit) -> tuple[Remedy, ...]:
    """Return the remedies of all items of a refit, item by item."""
    items = open_items(refit)
    return tuple(remedy for item in items for remedy in remedies_of(refit, item, items))


def remedies_of(refit: Refit, item: OpenItem, items: tuple[OpenItem, ...]) -> Iterator[Remedy]:
    """Yield the remedies of one item.

    Args:
        refit: the refit of the boat file.
        item: the item.
        items: all items of the refit.
    """
    for propose in _PROPOSERS.get(item.name, ()):
        for candidate in propose(refit, item):
            remedy = solved(refit, item, items, candidate)
            if remedy is not None:
                yield remedy
