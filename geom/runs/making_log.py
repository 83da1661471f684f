"""The order of making a line and the log that goes with it: what to pull, what to write down, when to look again."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat
from geom.data import table
from geom.runs.cut_terms import is_rope
from geom.runs.place import PlacedRun
from geom.runs.remark import Remark


@dataclass(frozen=True)
class LogLine:
    """One step with the figure that is asked for and the boxes to fill in; `asked` "" where the file tells none."""

    step: str
    asked: str
    boxes: tuple[str, ...]


def making_log(boat: Boat, run: PlacedRun) -> tuple[LogLine, ...]:
    """Return the steps of a run's making in order, each with its log boxes.

    Source: common practice, no source; pulls in data/splice_practice.csv.
    """
    told = run.told
    proof = table.datum("splice_practice", key="proof_pull").value
    marking = "" if told.marking_tension is None else f"{told.marking_tension:.0f} N"
    setting = "" if told.set_tension is None else f"{told.set_tension:.0f} N"
    written = ("date", "by", "as measured")
    if not is_rope(boat.lines[told.line]):
        return (
            LogLine("lay out and mark", marking, written),
            LogLine("first terminal", "", written),
            LogLine("thread, cut, second terminal", "", written),
            LogLine("set", setting, (*written, "tension")),
            LogLine("look again at the start of each season", "", written),
        )
    return (
        LogLine("pre-stretch", "", written),
        LogLine("mark", marking, written),
        LogLine("first splice", "", written),
        LogLine("proof-pull", f"{proof:.0f} N or more", (*written, "pull")),
        LogLine("thread, set, mark again, cut", "", written),
        LogLine("second splice", "", written),
        LogLine("set", setting, (*written, "tension")),
        LogLine("after a day", setting, (*written, "tension")),
        LogLine("after a week", setting, (*written, "tension")),
        LogLine("after a month", setting, (*written, "tension")),
        LogLine("lashings renewed, yearly", "", written),
    )


def tension_remarks(run: PlacedRun) -> tuple[Remark, ...]:
    """Return what is to be said of the set tension: not stated, or more than common practice sets by hand."""
    limit = table.datum("splice_practice", key="set_tension_most")
    if run.told.set_tension is None:
        text = "no set tension is stated: stretch is not taken off, and the length holds at the tension of the tape"
        return (Remark("set-tension", "cannot tell", run.id, "set tension", text),)
    if run.told.set_tension > limit.value:
        text = f"set tension of {run.told.set_tension:.0f} N is over the {limit.value:.0f} N that is set by hand"
        return (
            Remark(
                "set-tension", "notice", run.id, "set tension", text,
                run.told.set_tension, limit.value, "N", limit.source,
            ),
        )  # fmt: skip
    return ()
