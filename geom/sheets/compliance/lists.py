"""Findings of a boat as ruled lists: summary, findings by document, coverage."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from geom.drafting.line_text import capitalised
from geom.drafting.ruling import KEPT, ListColumn, RuledList
from geom.figure import Cell
from geom.open_items import open_items
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.applied import applied
from geom.rules.coverage import coverage
from geom.rules.digest import Line, counts, digest
from geom.rules.finding import ORDER, Finding
from geom.sheets.compliance import text as words
from geom.sheets.compliance.figures import (
    clause_number,
    clause_words,
    figures,
    in_own_units,
    notes_in_own_units,
    with_document,
)
from geom.sheets.compliance.key import PULL
from geom.sheets.compliance.places import places_words
from geom.tables import numbers
from geom.units import LengthFormat
from geom.words import worded

# Editions of documents that were not published.
_NO_EDITION = ("no source", "common practice", "rules")


def summary(refit: Refit) -> RuledList:
    """Return the documents with their editions, number of findings by verdict, number of clauses checked."""
    covered = {(entry.document, entry.edition): entry for entry in coverage(refit.boat)}
    others = [entry.edition for entry in applied(refit.boat) if not entry.binding]
    compared = {(entry.title, entry.edition): entry.binds for entry in others}
    mixed = bool(compared)
    rows = []
    for document, edition, tally in counts(refit.findings):
        name = f"rules:{document}:{edition}"
        extent = covered.get((document, edition))
        clauses = (None,) * 3 if extent is None else (extent.checked, extent.not_computable, extent.not_read)
        heads = ("checked", "not computable", "not read")
        binds = compared.get((document, edition))
        standing = words.BINDS if binds is None else words.COMPARED.format(binds=binds)
        own_findings = [entry for entry in refit.findings if (entry.document, entry.edition) == (document, edition)]
        would_fail = sum(entry.would == "fail" for entry in own_findings)
        rows.append((
            Cell(document, f"{name}:document"),
            Cell("" if edition in _NO_EDITION else edition, f"{name}:edition"),
            *(Cell(str(tally[verdict]), f"{name}:{verdict}") for verdict in ORDER[:3]),
            Cell(str(would_fail), f"{name}:would fail"),
            *(Cell(str(tally[verdict]), f"{name}:{verdict}") for verdict in ORDER[3:]),
            *(
                Cell("" if part is None else str(len(part)), f"{name}:{head}")
                for head, part in zip(heads, clauses, strict=True)
            ),
            *((Cell(""), Cell(standing, f"{name}:standing")) if mixed else ()),
        ))  # fmt: skip
    columns = (
        ListColumn("DOCUMENT", 36), ListColumn("EDITION", 19),
        *(ListColumn(head, share, "right") for head, share in words.SUMMARY_HEADS),
    )  # fmt: skip
    under = (ListColumn("", 36), ListColumn("", 154)) if mixed else ()
    return RuledList(
        words.BANDS["summary"], columns, tuple(rows), "rules:summary", groups=words.SUMMARY_GROUPS, under=under
    )


def beyond(refit: Refit) -> RuledList:
    """Return the clauses with a place beyond their limit that is not a failure, and the reason."""
    fmt = numbers(refit.boat)
    by_clause: dict[tuple[str, str, str, str], list[Finding]] = {}
    for finding in refit.findings:
        if finding.binding and finding.edition not in _NO_EDITION:
            kind = (finding.document, finding.edition, finding.clause, finding.subject)
            by_clause.setdefault(kind, []).append(finding)
    rows = []
    for (document, _, clause, _), group in by_clause.items():
        over = [
            finding
            for finding in group
            if finding.verdict in ("notice", "cannot tell") and (finding.margin or 0.0) < 0.0
        ]
        if over:
            tag = f"beyond:{document}:{clause}"
            why = Counter(_why_no_failure(one, fmt) for one in over)
            one_only = len(why) == 1
            rows.append((
                Cell(with_document(over[0]), f"{tag}:clause"),
                Cell(words.OF_PLACES.format(some=len(over), all=len(group)), f"{tag}:places"),
                Cell(
                    "; ".join(
                        text if one_only else words.SOME_WHY.format(some=some, why=text) for text, some in why.items()
                    ),
                    f"{tag}:why",
                ),
            ))  # fmt: skip
    columns = (ListColumn("DOCUMENT AND CLAUSE", 62), ListColumn("PLACES", 18), ListColumn("WHY", 88))
    return RuledList(words.BANDS["beyond"], columns, tuple(rows), "beyond")


def _why_no_failure(finding: Finding, fmt: LengthFormat) -> str:
    """Return why a passed limit makes no failure; a note of what is not determined ends with the reason."""
    if finding.verdict == "cannot tell":
        reasons = [note for note in finding.notes if not note.code.startswith("strength.choices")]
        return in_own_units(reasons[-1:], fmt)
    if finding.sure.startswith("memory"):
        return words.WHY_MEMORY
    return words.WHY_NOTICE


def finding_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the findings of each document applied to the boat, then those for comparison in one list."""
    fmt = numbers(refit.boat)
    lines = digest(refit.findings)
    numbered = {finding.id: item.number for item in open_items(refit) for finding in item.findings}
    waived = any(finding.waivers for finding in refit.findings)
    lists = []
    for document, edition, tally in counts(refit.findings):
        own = [
            line
            for line in lines
            if line.finding.binding and (line.finding.document, line.finding.edition) == (document, edition)
        ]
        if own:
            counted = ", ".join(
                f"{tally[verdict]} {words.VERDICT_WORDS[verdict].lower()}" for verdict in ORDER if tally[verdict]
            )
            named = words.EDITION.format(edition=edition) if edition[:1].isdigit() else edition
            title = f"{document}, {named}: {counted}"
            lists.append(_findings(title, own, fmt, waived, compared=False, numbered=numbered))
    others = [line for line in lines if not line.finding.binding]
    if others:
        lists.append(_findings(words.BANDS["comparison"], others, fmt, waived, compared=True, numbered=numbered))
    return tuple(lists)


