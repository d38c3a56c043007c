"""Signing in, codes, joining by invite, the first owner, a new phrase."""

from __future__ import annotations

import re

import pytest

from tests.conftest import PHRASE, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import Club, Invite, Membership, Person, Standing
from training.services import accounts, newcomers, people

JOINER = {
    "display_name": "Runa",
    "age": "over",
    "sign_in_name": "runa",
    "phrase": "quiet green kettles",
}


class TestSignIn:
    def test_name_and_phrase_lead_where_one_wanted_to_go(self, member: Membership) -> None:
        reader = reader_for(None)
        response = reader.client.get(f"{ROOT}/plans/")
        assert response.url == "/sign-in/?next=%2Fc%2Flantern-street%2Fplans%2F"
        response = reader.client.post(
            "/sign-in/",
            {"sign_in_name": "INES", "phrase": PHRASE, "next": f"{ROOT}/plans/"},
        )
        assert (response.status_code, response.url) == (302, f"{ROOT}/plans/")

    @pytest.mark.parametrize("wanted", ["https://elsewhere.example/", "//elsewhere.example/x"])
    def test_another_site_is_never_the_way_on(self, member: Membership, wanted: str) -> None:
        response = reader_for(None).client.post(
            "/sign-in/", {"sign_in_name": "ines", "phrase": PHRASE, "next": wanted}
        )
        assert response.url == "/"

    def test_where_one_wanted_to_go_outlives_a_wrong_phrase(self, member: Membership) -> None:
        reader = reader_for(None)
        assert f'name="next" value="{ROOT}/plans/"' in reader.get(f"/sign-in/?next={ROOT}/plans/")
        entry = {"sign_in_name": "ines", "phrase": "wrong", "next": f"{ROOT}/plans/"}
        assert f'name="next" value="{ROOT}/plans/"' in reader.post("/sign-in/", entry, 401)

    @pytest.mark.parametrize(
        ("wanted", "leads_to"),
        [("", "/"), (f"{ROOT}/plans/", f"{ROOT}/plans/"), ("https://elsewhere.example/", "/")],
    )
    def test_somebody_signed_in_is_led_on(
        self, member: Membership, wanted: str, leads_to: str
    ) -> None:
        response = reader_for(member).client.get("/sign-in/", {"next": wanted})
        assert (response.status_code, response.url) == (302, leads_to)

    def test_a_wrong_phrase_keeps_the_name_and_not_the_phrase(self, member: Membership) -> None:
        page = reader_for(None).post(
            "/sign-in/", {"sign_in_name": "ines", "phrase": "seven wooden goats"}, status=401
        )
        assert 'value="ines"' in page
        assert "goats" not in page
        assert "one-time code" in words(page)
        assert re.search(r"<title>\s*Error:\s+Sign in\s", page)

    def test_an_unknown_name_reads_the_same(self, member: Membership) -> None:
        pages = [
            words(reader_for(None).post("/sign-in/", {"sign_in_name": n, "phrase": "x"}, 401))
            for n in ("ines", "nobody")
        ]
        assert pages[0] == pages[1]

    def test_nothing_typed_names_both_fields(self, db: None) -> None:
        said = words(reader_for(None).post("/sign-in/", {}, status=400))
        assert "Write your sign-in name." in said
        assert "Write your pass phrase." in said

    def test_after_too_many_failures_the_page_says_how_long(self, member: Membership) -> None:
        reader = reader_for(None)
        entry = {"sign_in_name": "ines", "phrase": "wrong"}
        statuses = [reader.client.post("/sign-in/", entry).status_code for _ in range(9)]
        assert statuses[0] == 401
        assert statuses[-1] == 429

    def test_a_known_device_keeps_its_way_in_whoever_else_fails(self, member: Membership) -> None:
        own, stranger = reader_for(None), reader_for(None)
        entry = {"sign_in_name": "ines", "phrase": PHRASE}
        own.post("/sign-in/", entry, status=302)
        kept = own.client.cookies["device"]
        assert (kept["httponly"], kept["samesite"]) == (True, "Lax")
        own.post("/sign-out/", status=302)
        wrong = entry | {"phrase": "wrong"}
        for _ in range(9):
            stranger.client.post("/sign-in/", wrong)
        stranger.post("/sign-in/", entry, status=429)
        # Nor does a mark that this site did not make help.
        stranger.client.cookies["device"] = kept.value[:-1] + "!"
        stranger.post("/sign-in/", entry, status=429)
        own.post("/sign-in/", entry, status=302)
        # It may fail as often as any other.
        own.post("/sign-out/", status=302)
        assert [own.client.post("/sign-in/", wrong).status_code for _ in range(9)][-1] == 429
        own.post("/sign-in/", entry, status=429)

    def test_a_coach_sees_who_is_locked_and_lets_them_try_again(
        self, member: Membership, second: Membership, coach: Membership
    ) -> None:
        for _ in range(8):
            reader_for(None).client.post("/sign-in/", {"sign_in_name": "ines", "phrase": "wrong"})
        page = reader_for(coach).get(f"{ROOT}/people/")
        assert re.findall(r"let (\w+) try again", words(page)) == ["Ines"]
        reader_for(coach).post(f"{ROOT}/people/{member.pk}/", {"do": "lift"}, 302)
        page = reader_for(coach).get(f"{ROOT}/people/")
        assert "try again" not in words(page)
        entry = {"sign_in_name": "ines", "phrase": PHRASE}
        reader_for(None).post("/sign-in/", entry, status=302)

    def test_signing_out_is_a_button(self, member: Membership) -> None:
        reader = reader_for(member)
        assert reader.client.get("/sign-out/").status_code == 405
        reader.post("/sign-out/", status=302)
        assert "You are signed out." in words(reader.get("/"))


