"""The key to the notation and to the words, one tap away from every page."""

from __future__ import annotations

import re

import pytest
from django.utils import translation

from solverworker.causes import IDEAS
from tests.conftest import Given
from tests.web.conftest import ROOT, reader_for, seen, words
from training.models import Membership
from training.web.pages.notation.shown import show_key
from training.web.saying.ideas import idea_meaning, idea_name

ARTICLE_12 = {
    "Face turns": [f + s for f in "RLUDFB" for s in ("", "'", "2")],
    "Two layers at once": ["Rw", "Lw", "Uw", "Dw", "Fw", "Bw"],
    "Turning the whole cube": ["x", "y", "z"],
}
"""WCA Regulations, Article 12a: face moves, outer block moves (of two layers), rotations."""


def test_it_draws_every_kind_of_move_of_article_12() -> None:
    drawn = {kind.title: [turn.token for turn in kind.turns] for kind in show_key().kinds}
    assert {title: drawn[title] for title in ARTICLE_12} == ARTICLE_12
    assert drawn["Middle layers"] == ["M", "E", "S"]  # club spelling, not in Article 12


@pytest.mark.django_db
def test_every_idea_is_explained_by_its_name() -> None:
    page = seen(reader_for(None).get("/notation/"))
    assert IDEAS
    for code in IDEAS:
        assert idea_name(code).lower() in page.lower()
        assert idea_meaning(code) in page


@pytest.mark.django_db
@pytest.mark.parametrize(
    "word", ["Best", "Lost move", "Move by move", "Random set", "Picked set", "Sealed"]
)
def test_the_words_of_pages_are_explained(word: str) -> None:
    page = reader_for(None).get("/notation/")
    entry = re.search(rf"<dt>{word}</dt>\s*<dd>([^<]+)</dd>", page)
    assert entry
    assert len(entry[1].split()) > 5


def test_the_words_are_one_tap_away(member: Membership, given: Given) -> None:
    given.a_set()
    for reader, address in ((reader_for(None), "/"), (reader_for(member), f"{ROOT}/today/")):
        assert 'href="/notation/#words"' in reader.get(address)
    assert 'id="words"' in reader_for(None).get("/notation/")


def test_it_is_made_in_the_language_of_whoever_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Made once for all readers it would stay in the language of the first."""
    before = show_key()
    translation.gettext("")
    monkeypatch.setattr(
        translation._trans,  # type: ignore[attr-defined]
        "gettext",
        "«{}»".format,
    )
    after = show_key()
    assert after.kinds[0].title == f"«{before.kinds[0].title}»"
    assert after.kinds[0].turns[0].words == "««the right face», «a quarter turn clockwise»»"
    assert after.words[0].meaning == f"«{before.words[0].meaning}»"


@pytest.mark.django_db
def test_it_reads_without_an_account() -> None:
    assert "Key to the notation" in words(reader_for(None).get("/notation/"))
