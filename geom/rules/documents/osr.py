"""World Sailing Offshore Special Regulations, section 3.14, first part: the enclosure of lines (3.14.1).

The lines themselves (3.14.2, 3.14.6) are in osr_lines.py. Limits with edition and source: data/rules/osr.csv.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from geom.boat.model import Side
from geom.placement.placed import Placed
from geom.remark import Remark
from geom.rules import edition as documents
from geom.rules.documents.osr_lines import CLAUSES as LINE_CLAUSES
from geom.rules.documents.osr_lines import WORD as WORD
from geom.rules.finding import ROUNDING, Clause, ClauseCheck, Condition, Finding, Measure, Verdict
from geom.rules.measures import heights, supports
from geom.rules.measures.boat_facts import by_hand, launched_before, offshore_category
from geom.rules.measures.lines import clearances

_VERDICTS: dict[bool | None, Verdict] = {True: "pass", False: "fail", None: "cannot tell"}
_EXEMPT: dict[bool | None, Verdict] = {True: "not applicable", None: "cannot tell"}


def fixed_at_bow_and_stern(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A line is made fast only at or near bow and stern, save at the gate.

    Source: OSR 3.14.1 a).
    """
    for measure, kept in supports.continuity(placed):
        yield clause.say(_VERDICTS[kept.holds], measure, *kept.reasons)


def one_gate_each_side(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Each side may have one gate; that a second one is barred is a reading of the text, so that it is a notice.

    Of a gate at the stern the text says nothing.

    Source: OSR 3.14.1 a).
    """
    for measure in supports.gates(placed):
        finding = clause.at_most(measure, clause.limit("max gates"))
        notes = (*finding.notes, Remark("gates.second_by_reading"))
        yield finding if finding.verdict == "pass" else finding.restated("notice", notes, would="fail")
    for measure in supports.gates_across(placed):
        yield clause.say("cannot tell", measure, Remark("gates.across"))


def free_fore_and_aft(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A line can move fore and aft in its supports: the bore is larger than the line.

    Source: OSR 3.14.1 a).
    """
    for measure, line in clearances(placed):
        assert measure.value is not None
        free = measure.value > line + ROUNDING
        finding = clause.say("pass" if free else "fail", measure)
        yield replace(finding, limit=line, margin=measure.value - line)


def upper_line_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """The upper line stands at least 600 mm above the working deck.

    Source: OSR 3.14.1 b) i.
    """
    limit = clause.limit("min upper height")
    for side, single in _sides_with_single_line(placed, clause.edition):
        level = heights.levels(placed, side)[0]
        if single.holds is False:
            for measure in heights.line_heights(placed, side, level):
                yield clause.at_least(measure, limit)
        else:
            measure = _side(side, "single_line_height")
            yield clause.say(_EXEMPT[single.holds], measure, *single.reasons, limit=limit)


def intermediate_line_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """An intermediate line stands at least 230 mm above the working deck.

    Source: OSR 3.14.1 b) ii.
    """
    for measure in heights.lower_lines(placed):
        yield clause.at_least(measure, clause.limit("min intermediate height"))


