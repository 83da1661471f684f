"""The paper of what was made: lengths against the design, settings, lots, take-up, the next lines."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geom.drafting.line_text import cut_words, in_words
from geom.drafting.page import notes_list
from geom.drafting.ruling import RuledList
from geom.figure import Cell, LengthFormat, Sheet
from geom.intake.as_built import AsBuilt
from geom.paperwork.lists import as_stated, columns, made_to
from geom.paperwork.made import text as words
from geom.paperwork.made.calibration import Calibration, Correction, MeasuredEye
from geom.paperwork.made.comparison import MadeLine
from geom.paperwork.paper import Paper, pages
from geom.refit import Refit
from geom.remark import Remark
from geom.rigging.budget import COVERAGE
from geom.tables import numbers
from geom.units import LengthFormat as Format

MADE = Paper("M1", "as-made", words.TITLE, words.KIND, words.DESCRIPTION)


def made_sheets(
    refit: Refit,
    record: AsBuilt,
    lines: Sequence[MadeLine],
    found: Sequence[Calibration],
    following: Sequence[Correction],
) -> tuple[Sheet, ...]:
    """Return the pages of what was made.

    Args:
        refit: the calculated boat.
        record: as built.
        lines: as made against the design.
        found: the take-ups measured.
        following: the lines still to be made.
    """
    fmt = numbers(refit.boat)
    lists = (
        lengths_list(lines, fmt),
        _settings(refit, record, fmt),
        lots_list(record),
        take_up_list(found, fmt),
        next_list(following, fmt),
        notes_list(tuple(_notes(refit, record, lines, fmt)), "made:notes"),
    )
    return pages(refit, MADE, lists)


def lengths_list(lines: Sequence[MadeLine], fmt: LengthFormat) -> RuledList:
    """Return each line as made against its design."""
    rows = tuple(
        (
            Cell(line.run, f"made:{line.run}", weight="semibold"),
            Cell(made_to(line.designed, fmt), f"made:{line.run}:designed"),
            Cell(made_to(line.made, fmt), f"made:{line.run}:made"),
            Cell(_signed(line.off, fmt), f"made:{line.run}:off", weight="semibold"),
            Cell(made_to(line.predicted, fmt), f"made:{line.run}:predicted"),
            Cell(words.YES_NO[line.as_predicted], f"made:{line.run}:as-predicted"),
            Cell(_or_none(line.shortens, fmt), f"made:{line.run}:shortens"),
            Cell(_or_none(line.opens, fmt), f"made:{line.run}:opens"),
            Cell(words.COVERED[line.covered], f"made:{line.run}:covered"),
        )
        for line in lines
    )
    shares = (17, 22, 20, 15, 26, 16, 20, 20, 25)
    title = words.LENGTHS.format(unit=fmt.unit)
    return RuledList(title, columns(words.LENGTH_HEADS, shares, (1, 2, 3, 4, 6, 7)), rows, "made-lengths")


def _signed(value: float, fmt: Format) -> str:
    text = made_to(value, fmt)
    return text if text.startswith("-") or not float(text) else f"+{text}"


def _or_none(value: float | None, fmt: Format) -> str:
    return words.NONE if value is None else made_to(value, fmt)


def _settings(refit: Refit, record: AsBuilt, fmt: LengthFormat) -> RuledList:
    return RuledList(
        words.SETTINGS.format(unit=fmt.unit),
        columns(words.SETTING_HEADS, (20, 52, 24, 24, 30, 30), (2, 3, 4, 5)),
        tuple(_setting_rows(refit, record, fmt)),
        "made-settings",
    )


def _setting_rows(refit: Refit, record: AsBuilt, fmt: LengthFormat) -> Iterator[tuple[Cell, ...]]:
    """Yield the adjusters of each recorded run as designed and as set; others that the record names after them."""
    for run, entry in record.runs.items():
        if not entry.settings and entry.tension is None:
            continue
        # The page names two adjusters of one word by their ends as well.
        cards = refit.work.runs[run].settings
        planned = {name: card.planned for card in cards for name in (card.fitting, f"{card.fitting} {card.end}")}
        pull = refit.work.tensions[run].set_tension
        left = (
            in_words(Remark("papers.set_tension", pull_n=pull), fmt),
            words.NONE if entry.tension is None else in_words(Remark("papers.tension", pull_n=entry.tension), fmt),
        )
        for number, name in enumerate(entry.settings or [words.NONE]):
            tag = f"made:{run}:setting:{name}"
            yield (
                Cell(run if number == 0 else "", weight="semibold"),
                Cell(name, tag),
                Cell(as_stated(planned[name], fmt) if name in planned else words.NONE, f"{tag}:designed"),
                Cell(as_stated(entry.settings[name], fmt) if entry.settings else words.NONE, f"{tag}:as-set"),
                Cell(left[0] if number == 0 else "", f"made:{run}:tension:designed"),
                Cell(left[1] if number == 0 else "", f"made:{run}:tension"),
            )


def lots_list(record: AsBuilt) -> RuledList:
    """Return lot, certificate, date, maker and note of each recorded run."""
    head = record.as_built
    rows = tuple(
        (
            Cell(run, weight="semibold"),
            Cell(entry.lot or "", f"made:{run}:lot"),
            Cell(entry.certificate or "", f"made:{run}:certificate"),
            Cell(entry.date or head.date, f"made:{run}:date"),
            Cell(entry.by or head.by, f"made:{run}:by"),
            Cell(entry.note or "", f"made:{run}:note"),
        )
        for run, entry in record.runs.items()
        if entry.model_fields_set
    )
    return RuledList(words.LOTS, columns(words.LOT_HEADS, (18, 34, 42, 24, 26, 36)), rows, "made-lots")


def take_up_list(found: Sequence[Calibration], fmt: LengthFormat) -> RuledList:
    """Return the take-up of each rope as expected and as measured."""
    rows = tuple(
        (
            Cell(one.line, weight="semibold"),
            Cell(made_to(one.expected, fmt), f"take-up:{one.line}:expected"),
            Cell("; ".join(_eye(eye, fmt) for eye in one.eyes), f"take-up:{one.line}:eyes"),
            Cell(_or_none(one.mean, fmt), f"take-up:{one.line}:mean", weight="semibold"),
            Cell(_or_none(one.spread, fmt), f"take-up:{one.line}:spread"),
            Cell(words.TOO_FEW if one.mean is None else words.BECOMES, f"take-up:{one.line}:becomes"),
        )
        for one in found
    )
    shares = (26, 22, 60, 18, 18, 36)
    title = words.TAKE_UP.format(unit=fmt.unit)
    return RuledList(title, columns(words.TAKE_UP_HEADS, shares, (1, 3, 4)), rows, "take-up")


def _eye(eye: MeasuredEye, fmt: Format) -> str:
    form = words.REJECTED if eye.rejected else words.EYE
    return form.format(run=eye.run, value=made_to(eye.take_up, fmt))


def next_list(following: Sequence[Correction], fmt: LengthFormat) -> RuledList:
    """Return the lines still to be made, before and after the correction."""
    rows = tuple(
        (
            Cell(one.run, f"next:{one.run}", weight="semibold"),
            Cell(made_to(one.eye_marks_before, fmt), f"next:{one.run}:eye-before"),
            Cell(made_to(one.eye_marks, fmt), f"next:{one.run}:eye", weight="semibold"),
            Cell(cut_words(one.from_reel_before, True, fmt), f"next:{one.run}:reel-before"),
            Cell(cut_words(one.from_reel, True, fmt), f"next:{one.run}:reel", weight="semibold"),
        )
        for one in following
    )
    title = words.NEXT.format(unit=fmt.unit)
    return RuledList(title, columns(words.NEXT_HEADS, (30, 40, 30, 40, 30), (1, 2, 3, 4)), rows, "made-next")


def root_mean_square(values: Sequence[float]) -> float:
    """Return the root mean square of some values [unit of the values]."""
    return math.sqrt(math.fsum(value**2 for value in values) / len(values))


def _notes(refit: Refit, record: AsBuilt, lines: Sequence[MadeLine], fmt: LengthFormat) -> Iterator[str]:
    if record.as_built.data_sha256 != refit.loaded.data_sha256:
        yield words.OTHER_DATA.format(
            record=record.as_built.data_sha256[:12], now=refit.loaded.data_sha256[:12]
        )  # fmt: skip
    if lines:
        yield words.RMS.format(
            observed=made_to(root_mean_square([line.off for line in lines]), fmt),
            predicted=made_to(root_mean_square([line.predicted / COVERAGE for line in lines]), fmt),
            unit=fmt.unit,
        )
    yield from words.NOTES
