"""Text on lines for sheets: lengths in the sheet's unit, ends, verdicts."""

from __future__ import annotations

from collections.abc import Sequence

from geom.drafting import text as words
from geom.figure import Item, Polyline, Rect, Text
from geom.refit import Refit
from geom.remark import Stated
from geom.rigging.acceptance import TAPE_PARTS
from geom.rigging.lengths import is_rope
from geom.rigging.splice import practice
from geom.rigging.work import RunWork
from geom.units import LengthFormat, inch_fraction
from geom.words import Units, worded

# Lettering heights of ISO 3098-1 for large figures, the largest first [mm].
BIG = (14.0, 10.0, 7.0, 5.0, 3.5, 2.5)


# Pitch of lines in heights of the lettering; ISO 3098-1 requires 1.4 or more, from memory, verify.
LINE_PITCH = 1.45


def length(value: float | None, fmt: LengthFormat) -> str:
    """Return a length [mm] in the sheet's unit, nothing for None."""
    return "" if value is None else fmt.figure(value)


def thimble_out(refit: Refit) -> str:
    """Return the remark that eyes pass holes without their thimbles, empty where no end has a thimble."""
    return " (an eye without its thimble)" if any(end.thimble for end in refit.boat.ends.values()) else ""


def fine_length(value: float | None, fmt: LengthFormat) -> str:
    """Return a small length [mm] in the sheet's unit, inches to one more decimal; nothing for None."""
    return "" if value is None else fmt.figure(value, fmt.decimals + (fmt.unit == "in"))


def diameter(value: float, fmt: LengthFormat) -> str:
    """Return the diameter of a line [mm] as it is sold, `Ø5` or `Ø.125`: millimetres without a zero decimal."""
    text = fine_length(value, fmt)
    return f"Ø{text.removesuffix('.0') if fmt.unit == 'mm' else text}"


def end_label(name: str, family: str) -> str:
    """Return the name of an end in the boat file with its kind; the kind alone where it says the name as well."""
    return family if name in family else f"{name}, {family}"


def in_words(said: Stated | Sequence[Stated], fmt: LengthFormat) -> str:
    """Return remarks as a sheet says them: on an inch sheet in inches and lbf with the metric figures behind."""
    return worded(said, Units(fmt, millimetres=True, pounds=True))


def capitalised(text: str) -> str:
    """Return a text with its first letter as a capital."""
    return text[:1].upper() + text[1:]


def tape(value: float, fmt: LengthFormat) -> str:
    """Return a length [mm] as read on a tape, without its unit."""
    return inch_fraction(value, TAPE_PARTS) if fmt.unit == "in" else length(value, fmt)


def cut_words(value: float, rope: bool, fmt: LengthFormat) -> str:
    """Return a cut length for a sheet: inches to 1/32, or millimetres, whole for rope and to a tenth for wire.

    Args:
        value: the length [mm].
        rope: whether the line is rope.
        fmt: format of lengths.
    """
    if fmt.unit == "in":
        return inch_fraction(value, 32)
    return fmt.figure(value, 0 if rope else fmt.decimals)


def run_rope(refit: Refit, run: str) -> bool:
    """Return whether a run's line is rope."""
    return is_rope(refit.boat.lines[refit.placed.runs[run].spec.line])


def line_of(refit: Refit, run: str, fmt: LengthFormat) -> str:
    """Return construction and diameter of a run's line.

    Args:
        refit: the boat as calculated.
        run: id of the run.
        fmt: format of lengths.
    """
    line = refit.boat.lines[refit.placed.runs[run].spec.line]
    return f"{line.construction} {diameter(line.diameter, fmt)}"


def refusal(work: RunWork, fmt: LengthFormat) -> str:
    """Return why a line must not be cut, with lengths in the sheet's unit."""
    reasons = []
    for remark in work.remarks:
        if remark.kind != "refused" or remark.says not in work.refused:
            continue
        if remark.code == "buries":
            reasons.append(words.BURIES_NEED.format(
                sum=_needs_sum(work, fmt), needs=length(work.fit.needs, fmt), has=length(work.fit.finished, fmt),
                unit=fmt.unit,
            ))  # fmt: skip
        else:
            reasons.append(in_words(remark.says, fmt))
    return "; ".join(reasons)


def _needs_sum(work: RunWork, fmt: LengthFormat) -> str:
    """Return the length that the buries need as a sum: each eye and its bury, and the plain rope between."""
    parts = []
    for bury in work.fit.buries:
        eye = bury.throat if bury.end == "start" else work.fit.finished - bury.throat
        parts.append(f"({length(eye, fmt)} + {length(abs(bury.bury_end - bury.throat), fmt)})")
    same = len(parts) == 2 and parts[0] == parts[1]
    stated = f"2 x {parts[0]}" if same else " + ".join(parts)
    return f"{stated} + {length(practice('between_buries'), fmt)}" if len(parts) == 2 else stated


def boxed(rect: Rect, layer: str = "TITLE") -> Polyline:
    """Return a rectangle as a closed outline."""
    corners = ((rect.left, rect.bottom), (rect.right, rect.bottom), (rect.right, rect.top), (rect.left, rect.top))
    return Polyline(corners, layer, closed=True)


def lines_down(lines: Sequence[str], left: float, top: float, tag: str, height: float = 2.5) -> list[Item]:
    """Return lines of text from a top edge down, all with one id.

    Args:
        lines: the lines.
        left: left edge [mm].
        top: top edge [mm].
        tag: id of the lines.
        height: of the lettering [mm].
    """
    pitch = LINE_PITCH * height
    return [Text((left, top - height - row * pitch), line, height, "NOTE", tag=tag) for row, line in enumerate(lines)]
