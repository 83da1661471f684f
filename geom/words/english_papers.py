"""English: the sentences and words of the papers around the work."""

from __future__ import annotations

from collections.abc import Mapping

PAPERS: Mapping[str, str] = {
    "quote.operation": "{operation:operation}",
}

# Words of values, by the list that a placeholder names.
PAPER_WORDS: Mapping[str, Mapping[str, str]] = {
    "operation": {
        "splice": "eye splice",
        "swage": "swaged terminal",
        "terminal": "terminal fitted by hand",
        "hole": "hole dressed for rope, or drilled",
        "base": "stanchion set in its base",
        "plate": "base plate or pad made",
        "fitting": "fitting attached",
        "survey": "stanchion surveyed",
        "tensioning": "line set and tested",
        "travel": "journey to the boat and back",
    },
}
