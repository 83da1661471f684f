"""The text of the handover."""

from __future__ import annotations

TITLE = "handover"
KIND = "Handover to the owner"
DESCRIPTION = "What was made, measured and tested, what is not proven, what the owner checks and when, signatures."
MADE = "WHAT WAS MADE ({unit})"
MADE_HEADS = ("LINE", "OF", "DESIGNED", "AS MADE", "TENSION", "AS SET", "LOT", "CERTIFICATE")
OF = "{construction} Ø{diameter}"
HELD = "NOT MADE: ON HOLD"
HELD_HEADS = ("LINE", "WHY")
TESTED = "TESTS"
TEST_HEADS = ("LINE", "TEST", "AT MOST", "RESULT", "DATE, BY")
PUSH = "push of {force} at mid-span, {start} to {end}"
SPLICES = "each finished splice pulled at {pull}, to set it"
PULLED = "no slip"
OPEN = "NOT PROVEN OR NOT SETTLED (open items of the boat)"
OPEN_HEADS = ("ITEM", "WHAT", "BY")
NONE_OPEN = "none"
CHECKS = "WHAT THE OWNER CHECKS, AND WHEN"
CHECK_HEADS = ("WHAT", "WHERE", "EVERY", "DUE", "SOURCE")
EVERY = {12: "year"}
MONTHS = "{months} months"
ONCE = "once"
COUNT_FROM = "from the handover"
ALL = {"run": "all lines", "post": "all stanchions", "hole": "all holes with a line"}
END = {"forward": "forward end", "after": "after end"}
CAUTIONS = "CAUTIONS"
SIGNED = "SIGNED"
SIGNED_HEADS = ("FOR", "NAME", "DATE", "SIGNATURE")
SIGNED_FOR = ("rigger", "owner")
NOTES = (
    "An empty cell is to be filled in by hand. DESIGNED is the finished length, under the set tension.",
    "Breaking loads are those of the certificates, which stay with this paper.",
    "Work that protects life is to be checked by a qualified rigger or surveyor; follow local codes.",
)