def _findings(
    title: str, lines: list[Line], fmt: LengthFormat, waived: bool, compared: bool, numbered: Mapping[str, int]
) -> RuledList:
    verdict, clause, number, unit = (26, 44, 19, 24) if fmt.unit != "mm" else (24, 44, 17, 14)
    columns = (
        ListColumn("VERDICT", verdict), ListColumn("DOCUMENT AND CLAUSE" if compared else "CLAUSE", clause),
        ListColumn("PLACE", 22), ListColumn("QUANTITY", 44), ListColumn("VALUE", number, "right"),
        ListColumn("LIMIT", number, "right"), ListColumn("MARGIN", number, "right"), ListColumn("UNIT", unit),
        ListColumn("PLACES", 14, "right"),
    )  # fmt: skip
    under = (ListColumn("", verdict), ListColumn("", clause + 22), ListColumn("", 76 if waived else 116))
    rows = tuple(_row(line, fmt, waived, compared, numbered) for line in lines)
    tag = "rules:comparison" if compared else f"rules:{lines[0].finding.document}"
    return RuledList(title, columns, rows, tag, under=(*under, *((ListColumn("", 40),) if waived else ())))


def _row(line: Line, fmt: LengthFormat, waived: bool, compared: bool, numbered: Mapping[str, int]) -> tuple[Cell, ...]:
    finding, tag = line.finding, f"rule:{line.finding.id}"
    # In both units of an inch boat a figure goes on in a second line.
    measured, limit, margin, unit = (text.replace(KEPT, " ") for text in figures(finding, fmt))
    note = ". ".join(part for part in (notes_in_own_units(finding, fmt), "" if compared else _also(line)) if part)
    return (
        Cell(verdict_words(finding, numbered), f"{tag}:verdict"),
        Cell(
            with_document(finding) if compared else clause_words(finding.clause, finding.subject), f"{tag}:clause"
        ),
        Cell(in_own_units(place_of(finding), fmt), f"{tag}:place"),
        Cell(in_own_units(finding.quantity, fmt), f"{tag}:quantity"),
        Cell(measured, f"{tag}:measured"),
        Cell(limit, f"{tag}:limit"),
        Cell(margin, f"{tag}:margin"),
        Cell(unit, f"{tag}:unit"),
        Cell(_places(line, compared), f"{tag}:count"),
        Cell(""),
        Cell("; ".join(part for part in (worded(finding.printed), finding.sure) if part), f"{tag}:sure"),
        Cell(note, f"{tag}:note"),
        *((Cell(in_own_units(finding.waivers, fmt), f"{tag}:waiver"),) if waived else ()),
    )  # fmt: skip


