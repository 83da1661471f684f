"""Views of the posts with the lengths to measure: a side from outboard, pairs across from aft, a post from plumb."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from geom.boat.model import Side
from geom.drafting import text as words
from geom.drafting.paper import SCALES
from geom.drafting.placing import Drawn, Label
from geom.drafting.profile_view import facing
from geom.drafting.sheet import scale_words, view_title
from geom.drafting.straight_line import spread
from geom.drafting.symbols import bow_arrow
from geom.drafting.views import LETTERING, arrow_to
from geom.errors import GeometryError
from geom.figure import Circle, Item, Line, Point, Rect, Text, View
from geom.lettering import width as text_width
from geom.placement.place import PlacedPost
from geom.refit import Refit
from geom.sheets.deck_plan.sheet import SCALES as PLAN_SCALES
from geom.sheets.installation import text as installation_text
from geom.sheets.installation.checks import LETTERS, Pair
from geom.tables import numbers
from geom.vec import Vec

Flat = Callable[[Vec], Point]

# Margins under the lowest foot, for names, over the highest top, for letters, and beside the outer posts [mm].
_UNDER, _OVER, _BESIDE = 9.5, 5.0, 7.0
_LEAST_SCALE = 10
# Positions of a letter along its length, those of a diagonal from its upper hole, as shares of it.
_MIDDLE, _SHARES = (0.5,), (0.2, 0.26, 0.32, 0.15)
PLUMB_ROOM = 57.0
# Between two names side by side [mm].
_NAME_GAP = 1.2
# Height of a view's title [mm].
TITLE_ROOM = 6.0


def _ladder(refit: Refit) -> tuple[int, ...]:
    """Return the scales of the boat's paper, those of its plan first, as boat mm to a paper mm."""
    plan = PLAN_SCALES[refit.boat.drawing.sheets]
    return (*plan, *(mm for mm in SCALES if mm > plan[-1]))


def _scale(refit: Refit, wide: float, tall: float, room: Rect, maximum: int = SCALES[-1]) -> int:
    """Return the largest listed scale at which a drawing fits an area, as boat mm to a paper mm.

    Raises:
        GeometryError: it does not fit.
    """
    for mm in _ladder(refit):
        fits = wide / mm + 2.0 * _BESIDE <= room.width and tall / mm + _UNDER + _OVER <= room.height
        if _LEAST_SCALE <= mm <= maximum and fits:
            return mm
    raise GeometryError("the posts do not fit their view")


def _box(posts: Sequence[PlacedPost], flat: Flat) -> Rect:
    points = [flat(point) for post in posts for point in (post.foot, post.at(post.top))]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Rect(min(xs), min(ys), max(xs), max(ys))


def side_view(
    refit: Refit, side: Side, pairs: Sequence[Pair], place: Rect, maximum: int
) -> tuple[View, tuple[Item, ...]]:
    """Return a side from outboard with its lengths by number, and the caption over it.

    Args:
        refit: the boat as calculated.
        side: of the boat.
        pairs: its posts in pairs.
        place: area for view and caption [mm].
        maximum: the smallest permitted scale, as boat mm to a paper mm.

    Raises:
        GeometryError: the side does not fit at such a scale.
    """
    turn = facing(side)
    posts = [pairs[0].a, *(pair.b for pair in pairs)]

    def flat(at: Vec) -> Point:
        return (turn * at[0], at[2])

    box = _box(posts, flat)
    room = Rect(place.left, place.bottom, place.right, place.top - TITLE_ROOM)
    if _names_wide(posts) > room.width:
        raise GeometryError("the names of the posts do not fit their view")
    mm = _scale(refit, box.width, box.height, room, maximum)
    origin = (
        0.5 * (room.left + room.right) - 0.5 * (box.left + box.right) / mm,
        0.5 * (room.bottom + room.top + _UNDER - _OVER) - 0.5 * (box.bottom + box.top) / mm,
    )
    items = (
        *_posts(posts, flat, mm),
        *_names(posts, flat, mm, room.left - origin[0], room.right - origin[0]),
    )
    items = (*items, *_named([(pairs, items)], flat, mm)[0])
    view = View(
        f"side-{side}",
        "",
        1.0 / mm,
        origin,
        room,
        items,
        numbers=numbers(refit.boat),
        description=installation_text.SIDE_VIEW,
    )
    head, end = _titled(place, words.SIDE[side], installation_text.SIDE_VIEW, mm, f"view:side-{side}")
    # The word stands behind the arrow's tail; where the heading leaves no room for both they are under it.
    off = 6.0 + text_width(words.BOW, 3.5) if turn < 0.0 else 17.0
    beside = end + off + (17.0 if turn < 0.0 else text_width(words.BOW, 3.5)) <= place.right
    at = (end + off, place.top - 2.3) if beside else (place.left + off, place.top - 7.3)
    return view, (*head, *bow_arrow(at, -turn, 1.0))


