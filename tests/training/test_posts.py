"""Posts: whose name stands where, what is worth a word, the address for all, an erase.

Who may be named where is the club's own rule; that consent is asked for apart from other consents
follows GDPR (EU 2016/679), article 7 (2).
"""

from __future__ import annotations

from datetime import timedelta
from xml.etree import ElementTree

import pytest
from django.test import Client

from tests.conftest import NOON, Given, make_membership
from tests.training.challenged import DAY, HOUR, a_challenge, planned, post_it
from tests.web.conftest import reader_for
from training.improving import SetGain, stood_out_once
from training.models import (
    Challenge,
    Club,
    ConfirmedLine,
    Membership,
    Plan,
    PublicAddress,
    WorthAWord,
)
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.selectors.challenge_results import newest_confirmation
from training.selectors.posts import outside_name
from training.selectors.worth_a_word import suggestions
from training.services import accounts, corrections, erasing, particulars
from training.services.confirming import confirm, settle
from training.services.posting import post, publish, unpublish

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

ROOT = "/c/lantern-street/challenges/"
ATOM = "{http://www.w3.org/2005/Atom}"


@pytest.fixture
def child(club: Club, coach: Membership) -> Membership:
    return make_membership(club, "Pim", under_18=True, consent_noted_at=NOON)


@pytest.fixture
def posted(
    club: Club,
    given: Given,
    coach: Membership,
    owner: Membership,
    member: Membership,
    second: Membership,
    child: Membership,
) -> Challenge:
    """Ines has said that she may be named outside, Bashir has not, Pim is a child."""
    challenge = a_challenge(club, opens=NOON - 13 * DAY, closes=NOON - 12 * DAY)
    planned(given, challenge, member, ["D' R'", "R' D'"])
    planned(given, challenge, second, ["D2 D R'", "R' D'"])
    planned(given, challenge, child, ["D2 D R'", None])
    particulars.choose_named_outside(membership=member, named=True, now=NOON)
    post_it(challenge, coach)
    publish(club=club, by=owner, now=NOON)
    return challenge


def outside_forms(challenge: Challenge, coach: Membership) -> dict[str, str]:
    """Every form of a post that leaves the club, as it is answered."""
    reader = reader_for(coach).client
    place = f"{ROOT}{challenge.pk}/post/"
    page = reader.get(place).content.decode()
    secret = PublicAddress.objects.get().secret
    anybody = Client()
    picture = f"/posts/{secret}/{challenge.post.pk}/picture.svg"
    return {
        "text": page.partition("<textarea")[2].partition("</textarea>")[0],
        "sheet": reader.get(f"{place}sheet/").content.decode(),
        "picture": reader.get(f"{place}picture.svg").content.decode(),
        "public page": anybody.get(f"/posts/{secret}/").content.decode(),
        "public picture": anybody.get(picture).content.decode(),
        "feed": anybody.get(f"/posts/{secret}/feed/").content.decode(),
    }


def main_of(page: str) -> str:
    """A page without its frame, in which whoever looks is named."""
    return page.partition("<main")[2].partition("</main>")[0] or page


def test_no_form_that_leaves_the_club_names_who_has_not_said_so(
    posted: Challenge, coach: Membership
) -> None:
    for name, form in outside_forms(posted, coach).items():
        form = main_of(form)
        assert "Ines" in form, name
        assert "Bashir" not in form, name
        assert "Pim" not in form, name
        assert "a member" in form.lower(), name
    inside = reader_for(coach).client.get(f"{ROOT}{posted.pk}/").content.decode()
    assert "Bashir" in inside
    assert "Pim" in inside


def test_a_child_is_named_when_both_have_said_so(
    posted: Challenge, coach: Membership, child: Membership, member: Membership
) -> None:
    assert outside_name(child) == "a member"
    particulars.choose_named_outside(membership=child, named=True, now=NOON)
    assert outside_name(child) == "a member"
    particulars.note_guardian_on_naming(by=coach, membership=child, agrees=True, now=NOON)
    assert outside_name(child) == "Pim"
    assert "Pim" in outside_forms(posted, coach)["feed"]
    particulars.note_guardian_on_naming(by=coach, membership=child, agrees=False, now=NOON)
    assert outside_name(child) == "a member"
    particulars.note_guardian_on_naming(by=coach, membership=child, agrees=True, now=NOON)
    accounts.withdraw_consent(by=coach, membership=child, now=NOON)
    child.refresh_from_db()
    assert (outside_name(child), child.outside_consent_at) == ("a member", None)
    with pytest.raises(InvalidEntry):
        particulars.note_guardian_on_naming(by=coach, membership=member, agrees=True)
    with pytest.raises(NotAllowed):
        particulars.note_guardian_on_naming(by=member, membership=child, agrees=True)


