"""Text of the sheets of rules, and of sides and survey."""

RULES_TITLE = "rules"
RULES_KIND = "Rule sheet"
# What the lists of a page are, by their tags; those of findings are named by their documents.
RULES_CONTENTS = (
    ("rules:summary", "summary"), ("beyond", "beyond a limit"), ("rules:pulls", "pull tests"), ("coverage", "clauses"),
    ("rules:notes", "notes"), ("rules:comparison", "comparison"),
)  # fmt: skip
# Headings of the counts in the summary with their widths: verdicts in their order, then clauses.
SUMMARY_HEADS = (
    ("FAIL", 11), ("OPEN", 13), ("NOTICE", 17), ("WOULD FAIL", 16), ("PASS", 13), ("N/A", 10), ("CHECKED", 17),
    ("NOT COMPUTABLE", 26), ("NOT READ", 12),
)  # fmt: skip
# What they are counts of, with the number of columns.
SUMMARY_GROUPS = (("", 2), ("FINDINGS", 6), ("CLAUSES", 3))
AGREEMENT_TITLE = "open items, sides, survey"
AGREEMENT_KIND = "Port against starboard"
AGREEMENT_CONTENTS = (
    ("open-items", "open items"), ("pairs", "lines"), ("points", "holes and eyes"), ("closure", "tapes"),
    ("as-found", "stanchions"),
)  # fmt: skip
BANDS = {
    "items": "OPEN ITEMS, in rank",
    "summary": "DOCUMENTS AND VERDICTS",
    "beyond": "BEYOND A LIMIT OF A RULE APPLIED TO THIS BOAT, WITHOUT A FAILURE",
    "pulls": "PULL TESTS ON BOARD, of stanchions not shown to hold by calculation: pull, let go, measure the set",
    "comparison": "FOR COMPARISON: documents that bind other boats and that the boat file does not name",
    "coverage": "CLAUSES: checked here, not computable from a boat file, not read",
    "pairs": "LINES, PIN TO PIN ({unit}): over {limit} apart DO NOT PAIR",
    "points": "HOLES AND EYES, S less P ({unit}): over {limit} apart DO NOT PAIR",
    "closure": "TAPES AGAINST COORDINATES ({unit}), flagged over {limit} {unit}",
    "as-designed": "STANCHIONS AS DESIGNED: flagged over {fair} {unit} and {lean} deg",
    "as-found": "STANCHIONS AS FOUND: flagged over {fair} {unit} and {lean} deg",
}
MIRRORED = "{side} was not measured: it is mirrored from {given}, so no difference can show"
DO_NOT_PAIR = "DO NOT PAIR"
ALIKE = "alike"
BORES_DIFFER = "BORES DIFFER"
VERDICT_WORDS = {
    "fail": "FAIL",
    "cannot tell": "OPEN",
    "notice": "notice",
    "pass": "pass",
    "not applicable": "not applicable",
}
WOULD_WORDS = {
    "fail": "would fail",
    "cannot tell": "open",
    "pass": "would pass",
    "notice": "would be a notice",
    "not applicable": "would not apply",
}
MARGINAL = "{verdict}, marginal"
OPEN_ITEM = "OPEN ITEM {number}"
EDITION = "edition {edition}"
BINDS = "this boat"
COMPARED = "for comparison: {binds}"
PULL_HEADS = (
    "STANCHION",
    "DOCUMENT AND CLAUSE",
    "FORCE AT TOP",
    "DIRECTION",
    "PERMITTED SET",
    "SET FOUND",
    "DATE, BY",
)
NO_SET = "none"
OF_PLACES = "{some}\u00a0of\u00a0{all}"
ALSO = "Also: {places}"
SOME_WHY = "{some}: {why}"
ALSO_BOTH = "both ends of {runs}"
ALSO_PART = "{part} of {runs}"
PART_ENDS = {"start": "forward end", "finish": "after end"}
PART_SPAN = "span {number}"
PART_SINGLE_LINE = "single line"
WHY_MEMORY = "the limit is from memory"
WHY_NOTICE = "see the note of the row"
RULE_KEY = (
    "A failure or a waived finding has its own row; other places of one clause and verdict share a row, those "
    "beyond the limit another. PLACES: how many share it."
)
RULE_KEY_COMPARED = (
    "In a comparison a clause has one row. PLACES n of m: n would fail; a single number: how many share the row."
)
RULE_KEY_TIGHTEST = "A row shows the worst place: smallest MARGIN, or highest tension to set where nothing is measured."
RULE_KEY_MARGIN = "VALUE: measured or computed. MARGIN: positive where the limit is met."
RULE_KEY_SURE = "Under the clause: the limit as the rule prints it, and how sure that is: {marks}."
SURE_WORDS = {
    "found": "found = text read",
    "found-2": "found-2 = read second hand",
    "memory hi": "memory hi = from memory, high confidence, verify",
    "memory mid": "memory mid = from memory, medium confidence, verify",
    "memory lo": "memory lo = from memory, low confidence, verify",
    "common practice": "common practice = no source",
}
RULE_KEY_SURE_NOTE = "In a note: {marks}."
RULE_KEY_NOTICE = "NOTICE: neither pass nor fail: limit from memory or contested, document not binding, or a remark."
RULE_KEY_CANNOT = "OPEN: a fact is missing, or the limit is between two bounds; the open item says who gives it."
RULE_KEY_MARGINAL = "MARGINAL: the limit is within the uncertainty of the value; the verdict goes by the value."
RULE_KEY_STATIONS = "Deck stations: points of the deck edge between two stanchions; each stanchion is a separate place."
RULE_KEY_WAIVER = "A waiver is printed beside a finding and never changes it."
RULE_KEY_LAST = "Computed figures, not an approval."
SURVEY_KEY_PAIRS = (
    "Starboard less port, of the unrounded figures: X aft, off the centreline outboard, height up.",
    "One verdict for each line, eye and stanchion. DO NOT PAIR: what is made for one side does not fit the other.",
)
SURVEY_KEY_CLOSURE = "RESIDUAL: taped less computed. A cause is likely, not proved: measure again before cutting."
SURVEY_KEY_POSTS = (
    "Checked: OFF EDGE (foot's distance to the deck edge less this boat's usual), LEAN, RAKE; not length of tube.",
    "For information: OUT, AFT, upper hole off its position at usual (or intended) lean and rake.",
)
SURVEY_KEY_CURVE = "For information: OFF CURVE, foot off a curve through its neighbours."
SURVEY_KEY_NO_CURVE = {
    True: "Feet are checked by the deck edge alone: a curve through their neighbours needs four stanchions on a side.",
    False: "Feet are not checked: no deck edge was measured, and a curve needs four stanchions on a side.",
}
SURVEY_KEY_BY_CURVE = "Where the deck edge was not measured, OFF CURVE is checked instead."
SURVEY_KEY_LAST = "Limits here are common practice, no source."
FLAGGED = "FLAGGED"
AGREES = "agrees"
NO_CAUSE = "none found: measure again"
OFF_LINE = {True: "OFF EDGE", False: "OFF CURVE"}
PROBABLY_BENT = "PROBABLY BENT"
OFF_USUAL = "OFF THE USUAL LEAN"
IN_FAMILY = "as the others"
NO_UNITS = "none"
