"""Signing in by token, and how often one may try."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import override_settings
from knox.models import get_token_model
from rest_framework.test import APIClient
from rest_framework.throttling import SimpleRateThrottle

from tests.api.conftest import API
from tests.conftest import NOON, PHRASE
from training.models import Person

pytestmark = pytest.mark.django_db


def sign_in(name: str = "ines", phrase: str = PHRASE, **more):
    body = {"sign_in_name": name, "phrase": phrase}
    return APIClient().post(f"{API}tokens/", body, format="json", **more)


def test_a_wrong_phrase_and_an_unknown_name_answer_alike(member) -> None:
    wrong, unknown = sign_in(phrase="not it at all"), sign_in(name="nobody")
    assert (wrong.status_code, wrong.content) == (401, unknown.content)
    assert wrong["Content-Type"] == "application/problem+json"


def test_only_a_hash_of_the_token_is_stored(member) -> None:
    token = sign_in().json()["token"]
    (row,) = get_token_model().objects.values()
    assert token not in str(row)


def test_too_many_failures_lock_the_name_at_this_address(member, clock) -> None:
    for _ in range(8):
        answer = sign_in(phrase="not it at all")
    assert (answer.status_code, answer["Content-Type"]) == (429, "application/problem+json")
    # RFC 9110, 10.2.3: in seconds. A quarter of an hour from the last failure that counted.
    assert answer["Retry-After"] == "900"
    clock(NOON + timedelta(minutes=5))
    answer = sign_in()
    assert (answer.status_code, answer["Retry-After"]) == (429, "600")
    clock(NOON + timedelta(minutes=15, seconds=1))
    assert sign_in().status_code == 201


def test_another_address_is_not_locked_along(member) -> None:
    for _ in range(8):
        sign_in(phrase="not it at all")
    assert sign_in(REMOTE_ADDR="192.0.2.7").status_code == 201


def test_a_forged_forwarding_header_does_not_walk_past_the_lock(member) -> None:
    for n in range(8):
        sign_in(phrase="not it at all", HTTP_X_FORWARDED_FOR=f"203.0.113.{n}")
    assert sign_in(HTTP_X_FORWARDED_FOR="203.0.113.99").status_code == 429


@override_settings(NUM_PROXIES=1)
def test_behind_one_proxy_the_address_is_the_one_the_proxy_wrote(member) -> None:
    for n in range(8):
        sign_in(phrase="not it at all", HTTP_X_FORWARDED_FOR=f"203.0.113.{n}, 198.51.100.1")
    assert sign_in(HTTP_X_FORWARDED_FOR="203.0.113.99, 198.51.100.1").status_code == 429
    assert sign_in(HTTP_X_FORWARDED_FOR="198.51.100.2").status_code == 201


@override_settings(NUM_PROXIES=1)
def test_behind_one_proxy_requests_are_counted_by_the_address_that_it_wrote(
    db, monkeypatch
) -> None:
    monkeypatch.setitem(SimpleRateThrottle.THROTTLE_RATES, "address", "2/min")

    def asks(*hops: str) -> int:
        header = ", ".join(hops)
        return APIClient().post(f"{API}tokens/", HTTP_X_FORWARDED_FOR=header).status_code

    assert [asks(f"203.0.113.{n}", "198.51.100.1") for n in range(3)] == [400, 400, 429]
    assert asks("198.51.100.2") == 400


def test_whoever_came_by_a_code_chooses_a_phrase_on_the_site_first(member) -> None:
    Person.objects.update(must_choose_phrase=True)
    assert sign_in().status_code == 403


def test_ten_tokens_are_the_most(member) -> None:
    for _ in range(10):
        assert sign_in().status_code == 201
    assert sign_in().status_code == 403


@pytest.mark.parametrize("header", ["Bearer", "Bearer a b", "Bearer xyz", "Bearer \xff\xfe"])
def test_a_token_that_is_none_is_401_and_no_crash(member, header) -> None:
    answer = APIClient().get(f"{API}me/", HTTP_AUTHORIZATION=header)
    assert (answer.status_code, answer["Content-Type"]) == (401, "application/problem+json")


def test_a_person_who_asks_too_often_is_told_when_to_come_back(
    member, speaks_for, monkeypatch
) -> None:
    monkeypatch.setitem(SimpleRateThrottle.THROTTLE_RATES, "person", "2/min")
    client = speaks_for(member)
    answers = [client.get(f"{API}me/") for _ in range(3)]
    assert [one.status_code for one in answers] == [200, 200, 429]
    assert int(answers[2]["Retry-After"]) > 0
    assert "Try again in" in answers[2].json()["detail"]
