"""Every document that can be applied to a boat, by its key, in the order of reports.

The file of a document is imported when its clauses are first needed, to save time at start-up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module

from geom.rules.finding import Clause

# Key of a document -> the module with its clauses.
_FILES = {
    "osr": "osr",
    "iso-15085": "iso_15085",
    "abyc-h-41": "abyc_h_41",
    "cfr-169.327": "cfr_169_327",
    "cfr-177.900": "cfr_177_900",
    "cfr-45.115": "cfr_45_115",
    "uk-1993": "uk_1993",
    "uk-harmonised": "uk_harmonised",
    "division-240": "division_240",
    "common-practice": "common_practice",
}


class _Register(Mapping[str, tuple[Clause, ...]]):
    """Clauses by the key of their document."""

    def __getitem__(self, word: str) -> tuple[Clause, ...]:
        clauses: tuple[Clause, ...] = import_module(f"geom.rules.documents.{_FILES[word]}").CLAUSES
        return clauses

    def __iter__(self) -> Iterator[str]:
        return iter(_FILES)

    def __len__(self) -> int:
        return len(_FILES)


DOCUMENTS = _Register()
