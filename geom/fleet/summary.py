"""The summary of a fleet: which open items are common, by kind, with counts and the boats that have them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache

from jinja2 import Environment, StrictUndefined, Template

from geom.fleet.row import Outcome
from geom.open_items.item import KINDS
from geom.render.svg import font_faces
from geom.resources import template_bytes
from geom.rules.cautions import SHEET_CAUTION
from geom.words import english_fleet as words
from geom.words import worded

# Boats named of one cause, and files named that cannot be used.
_NAMED = 20


@dataclass
class CauseCount:
    """How often one cause occurs in a fleet: items, boats, the first boats by name, the title of the first item."""

    kind: str
    cause: str
    example: str
    items: int = 0
    boats: int = 0
    files: list[str] = field(default_factory=list)

    @property
    def named(self) -> str:
        """The boats that have it, the first of them by name."""
        return _named(self.files, self.boats)


@dataclass(frozen=True)
class Summary:
    """A fleet in figures: boats, those with an item that stops the work, with none, and what cannot be used."""

    name: str
    boats: int
    stopped: int
    nothing_open: int
    refused_count: int
    refused: tuple[tuple[str, str], ...]
    causes: tuple[CauseCount, ...]

    @property
    def line(self) -> str:
        """The fleet in one sentence."""
        return words.FLEET_LINE.format(
            boats=self.boats, stopped=self.stopped, nothing_open=self.nothing_open, refused=self.refused_count
        )


def summary_of(name: str, outcomes: Iterable[Outcome]) -> Summary:
    """Return the summary of a fleet.

    Args:
        name: of the fleet.
        outcomes: of its boats, in order.
    """
    boats = stopped = nothing_open = refused_count = 0
    refused: list[tuple[str, str]] = []
    causes: dict[tuple[str, str], CauseCount] = {}
    for outcome in outcomes:
        boats += 1
        row = outcome.row
        if row.error:
            refused_count += 1
            if len(refused) < _NAMED:
                refused.append((row.file, row.error))
        if row.open_items is None:
            continue
        stopped += bool(row.stops)
        nothing_open += row.open_items == 0
        met: set[tuple[str, str]] = set()
        for item in outcome.items:
            count = causes.setdefault((item.kind, item.cause), CauseCount(item.kind, item.cause, item.title))
            count.items += 1
            if (item.kind, item.cause) not in met:
                met.add((item.kind, item.cause))
                count.boats += 1
                if len(count.files) < _NAMED:
                    count.files.append(row.file)
    order: list[str] = list(KINDS)
    ranked = sorted(causes.values(), key=lambda one: (order.index(one.kind), -one.boats, -one.items, one.cause))
    return Summary(name, boats, stopped, nothing_open, refused_count, tuple(refused), tuple(ranked))


def summary_page(summary: Summary) -> bytes:
    """Return the summary as one page (HTML) that needs no network, the same bytes for the same fleet.

    Args:
        summary: of a fleet.
    """
    page = _template().render(
        summary=summary, t=words, caution=worded(SHEET_CAUTION), more=_more, kinds=KINDS,
        style=template_bytes("fleet/summary.css").decode("utf-8"),
    )  # fmt: skip
    letters = "".join(sorted(set(page)))
    return page.replace("/* fonts */", font_faces({"regular": letters, "semibold": letters}), 1).encode("utf-8")


@cache
def _template() -> Template:
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return environment.from_string(template_bytes("fleet/summary.html.j2").decode("utf-8"))


def _named(files: Sequence[str], count: int) -> str:
    listed = ", ".join(files)
    return f"{listed} {_more(count - len(files))}".rstrip()


def _more(count: int) -> str:
    return words.FLEET_MORE.format(count=count) if count > 0 else ""
