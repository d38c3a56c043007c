"""People: who belongs to the club, letting somebody in, cards, consent, archive."""

from __future__ import annotations

import re
from datetime import timedelta

from tests.conftest import make_membership
from tests.web.conftest import ROOT, reader_for, words
from training.models import (
    Club,
    Invite,
    Membership,
    Role,
    Standing,
)

DAY = timedelta(days=1)


class TestPeople:
    def test_an_invite_link_is_shown_once_and_can_be_withdrawn(self, coach: Membership) -> None:
        reader = reader_for(coach)
        page = reader.post(f"{ROOT}/people/", {"role": "member", "places": 5, "days": 7})
        token = re.search(r"http://testserver/join/([\w-]+)/", page)
        assert token
        assert "QR code of the address" in page
        assert token[1] not in reader.get(f"{ROOT}/people/")
        entry = {"do": "withdraw_invite", "invite": Invite.objects.get().pk}
        reader.post(f"{ROOT}/people/", entry, status=302)
        reader_for(None).get(f"/join/{token[1]}/", status=410)

    def test_only_the_owner_invites_coaches(self, coach: Membership, owner: Membership) -> None:
        entry = {"role": "coach", "places": 1, "days": 7}
        said = words(reader_for(coach).post(f"{ROOT}/people/", entry, status=403))
        assert "Only the owner of the club invites coaches." in said
        reader_for(owner).post(f"{ROOT}/people/", entry)

    def test_an_invite_says_whom_it_lets_in(self, owner: Membership) -> None:
        reader = reader_for(owner)
        entry = {"role": "member", "places": 40, "days": 14}
        said = words(reader.post(f"{ROOT}/people/", entry))
        assert "40 members can join by it, until Wednesday 9 December at 13:00." in said
        assert "for members, 40 of 40 places left, until Wednesday 9 December at 13:00" in said
        said = words(reader.post(f"{ROOT}/people/", {"role": "coach", "places": 1, "days": 1}))
        assert "1 coach can join by it, until tomorrow at 13:00." in said
        assert "for coaches, 1 of 1 place left, until tomorrow at 13:00" in said

    def test_a_coach_is_offered_no_invite_that_would_be_refused(
        self, coach: Membership, owner: Membership
    ) -> None:
        page = reader_for(coach).get(f"{ROOT}/people/")
        assert '<option value="member"' in page
        assert '<option value="coach"' not in page
        assert "Only the owner of the club lets in coaches." in words(page)
        page = reader_for(owner).get(f"{ROOT}/people/")
        assert '<option value="coach"' in page
        assert "Only the owner" not in words(page)

    def test_names_lead_to_the_members_progress(
        self, coach: Membership, member: Membership
    ) -> None:
        reader = reader_for(coach)
        page = reader.get(f"{ROOT}/people/")
        led = re.findall(r'<a class="plan-link" href="([^"]*)">\s*<b>(\w+)</b>', page)
        assert (f"{ROOT}/coach/members/{member.pk}/", "Ines") in led
        assert {name for _, name in led} == {"Ines", "Kari"}
        for address, name in led:
            assert name in words(reader.get(address)) or address.endswith(f"/{coach.pk}/")

    def buttons(self, page: str, who: Membership) -> list[str]:
        """What can be done for ``who``, in the order of the page."""
        form = re.search(rf'action="{ROOT}/people/{who.pk}/".*?</form>', page, re.DOTALL)
        assert form
        return re.findall(r'name="do" value="(\w+)"', form[0])

    def test_each_reader_is_offered_what_they_may_do(
        self, club: Club, owner: Membership, coach: Membership, member: Membership
    ) -> None:
        gone = make_membership(club, "Gone", Role.COACH, standing=Standing.ARCHIVED)
        page = reader_for(owner).get(f"{ROOT}/people/")
        assert self.buttons(page, member) == ["code", "archive"]
        assert self.buttons(page, coach) == ["code", "archive"]
        assert self.buttons(page, owner) == ["code"]
        assert self.buttons(page, gone) == ["reopen"]
        assert "the owner looks after" not in words(page)
        page = reader_for(coach).get(f"{ROOT}/people/")
        assert self.buttons(page, member) == ["code", "archive"]
        for who in (coach, owner, gone):
            assert self.buttons(page, who) == []
        assert words(page).count("the owner looks after coaches’ accounts") == 3

    def test_a_card_has_name_and_code(self, coach: Membership, member: Membership) -> None:
        page = reader_for(coach).post(f"{ROOT}/people/{member.pk}/", {"do": "code"})
        assert re.search(r"[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}", page)
        assert "ines" in words(page)

    def test_archive_and_open_again(self, coach: Membership, member: Membership) -> None:
        reader = reader_for(coach)
        for doing, standing in (("archive", Standing.ARCHIVED), ("reopen", Standing.ACTIVE)):
            reader.post(f"{ROOT}/people/{member.pk}/", {"do": doing}, status=302)
            member.refresh_from_db()
            assert member.standing == standing

    def test_consent_needs_words(self, coach: Membership, club: Club) -> None:
        child = make_membership(club, "Jo", under_18=True, standing=Standing.CONSENT)
        said = words(
            reader_for(coach).post(f"{ROOT}/people/{child.pk}/", {"do": "consent"}, status=400)
        )
        assert "Write who agreed and how." in said
        assert said.lstrip().startswith("Error: People")

    def test_another_clubs_people_are_not_there(
        self, coach: Membership, outsider: Membership
    ) -> None:
        reader_for(coach).post(f"{ROOT}/people/{outsider.pk}/", {"do": "code"}, status=404)
