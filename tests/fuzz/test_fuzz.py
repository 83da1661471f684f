"""Damaged and odd boat files: worked out or refused with file, line and key, and nothing else."""

from __future__ import annotations

from functools import partial

import pytest

from geom.boat.file import read_boat
from geom.drafting.sheet import finish
from geom.errors import Attempts, InputError
from geom.refit import Refit, refit
from geom.render.faults import layout
from geom.sheets.cover.sheet import with_cover
from tests.boats import BOATS, NAMES, ROOT
from tests.counts import seeds
from tests.fuzz.mutators import mutated
from tests.fuzz.odd_boats import odd_boat
from tests.made import QUICK
from tests.some import some

TEXTS = {name: (BOATS / f"{name}.yaml").read_text("utf-8") for name in NAMES} | {
    name: (ROOT / "tests" / "fixtures" / f"{name}.yaml").read_text("utf-8") for name in ("sound", "all-families")
}
# What has no key: the file as a whole, and text that is not read as keys and values.
WITHOUT_KEY = (
    "not readable as YAML", "not UTF-8", "not a list of keys", "given twice", "an alias", "an anchor", "a tag",
    "a second document", "a key must be a word", "nested too deep", "the file is empty",
)  # fmt: skip


def worked_out(data: bytes, source: str = "fuzzed.yaml") -> Refit | None:
    """Return a boat worked out, None where its file is refused; each refusal must have its place."""
    try:
        return refit(read_boat(data, source))
    except InputError as error:
        assert error.source == source, error
        for fault in some(error.faults):
            missing = "is missing" in fault.message and not fault.key
            assert fault.line is not None or missing, fault
            assert fault.key or missing or any(words in fault.message for words in WITHOUT_KEY), fault
        return None


@pytest.mark.long
@pytest.mark.parametrize("name", TEXTS)
def test_a_damaged_file_is_worked_out_or_refused_with_its_place(name: str) -> None:
    read = [seed for seed in seeds(24) if worked_out(mutated(TEXTS[name], seed)) is not None]
    # Damage that refuses every file, or none, would prove little.
    assert 0 < len(read) < len(seeds(24))


@pytest.mark.long
def test_an_odd_boat_is_drawn_or_refused_with_its_place() -> None:
    boats = [boat for seed in seeds(5) if (boat := worked_out(odd_boat(seed), f"odd boat {seed}")) is not None]
    for boat in some(boats):
        attempts = Attempts(keep_going=True)
        drafts = [draft for make in QUICK for draft in attempts.make(make.__name__, partial(make, boat), ())]
        # A sheet that is too small for a boat is named; anything else is a fault of our own.
        faults = [cause for cause in attempts.missing.values() if not cause.startswith("no sheet holds")]
        assert not faults, f"{boat.loaded.source}: {faults}"
        listed = with_cover(boat, drafts)
        sheets = [finish(boat, draft, len(listed)) for draft in listed]
        unclear = [f"{boat.loaded.source}, {sheet.name}: {fault}" for sheet in sheets for fault in layout(sheet).faults]
        assert unclear == []
