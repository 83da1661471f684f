"""What the rules say of a boat as ruled lists: summary, findings by document, coverage."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.applied import applied
from geom.rules.coverage import coverage
from geom.rules.digest import Line, counts, digest
from geom.rules.finding import ORDER, Finding
from geom.sheets.compliance import text as words
from geom.sheets.compliance.figures import clause_number, clause_words, figures, in_own_units, with_document
from geom.sheets.compliance.places import places_words
from geom.tables import numbers
from geom.units import LengthFormat
from geom.words import worded

# Editions that are no edition: nothing was published.
_NO_EDITION = ("no source", "common practice", "rules")


def summary(refit: Refit) -> RuledList:
    """Return the documents with their editions, how many findings have each verdict, how many clauses were checked."""
    covered = {(one.document, one.edition): one for one in coverage(refit.boat)}
    others = [one.edition for one in applied(refit.boat) if not one.binding]
    compared = {(one.title, one.edition): one.binds for one in others}
    mixed = bool(compared)
    rows = []
    for document, edition, tally in counts(refit.findings):
        name = f"rules:{document}:{edition}"
        extent = covered.get((document, edition))
        clauses = (None,) * 3 if extent is None else (extent.checked, extent.not_computable, extent.not_read)
        heads = ("checked", "not computable", "not read")
        binds = compared.get((document, edition))
        standing = words.BINDS if binds is None else words.COMPARED.format(binds=binds)
        of_it = [one for one in refit.findings if (one.document, one.edition) == (document, edition)]
        would_fail = sum(one.would == "fail" for one in of_it)
        rows.append((
            Cell(document, f"{name}:document"),
            Cell("-" if edition in _NO_EDITION else edition, f"{name}:edition"),
            *((Cell(standing, f"{name}:standing"),) if mixed else ()),
            *(Cell(str(tally[verdict]), f"{name}:{verdict}") for verdict in ORDER[:3]),
            Cell(str(would_fail), f"{name}:would fail"),
            *(Cell(str(tally[verdict]), f"{name}:{verdict}") for verdict in ORDER[3:]),
            *(
                Cell("-" if part is None else str(len(part)), f"{name}:{head}")
                for head, part in zip(heads, clauses, strict=True)
            ),
        ))  # fmt: skip
    columns = (
        ListColumn("DOCUMENT", 60), ListColumn("EDITION", 26), *((ListColumn("ASKED OF", 84),) if mixed else ()),
        *(ListColumn(verdict.upper(), 26, "right") for verdict in ORDER[:3]),
        ListColumn("OF THE NOTICES WOULD FAIL", 32, "right"),
        *(ListColumn(verdict.upper(), 28, "right") for verdict in ORDER[3:]),
        ListColumn("CLAUSES CHECKED", 34, "right"), ListColumn("NOT TO BE COMPUTED", 34, "right"),
        ListColumn("NOT READ", 22, "right"),
    )  # fmt: skip
    return RuledList(words.BANDS["summary"], columns, tuple(rows), "rules:summary")


def beyond(refit: Refit) -> RuledList:
    """Return the clauses whose limit is passed at some place although no failure is called, and why none is."""
    fmt = numbers(refit.boat)
    by_clause: dict[tuple[str, str, str, str], list[Finding]] = {}
    for finding in refit.findings:
        if finding.binding and finding.edition not in _NO_EDITION:
            kind = (finding.document, finding.edition, finding.clause, finding.subject)
            by_clause.setdefault(kind, []).append(finding)
    rows = []
    for (document, _, clause, _), found in by_clause.items():
        over = [one for one in found if one.verdict in ("notice", "cannot tell") and (one.margin or 0.0) < 0.0]
        if over:
            tag = f"beyond:{document}:{clause}"
            why = Counter(_why_no_failure(one, fmt) for one in over)
            one_only = len(why) == 1
            rows.append((
                Cell(with_document(over[0]), f"{tag}:clause"),
                Cell(words.OF_PLACES.format(some=len(over), all=len(found)), f"{tag}:places"),
                Cell(
                    "; ".join(
                        text if one_only else words.SOME_WHY.format(some=some, why=text) for text, some in why.items()
                    ),
                    f"{tag}:why",
                ),
            ))  # fmt: skip
    columns = (ListColumn("DOCUMENT AND CLAUSE", 130), ListColumn("PLACES", 40), ListColumn("WHY", 206))
    return RuledList(words.BANDS["beyond"], columns, tuple(rows), "beyond")


def _why_no_failure(finding: Finding, fmt: LengthFormat) -> str:
    """Return why a passed limit makes no failure; a note of what cannot be told ends with the reason."""
    if finding.verdict == "cannot tell":
        return in_own_units(finding.notes[-1:], fmt)
    if finding.sure.startswith("memory"):
        return words.WHY_MEMORY
    return words.WHY_NOTICE


def finding_lists(refit: Refit) -> tuple[RuledList, ...]:
    """Return the findings of each document that is put to the boat, then those made for comparison in one list."""
    fmt = numbers(refit.boat)
    lines = digest(refit.findings)
    waived = any(finding.waivers for finding in refit.findings)
    lists = []
    for document, edition, tally in counts(refit.findings):
        own = [
            line
            for line in lines
            if line.finding.binding and (line.finding.document, line.finding.edition) == (document, edition)
        ]
        if own:
            said = ", ".join(f"{tally[verdict]} {verdict}" for verdict in ORDER if tally[verdict])
            named = words.EDITION.format(edition=edition) if edition[:1].isdigit() else edition
            lists.append(_findings(f"{document}, {named}: {said}", own, fmt, waived, compared=False))
    others = [line for line in lines if not line.finding.binding]
    if others:
        lists.append(_findings(words.BANDS["comparison"], others, fmt, waived, compared=True))
    return tuple(lists)


def _findings(title: str, lines: list[Line], fmt: LengthFormat, waived: bool, compared: bool) -> RuledList:
    inches = fmt.unit != "mm"
    number = 30 if inches else 20
    note = (81 if inches else 105) - (36 if waived else 0)
    columns = (
        ListColumn("VERDICT", 27), ListColumn("DOCUMENT AND CLAUSE" if compared else "CLAUSE", 46),
        ListColumn("PLACE", 30), ListColumn("QUANTITY", 38), ListColumn("VALUE", number, "right"),
        ListColumn("LIMIT", number, "right"), ListColumn("MARGIN", number, "right"),
        ListColumn("UNIT", 16 if inches else 13), ListColumn("PLACES", 17, "right"),
        ListColumn("RULE PRINTS; SURE", 40),
        ListColumn("NOTE", note), *((ListColumn("WAIVER", 36),) if waived else ()),
    )  # fmt: skip
    rows = tuple(_row(line, fmt, waived, compared) for line in lines)
    return RuledList(title, columns, rows, f"rules:{lines[0].finding.document}:findings")


def _row(line: Line, fmt: LengthFormat, waived: bool, compared: bool) -> tuple[Cell, ...]:
    finding, tag = line.finding, f"rule:{line.finding.id}"
    measured, limit, margin, unit = figures(finding, fmt)
    note = ". ".join(part for part in (in_own_units(finding.notes, fmt), "" if compared else _also(line)) if part)
    return (
        Cell(verdict_words(finding), f"{tag}:verdict"),
        Cell(
            with_document(finding) if compared else clause_words(finding.clause, finding.subject), f"{tag}:clause"
        ),
        Cell(in_own_units(place_of(finding), fmt), f"{tag}:place"),
        Cell(in_own_units(finding.quantity, fmt) or "-", f"{tag}:quantity"),
        Cell(measured, f"{tag}:measured"),
        Cell(limit, f"{tag}:limit"),
        Cell(margin, f"{tag}:margin"),
        Cell(unit, f"{tag}:unit"),
        Cell(_places(line, compared), f"{tag}:count"),
        Cell("; ".join(part for part in (worded(finding.printed), finding.sure) if part) or "-", f"{tag}:sure"),
        Cell(note, f"{tag}:note"),
        *((Cell(in_own_units(finding.waivers, fmt), f"{tag}:waiver"),) if waived else ()),
    )  # fmt: skip


def verdict_words(finding: Finding) -> str:
    """Return a verdict as it stands on paper, with what a notice would be were its limit sure or binding."""
    said = words.VERDICT_WORDS[finding.verdict]
    return said if finding.would is None else f"{said}: {words.WOULD_WORDS[finding.would]}"


def _places(line: Line, compared: bool) -> str:
    if compared and line.would_fail:
        return words.OF_PLACES.format(some=line.would_fail, all=line.count)
    return str(line.count)


def _also(line: Line) -> str:
    """Return the other places of a row that does not pass, so that none of them is hidden."""
    if not line.others or line.finding.verdict in ("pass", "not applicable"):
        return ""
    return words.ALSO.format(places=places_words([place_of(one) for one in line.others]))


def place_of(finding: Finding) -> Remark:
    """Return the place that a finding speaks of; as its id names it where it has no other."""
    return finding.where or Remark("place.named", name=finding.id.rpartition(":")[2])


def coverage_list(refit: Refit) -> RuledList:
    """Return for each edition which clauses are checked, which cannot be computed, and which were not read."""
    rows = []
    for one in coverage(refit.boat):
        tag = f"coverage:{one.document}:{one.edition}"
        edition = "" if one.edition in _NO_EDITION else f", {one.edition}"
        rows.append((
            Cell(f"{one.document}{edition}", f"{tag}:document"),
            Cell(_joined(clause_words(clause, title) for clause, title in one.titled), f"{tag}:checked"),
            Cell(
                _joined(f"{_called(clause)} ({worded(why)})" for clause, why in one.not_computable),
                f"{tag}:not computable",
            ),
            Cell(_joined(clause_words(clause, title) for clause, title in one.not_read), f"{tag}:not read"),
        ))  # fmt: skip
    columns = (
        ListColumn("DOCUMENT, EDITION", 44), ListColumn("CHECKED", 158),
        ListColumn("NOT TO BE COMPUTED", 110), ListColumn("NOT READ", 64),
    )  # fmt: skip
    return RuledList(words.BANDS["coverage"], columns, tuple(rows), "coverage")


def _called(clause: str) -> str:
    return clause_number(clause) or clause


def _joined(parts: Iterable[str]) -> str:
    return "; ".join(parts) or "-"
