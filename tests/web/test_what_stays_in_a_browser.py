"""What was typed leaves a shared browser when somebody leaves. Our own promise, no source.

The header is W3C's (Clear Site Data); that the scripts do the same is tried in Chromium.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.test import Client

from tests.conftest import PHRASE
from training import retention
from training.models import Membership, Standing
from training.web.pages.privacy.shown import KEPT_AFTER_CLOSING

pytestmark = pytest.mark.django_db
SCRIPTS = Path(__file__).resolve().parents[2] / "training/web/static/training/js"


def of(who: Membership) -> Client:
    client = Client()
    client.force_login(who.person)
    return client


def test_each_end_by_ones_own_hand_clears_what_the_browser_keeps(member, second) -> None:
    cleared = '"storage"'
    assert of(member).post("/sign-out/")["Clear-Site-Data"] == cleared
    assert of(member).post("/devices/", {"do": "everywhere"})["Clear-Site-Data"] == cleared
    me = of(second)
    # Nothing is cleared by a slip of the hand.
    assert "Clear-Site-Data" not in me.post("/data/erase/", {"phrase": "not my phrase"})
    gone = me.post("/data/erase/", {"phrase": PHRASE})
    assert gone["Clear-Site-Data"] == cleared
    assert "data-forget-typed" in gone.content.decode()


def test_whose_account_is_archived_leaves_that_clubs_texts_alone(member) -> None:
    Membership.objects.filter(pk=member.pk).update(standing=Standing.ARCHIVED)
    page = of(member).get("/c/lantern-street/today/").content.decode()
    assert f'data-forget-typed="{member.pk}"' in page


def test_the_script_forgets_after_the_days_that_the_page_says(client) -> None:
    days = int(re.search(r"LONGEST = (\d+) \* 86400e3", (SCRIPTS / "drafts.js").read_text())[1])
    assert days == retention.TYPED_DAYS
    said = " ".join(client.get("/privacy/").content.decode().split())
    assert f"in the browser until you sign out there, at most {days} days" in said
    assert f"here at most {KEPT_AFTER_CLOSING.days} days after the set has closed" in said
