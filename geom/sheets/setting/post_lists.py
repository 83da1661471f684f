"""Posts under the lines as set: those that yield, that the push test may bring down, and gate posts, gate open."""

from __future__ import annotations

from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.refit import Refit
from geom.sheets.setting import text as words
from geom.sheets.setting.push_text import force_text, set_text
from geom.tables import numbers
from geom.tables.loads import PostCase, gate_cases, yielding
from geom.tables.push_cases import CollapseUnderTest, collapses_under_test
from geom.units import LengthFormat, decimal, in_unit

_ROW = 5.1


def collapse_list(refit: Refit) -> RuledList:
    """Return the spans to push on which the lower bound of collapse is under the load of the test; rows may be none."""
    fmt = numbers(refit.boat)
    force = words.FORCE[fmt.unit]
    columns = (
        ListColumn("RUN", 18), ListColumn("SPAN", 14, "right"), ListColumn("FROM", 28), ListColumn("TO", 30),
        ListColumn(f"TEST LOAD {force}", 34, "right"),
        ListColumn(f"COLLAPSE, RIGID STANCHIONS: LOWER BOUND {force}", 78, "right"),
        ListColumn(f"STANCHIONS THAT BEND: LIKELY {force}", 58, "right"), ListColumn("STANCHION", 24),
    )  # fmt: skip
    rows = tuple(_collapse_row(one, fmt) for one in collapses_under_test(refit))
    return RuledList(words.COLLAPSE.format(force=force), columns, rows, "collapse", minimum=_ROW)


def _collapse_row(found: CollapseUnderTest, fmt: LengthFormat) -> tuple[Cell, ...]:
    tag, collapses = f"collapse:{found.run}:{found.span}", found.collapses
    likely = words.NOT_DETERMINED if collapses.likely is None else force_text(collapses.likely, fmt)
    return (
        Cell(found.run),
        Cell(str(found.span)),
        Cell(found.start),
        Cell(found.end),
        Cell(force_text(found.test_load, fmt), f"{tag}:load"),
        Cell(force_text(collapses.lower, fmt), f"{tag}:lower"),
        Cell(likely, f"{tag}:likely"),
        Cell(found.post, f"{tag}:post"),
    )


def yielding_list(refit: Refit) -> RuledList:
    """Return the stanchions that yield with the lines that make them at their set tensions; rows may be none."""
    fmt = numbers(refit.boat)
    lines: dict[tuple[str, ...], list[str]] = {}
    for run in refit.placed.runs:
        if posts := yielding(refit, run):
            lines.setdefault(posts, []).append(f"{run} {set_text(refit.loads.runs[run].tensions, fmt)}")
    columns = (ListColumn("STANCHIONS", 90), ListColumn(f"LINES, SET TO {words.FORCE[fmt.unit]}", 180))
    rows = tuple(
        (Cell(", ".join(posts), f"yields:{number}:posts"), Cell("; ".join(runs), f"yields:{number}:lines"))
        for number, (posts, runs) in enumerate(lines.items(), start=1)
    )
    return RuledList(words.YIELDING, columns, rows, "yields", minimum=_ROW)


def gate_post_list(refit: Refit) -> RuledList:
    """Return the gate posts with the gate open, as built and with the brace left out; rows may be none."""
    fmt = numbers(refit.boat)
    moment, force = words.MOMENT[fmt.unit], words.FORCE[fmt.unit]
    columns = (
        ListColumn("STANCHION", 18), ListColumn("BRACE", 14), ListColumn("AT", 22), ListColumn(moment, 18, "right"),
        ListColumn("MPa", 14, "right"), ListColumn("PROOF", 18, "right"), ListColumn("PLASTIC", 20, "right"),
        ListColumn("STATE", 28), ListColumn("HOOK BETTER ON", 38), ListColumn(f"SET, {force}", 40),
    )  # fmt: skip
    rows = tuple(_gate_row(refit, case, fmt) for case in gate_cases(refit))
    return RuledList(words.GATE_POSTS, columns, rows, "gate-posts", minimum=_ROW)


def _gate_row(refit: Refit, case: PostCase, fmt: LengthFormat) -> tuple[Cell, ...]:
    post, at = case.post, case.post.governing
    (hook,) = (gate.hook for gate in refit.loads.gates if gate.gate == case.gate)
    tensions = "; ".join(f"{one.run} {set_text(one, fmt)}" for one in post.tensions)
    texts = {
        "post": post.id,
        "brace": case.brace,
        "governed_by": at.place,
        "moment": _moment(at.moment, fmt),
        "stress": decimal(at.stress, 0),
        "of_proof": _share(post.yield_utilisation),
        "of_plastic": _share(post.plastic_utilisation),
        "state": post.state,
        "hook": words.NOT_DETERMINED if hook is None else words.HOOK[hook.either].format(post=hook.post),
        "at": tensions,
    }
    return tuple(Cell(text, f"gate-post:{post.id}:{case.brace}:{key}") for key, text in texts.items())


def _share(value: float | None) -> str:
    return words.NOT_DETERMINED if value is None else decimal(value, 2)


def _moment(value: float, fmt: LengthFormat) -> str:
    """Return a moment [N mm] as text: N m, or on inch sheets lbf ft with N m in brackets."""
    metric = decimal(value / 1e3, 1)
    return metric if fmt.unit == "mm" else f"{decimal(in_unit(value, 'lbf', 'force') / 304.8, 1)} [{metric}]"
