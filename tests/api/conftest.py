"""A client that speaks for somebody, by token."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from knox.models import get_token_model
from rest_framework.test import APIClient

from training.models import Membership

API = "/api/v1/"


@pytest.fixture
def speaks_for() -> Callable[[Membership | None], APIClient]:
    """``speaks_for(member)`` is a client with that person's token; None has none."""

    def make(who: Membership | None) -> APIClient:
        client = APIClient()
        if who is not None:
            _, secret = get_token_model().objects.create(user=who.person)
            client.credentials(HTTP_AUTHORIZATION=f"Bearer {secret}")
        return client

    return make


@pytest.fixture(autouse=True)
def _at_noon(clock: object) -> None:
    """Every test of the API happens at the same Wednesday noon."""
