"""The setting card of a run: the opening of each adjuster while the line is marked, and the lashing gaps."""

from __future__ import annotations

from geom.boat.model import Boat, Fitting
from geom.data import table
from geom.data.editions import edition, number
from geom.frozen import frozen
from geom.placement.eyes import Where
from geom.placement.line_ends import BOTH, run_end
from geom.placement.place import PlacedRun, end_name
from geom.remark import Remark
from geom.rigging.line_remark import LineRemark, RemarkKind
from geom.units import Mm


@frozen
class Setting:
    """One adjuster while marking: length pin to pin and opening [mm].

    `beyond_closed` is the opening from closed, all studs together; `studs` their number, 0 for a kind without;
    `per_stud` the opening of each; `showing` the thread showing at each. None where the boat file does not state it.
    """

    end: Where
    fitting: str
    family: str
    kind: str
    minimum: Mm | None
    planned: Mm
    maximum: Mm | None
    beyond_closed: Mm | None
    studs: int
    per_stud: Mm | None
    showing: Mm | None
    thread: str | None
    hand: str | None


def settings(boat: Boat, run: PlacedRun) -> tuple[Setting, ...]:
    """Return the adjusters of a run in order from its forward end."""
    found = []
    for where in BOTH:
        for word in run_end(run, where).fittings:
            fitting = boat.fittings[word]
            row = table.row("fitting_families", word=fitting.family)
            if row["adjusts"] != "none":
                found.append(_setting(where, word, fitting, row))
    return tuple(found)


def _setting(where: Where, word: str, fitting: Fitting, row: dict[str, str]) -> Setting:
    size = fitting.length
    opened = None if size.min is None else size.planned - size.min
    studs = {"both": 2, "one": 1}.get(row["needs_hand"], 0) if row["adjusts"] == "screw" else 0
    per_stud = opened / studs if studs and opened is not None else None
    showing = (
        None if per_stud is None or fitting.min_thread_engagement is None else fitting.min_thread_engagement + per_stud
    )
    return Setting(
        end=where,
        fitting=word,
        family=fitting.family,
        kind=row["adjusts"],
        minimum=size.min,
        planned=size.planned,
        maximum=size.max,
        beyond_closed=opened,
        studs=studs,
        per_stud=per_stud,
        showing=showing,
        thread=fitting.thread,
        hand=fitting.hand,
    )


def gap_remarks(boat: Boat, run: PlacedRun, cards: tuple[Setting, ...]) -> tuple[LineRemark, ...]:
    """Return a remark on each lashing gap: whether its whole range is within the published limit.

    Args:
        boat: the boat file.
        run: the placed run.
        cards: the adjusters of the run.
    """
    limit = number("osr", boat.named_editions, "3.14.6 c) lanyard", "max gap")
    title = edition("osr", limit.edition).title
    source = Remark("source.clause", source=title, edition=limit.edition, clause=limit.page, sure=limit.sure)
    found = []
    for card in cards:
        if card.kind != "gap":
            continue
        widest = card.planned if card.maximum is None else card.maximum
        kind: RemarkKind = "agreed" if widest <= limit.value else "refused"
        says = Remark(
            "lashing.gap",
            at=end_name(run_end(run, card.end)),
            min=_length(card.minimum),
            planned=_length(card.planned),
            max=_length(card.maximum),
        )
        found.append(LineRemark("lashing-gap", kind, run.id, says, widest, limit.value, "mm", source, limit.sure))
    return tuple(found)


def _length(value: float | None) -> Remark:
    return Remark("length.not_given") if value is None else Remark("length.whole", length_mm=value)
