"""The handover: what was made, tests, what is not proven, what the owner checks, cautions, signatures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geom.drafting.line_text import fine_length, in_words
from geom.drafting.page import notes_list
from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell, LengthFormat, Sheet
from geom.intake.as_built import AsBuilt
from geom.open_items import open_items
from geom.paperwork.handover import text as words
from geom.paperwork.handover.checks import OwnerCheck, made_runs, owner_checks
from geom.paperwork.lists import columns, made_to
from geom.paperwork.paper import Paper, pages
from geom.placement.line_ends import BOTH, is_spliced, line_end
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.pulls import set_pull
from geom.rules.cautions import main_cautions
from geom.sheets.setting.text import NO_MAST
from geom.tables import numbers
from geom.tables.push_cases import forces, required_cases

HANDOVER = Paper("H1", "handover", words.TITLE, words.KIND, words.DESCRIPTION)
_BY_HAND = 7.0
_SIGNED_ROW = 9.0


def handover_sheets(refit: Refit, record: AsBuilt | None = None) -> tuple[Sheet, ...]:
    """Return the pages of the handover.

    Args:
        refit: the calculated boat.
        record: as built; without it what was measured is left blank.
    """
    fmt = numbers(refit.boat)
    since = None if record is None else record.as_built.date
    lists = (
        made_list(refit, record, fmt),
        _held(refit, fmt),
        tests_list(refit, fmt),
        open_list(refit, fmt),
        checks_list(refit, owner_checks(refit, since, since), fmt),
        _cautions(refit, fmt),
        _signed(),
        notes_list(words.NOTES, "handover:notes"),
    )
    return pages(refit, HANDOVER, lists)


def made_list(refit: Refit, record: AsBuilt | None, fmt: LengthFormat) -> RuledList:
    """Return the lines that were made, as designed and as recorded.

    Args:
        refit: the calculated boat.
        record: as built, None for blanks.
        fmt: format of lengths.
    """
    rows = []
    for run in made_runs(refit):
        line, tag = refit.boat.lines[run.spec.line], f"handover:{run.id}"
        entry = None if record is None else record.runs.get(run.id)
        pull = refit.work.tensions[run.id].set_tension
        made = entry.finished if entry is not None else None
        found = entry.tension if entry is not None else None
        rows.append((
            Cell(run.id, tag, weight="semibold"),
            Cell(words.OF.format(construction=line.construction, diameter=fine_length(line.diameter, fmt))),
            Cell(made_to(refit.work.runs[run.id].lengths.finished, fmt), f"{tag}:designed"),
            Cell("" if made is None else made_to(made, fmt), f"{tag}:made"),
            Cell(in_words(Remark("papers.set_tension", pull_n=pull), fmt), f"{tag}:tension"),
            Cell("" if found is None else in_words(Remark("papers.tension", pull_n=found), fmt), f"{tag}:as-set"),
            Cell("" if entry is None else entry.lot or "", f"{tag}:lot"),
            Cell("" if entry is None else entry.certificate or "", f"{tag}:certificate"),
        ))  # fmt: skip
    shares = (14, 38, 20, 18, 25, 20, 18, 26)
    title = words.MADE.format(unit=fmt.unit)
    return RuledList(
        title, columns(words.MADE_HEADS, shares, (2, 3, 4, 5)), tuple(rows), "handover-made", minimum=_BY_HAND
    )  # fmt: skip


def _held(refit: Refit, fmt: LengthFormat) -> RuledList:
    rows = tuple(
        (Cell(run, f"handover:{run}:held", weight="semibold"), Cell(in_words(work.refused, fmt), layer="HOLD"))
        for run, work in refit.work.runs.items()
        if work.refused
    )
    return RuledList(words.HELD, columns(words.HELD_HEADS, (20, 156)), rows, "handover-held")


def tests_list(refit: Refit, fmt: LengthFormat) -> RuledList:
    """Return the tests of each line with the limit, and blanks for the result; the pushes are those of sheet R6."""
    rows = tuple(row for run in made_runs(refit) for row in _tests(refit, run.id, fmt))
    if refit.boat.boat.mast_x is None:
        rows += ((Cell(""), Cell(NO_MAST, "handover:no-mast"), Cell(""), Cell(""), Cell("")),)
    columns_ = columns(words.TEST_HEADS, (17, 79, 22, 28, 30), (2,))
    return RuledList(words.TESTED, columns_, rows, "handover-tests", minimum=_BY_HAND)


def _tests(refit: Refit, run: str, fmt: LengthFormat) -> Iterator[tuple[Cell, ...]]:
    placed = refit.placed.runs[run]
    name = Cell(run, weight="semibold")
    if any(is_spliced(line_end(refit.boat, placed, where)) for where in BOTH):
        pull = set_pull(refit.boat.lines[placed.spec.line]).pull
        said = words.SPLICES.format(pull=in_words(Remark("papers.tension", pull_n=pull), fmt))
        yield name, Cell(said, f"handover:{run}:splices"), Cell(words.PULLED), Cell(""), Cell("")
        name = Cell("")
    force = in_words(Remark("papers.tension", pull_n=forces(refit)[0].value), fmt)
    for case in required_cases(refit):
        if case.run != run:
            continue
        tag = f"handover:{run}:{case.span}"
        yield (
            name,
            Cell(words.PUSH.format(force=force, start=case.start, end=case.end), f"{tag}:push"),
            Cell(in_words(Remark("length.whole", length_mm=case.limit), fmt), f"{tag}:limit"),
            Cell(""),
            Cell(""),
        )
        name = Cell("")


def open_list(refit: Refit, fmt: LengthFormat) -> RuledList:
    """Return the open items of the boat, numbered as on its sheets."""
    rows = tuple(
        (Cell(str(item.number), f"open:{item.number}"), Cell(in_words(item.cause, fmt)), Cell(item.who))
        for item in open_items(refit)
    ) or ((Cell(""), Cell(words.NONE_OPEN), Cell("")),)
    return RuledList(words.OPEN, columns(words.OPEN_HEADS, (13, 135, 28)), rows, "handover-open")


def checks_list(refit: Refit, found: Sequence[OwnerCheck], fmt: LengthFormat) -> RuledList:
    """Return what the owner checks, where, how often and by when.

    Args:
        refit: the calculated boat.
        found: the checks.
        fmt: format of lengths.
    """
    rows = tuple(
        (
            Cell(in_words(one.what, fmt), f"check:{one.key}"),
            Cell(places_words(refit, one.places), f"check:{one.key}:places"),
            Cell(every_words(one), f"check:{one.key}:every"),
            Cell(one.due or words.COUNT_FROM, f"check:{one.key}:due"),
            Cell(in_words(one.source, fmt), f"check:{one.key}:source"),
        )
        for one in found
    )
    return RuledList(words.CHECKS, columns(words.CHECK_HEADS, (58, 38, 16, 22, 44)), rows, "handover-checks")


def every_words(one: OwnerCheck) -> str:
    """Return how often a check is due."""
    if one.months is None:
        return words.ONCE
    return words.EVERY.get(one.months, words.MONTHS.format(months=one.months))


def places_words(refit: Refit, places: Sequence[str]) -> str:
    """Return places as text, those that are all of a kind in one word."""
    posts = {post.id for post in refit.boat.posts}
    runs = {run.id for run in made_runs(refit)}
    holes = {passage.hole.id for run in made_runs(refit) for passage in run.passages}
    for kind, every in (("post", posts), ("run", runs), ("hole", holes)):
        if every and set(places) == every and len(places) > 1:
            return words.ALL[kind]
    by_end: dict[str, list[str]] = {}
    for place in places:
        run, _, end = place.partition(" ")
        by_end.setdefault(end, []).append(run)
    return "; ".join(
        f"{words.END[end]}: {', '.join(names)}" if end else ", ".join(names) for end, names in by_end.items()
    )


def _cautions(refit: Refit, fmt: LengthFormat) -> RuledList:
    rows = tuple((Cell(in_words(caution, fmt), "handover:caution"),) for caution in main_cautions(refit.boat))
    return RuledList("", (ListColumn(words.CAUTIONS, 1),), rows, "handover-cautions")


def _signed() -> RuledList:
    rows = tuple((Cell(who), Cell(""), Cell(""), Cell("")) for who in words.SIGNED_FOR)
    return RuledList(
        words.SIGNED, columns(words.SIGNED_HEADS, (20, 60, 30, 64)), rows, "handover-signed", minimum=_SIGNED_ROW
    )  # fmt: skip
