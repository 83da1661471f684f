"""English: the sentences and words of the papers around the work."""

from __future__ import annotations

from collections.abc import Mapping

PAPERS: Mapping[str, str] = {
    "quote.operation": "{operation:operation}",
    "quote.line": "line of both sides, with what its splices take",
    "quote.net": "{part}",
    "check.lashings": "lashings: renew them, however they look",
    "check.rope": "rope: fused, cut or fuzzed strands along its length and under every sleeve",
    "check.rope_tension": "rope: push test at mid-span; set it again where it has stretched",
    "check.swages": "terminals: cracks, rust and broken strands where the wire goes in; turn them under a glass",
    "check.wire": "wire: broken strands, rust, kinks; nothing but bare wire under a cover",
    "check.hooks": "gate hooks: rivet, spring and stop, that they close over centre and the retainer holds",
    "check.turnbuckles": "turnbuckles: threads, split pins in place, taped",
    "check.holes": "holes: edges by finger, chafe of the line inside the tube, liners in place",
    "check.bases": "bases: play, bolts, cracks at welds, water in the deck around them",
    "check.renew_rope": "{material} line: renew at the age of {min:.0f} to {max:.0f} years",
    "check.renew_from": "{material} line: renew at the age of {min:.0f} years and more, by its condition",
    "papers.tension": "{pull_n:.0f}",
    "papers.set_tension": "{pull_n:set}",
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