def _titled(place: Rect, name: str, line: str, mm: float, tag: str) -> tuple[tuple[Item, ...], float]:
    """Return a view's title on one line, and where it ends [mm]."""
    said = f"{scale_words(1.0 / mm)}   {line}"
    items = view_title((place.left + 1.0, place.top - 4.0), name, said, tag)
    return items, place.left + 3.5 + text_width(name, 3.5, "semibold") + text_width(said, LETTERING)


def across_views(
    refit: Refit, pairs: Sequence[Pair], place: Rect, maximum: int = SCALES[-1]
) -> tuple[tuple[View, ...], tuple[Item, ...], Rect | None]:
    """Return each pair of posts from aft, their caption, and the area left at the right, None where it is too narrow.

    Args:
        refit: the boat as calculated.
        pairs: the pairs.
        place: area for views and caption [mm].
        maximum: the smallest permitted scale, as boat mm to a paper mm.

    Raises:
        GeometryError: the pairs do not fit at such a scale.
    """

    def flat(at: Vec) -> Point:
        return (at[1], at[2])

    boxes = [_box((pair.a, pair.b), flat) for pair in pairs]
    wide, tall = max(box.width for box in boxes), max(box.height for box in boxes)
    named = max(_names_wide((pair.a, pair.b)) for pair in pairs)
    room = Rect(place.left, place.bottom, place.right, place.top - TITLE_ROOM)
    for mm in _ladder(refit):
        cell = (max(wide / mm + 2.0 * _BESIDE, named), tall / mm + _UNDER + _OVER)
        columns, rows = int(room.width / cell[0]), int(room.height / cell[1])
        if _LEAST_SCALE <= mm <= maximum and columns * rows >= len(pairs):
            break
    else:
        raise GeometryError("the pairs of posts do not fit their views")
    rows = min(rows, len(pairs))
    used = -(-len(pairs) // rows)
    views = []
    step = room.height / rows
    windows, drawn = [], []
    for index, (pair, box) in enumerate(zip(pairs, boxes, strict=True)):
        column, row = divmod(index, rows)
        left, top = room.left + column * cell[0], room.top - row * step
        window = Rect(left, top - step, left + cell[0], top)
        origin = (
            0.5 * (window.left + window.right) - 0.5 * (box.left + box.right) / mm,
            0.5 * (window.bottom + window.top + _UNDER - _OVER) - 0.5 * (box.bottom + box.top) / mm,
        )
        posts = (pair.b, pair.a)
        names = _names(posts, flat, mm, window.left - origin[0], window.right - origin[0])
        windows.append((origin, window))
        drawn.append(((pair,), (*_posts(posts, flat, mm), *names)))
    for ((pair,), items), lengths, (origin, window) in zip(drawn, _named(drawn, flat, mm), windows, strict=True):
        views.append(View(
            f"across-{pair.number}", "", 1.0 / mm, origin, window, (*items, *lengths), numbers=numbers(refit.boat),
            description=installation_text.ACROSS_VIEW[1],
        ))  # fmt: skip
    head, _ = _titled(place, *installation_text.ACROSS_VIEW, mm, "view:across")
    taken = max(used * cell[0], text_width(installation_text.ACROSS_VIEW[1], LETTERING) + 30.0)
    rest = Rect(room.left + taken + 4.0, room.bottom, room.right, place.top)
    return tuple(views), head, rest if rest.width >= PLUMB_ROOM else None


def _posts(posts: Sequence[PlacedPost], flat: Flat, mm: float) -> Iterator[Item]:
    for post in posts:
        foot = flat(post.foot)
        yield Line(foot, flat(post.at(post.top)), "POST", tag=f"post:{post.id}")
        yield Line((foot[0] - 2.0 * mm, foot[1]), (foot[0] + 2.0 * mm, foot[1]), "OUTLINE")
        for hole in post.holes:
            yield Circle(flat(hole.centre), 0.6 * mm, "FITTING", tag=f"hole:{hole.id}")


def _names_wide(posts: Sequence[PlacedPost]) -> float:
    """Return the width of the posts' names in a row [paper mm]."""
    return math.fsum(text_width(post.id, LETTERING) + _NAME_GAP for post in posts) + _NAME_GAP


def _names(posts: Sequence[PlacedPost], flat: Flat, mm: float, left: float, right: float) -> Iterator[Item]:
    """Yield the posts' names in a row under the feet, each with a leader, between the edges of the window.

    Args:
        posts: seen side by side.
        flat: point of the view of a point in space.
        mm: boat millimetres to a paper millimetre.
        left: edge of the window from the view's origin [paper mm].
        right: its other edge [paper mm].
    """
    ordered = sorted(posts, key=lambda post: flat(post.foot)[0])
    feet = [flat(post.foot) for post in ordered]
    low = min(y for _, y in feet) - 4.0 * mm
    wide = [text_width(post.id, LETTERING) for post in ordered]
    places = spread([x / mm for x, _ in feet], wide, _NAME_GAP, left + 0.5 * _NAME_GAP, right - 0.5 * _NAME_GAP)
    for post, foot, at in zip(ordered, feet, places, strict=True):
        yield Line((foot[0], foot[1] - 0.8 * mm), (at * mm, low), "DIM")
        yield Text((at * mm, low - 3.4 * mm), post.id, LETTERING, "NOTE", "centre")


def _taped(pair: Pair, flat: Flat) -> Iterator[Line]:
    """Yield the four lengths between two posts."""
    for check in pair.checks:
        yield Line(flat(check.start.at), flat(check.end.at), "THIN", tag=f"taped:{check.start.name}:{check.end.name}")


def _named(
    views: Sequence[tuple[Sequence[Pair], Sequence[Item]]], flat: Flat, mm: float
) -> tuple[tuple[Item, ...], ...]:
    """Return the lengths of each view: with letters where a pair has room for all four, else its number alone.

    Where fewer than half of the pairs have room for letters none has them.

    Args:
        views: the pairs of each view, and what is in it already.
        flat: point of the view of a point in space.
        mm: boat millimetres to a paper millimetre.
    """
    lettered = [_lengths(shown, flat, mm, drawn, letters=True) for shown, drawn in views]
    if 2.0 * math.fsum(count for _, count in lettered) >= math.fsum(len(shown) for shown, _ in views):
        return tuple(items for items, _ in lettered)
    return tuple(_lengths(shown, flat, mm, drawn, letters=False)[0] for shown, drawn in views)


def _lengths(
    pairs: Sequence[Pair], flat: Flat, mm: float, drawn: Sequence[Item], letters: bool
) -> tuple[tuple[Item, ...], int]:
    """Return the lengths of a view with their names, and how many of its pairs have letters."""
    lines = [tuple(_taped(pair, flat)) for pair in pairs]
    taken = Drawn((*drawn, *(line for four in lines for line in four)), mm)
    items: list[Item] = []
    count = 0
    for pair, four in zip(pairs, lines, strict=True):
        labels = _letters(pair, four, taken, mm) if letters else None
        count += labels is not None
        if labels is None:
            labels = [taken.put(_numbers(str(pair.number), four[0], taken, mm))]
        items += [*four, *(item for label in labels for item in label.items)]
    return tuple(items), count


def _letters(pair: Pair, lines: Sequence[Line], taken: Drawn, mm: float) -> list[Label] | None:
    """Return the letters of the four lengths of a pair and add them, None unless there is room for all."""
    upper, lower, falling, rising = ((line.start, line.end) for line in lines)
    names = [f"{pair.number}{letter}" for letter in LETTERS]
    half = 0.5 * max(text_width(name, LETTERING) for name in names)
    shares = (_MIDDLE, _MIDDLE, _SHARES, _SHARES)
    ways = (
        lambda share: _over(upper, share, half, mm),
        lambda share: _beneath(lower, share, half, mm),
        lambda share: _under(falling[0], falling[1], rising, share, half, mm),
        lambda share: _under(rising[1], rising[0], falling, share, half, mm),
    )
    found: list[Label] = []
    for name, line, way, own in zip(names, lines, ways, shares, strict=True):
        places = (taken.label(_text(at, name), own=line.tag) for at in map(way, own) if at is not None)
        free = next((label for label in places if taken.free(label)), None)
        if free is None:
            return None
        found.append(free)
    return [taken.put((label,)) for label in found]


def _numbers(name: str, line: Line, taken: Drawn, mm: float) -> Iterator[Label]:
    """Yield the number of a pair at its places over its upper length, and under it."""
    ends, half = (line.start, line.end), 0.5 * text_width(name, LETTERING)
    for place in (_over, _beneath):
        for share in (*_MIDDLE, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8):
            yield taken.label(_text(place(ends, share, half, mm), name), own=line.tag)


def _text(at: Point, name: str) -> Text:
    return Text(at, name, LETTERING, "NOTE", "centre", tag=f"length:{name}")


def _rise(line: tuple[Point, Point], x: float) -> float:
    """Return the y of a straight line at x."""
    (x0, y0), (x1, y1) = line
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)


