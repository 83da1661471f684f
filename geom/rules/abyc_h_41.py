"""ABYC H-41, rails and lifelines, as far as its numbers could be read second hand.

Limits with edition and source: data/rules/abyc-h-41.csv.
"""

from __future__ import annotations

from geom.rules.rule import Clause

WORD = "abyc-h-41"

CLAUSES = (
    Clause("H-41.6.3.4", "strength of end fittings", None, "the strength of end fittings is not in the file"),
    Clause("H-41.6.3.6", "static load at any point", None, "wants every link at every point: see the loads"),
)