def test_who_cannot_sign_in_is_not_named(member: Membership, owner: Membership) -> None:
    particulars.choose_named_outside(membership=member, named=True)
    assert outside_name(member) == "Ines"
    accounts.archive_membership(by=owner, membership=member)
    member.refresh_from_db()
    assert outside_name(member) == "a member"


def test_an_erase_reaches_every_form_and_the_numbers_stay(
    posted: Challenge, coach: Membership, member: Membership
) -> None:
    before = list(ConfirmedLine.objects.values_list("rank", "points", "solved", "exact"))
    words = WorthAWord.objects.count()
    erasing.erase_membership(by=coach, membership=member, typed="Ines", now=NOON)
    assert list(ConfirmedLine.objects.values_list("rank", "points", "solved", "exact")) == before
    assert WorthAWord.objects.count() == words
    inside = reader_for(coach).client.get(f"{ROOT}{posted.pk}/").content.decode()
    for name, form in {**outside_forms(posted, coach), "inside": inside}.items():
        assert "Ines" not in main_of(form), name
        assert "a former member" in form.lower(), name


def test_the_public_address_is_the_owners_and_another_one_each_time(
    posted: Challenge, club: Club, owner: Membership, coach: Membership
) -> None:
    anybody = Client()
    first = PublicAddress.objects.get().secret
    assert len(first) >= 32
    answer = anybody.get(f"/posts/{first}/")
    assert answer.status_code == 200
    assert answer["X-Robots-Tag"] == "noindex, nofollow"
    assert b'<meta name="robots" content="noindex, nofollow">' in answer.content
    assert answer["Referrer-Policy"] == "no-referrer"
    with pytest.raises(NotAllowed):
        publish(club=club, by=coach)
    second = publish(club=club, by=owner).secret
    assert second != first
    assert anybody.get(f"/posts/{first}/").status_code == 404
    assert anybody.get(f"/posts/{second}/").status_code == 200
    with pytest.raises(NotAllowed):
        unpublish(club=club, by=coach)
    unpublish(club=club, by=owner)
    for more in ("", "feed/", f"{posted.post.pk}/picture.svg"):
        assert anybody.get(f"/posts/{second}/{more}").status_code == 404


def test_the_feed_is_atom(posted: Challenge) -> None:
    """RFC 4287, 4.1.1 and 4.1.2: a feed and its entries have an id, a title and an instant."""
    answer = Client().get(f"/posts/{PublicAddress.objects.get().secret}/feed/")
    assert answer["Content-Type"].startswith("application/atom+xml")
    feed = ElementTree.fromstring(answer.content)
    assert feed.tag == f"{ATOM}feed"
    (entry,) = feed.findall(f"{ATOM}entry")
    for one in (feed, entry):
        assert all(one.findtext(f"{ATOM}{name}") for name in ("id", "title", "updated"))
    assert entry.findtext(f"{ATOM}title") == "Weekly challenge 1"
    # The summary is HTML, so a name that looks like markup is a name (RFC 4287, 3.1.1.2).
    Membership.objects.filter(display_name="Ines").update(display_name="<b>Ines")
    answer = Client().get(f"/posts/{PublicAddress.objects.get().secret}/feed/")
    summary = ElementTree.fromstring(answer.content).findtext(f"{ATOM}entry/{ATOM}summary")
    assert summary is not None
    assert "&lt;b&gt;Ines" in summary


def test_a_post_waits_for_the_result_and_takes_three_words_of_the_list(
    club: Club, given: Given, coach: Membership, member: Membership
) -> None:
    challenge = a_challenge(club)
    planned(given, challenge, member, ["D' R'"])
    with pytest.raises(NoLongerPossible):
        post(challenge=challenge, by=coach, now=NOON)
    confirm(challenge=challenge, by=coach, now=NOON)
    with pytest.raises(InvalidEntry):
        post(challenge=challenge, by=coach, words=["fewest-0"], now=NOON)
    with pytest.raises(InvalidEntry):
        post(challenge=challenge, by=coach, words=["a", "b", "c", "d"], now=NOON)
    with pytest.raises(NotAllowed):
        post(challenge=challenge, by=member, now=NOON)
    made = post(challenge=challenge, by=coach, words=[f"fewest-{member.pk}"], now=NOON)
    assert [one.figures for one in made.words.all()] == [{"points": 8, "crosses": 2}]
    post(challenge=challenge, by=coach, words=[], now=NOON + HOUR)
    assert made.words.count() == 0


