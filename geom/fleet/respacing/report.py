"""What a new spacing is, for the terminal and as plain data."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

from geom.fleet.respacing import Layout, Respacing
from geom.fleet.respacing.layout import LayoutPost
from geom.fleet.respacing.spans import SpanOfLayout
from geom.remark import Remark
from geom.tables import Table
from geom.tables.field import field
from geom.tables.table import column
from geom.words import worded
from geom.words.english_respacing import RESPACE_TABLE

# Decimals of figures in plain data, as in check.json.
_DECIMALS = 6
_POST = "id side x y z was_x state"
_SPAN = "run from_ to length"


def rests_on(found: Respacing) -> Iterator[Remark]:
    """Yield the limit that layouts keep, the posts that stay and why, and what is assumed."""
    limit = found.limit
    assert limit.limit is not None
    yield Remark("respace.limit", limit_mm=limit.limit, document=limit.document, clause=limit.clause)
    for why in dict.fromkeys(one.why for one in found.fixed):
        yield Remark("respace.stays", why=why, posts=tuple(one.post for one in found.fixed if one.why == why))
    yield from found.assumes


def figures_of(before: Respacing, layout: Layout) -> Iterator[Remark]:
    """Yield the chief figures of a layout, and what it takes out of the file."""
    widest, narrowest = layout.widest.length, layout.narrowest.length
    count = len(layout.posts)
    if count == 1:
        yield Remark("respace.summary_one", widest_mm=widest, narrowest_mm=narrowest)
    else:
        yield Remark("respace.summary", count=float(count), widest_mm=widest, narrowest_mm=narrowest)
    if layout.turn is not None and layout.turn_at is not None:
        yield Remark("respace.turned", turn_rad=layout.turn, hole=layout.turn_at)
    if layout.posts_out:
        yield Remark("respace.posts_out", posts=layout.posts_out)
    if layout.tapes_out:
        yield Remark("respace.tapes_out", tapes=layout.tapes_out)
    if layout.trials_out:
        yield Remark("respace.trials_out", holes=layout.trials_out)
    failing = {one.id for one in layout.refit.findings if one.verdict == "fail"}
    known = {one.id for one in before.refit.findings if one.verdict == "fail"}
    yield Remark("respace.failing", failing=float(len(failing)), before=float(len(known)))


def posts_table(layout: Layout) -> Table:
    """Return where the placed posts of a layout stand."""
    of = partial(column, LayoutPost)
    columns = (
        of("id", RESPACE_TABLE["post"]),
        of("x", RESPACE_TABLE["x"], "fine length"),
        of("y", RESPACE_TABLE["y"], "fine length"),
        of("z", RESPACE_TABLE["z"], "fine length"),
        of("was_x", RESPACE_TABLE["was"], "fine length"),
        of("state", RESPACE_TABLE["state"]),
    )
    return Table("respaced-posts", RESPACE_TABLE["posts"], columns, layout.posts, tuple(one.id for one in layout.posts))


def spans_table(layout: Layout) -> Table:
    """Return the spans of a layout between the supports that stay."""
    of = partial(column, SpanOfLayout)
    columns = (
        of("run", RESPACE_TABLE["run"]),
        of("from_", RESPACE_TABLE["from"]),
        of("to", RESPACE_TABLE["to"]),
        of("length", RESPACE_TABLE["span"]),
    )
    ids = tuple(f"{one.run}:{one.from_}" for one in layout.spans)
    return Table("respaced-spans", RESPACE_TABLE["spans"], columns, layout.spans, ids)


def plain(found: Respacing, files: list[Path]) -> dict[str, Any]:
    """Return a new spacing as plain mappings, lists, texts and numbers, whose keys carry the units.

    Args:
        found: the layouts.
        files: the boat file of each.
    """
    return {
        "format": 1,
        "boat": found.refit.boat.boat.name,
        "data_sha256": found.refit.loaded.data_sha256,
        "limit_mm": found.limit.limit,
        "limit_of": found.limit.id,
        "fixed": [_plain(one, "post why") for one in found.fixed],
        "assumes": [worded(one) for one in found.assumes],
        "layouts": [_layout(one, file) for one, file in zip(found.layouts, files, strict=True)],
    }


def _layout(layout: Layout, file: Path) -> dict[str, Any]:
    shown = (
        "best widest_span=widest.length narrowest_span=narrowest.length largest_turn=turn largest_turn_at=turn_at "
        "posts_out tapes_out trials_out"
    )
    return {
        "file": file.name,
        **_plain(layout, shown),
        "posts": [_plain(one, _POST) for one in layout.posts],
        "spans": [_plain(one, _SPAN) for one in layout.spans],
    }


def _plain(result: Any, paths: str) -> dict[str, Any]:
    kind: Any = type(result)
    return {one.key: _value(one.read(result)) for one in (field(kind, path) for path in paths.split())}


def _value(value: Any) -> Any:
    if isinstance(value, Remark):
        return worded(value)
    if isinstance(value, tuple):
        return [_value(one) for one in value]
    return round(value, _DECIMALS) + 0.0 if isinstance(value, float) else value
