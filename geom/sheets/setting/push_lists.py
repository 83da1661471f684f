"""The push tests as a ruled list, with its key and the rule applied."""

from __future__ import annotations

from collections.abc import Sequence

from geom.data.editions import in_force
from geom.drafting.ruling import ListColumn, RuledList
from geom.figure import Cell
from geom.refit import Refit
from geom.sheets.setting import text as words
from geom.sheets.setting.push_text import force_named, length, push_named, set_text, tension_text
from geom.tables import numbers
from geom.tables.push_cases import PushCase, forces, has_lower_lines, is_held, required_cases
from geom.units import LengthFormat

_ROW = 5.1


def push_list(refit: Refit) -> RuledList:
    """Return the push tests that the rule requires: tension needed, deflection expected, boxes for the results."""
    fmt, cases = numbers(refit.boat), required_cases(refit)
    force, unit = words.FORCE[fmt.unit], fmt.unit
    held = {case.run for case in cases if is_held(refit, case.run)}
    before = force_named(forces(refit)[1].value, fmt)
    columns = {
        "run": ListColumn("RUN", 36 if held else 15), "span": ListColumn("SPAN", 12, "right"),
        "start": ListColumn("FROM", 23),
        "end": ListColumn("TO", 26), "supports": ListColumn("SUPPORTS", 21, "right"),
        "line": ListColumn("LINE", 17, "right"), "clause": ListColumn("CLAUSE 3.14.2", 41),
        "limit": ListColumn("LIMIT", 16, "right"), "needed_most": ListColumn(f"NEEDS {force}", 21, "right"),
        "needed_before": ListColumn(f"NEEDS, AT {before}", 29, "right"),
        "needed_least": ListColumn(f"RIGID ENDS {force}", 26, "right"),
        "set_to": ListColumn(f"SET TO {force}", 22, "right"),
        "gives_least": ListColumn("DEFLECTION, MIN", 36, "right"),
        "gives_most": ListColumn("MAX", 17, "right"),
        "found": ListColumn(f"FOUND ({unit})", 24), "date": ListColumn("DATE", 20), "by": ListColumn("BY", 20),
    }  # fmt: skip
    hidden = set()
    if all_pass_slack(cases):
        hidden.add("needed_least")
    if rigid_unknown(cases):
        hidden |= {"needed_least", "gives_least"}
        columns["gives_most"] = ListColumn(words.DEFLECTION_MOST, 38, "right")
    if all(case.needed_before is None for case in cases):
        hidden.add("needed_before")
    shown = [key for key in columns if key not in hidden]
    rows = tuple(tuple(_push_row(case, fmt, case.run in held)[key] for key in shown) for case in cases)
    title = words.PUSHES.format(unit=unit, force=force, push=push_named(refit))
    return RuledList(title, tuple(columns[key] for key in shown), rows, "pushes", minimum=_ROW)


def all_pass_slack(cases: Sequence[PushCase]) -> bool:
    """Return whether every span passes without tension on rigid ends, with known permitted slack."""
    return all(case.needed_min == 0.0 and case.slack is not None for case in cases)


def rigid_unknown(cases: Sequence[PushCase]) -> bool:
    """Return whether no span has a tension and a deflection on rigid ends, as no stiffness of a line is stated."""
    return all(case.needed_min is None and case.min_deflection is None for case in cases)


def _push_row(case: PushCase, fmt: LengthFormat, held: bool) -> dict[str, Cell]:
    texts = {
        "run": words.HELD.format(run=case.run) if held else case.run,
        "span": str(case.span),
        "start": case.start,
        "end": case.end,
        "supports": length(case.supports, fmt),
        "line": length(case.line, fmt),
        "clause": words.CLAUSES[case.required_by],
        "limit": length(case.limit, fmt),
        "needed_most": tension_text(case.needed_max, fmt),
        "needed_before": "" if case.needed_before is None else tension_text(case.needed_before, fmt),
        "needed_least": _needed(case.needed_min, fmt),
        "set_to": set_text(case.set_to, fmt),
        "gives_least": length(case.min_deflection, fmt),
        "gives_most": length(case.max_deflection, fmt),
        "found": "",
        "date": "",
        "by": "",
    }
    return {key: Cell(text, f"push:{case.run}:{case.span}:{key}" if text else "") for key, text in texts.items()}


def _needed(tension: float | None, fmt: LengthFormat) -> str:
    if tension is None:
        return ""
    return tension_text(tension, fmt) if tension > 0.0 else words.NONE_NEEDED


def push_key(refit: Refit) -> list[str]:
    """Return the key to the headings and terms of the list, and the rule applied."""
    cases, fmt = required_cases(refit), numbers(refit.boat)
    key = words.PUSH_KEY
    lines = [key["lengths"], key["needs"], *set_key(refit)]
    required_by = {case.required_by for case in cases}
    if "widest wholly aft" in required_by:
        lines.append(key["all_aft"])
    elif required_by & {"widest if beside counts", "every, beside"}:
        lines.append(key["beside"])
    if all_pass_slack(cases):
        slacks = [case.slack for case in cases if case.slack is not None]
        lines.append(
            key["slack"].format(unit=fmt.unit, minimum=length(min(slacks), fmt), maximum=length(max(slacks), fmt))
        )
    elif not rigid_unknown(cases):
        lines.append(key["rigid"])
    lines.append(key["deflection_most" if rigid_unknown(cases) else "deflection"])
    # Short sentences share a line: no more lines than this fit.
    short = [words.HELD_KEY] if any(is_held(refit, case.run) for case in cases) else []
    if any(case.needed_min is None for case in cases) and not rigid_unknown(cases):
        short.append(key["unknown"])
    return [*lines, *rule_words(refit), " ".join([*short, key["check"]])]


def rule_words(refit: Refit) -> list[str]:
    """Return the editions of the forces and limits, and how sure they are."""
    fmt, of = numbers(refit.boat), in_force("osr", refit.boat.named_editions)
    new, old = forces(refit)
    return [
        words.PUSH_KEY["source"].format(
            push=push_named(refit), source=of.title, edition=new.edition,
            sure=f" ({words.FROM_MEMORY})" if new.sure.startswith("memory") else "",
            clauses="a) and b)" if has_lower_lines(refit) else "a)",
            before=force_named(old.value, fmt), before_edition=words.BEFORE,
        )
    ]  # fmt: skip


def set_key(refit: Refit) -> list[str]:
    """Return the key to SET TO: recommended, or as the boat file states it, with the runs of which it does."""
    tensions = [run.tensions for run in refit.loads.runs.values()]
    stated = [one.run for one in tensions if one.stated]
    lines = [words.SET_KEY["recommended"]] if len(stated) < len(tensions) else []
    if stated:
        runs = "" if len(stated) == len(tensions) else f" ({', '.join(stated)})"
        lines.append(words.SET_KEY["stated"].format(runs=runs))
    return lines
