"""The order of making a line and the log that goes with it: what to pull, what to write down, when to look again."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat
from geom.data import table
from geom.placement.place import PlacedRun
from geom.rigging.lengths import is_rope
from geom.rigging.remark import Remark

_WRITTEN = ("date", "by", "as measured")
_PULLED, _SET = (*_WRITTEN, "pull"), (*_WRITTEN, "tension")


@dataclass(frozen=True)
class LogLine:
    """One step with its figure and the boxes to fill in; `figure` is empty where the file states none."""

    step: str
    figure: str
    boxes: tuple[str, ...]


def making_log(boat: Boat, run: PlacedRun, on_board: bool) -> tuple[LogLine, ...]:
    """Return the steps of a run's making in the order of its threading plan, each with its log boxes.

    Source: common practice, no source; pulls in data/splice_practice.csv.

    Args:
        boat: the boat file.
        run: the placed run.
        on_board: whether its second end is made on board, after threading.
    """
    stated = run.spec
    marking = "" if stated.marking_tension is None else f"{stated.marking_tension:.0f} N"
    setting = "" if stated.set_tension is None else f"{stated.set_tension:.0f} N"
    threaded = () if on_board or not run.passages else (LogLine("thread", "", _WRITTEN),)
    cut = LogLine("thread, mark again, cut" if on_board else "mark again, cut", "", _WRITTEN)
    board = " on board" if on_board else ""
    if not is_rope(boat.lines[stated.line]):
        return (
            LogLine("lay out and mark", marking, _WRITTEN),
            LogLine("first terminal", "", _WRITTEN),
            cut,
            LogLine(f"second terminal{board}", "", _WRITTEN),
            *threaded,
            LogLine("set", setting, _SET),
            LogLine("look again at the start of each season", "", _WRITTEN),
        )
    proof = f"{table.datum('splice_practice', key='proof_pull').value:.0f} N or more"
    return (
        LogLine("pre-stretch", "", _WRITTEN),
        LogLine("mark", marking, _WRITTEN),
        LogLine("first splice", "", _WRITTEN),
        LogLine("proof-pull the first", proof, _PULLED),
        cut,
        LogLine(f"second splice{board}", "", _WRITTEN),
        LogLine("proof-pull the second", proof, _PULLED),
        *threaded,
        LogLine("set", setting, _SET),
        LogLine("after a day", setting, _SET),
        LogLine("after a week", setting, _SET),
        LogLine("after a month", setting, _SET),
        LogLine("lashings renewed, yearly", "", _WRITTEN),
    )


def tension_remarks(run: PlacedRun) -> tuple[Remark, ...]:
    """Return what is to be said of the set tension: not stated, or more than common practice sets by hand."""
    limit = table.datum("splice_practice", key="max_set_tension")
    if run.spec.set_tension is None:
        text = "no set tension is stated: stretch is not taken off, and the length holds at the tension of the tape"
        return (Remark("set-tension", "cannot tell", run.id, "set tension", text),)
    if run.spec.set_tension > limit.value:
        text = f"set tension of {run.spec.set_tension:.0f} N is over the {limit.value:.0f} N that is set by hand"
        return (
            Remark(
                "set-tension", "notice", run.id, "set tension", text,
                run.spec.set_tension, limit.value, "N", limit.source,
            ),
        )  # fmt: skip
    return ()
