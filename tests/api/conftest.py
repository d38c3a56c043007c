"""A client that speaks for somebody, by token."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.utils import translation
from rest_framework.test import APIClient

from training.models import Membership, Scope
from training.services.tokens import make_token

API = "/api/v1/"


@pytest.fixture
def speaks_for() -> Callable[[Membership | None], APIClient]:
    """``speaks_for(member)`` is a client with that person's token; None has none."""

    def make(who: Membership | None) -> APIClient:
        client = APIClient()
        if who is not None:
            _, secret = make_token(person=who.person, scopes=Scope)
            client.credentials(HTTP_AUTHORIZATION=f"Bearer {secret}")
        return client

    return make


@pytest.fixture(autouse=True)
def _at_noon(clock: object) -> None:
    """Every test of the API happens at the same Wednesday noon."""


def wrong_entries(answer: Any) -> list[str]:
    """The entries that an answer refuses, by the document's form or by a service."""
    told = answer.json()
    return [*told["errors"]] if "errors" in told else [told["field"]]


def _capitals(text: str) -> str:
    """As a tongue of capitals says it: marks, placeholders and markup stay."""
    parts = re.split(r"(<[^>]*>|%\(\w+\)s|\{\w*(?::\w+)?\})", text)
    return "".join(one if at % 2 else one.upper() for at, one in enumerate(parts))


@pytest.fixture
def capitals(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is marked for translation is said in capitals; what stays small is not marked."""
    catalogue = translation._trans
    monkeypatch.setattr(catalogue, "gettext", _capitals)
    monkeypatch.setattr(
        catalogue, "ngettext", lambda one, many, count: _capitals(one if count == 1 else many)
    )
    monkeypatch.setattr(catalogue, "pgettext", lambda context, text: _capitals(text))
