"""An open item: one thing to do before the boat is finished, with the findings that it settles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from geom.frozen import frozen
from geom.remark import Remark
from geom.rules.finding import Finding

# `stop`: do not cut, drill or sail on it; `fails`: a rule or a strength; `state`: a fact to put into the boat file.
Kind = Literal["stop", "fails", "decide", "measure", "state"]
KINDS: tuple[Kind, ...] = ("stop", "fails", "decide", "measure", "state")
Who = Literal["designer", "rigger", "fabricator", "surveyor", "owner"]


@frozen
class Entry:
    """A line to add to the boat file: the place it belongs under, and the line itself, with `...` for the value.

    `names` are the parts of the boat that it is about, `key` the key of its value below them: `thimble width`.
    """

    under: str
    line: str
    names: tuple[str, ...] = ()
    key: str = ""


def entry_of(within: str, names: tuple[str, ...], line: str, inner: str = "") -> Entry:
    """Return a line that belongs under parts of the boat: under `runs, S-F-U: start`.

    Args:
        within: the key of their list in the boat file.
        names: in that list.
        line: with `...` for the value.
        inner: the key of each of them that the line goes under.
    """
    place, key = f"{within}, {', '.join(names)}", line.partition(":")[0]
    if not inner:
        return Entry(place, line, names, key)
    return Entry(f"{place}: {inner}", line, names, f"{inner} {key}")


@dataclass(frozen=True)
class Change:
    """One changed value of the boat file: its dotted key, the value as it stands, and the new one, with units."""

    key: str
    from_: str
    to: str


@frozen
class Choice:
    """One way to close an item: what it is, its figures, and what is still to be checked."""

    what: Remark
    figures: Remark | None = None
    to_check: Remark | None = None


@frozen
class OpenItem:
    """One cause with all its findings.

    `name` is the name of the cause, `cause` its code with values, whose sentence is the title. `places` are the ids
    concerned. `findings` that fail or are not determined belong to this item only. `entries` are the lines that the
    boat file lacks.
    """

    number: int
    name: str
    kind: Kind
    who: Who
    cause: Remark
    places: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
    choices: tuple[Choice, ...] = ()
    entries: tuple[Entry, ...] = ()
    sheets: tuple[str, ...] = ()

    @property
    def settles(self) -> int:
        """The number of its findings that fail or are not determined."""
        return sum(finding.verdict in ("fail", "cannot tell") for finding in self.findings)

    @property
    def why(self) -> tuple[Remark, ...]:
        """Document, clause and place of each of its findings, once for each document and clause."""
        kinds = dict.fromkeys((finding.document, finding.clause, finding.subject) for finding in self.findings)
        return tuple(
            Remark(
                "item.why",
                document=document,
                clause=clause,
                subject=subject,
                count=sum((one.document, one.clause) == (document, clause) for one in self.findings),
            )
            for document, clause, subject in kinds
        )