class TestCode:
    def test_a_code_lets_in_once_and_asks_for_a_new_phrase(
        self, coach: Membership, member: Membership, given: Given
    ) -> None:
        code = accounts.make_sign_in_code(by=coach, membership=member)
        reader = reader_for(None)
        entry = {"sign_in_name": "ines", "code": code.lower().replace("-", " ")}
        assert reader.client.post("/code/", entry).url == "/phrase/"
        # Until the phrase is chosen every page leads there.
        assert reader.client.get(f"{ROOT}/today/").url == "/phrase/"
        page = reader.post("/phrase/", {"phrase": "short"}, status=400)
        assert "too short" in words(page)
        assert 'value="short"' in page
        reader.post("/phrase/", {"phrase": JOINER["phrase"]}, status=302)
        reader.get(f"{ROOT}/today/")
        assert Person.objects.get(sign_in_name="ines").check_password(JOINER["phrase"])
        reader_for(None).post("/code/", entry, status=401)


@pytest.fixture
def invite_token(coach: Membership) -> str:
    return people.make_invite(by=coach)[1]


class TestJoin:
    def step(self, token: str, status: int = 200, **data: object) -> str:
        return reader_for(None).post(f"/join/{token}/", data, status)

    def test_one_group_of_fields_at_a_time(self, invite_token: str, coach: Membership) -> None:
        reader = reader_for(None)
        page = reader.get(f"/join/{invite_token}/")
        assert "Step 1 of 3" in words(page)
        assert 'name="phrase"' not in page
        page = self.step(invite_token, step="name", display_name="Runa")
        assert "How old are you?" in words(page)
        assert 'name="display_name" value="Runa"' in page
        page = self.step(invite_token, step="age", done="name", display_name="Runa", age="over")
        assert "Step 3 of 3" in words(page)
        reader.post(
            f"/join/{invite_token}/", {"step": "account", "done": ["name", "age"], **JOINER}, 302
        )
        joined = Membership.objects.get(display_name="Runa")
        assert joined.standing == Standing.WAITING
        said = words(reader.get(f"{ROOT}/today/", status=403))
        assert "a coach of Lantern Street lets you in" in said
        assert "You are nearly in" in words(reader.get("/"))
        newcomers.let_in(by=coach, memberships=[joined])
        reader.get(f"{ROOT}/today/")

    def test_a_child_waits_for_consent_and_is_told_so(
        self, invite_token: str, club: Club, coach: Membership
    ) -> None:
        answers = JOINER | {"age": "under"}
        page = self.step(invite_token, step="account", done=["name", "age"], **answers)
        assert "parent or guardian agrees" in words(page)
        joined = Membership.objects.get(display_name="Runa")
        assert joined.standing == Standing.CONSENT
        reader = reader_for(joined)
        assert "not open yet" in words(reader.get(f"{ROOT}/today/", status=403))
        page = reader_for(coach).get(f"{ROOT}/people/")
        assert "Waiting for a guardian’s consent" in words(page)
        form = {f"{joined.pk}-note": "Father, on the phone, 25 November", "do": "consent"}
        reader_for(coach).post(f"{ROOT}/people/{joined.pk}/", form, status=302)
        reader.get(f"{ROOT}/today/")

    def test_a_taken_name_leads_back_to_its_step_and_keeps_the_rest(
        self, invite_token: str, member: Membership
    ) -> None:
        answers = JOINER | {"display_name": "INES"}
        page = self.step(invite_token, 400, step="account", done=["name", "age"], **answers)
        assert "Step 1 of 3" in words(page)
        assert "already called INES" in words(page)
        for kept in ("runa", "quiet green kettles", "over"):
            assert f'value="{kept}"' in page
        # Mended, it goes straight through: nothing is asked twice.
        done = re.findall(r'name="done" value="(\w+)"', page)
        assert done == ["age", "account"]
        self.step(invite_token, 302, step="name", done=done, **JOINER)

    def test_going_back_loses_nothing(self, invite_token: str, club: Club) -> None:
        page = self.step(invite_token, step="account", done=["name", "age"], back="age", **JOINER)
        assert "Step 2 of 3" in words(page)
        assert re.search(r'value="over"[^>]*checked|checked[^>]*value="over"', page)
        assert 'name="sign_in_name" value="runa"' in page

    def test_a_weak_phrase_is_refused_in_words(self, invite_token: str, club: Club) -> None:
        answers = JOINER | {"phrase": "1234567890"}
        page = self.step(invite_token, 400, step="account", done=["name", "age"], **answers)
        assert "entirely numeric" in words(page)
        assert not Person.objects.filter(sign_in_name="runa").exists()

    def test_somebody_with_an_account_is_not_asked_for_one(
        self, invite_token: str, outsider: Membership
    ) -> None:
        reader = reader_for(outsider)
        assert "Step 1 of 2" in words(reader.get(f"/join/{invite_token}/"))
        entry = {"step": "age", "done": ["name"], "display_name": "Orla", "age": "over"}
        reader.post(f"/join/{invite_token}/", entry, status=302)
        assert "You are nearly in" in words(reader.get(f"{ROOT}/today/", status=403))
        reader.get("/c/far-shore/coach/")

    @pytest.mark.parametrize("spoil", ["unknown", "withdrawn", "full"])
    def test_a_link_that_no_longer_works_says_whom_to_ask(
        self, invite_token: str, coach: Membership, spoil: str
    ) -> None:
        if spoil == "withdrawn":
            people.withdraw_invite(by=coach, invite=Invite.objects.get())
        if spoil == "full":
            Invite.objects.update(taken=40, places=40)
        token = "nothing" if spoil == "unknown" else invite_token
        page = reader_for(None).get(f"/join/{token}/", status=410)
        assert "used, has run out or is not whole. Ask the person who sent it" in words(page)


