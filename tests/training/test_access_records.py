"""Who got in, from where and when, is kept for thirty days; what has run out is kept no longer.

The number of days is our own, said on the page on which people join.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from axes.models import AccessAttempt, AccessAttemptExpiration, AccessFailureLog, AccessLog
from django.contrib.sessions.models import Session
from django.utils import timezone
from knox.models import get_token_model

from solverworker.tasks import DRAWERS
from tests.conftest import NOON, PHRASE
from tests.web.conftest import reader_for, words
from training.models import Heartbeat, Invite, Membership, OwnerLink, SignInCode
from training.services import access_records, accounts, people, periodic

pytestmark = pytest.mark.django_db

KEPT = (
    *(AccessAttempt, AccessAttemptExpiration, AccessFailureLog, AccessLog, Session),
    *(get_token_model(), SignInCode, Invite, OwnerLink),
)


@pytest.fixture
def a_day_at_the_door(clock: object, coach: Membership, member: Membership) -> None:
    """One row of each kind, made at noon."""
    signed_in = reader_for(None).client
    signed_in.post("/sign-in/", {"sign_in_name": "ines", "phrase": "wrong"})
    signed_in.post("/sign-in/", {"sign_in_name": "kari", "phrase": PHRASE})
    attempt = AccessAttempt.objects.get()
    AccessAttemptExpiration.objects.get_or_create(
        access_attempt=attempt, defaults={"expires_at": NOON + timedelta(minutes=15)}
    )
    AccessFailureLog.objects.create(user_agent="a browser", ip_address="192.0.2.7")
    get_token_model().objects.create(user=member.person)
    accounts.make_sign_in_code(by=coach, membership=member)
    people.make_invite(by=coach, days=7)
    people.make_owner_link(base_url="")


def counts() -> dict[str, int]:
    return {kind.__name__: kind.objects.count() for kind in KEPT}


def test_what_is_young_stays(a_day_at_the_door: None) -> None:
    assert set(counts().values()) == {1}
    access_records.purge(now=NOON + timedelta(days=29))
    # Of the tokens: they open nothing after thirty days, of the sessions after sixty.
    assert set(counts().values()) == {1}


def test_what_is_old_goes(a_day_at_the_door: None) -> None:
    access_records.purge(now=NOON + timedelta(days=30, hours=1))
    left = counts()
    for gone in ("AccessAttempt", "AccessAttemptExpiration", "AccessFailureLog", "AccessLog"):
        assert left[gone] == 0, gone
    assert left["AuthToken"] == 0
    # A code and a link are kept as long after they ran out; a session works for sixty days.
    assert left["SignInCode"] == left["Invite"] == left["Session"] == 1
    access_records.purge(now=NOON + timedelta(days=61))
    assert set(counts().values()) == {0}


def test_a_token_without_an_end_stays(member: Membership) -> None:
    get_token_model().objects.create(user=member.person, expiry=None)
    access_records.purge(now=timezone.now() + timedelta(days=9999))
    assert get_token_model().objects.count() == 1


def rounds(now: datetime) -> None:
    periodic.tick(drawers=DRAWERS, now=now)


def test_the_clocks_round_does_it_once_an_hour(a_day_at_the_door: None) -> None:
    later = NOON + timedelta(days=31)
    rounds(later)
    assert AccessLog.objects.count() == 0
    AccessLog.objects.create(user_agent="a browser")
    AccessLog.objects.update(attempt_time=NOON)
    rounds(later + timedelta(minutes=59))
    assert AccessLog.objects.count() == 1
    rounds(later + timedelta(minutes=60))
    assert AccessLog.objects.count() == 0


def test_a_clock_set_back_stops_it_for_an_hour_at_most(a_day_at_the_door: None) -> None:
    Heartbeat.objects.create(name="purge", beaten_at=NOON + timedelta(days=365))
    rounds(NOON + timedelta(days=31))
    assert AccessLog.objects.count() == 0


def test_who_joins_is_told(coach: Membership) -> None:
    _, invite = people.make_invite(by=coach)
    assert "the kind of browser are kept for 30 days." in words(
        reader_for(None).get(f"/join/{invite}/")
    )
