"""The text of the quotation and of the bill."""

from __future__ import annotations

TITLE = "quotation"
KIND = "Quotation for the owner"
DESCRIPTION = "What the work on the guard lines costs: materials, outside work, hours, provisional sums, tax."
AMOUNTS = "TOTALS, {currency}"
RANGE_HEADS = ("", "LOW", "LIKELY", "HIGH")
SECTION = {
    "materials": "materials",
    "outside work": "outside work",
    "work": "work and journeys",
    "provisional sums": "provisional sums",
}
NET, TAX, GROSS = "NET", "{name} {percent} %", "TOTAL"
LINES = "{section}, {currency}"
LINE_HEADS = ("WHAT", "QUANTITY", "AMOUNT")
SUMS = "PROVISIONAL SUMS FOR OPEN ITEMS, {currency}"
SUM_HEADS = ("ITEM", "WHAT IS OPEN", "LOW", "LIKELY", "HIGH")
GAPS = "NOT PRICED: {count} OF {all} LINES, IN NO TOTAL"
GAP_HEADS = ("LINE", "SECTION", "QUANTITY")
NO_RATE = "no rate"
UNIT = {"m": "m", "ft": "ft", "m2": "m2", "ft2": "ft2", "each": "", "times": "x", "visits": "x", "sum": ""}
AGREED = "AGREED"
AGREED_HEADS = ("FOR", "NAME", "DATE", "SIGNATURE")
AGREED_FOR = ("owner", "yard")
NOTES = (
    "AMOUNT is the likely one. LOW and HIGH: hours, waste and take-up at their low and high figures, provisional sums.",
    "Each amount is rounded to {rounding} {currency}, halves up; totals add rounded amounts; tax is rounded on the "
    "total.",
    "A provisional sum is allowed for what is not settled yet; the numbers of the items are those of sheet G1. What is "
    "on hold is in no other line.",
    "Rates: {rates_from}.",
    "A quotation releases nothing for manufacture: that is for the sheets, once their holds are lifted.",
)
BILL_HEADS = (
    "section", "item", "what", "for", "unit", "quantity_low", "quantity_likely", "quantity_high", "hours_low",
    "hours_likely", "hours_high", "waste_low_percent", "waste_likely_percent", "waste_high_percent", "rate",
    "amount_low", "amount_likely", "amount_high", "basis",
)  # fmt: skip

ESTIMATE = "estimate"
STAMP = "ESTIMATE"
ESTIMATE_KIND = "Quick quote from five readings a stanchion"
ESTIMATE_DESCRIPTION = "A quick quote: the readings drawn, what they cost at the rates of a yard. It releases nothing."
PLAN = "PLAN, as read, bow at left"
SIDE_VIEW = {"S": "STARBOARD, seen from inboard, bow at left", "P": "PORT, seen from outboard, bow at left"}
ROUGH = "LINES, along the chords ({unit})"
ROUGH_HEADS = ("LINE", "PATH", "TO ORDER")
READINGS = "AS READ ({unit}): aft of the stem, out, deck, lines above the deck"
READING_HEADS = ("SUPPORT", "AFT", "OUT", "DECK", "UPPER", "LOWER")
ESTIMATE_NOTES = (
    "Nothing is checked here: no hole, gate, splice, load or rule. Nothing may be ordered, cut or drilled from this "
    "paper; that is for the sheets of a surveyed boat.",
    "TO ORDER: the path and 4 ft for a line spliced at both ends (1/4 in rope; common practice, no source).",
    "AMOUNT is the likely one. Each amount is rounded to {rounding} {currency}, halves up; totals add rounded amounts.",
    "Rates: {rates_from}. Fittings, fabrication and what a survey finds are not in it.",
)
