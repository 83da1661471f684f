"""Remedies: each single change of the boat that closes an item, the smallest of its kind, worked out on demand.

`solve.py` finds and checks them; the other files propose the changes, one file for each kind of part.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from geom.open_items.item import OpenItem
from geom.open_items.rank import open_items
from geom.open_items.remedies import eyes, fittings, holes, layout, lines, posts, strength
from geom.open_items.remedies.remedy import Candidate
from geom.open_items.remedies.remedy import Remedy as Remedy
from geom.open_items.remedies.solve import solved
from geom.refit import Refit

_PROPOSERS: dict[str, tuple[Callable[[Refit, OpenItem], Iterator[Candidate]], ...]] = {
    "line.gate": (lines.one_line, lines.wire, lines.wider_gate, lines.shorter_fitting, lines.thinner),
    "line.short": (lines.wire, lines.ends_apart, lines.shorter_fitting, lines.thinner),
    "line.thin": (lines.thicker,),
    "line.material": (lines.wire,),
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
    "span.wide": (posts.post_along_edge, layout.posts_between),
    "hole.order": (posts.out_of_order,),
    "hole.bore": (holes.larger_bore, lines.thinner),
    "hole.lips": (holes.best_axis, holes.larger_bore, holes.new_tubes),
    "admission.single_line": (layout.second_line,),
    "layout.courses": (layout.second_line,),
    "measure.over": (fittings.measured_opening,),
    "strength.line": (lines.stronger,),
    "strength.part": (lines.stronger,),
    "strength.posts": (strength.other_tube, strength.higher_proof),
    "strength.as_set": (strength.less_tension, strength.other_tube),
    "strength.gate_open": (strength.braced, strength.less_tension, strength.other_tube),
    "strength.weak_as_set": (strength.less_tension, strength.other_tube),
    "strength.weak_gate_open": (strength.braced, strength.less_tension, strength.other_tube),
    "tension.low": (lines.more_tension,),
    "fitting.range": (fittings.more_range, fittings.adjusters),
    "fitting.opening": (fittings.more_range,),
    "fitting.nothing_left": (lines.shorter_fitting, lines.ends_apart),
    "fitting.gap": (fittings.smaller_gap,),
    "fitting.pin": (fittings.other_pin,),
    "fitting.jaw": (fittings.other_jaw,),
    "fitting.eye": (fittings.longer_eye,),
    "fitting.hand": (fittings.both_hands,),
    "fitting.stop": (fittings.wider_stop,),
    "fitting.stitching": (fittings.stitched,),
    "fitting.swage": (holes.larger_bore,),
    "fitting.thimble": (fittings.open_thimbles,),
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
