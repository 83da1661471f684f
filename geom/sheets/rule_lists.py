"""What the rules say of a boat as ruled lists: summary, findings by document, coverage."""

from __future__ import annotations

from collections.abc import Iterable

from geom.figure import Cell
from geom.refit import Refit
from geom.rules.applied import applied
from geom.rules.coverage import coverage
from geom.rules.digest import Line, counts, digest
from geom.rules.rule import ORDER, Finding
from geom.schedules import numbers
from geom.sheets import words
from geom.sheets.ruled_list import ListColumn, RuledList
from geom.units import Numbers, decimal

# Decimals of what is not a length; one where the unit stands not here.
_DECIMALS = {"count": 0, "N": 0}
_MOST_DECIMALS = 4


def summary(refit: Refit) -> RuledList:
    """Return the documents with their editions, how many findings have each verdict, how many clauses were checked."""
    covered = {(one.document, one.edition): one for one in coverage(refit.boat)}
    compared = {(one.edition.title, one.edition.edition) for one in applied(refit.boat) if not one.binding}
    rows = []
    for document, edition, tally in counts(refit.findings):
        name = f"rules:{document}:{edition}"
        how_far = covered.get((document, edition))
        clauses = (None,) * 3 if how_far is None else (how_far.checked, how_far.not_computable, how_far.not_read)
        heads = ("checked", "not computable", "not read")
        rows.append((
            Cell(document, f"{name}:document"),
            Cell(edition, f"{name}:edition"),
            Cell(words.COMPARED if (document, edition) in compared else words.BINDS, f"{name}:standing"),
            *(Cell(str(tally[verdict]), f"{name}:{verdict}") for verdict in ORDER),
            *(
                Cell("-" if part is None else str(len(part)), f"{name}:{head}")
                for head, part in zip(heads, clauses, strict=True)
            ),
        ))  # fmt: skip
    columns = (
        ListColumn("DOCUMENT", 62), ListColumn("EDITION", 28), ListColumn("STANDING", 34),
        *(ListColumn(verdict.upper(), 30, "right") for verdict in ORDER),
        ListColumn("CLAUSES CHECKED", 34, "right"), ListColumn("NOT COMPUTABLE", 34, "right"),
        ListColumn("NOT READ", 22, "right"),
    )  # fmt: skip
    return RuledList(words.BANDS["summary"], columns, tuple(rows), "rules:summary")


