"""Sides and survey as ruled lists: asymmetry, tapes, posts as found."""

from __future__ import annotations

import math

from geom.data.table import datum
from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.intake.survey.closure import ClosureRow, boat_closure, closure_limit
from geom.intake.survey.fairness import FairRow, LeanRow, as_found, customary_limits
from geom.placement.symmetry import Pair
from geom.refit import Refit
from geom.sheets.compliance import text as words
from geom.tables import numbers
from geom.units import LengthFormat, decimal, degrees, without_zero

# Bores that differ by more are of different drills [mm].
_SAME_BORE = 0.05
# Decimals of a length in the file's unit beyond which there is only rounding error.
_CLEAN = 6


def run_sides(refit: Refit) -> RuledList:
    """Return starboard against port, run by run."""
    fmt, limit = numbers(refit.boat), pair_limit()
    rows = []
    for pair in refit.placed.pairs:
        if pair.quantity != "path":
            continue
        tag = f"pairs:{pair.name}:{pair.quantity}"
        rows.append((
            Cell(pair.name, f"{tag}:name"),
            Cell(_length(pair.starboard, fmt), f"{tag}:starboard_mm"),
            Cell(_length(pair.port, fmt), f"{tag}:port_mm"),
            Cell(_length(pair.difference, fmt), f"{tag}:difference_mm"),
            Cell(words.DO_NOT_PAIR if abs(pair.difference) > limit else words.ALIKE, f"{tag}:verdict"),
        ))  # fmt: skip
    columns = (
        ListColumn("LINE", 24), ListColumn("STARBOARD", 40, "right"), ListColumn("PORT", 40, "right"),
        ListColumn("DIFFERENCE", 40, "right"), ListColumn("VERDICT", 40),
    )  # fmt: skip
    title = words.BANDS["pairs"].format(unit=fmt.unit, limit=_length(limit, fmt))
    return RuledList(title, columns, tuple(rows), "pairs")


def point_sides(refit: Refit) -> RuledList:
    """Return starboard less port for the holes of each post and for each rail eye.

    Posts are paired as a whole, bores hole by hole.
    """
    fmt, limit = numbers(refit.boat), pair_limit()
    points: dict[str, list[Pair]] = {}
    for pair in refit.placed.pairs:
        if pair.quantity != "path":
            points.setdefault(pair.name, []).append(pair)
    wholes: dict[str, list[Pair]] = {}
    for name, pairs in points.items():
        wholes.setdefault(_whole(name, pairs), []).extend(pairs)
    rows = []
    for name, pairs in points.items():
        what = pairs[0].quantity.partition(" ")[0]
        differences = [_length(pair.difference, fmt) for pair in pairs[:3]]
        bore = pairs[3] if len(pairs) > 3 else None
        rows.append((
            Cell(f"{name} {what}", f"pairs:{name}:name"),
            *(
                Cell(text, f"pairs:{name}:{pair.quantity}:difference_mm")
                for pair, text in zip(pairs[:3], differences, strict=True)
            ),
            Cell("" if bore is None else _bore(bore.starboard, fmt), f"pairs:{name}:hole bore:starboard_mm"),
            Cell("" if bore is None else _bore(bore.port, fmt), f"pairs:{name}:hole bore:port_mm"),
            Cell(_pair_verdict(wholes[_whole(name, pairs)], bore, limit), f"pairs:{name}:verdict"),
        ))  # fmt: skip
    columns = (
        ListColumn("POINT", 30), ListColumn("X", 17, "right"), ListColumn("OFF CENTRELINE", 25, "right"),
        ListColumn("HEIGHT", 17, "right"), ListColumn("BORE, STBD", 18, "right"), ListColumn("BORE, PORT", 18, "right"),
        ListColumn("VERDICT", 59),
    )  # fmt: skip
    title = words.BANDS["points"].format(unit=fmt.unit, limit=_length(limit, fmt))
    return RuledList(title, columns, tuple(rows), "points")


def _whole(name: str, found: list[Pair]) -> str:
    """Return the post of a hole, or the eye itself."""
    return name.rpartition("-")[0] if found[0].quantity.startswith("hole") else name


def _pair_verdict(whole: list[Pair], bore: Pair | None, limit: float) -> str:
    """Return the verdict on all points of one post or eye together, and on the bore of one of its holes."""
    apart = any(abs(pair.difference) > limit for pair in whole if pair.quantity != "hole bore")
    verdict = words.DO_NOT_PAIR if apart else words.ALIKE
    differs = bore is not None and abs(bore.difference) > _SAME_BORE
    return f"{verdict}; {words.BORES_DIFFER}" if differs else verdict


def survey_key(refit: Refit, shown: set[str]) -> tuple[str, ...]:
    """Return the lines of the key for the lists on a sheet, each named by the prefix of its tags."""
    lines: list[str] = []
    if "pairs" in shown:
        lines += words.SURVEY_KEY_PAIRS
    if "closure" in shown:
        lines.append(words.SURVEY_KEY_CLOSURE)
    if "as-found" in shown:
        lines += words.SURVEY_KEY_POSTS
        fair = as_found(refit.boat, *customary_limits()).fair
        if all(row.off_curve is None for row in fair):
            lines.append(words.SURVEY_KEY_NO_CURVE[any(row.off_family is not None for row in fair)])
        elif any(row.off_family is None and row.off_curve is not None for row in fair):
            lines.append(words.SURVEY_KEY_BY_CURVE)
        else:
            lines.append(words.SURVEY_KEY_CURVE)
    return (*lines[:-1], " ".join((*lines[-1:], words.SURVEY_KEY_LAST)))


