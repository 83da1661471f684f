"""Sheet G3: both sides from outboard with heights, openings and the lowest points of the lines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from geom.boat.model import Side
from geom.drafting import plan_text as plan_words
from geom.drafting import text as words
from geom.drafting.boat_view import INBOARD, SIDES, meshes
from geom.drafting.boat_view import extent as plan_extent
from geom.drafting.notes import Notes
from geom.drafting.paper import Paper, papers
from geom.drafting.placing import Drawn
from geom.drafting.plan_notes import known_words, lines_note, survey_tolerance
from geom.drafting.profile_view import eyes_of, facing, height_range, mast_items, rail_words
from geom.drafting.rail_lines import profile_rails
from geom.drafting.sheet import FOOT, GAP, Draft, field, full_width_above
from geom.drafting.symbols import bow_arrow
from geom.drafting.title_block import BLOCK_WIDTH
from geom.drafting.views import apart
from geom.errors import GeometryError
from geom.figure import Circle, Item, Line, Polyline, Rect, View
from geom.open_items import open_items
from geom.placement.heights import edge_z
from geom.placement.place import PlacedPost, PlacedRun
from geom.refit import Refit
from geom.sheets.deck_plan.plan import beside
from geom.sheets.deck_plan.sheet import SCALES, layout_of
from geom.sheets.profiles.bands import HEADS, band_items, bands_height, starred
from geom.sheets.profiles.gates import gate_items
from geom.sheets.profiles.stops import stops_of
from geom.tables import numbers

# The bar and its words at the foot [mm].
_BAR = 10.5
_TITLE = 9.0
_ABOVE = 9.0
_ENDS = 14.0
# Between the bands of one profile and the window of the next [mm].
_APART = 2.0
_SAME_PLACE = 1.2
# Distance of an open triangle into the span from the span's end [paper mm].
_ASIDE = 2.6
# A tube narrower than this is drawn as its axis [paper mm].
_MIN_TUBE = 0.9
_BOW = 24.0
_HOLLOW = 0.65


def profiles(refit: Refit) -> tuple[Draft, ...]:
    """Return the sheet, like the deck plan in paper and scale where they allow it; another one of inboard edges.

    Raises:
        GeometryError: both sides fit no sheet.
    """
    inboard = tuple(side for side in INBOARD if any(run.side == side for run in refit.placed.runs.values()))
    return (_profiles(refit, SIDES), *((_profiles(refit, inboard),) if inboard else ()))


def _profiles(refit: Refit, sides: Sequence[Side]) -> Draft:
    plan = layout_of(refit)
    series = refit.boat.drawing.sheets
    least = plan.paper.width if sides == SIDES else 0.0
    sizes = [paper for paper in papers(series, minimum=1, roll=True) if paper.width >= least]
    # At the scale of the deck plan and on its sheet where that is wide enough and holds the notes; else smaller, else
    # on a larger sheet. Inboard edges are short, and stand on a smaller sheet.
    smaller = [mm for mm in SCALES[series] if mm >= plan.mm]
    for paper in sizes:
        notes = _note_items(refit, sides, paper)
        for mm in smaller:
            if notes is not None and _fits(refit, sides, paper, mm):
                return _draft(refit, sides, paper, mm, notes)
    raise GeometryError("no sheet holds the profiles")


def _space(paper: Paper) -> Rect:
    whole = full_width_above(paper)
    # Titles of views stand 6 mm inside, at the left of the drawing field.
    return Rect(whole.left + 1.0, whole.bottom + 2.0, whole.right - 5.0, whole.top - 20.0)


def _tall(refit: Refit, side: Side, mm: float) -> float:
    low, high = height_range(refit, side)
    return _TITLE + _ABOVE + (high - low) / mm + bands_height(refit, side) + _APART


def _extent(refit: Refit, sides: Sequence[Side]) -> tuple[float, float]:
    """Return the smallest and largest X of what the profiles show [mm]: the boat, or the inboard edges alone."""
    if all(side in SIDES for side in sides):
        return plan_extent(refit)[:2]
    xs = [x for side in sides for x, _, _ in refit.boat.edge(side)]
    xs += [x for run in refit.placed.runs.values() if run.side in sides for x, _, _ in run.points]
    return min(xs), max(xs)


def _fits(refit: Refit, sides: Sequence[Side], paper: Paper, mm: float) -> bool:
    space = _space(paper)
    low, high = _extent(refit, sides)
    wide = (high - low) / mm + HEADS + _ENDS <= space.width
    return wide and math.fsum(_tall(refit, side, mm) for side in sides) <= space.height


def _draft(refit: Refit, sides: Sequence[Side], paper: Paper, mm: int, notes: tuple[Item, ...]) -> Draft:
    space = _space(paper)
    spare = (space.height - math.fsum(_tall(refit, side, mm) for side in sides)) / len(sides)
    views: list[View] = []
    top = space.top
    for side in sides:
        tall = _tall(refit, side, mm) + spare
        views.append(_view(refit, side, Rect(space.left, top - tall + 0.5 * _APART, space.right, top), mm))
        top -= tall
    return Draft(
        number="G3",
        name="profiles" if sides == SIDES else "profiles-inboard",
        title=plan_words.PROFILES_TITLE,
        subtitle=plan_words.PROFILES_KIND,
        paper=paper,
        scale=f"1:{mm}",
        stamped=True,
        items=notes,
        views=apart(views),
        description="Both sides from outboard with heights, openings and the lowest points of the lines.",
        tolerance=survey_tolerance(refit),
    )


def _note_items(refit: Refit, sides: Sequence[Side], paper: Paper) -> tuple[Item, ...] | None:
    """Return the notes left of the title block, over the bar, that on starred heights with its open items.

    None where they do not fit.
    """
    whole, lines = field(paper), _notes(refit, sides)
    items = open_items(refit) if any(starred(refit, side) for side in sides) else ()
    flags = tuple((len(lines) - 1, item.number) for item in items if item.cause.code == "item.too_low")
    wide, top = whole.width - BLOCK_WIDTH + 8.0 - GAP, paper.frame.bottom + FOOT
    # Two columns; one where long notes divide badly.
    tried = (Notes(plan_words.NOTES, tuple(lines), wide, columns, flags) for columns in (2, 1))
    notes = next((one for one in tried if top - one.height >= paper.frame.bottom + _BAR), None)
    return None if notes is None else notes.items((whole.left, top))


def _held(refit: Refit) -> frozenset[str]:
    """Return the lines on hold, which are drawn hollow."""
    return frozenset(one.run.id for one in refit.runs if one.work.refused)


def _notes(refit: Refit, sides: Sequence[Side]) -> list[str]:
    """Return the notes for the items on this sheet."""
    notes = [plan_words.HEIGHTS_NOTE]
    if any(len(post.holes) > 1 for post in refit.placed.posts.values()):
        notes.append(plan_words.OPENINGS_NOTE)
    notes.append(plan_words.LOWEST_NOTE)
    notes.append(lines_note(refit))
    if any(refit.placed.runs[run].side in sides for run in _held(refit)):
        notes[-1] += plan_words.HOLLOW
    if refit.placed.gates:
        notes[-1] += f" {plan_words.PROFILE_GATES}"
    notes.append(known_words(refit))
    return [*notes, plan_words.STAR_NOTE] if any(starred(refit, side) for side in sides) else notes


def _view(refit: Refit, side: Side, window: Rect, mm: int) -> View:
    low, high = _extent(refit, [side])
    bottom, top = height_range(refit, side)
    turn, fmt = facing(side), numbers(refit.boat)
    middle = 0.5 * (window.left + HEADS + window.right)
    deck = window.top - _TITLE - _ABOVE - (top - bottom) / mm
    origin = (middle - turn * 0.5 * (low + high) / mm, deck - bottom / mm)
    left, right = (window.left + 0.5 - origin[0]) * mm, (window.right - 0.5 - origin[0]) * mm
    word = words.SIDE[side]
    bow = _bow(refit, side, mm)
    return View(
        name=f"large-profile-{side}",
        title=(plan_words.PROFILE_VIEW if side in SIDES else plan_words.INBOARD_VIEW).format(
            side=word, lower=word.lower()
        ),
        scale=1.0 / mm,
        origin=origin,
        window=window,
        items=(*large_profile(refit, side, mm), *band_items(refit, side, bottom, left, right, mm), *bow),
        numbers=fmt,
        description="Heights are vertical.",
    )


def _bow(refit: Refit, side: Side, mm: float) -> tuple[Item, ...]:
    """Return the arrow to the bow under the stem, forward of the guide from the pulpit."""
    turn = facing(side)
    edge = refit.boat.edge(side)
    ahead = -turn
    first = min(stop.x for stop in stops_of(refit, side))
    inner = max(ahead * turn * edge[0][0] - _BOW * mm, ahead * turn * first + 2.5 * mm) * ahead
    decks = [edge[0][2], edge_z(edge, turn * inner)]
    z = min(deck for deck in decks if deck is not None) - 3.6 * mm
    return bow_arrow((inner + ahead * 11.0 * mm, z), ahead, mm)


def large_profile(refit: Refit, side: Side, mm: float) -> tuple[Item, ...]:
    """Return deck edge, tubes at true size, lines with their spans and lowest points, mast and rails.

    Args:
        refit: the boat as calculated.
        side: of the boat, seen from outboard.
        mm: boat millimetres to a paper millimetre.
    """
    turn = facing(side)
    edge = refit.boat.edge(side)
    items: list[Item] = [Polyline(tuple((turn * x, z) for x, _, z in edge), "DECK-EDGE", tag=f"sheer:{side}")]
    items += [
        item for net in refit.nets if net.spec.along and net.spec.side == side for item in meshes(net, 0, 2, turn)
    ]
    items += profile_rails(refit, side, turn)
    for post in refit.placed.posts.values():
        if post.side == side:
            items.append(_tube(post, turn, mm))
    held = _held(refit)
    for run in (run for run in refit.placed.runs.values() if run.side == side):
        chain = tuple((turn * x, z) for x, _, z in run.points)
        if run.id in held:
            pair = (beside(chain, sign * _HOLLOW * mm) for sign in (-1.0, 1.0))
            items += [Polyline(one, "HOLD", tag=f"profile:{run.id}") for one in pair]
        else:
            items.append(Polyline(chain, f"GUARD-LINE-{run.level}", tag=f"profile:{run.id}"))
        items += [*_pins(run, turn, mm), *_lowest(refit, run, turn, mm)]
    for eye in eyes_of(refit, side):
        items.append(Circle((turn * eye.at[0], eye.at[2]), 0.5 * mm, "FITTING", tag=f"profile:{eye.id}"))
    guides = tuple(turn * stop.x for stop in stops_of(refit, side))
    _, maximum = height_range(refit, side)
    items += rail_words(refit, side, turn, mm)
    items += mast_items(refit, side, turn, mm, maximum - 6.0 * mm, guides)
    return (*items, *gate_items(refit, side, Drawn(items, mm, numbers=numbers(refit.boat)), turn, mm))


def _tube(post: PlacedPost, turn: float, mm: float) -> Item:
    """Return a tube at true size, or its axis where the tube is too narrow on paper."""
    (x0, _, z0), (x1, _, z1) = post.foot, post.at(post.top)
    foot, top = (turn * x0, z0), (turn * x1, z1)
    if post.tube_od / mm < _MIN_TUBE:
        return Line(foot, top, "POST", tag=f"profile:{post.id}")
    long = math.dist(foot, top)
    off = 0.5 * post.tube_od / long
    dx, dz = (top[1] - foot[1]) * off, (foot[0] - top[0]) * off
    corners = [(x + sign * dx, z + sign * dz) for (x, z), signs in ((foot, (1, -1)), (top, (-1, 1))) for sign in signs]
    return Polyline(tuple(corners), "FITTING", closed=True, tag=f"profile:{post.id}")


def _pins(run: PlacedRun, turn: float, mm: float) -> list[Item]:
    """Return the pins of a run's ends at posts, which are offset from the tubes."""
    ends = ((run.spec.start, run.points[0]), (run.spec.finish, run.points[-1]))
    return [
        Circle((turn * x, z), 0.5 * mm, "FITTING", tag=f"pin:{run.id}:{end.post}")
        for end, (x, _, z) in ends
        if end.post is not None
    ]


