"""What is asked of a boat: one file for each published document, and the list of all clauses."""

from __future__ import annotations

from geom.rules import common_practice
from geom.rules.rule import Clause

CLAUSES: tuple[Clause, ...] = (*common_practice.CLAUSES,)
