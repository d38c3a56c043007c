"""What a stored report takes, and how long it takes to read, beside its text.

    python -m tests.bench.kept_report

A thousand reports of real checks, as :mod:`tests.bench.federation` fills its tables with.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable, Sequence
from typing import Any

from tests.bench.federation import some_reports
from tests.bench.timing import show


def main() -> None:
    """Measure both, and print."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "clubsite.settings.test"
    import django

    django.setup()
    from training.models.compact import pack, unpack

    values = [one.to_dict() for _, one in some_reports()]
    texts = [json.dumps(one, separators=(",", ":")) for one in values]
    kept = [pack(one) for one in values]
    show(
        [
            (
                "as text",
                f"{_mean(texts):.0f} bytes, read in {_microseconds(json.loads, texts):.0f} µs",
            ),
            ("as kept", f"{_mean(kept):.0f} bytes, read in {_microseconds(unpack, kept):.0f} µs"),
        ]
    )


def _mean(some: Sequence[str | bytes]) -> float:
    return sum(map(len, some)) / len(some)


def _microseconds(read: Callable[[Any], Any], some: Sequence[str | bytes]) -> float:
    """Of the quickest of five rounds, for one."""
    rounds = []
    for _ in range(5):
        began = time.perf_counter()
        for one in some:
            read(one)
        rounds.append(1e6 * (time.perf_counter() - began) / len(some))
    return min(rounds)


if __name__ == "__main__":
    main()
