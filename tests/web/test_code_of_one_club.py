"""A coach's one-time code opens that coach's club; nobody gets into another club by it.

Common practice (least privilege), no source.
"""

from __future__ import annotations

import importlib
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection
from django.test import Client
from rest_framework.test import APIClient

from tests.conftest import PHRASE, make_membership
from tests.web.conftest import ROOT, Reader, reader_for, words
from training.models import Club, Membership, Role, SignInCode
from training.services import accounts, people

FAR = "/c/far-shore"
NEW = "eleven slow snails"


@pytest.fixture
def there(member: Membership, other_club: Club) -> Membership:
    """The member's account in the other club, where they coach."""
    return Membership.objects.create(
        club=other_club, person=member.person, display_name="I", role=Role.COACH
    )


@pytest.fixture
def far_owner(other_club: Club) -> Membership:
    return make_membership(other_club, "Fumi", Role.OWNER)


def by_code(coach: Membership, membership: Membership, reader: Reader | None = None) -> Reader:
    """Somebody who came with a card that ``coach`` made for ``membership``."""
    reader = reader or reader_for(None)
    code = accounts.make_sign_in_code(by=coach, membership=membership)
    entry = {"sign_in_name": membership.person.sign_in_name, "code": code}
    reader.post("/code/", entry, status=302)
    return reader


def shown_in(client: Client, address: str) -> tuple[int, bytes]:
    answer = client.get(address)
    return answer.status_code, answer.content


class TestOneClubAlone:
    def test_pages_and_api_of_the_other_are_not_there(
        self, coach: Membership, member: Membership, there: Membership
    ) -> None:
        thief = by_code(coach, member)
        assert thief.client.get("/").url == f"{ROOT}/today/"
        thief.get(f"{ROOT}/today/")
        for page in ("today/", "coach/", "people/", "settings/"):
            thief.get(f"{FAR}/{page}", status=404)
        for form in ("people/", f"people/{there.pk}/", "settings/"):
            thief.post(f"{FAR}/{form}", status=404)
        # As a club that does not exist, byte for byte.
        api = "/api/v1/clubs"
        absent = shown_in(thief.client, f"{api}/no-such-club/today/")
        assert shown_in(thief.client, f"{api}/far-shore/today/") == absent
        assert absent[0] == 404
        told = thief.client.get("/api/v1/me/").json()["clubs"]
        assert [one["slug"] for one in told] == ["lantern-street"]
        assert "Far Shore" not in thief.get("/phrase/")

    def test_the_pass_phrase_opens_all(
        self, coach: Membership, member: Membership, there: Membership
    ) -> None:
        reader = by_code(coach, member)
        entry = {"sign_in_name": "ines", "phrase": PHRASE}
        reader.post("/sign-in/", entry, status=302)
        reader.get(f"{FAR}/today/")
        reader.get(f"{ROOT}/today/")

    def test_no_new_phrase_without_the_old_one(
        self, coach: Membership, member: Membership, there: Membership
    ) -> None:
        thief = by_code(coach, member)
        page = thief.post("/phrase/", {"phrase": NEW}, status=400)
        assert "Write your old pass phrase." in words(page)
        page = thief.post("/phrase/", {"phrase": NEW, "old_phrase": "not it at all"}, status=400)
        assert "This is not your pass phrase." in words(page)
        member.person.refresh_from_db()
        assert member.person.check_password(PHRASE)
        thief.post("/phrase/", {"phrase": NEW, "old_phrase": PHRASE}, status=302)
        thief.get(f"{FAR}/today/")

    def test_an_archived_account_elsewhere_counts_too(
        self, coach: Membership, member: Membership, there: Membership, far_owner: Membership
    ) -> None:
        accounts.archive_membership(by=far_owner, membership=there)
        by_code(coach, member).post("/phrase/", {"phrase": NEW}, status=400)

    def test_a_code_is_no_way_to_a_token(
        self, coach: Membership, member: Membership, there: Membership
    ) -> None:
        code = accounts.make_sign_in_code(by=coach, membership=member)
        for body in ({"phrase": code}, {"phrase": code, "code": code}, {"code": code}):
            body = {"sign_in_name": "ines", **body}
            answer = APIClient().post("/api/v1/tokens/", body, format="json")
            assert answer.status_code in (400, 401)

    def test_nor_a_way_into_a_third_club(
        self, coach: Membership, member: Membership, there: Membership, outsider: Membership
    ) -> None:
        invite = people.make_invite(by=outsider)[1]
        page = by_code(coach, member).get(f"/join/{invite}/", status=403)
        assert "sign in with your pass phrase" in words(page)

    def test_a_session_opened_by_a_code_before_sessions_knew_their_clubs_is_over(
        self, member: Membership
    ) -> None:
        client = Client()
        client.force_login(member.person, backend="training.services.backends.OneTimeCodeBackend")
        assert client.get(f"{ROOT}/today/").url.startswith("/sign-in/")


