"""The page of web hooks: made, ended, what was sent, and sent once more."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.conftest import NOON, Given
from tests.training.test_hooks import ADDRESS, Sender, made
from tests.web.conftest import ROOT, reader_for, words
from training import dispatch
from training.models import Club, Delivery, Membership, WebHook
from training.services import hooks

DAY = timedelta(days=1)


@pytest.fixture
def waiting(owner: Membership, given: Given) -> Delivery:
    made(owner, events=("set_closed",))
    given.a_set(opens=NOON - DAY, closes=NOON - timedelta(hours=1))
    hooks.note_due(now=NOON)
    return Delivery.objects.get()


class TestThePage:
    def test_makes_shows_renews_and_ends(
        self, owner: Membership, monkeypatch: Any, clock: Any
    ) -> None:
        from training.services import safe_sending

        monkeypatch.setattr(safe_sending, "resolve", lambda host, port: ["93.184.216.34"])
        monkeypatch.setattr(
            safe_sending.checked_address, "__defaults__", (lambda host, port: ["93.184.216.34"],)
        )
        reader, address = reader_for(owner), f"{ROOT}/hooks/"
        page = reader.post(address, {"address": ADDRESS, "events": ["set_closed"]})
        hook = WebHook.objects.get()
        assert hooks.secret_of(hook) in page
        page = reader.get(address)
        assert hooks.secret_of(hook) not in page
        assert "Told when a set has closed." in words(page)
        page = reader.post(address, {"hook": hook.pk, "do": "renew"})
        hook.refresh_from_db()
        assert hooks.secret_of(hook) in page
        reader.post(address, {"hook": hook.pk, "do": "end"}, 302)
        assert not WebHook.objects.exists()

    def test_refuses_in_words(self, owner: Membership, clock: Any) -> None:
        sent = {"address": "https://127.0.0.1/", "events": ["set_closed"]}
        said = words(reader_for(owner).post(f"{ROOT}/hooks/", sent, 400))
        assert "This address is not on the open net" in said

    def test_tells_what_came_of_each_message(
        self, owner: Membership, waiting: Delivery, clock: Any
    ) -> None:
        reader, address = reader_for(owner), f"{ROOT}/hooks/"
        assert "waits to be sent" in words(reader.get(address))
        hooks.deliver(sender=Sender(503), now=NOON)
        assert "tried 1 time: answer 503; again today at 13:01" in words(reader.get(address))
        Delivery.objects.update(next_try_at=None, trouble="It took too long.")
        assert "given up, tried 1 time: It took too long." in words(reader.get(address))
        Delivery.objects.update(delivered_at=NOON, status=200)
        assert "delivered, answer 200" in words(reader.get(address))

    def test_tries_once_more_what_was_not_delivered(
        self, owner: Membership, waiting: Delivery, clock: Any, monkeypatch: Any
    ) -> None:
        rung: list[str] = []
        monkeypatch.setattr(dispatch, "_send", lambda name, *rest: rung.append(name) or True)
        reader, address = reader_for(owner), f"{ROOT}/hooks/"
        assert "Try again now" not in words(reader.get(address))
        Delivery.objects.update(next_try_at=None, tries=7, trouble="It took too long.")
        assert "Try again now" in words(reader.get(address))
        again = {"hook": waiting.hook_id, "message": str(waiting.number), "do": "again"}
        reader.client.post(address, again)
        waiting.refresh_from_db()
        assert (waiting.tries, waiting.next_try_at) == (0, NOON)
        assert rung == ["training.hooks"]
        Delivery.objects.update(delivered_at=NOON, next_try_at=None)
        reader.client.post(address, again)
        assert "is not sent again" in words(reader.get(address))
        for message in ("", "x", "00000000-0000-4000-8000-000000000000"):
            reader.post(address, {**again, "message": message}, 404)

    def test_anothers_hook_is_not_there(
        self, owner: Membership, other_club: Club, clock: Any
    ) -> None:
        foreign = WebHook.objects.create(club=other_club, address=ADDRESS)
        reader_for(owner).post(f"{ROOT}/hooks/", {"hook": foreign.pk, "do": "end"}, 404)
        assert WebHook.objects.exists()