def pair_limit() -> float:
    """Return the largest difference between sides that counts as identical [mm]; common practice, no source."""
    return datum("survey_limits", key="pairs").value


def closures(refit: Refit) -> RuledList:
    """Return each tape against the coordinates, with the likely cause of a misclosure."""
    fmt, limit = numbers(refit.boat), closure_limit()
    rows = tuple(_closure(row, fmt) for row in boat_closure(refit.boat, limit, refit.loaded.tapes_as_written))
    columns = (
        ListColumn("FROM", 30), ListColumn("TO", 30), ListColumn("TAPED", 18, "right"),
        ListColumn("COMPUTED", 23, "right"), ListColumn("RESIDUAL", 21, "right"), ListColumn("VERDICT", 20),
        ListColumn("LIKELY CAUSE", 46),
    )  # fmt: skip
    title = words.BANDS["closure"].format(unit=fmt.unit, limit=_length(limit, fmt))
    return RuledList(title, columns, rows, "closure")


def _closure(row: ClosureRow, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag = f"closure:{row.start}:{row.end}"
    causes = "; ".join(f"{cause.name}: {_length(cause.would_be, fmt)}" for cause in row.causes)
    if row.flagged and not causes:
        causes = words.NO_CAUSE
    return (
        Cell(row.start, f"{tag}:start"),
        Cell(row.end, f"{tag}:end"),
        Cell(_length(row.taped, fmt), f"{tag}:taped"),
        Cell(_length(row.computed, fmt), f"{tag}:computed"),
        Cell(_length(row.residual, fmt), f"{tag}:residual"),
        Cell(words.FLAGGED if row.flagged else words.AGREES, f"{tag}:verdict"),
        Cell(causes, f"{tag}:cause"),
    )


def posts_as_found(refit: Refit) -> RuledList:
    """Return each post by the deck edge or by a curve through its neighbours, and by the usual lean and rake."""
    fmt = numbers(refit.boat)
    fair_limit, lean_limit, pairs_limit = customary_limits()
    check = as_found(refit.boat, fair_limit, lean_limit, pairs_limit)
    leans = {row.post: row for row in check.leans}
    curved = any(row.off_curve is not None for row in check.fair)
    # What is designed is not bent.
    measured = refit.boat.survey == "as measured"
    bent = words.PROBABLY_BENT if measured else words.OFF_USUAL
    rows = tuple(_post(row, leans[row.post], fmt, curved, bent) for row in check.fair)
    columns = (
        ListColumn("STANCHION", 20), ListColumn("OFF EDGE", 18, "right"), ListColumn("LEAN", 14, "right"),
        ListColumn("USUAL LEAN", 16, "right"), ListColumn("RAKE", 14, "right"), ListColumn("USUAL RAKE", 16, "right"),
        ListColumn("VERDICT", 38), *((ListColumn("OFF CURVE", 18, "right"),) if curved else ()),
        ListColumn("OUT", 15, "right"), ListColumn("AFT", 15, "right"),
    )  # fmt: skip
    title = words.BANDS["as-found" if measured else "as-designed"].format(
        unit=fmt.unit, fair=_length(fair_limit, fmt), lean=decimal(degrees(lean_limit), 1)
    )
    return RuledList(title, columns, rows, "as-found")


def _post(fair: FairRow, lean: LeanRow, fmt: LengthFormat, curved: bool, bent: str) -> tuple[Cell, ...]:
    tag = f"as-found:{fair.post}"
    off = words.OFF_LINE[fair.off_family is not None]
    remarks = [word for word, out in ((off, fair.out), (bent, lean.bent)) if out]
    angles = (lean.lean, lean.usual_lean, lean.rake, lean.usual_rake)
    names = ("lean", "usual_lean", "rake", "usual_rake")
    return (
        Cell(fair.post, f"{tag}:post"),
        Cell(_length(fair.off_family, fmt), f"{tag}:off_family"),
        *(Cell(decimal(degrees(angle), 1), f"{tag}:{name}") for angle, name in zip(angles, names, strict=True)),
        Cell("; ".join(remarks) or words.IN_FAMILY, f"{tag}:verdict"),
        *((Cell(_length(fair.off_curve, fmt), f"{tag}:off_curve"),) if curved else ()),
        Cell(_length(lean.outboard, fmt), f"{tag}:outboard"),
        Cell(_length(lean.aft, fmt), f"{tag}:aft"),
    )


def _bore(value: float, fmt: LengthFormat) -> str:
    """Return a bore as text, inches with one more decimal, since drills differ by less than a hundredth."""
    return fmt.figure(value, fmt.decimals + (fmt.unit != "mm"))


def _length(value: float | None, fmt: LengthFormat) -> str:
    """Return a length as text; a half in the last decimal is rounded away from zero, so that both sides agree."""
    if value is None:
        return ""
    # The rounding error of a subtraction must not decide how a half is rounded.
    clean = round(value / fmt.mm, _CLEAN)
    return without_zero(decimal(clean + math.copysign(0.1**_CLEAN, clean), fmt.decimals), fmt.unit)
