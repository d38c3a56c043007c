"""Web hooks: what is told, signed how, tried how often; and who may have one."""

from __future__ import annotations

import hmac
import json
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection

from solverworker import tasks
from tests.conftest import NOON, Given
from training import dispatch
from training.models import (
    Challenge,
    Club,
    Confirmation,
    Delivery,
    Drawn,
    Event,
    Membership,
    WebHook,
)
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.services import hooks
from training.services.safe_sending import NotSent

DAY = timedelta(days=1)
ADDRESS = "https://hook.example/told"

# RFC 4231, section 4: test cases 1 to 4, 6 and 7 for HMAC-SHA-256.
RFC_4231 = [
    (
        "0b" * 20,
        b"Hi There".hex(),
        "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7",
    ),
    (
        b"Jefe".hex(),
        b"what do ya want for nothing?".hex(),
        "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843",
    ),
    ("aa" * 20, "dd" * 50, "773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe"),
    (
        "0102030405060708090a0b0c0d0e0f10111213141516171819",
        "cd" * 50,
        "82558a389a443c0ea4cc819899f2083a85f0faa3e578f8077a2e3ff46729665b",
    ),
    (
        "aa" * 131,
        b"Test Using Larger Than Block-Size Key - Hash Key First".hex(),
        "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54",
    ),
    (
        "aa" * 131,
        (
            b"This is a test using a larger than block-size key and a larger than block-size data. "
            b"The key needs to be hashed before being used by the HMAC algorithm."
        ).hex(),
        "9b09ffa71b942fcb27635fbcd5b0e944bfdc63644f0713938a7f51535c3a35e2",
    ),
]


@pytest.mark.parametrize(("key", "data", "expected"), RFC_4231)
def test_the_digest_is_that_of_rfc_4231(key: str, data: str, expected: str) -> None:
    assert hooks.digest(bytes.fromhex(key), bytes.fromhex(data)) == expected


def test_the_signature_is_over_the_time_and_the_body() -> None:
    """The same by the standard library alone, as a receiver would make it."""
    found = hooks.signed("a secret", 1_764_072_000, b'{"a":1}')
    made = hmac.new(b"a secret", b'1764072000.{"a":1}', "sha256").hexdigest()
    assert found == f"t=1764072000,v1={made}"


def made(
    owner: Membership, events: tuple[str, ...] = tuple(Event), at: datetime = NOON - 3 * DAY
) -> WebHook:
    return hooks.make_hook(
        by=owner, address=ADDRESS, events=events, check=lambda target: None, now=at
    )[0]


class Sender:
    """Answers with statuses (or words of a refusal) in turn, and keeps what it was given."""

    def __init__(self, *answers: int | str) -> None:
        self.answers = list(answers)
        self.sent: list[tuple[str, bytes, Mapping[str, str]]] = []

    def __call__(self, address: str, body: bytes, headers: Mapping[str, str]) -> int:
        self.sent.append((address, body, headers))
        answer = self.answers.pop(0) if len(self.answers) > 1 else self.answers[0]
        if isinstance(answer, str):
            raise NotSent(answer)
        return answer


