"""The commands with which whoever runs the server lets an owner in."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from training.models import Membership, OwnerLink

SETTINGS = {"SECRET_KEY": "0123456789" * 5, "DJANGO_SETTINGS_MODULE": "clubsite.settings.base"}


def told(*words: str) -> str:
    out = StringIO()
    call_command(*words, stdout=out)
    return out.getvalue()


@pytest.mark.django_db
def test_a_link_for_the_first_owner_opens_and_is_made_anew() -> None:
    made = [told("ownerlink", "--address", "https://club.example/") for _ in range(2)]
    links = [re.search(r"https://club\.example(/start/\S+)", text) for text in made]
    assert links[0] is not None
    assert links[1] is not None
    client = Client()
    assert client.get(links[0][1]).status_code == 410
    assert client.get(links[1][1]).status_code == 200


@pytest.mark.django_db
def test_a_club_with_an_owner_gets_no_link(owner: Membership) -> None:
    with pytest.raises(CommandError, match="has an owner already"):
        told("ownerlink")


@pytest.mark.django_db
def test_a_code_lets_an_owner_in_once(owner: Membership) -> None:
    text = told("ownercode", owner.person.sign_in_name, "--address", "https://club.example")
    assert f"https://club.example{reverse('code')}" in text
    code = re.search(r"^    (\S+)   at", text, re.M)
    assert code is not None
    owner.person.refresh_from_db()
    codes = owner.person.sign_in_codes.all()
    assert [one.used_at for one in codes] == [None]
    assert codes[0].expires_at > timezone.now() + timedelta(days=6)
    assert code[1] not in codes[0].token_hash


@pytest.mark.django_db
def test_nobody_else_gets_a_code_this_way(coach: Membership) -> None:
    with pytest.raises(CommandError, match="No owner has the sign-in name"):
        told("ownercode", coach.person.sign_in_name)


@pytest.mark.django_db
@pytest.mark.parametrize("address", ["javascript:alert(1)", "ftp://x", "club.example"])
def test_an_address_that_no_browser_opens_costs_no_link(address: str) -> None:
    with pytest.raises(CommandError, match="is no address of a site"):
        told("ownerlink", "--address", address)
    assert not OwnerLink.objects.exists()


@pytest.mark.parametrize("command", ["ownerlink", "recheck", "summaries"])
def test_without_a_club_a_command_says_so_in_a_sentence(command: str, tmp_path: Path) -> None:
    said = subprocess.run(
        [sys.executable, "-m", "django", command],
        env=os.environ | {"WITHIN_EIGHT_DATA": str(tmp_path), "DATABASE_URL": "", **SETTINGS},
        capture_output=True,
        text=True,
        check=False,
    )
    assert said.returncode == 1
    assert "There is no club's database here yet" in said.stderr
    assert "Traceback" not in said.stderr
