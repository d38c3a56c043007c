"""Whoever joins waits for a coach, so that a second account of one's own shows no answers.

Common practice (least privilege), no source. What somebody who waits gets of every address
stands in ``tests/access``.
"""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from rest_framework.test import APIClient

from tests.conftest import NOON, PHRASE, Given, make_membership
from tests.web.conftest import ROOT, Reader, reader_for, words
from training import refusals
from training.models import Club, Invite, Membership, Person, Role, Standing
from training.selectors import coach as coach_day
from training.selectors.tables import all_time_table
from training.services import accounts, newcomers, people
from training.services.people import NewAccount

FORM = {"role": "member", "places": 20, "days": 7}


def comes(token: str, name: str, *, under_18: bool = False) -> Membership:
    """Somebody who joins by a link."""
    account = NewAccount(name.lower(), name, PHRASE)
    return people.join_by_invite(token=token, account=account, under_18=under_18, now=NOON)


@pytest.fixture
def open_link(coach: Membership) -> str:
    return people.make_invite(by=coach)[1]


def tokens_of(page: str) -> list[str]:
    return re.findall(r"http://testserver/join/([\w-]+)/", page)


class TestSecondAccount:
    def test_sees_nothing_of_a_set_whose_answers_are_open_to_all(
        self, open_link: str, member: Membership, given: Given
    ) -> None:
        """The attack: a member's second account, made by the club's own link, reads the answers."""
        today = given.a_set(answers_to="open", table_to="open")
        spy = comes(open_link, "Spy")
        pages, api = reader_for(spy), APIClient()
        body = {"sign_in_name": "spy", "phrase": PHRASE, "scopes": ["read_own", "hand_in"]}
        token = api.post("/api/v1/tokens/", body, format="json").json()["token"]
        api.credentials(HTTP_AUTHORIZATION=f"Bearer {token}")
        for part in ("today/", f"sets/{today.pk}/1/", "table/all/", "practice/", "progress/"):
            page = pages.get(f"{ROOT}/{part}", status=403)
            assert "You are nearly in" in words(page)
            assert not re.search(r"Ines|R D\b|sets/\d", page)
        for part in ("sets/now/", f"sets/{today.pk}/", f"sets/{today.pk}/table/", "table/all/"):
            answer = api.get(f"/api/v1/clubs/lantern-street/{part}")
            assert answer.status_code == 403
            assert "waits until a coach" in answer.json()["detail"]
        plan = {"plan": "D' R'", "key": "4f3c1b52-0000-4000-8000-000000000000"}
        address = f"/api/v1/clubs/lantern-street/sets/{today.pk}/scrambles/1/plan/"
        assert api.post(address, plan, format="json").status_code == 403
        assert api.get("/api/v1/me/").json()["clubs"] == []

    def test_stands_in_no_table_and_is_missed_by_nobody(
        self, open_link: str, coach: Membership, member: Membership, given: Given
    ) -> None:
        given.a_plan(member, given.a_set(), 1, "D' R'")
        comes(open_link, "Spy")
        (today,) = coach_day.overview(coach, NOON).sets
        assert (today.expected, today.missing) == (1, ())
        later = NOON + timedelta(days=2)
        rows = all_time_table(coach, later).rows
        assert "Spy" not in str(rows)
        assert "Ines" in str(rows)


