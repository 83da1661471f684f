"""The text of the sheet of wire ends."""

from __future__ import annotations

TITLE = "wire ends"
KIND = "Wire ends sheet"
DESCRIPTION = "Terminals and eyes of wire lines: marks on the wire, diameters before and after swaging, tightest holes."
TBC = "TBC"
END = {"start": "forward", "finish": "after"}
MADE = {True: "after threading", False: "ashore"}
ON_HOLD = "ON HOLD"

ENDS = "ENDS ({unit})"
END_HEADS = (
    "LINE", "END", "TERMINAL OR EYE", "MADE", "MARK AT", "Ø BEFORE", "GO", "NO GO", "MAX Ø", "RIGID", "TAIL",
)  # fmt: skip
HOLES = "TIGHTEST HOLE OF EACH END ({unit})"
HOLE_HEADS = ("LINE", "END", "HOLE", "BORE", "FINISHED END CLEARS BY", "UNSWAGED END CLEARS BY")
# The same beside the ends, of their tightest holes.
HOLE_HEADS_IN_ONE = ("HOLE", "BORE", "CLEARS BY", "UNSWAGED CLEARS BY")
SPLICES = "EYES SPLICED BY HAND ({unit})"
SPLICE_HEADS = ("LINE", "END", "SEIZE AT", "TUCKS, WHOLE STRANDS", "TUCKS, HALF OF THE WIRES", "SOURCES")
# Notes by the heading of a column; each stands where its column does.
NOTES = {
    "MARK AT": "MARK AT: from the end of the wire, as far as it goes into the terminal. Mark it before it is put in; "
    "the mark stays at the mouth while the terminal is made and while the line is set. TBC: by the bore of the "
    "terminal itself.",
    "GO": "GO, NO GO: gauges of a swaged shank or pressed sleeve, tried along its whole length and all round. GO "
    "passes, NO GO does not.",
    "MAX Ø": "MAX Ø: of the finished end, with which the holes on its way were checked.",
    "RIGID": "RIGID: from its bearing point to its mouth, where the line may bend at the earliest.",
    "TAIL": "TAIL: wire beyond the throat of an eye.",
    "BORE": "HOLE: the tightest. CLEARS BY: bore less diameter; a minus sign where the end does not pass finished.",
}
SOURCE_NOTE = "Common practice, no source, unless a source is named."
HAND_NOTE = (
    "An eye spliced by hand holds {low:.0f} to {high:.0f} % of its wire ({source}). Only a rigger who has made such "
    "splices makes it; its ends are served over."
)