def finding_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the findings of each document that is put to the boat, then those made for comparison in one list."""
    how = numbers(refit.boat)
    lines = digest(refit.findings)
    waived = any(finding.waiver for finding in refit.findings)
    lists = []
    for document, edition, tally in counts(refit.findings):
        own = [
            line
            for line in lines
            if line.finding.binding and (line.finding.document, line.finding.edition) == (document, edition)
        ]
        if own:
            said = ", ".join(f"{tally[verdict]} {verdict}" for verdict in ORDER if tally[verdict])
            title = f"{document}, {edition if edition[:1].isalpha() else f'edition {edition}'}: {said}"
            lists.append(_findings(title, own, how, waived, with_document=False))
    others = [line for line in lines if not line.finding.binding]
    if others:
        lists.append(_findings(words.BANDS["comparison"], others, how, waived, with_document=True))
    return tuple(lists)


def _findings(title: str, lines: list[Line], how: Numbers, waived: bool, with_document: bool) -> RuledList:
    inches = how.unit != "mm"
    number = 29 if inches else 24
    note = (81 if inches else 100) - (36 if waived else 0)
    columns = (
        ListColumn("VERDICT", 26), ListColumn("DOCUMENT AND CLAUSE" if with_document else "CLAUSE", 52),
        ListColumn("PLACE", 31), ListColumn("QUANTITY", 42), ListColumn("MEASURED", number, "right"),
        ListColumn("LIMIT", number, "right"), ListColumn("MARGIN", number, "right"),
        ListColumn("UNIT", 18 if inches else 14), ListColumn("OF", 9, "right"), ListColumn("SURE", 23),
        ListColumn("NOTE", note), *((ListColumn("WAIVER", 36),) if waived else ()),
    )  # fmt: skip
    rows = tuple(_row(line, how, waived, with_document) for line in lines)
    return RuledList(title, columns, rows, f"rules:{lines[0].finding.document}:findings")


def _row(line: Line, how: Numbers, waived: bool, with_document: bool) -> tuple[Cell, ...]:
    finding, tag = line.finding, f"rule:{line.finding.id}"
    clause = f"{finding.clause}: {finding.subject}" if finding.subject != finding.clause else finding.clause
    return (
        Cell(words.VERDICT_WORDS[finding.verdict], f"{tag}:verdict"),
        Cell(f"{finding.document}, {finding.edition}: {clause}" if with_document else clause, f"{tag}:clause"),
        Cell(place_of(finding), f"{tag}:place"),
        Cell(finding.quantity, f"{tag}:quantity"),
        Cell(with_units(finding.measured, finding.unit, how), f"{tag}:measured"),
        Cell(with_units(finding.limit, finding.unit, how), f"{tag}:limit"),
        Cell(with_units(finding.margin, finding.unit, how, never_nil=True), f"{tag}:margin"),
        Cell(unit_words(finding.unit, how), f"{tag}:unit"),
        Cell(str(line.count), f"{tag}:count"),
        Cell(finding.sure or "-", f"{tag}:sure"),
        Cell(finding.note, f"{tag}:note"),
        *((Cell(finding.waiver, f"{tag}:waiver"),) if waived else ()),
    )


def place_of(finding: Finding) -> str:
    """Return the place that a finding speaks of, as its id names it."""
    return finding.id.rpartition(":")[2]


def with_units(value: float | None, unit: str, how: Numbers, never_nil: bool = False) -> str:
    """Return a finding's number as it stands on paper; lengths of an inch file in inches with mm in brackets.

    Args:
        value: in the finding's unit, None where it cannot be told.
        unit: the finding's unit.
        how: how the boat writes lengths.
        never_nil: with decimals enough that a number other than nil does not read as nil.
    """
    if value is None:
        return "-"
    if unit != "mm":
        return _decimal(value, _DECIMALS.get(unit, 1), never_nil)
    if how.unit == "mm":
        return _decimal(value, how.decimals, never_nil)
    return f"{_decimal(value / how.mm, how.decimals + 1, never_nil)} [{_decimal(value, 1, never_nil)}]"


def _decimal(value: float, decimals: int, never_nil: bool) -> str:
    text = decimal(value, decimals)
    while never_nil and float(text) == 0.0 and abs(value) > 1e-6 and decimals < _MOST_DECIMALS:
        decimals += 1
        text = decimal(value, decimals)
    return text


def unit_words(unit: str, how: Numbers) -> str:
    """Return the unit of a finding's numbers; `in [mm]` where inches stand first."""
    return f"{how.unit} [mm]" if unit == "mm" and how.unit != "mm" else unit or "-"


def coverage_list(refit: Refit) -> RuledList:
    """Return for each edition which clauses are checked, which cannot be computed, and which were not read."""
    rows = []
    for one in coverage(refit.boat):
        tag = f"coverage:{one.document}:{one.edition}"
        rows.append((
            Cell(f"{one.document}, {one.edition}", f"{tag}:document"),
            Cell(_joined(one.checked), f"{tag}:checked"),
            Cell(_joined(f"{clause} ({why})" for clause, why in one.not_computable), f"{tag}:not computable"),
            Cell(_joined(f"{clause} ({title})" for clause, title in one.not_read), f"{tag}:not read"),
        ))  # fmt: skip
    columns = (
        ListColumn("DOCUMENT, EDITION", 52), ListColumn("CHECKED", 122),
        ListColumn("NOT TO BE COMPUTED", 122), ListColumn("NOT READ", 80),
    )  # fmt: skip
    return RuledList(words.BANDS["coverage"], columns, tuple(rows), "coverage")


def _joined(parts: Iterable[str]) -> str:
    return "; ".join(parts) or "-"
