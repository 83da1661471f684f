"""Items of facts that the boat file lacks, each with the line to add."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from geom.open_items.group import Draft, Group, Maker, limit, measured, once, some_of
from geom.open_items.item import Entry, entry_of
from geom.open_items.to_come import to_come
from geom.placement.stack import closes_gap
from geom.refit import Refit
from geom.remark import Remark

# Figures taken on board -> the line of the boat file.
_BY_HAND = ("pulpit_opening", "cockpit_opening", "toe_rail_height", "toe_rail_gap")

# Facts and parts that a title lists; of more it names the first, and the lines to add have them all.
_MOST_LISTED, _MOST_PARTS = 4, 3


def _category(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.category"), (), entries=(Entry("boat", 'rule_category: "..."'),))


def _design_category(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.design_category"), (), entries=(Entry("rules", "design_category: ..."),))


def _first_launch(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.first_launch"), (), entries=(Entry("boat", "first_launch: ..."),))


def _mast(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.mast"), (), entries=(Entry("boat", "mast_x: ..."),))


def _stiffness(refit: Refit, group: Group) -> Draft:
    lines = _lines(refit, group)
    title = Remark("item.stiffness", at=Remark("item.places", places=lines))
    return Draft(title, lines, entries=(entry_of("lines", lines, "stiffness: {ea: ... N, source: ...}"),))


def _breaking_load(refit: Refit, group: Group) -> Draft:
    lines = tuple(name for name in _lines(refit, group) if refit.boat.lines[name].breaking_load is None)
    title = Remark("item.breaking_load", at=Remark("item.places", places=lines))
    entry = entry_of("lines", lines, "breaking_load: {value: ... N, source: certificate ...}")
    return Draft(title, lines, entries=(entry,))


def _strength(refit: Refit, group: Group) -> Draft:
    """Return the item of ends and fittings in use without a strength."""
    runs = refit.placed.runs.values()
    used = [end for run in runs for end in (run.spec.start, run.spec.finish)]
    ends = once(end.end for end in used if refit.boat.ends[end.end].strength is None)
    fittings = once(
        word
        for end in used
        for word in end.fittings
        if refit.boat.fittings[word].strength is None and not _has_cord(refit, word)
    )
    parts = (*ends, *fittings)
    some = parts if len(parts) <= _MOST_PARTS else (Remark("list.and_more", first=parts[0], more=len(parts) - 1),)
    title = Remark("item.part_strength", at=Remark("item.places", places=some))
    entries = tuple(
        entry_of(key, names, "strength: {value: ... N, source: ...}")
        for key, names in (("ends", ends), ("fittings", fittings))
        if names
    )
    return Draft(title, parts, entries=entries)


def _has_cord(refit: Refit, word: str) -> bool:
    cord = refit.boat.fittings[word].cord
    return cord is not None and cord.breaking_load is not None


def _pins(refit: Refit, group: Group) -> Draft:
    """Return the item of ends whose pin or bar is not stated: what lines are made fast to, and what eyes bear on."""
    runs = group.runs
    ends = [
        end for run in runs for end in (refit.placed.runs[run].spec.start, refit.placed.runs[run].spec.finish)
    ]  # fmt: skip
    bare = [end for end in ends if end.anchorage is None]
    loose = [end for end in ends if end.inner is not None and _lacks_pin(refit, end.inner)]
    entries = []
    if bare:
        entries.append(entry_of("runs", runs, "anchorage: {bar: ...}", "start and finish"))
    if loose:
        entries.append(entry_of("fittings", once(end.inner or "" for end in loose), "pin: ..."))
    count = sum(end in bare or end in loose for end in ends)
    return Draft(Remark("item.pins", count=count), runs, entries=tuple(entries))


def _lacks_pin(refit: Refit, fitting: str) -> bool:
    """Return whether an eye bears on a pin of a fitting that is not stated; under a lashing it bears on the cord."""
    return refit.boat.fittings[fitting].pin is None and not closes_gap(refit.boat.fittings[fitting])


def _hand(refit: Refit, group: Group) -> Draft:
    fittings = _fittings(refit, group, lambda name: refit.boat.fittings[name].hand is None)
    title = Remark("item.thread_hand", at=Remark("item.places", places=fittings))
    return Draft(title, fittings, entries=(entry_of("fittings", fittings, "hand: ..."),))


def _thread_engaged(refit: Refit, group: Group) -> Draft:
    title = Remark("item.thread_engaged", at=Remark("item.places", places=group.runs))
    return Draft(title, group.runs, entries=(Entry("ends", "thread_engaged: ..."),))


def _range(refit: Refit, group: Group) -> Draft:
    fittings = _fittings(refit, group, lambda name: _unranged(refit, name))
    title = Remark("item.adjusting_range", at=Remark("item.places", places=fittings))
    entry = entry_of("fittings", fittings, "min: ..., max: ...", "length")
    return Draft(title, fittings, entries=(entry,) if fittings else ())


def _unranged(refit: Refit, name: str) -> bool:
    length = refit.boat.fittings[name].length
    return length.min is None or length.max is None


def _cut(refit: Refit, group: Group) -> Draft:
    runs = group.runs
    missing = [one for run in runs for one in refit.work.runs[run].lengths.missing]
    ends = once(str(one["end"]) for one in missing)
    keys = once(str(one["key"]) for one in missing)
    title = Remark("item.cut", at=some_of(runs, "runs"), keys=keys)
    return Draft(title, runs, entries=tuple(entry_of("ends", ends, f"{key}: ...") for key in keys))


def _stop(refit: Refit, group: Group) -> Draft:
    runs = group.runs
    entry = entry_of("runs", runs, "width: ..., hole: ...", "slide_on")
    return Draft(Remark("item.stop_width", at=some_of(runs, "runs")), runs, entries=(entry,))


def _thimble(refit: Refit, group: Group) -> Draft:
    runs = [refit.placed.runs[run] for run in group.runs]
    ends = once(end.end for run in runs for end in (run.spec.start, run.spec.finish))
    title = Remark("item.thimble_width", at=Remark("item.places", places=ends))
    return Draft(title, ends, entries=(entry_of("ends", ends, "width: ...", "thimble"),))


def _stainless(refit: Refit, group: Group) -> Draft:
    lines = _lines(refit, group)
    title = Remark("item.stainless", at=Remark("item.places", places=lines))
    return Draft(title, lines, entries=(entry_of("lines", lines, "material: ..."),))


def _over_coating(refit: Refit, group: Group) -> Draft:
    lines = once(refit.placed.runs[run].spec.line for run in group.runs)
    title = Remark("item.over_coating", at=Remark("item.places", places=lines))
    return Draft(title, lines, entries=(entry_of("lines", lines, "over_coating: ..."),))


def _core(refit: Refit, group: Group) -> Draft:
    lines = _lines(refit, group)
    return Draft(Remark("item.core", at=Remark("item.places", places=lines)), lines)


def _retention(refit: Refit, group: Group) -> Draft:
    bases = once(base for post in group.posts if (base := refit.placed.posts[post].spec.base) is not None)
    title = Remark("item.retention", at=Remark("item.places", places=bases))
    return Draft(title, bases, entries=(entry_of("bases", bases, "retention: ...", "socket"),))


def _proof_stress(refit: Refit, group: Group) -> Draft:
    tubes = once(refit.placed.posts[post].spec.tube for post in group.posts)
    title = Remark("item.proof_stress", at=Remark("item.places", places=tubes))
    entry = entry_of("tubes", tubes, "proof_stress: ... MPa")
    return Draft(title, tubes, entries=(entry,))


def fabrication(refit: Refit) -> Iterator[Draft]:
    """Yield the item of what a shop needs and the boat file does not state: all that the sheets call TBC."""
    found = to_come(refit)
    if found:
        what = tuple(one.what for one in found)
        if len(what) > _MOST_LISTED:
            what = (Remark("list.and_more", first=what[0], more=len(what) - 1),)
        title = Remark("item.fabrication", what=what)
        posts = {post for one in found for post in one.posts}
        places = tuple(post.id for post in refit.boat.posts if post.id in posts)
        yield Draft(title, places, entries=tuple(one.entry for one in found))


def _by_hand(refit: Refit, group: Group) -> Draft:
    keys = tuple(key for key in _BY_HAND if any(one.quantity.code == f"quantity.{key}" for one in group.findings))
    title = Remark("item.by_hand", what=tuple(Remark(f"quantity.{key}") for key in keys), max_mm=_first_limit(group))
    if len(keys) > 1:
        title = Remark("item.several_by_hand", what=tuple(Remark(f"quantity.{key}") for key in keys))
    return Draft(title, (), entries=tuple(Entry("rules, measured", f"{key}: ...") for key in keys))


def _first_limit(group: Group) -> float:
    return group.findings[0].limit or 0.0


def _over(refit: Refit, group: Group) -> Draft:
    worst = min(group.findings, key=lambda finding: finding.margin or 0.0)
    return Draft(Remark("item.over", what=worst.quantity, has_mm=measured(worst), limit_mm=limit(worst)), ())


def _lines(refit: Refit, group: Group) -> tuple[str, ...]:
    """Return the lines of the findings' runs, and those that findings name."""
    named = (str(one.where["name"]) for one in group.findings if one.where and one.where.code == "place.named")
    of_runs = (refit.placed.runs[run].spec.line for run in group.runs)
    return once((*of_runs, *(name for name in named if name in refit.boat.lines))) or once(
        run.spec.line for run in refit.placed.runs.values()
    )


def _fittings(refit: Refit, group: Group, lacking: Callable[[str], bool]) -> tuple[str, ...]:
    runs = [refit.placed.runs[run].spec for run in group.runs]
    used: Iterable[str] = (name for run in runs for end in (run.start, run.finish) for name in end.fittings)
    return once(name for name in used if lacking(name))


MAKERS: dict[str, Maker] = {
    "fact.category": _category,
    "fact.design_category": _design_category,
    "fact.first_launch": _first_launch,
    "fact.mast": _mast,
    "fact.stiffness": _stiffness,
    "fact.breaking_load": _breaking_load,
    "fact.strength": _strength,
    "fact.pins": _pins,
    "fact.hand": _hand,
    "fact.range": _range,
    "fact.thread_engaged": _thread_engaged,
    "fact.cut": _cut,
    "fact.stop": _stop,
    "fact.thimble": _thimble,
    "fact.stainless": _stainless,
    "fact.core": _core,
    "fact.over_coating": _over_coating,
    "fact.retention": _retention,
    "fact.proof_stress": _proof_stress,
    "measure.by_hand": _by_hand,
    "measure.over": _over,
}