class TestLettingIn:
    def test_many_at_once_and_one_alone(self, open_link: str, coach: Membership) -> None:
        ana, ben, cai = (comes(open_link, name) for name in ("Ana", "Ben", "Cai"))
        reader = reader_for(coach)
        said = words(reader.get(f"{ROOT}/people/"))
        assert "Waiting to be let in" in said
        assert "signs in as ana, came today" in said
        reader.post(f"{ROOT}/people/", {"do": "let_in", "who": [ana.pk, ben.pk]}, status=302)
        assert "Ana and Ben are in." in words(reader.get(f"{ROOT}/people/"))
        assert [standing(one) for one in (ana, ben, cai)] == ["active", "active", "waiting"]
        # The other button's own value, whatever is ticked.
        reader.post(f"{ROOT}/people/", {"let_in": cai.pk}, status=302)
        assert "Cai is in." in words(reader.get(f"{ROOT}/people/"))
        assert "Waiting to be let in" not in words(reader.get(f"{ROOT}/people/"))
        reader_for(ana).get(f"{ROOT}/today/")
        reader.post(f"{ROOT}/people/", {"do": "let_in", "who": [ana.pk]}, status=302)
        assert "Nobody was ticked who still waits." in words(reader.get(f"{ROOT}/people/"))

    def test_what_closed_meanwhile_is_not_held_against_them(
        self, open_link: str, coach: Membership, given: Given
    ) -> None:
        newcomer = comes(open_link, "Ana")
        tomorrow = NOON + timedelta(days=1)
        newcomers.let_in(by=coach, memberships=[newcomer], now=tomorrow)
        newcomer.refresh_from_db()
        assert newcomer.joined_at == tomorrow

    def test_is_for_the_clubs_own_coaches_and_coaches_for_the_owner(
        self, owner: Membership, coach: Membership, outsider: Membership, member: Membership
    ) -> None:
        second_coach = comes(people.make_invite(by=owner, role=Role.COACH)[1], "Cleo")
        assert second_coach.standing == Standing.WAITING
        for stranger in (outsider, member, coach, second_coach):
            for doing in (
                lambda by: newcomers.let_in(by=by, memberships=[second_coach]),
                lambda by: newcomers.turn_away(by=by, membership=second_coach),
            ):
                with pytest.raises(refusals.NotAllowed):
                    doing(stranger)
        page = reader_for(coach).get(f"{ROOT}/people/")
        assert "the owner lets in coaches" in words(page)
        assert 'name="let_in"' not in page
        reader_for(coach).post(f"{ROOT}/people/", {"let_in": second_coach.pk}, status=302)
        assert standing(second_coach) == "waiting"
        reader_for(owner).post(f"{ROOT}/people/", {"let_in": second_coach.pk}, status=302)
        assert standing(second_coach) == "active"

    def test_nobody_is_let_in_when_one_may_not_be(
        self, open_link: str, owner: Membership, coach: Membership
    ) -> None:
        ana = comes(open_link, "Ana")
        cleo = comes(people.make_invite(by=owner, role=Role.COACH)[1], "Cleo")
        with pytest.raises(refusals.NotAllowed):
            newcomers.let_in(by=coach, memberships=[ana, cleo])
        assert standing(ana) == "waiting"

    def test_opens_no_other_closed_account(self, coach: Membership, club: Club) -> None:
        gone = make_membership(club, "Gone", standing=Standing.ARCHIVED)
        child = make_membership(club, "Wee", standing=Standing.CONSENT, under_18=True)
        assert newcomers.let_in(by=coach, memberships=[gone, child]) == []
        assert (standing(gone), standing(child)) == ("archived", "consent")

    def test_taking_off_again_leaves_nothing_of_a_stranger(
        self, open_link: str, coach: Membership, outsider: Membership, member: Membership
    ) -> None:
        spy = comes(open_link, "Spy")
        known = people.join_by_invite(
            token=open_link, person=outsider.person, display_name="Orla", under_18=False
        )
        reader = reader_for(coach)
        for one in (spy, known, member):
            reader.post(f"{ROOT}/people/", {"turn_away": one.pk}, status=302)
        assert not Person.objects.filter(sign_in_name="spy").exists()
        assert [one.club_id for one in outsider.person.memberships.all()] == [outsider.club_id]
        assert standing(member) == "active"

    def test_a_child_is_let_in_by_the_coach_who_notes_the_consent(
        self, open_link: str, coach: Membership
    ) -> None:
        child = comes(open_link, "Wee", under_18=True)
        assert child.standing == Standing.CONSENT
        accounts.note_consent(by=coach, membership=child, note="mother, by phone")
        assert standing(child) == "active"