class TestACodeFromEach:
    def test_permits_a_new_phrase(
        self, coach: Membership, member: Membership, there: Membership, far_owner: Membership
    ) -> None:
        reader = by_code(coach, member)
        by_code(far_owner, there, reader)
        reader.get(f"{FAR}/today/")
        reader.get(f"{ROOT}/today/")
        assert "Old pass phrase" not in words(reader.get("/phrase/"))
        reader.post("/phrase/", {"phrase": NEW}, status=302)
        reader.get(f"{FAR}/today/")
        member.person.refresh_from_db()
        assert member.person.check_password(NEW)

    def test_one_clubs_code_does_not_end_the_others(
        self, coach: Membership, member: Membership, there: Membership, far_owner: Membership
    ) -> None:
        accounts.make_sign_in_code(by=coach, membership=member)
        accounts.make_sign_in_code(by=far_owner, membership=there)
        assert SignInCode.objects.unused().count() == 2

    def test_codes_given_by_another_person_do_not_add_up(
        self, coach: Membership, member: Membership, there: Membership, far_owner: Membership
    ) -> None:
        reader = by_code(far_owner, far_owner_member := make_membership(there.club, "Nao"))
        assert far_owner_member.person != member.person
        by_code(coach, member, reader)
        reader.get(f"{FAR}/today/", status=404)
        reader.post("/phrase/", {"phrase": NEW}, status=400)


def test_cards_given_out_by_older_versions_open_one_club_or_none(
    coach: Membership, member: Membership, second: Membership, other_club: Club
) -> None:
    for one in (member, second):
        accounts.make_sign_in_code(by=coach, membership=one)
    Membership.objects.create(club=other_club, person=second.person, display_name="B")
    SignInCode.objects.update(club=None)
    migration = importlib.import_module("training.migrations.0011_cards_given_out")
    migration.name_clubs(apps, SimpleNamespace(connection=connection))
    assert [one.club_id for one in SignInCode.objects.all()] == [member.club_id]


def test_with_a_phrase_and_a_session_the_new_one_asks_for_the_old(member: Membership) -> None:
    reader = reader_for(member)
    reader.post("/phrase/", {"phrase": NEW}, status=400)
    page = reader.post("/phrase/", {"phrase": PHRASE, "old_phrase": PHRASE}, status=400)
    assert "that you have already" in words(page)
    for weak in ("aaaaaaaaaaaa", "AaAaAaAaAaAa", "ab ab ab ab ab"):
        page = reader.post("/phrase/", {"phrase": weak, "old_phrase": PHRASE}, status=400)
        assert "different letters or signs" in words(page)
    entry = {"phrase": NEW, "old_phrase": "not it at all"}
    statuses = [reader.client.post("/phrase/", entry).status_code for _ in range(9)]
    assert (statuses[0], statuses[-1]) == (400, 429)


def test_what_a_coach_does_to_an_account_stays_in_the_club(
    coach: Membership, member: Membership, there: Membership
) -> None:
    reader_for(coach).post(f"{ROOT}/people/{member.pk}/", {"do": "archive"}, status=302)
    there.refresh_from_db()
    assert there.standing == "active"
    reader_for(there).get(f"{FAR}/today/")
    reader_for(coach).post(f"{ROOT}/people/{there.pk}/", {"do": "archive"}, status=404)
    there.refresh_from_db()
    assert there.standing == "active"


def test_a_code_by_whoever_runs_the_server_opens_all(owner: Membership, other_club: Club) -> None:
    Membership.objects.create(club=other_club, person=owner.person, display_name="Odd")
    reader = reader_for(None)
    code = accounts.make_owner_code(sign_in_name="odd")
    assert reader.client.post("/code/", {"sign_in_name": "odd", "code": code}).url == "/phrase/"
    reader.post("/phrase/", {"phrase": NEW}, status=302)
    reader.get(f"{FAR}/today/")


