"""A person in front of the pages: signs in, reads, presses buttons."""

from __future__ import annotations

import re
import uuid
from dataclasses import dataclass
from html import unescape
from typing import Any

import pytest
from django.test import Client

from tests.web.tongue import speak_in_capitals
from training.models import Membership, ScrambleSet

ROOT = "/c/lantern-street"


@dataclass
class Reader:
    """A signed-in browser without script: what a page's forms alone can do."""

    client: Client

    def get(self, address: str, status: int = 200) -> str:
        response = self.client.get(address)
        assert response.status_code == status, (address, response.status_code)
        return response.content.decode()

    def post(self, address: str, data: dict[str, Any] | None = None, status: int = 200) -> str:
        response = self.client.post(address, data or {})
        assert response.status_code == status, (address, response.status_code)
        return response.content.decode()

    def enter(self, scramble_set: ScrambleSet, number: int, status: int = 200, **data: Any) -> str:
        """Post to a scramble's page and follow; with 302 the way leads to the plan's page."""
        data.setdefault("key", str(uuid.uuid4()))
        here = f"{ROOT}/sets/{scramble_set.pk}/{number}/"
        if status not in {200, 302}:
            return self.post(here, data, status)
        response = self.client.post(here, data)
        assert response.status_code == 302, (here, response.status_code)
        if status == 302:
            assert response["Location"] == here
            return ""
        response = self.client.get(response["Location"], follow=True)
        assert response.status_code == 200
        return response.content.decode()


def reader_for(who: Membership | None) -> Reader:
    client = Client()
    if who is not None:
        client.force_login(who.person, backend="training.services.backends.PhraseBackend")
    return Reader(client)


def words(page: str) -> str:
    """What a page says, without its markup."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page)))


def seen(page: str) -> str:
    """What a page shows beside its pictures: without the words within them, or for ears alone."""
    drawn_or_heard = r'<svg.*?</svg>|<span\s+class="seen-by-ear"\s*>.*?</span>'
    return words(re.sub(drawn_or_heard, " ", page, flags=re.DOTALL))


@pytest.fixture(autouse=True)
def _noon(clock: Any) -> None:
    """All pages are read at Wednesday noon."""


@pytest.fixture
def in_capitals(monkeypatch: pytest.MonkeyPatch) -> None:
    """The reader's tongue is a made-up one of capitals."""
    speak_in_capitals(monkeypatch)
