"""Whoever is signed in is answered in the language they chose, else in their club's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.contrib.auth.middleware import AuthenticationMiddleware
from django.db import DatabaseError, connection
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.utils import translation
from django.utils.module_loading import import_string

from tests.house.test_language import compiled
from tests.web.conftest import ROOT, reader_for
from training.models import Club, Membership

DUTCH = {"Today": "Vandaag", "Nothing here": "Hier is niets", "People": "Mensen"}
TODAY = f"{ROOT}/today/"


@pytest.fixture
def two_languages(tmp_path: Path) -> Iterator[None]:
    """A site that speaks English, and Dutch in a few words."""
    folder = tmp_path / "nl" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    (folder / "django.mo").write_bytes(compiled(DUTCH))
    two = [*settings.LANGUAGES, ("nl", "Nederlands")]
    with override_settings(LANGUAGES=two, LOCALE_PATHS=[tmp_path]):
        yield
    translation.activate(settings.LANGUAGE_CODE)


def asked(who: Membership | None, address: str = TODAY, browser: str = "en") -> tuple[str, str]:
    """The page, and the language that its header names."""
    client = reader_for(who).client
    response = client.get(address, headers={"accept-language": browser})
    return response.content.decode(), response["Content-Language"]


def test_it_stands_behind_the_browsers_language_and_who_is_signed_in() -> None:
    order = settings.MIDDLEWARE
    here = order.index("clubsite.middleware.ReadersLanguage")
    assert order.index("django.middleware.locale.LocaleMiddleware") < here
    earlier = [import_string(name) for name in order[:here]]
    assert any(
        isinstance(one, type) and issubclass(one, AuthenticationMiddleware) for one in earlier
    )


@pytest.mark.parametrize(
    ("persons", "clubs", "browsers", "spoken"),
    [
        ("", "en", "nl", "en"),
        ("", "nl", "en", "nl"),
        ("en", "nl", "nl", "en"),
        ("nl", "en", "en", "nl"),
    ],
)
def test_the_person_is_heard_before_the_club_and_the_club_before_the_browser(
    member: Membership,
    club: Club,
    two_languages: None,
    persons: str,
    clubs: str,
    browsers: str,
    spoken: str,
) -> None:
    Club.objects.update(language=clubs)
    member.person.language = persons
    member.person.save(update_fields=["language"])
    page, header = asked(member, browser=browsers)
    assert header == spoken
    assert f'<html lang="{spoken}">' in page
    assert ("Vandaag" in page) == (spoken == "nl")


def test_the_club_of_the_page_decides_for_somebody_of_two(
    outsider: Membership, club: Club, two_languages: None
) -> None:
    Membership.objects.create(club=club, person=outsider.person, display_name="Orla")
    Club.objects.filter(pk=club.pk).update(language="nl")
    assert asked(outsider)[1] == "nl"
    assert asked(outsider, f"/c/{outsider.club.slug}/today/")[1] == "en"
    # Far Shore comes first by name, where no page says which of the two.
    assert asked(outsider, "/notation/")[1] == "en"


def test_a_page_that_is_not_there_speaks_it_too(member: Membership, two_languages: None) -> None:
    Club.objects.update(language="nl")
    page, header = asked(member, "/nothing/here/")
    assert header == "nl"
    assert "Hier is niets" in page


def test_signed_out_the_browser_is_heard(club: Club, two_languages: None) -> None:
    Club.objects.update(language="nl")
    assert asked(None, "/sign-in/", "en")[1] == "en"
    assert asked(None, "/sign-in/", "nl")[1] == "nl"


def test_the_next_reader_does_not_inherit_it(
    member: Membership, outsider: Membership, two_languages: None
) -> None:
    member.person.language = "nl"
    member.person.save(update_fields=["language"])
    assert asked(member)[1] == "nl"
    assert asked(None, "/sign-in/")[1] == "en"
    assert asked(outsider, "/notation/")[1] == "en"


def test_a_language_that_the_site_no_longer_speaks_is_passed_over(
    member: Membership, two_languages: None
) -> None:
    member.person.language = "fi"
    member.person.save(update_fields=["language"])
    assert asked(member)[1] == "en"


def test_with_one_language_nothing_is_asked(member: Membership) -> None:
    client = reader_for(member).client
    client.get("/notation/")
    with CaptureQueriesContext(connection) as one:
        client.get("/notation/")
    with (
        override_settings(LANGUAGES=[*settings.LANGUAGES, ("nl", "Nederlands")]),
        CaptureQueriesContext(connection) as two,
    ):
        client.get("/notation/")
    assert len(two) == len(one) + 1


def test_a_database_that_is_away_does_not_end_in_the_middleware(
    member: Membership, two_languages: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The watcher's page must still say what does not answer."""
    client = Client()
    client.force_login(member.person, backend="training.services.backends.PhraseBackend")

    def away(*_: Any, **__: Any) -> None:
        raise DatabaseError

    monkeypatch.setattr("clubsite.middleware.language_for", away)
    monkeypatch.setattr("clubsite.health.pulse", away)
    response = client.get("/health/")
    assert response.status_code == 503
    assert response.json()["database"] == "does not answer"