class TestADeviceKnownInEach:
    """Stands for a code from the clubs that the member has been in on it by pass phrase."""

    def at_home(self, *pages: str) -> Reader:
        """The member's own device, on which they were in the clubs of some pages, signed out."""
        reader = reader_for(None)
        reader.post("/sign-in/", {"sign_in_name": "ines", "phrase": PHRASE}, status=302)
        for page in pages:
            reader.get(page)
        reader.post("/sign-out/", status=302)
        return reader

    def test_with_a_code_permits_a_new_phrase(
        self, coach: Membership, member: Membership, there: Membership
    ) -> None:
        reader = by_code(coach, member, self.at_home(f"{ROOT}/today/", f"{FAR}/today/"))
        # The code itself still opens one club alone.
        reader.get(f"{FAR}/today/", status=404)
        reader.post("/phrase/", {"phrase": NEW}, status=302)
        reader.get(f"{FAR}/today/")

    def test_not_one_that_is_known_in_the_coachs_own_club_alone(
        self, coach: Membership, member: Membership, there: Membership
    ) -> None:
        """Such as the tablet in that coach's hall."""
        reader = by_code(coach, member, self.at_home(f"{ROOT}/today/"))
        reader.post("/phrase/", {"phrase": NEW}, status=400)

    def test_nor_without_any_code(self, member: Membership, there: Membership) -> None:
        reader = self.at_home(f"{ROOT}/today/", f"{FAR}/today/")
        reader.post("/sign-in/", {"sign_in_name": "ines", "phrase": PHRASE}, status=302)
        reader.post("/phrase/", {"phrase": NEW}, status=400)

    def test_nor_after_another_phrase_nor_for_somebody_else(
        self, coach: Membership, member: Membership, second: Membership, there: Membership
    ) -> None:
        reader = self.at_home(f"{ROOT}/today/", f"{FAR}/today/")
        Membership.objects.create(club=there.club, person=second.person, display_name="B")
        by_code(coach, second, reader).post("/phrase/", {"phrase": NEW}, status=400)
        reader.post("/sign-out/", status=302)
        member.person.set_password("twelve red kites")
        member.person.save()
        by_code(coach, member, reader).post("/phrase/", {"phrase": NEW}, status=400)

    def test_visits_by_a_code_make_nothing_known(
        self, coach: Membership, member: Membership, there: Membership, far_owner: Membership
    ) -> None:
        reader = by_code(far_owner, there)
        reader.get(f"{FAR}/today/")
        reader.post("/sign-out/", status=302)
        by_code(coach, member, reader).post("/phrase/", {"phrase": NEW}, status=400)

    def test_a_cookie_of_ones_own_making_is_none(
        self, coach: Membership, member: Membership, there: Membership
    ) -> None:
        reader = reader_for(None)
        reader.client.cookies["known-in"] = f"{'0' * 32}-{member.club_id}-{there.club_id}"
        by_code(coach, member, reader).post("/phrase/", {"phrase": NEW}, status=400)


class TestGuessing:
    """A coach's own codes buy no tries at a member's phrase."""

    def guess(self, reader: Reader, name: str = "ines") -> int:
        entry = {"sign_in_name": name, "phrase": "not it at all"}
        return reader.client.post("/sign-in/", entry).status_code

    def test_making_codes_and_using_one_clubs_ends_no_count(
        self, coach: Membership, member: Membership, there: Membership
    ) -> None:
        statuses = []
        for _ in range(4):
            thief = reader_for(None)
            statuses += [self.guess(thief) for _ in range(3)]
            accounts.make_sign_in_code(by=coach, membership=member)
            by_code(coach, member)
        assert statuses == [401] * 7 + [429] * 5

    def test_nor_do_wrong_codes(self, coach: Membership, member: Membership) -> None:
        for _ in range(7):
            self.guess(reader_for(None))
        entry = {"sign_in_name": "ines", "code": "0000-0000-0000"}
        reader_for(None).post("/code/", entry, status=401)
        assert self.guess(reader_for(None)) == 429

    def test_a_valid_one_of_somebody_with_one_club_does(
        self, coach: Membership, member: Membership
    ) -> None:
        for _ in range(8):
            self.guess(reader_for(None))
        entry = {"sign_in_name": "ines", "phrase": PHRASE}
        reader_for(None).post("/sign-in/", entry, status=429)
        by_code(coach, member)
        reader_for(None).post("/sign-in/", entry, status=302)

    def test_the_right_phrase_does(self, member: Membership) -> None:
        entry = {"sign_in_name": "ines", "phrase": PHRASE}
        for _ in range(3):
            assert [self.guess(reader_for(None)) for _ in range(7)] == [401] * 7
            reader_for(None).post("/sign-in/", entry, status=302)
        page = reader_for(None)
        said = [page.client.post("/sign-in/", entry | {"phrase": "no"}) for _ in range(8)]
        assert said[-1].status_code == 429
        assert 0 < int(said[-1]["Retry-After"]) <= 900
