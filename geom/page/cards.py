"""What stands together on the page: an open item, a run, a stanchion, each with its sheets and open items."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from geom.frozen import cached_property
from geom.open_items import open_items
from geom.open_items.concerns import held_posts, of_run
from geom.page.drawings import Drawing
from geom.page.listed import ListedTable, listed
from geom.page.strip import Strip, strip
from geom.page.value import Value
from geom.refit import Refit
from geom.rigging.reel import Heading
from geom.tables import lines
from geom.words.english import HEADINGS

# Who first: a rigger looks for the run on the sheet of its line, a fabricator for the post on its own.
_RUN_SHEETS, _POST_SHEETS = ("R",), ("F1", "F2", "F3", "F4", "G4")


@dataclass(frozen=True)
class ItemCard:
    """One open item and the sheets that flag it."""

    item: Value
    sheets: tuple[Drawing, ...]

    @property
    def number(self) -> int:
        """Its number."""
        return int(self.item.number.raw)

    @property
    def digest(self) -> str:
        """A hash of what it says, without its rank: what is ticked belongs to it."""
        return _digest({key: value for key, value in self.item.raw.items() if key != "number"})


@dataclass(frozen=True)
class RunCard:
    """One run: its values, whether it is rope, what heads its length, adjusters by name, tables, sheets, open items.

    `before` are the runs on hold that may become one piece with it, to be decided before it is cut.
    """

    run: Value
    rope: bool
    heading: Heading
    tension: Value
    adjusters: tuple[str, ...]
    splices: ListedTable
    checks: ListedTable
    sheets: tuple[Drawing, ...]
    items: tuple[int, ...]
    before: tuple[str, ...]

    @property
    def name(self) -> str:
        """The id of the run."""
        return str(self.run.id)

    @property
    def head(self) -> Value:
        """The length that heads the run; no value where it is on hold."""
        return self.run.from_reel_mm if self.rope else self.run.cut_mm

    @property
    def label(self) -> str:
        """What the length that heads the run is, in words."""
        return HEADINGS[self.heading]

    @property
    def off_reel(self) -> Value | None:
        """The length off the reel of wire that is cut to its length on board; None of other lines."""
        return self.run.work.reel.from_reel_mm if self.heading == "final cut" and not self.held else None

    @property
    def held(self) -> bool:
        """Whether the run is on hold."""
        return not self.head

    @cached_property
    def strip(self) -> Strip:
        """The marks along the finished line."""
        return strip(self.run)

    @cached_property
    def digest(self) -> str:
        """A hash of the values of the run: entries belong to them."""
        return _digest([self.run.raw, self.tension.raw])


@dataclass(frozen=True)
class PostCard:
    """One stanchion: its values, those of its holes and its load at rest, sheets, open items, whether it is on hold."""

    post: Value
    holes: tuple[Value, ...]
    load: Value | None
    sheets: tuple[Drawing, ...]
    items: tuple[int, ...]
    held: bool

    @property
    def name(self) -> str:
        """The id of the stanchion."""
        return str(self.post.id)


@dataclass(frozen=True)
class PushCard:
    """The push test of one span: its values, the supports it is between, whether its line is on hold."""

    push: Value
    start: str
    end: str
    held: bool


@dataclass(frozen=True)
class TensionCard:
    """The tensions of one run, whether it is on hold, and the push test that governs it; None where there is none."""

    tension: Value
    held: bool
    push: PushCard | None

    @property
    def name(self) -> str:
        """The id of the run."""
        return str(self.tension.run)


def push_cards(check: Value) -> tuple[PushCard, ...]:
    """Return the push test of every span, run by run.

    Args:
        check: the whole of check.json.
    """
    runs = {str(run.id): run for run in check.runs}
    cards = []
    for push in check.loads.pushes:
        run = runs[str(push.run)]
        supports = (str(run["from"]), *map(str, run.through), str(run.to))
        cards.append(PushCard(push, supports[push.span.raw - 1], supports[push.span.raw], _held(run)))
    return tuple(cards)


def tension_cards(check: Value) -> tuple[TensionCard, ...]:
    """Return the tensions of every run.

    Args:
        check: the whole of check.json.
    """
    pushes = {(card.push.run.raw, card.push.span.raw): card for card in push_cards(check)}
    held = {str(run.id): _held(run) for run in check.runs}
    return tuple(
        TensionCard(one, held[str(one.run)], pushes.get((one.run.raw, one.test_span.raw)))
        for one in check.loads.set_tensions
    )


def _held(run: Value) -> bool:
    return not run.cut_mm


def _digest(values: object) -> str:
    data = json.dumps(values, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(data.encode("utf-8")).hexdigest()[:16]


def item_cards(check: Value, drawings: Sequence[Drawing]) -> tuple[ItemCard, ...]:
    """Return the open items in rank.

    Args:
        check: the whole of check.json.
        drawings: the sheets on the page.
    """
    flagged = {drawing.name: drawing.items for drawing in drawings}
    return tuple(
        ItemCard(item, tuple(one for one in drawings if item.number.raw in flagged[one.name] and one.number != "G1"))
        for item in check.open_items
    )


def run_cards(refit: Refit, check: Value, drawings: Sequence[Drawing]) -> tuple[RunCard, ...]:
    """Return the runs in the order of the boat file.

    Args:
        refit: the calculated boat.
        check: the whole of check.json.
        drawings: the sheets on the page.
    """
    tensions = {str(one.run): one for one in check.loads.set_tensions}
    splices, checks, items = lines.splices(refit), lines.checks(refit), open_items(refit)
    cards = []
    for run in check.runs:
        name = str(run.id)
        fittings = [str(one.fitting) for one in run.work.settings]
        ends = [str(one.end) for one in run.work.settings]
        adjusters = tuple(
            fitting if fittings.count(fitting) == 1 else f"{fitting} {end}"
            for fitting, end in zip(fittings, ends, strict=True)
        )
        ours = _of_run(name)
        where = {"start": str(run["from"]), "finish": str(run.to)}
        cards.append(
            RunCard(
                run=run,
                rope=refit.work.runs[name].rope,
                heading=refit.work.runs[name].heading,
                tension=tensions[name],
                adjusters=adjusters,
                splices=listed(splices, ours, leave=("run", "distance_in"), ends=where),
                checks=listed(checks, ours, leave=("run",)),
                sheets=_sheets(drawings, name, _RUN_SHEETS),
                items=tuple(item.number for item in of_run(refit, name, items)),
                before=tuple(
                    str(held.id) for held in check.runs if any(one.joins.raw == name for one in held.work.alternatives)
                ),
            )
        )
    return tuple(cards)


def post_cards(refit: Refit, check: Value, drawings: Sequence[Drawing]) -> tuple[PostCard, ...]:
    """Return the stanchions in the order of the boat file.

    Args:
        refit: the calculated boat.
        check: the whole of check.json.
        drawings: the sheets on the page.
    """
    loads = {str(one.id): one for one in check.loads.posts}
    held = held_posts(refit, open_items(refit))
    cards = []
    for post in check.posts:
        name = str(post.id)
        holes = tuple(hole for hole in check.holes if str(hole.post) == name)
        ids = {name, *(str(hole.id) for hole in holes)}
        sheets = _sheets(drawings, name, _POST_SHEETS)
        cards.append(PostCard(post, holes, loads.get(name), sheets, _items(check, ids), name in held))
    return tuple(cards)


def _of_run(name: str) -> Callable[[str], bool]:
    return lambda row: row.rpartition(":")[0] == name


def _sheets(drawings: Sequence[Drawing], place: str, numbers: tuple[str, ...]) -> tuple[Drawing, ...]:
    return tuple(one for one in drawings if one.number.startswith(numbers) and one.shows(place))


def _items(check: Value, places: set[str]) -> tuple[int, ...]:
    """Return the open items of the stanchions' sheets that name a place."""
    items = (item for item in check.open_items if "stanchions" in item.sheets.raw)
    return tuple(item.number.raw for item in items if places & set(item.places.raw))
