"""Items of posts, rail eyes and spans: heights, openings, tilt, distance from the deck edge, spacing."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from geom.open_items.causes import support
from geom.open_items.group import Draft, Group, Maker, limit, measured, some_of
from geom.placement.placed import Placed
from geom.refit import Refit
from geom.remark import Remark
from geom.rules.finding import ROUNDING, Finding
from geom.rules.measures.supports import span_lengths


def _low(refit: Refit, group: Group) -> Draft:
    worst = _most_off(group)
    has, needs = measured(worst), limit(worst)
    at = some_of(group.places, _things(group))
    return Draft(Remark("item.too_low", at=at, short_mm=needs - has, has_mm=has, needs_mm=needs), group.places)


def _high(refit: Refit, group: Group) -> Draft:
    worst = _most_off(group)
    has, most = measured(worst), limit(worst)
    at = some_of(group.places, _things(group))
    return Draft(Remark("item.too_high", at=at, over_mm=has - most, has_mm=has, max_mm=most), group.places)


def _open(refit: Refit, group: Group) -> Draft:
    worst = _most_off(group)
    has, most = measured(worst), limit(worst)
    at = some_of(group.places, _things(group))
    return Draft(Remark("item.too_open", at=at, has_mm=has, max_mm=most), group.places)


def _tilt(refit: Refit, group: Group) -> Draft:
    post = max(group.places, key=lambda place: refit.placed.posts[place].tilt)
    tilt = refit.placed.posts[post].tilt
    return Draft(Remark("item.tilt", at=some_of(group.places, "posts"), tilt_rad=tilt), group.places)


def _base(refit: Refit, group: Group) -> Draft:
    worst = _most_off(group)
    at, off = some_of(group.places, "posts"), measured(worst)
    if off < limit(worst) and off < 0.0:
        return Draft(Remark("item.base_outboard", at=at, off_mm=-off), group.places)
    return Draft(Remark("item.base_inboard", at=at, off_mm=off, max_mm=limit(worst)), group.places)


def _wide(refit: Refit, group: Group) -> Draft:
    worst = _most_off(group)
    wide = wide_spans(refit.placed, group.findings)
    spans = tuple(Remark("place.between", places=span) for span in wide)
    at = spans[0] if len(spans) == 1 else Remark("item.many", count=len(spans), what="spans")
    title = Remark("item.span_wide", at=at, has_mm=measured(worst), max_mm=limit(worst))
    return Draft(title, tuple(dict.fromkeys(name for span in wide for name in span)))


def wide_spans(placed: Placed, findings: Iterable[Finding]) -> dict[tuple[str, str], float]:
    """Return the spans wider than the limits of findings, of lines one above the other once.

    Args:
        placed: the boat in space.
        findings: of the widest span of a run each.

    Returns:
        The supports of each span, without the level, with its length over the limit (dimensionless).
    """
    found: dict[tuple[str, str], float] = {}
    for finding in findings:
        if finding.run is None or finding.limit is None:
            continue
        run = placed.runs[finding.run]
        for names, length in zip(pairwise(run.names), span_lengths(placed, run), strict=True):
            if length > finding.limit + ROUNDING:
                start, end = (support(name) for name in names)
                found[start, end] = max(length / finding.limit, found.get((start, end), 0.0))
    return found


def _order(refit: Refit, group: Group) -> Draft:
    return Draft(Remark("item.hole_order", at=some_of(group.places, "posts")), group.places)


def _most_off(group: Group) -> Finding:
    """Return the finding with the smallest margin."""
    return min(group.findings, key=lambda finding: 0.0 if finding.margin is None else finding.margin)


def _things(group: Group) -> str:
    return {"post": "posts", "eye": "rail_eyes", "span": "runs"}[group.name.partition(".")[0]]


MAKERS: dict[str, Maker] = {
    "post.low": _low,
    "post.high": _high,
    "post.open": _open,
    "post.tilt": _tilt,
    "post.base": _base,
    "eye.low": _low,
    "eye.high": _high,
    "eye.open": _open,
    "span.low": _low,
    "span.high": _high,
    "span.open": _open,
    "span.wide": _wide,
    "hole.order": _order,
}