class TestStart:
    def test_the_first_owner_sets_up_the_club_once(self, db: None) -> None:
        address = people.make_owner_link(base_url="")
        reader = reader_for(None)
        page = reader.get(address)
        assert "This link works once" in words(page)
        # Nobody is told that their club is somewhere else: no zone is chosen for them.
        chosen = re.findall(r'<option value="([^"]*)"[^>]*\bselected', page)
        assert chosen in ([], [""])
        assert re.search(r'<select[^>]*name="time_zone"[^>]*>\s*<option value=""', page)
        entry = {
            "club_name": "Harbour Lane",
            "time_zone": "Europe/Oslo",
            "display_name": "Mara",
            "sign_in_name": "mara",
            "phrase": JOINER["phrase"],
        }
        page = reader.post(address, entry | {"phrase": "mara mara mara"}, status=400)
        assert "must not contain" in words(page)
        assert 'value="Harbour Lane"' in page
        page = reader.post(address, entry | {"time_zone": ""}, status=400)
        assert "Choose the time zone of the club." in words(page)
        reader.post(address, entry, status=302)
        assert Club.objects.get().time_zone == "Europe/Oslo"
        assert "Coach’s day" in words(reader.get("/c/harbour-lane/coach/"))
        reader_for(None).get(address, status=410)


def test_the_first_page_leads_each_to_their_day(
    member: Membership, coach: Membership, outsider: Membership, club: Club
) -> None:
    assert reader_for(member).client.get("/").url == f"{ROOT}/today/"
    assert reader_for(coach).client.get("/").url == f"{ROOT}/coach/"
    Membership.objects.create(club=club, person=outsider.person, display_name="Orla")
    said = words(reader_for(outsider).get("/"))
    assert "Far Shore" in said
    assert "Lantern Street" in said
