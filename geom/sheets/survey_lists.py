"""What the sides and the survey say of each other as ruled lists: asymmetry, tapes, posts as found."""

from __future__ import annotations

from geom.data.table import datum
from geom.figure import Cell
from geom.intake.closure import ClosureRow, boat_closure, closure_limit
from geom.intake.fairness import FairRow, LeanRow, as_found, customary_limits
from geom.refit import Refit
from geom.schedules import cells, numbers
from geom.schedules import pairs as pair_schedule
from geom.sheets import words
from geom.sheets.ruled_list import ListColumn, RuledList
from geom.units import Numbers, decimal, degrees


def asymmetry(refit: Refit) -> RuledList:
    """Return starboard against port, run by run and post by post, with what must not be taken as alike."""
    how, schedule = numbers(refit.boat), pair_schedule(refit)
    limit = pair_limit()
    rows = []
    for row_id, pair, texts in zip(schedule.ids, refit.placed.pairs, cells(schedule, how), strict=True):
        tag = f"pairs:{row_id}"
        keys = (column.key for column in schedule.columns)
        apart = abs(pair.difference) > limit
        rows.append((
            *(Cell(text, f"{tag}:{key}") for text, key in zip(texts, keys, strict=True)),
            Cell(words.DO_NOT_PAIR if apart else words.ALIKE, f"{tag}:verdict"),
        ))  # fmt: skip
    columns = (
        ListColumn("NAME", 18), ListColumn("QUANTITY", 50), ListColumn("STARBOARD", 27, "right"),
        ListColumn("PORT", 27, "right"), ListColumn("DIFFERENCE", 28, "right"), ListColumn("VERDICT", 32),
    )  # fmt: skip
    title = words.BANDS["pairs"].format(unit=how.unit, limit=_length(limit, how))
    return RuledList(title, columns, tuple(rows), "pairs")


def pair_limit() -> float:
    """Return how far the sides may differ and still be called alike [mm]; common practice, no source."""
    return datum("survey_limits", key="pairs").value


def closures(refit: Refit) -> RuledList:
    """Return each tape against the coordinates, with the likely cause of what does not close."""
    how, limit = numbers(refit.boat), closure_limit()
    rows = tuple(_closure(row, how) for row in boat_closure(refit.boat, limit))
    columns = (
        ListColumn("FROM", 30), ListColumn("TO", 30), ListColumn("TAPED", 20, "right"),
        ListColumn("COMPUTED", 24, "right"), ListColumn("RESIDUAL", 22, "right"), ListColumn("VERDICT", 20),
        ListColumn("LIKELY CAUSE", 38),
    )  # fmt: skip
    title = words.BANDS["closure"].format(unit=how.unit, limit=_length(limit, how))
    return RuledList(title, columns, rows, "closure")


def _closure(row: ClosureRow, how: Numbers) -> tuple[Cell, ...]:
    tag = f"closure:{row.start}:{row.end}"
    causes = "; ".join(f"{cause.name}: {_length(cause.would_be, how)}" for cause in row.causes)
    if row.flagged and not causes:
        causes = words.NO_CAUSE
    return (
        Cell(row.start, f"{tag}:start"),
        Cell(row.end, f"{tag}:end"),
        Cell(_length(row.taped, how), f"{tag}:taped"),
        Cell(_length(row.computed, how), f"{tag}:computed"),
        Cell(_length(row.residual, how), f"{tag}:residual"),
        Cell(words.FLAGGED if row.flagged else words.CLOSES, f"{tag}:verdict"),
        Cell(causes or "-", f"{tag}:cause"),
    )


def posts_as_found(refit: Refit) -> RuledList:
    """Return each post against the fair line and against the usual lean and rake of the boat."""
    how = numbers(refit.boat)
    fair_limit, lean_limit, pairs_limit = customary_limits()
    found = as_found(refit.boat, fair_limit, lean_limit, pairs_limit)
    leans = {row.post: row for row in found.leans}
    rows = tuple(_post(row, leans[row.post], how) for row in found.fair)
    columns = (
        ListColumn("POST", 18), ListColumn("OFF CURVE", 21, "right"), ListColumn("OFF FAMILY", 22, "right"),
        ListColumn("LEAN", 14, "right"), ListColumn("USUAL", 15, "right"), ListColumn("RAKE", 14, "right"),
        ListColumn("USUAL", 15, "right"), ListColumn("OUT", 15, "right"), ListColumn("AFT", 15, "right"),
        ListColumn("VERDICT", 36),
    )  # fmt: skip
    title = words.BANDS["as-found"].format(
        unit=how.unit, fair=_length(fair_limit, how), lean=decimal(degrees(lean_limit), 1)
    )
    return RuledList(title, columns, rows, "as-found")


def _post(fair: FairRow, lean: LeanRow, how: Numbers) -> tuple[Cell, ...]:
    tag = f"as-found:{fair.post}"
    said = [word for word, out in ((words.OFF_LINE, fair.out), (words.PROBABLY_BENT, lean.bent)) if out]
    angles = (lean.lean, lean.usual_lean, lean.rake, lean.usual_rake)
    names = ("lean", "usual_lean", "rake", "usual_rake")
    return (
        Cell(fair.post, f"{tag}:post"),
        Cell(_length(fair.off_curve, how), f"{tag}:off_curve"),
        Cell(_length(fair.off_family, how), f"{tag}:off_family"),
        *(Cell(decimal(degrees(angle), 1), f"{tag}:{name}") for angle, name in zip(angles, names, strict=True)),
        Cell(_length(lean.outboard, how), f"{tag}:outboard"),
        Cell(_length(lean.aft, how), f"{tag}:aft"),
        Cell("; ".join(said) or words.IN_FAMILY, f"{tag}:verdict"),
    )


def _length(value: float | None, how: Numbers) -> str:
    return "-" if value is None else decimal(value / how.mm, how.decimals)