def _over(line: tuple[Point, Point], share: float, half: float, mm: float) -> Point:
    x = line[0][0] + share * (line[1][0] - line[0][0])
    return (x, max(_rise(line, x + half * mm), _rise(line, x - half * mm)) + 0.9 * mm)


def _beneath(line: tuple[Point, Point], share: float, half: float, mm: float) -> Point:
    x = line[0][0] + share * (line[1][0] - line[0][0])
    return (x, min(_rise(line, x + half * mm), _rise(line, x - half * mm)) - (0.9 + LETTERING) * mm)


def _under(
    upper: Point, lower: Point, other: tuple[Point, Point], share: float, half: float, mm: float
) -> Point | None:
    """Return the position of a diagonal's letter, under its upper end and over the other one, None without room."""
    x = upper[0] + share * (lower[0] - upper[0])
    edges = (x - (half + 0.4) * mm, x + (half + 0.4) * mm)
    y = min(_rise((upper, lower), edge) for edge in edges) - (0.6 + LETTERING) * mm
    clear_of_post = abs(x - upper[0]) >= (half + 1.2) * mm
    clear_of_other = all(y - 0.6 * mm >= _rise(other, edge) for edge in edges)
    return (x, y) if clear_of_post and clear_of_other else None


def plumb_items(place: Rect) -> Iterator[Item]:
    """Yield one post from aft and from starboard with its plumb line, OUT, AFT and HEIGHT dimensioned; not to scale."""
    top = place.top
    yield from (
        Text((place.left + 1.0, top - 4.0), installation_text.PLUMB_VIEW[0], 3.5, "TEXT", tag="view:plumb",
             weight="semibold"),
        Text((place.left + 1.0, top - 8.5), installation_text.PLUMB_VIEW[1], LETTERING, "SECOND"),
    )  # fmt: skip
    ground, tall = top - 72.0, 46.0
    half = min(place.width / 2.0, 34.0)
    for index, (word, way) in enumerate(
        ((installation_text.FROM_AFT, installation_text.OUT), (installation_text.FROM_STARBOARD, installation_text.AFT))
    ):
        x, off = place.left + 9.0 + index * half, 11.0
        # From starboard the bow is at the right, so that aft is to the left.
        foot, out = (x, 1.0) if index == 0 else (x + off, -1.0)
        hole = (foot + out * off, ground + tall)
        yield Line((foot - 5.0, ground), (foot + 5.0, ground), "OUTLINE")
        yield Line((foot, ground), (foot + out * off * 1.06, ground + tall * 1.06), "POST")
        yield Circle(hole, 0.8, "FITTING")
        yield Line((foot, ground), (foot, ground + tall + 4.0), "CENTRE")
        yield from arrow_to((foot, hole[1]), (hole[0] - out * 0.9, hole[1]), 1.0)
        yield Text(((foot + hole[0]) / 2.0, hole[1] + 6.0), way, LETTERING, "NOTE", "centre")
        if index == 0:
            level = hole[0] + 6.0
            yield Line((hole[0] + 1.2, hole[1]), (level + 1.5, hole[1]), "DIM")
            yield Line((foot + 6.0, ground), (level + 1.5, ground), "DIM")
            yield from arrow_to((level, ground), (level, hole[1]), 1.0)
            yield Text((level + 1.2, ground + 18.0), installation_text.HEIGHT, LETTERING, "NOTE")
        yield Text(((foot + hole[0]) / 2.0, ground - 5.0), word, LETTERING, "NOTE", "centre")
