"""The sheet of the next season: what is due, last figures beside blanks, places to look at, plots of the years."""

from __future__ import annotations

import math
from collections.abc import Iterator

from geom.drafting.line_text import in_words
from geom.drafting.page import notes_list, page_area, page_flow, page_head, page_paper
from geom.drafting.ruling import RuledList
from geom.figure import Cell, LengthFormat, Sheet
from geom.intake.as_built import AsBuilt
from geom.paperwork.handover.checks import owner_checks
from geom.paperwork.handover.sheet import checks_list
from geom.paperwork.inspection import text as words
from geom.paperwork.inspection.history import last_attitudes, last_day, last_settings, last_tensions, trends
from geom.paperwork.inspection.plots import in_grid
from geom.paperwork.lists import as_stated, columns
from geom.paperwork.paper import Paper, lettered
from geom.refit import Refit
from geom.remark import Remark
from geom.tables import numbers
from geom.units import decimal

INSPECTION = Paper("N1", "inspection", words.TITLE, words.KIND, words.DESCRIPTION)
_BY_HAND = 7.0


def inspection_sheets(refit: Refit, record: AsBuilt | None = None) -> tuple[Sheet, ...]:
    """Return the pages of the next season's inspection.

    Args:
        refit: the calculated boat.
        record: as built, with the readings of the seasons so far; without it the last figures are the design's.
    """
    fmt, paper = numbers(refit.boat), page_paper(refit)
    since, made = last_day(record), None if record is None else record.as_built.date
    lists = (
        _head(since),
        checks_list(refit, owner_checks(refit, since, made), fmt),
        lines_list(refit, record, fmt),
        posts_list(refit, record),
        places_list(refit, record),
        notes_list(words.NOTES, "inspection:notes"),
    )
    drawn = [*page_flow(paper, words.TITLE, lists)]
    head = page_head(paper, words.TRENDS, "page")
    drawn += [(*head, *items) for items in in_grid(trends(refit, record), page_area(paper), fmt)]
    return lettered(refit, INSPECTION, drawn)


def _head(since: str | None) -> RuledList:
    row = (Cell(""), Cell(""), Cell(""), Cell(since or words.NEVER, "inspection:last"))
    return RuledList("", columns(words.HEAD, (35, 50, 55, 36)), (row,), "inspection-head", minimum=_BY_HAND)


def lines_list(refit: Refit, record: AsBuilt | None, fmt: LengthFormat) -> RuledList:
    """Return the adjusters and tensions of each line as last read, with blanks.

    Args:
        refit: the calculated boat.
        record: as built, None where there is none.
        fmt: format of lengths.
    """
    rows: list[tuple[Cell, ...]] = []
    by_run: dict[str, list[tuple[Cell, ...]]] = {}
    for one in last_settings(refit, record):
        tag = f"last:{one.run}:{one.name}"
        by_run.setdefault(one.run, []).append((
            Cell(one.name, tag),
            Cell(as_stated(one.length, fmt), f"{tag}:length"),
            Cell(one.day or words.AS_DESIGNED, f"{tag}:day"),
            Cell(""),
        ))  # fmt: skip
    for pull in last_tensions(refit, record):
        word = "papers.set_tension" if pull.day is None else "papers.tension"
        said = in_words(Remark(word, pull_n=pull.tension), fmt)
        tension = (
            Cell(said, f"last:{pull.run}:tension"),
            Cell(pull.day or words.AS_DESIGNED, f"last:{pull.run}:tension:day"),
            Cell(""),
        )
        none = (Cell(""), Cell(""), Cell(""))
        for number, adjuster in enumerate(by_run.get(pull.run) or [(Cell(""), *none)]):
            name = Cell(pull.run if number == 0 else "", weight="semibold")
            rows.append((name, *adjuster, *(tension if number == 0 else none)))
    shares = (15, 30, 18, 24, 18, 28, 24, 18)
    title = words.LINES.format(unit=fmt.unit)
    return RuledList(
        title, columns(words.LINE_HEADS, shares, (2, 5)), tuple(rows), "inspection-lines", minimum=_BY_HAND
    )  # fmt: skip


def posts_list(refit: Refit, record: AsBuilt | None) -> RuledList:
    """Return lean and rake of each stanchion as last read, with blanks."""
    rows = tuple(
        (
            Cell(one.post, weight="semibold"),
            Cell(decimal(math.degrees(one.lean), 1), f"last:{one.post}:lean"),
            Cell(""),
            Cell(decimal(math.degrees(one.rake), 1), f"last:{one.post}:rake"),
            Cell(""),
            Cell(one.day or words.AS_SURVEYED, f"last:{one.post}:day"),
            Cell(""),
        )
        for one in last_attitudes(refit, record)
    )
    shares = (24, 22, 20, 22, 20, 26, 42)
    return RuledList(
        words.POSTS, columns(words.POST_HEADS, shares, (1, 3)), rows, "inspection-posts", minimum=_BY_HAND
    )  # fmt: skip


def places_list(refit: Refit, record: AsBuilt | None) -> RuledList:
    """Return each place with what is looked at there, what was seen there last, and the name of its photograph."""
    seen = {} if record is None else {place: said for one in record.seasons for place, said in one.seen.items()}
    rows = tuple(
        (
            Cell(place, f"place:{place}", weight="semibold"),
            Cell(_look(keys, seen.get(place)), f"place:{place}:look"),
            Cell(""),
            Cell(photograph(place), f"place:{place}:photograph"),
        )
        for place, keys in _places(refit)
    )
    shares = (30, 56, 60, 30)
    return RuledList(words.PLACES, columns(words.PLACE_HEADS, shares), rows, "inspection-places", minimum=_BY_HAND)


def _look(keys: list[str], seen: str | None) -> str:
    said = words.JOINT.join(words.LOOK[key] for key in keys)
    return said if seen is None else f"{said} (last: {seen})"


def photograph(place: str) -> str:
    """Return the name of the photograph of a place."""
    return place.upper().replace(" ", "-")


def _places(refit: Refit) -> Iterator[tuple[str, list[str]]]:
    """Yield each place once, in the order of the boat file, with what is looked at there."""
    found: dict[str, list[str]] = {}
    for check in owner_checks(refit, None, None):
        if check.months is not None:
            for place in check.places:
                found.setdefault(place, []).append(check.key)
    yield from sorted(found.items(), key=lambda one: (one[0].partition(" ")[0], one[0]))
