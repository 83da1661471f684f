"""The item of bought parts whose sizes the boat file does not state: what the order list and the sheets call TBC."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from geom.open_items.group import Draft, once
from geom.open_items.item import Entry, OpenItem, entry_of
from geom.placement.line_ends import run_end
from geom.purchasing.parts_list import parts_list
from geom.refit import Refit
from geom.remark import Remark


def parts(refit: Refit, stated: Iterable[Entry]) -> Iterator[Draft]:
    """Yield the item of what is to be found out of fittings and terminals, without what other items ask for.

    Args:
        refit: the calculated boat.
        stated: lines that the other items ask for.
    """
    known = tuple(stated)
    lacking = {
        name: keys
        for name, found in _missing(refit).items()
        if (keys := tuple(key for key in found if not any(asks(entry, name, key) for entry in known)))
    }
    if not lacking:
        return
    entries = tuple(_entry(refit, name, key) for name, keys in lacking.items() for key in keys)
    # The title names the part, or several alike, of which most is to be found out.
    alike: dict[tuple[str, ...], list[str]] = {}
    for name, keys in lacking.items():
        alike.setdefault(keys, []).append(name)
    keys = max(alike, key=len)
    what = Remark("parts.lack", keys=keys, parts=tuple(alike[keys]))
    more = len(entries) - len(keys) * len(alike[keys])
    title = Remark("item.parts", what=Remark("parts.more", first=what, more=more) if more else what)
    yield Draft(title, tuple(lacking), entries=entries)


def asks(entry: Entry, name: str, key: str) -> bool:
    """Return whether a line of the boat file states one value of one part.

    Args:
        entry: the line.
        name: of the part in the boat file.
        key: of the value, `width` or `thimble width`.
    """
    return entry.key == key and name in entry.names


def asking(items: Iterable[OpenItem], name: str, keys: Iterable[str]) -> tuple[int, ...]:
    """Return the numbers of the open items that ask for one of some values of a part.

    Args:
        items: the open items.
        name: of the part in the boat file.
        keys: of the values.
    """
    wanted = tuple(keys)
    return tuple(
        item.number for item in items if any(asks(entry, name, key) for entry in item.entries for key in wanted)
    )


def _entry(refit: Refit, name: str, key: str) -> Entry:
    *inner, last = key.split(" ")
    return entry_of("fittings" if name in refit.boat.fittings else "ends", (name,), f"{last}: ...", *inner)


def _missing(refit: Refit) -> dict[str, tuple[str, ...]]:
    """Return what is to be found out of each part at the end of a line, by its name in the boat file."""
    found: dict[str, tuple[str, ...]] = {}
    for row in parts_list(refit.boat, refit.placed.runs, frozenset()):
        for name_of_run, where in row.ends:
            # A thimble has its size at the end that it is in.
            thimble = row.part == "thimble"
            name = run_end(refit.placed.runs[name_of_run], where).end if thimble else row.part
            keys = (f"thimble {key}" if thimble else key for key in row.missing)
            found[name] = once((*found.get(name, ()), *keys))
    for run in refit.placed.runs.values():
        for end in refit.work.runs[run.id].wire_ends:
            found[end.name] = once((*found.get(end.name, ()), *end.to_come))
    return {name: keys for name, keys in found.items() if keys}
