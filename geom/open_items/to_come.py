"""What a shop needs to know: one list for the open item and for each sheet that asks for it or says it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from geom.frozen import frozen
from geom.open_items.item import Entry, entry_of
from geom.placement.spacers import spacer_tubes
from geom.refit import Refit
from geom.remark import Remark


@frozen
class ShopFact:
    """A fact for the shop: what it is, the stanchions that it is about, the line that states it, what it states."""

    what: Remark
    posts: tuple[str, ...]
    entry: Entry
    stated: str | None = None


def to_come(refit: Refit) -> tuple[ShopFact, ...]:
    """Return what the shop still has to be told, in the order in which sheets name it."""
    return tuple(one for one in _facts(refit) if one.stated is None)


def stated_facts(refit: Refit, codes: Collection[str], posts: Iterable[str]) -> tuple[Remark, ...]:
    """Return what the boat file states for the shop beside sizes: of some kinds, about some stanchions.

    Args:
        refit: the boat as calculated.
        codes: the kinds, codes of `shop`.
        posts: the stanchions of the sheet.
    """
    shown = set(posts)
    return tuple(
        Remark("shop.stated", what=one.what, stated=one.stated)
        for one in _facts(refit)
        if one.stated is not None and one.what.code in codes and shown.intersection(one.posts)
    )


def lacking(refit: Refit, codes: Collection[str], posts: Iterable[str]) -> tuple[Remark, ...]:
    """Return what a sheet asks for: of some kinds, about some stanchions.

    Args:
        refit: the boat as calculated.
        codes: the kinds, codes of `shop`.
        posts: the stanchions of the sheet.
    """
    shown = set(posts)
    return tuple(one.what for one in to_come(refit) if one.what.code in codes and shown.intersection(one.posts))


def _facts(refit: Refit) -> Iterator[ShopFact]:
    found = (*_of_bases(refit), *_of_parts(refit), *_of_posts(refit))
    return (one for one in found if one.posts)


def _of_shop(refit: Refit, code: str, key: str, posts: Iterable[str]) -> ShopFact:
    """Return a fact that the boat file states under `shop`."""
    return ShopFact(Remark(code), tuple(posts), Entry("shop", f"{key}: ..."), getattr(refit.boat.shop_facts, key))


def _of_bases(refit: Refit) -> Iterator[ShopFact]:
    boat = refit.boat
    without = tuple(post.id for post in boat.posts if post.base is None)
    yield ShopFact(Remark("shop.base"), without, entry_of("posts", without, "base: ..."))
    on = {post.id: post.base for post in boat.posts if post.base is not None}
    # A tube in a bought socket is not welded.
    welded = {post: word for post, word in on.items() if boat.bases[word].socket is None}
    for code, key, among in (("shop.weld_leg", "weld_leg", welded), ("shop.plate_material", "material", on)):
        posts = tuple(post for post, word in among.items() if getattr(boat.bases[word], key) is None)
        words = tuple(dict.fromkeys(on[post] for post in posts))
        yield ShopFact(Remark(code), posts, entry_of("bases", words, f"{key}: ..."))
    yield _of_shop(refit, "shop.weld", "welds", welded)
    yield _of_shop(refit, "shop.base_bolts", "base_bolts", on)
    padded = tuple(post for post, word in on.items() if boat.bases[word].tube == "square to the plate")
    yield _of_shop(refit, "shop.pad_material", "pads", padded)


def _of_parts(refit: Refit) -> Iterator[ShopFact]:
    placed, boat = refit.placed, refit.boat
    braced = (post.id for post in boat.posts if post.brace is not None)
    yield _of_shop(refit, "shop.brace", "braces", braced)
    bushed = dict.fromkeys(post.id for post, hole in placed.holes() if hole.edge.bush is not None)
    yield _of_shop(refit, "shop.bush_material", "bushes", bushed)
    ends = (end for run in boat.runs for end in (run.start, run.finish))
    eyes = dict.fromkeys(end.post for end in ends if end.post is not None and end.eye_offset)
    yield _of_shop(refit, "shop.eye_bolt", "eye_bolts", eyes)
    of_holes = {hole.id: post.id for post, hole in placed.holes()}
    spaced = dict.fromkeys(of_holes[hole] for hole in spacer_tubes(boat))
    yield _of_shop(refit, "shop.spacer", "spacers", spaced)


def _of_posts(refit: Refit) -> Iterator[ShopFact]:
    boat = refit.boat
    capless = tuple(post.id for post in boat.posts if post.cap is None)
    yield ShopFact(Remark("shop.cap"), capless, entry_of("posts", capless, "cap: {...}"))
    bare = tuple(word for word, tube in boat.tubes.items() if tube.finish is None)
    posts = tuple(post.id for post in boat.posts if post.tube in bare)
    used = tuple(word for word in bare if any(post.tube == word for post in boat.posts))
    yield ShopFact(Remark("shop.finish"), posts, entry_of("tubes", used, "finish: ..."))
