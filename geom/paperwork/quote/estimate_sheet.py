"""The quick quote on paper: a sketch of the readings to scale, totals, lines of the bill; stamped ESTIMATE."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from geom.drafting.page import NO_TOLERANCE, notes_list, page_area
from geom.drafting.paper import Paper as PaperSize
from geom.drafting.paper import papers, upright
from geom.drafting.ruling import RuledList, flow
from geom.drafting.sheet import Draft, finish_issue, letters
from geom.drafting.title_block import STAMP_HEIGHT, Issue
from geom.figure import Across, Cell, Circle, Item, LengthFormat, Polyline, Rect, Sheet, Text
from geom.paperwork.lists import as_stated, columns, made_to
from geom.paperwork.quote import text as words
from geom.paperwork.quote.costs import Quotation
from geom.paperwork.quote.estimate import RoughLine, Support, rough_lines
from geom.paperwork.quote.sheet import gaps_list, section_list, totals_list

_HEAD, _GAP, _CAPTION, _DOT = 5.0, 7.0, 5.0, 0.7
# Height over which the sketch of a side is drawn, and the most that the plan takes [mm].
_SIDE, _PLAN = 26.0, 62.0


def estimate_sheets(boat: str, supports: Sequence[Support], quoted: Quotation, fmt: LengthFormat) -> tuple[Sheet, ...]:
    """Return the pages of a quick quote.

    Args:
        boat: name of the boat.
        supports: the readings.
        quoted: at the rates of a yard.
        fmt: format of lengths.
    """
    size = upright(papers("ANSI" if fmt.unit == "in" else "ISO")[0])
    area = page_area(size)
    lines = rough_lines(tuple(supports))
    top = area.top - STAMP_HEIGHT + 6.0
    drawn, below = _sketch(supports, lines, Rect(area.left, area.bottom, area.right, top))
    lists = (
        totals_list(quoted),
        gaps_list(quoted, fmt),
        section_list(quoted, "materials", fmt),
        section_list(quoted, "work", fmt),
        _lengths(lines, fmt),
        _readings(supports, fmt),
        notes_list([note.format(**_said(quoted)) for note in words.ESTIMATE_NOTES], "estimate:notes"),
    )
    shown = [one for one in lists if one.rows]
    under = replace(area, top=top)
    pages = flow(shown, (under,), _GAP, first=(replace(area, top=below - _GAP),))
    head = Text((area.left, area.top + _HEAD), words.ESTIMATE.upper(), _HEAD, "TEXT", tag="page", weight="semibold")
    items = [(head, *drawn, *pages[0]), *((head, *page) for page in pages[1:])]
    return tuple(_page(boat, size, number, len(items), page, quoted) for number, page in enumerate(items))


def _said(quoted: Quotation) -> dict[str, str]:
    return {
        "rounding": f"{quoted.rounding:f}",
        "currency": quoted.currency,
        "rates_from": quoted.rates_from,
    }


def _page(boat: str, size: PaperSize, number: int, count: int, items: tuple[Item, ...], quoted: Quotation) -> Sheet:
    draft = Draft(
        number=f"Q2{letters(number) if count > 1 else ''}",
        name="estimate",
        title=words.ESTIMATE,
        subtitle=words.ESTIMATE_KIND,
        paper=size,
        scale="none",
        items=items,
        description=words.ESTIMATE_DESCRIPTION,
        tolerance=NO_TOLERANCE,
        units=quoted.currency,
        stamped=True,
    )
    return finish_issue(Issue(boat=boat, status=words.STAMP, inches=size.inches), draft, count)


def _sketch(supports: Sequence[Support], lines: Sequence[RoughLine], place: Rect) -> tuple[tuple[Item, ...], float]:
    """Return plan and side views of the readings to one scale, bow at left, and their lower edge [mm]."""
    points = [point for line in lines for point in line.points]
    first, last = min(x for x, _, _ in points), max(x for x, _, _ in points)
    wide = max(abs(y) for _, y, _ in points)
    scale = min((place.width - 10.0) / max(last - first, 1.0), _PLAN / max(2.0 * wide, 1.0))
    left, middle = place.left + 5.0, place.top - _CAPTION - wide * scale - 6.0
    items: list[Item] = [_caption(place, place.top, words.PLAN)]
    for line in lines:
        along = tuple((left + (x - first) * scale, middle - y * scale) for x, y, _ in line.points)
        items.append(Polyline(along, f"GUARD-LINE-{line.name[-1]}", tag=f"plan:{line.name}"))
    items.append(Polyline(((left, middle), (left + (last - first) * scale, middle)), "CENTRE"))
    for one in supports:
        x, y, _ = one.point("U") or (0.0, 0.0, 0.0)
        at = (left + (x - first) * scale, middle - y * scale)
        items.append(Circle(at, _DOT, "POST"))
        # Inboard and aft of a support from which the line goes on outboard, outboard of the others: clear of the line.
        widens = any(other.side == one.side and other.aft > one.aft and other.out > one.out for other in supports)
        below = (y > 0.0) is not widens
        place_at = (at[0] + (1.2 if widens else 0.0), at[1] + (-4.2 if below else 1.7))
        across: Across = "left" if widens else "centre"
        items.append(Text(place_at, one.name, 2.5, "SECOND", across, tag=f"plan:{one.name}"))
    low = middle - wide * scale - 7.0
    for side in dict.fromkeys(one.side for one in supports):
        items += _side([one for one in supports if one.side == side], side, (left, low - _SIDE), first, scale, place)
        low -= _SIDE
    return tuple(items), low


def _caption(place: Rect, top: float, said: str) -> Text:
    return Text((place.left, top - 3.0), said, 2.5, "TEXT", weight="semibold")


def _side(
    supports: Sequence[Support], side: str, at: tuple[float, float], first: float, scale: float, place: Rect
) -> Iterator[Item]:
    """Yield one side with the bow at left: deck, lines and posts."""
    own = sorted(supports, key=lambda one: one.aft)
    base = min(one.deck for one in own)
    yield _caption(place, at[1] + _SIDE, words.SIDE_VIEW[side])

    def on_paper(aft: float, up: float) -> tuple[float, float]:
        return at[0] + (aft - first) * scale, at[1] + (up - base) * scale

    yield Polyline(tuple(on_paper(one.aft, one.deck) for one in own), "DECK-EDGE")
    yield Polyline(tuple(on_paper(one.aft, one.deck + one.upper) for one in own), "GUARD-LINE-U")
    lower = [on_paper(one.aft, one.deck + one.lower) for one in own if one.lower is not None]
    if len(lower) == len(own):
        yield Polyline(tuple(lower), "GUARD-LINE-L")
    for one in own:
        yield Polyline((on_paper(one.aft, one.deck), on_paper(one.aft, one.deck + one.upper)), "POST")


def _lengths(lines: Sequence[RoughLine], fmt: LengthFormat) -> RuledList:
    rows = tuple(
        (
            Cell(line.name, weight="semibold"),
            Cell(made_to(line.path, fmt), f"estimate:{line.name}:path"),
            Cell(made_to(line.ordered, fmt), f"estimate:{line.name}:ordered"),
        )
        for line in lines
    )
    title = words.ROUGH.format(unit=fmt.unit)
    return RuledList(title, columns(words.ROUGH_HEADS, (60, 50, 50), (1, 2)), rows, "estimate-lines")


def _readings(supports: Sequence[Support], fmt: LengthFormat) -> RuledList:
    rows = tuple(
        (
            Cell(one.name, weight="semibold"),
            *(Cell(as_stated(value, fmt)) for value in (one.aft, one.out, one.deck, one.upper)),
            Cell("" if one.lower is None else as_stated(one.lower, fmt)),
        )
        for one in supports
    )
    title = words.READINGS.format(unit=fmt.unit)
    return RuledList(
        title, columns(words.READING_HEADS, (40, 25, 25, 25, 25, 25), (1, 2, 3, 4, 5)), rows, "estimate-readings"
    )
