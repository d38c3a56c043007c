"""A million texts through the reader of plans, in both spellings.

    python -m tests.bench.any_plan [texts] [seed]

Ends at the first that raises anything but a refusal, or whose reading does not read back to
itself, with that text. It needs no database.
"""

from __future__ import annotations

import os
import sys
import time

BATCH = 100_000


def main() -> None:
    """Read them all, and print how often each outcome came."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubsite.settings.test")
    import django

    django.setup()
    from collections import Counter

    from tests.training.any_text import read_all

    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    began = time.perf_counter()
    outcomes: Counter[str] = Counter()
    for number, first in enumerate(range(0, count, BATCH)):
        outcomes += read_all(min(BATCH, count - first), seed * 1000 + number)
    seconds = time.perf_counter() - began
    assert outcomes.total() == 2 * count
    told = ", ".join(f"{name}: {times:,}" for name, times in outcomes.most_common())
    print(f"{count:,} texts, each in both spellings, in {seconds:.0f} s. {told}")


if __name__ == "__main__":
    main()
