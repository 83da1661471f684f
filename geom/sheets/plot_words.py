"""The words of the push test diagrams, in one place."""

from __future__ import annotations

TITLE = "tension and deflection"
KIND = "Push test diagrams"
HEAD = "{run} span {span}: {start} to {end}, {length}"
WANTED = "limit {limit}: set {most} N; on rigid ends {least}"
STATED = "stated {tension} N gives {least} to {most}"
NOT_STATED = "no set tension stated"
KEY = (
    "Up: set tension, N. To the right: how far the middle of the span gives under {force} N square to the line.",
    "Wide curve: ends give, tension does not rise (set to this). Narrow curve: rigid ends, line sliding free.",
    "Posts and ends lie between the two curves. Dashed: the rule's limit. Chain line: tension stated by the file,",
    "with a ring where it meets each curve. A curve right of the limit at the stated tension gives too much.",
    "Force and limit: {source}. Check the edition in force. Computed figures, not an approval.",
)
