"""Figure of one splice: the rope with its marks before splicing, and the finished eye with its thickness."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from geom.drafting.straight_line import SCALES, Piece, Spot, Straight, spread, straighten
from geom.drafting.views import roomy
from geom.figure import Dimension, Hatch, Item, Leader, Line, Ordinate, Point, Polyline, Rect, Text, View
from geom.lettering import width as text_width
from geom.mechanics.chandrupatla import bracketed_root
from geom.rigging.splice import Recipe
from geom.sheets.splices import text as splice_words
from geom.units import LengthFormat

# Space above the axis of the rope for the numbers of the marks, and below it [paper mm].
ABOVE, BELOW = 32.5, 13.0
HEIGHT = ABOVE + BELOW
_LETTERING = 2.5
_NUMBERS = 6.5
_DIM = 9.0
_TICK = 1.1
_ARC = 48
# Half the rope at its thickest is at most so high, and a round eye reaches at most so far beyond the rope [paper mm].
_THICK, _ROUND = 3.6, 6.0


@dataclass(frozen=True)
class Drawn:
    """A figure: its straightened line, its views, and its text on the sheet."""

    straight: Straight
    views: tuple[View, ...]
    items: tuple[Item, ...]


def rope_before(number: int, recipe: Recipe, place: Rect, fmt: LengthFormat) -> Drawn:
    """Return the rope with all marks, measured from its end.

    Args:
        number: of the splice.
        recipe: its marks.
        place: its rectangle, HEIGHT tall [paper mm].
        fmt: length format.

    Raises:
        GeometryError: the place is too narrow.
    """
    tag = f"splice:{number}"
    spots = [Spot(0.0, "end", f"{tag}:end", "tail")]
    spots += [
        Spot(cut.from_end, f"{count} {cut.side[0].upper()}", f"{tag}:cut:{count}", "tail")
        for count, cut in enumerate(recipe.taper_marks, start=1)
    ]
    spots.append(Spot(recipe.tail_mark, "TAIL", f"{tag}:tail", "tail"))
    spots.append(Spot(recipe.eye_mark, "EYE", f"{tag}:eye", "tail"))
    wide = text_width(_from_eye(recipe, fmt), _LETTERING)
    spots.append(Spot(recipe.eye_mark + recipe.exit_mark, "EXIT", f"{tag}:exit", "exit", room=wide))
    straight = _straightened(spots, recipe, place)
    axis = place.bottom + BELOW
    views = tuple(
        _view(f"A{index + 1}", straight, piece, place, axis, fmt, _rope_items(number, recipe, straight, piece, fmt))
        for index, piece in enumerate(straight.pieces)
    )
    return Drawn(straight, views, ())


def _straightened(spots: Sequence[Spot], recipe: Recipe, place: Rect) -> Straight:
    """Return the rope along its place, at a scale at which its thickest part has room above and below its axis."""
    thickest = max(recipe.diameter, *(step.diameter for step in recipe.thickness))
    return straighten(spots, place.left, place.width, scales=[mm for mm in SCALES if 0.5 * thickest <= _THICK * mm])


def _view(
    name: str, straight: Straight, piece: Piece, place: Rect, axis: float, fmt: LengthFormat, items: Iterator[Item]
) -> View:
    window = Rect(piece.left - 1.2, place.bottom, piece.right + 1.2, place.top)
    origin = (piece.left - piece.low / straight.mm, axis)
    return View(name, "", 1.0 / straight.mm, origin, window, tuple(items), numbers=fmt)


def _rope_items(number: int, recipe: Recipe, straight: Straight, piece: Piece, fmt: LengthFormat) -> Iterator[Item]:
    mm, half = float(straight.mm), recipe.diameter / 2.0
    low = max(piece.low, 0.0)
    corners = [(piece.high, half), (low, half), (low, -half), (piece.high, -half)]
    yield Polyline(tuple(corners), "OUTLINE", tag=f"splice:{number}:rope")
    for edge in (piece.low, piece.high):
        if edge > 0.0:
            yield break_line(edge, half, mm)
    for spot in piece.spots:
        if spot.word in ("TAIL", "EYE", "EXIT"):
            wide = 0.6 * mm
            box = tuple((spot.at + x, y) for x, y in ((-wide, -half), (wide, -half), (wide, half), (-wide, half)))
            yield Hatch(box, "SYMBOL")
    for cut in recipe.taper_marks:
        if piece.low < cut.from_end < piece.high:
            sign = 1.0 if cut.side == "left" else -1.0
            yield Line((cut.from_end, 0.0), (cut.from_end, sign * (half + _TICK * mm)), "FITTING")
    yield from _ordinates(piece, mm, half, lambda _: half)
    for spot in piece.spots:
        if spot.word == "EXIT":
            # Aft of the extension line at EYE, where EXIT is near to it.
            wide = text_width(_from_eye(recipe, fmt), _LETTERING)
            at = (max(spot.at, recipe.eye_mark + (0.5 * wide + 1.2) * mm), -half - 5.0 * mm)
            yield Text(at, _from_eye(recipe, fmt), _LETTERING, "NOTE", "centre", tag=f"splice:{number}:from-eye")
    if piece.low < 0.0:
        taper, tail, eye = recipe.taper_length, recipe.tail_mark, recipe.eye_mark
        for start, end, word, key, beyond in (
            (0.0, taper, "taper", "taper", -1.0), (taper, tail, "full tail", "whole", 1.0),
            (tail, eye, "round", "girth", 1.0),
        ):  # fmt: skip
            worded = _worded(start, end, -half, word, f"splice:{number}:{key}", mm, fmt)
            # The number of a short length stands beside it: of the taper past the rope's end, of the next over the eye.
            yield roomy(worded, 1.0 / mm, fmt, beyond)


def _from_eye(recipe: Recipe, fmt: LengthFormat) -> str:
    return splice_words.FROM_EYE.format(value=fmt.figure(recipe.exit_mark))


def _worded(start: float, end: float, y: float, word: str, tag: str, mm: float, fmt: LengthFormat) -> Dimension:
    """Return a dimension below the rope, with its word where there is room."""
    text = f"{fmt.figure(end - start)} {word}"
    fits = text_width(text, _LETTERING) + 3.0 <= (end - start) / mm
    return Dimension((start, y), (end, y), -_DIM, text=f"<> {word}" if fits else "<>", tag=tag)


def _ordinates(piece: Piece, mm: float, half: float, edge: Callable[[float], float]) -> Iterator[Item]:
    """Yield the numbers of the marks above a rope, each with a line from the edge of the rope at its mark.

    Args:
        piece: of the rope.
        mm: rope millimetres to a paper millimetre.
        half: max height of the rope above its axis [mm].
        edge: returns its height at a mark [mm].
    """
    wanted = [(spot.at - piece.low) / mm for spot in piece.spots]
    centres = spread(wanted, [3.0] * len(wanted), 1.2, 1.0, (piece.high - piece.low) / mm - 1.0)
    for spot, centre in zip(piece.spots, centres, strict=True):
        sign = "-" if spot.at < 0.0 else ""
        at, end = (spot.at, edge(spot.at)), (piece.low + centre * mm, half + _NUMBERS * mm)
        yield Ordinate((0.0, 0.0), at, end, "x", f"{sign}<>  {spot.word}", tag=spot.tag)


def break_line(at: float, half: float, mm: float) -> Polyline:
    """Return a thin break line with one zigzag across a rope.

    Args:
        at: position along the rope [mm].
        half: half the rope diameter [mm].
        mm: rope millimetres to one paper millimetre (ratio).
    """
    high = half + 2.0 * mm
    steps = ((0.0, -high), (0.0, -0.6 * mm), (-0.8 * mm, -0.3 * mm), (0.8 * mm, 0.3 * mm), (0.0, 0.6 * mm), (0.0, high))
    return Polyline(tuple((at + x, y) for x, y in steps), "THIN")


def finished_eye(number: int, recipe: Recipe, throat_to_pin: float | None, place: Rect, fmt: LengthFormat) -> Drawn:
    """Return the finished eye with all marks, measured from the throat, and its outside diameters.

    Args:
        number: of the splice.
        recipe: its marks.
        throat_to_pin: length of the eye [mm], None where not stated.
        place: its rectangle, HEIGHT tall [paper mm].
        fmt: length format.

    Raises:
        GeometryError: the place is too narrow.
    """
    tag, spots = f"splice:{number}", []
    if throat_to_pin is not None:
        spots.append(Spot(-throat_to_pin, splice_words.BEARS, f"{tag}:bears", "made"))
    spots.append(Spot(0.0, splice_words.THROAT, f"{tag}:throat", "made"))
    if recipe.second_tuck is not None:
        spots.append(Spot(recipe.second_tuck, splice_words.SECOND_TUCK, f"{tag}:tuck", "made"))
    for key, at in zip(("from", "to"), recipe.stitching, strict=True):
        spots.append(Spot(at, splice_words.STITCH, f"{tag}:stitch-{key}", "made"))
    spots.append(Spot(recipe.full_section, splice_words.TAPER, f"{tag}:full", "made"))
    spots.append(Spot(recipe.bury, splice_words.ENDS, f"{tag}:bury", "made"))
    # The second tuck may be within the stitching.
    spots.sort(key=lambda spot: spot.at)
    straight = _straightened(spots, recipe, place)
    axis = place.bottom + BELOW
    piece = straight.pieces[0]
    mm = float(straight.mm)
    drawn = (*_made_items(number, recipe, throat_to_pin, piece, mm), *_diameters(number, recipe, piece, mm, fmt))
    view = _view("B1", straight, piece, place, axis, fmt, iter(drawn))
    return Drawn(straight, (view,), ())


def profile(recipe: Recipe) -> tuple[Point, ...]:
    """Return the profile of the finished end: stations from the throat, and half the outside diameter there [mm]."""
    found: list[Point] = []
    for step in recipe.thickness:
        if step.part == "taper":
            # Past a cut strand the rope thins gradually to the next cut.
            found.append((step.from_throat, step.diameter / 2.0))
        elif step.part == "buried, all strands":
            found += [(step.from_throat, step.diameter / 2.0), (recipe.full_section, step.diameter / 2.0)]
        else:
            found.append((step.from_throat, step.diameter / 2.0))
    return tuple(sorted(dict(reversed(found)).items()))


def _made_items(number: int, recipe: Recipe, throat_to_pin: float | None, piece: Piece, mm: float) -> Iterator[Item]:
    edge = (*profile(recipe), (piece.high, recipe.diameter / 2.0))
    for sign in (1.0, -1.0):
        yield Polyline(tuple((x, sign * y) for x, y in edge), "OUTLINE", tag=f"splice:{number}:made")
    yield break_line(piece.high, recipe.diameter / 2.0, mm)
    yield Line((0.0, 0.0), (recipe.bury, 0.0), "HIDDEN")
    for cut in recipe.taper_marks:
        at = recipe.bury - cut.from_end
        yield Line((at, -0.5 * mm), (at, 0.5 * mm), "THIN")
    length = throat_to_pin if throat_to_pin is not None else recipe.girth / 2.5
    yield from _eye(length, recipe, mm)
    yield from _stitches(recipe.stitching, recipe.diameter)
    if recipe.second_tuck is not None:
        high = recipe.thickness[0].diameter / 2.0
        for at in (0.0, recipe.second_tuck):
            yield Line((at, -high), (at, high), "FITTING")
    yield from _ordinates(piece, mm, recipe.diameter, lambda at: _half_at(recipe, at))


def _half_at(recipe: Recipe, at: float) -> float:
    """Return half the outside diameter at a distance from the throat, zero within the eye [mm]."""
    if at < 0.0:
        return 0.0
    edge = profile(recipe)
    for (low, a), (high, b) in pairwise(edge):
        if low <= at <= high:
            return a + (b - a) * (at - low) / (high - low)
    return edge[-1][1]


def eye_radius(length: float, girth: float, rope: float) -> float:
    """Return the inner radius of an eye with straight legs from its bow to the throat, where they meet side by side.

    Args:
        length: throat to where the pin bears [mm].
        girth: rope round the eye, along its middle [mm].
        rope: its diameter [mm].
    """
    minimum, maximum = length * 1e-6, length * length / (2.0 * length + rope) * (1.0 - 1e-9)

    def spare(radius: float) -> float:
        middle, start, reach = radius + 0.5 * rope, *_tangent(radius + 0.5 * rope, radius - length, 0.5 * rope)
        legs = 2.0 * math.sqrt(max(reach * reach - middle * middle, 0.0))
        return legs + middle * 2.0 * (math.pi - start) - girth

    # Too much rope is drawn as a full round, too little as a pointed eye.
    if spare(maximum) <= 0.0:
        return maximum
    return minimum if spare(minimum) >= 0.0 else bracketed_root(spare, minimum, maximum, 1e-6)


def _tangent(radius: float, centre: float, tip: float) -> tuple[float, float]:
    """Return the tangent point of a leg from (0, tip) at the throat on a bow about (centre, 0), and their distance."""
    reach = math.hypot(centre, tip)
    return math.atan2(tip, -centre) + math.acos(min(radius / reach, 1.0)), reach


def _eye(length: float, recipe: Recipe, mm: float) -> Iterator[Polyline]:
    """Yield both edges of the eye: its bearing point at minus its length, its legs tangent to its bow.

    A large eye is drawn narrower, clear of the numbers over it.
    """
    inner = min(eye_radius(length, recipe.girth, recipe.diameter), _ROUND * mm)
    centre = inner - length
    for radius, tip in ((inner + recipe.diameter, recipe.thickness[0].diameter / 2.0), (inner, 0.0)):
        start, _ = _tangent(radius, centre, tip)
        arc = [start + 2.0 * (math.pi - start) * k / _ARC for k in range(_ARC + 1)]
        bow = tuple((centre + radius * math.cos(a), radius * math.sin(a)) for a in arc)
        yield Polyline(((0.0, tip), *bow, (0.0, -tip)), "OUTLINE")


def _stitches(stitching: tuple[float, float], diameter: float) -> Iterator[Item]:
    start, end = stitching
    steps, high = 6, 0.5 * diameter
    points = tuple((start + (end - start) * k / steps, high if k % 2 else -high) for k in range(steps + 1))
    yield Polyline(points, "THIN")


def _diameters(number: int, recipe: Recipe, piece: Piece, mm: float, fmt: LengthFormat) -> Iterator[Item]:
    """Yield outside diameters below the finished end: at the throat, in the bury, halfway along the taper, past it."""
    fine = fmt.decimals + (fmt.unit == "in")
    middle = recipe.thickness[len(recipe.thickness) // 2]
    places = (
        ("throat", 0.0, recipe.thickness[0].diameter),
        ("full", recipe.full_section / 2.0, recipe.thickness[1].diameter),
        ("half", middle.from_throat, middle.diameter),
        ("plain", (recipe.bury + piece.high) / 2.0, recipe.diameter),
    )
    shown = [(key, at, value, f"Ø{fmt.figure(value, fine)}") for key, at, value in places]
    wanted = [(at - piece.low) / mm for _, at, _, _ in shown]
    widths: Sequence[float] = [text_width(text, _LETTERING) for _, _, _, text in shown]
    # The first is clear of the leg of the eye.
    wanted[0] += widths[0] / 2.0 + 1.0
    centres = spread(wanted, widths, 3.0, -piece.low / mm + 1.0, (piece.high - piece.low) / mm)
    low = -recipe.thickness[0].diameter / 2.0
    for (key, at, value, text), centre in zip(shown, centres, strict=True):
        x = piece.low + centre * mm
        yield Leader(((at, -value / 2.0), (x, low - 4.0 * mm)), tag=f"splice:{number}:at:{key}")
        yield Text((x, low - 7.5 * mm), text, _LETTERING, "TEXT", "centre", tag=f"splice:{number}:od:{key}")
