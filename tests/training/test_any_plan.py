"""Whatever is sent as a plan is read or refused in words, in both spellings.

Source: WCA Regulations 12a and E2 for what is read; that nothing else than a refusal is ever raised
is our own rule. ``tests.bench.any_plan`` reads a million texts.
"""

from __future__ import annotations

import pytest

from tests.training.any_text import read_all, texts
from training import entry


def test_every_text_is_read_or_refused() -> None:
    outcomes = read_all(6000, seed=8)
    assert outcomes.total() == 12_000
    # The texts are of every kind: none of these would be a test of nothing.
    assert outcomes["read"] > 500
    assert outcomes["UnreadablePlan"] > 500
    assert outcomes["LowerCasePlan"] > 5
    assert outcomes["PlanTooLong"] > 2


def test_the_same_seed_makes_the_same_texts() -> None:
    assert list(texts(60, 4)) == list(texts(60, 4)) != list(texts(60, 5))


def test_a_reader_that_breaks_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(text: str, *, strict: bool, where: str) -> None:
        raise IndexError(text)

    monkeypatch.setattr(entry.notation, "parse", broken)
    with pytest.raises(IndexError):
        read_all(30, seed=8)