class TestMaking:
    def test_is_for_owners(
        self, owner: Membership, coach: Membership, member: Membership, outsider: Membership
    ) -> None:
        hook = made(owner)
        for who in (coach, member, outsider):
            for refused in (
                lambda who=who: made(who),
                lambda who=who: hooks.renew_secret(by=who, hook=hook),
                lambda who=who: hooks.end_hook(by=who, hook=hook),
            ):
                with pytest.raises(NotAllowed):
                    refused()
        assert WebHook.objects.get() == hook

    @pytest.mark.parametrize(
        "address",
        [
            "http://hook.example/",
            "https://127.0.0.1/",
            "https://localhost/",
            "https://[::1]/",
            "https://169.254.169.254/latest/meta-data/",
            "https://10.1.2.3/",
            "nonsense",
        ],
    )
    def test_refuses_addresses_to_which_nothing_is_sent(
        self, owner: Membership, address: str
    ) -> None:
        with pytest.raises(InvalidEntry) as refused:
            hooks.make_hook(by=owner, address=address, events=["set_opened"])
        assert refused.value.field == "address"
        assert not WebHook.objects.exists()

    def test_has_limits(self, owner: Membership) -> None:
        made(owner)
        with pytest.raises(InvalidEntry, match="told already"):
            made(owner)
        with pytest.raises(InvalidEntry, match="Choose at least one"):
            made(owner, events=("nonsense",))
        for number in range(4):
            hooks.make_hook(
                by=owner, address=f"{ADDRESS}{number}", events=["confirmed"], check=lambda t: None
            )
        with pytest.raises(NoLongerPossible):
            hooks.make_hook(
                by=owner, address=f"{ADDRESS}x", events=["confirmed"], check=lambda t: None
            )

    def test_its_secret_stands_nowhere_and_can_be_renewed(self, owner: Membership) -> None:
        hook = made(owner)
        secret = hooks.secret_of(hook)
        with connection.cursor() as cursor:
            cursor.execute("SELECT * FROM training_webhook")
            assert secret not in str(cursor.fetchall())
        renewed = hooks.renew_secret(by=owner, hook=hook)
        hook.refresh_from_db()
        assert renewed != secret
        assert hooks.secret_of(hook) == renewed
        assert len(renewed) == 64


class TestNoting:
    def test_tells_of_what_happened_once(
        self, club: Club, owner: Membership, member: Membership, other_club: Club, given: Given
    ) -> None:
        made(owner)
        closed = given.a_set(opens=NOON - DAY, closes=NOON)
        given.a_set(opens=NOON + timedelta(seconds=1), closes=NOON + DAY)
        given.a_set(opens=NOON - DAY, closes=NOON, club=other_club)
        given.a_set(
            kind="practice", drawn=Drawn.PICKED, for_member=member, opens=NOON - DAY, closes=NOON
        )
        given.a_set(opens=NOON - 9 * DAY, closes=NOON - 8 * DAY)
        for _ in range(2):
            assert hooks.note_due(now=NOON) == 2
        told = set(Delivery.objects.values_list("event", "scramble_set", "happened_at"))
        assert told == {
            ("set_opened", closed.pk, closed.opens_at),
            ("set_closed", closed.pk, NOON),
        }

    def test_tells_of_a_confirmed_challenge_each_time(
        self, club: Club, owner: Membership, given: Given
    ) -> None:
        made(owner, events=("confirmed",))
        week = given.a_set(opens=NOON - 2 * DAY, closes=NOON - DAY, kind="challenge")
        challenge = Challenge.objects.create(scramble_set=week, number=1)
        for turn in (1, 2):
            Confirmation.objects.create(
                challenge=challenge,
                turn=turn,
                confirmed_at=NOON - timedelta(hours=3 - turn),
                noted_at=NOON - timedelta(hours=3 - turn),
            )
            assert hooks.note_due(now=NOON) == turn
        assert set(Delivery.objects.values_list("event", "scramble_set")) == {
            ("confirmed", week.pk)
        }

    def test_tells_of_a_result_that_was_noted_late(self, owner: Membership, given: Given) -> None:
        """Nothing ran for a week: it stood by itself long before it was noted."""
        made(owner, events=("confirmed",))
        week = given.a_set(opens=NOON - 12 * DAY, closes=NOON - 11 * DAY, kind="challenge")
        Confirmation.objects.create(
            challenge=Challenge.objects.create(scramble_set=week, number=1),
            confirmed_at=NOON - 9 * DAY,
            noted_at=NOON - timedelta(minutes=1),
        )
        assert hooks.note_due(now=NOON) == 1
        assert Delivery.objects.get().happened_at == NOON - 9 * DAY

    def test_tells_nothing_from_before_it_was_made_nor_what_was_not_chosen(
        self, owner: Membership, given: Given
    ) -> None:
        made(owner, events=("set_closed",), at=NOON - timedelta(hours=1))
        given.a_set(opens=NOON - 2 * DAY, closes=NOON - DAY)
        given.a_set(opens=NOON - timedelta(minutes=5), closes=NOON + DAY)
        assert hooks.note_due(now=NOON) == 0

    def test_is_asked_for_at_the_tick(
        self, owner: Membership, given: Given, monkeypatch: Any
    ) -> None:
        made(owner)
        given.a_set(opens=NOON - DAY, closes=NOON)
        rung: list[str] = []
        monkeypatch.setattr(dispatch, "_send", lambda name, *rest: rung.append(name) or True)
        hooks.note_due(now=NOON)
        assert rung == ["training.hooks"]