def verdict_words(finding: Finding, numbered: Mapping[str, int]) -> str:
    """Return a verdict as text: for a notice with the verdict that a certain or binding limit would give.

    Args:
        finding: the finding.
        numbered: the number of the open item of each finding that has one, by the finding's id.
    """
    text = words.VERDICT_WORDS[finding.verdict]
    if finding.verdict == "cannot tell" and finding.id in numbered:
        text = words.OPEN_ITEM.format(number=numbered[finding.id])
    text = text if finding.would is None else f"{text}: {words.WOULD_WORDS[finding.would]}"
    return words.MARGINAL.format(verdict=text) if finding.marginal else text


def _places(line: Line, compared: bool) -> str:
    if compared and line.would_fail:
        return words.OF_PLACES.format(some=line.would_fail, all=line.count)
    return str(line.count)


def _also(line: Line) -> str:
    """Return the other places of a row that does not pass, so that all are listed."""
    if not line.others or line.finding.verdict in ("pass", "not applicable"):
        return ""
    return words.ALSO.format(places=places_words([place_of(one) for one in line.others]))


def place_of(finding: Finding) -> Remark:
    """Return the place that a finding speaks of; as its id names it where it has no other."""
    return finding.where or Remark("place.named", name=finding.id.rpartition(":")[2])


def pull_tests(refit: Refit) -> RuledList:
    """Return the pull tests that would show what calculation does not, with boxes for the set found on board."""
    fmt = numbers(refit.boat)
    rows = []
    for finding in refit.findings:
        for note in finding.notes:
            if note.code == "strength.choices" and finding.binding:
                tag = f"{PULL}{finding.id}"
                force = Remark("pull.at_top", pull_n=note["pull_n"])
                rows.append((
                    Cell(finding.post or "", f"{tag}:post"),
                    Cell(with_document(finding), f"{tag}:clause"),
                    Cell(in_own_units(force, fmt), f"{tag}:force"),
                    Cell(str(note["way"]), f"{tag}:way"),
                    Cell(words.NO_SET, f"{tag}:set"),
                    Cell("", f"{tag}:found"),
                    Cell("", f"{tag}:by"),
                ))  # fmt: skip
    shares = (14.0, 44.0, 24.0, 28.0, 22.0, 16.0, 20.0)
    columns = tuple(ListColumn(head, share) for head, share in zip(words.PULL_HEADS, shares, strict=True))
    return RuledList(words.BANDS["pulls"], columns, tuple(rows), "rules:pulls", minimum=7.0)


def items_list(refit: Refit) -> RuledList:
    """Return every open item with its number, what is wrong and who closes it; the cover lists the first of them."""
    fmt = numbers(refit.boat)
    rows = tuple(
        (
            Cell(str(item.number), f"open:{item.number}", weight="semibold"),
            Cell(capitalised(in_own_units(item.cause, fmt)), f"open:{item.number}:cause"),
            Cell(item.who, f"open:{item.number}:who"),
        )
        for item in open_items(refit)
    )
    columns = (ListColumn("NO.", 12, "right"), ListColumn("WHAT IS WRONG", 130), ListColumn("BY", 26))
    return RuledList(words.BANDS["items"], columns, rows, "open-items")


def coverage_list(refit: Refit) -> RuledList:
    """Return for each edition the clauses checked, not computable and not read."""
    rows = []
    for entry in coverage(refit.boat):
        tag = f"coverage:{entry.document}:{entry.edition}"
        edition = "" if entry.edition in _NO_EDITION else f", {entry.edition}"
        rows.append((
            Cell(f"{entry.document}{edition}", f"{tag}:document"),
            Cell(_joined(clause_words(clause, title) for clause, title in entry.titled), f"{tag}:checked"),
            Cell(
                _joined(f"{_number_or_name(clause)} ({worded(why)})" for clause, why in entry.not_computable),
                f"{tag}:not computable",
            ),
            Cell(_joined(clause_words(clause, title) for clause, title in entry.not_read), f"{tag}:not read"),
        ))  # fmt: skip
    columns = (
        ListColumn("DOCUMENT, EDITION", 30), ListColumn("CHECKED", 62),
        ListColumn("NOT COMPUTABLE", 46), ListColumn("NOT READ", 30),
    )  # fmt: skip
    return RuledList(words.BANDS["coverage"], columns, tuple(rows), "coverage")


def _number_or_name(clause: str) -> str:
    return clause_number(clause) or clause


def _joined(parts: Iterable[str]) -> str:
    return "; ".join(parts)