def _lowest(refit: Refit, run: PlacedRun, turn: float, mm: float) -> list[Item]:
    """Return an open triangle under the line at the lowest point of each span over the deck edge, with a guide to it.

    At the end of a span the triangle is moved into the span and has no guide.
    """
    items: list[Item] = []
    edge = refit.boat.edge(run.side)
    for (a, b), low in zip(pairwise(run.points), refit.placed.span_heights[run.id], strict=True):
        if low.lowest is None or low.at_x is None:
            continue
        deck = edge_z(edge, low.at_x)
        assert deck is not None
        at_end = min(abs(low.at_x - a[0]), abs(low.at_x - b[0])) <= _SAME_PLACE * mm
        aside = math.copysign(min(_ASIDE * mm, 0.5 * (b[0] - a[0])), 0.5 * (a[0] + b[0]) - low.at_x) if at_end else 0.0
        station = low.at_x + aside
        line = a[2] + (b[2] - a[2]) * (station - a[0]) / (b[0] - a[0])
        x, z, half = turn * station, line - 0.5 * mm, 1.1 * mm
        corners = ((x, z), (x - half, z - 2.0 * mm), (x + half, z - 2.0 * mm))
        items.append(Polyline(corners, "SYMBOL", closed=True, tag=f"triangle:{run.id}"))
        if not at_end:
            items.append(Line((x, z - 2.0 * mm), (x, deck), "THIN"))
    return items