def vertical_openings(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """No vertical opening is higher than 380 mm, or 560 mm where the boat was launched before 1993.

    Source: OSR 3.14.1 b) iii.
    """
    strict, eased = clause.limit("max opening"), clause.limit("max opening, older boat")
    older = launched_before(placed, int(clause.limit("older boat launched before").value))
    for side, single in _sides_with_single_line(placed, clause.edition):
        if single.holds is False:
            for measure in heights.openings(placed, side):
                yield clause.eased_at_most(measure, strict, eased, older)
        else:
            measure = _side(side, "opening_under_single_line")
            yield clause.say(_EXEMPT[single.holds], measure, *single.reasons, limit=strict)


def single_line_height(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A boat under 8.5 m hull length in category 3 or 4 may have a single line 450 to 560 mm above the deck.

    Source: OSR 3.14.1 b) iv.
    """
    minimum, maximum = clause.limit("min single line"), clause.limit("max single line")
    for side in heights.sides(placed):
        levels = heights.levels(placed, side)
        if len(levels) > 1:
            more = replace(_side(side, "single_line"), where=Remark("place.side", side=side))
            yield clause.say("not applicable", more, Remark("single_line.more_than_one"))
            continue
        admitted = single_line_admitted(placed, clause.edition)
        if admitted.holds is False:
            refused = (Remark("single_line.not_admitted", why=why) for why in admitted.reasons)
            yield clause.say("fail", _side(side, "single_line"), *refused)
            continue
        for measure in heights.line_heights(placed, side, levels[0]):
            low, high = clause.at_least(measure, minimum), clause.at_most(measure, maximum)
            # The limit with the smaller margin governs.
            finding = low if low.margin is None or high.margin is None or low.margin <= high.margin else high
            if finding.verdict == "pass" and admitted.holds is None:
                between = Remark("single_line.between", printed=(minimum.as_printed, maximum.as_printed))
                notes = (*finding.notes, between, *admitted.reasons)
                finding = finding.restated("cannot tell", notes)
            yield finding


def support_spacing(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Lines are supported at least every 2.2 m.

    Source: OSR 3.14.1 c).
    """
    for measure in supports.spacing(placed):
        yield clause.at_most(measure, clause.limit("max support spacing"))


def base_near_edge(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """A base is inboard of the working deck's edge by no more than 5 % of the beam or 150 mm, and never outboard.

    Source: OSR 3.14.1 e).
    """
    share, fixed = clause.limit("max base inboard, share of beam"), clause.limit("max base inboard")
    of_beam = share.value / 100.0 * placed.boat.boat.beam
    printed = Remark("printed.the_greater", limits=(fixed.as_printed, share.as_printed))
    limit = replace(fixed, as_printed=printed) if of_beam < max(fixed.figures) else fixed.at(of_beam, printed)
    edge = fixed.at(0.0, Remark("printed.never_outboard"))
    for measure in supports.base_distances(placed):
        if measure.value is not None and measure.value < -ROUNDING:
            yield clause.at_least(measure, edge)
        else:
            yield clause.at_most(measure, limit)


def straight_near_deck(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Within the first 50 mm above the deck a stanchion is displaced sideways by no more than 10 mm.

    Source: OSR 3.14.1 f) i.
    """
    for measure in supports.set_offs(placed, clause.limit("height judged").value):
        yield clause.at_most(measure, clause.limit("max displacement"))


def tilt(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """Above the first 50 mm a stanchion stands within 10 degrees of the vertical.

    Source: OSR 3.14.1 f) ii.
    """
    for measure in supports.tilts(placed):
        yield clause.at_most(measure, clause.limit("max tilt"))


def pulpit_opening(placed: Placed, clause: ClauseCheck) -> Iterator[Finding]:
    """An open pulpit leaves no opening over 360 mm between itself and any part of the boat.

    Source: OSR 3.14.1 g).
    """
    yield clause.at_most(by_hand(placed, "pulpit_opening"), clause.limit("max pulpit opening"))


def single_line_admitted(placed: Placed, edition: str) -> Condition:
    """Return whether a single line is admitted at all: hull length strictly under 8.5 m (28 ft), category 3 or 4.

    Source: OSR 3.14.1 b) iv.
    """
    limits = documents.limits(WORD)[(edition, "3.14.1 b) iv")]
    length, category = placed.boat.boat.hull_length, offshore_category(placed)
    below = limits["hull length below"]
    if length >= max(below.figures) - ROUNDING:
        return Condition(False, (Remark("single_line.hull_too_long", hull_mm=length, printed=below.as_printed),))
    if category is None:
        return Condition(None, (Remark("single_line.no_category", hull_mm=length),))
    if not limits["min category"].value <= category <= limits["max category"].value:
        return Condition(False, (Remark("single_line.category", category=category),))
    admitted = Remark("single_line.admitted", hull_mm=length, category=category)
    by_feet = (Remark("limit.met_as_also_printed", printed=below.also_printed),) if length >= below.value else ()
    return Condition(True, (admitted, *by_feet))


def _sides_with_single_line(placed: Placed, edition: str) -> Iterator[tuple[Side, Condition]]:
    """Yield each side and whether it is exempt as a single line; a side with two lines never is."""
    for side in heights.sides(placed):
        if len(heights.levels(placed, side)) > 1:
            yield side, Condition(False, ())
        else:
            yield side, single_line_admitted(placed, edition)


def _side(side: Side, quantity: str) -> Measure:
    where = Remark("place.single_line", side=side)
    return Measure(f"{side}-single", Remark(f"quantity.{quantity}"), None, where=where)


CLAUSES = (
    Clause("3.14.1 a) ends", "continuity", fixed_at_bow_and_stern),
    Clause("3.14.1 a) gate", "gates", one_gate_each_side),
    Clause("3.14.1 a) freedom", "freedom in supports", free_fore_and_aft),
    Clause("3.14.1 b) i", "upper line height", upper_line_height),
    Clause(
        "3.14.1 b) ii", "intermediate line height", intermediate_line_height,
        nothing=Remark("clause.no_lower_line"),
    ),
    Clause("3.14.1 b) iii", "vertical opening", vertical_openings),
    Clause("3.14.1 b) iv", "single line height", single_line_height),
    Clause("3.14.1 c)", "support spacing", support_spacing),
    Clause("3.14.1 d)", "bases", None, Remark("clause.bases_seen_on_board")),
    Clause("3.14.1 e)", "base near deck edge", base_near_edge),
    Clause("3.14.1 f) i", "straightness near deck", straight_near_deck),
    Clause("3.14.1 f) ii", "tilt", tilt),
    Clause("3.14.1 g)", "pulpit opening", pulpit_opening),
    *LINE_CLAUSES,
)  # fmt: skip