def test_what_is_worth_a_word_has_its_evidence(
    club: Club, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    """One alone found the first of two crosses; both found the second."""
    third = make_membership(club, "Eskil")
    challenge = a_challenge(club)
    planned(given, challenge, member, ["D' R'", "R' D'"])
    planned(given, challenge, second, ["D2 D R'", "R' D'"])
    planned(given, challenge, third, ["U", "R2 R D'"])
    settle(set_id=challenge.scramble_set_id, now=NOON + 30 * HOUR)
    confirmation = newest_confirmation(challenge)
    assert confirmation is not None
    found = suggestions(coach, challenge, confirmation, NOON + 30 * HOUR)
    assert [(one.kind, one.member, one.figures) for one in found] == [
        ("fewest", "Ines", {"points": 0, "crosses": 2}),
        ("rare", "Ines", {"number": 1, "others": 0, "plans": 3}),
    ]


def test_a_first_exact_seven_mover_is_told_once(
    club: Club, given: Given, coach: Membership, member: Membership
) -> None:
    from training.models import Verdict

    def exact_seven(opens: int) -> Challenge:
        challenge = a_challenge(club, opens=NOON - opens * DAY, closes=NOON - (opens - 1) * DAY)
        planned(given, challenge, member, ["D' R'"])
        # A cross of seven, as far as the tables and this sentence go.
        of_set = Verdict.objects.filter(plan__scramble__scramble_set=challenge.scramble_set)
        of_set.update(best=7, moves=7)
        settle(set_id=challenge.scramble_set_id, now=NOON)
        return challenge

    def told(challenge: Challenge) -> list[dict[str, int]]:
        confirmation = newest_confirmation(challenge)
        assert confirmation is not None
        found = suggestions(coach, challenge, confirmation, NOON)
        return [one.figures for one in found if one.kind == "first"]

    first, later = exact_seven(20), exact_seven(10)
    assert told(first) == [{"number": 1, "best": 7}]
    assert told(later) == []


def test_one_set_far_better_than_the_weeks_before_stands_out_and_an_equal_one_does_not() -> None:
    """Student's t for one further value; recomputed with `scipy.stats.ttest_ind` by hand below."""
    from scipy.stats import ttest_ind

    before = (0.4, -0.2, 0.1, 0.6, -0.1, 0.3, 0.2)
    better = SetGain(1, before, -1.4)
    # With one value on a side, the pooled test of two samples is that of a further value.
    p = ttest_ind([better.now], before, equal_var=True, alternative="less").pvalue
    assert p < 0.01
    crowd = [SetGain(n, before, 0.2) for n in range(2, 12)]
    assert [one.member for one in stood_out_once([better, *crowd])] == [1]
    assert stood_out_once(crowd) == []
    assert stood_out_once([SetGain(1, before[:5], -1.4)]) == []
    assert stood_out_once([SetGain(1, (0.5,) * 8, -1.4)]) == []


def test_a_result_corrected_later_is_posted_as_confirmed(
    posted: Challenge, coach: Membership, member: Membership
) -> None:
    plan = Plan.objects.get(membership=member, scramble__number=1)
    corrections.withdraw_plan(plan=plan, by=coach, reason="mix-up", now=NOON + timedelta(hours=1))
    assert "1. Ines: 0 moves over, 2 exact" in outside_forms(posted, coach)["text"]
    inside = reader_for(coach).client.get(f"{ROOT}{posted.pk}/").content.decode()
    assert "now 8, confirmed 0" in inside


def test_a_member_says_so_under_my_data_and_a_coach_notes_the_guardian(
    club: Club, coach: Membership, child: Membership, second: Membership
) -> None:
    reader = reader_for(child).client
    assert reader.post("/data/", {"do": "named", "club": club.slug}).status_code == 302
    about = f"/c/{club.slug}/people/{child.pk}/about/"
    assert reader_for(second).client.post(about, {"do": "agrees"}).status_code == 403
    assert reader_for(coach).client.post(about, {"do": "agrees"}).status_code == 302
    child.refresh_from_db()
    assert (outside_name(child), child.outside_consent_by) == ("Pim", coach.person)
    log = child.deeds_undergone.values_list("what", "detail").order_by("pk")
    assert list(log) == [("outside", "named"), ("guardian_on_naming", "agreed")]
    reader.post("/data/", {"do": "unnamed", "club": club.slug})
    child.refresh_from_db()
    assert outside_name(child) == "a member"
