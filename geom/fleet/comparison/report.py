"""What a revision changes, for the terminal and as plain data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from geom.fleet.comparison import Comparison
from geom.remark import Remark
from geom.tables import Table
from geom.tables.table import Column
from geom.words import worded
from geom.words.english_comparison import COMPARE_FATES, COMPARE_STATES, COMPARE_TABLE


def summary(found: Comparison) -> Iterator[Remark]:
    """Yield in a few sentences what a revision changes."""
    old, new = found.before.boat.revision, found.after.boat.revision
    yield Remark("compare.revisions", old=old.mark, old_date=old.date, new=new.mark, new_date=new.date)
    if found.same_data:
        yield Remark("compare.same_data")
        return
    again = tuple(one.number for one in found.sheets if one.state in ("changed", "new"))
    valid = tuple(one.number for one in found.sheets if one.state == "same")
    gone = tuple(one.number for one in found.sheets if one.state == "withdrawn")
    yield Remark("compare.again", sheets=again) if again else Remark("compare.none_again")
    if valid:
        yield Remark("compare.valid", sheets=valid)
    if gone:
        yield Remark("compare.withdrawn", sheets=gone)
    if found.same_mark:
        yield Remark("compare.same_mark", mark=new.mark)
    if not found.with_record:
        yield Remark("compare.no_record")
    elif not found.lost:
        yield Remark("compare.nothing_lost")


def tables(found: Comparison) -> tuple[Table, ...]:
    """Return what is lost, the sheets and papers, and the figures, each as a table."""
    head = COMPARE_TABLE
    lost = (
        Column("place", head["place"], lambda one: one.place),
        Column("fate", head["fate"], lambda one: COMPARE_FATES[one.fate]),
        Column("why", head["why"], lambda one: worded(one.why), said=lambda one: one.why),
    )
    sheets = (
        Column("sheet", head["sheet"], lambda one: one.number),
        Column("title", head["title"], lambda one: one.title),
        Column("state", head["state"], lambda one: COMPARE_STATES[one.state]),
    )
    papers = (
        Column("paper", head["paper"], lambda one: one.name),
        Column("state", head["state"], lambda one: COMPARE_STATES[one.state]),
    )
    figures: tuple[Column, ...] = (
        Column("place", head["place"], lambda one: one.place),
        Column("figure", head["figure"], lambda one: one.label),
        Column("was", head["was"], lambda one: one.before),
        Column("is", head["is"], lambda one: one.after),
    )
    if any(one.scrap for one in found.changed):
        figures = (*figures, Column("scrap", head["if_made"], lambda one: head["too_short"] if one.scrap else ""))
    items = (
        Column("state", head["item_state"], lambda one: one.place),
        Column("item", head["item"], lambda one: one.before or one.after),
    )
    of_items = tuple(one for one in found.changed if one.is_item)
    of_figures = tuple(one for one in found.changed if not one.is_item)
    return (
        Table("lost", head["lost"], lost, found.lost, tuple(one.place for one in found.lost)),
        Table("sheets", head["sheets"], sheets, found.sheets, tuple(one.name for one in found.sheets)),
        Table("papers", head["papers"], papers, found.papers, tuple(one.name for one in found.papers)),
        Table("items", head["items"], items, of_items, tuple(one.place for one in of_items)),
        Table("figures", head["figures"], figures, of_figures, tuple(one.place for one in of_figures)),
    )


def plain(found: Comparison) -> dict[str, Any]:
    """Return what a revision changes as plain mappings, lists and texts."""
    old, new = found.before.loaded.identity, found.after.loaded.identity
    return {
        "format": 1,
        "before": {"boat": old.name, "revision": old.revision, "date": old.date, "data_sha256": old.data_sha256},
        "after": {"boat": new.name, "revision": new.revision, "date": new.date, "data_sha256": new.data_sha256},
        "same_data": found.same_data,
        "sheets": [{"number": one.number, "name": one.name, "title": one.title, "state": one.state}
                   for one in found.sheets],
        "papers": [{"name": one.name, "state": one.state} for one in found.papers],
        "with_record": found.with_record,
        "made": [{"place": one.place, "fate": one.fate, "why": worded(one.why)} for one in found.lost],
        "open_items": [{"state": one.place, "item": one.before or one.after} for one in found.changed if one.is_item],
        "figures": [{"place": one.place, "figure": one.label, "was": one.before, "is": one.after, "scrap": one.scrap}
                    for one in found.changed if not one.is_item],
    }  # fmt: skip
