"""The build log of a line: its steps in order, the pulls, what to record, and when to check again."""

from __future__ import annotations

from dataclasses import dataclass

from geom.boat.model import Boat
from geom.mechanics.tension import RunTension, max_by_hand
from geom.placement.place import PlacedRun
from geom.remark import Remark
from geom.rigging.lengths import is_rope
from geom.rigging.line_remark import LineRemark
from geom.rigging.pulls import pre_stretch, set_pull

_WRITTEN = ("date", "by", "as measured")
_PULLED, _SET = (*_WRITTEN, "pull"), (*_WRITTEN, "tension")


@dataclass(frozen=True)
class LogLine:
    """One step with its figure and the boxes to fill in; `figure` is None where the boat file states none."""

    step: Remark
    figure: Remark | None
    boxes: tuple[str, ...]


def making_log(boat: Boat, run: PlacedRun, on_board: bool, tensions: RunTension) -> tuple[LogLine, ...]:
    """Return the steps of making a run in the order of its threading plan, each with its log boxes.

    Source: common practice, no source; pulls in data/splice_practice.csv.

    Args:
        boat: the boat file.
        run: the placed run.
        on_board: whether its second end is made on board, after threading.
        tensions: under which the line is marked and set.
    """
    marking, setting = tensions.marking_pull, tensions.set_pull
    threaded = () if on_board or not run.passages else (_line("log.thread"),)
    fastened = (*run.spec.start.fittings, *run.spec.finish.fittings)
    lashed = any(boat.fittings[name].family == "lashing" for name in fastened)
    yearly = (_line("log.lashings_yearly"),) if lashed else ()
    cut = _line("log.thread_mark_cut" if on_board else "log.mark_cut")
    board = "_on_board" if on_board else ""
    if not is_rope(boat.lines[run.spec.line]):
        return (
            _line("log.lay_out_and_mark", marking),
            _line("log.first_terminal"),
            cut,
            _line(f"log.second_terminal{board}"),
            *threaded,
            _line("log.set", setting, _SET),
            _line("log.each_season"),
        )
    pull = set_pull(boat.lines[run.spec.line]).says
    return (
        _line("log.pre_stretch", pre_stretch(boat.lines[run.spec.line]).says, _PULLED),
        _line("log.mark", marking),
        _line("log.first_splice"),
        _line("log.pull_first", pull, _PULLED),
        cut,
        _line(f"log.second_splice{board}"),
        _line("log.pull_second", pull, _PULLED),
        *threaded,
        _line("log.set", setting, _SET),
        _line("log.after_a_day", setting, _SET),
        _line("log.after_a_week", setting, _SET),
        _line("log.after_a_month", setting, _SET),
        *yearly,
    )


def _line(code: str, figure: Remark | None = None, boxes: tuple[str, ...] = _WRITTEN) -> LogLine:
    return LogLine(Remark(code), figure, boxes)


def tension_remarks(run: str, tensions: RunTension) -> tuple[LineRemark, ...]:
    """Return the remark on a set tension over that which common practice sets by hand, if it is.

    Args:
        run: id of the run.
        tensions: its set tension.
    """
    limit = max_by_hand()
    if tensions.set_tension <= limit.value:
        return ()
    says = Remark("set_tension.over_hand", set_n=tensions.set_tension, by_hand_n=limit.value)
    return (LineRemark("set-tension", "notice", run, says, tensions.set_tension, limit.value, "N", limit.source),)
