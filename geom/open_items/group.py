"""What the families of causes share: the findings of one cause, and the draft of its item."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from geom.frozen import frozen
from geom.open_items.item import Choice, Entry
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import Finding

# More places than this with one cause are one item: twelve low posts are one fault of the boat.
MAX_PLACES = 3


@frozen
class Group:
    """The findings of one cause at one place or, where many places share it, at all of them."""

    name: str
    places: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def worst(self) -> Finding:
        """The finding with the smallest margin relative to its limit; without margins, the first."""
        return min(self.findings, key=_relative)

    @property
    def runs(self) -> tuple[str, ...]:
        """The runs of its findings, each once."""
        return once(finding.run for finding in self.findings)

    @property
    def posts(self) -> tuple[str, ...]:
        """The posts of its findings, each once."""
        return once(finding.post for finding in self.findings)


def _relative(finding: Finding) -> float:
    if finding.margin is None or not finding.limit:
        return 0.0
    return finding.margin / abs(finding.limit)


@frozen
class Draft:
    """An item before it has a number: cause with its values, places, choices, and the lines that the file lacks."""

    cause: Remark
    places: tuple[str, ...]
    choices: tuple[Choice, ...] = ()
    entries: tuple[Entry, ...] = ()


Maker = Callable[[Refit, Group], Draft]


def once(names: Iterable[str | None]) -> tuple[str, ...]:
    """Return names in order, each once, without None."""
    return tuple(dict.fromkeys(name for name in names if name is not None))


def measured(finding: Finding) -> float:
    """Return the measured value of a finding that has one [unit of the finding].

    Raises:
        ValueError: it has none.
    """
    if finding.measured is None:
        raise ValueError(f"{finding.id} has no measured value")
    return finding.measured


def limit(finding: Finding) -> float:
    """Return the limit of a finding that has one [unit of the finding].

    Raises:
        ValueError: it has none.
    """
    if finding.limit is None:
        raise ValueError(f"{finding.id} has no limit")
    return finding.limit


def some_of(places: tuple[str, ...], things: str) -> Remark:
    """Return up to three places by their ids, more of them as a number: `S-S2`, or `14 posts`.

    Args:
        places: their ids.
        things: what they are, a key of the word list `things`.
    """
    if len(places) <= MAX_PLACES:
        return Remark("item.places", places=places)
    return Remark("item.many", count=len(places), what=things)
