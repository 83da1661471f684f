"""The text of the sheet of the next season."""

from __future__ import annotations

TITLE = "inspection"
KIND = "Sheet of the next season"
DESCRIPTION = "Last figures beside blanks, what is due, what to look at by place, trends over the years."
HEAD = ("DATE", "BY", "TOOL", "LAST INSPECTED")
NEVER = "not yet"
AS_DESIGNED, AS_SURVEYED = "as designed", "as surveyed"
LINES = "LINES ({unit}): adjusters pin to pin or thread showing, as in the record"
LINE_HEADS = ("LINE", "ADJUSTER", "LAST", "READ", "NOW", "TENSION LAST", "READ", "NOW")
POSTS = "STANCHIONS (deg): level on the straight tube, lean + outboard, rake + aft"
POST_HEADS = ("STANCHION", "LEAN LAST", "NOW", "RAKE LAST", "NOW", "READ", "NOTE")
PLACES = "LOOK AT, PLACE BY PLACE"
PLACE_HEADS = ("PLACE", "LOOK AT", "SEEN", "PHOTOGRAPH")
JOINT = "; "
TRENDS = "TRENDS"
STRETCHED = "{name}: stretched by {value} {unit} from {first} to {last}"
LEANS = "{name}: leans {value} deg further from {first} to {last}"
STRETCH, LEAN = "{name}: stretch {unit}", "{name}: lean deg"
LOOK = {
    "lashings": "lashing",
    "rope": "strands, chafe",
    "rope_tension": "push test",
    "swages": "cracks at the terminal",
    "wire": "broken strands, rust",
    "hooks": "gate hook",
    "turnbuckles": "turnbuckle, pins",
    "holes": "edges, chafe inside",
    "bases": "play, bolts, cracks, core",
}
NOTES = (
    "Fill in what is read and leave the rest empty; the readings come back by `toerail inspect BOAT --record RECORD "
    "--readings FILE`, a table with the columns PLACE, WHAT, VALUE.",
    "Name each photograph as printed, followed by the date.",
    "STRETCH: by how much the adjusters of a line are shorter than when it was made.",
    "A bent stanchion is replaced, and base and deck core are looked at; a line with a broken strand is replaced. "
    "Common practice, no source.",
)