class TestByName:
    def make(self, reader: Reader, names: str) -> list[str]:
        return tokens_of(reader.post(f"{ROOT}/people/", FORM | {"names": names}))

    def test_each_has_a_link_of_their_own_and_is_in_at_once(self, coach: Membership) -> None:
        reader = reader_for(coach)
        page = reader.post(f"{ROOT}/people/", FORM | {"names": "Ana\n\n  Ben  B \nAna\n"})
        links = list(dict.fromkeys(tokens_of(page)))
        assert len(links) == 2
        assert "The link for Ben B, shown once" in words(page)
        assert "Give it to Ben B alone." in words(page)
        assert "for Ana, until" in words(page)
        newcomer = reader_for(None)
        assert 'value="Ana"' in newcomer.get(f"/join/{links[0]}/")
        assert comes(links[0], "Ana").standing == Standing.ACTIVE
        # One place: the same link lets nobody else in.
        newcomer.get(f"/join/{links[0]}/", status=410)
        with pytest.raises(refusals.LinkUsedUp):
            comes(links[0], "Spy")

    def test_a_child_still_needs_consent(self, coach: Membership) -> None:
        (link,) = set(self.make(reader_for(coach), "Wee"))
        assert comes(link, "Wee", under_18=True).standing == Standing.CONSENT

    def test_too_many_too_long_or_broken_names_make_no_link(self, coach: Membership) -> None:
        reader = reader_for(coach)
        for names in ("\n".join(map(str, range(41))), "A" * 41):
            reader.post(f"{ROOT}/people/", FORM | {"names": names}, status=400)
        assert not Invite.objects.exists()

    def test_only_the_owner_names_coaches(self, coach: Membership, owner: Membership) -> None:
        entry = FORM | {"role": "coach", "names": "Cleo"}
        reader_for(coach).post(f"{ROOT}/people/", entry, status=403)
        (link,) = set(tokens_of(reader_for(owner).post(f"{ROOT}/people/", entry)))
        assert comes(link, "Cleo").standing == Standing.ACTIVE


class TestCoachsDay:
    def test_says_who_waits_and_who_is_new(self, open_link: str, coach: Membership) -> None:
        reader = reader_for(coach)
        assert "New in the last days" not in words(reader.get(f"{ROOT}/coach/"))
        ana, ben = comes(open_link, "Ana"), comes(open_link, "Ben")
        said = words(reader.get(f"{ROOT}/coach/"))
        assert "Ana and Ben have joined and wait to be let in." in said
        newcomers.let_in(by=coach, memberships=[ana, ben], now=NOON)
        said = words(reader.get(f"{ROOT}/coach/"))
        assert "New in the last days: Ana (today) and Ben (today)." in said
        assert "wait to be let in" not in said

    def test_in_the_api_too_and_no_longer_than_a_week(
        self, open_link: str, coach: Membership
    ) -> None:
        ana = comes(open_link, "Ana")
        newcomers.let_in(by=coach, memberships=[ana], now=NOON)
        comes(open_link, "Ben")

        def told(after: timedelta) -> list[tuple[str, bool]]:
            found = coach_day.overview(coach, NOON + after).newcomers
            return [(one.member, one.waits) for one in found]

        assert told(timedelta(days=6, hours=23)) == [("Ana", False), ("Ben", True)]
        assert told(timedelta(days=7)) == [("Ben", True)]
        answer = reader_for(coach).client.get("/api/v1/clubs/lantern-street/coach/overview/")
        assert [one["member"] for one in answer.json()["newcomers"]] == ["Ana", "Ben"]


def standing(membership: Membership) -> str:
    membership.refresh_from_db()
    return membership.standing
