"""What is asked of a boat: one file for each published document, limits in data/rules, one function per clause.

`applied.py` holds the list of documents and puts them to a boat; `coverage.py` says what is not checked.
"""

from __future__ import annotations

from geom.rules.applied import DOCUMENTS, applied, check
from geom.rules.compare import compare
from geom.rules.coverage import coverage
from geom.rules.digest import counts, digest

__all__ = ["DOCUMENTS", "applied", "check", "compare", "counts", "coverage", "digest"]
