"""Line work -> its part of check.json."""

from __future__ import annotations

from geom.contract.work import BudgetReport, BuryReport, SettingReport, ThreadingReport, WorkReport
from geom.report.numbers import o, r
from geom.rigging.budget import Budget
from geom.rigging.settings import Setting
from geom.rigging.threading_plan import ThreadingPlan
from geom.rigging.work import RunWork
from geom.words import worded


def work_report(work: RunWork) -> WorkReport:
    """Return the line work of one run in millimetres."""
    lengths = work.lengths
    return {
        "marked_mm": r(lengths.marked),
        "cut_min_mm": o(lengths.cut_min),
        "cut_max_mm": o(lengths.cut_max),
        "terms": [{"name": t.name, "formula": worded(t.formula), "value_mm": r(t.value)} for t in lengths.terms],
        "missing": [worded(what) for what in lengths.missing],
        "refused": worded(work.refused) or None,
        "alternatives": [f"{worded(way.what)}: {worded((way.figures, way.to_check))}" for way in work.alternatives],
        "stations": [{"at_mm": r(s.at), "what": s.what, "place": s.place} for s in work.stations],
        "threading": _threading(work.plan),
        "buries": _buries(work),
        "budget": _budget(work.budget),
        "settings": [_setting(setting) for setting in work.settings],
    }


def _threading(plan: ThreadingPlan) -> ThreadingReport:
    return {
        "bench_ends": list(plan.bench),
        "in_place_end": plan.in_place,
        "direction": plan.direction,
        "from_point": plan.from_point,
        "to_point": plan.to_point,
        "possible": plan.possible,
        "reason": worded(plan.reason),
        "slide_on": [item.item for item in plan.slide_on],
        "steps": [worded(step.does) for step in plan.work],
        "tools": [worded(tool) for tool in plan.tools],
        "captive": [worded(what) for what in plan.captive],
    }


def _buries(work: RunWork) -> BuryReport:
    return {"needs_mm": r(work.fit.needs), "apart_mm": o(work.fit.apart), "fits": work.fit.fits}


def _budget(budget: Budget) -> BudgetReport:
    return {
        "combined_mm": r(budget.combined),
        "bias_mm": r(budget.bias),
        "shorten_mm": o(budget.shorten),
        "lengthen_mm": o(budget.lengthen),
        "wants_shorten_mm": r(budget.wants_shorten),
        "wants_lengthen_mm": r(budget.wants_lengthen),
        "verdict": budget.verdict,
        "text": worded(budget.says),
    }


def _setting(setting: Setting) -> SettingReport:
    return {
        "end": setting.end,
        "fitting": setting.fitting,
        "family": setting.family,
        "min_mm": o(setting.minimum),
        "planned_mm": r(setting.planned),
        "max_mm": o(setting.maximum),
        "thread_showing_mm": o(setting.showing),
        "thread": setting.thread,
        "hand": setting.hand,
    }