@pytest.fixture
def waiting(owner: Membership, given: Given) -> Delivery:
    made(owner, events=("set_closed",))
    given.a_set(opens=NOON - DAY, closes=NOON - timedelta(hours=1))
    hooks.note_due(now=NOON)
    return Delivery.objects.get()


class TestDelivering:
    def test_sends_ids_alone_signed(self, club: Club, waiting: Delivery) -> None:
        sender = Sender(200)
        assert hooks.deliver(sender=sender, now=NOON) == 1
        ((address, body, headers),) = sender.sent
        assert address == ADDRESS
        assert json.loads(body) == {
            "id": str(waiting.number),
            "event": "set_closed",
            "happened_at": "2026-11-25T11:00:00+00:00",
            "club": club.pk,
            "set": waiting.scramble_set_id,
        }
        secret = hooks.secret_of(waiting.hook)
        stamp = int(NOON.timestamp())
        assert headers[hooks.SIGNATURE] == hooks.signed(secret, stamp, body)
        waiting.refresh_from_db()
        assert (waiting.delivered_at, waiting.next_try_at, waiting.status) == (NOON, None, 200)
        assert hooks.deliver(sender=sender, now=NOON + DAY) == 0

    def test_is_tried_again_later_and_later_and_then_given_up(self, waiting: Delivery) -> None:
        sender, now, waits = Sender(500, "It took too long.", 302, 404), NOON, []
        while True:
            assert hooks.deliver(sender=sender, now=now) == 1
            assert hooks.deliver(sender=sender, now=now + timedelta(seconds=50)) == 0
            waiting.refresh_from_db()
            if waiting.next_try_at is None:
                break
            waits.append(waiting.next_try_at - now)
            now = waiting.next_try_at
        assert tuple(waits) == hooks.WAITS
        assert waits == sorted(waits)
        assert (waiting.tries, waiting.delivered_at, waiting.status) == (7, None, 404)
        assert len({body for _, body, _ in sender.sent}) == 1, "the same message each time"

    def test_of_two_workers_one_sends(self, waiting: Delivery) -> None:
        inner = Sender(200)

        def outer(address: str, body: bytes, headers: Mapping[str, str]) -> int:
            assert hooks.deliver(sender=inner, now=NOON) == 0
            return 200

        assert hooks.deliver(sender=outer, now=NOON) == 1
        assert inner.sent == []

    def test_a_worker_killed_in_the_middle_leaves_it_to_the_next(self, waiting: Delivery) -> None:
        def killed(address: str, body: bytes, headers: Mapping[str, str]) -> int:
            raise SystemExit

        with pytest.raises(SystemExit):
            hooks.deliver(sender=killed, now=NOON)
        assert hooks.deliver(sender=Sender(200), now=NOON + timedelta(minutes=1)) == 0
        assert hooks.deliver(sender=Sender(200), now=NOON + timedelta(minutes=2)) == 1

    def test_never_leads_to_what_became_private_since(
        self, waiting: Delivery, monkeypatch: Any
    ) -> None:
        """Rebinding: the name meant a public address when the hook was made."""
        WebHook.objects.update(address="https://localhost/told")
        assert tasks.hooks.run() == 1
        waiting.refresh_from_db()
        assert waiting.delivered_at is None
        assert "not on the open net" in waiting.trouble

    def test_is_forgotten_after_a_month(self, waiting: Delivery) -> None:
        hooks.note_due(now=NOON + 31 * DAY)
        assert not Delivery.objects.filter(pk=waiting.pk).exists()
