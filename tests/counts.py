"""How many random cases tests try: the ordinary suite a few, `.ci/long` twenty times as many.

A test of random cases takes its seeds from here and carries the mark `long`, by which `.ci/long` finds it.
"""

from __future__ import annotations

import os

TIMES = int(os.environ.get("TOERAIL_TIMES", "1"))
SEED = int(os.environ.get("TOERAIL_SEED", "0"))


def seeds(count: int) -> range:
    """Return the seeds of as many random cases, of more in a long run."""
    return range(SEED, SEED + TIMES * count)
