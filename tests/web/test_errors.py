"""Pages for what does not work, and the headers of all pages."""

from __future__ import annotations

import re

import pytest
from django import forms
from django.test import Client, RequestFactory

from tests.conftest import PHRASE, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import Membership, Plan
from training.services import accounts
from training.web.pages.errors import views as errors


def test_what_is_not_there_has_a_page_of_our_own(db: None) -> None:
    said = words(reader_for(None).get("/nothing/", status=404))
    assert "Nothing here" in said
    # The way out that is told is the one that stands there.
    assert "Check the address, or start from the first page. To the first page" in said


class TestArchived:
    """Whoever is archived is told why nothing opens; nobody else learns that they were here."""

    @pytest.fixture
    def archived(self, coach: Membership, member: Membership) -> Membership:
        return accounts.archive_membership(by=coach, membership=member)

    @pytest.mark.parametrize("page", ["today", "progress", "table/all", "coach"])
    def test_an_open_session_meets_the_reason_and_whom_to_ask(
        self, member: Membership, coach: Membership, page: str
    ) -> None:
        reader = reader_for(member)
        reader.get(f"{ROOT}/today/")
        accounts.archive_membership(by=coach, membership=member)
        said = words(reader.get(f"{ROOT}/{page}/", status=403))
        assert "Your account is archived" in said
        assert "A coach of Lantern Street has archived your account" in said
        assert "A coach can open the account again" in said
        assert "Nothing here" not in said

    def test_what_is_posted_meets_it_too(self, archived: Membership, given: Given) -> None:
        today = given.a_set()
        page = reader_for(archived).enter(today, 1, status=403, plan="R", do="hand_in")
        assert "Your account is archived" in words(page)
        assert not Plan.objects.exists()

    def test_signing_in_anew_meets_it_at_the_clubs_pages(self, archived: Membership) -> None:
        reader = reader_for(None)
        entry = {"sign_in_name": "ines", "phrase": PHRASE, "next": f"{ROOT}/today/"}
        reader.post("/sign-in/", entry, status=302)
        assert "Your account is archived" in words(reader.get(f"{ROOT}/today/", status=403))

    def test_to_everybody_else_the_club_is_not_there(
        self, archived: Membership, outsider: Membership
    ) -> None:
        assert "archived" not in words(reader_for(outsider).get(f"{ROOT}/today/", status=404))
        # Nor does the archived one learn of a club that is none of theirs.
        reader_for(archived).get("/c/far-shore/today/", status=404)

    def test_opened_again_the_pages_are_back(self, archived: Membership, coach: Membership) -> None:
        accounts.reopen_membership(by=coach, membership=archived)
        reader_for(archived).get(f"{ROOT}/today/")


def test_a_form_whose_page_is_too_old_is_told_what_to_do(member: Membership) -> None:
    client = Client(enforce_csrf_checks=True)
    response = client.post("/sign-in/", {"sign_in_name": "ines"})
    assert response.status_code == 403
    assert "what you typed is still there" in words(response.content.decode())


def test_the_page_for_our_own_fault_needs_no_database() -> None:
    # No database fixture: a query would fail this test.
    response = errors.server_error(RequestFactory().get("/"))
    assert response.status_code == 500
    assert "Something broke on our side" in response.content.decode()


def test_a_spoiled_request_is_told_so(db: None) -> None:
    request = RequestFactory().get("/")
    request.user = None  # type: ignore[assignment]
    response = reader_for(None).client.get("/", headers={"host": "not.allowed.example"})
    assert response.status_code == 400


@pytest.mark.parametrize("address", ["/", "/notation/", "/sign-in/", f"{ROOT}/today/"])
def test_every_page_has_language_title_main_and_skip_link(
    member: Membership, given: Given, address: str
) -> None:
    given.a_set()
    who = member if address.startswith("/c/") else None
    page = reader_for(who).get(address)
    assert '<html lang="en">' in page
    assert re.search(r"<title>\s*[^<]+·[^<]+</title>", page)
    assert '<main id="main"' in page
    assert 'href="#main"' in page


def test_no_page_allows_inline_script_or_style(member: Membership, given: Given) -> None:
    given.a_set()
    response = reader_for(member).client.get(f"{ROOT}/today/")
    policy = response["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
    page = response.content.decode()
    assert "allowEval&quot;:false" in page or '"allowEval":false' in page
    assert '"includeIndicatorStyles":false' in page


def test_bounds_of_numbers_are_told_in_our_own_words(db: None) -> None:
    """No form leaves it to the framework to say which numbers a field takes."""
    waiting, bounded = [forms.Form], {}
    while waiting:
        form = waiting.pop()
        waiting += form.__subclasses__()
        for name, field in getattr(form, "base_fields", {}).items():
            if isinstance(field, forms.IntegerField):
                bounded[f"{form.__name__}.{name}"] = field
    assert "AnnounceForm.scrambles" in bounded
    for where, field in bounded.items():
        for bound in {"min_value", "max_value"}:
            if getattr(field, bound) is not None:
                assert bound in field.error_messages, where
