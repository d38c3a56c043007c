"""A pasted list of people: read line by line, saved whole or not at all, taken back, carded.

The rules are the product's own (no outside source); that names which look alike are refused goes by
Unicode's security mechanisms (UTS 39).
"""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.test import Client

from tests.conftest import NOON
from tests.grouping import group_named
from tests.web.conftest import ROOT, reader_for, seen
from training.models import Deed, GroupTime, Membership, Person, SignInCode, Standing
from training.people_lists import read_list
from training.refusals import NoLongerPossible, Refusal
from training.selectors.people_lists import newest_list
from training.services.people_lists import look_at_list, save_list, take_back_list

PAGE, CARDS = f"{ROOT}/people/list/", f"{ROOT}/people/cards/"


@pytest.fixture(autouse=True)
def _noon(clock) -> None:
    clock(NOON)


@pytest.mark.parametrize("separator", ["\t", ";", ","])
def test_it_is_read_however_a_spreadsheet_parts_it(separator) -> None:
    text = separator.join(("Åse Ø", "Builders", "yes", "mother, form".replace(separator, " ")))
    (one,) = read_list(text)
    assert (one.name, one.group, one.under_18) == ("Åse Ø", "Builders", True)
    assert one.consent.startswith("mother")


def test_a_first_line_names_the_columns_in_any_order() -> None:
    found = read_list('Under 18;NAME;Group\nno;"Bo; the second";Builders\n\n;Cy;')
    assert [(one.number, one.name, one.group) for one in found] == [
        (2, "Bo; the second", "Builders"),
        (4, "Cy", ""),
    ]


@pytest.mark.parametrize(
    ("line", "trouble"),
    [
        ("Ines", "Somebody in this club is called Ines"),
        ("lnes", "Somebody in this club is called Ines"),
        ("Bo\nbo", "stands in line 1"),
        ("Coach Bo", "Leave out “Coach”"),
        ("Мара B", "Letters of different alphabets"),
        ("Bo;Nobodys", "There is no group called Nobodys"),
        ("Bo;;maybe", "Under 18: write yes or no."),
        ("Bo;;no;mother", "but not that the member is under 18"),
        ("Bo;;;;more", "There are more columns"),
        (";Builders", "Choose the name that others see."),
        (f"Bo;;yes;{'x' * 201}", "200 letters at most"),
        (f"{'x' * 41}", "40 letters at most"),
    ],
)
def test_a_line_that_needs_correcting_is_told_and_nothing_is_saved(
    club, coach, member, line, trouble
) -> None:
    group_named(club, "Builders")
    text = f"{line}\nFlip"
    before = Person.objects.count()
    page = seen(reader_for(coach).post(PAGE, {"do": "look", "text": text}))
    assert trouble in page
    assert "Add them all" not in page
    with pytest.raises(Refusal):
        save_list(by=coach, text=text, now=NOON)
    assert Person.objects.count() == before


def test_names_of_other_scripts_come_in_with_sign_in_names_of_their_own(club, coach) -> None:
    text = "Åse Ø\nМарія\nליאור\n李小龍\nمريم\nNoor B\nNoorB"
    made = save_list(by=coach, text=text, now=NOON)
    assert [one.person.sign_in_name for one in made] == [
        "åseø",
        "марія",
        "ליאור",
        "李小龍",
        "مريم",
        "noorb",
        "noorb2",
    ]


def test_a_list_is_saved_whole_with_groups_ages_and_consents(club, coach) -> None:
    builders = group_named(club, "Builders")
    text = "Bo\tbuilders\nCy\t\tyes\tmother, signed form\nDi\tBuilders\tyes"
    reader = reader_for(coach)
    html = reader.post(PAGE, {"do": "look", "text": text})
    for words in (
        "3 members in the list.",
        "1 member will wait for a guardian’s consent.",
        "signs in as bo",
        "under 18; mother, signed form, noted by Kari to text 1",
    ):
        assert words in seen(html)
    state = re.search(r'name="seen" value="(\w+)"', html)
    assert state is not None
    reader.post(PAGE, {"do": "save", "text": text, "seen": state[1]}, status=302)
    bo, cy, di = Membership.objects.filter(display_name__in=["Bo", "Cy", "Di"])
    assert (bo.standing, cy.standing, di.standing) == (
        Standing.ACTIVE,
        Standing.ACTIVE,
        Standing.CONSENT,
    )
    assert (cy.consent_note, cy.consent_noted_by, cy.consent_noted_at) == (
        "mother, signed form",
        coach.person,
        NOON,
    )
    times = GroupTime.objects.filter(group=builders)
    assert {one.membership_id for one in times} == {bo.pk, di.pk}
    # The midnight of that day in Oslo.
    assert {one.begins_at for one in times} == {NOON.replace(hour=23) - timedelta(days=1)}


def test_what_another_coach_did_meanwhile_is_told(club, coach) -> None:
    preview = look_at_list(by=coach, text="Bo")
    save_list(by=coach, text="Bob", now=NOON)
    save_list(by=coach, text="Bo", seen=preview.state, now=NOON)
    preview = look_at_list(by=coach, text="Cy")
    Person.objects.create_person("cy", None)
    with pytest.raises(NoLongerPossible):
        save_list(by=coach, text="Cy", seen=preview.state, now=NOON)


def test_a_list_is_taken_back_once_while_nobody_of_it_has_signed_in(club, coach, member) -> None:
    group_named(club, "Builders")
    people = Person.objects.count()
    save_list(by=coach, text="Bo;Builders\nCy;;yes;mother", now=NOON)
    found = newest_list(coach, NOON)
    assert found is not None
    assert "Take the list back" in seen(reader_for(coach).get(PAGE))
    reader_for(coach).post(PAGE, {"do": "undo", "list": found.id}, status=302)
    assert Person.objects.count() == people
    assert not GroupTime.objects.exists()
    assert not Deed.objects.exists()
    with pytest.raises(NoLongerPossible):
        take_back_list(by=coach, list_id=found.id, now=NOON)
    made = save_list(by=coach, text="Bo", now=NOON)
    Person.objects.filter(pk=made[0].person_id).update(last_login=NOON)
    again = newest_list(coach, NOON)
    assert again is not None
    with pytest.raises(NoLongerPossible):
        take_back_list(by=coach, list_id=again.id, now=NOON)
    assert "can no longer be taken back" in seen(reader_for(coach).get(PAGE))


def test_cards_for_all_of_a_list_let_each_in_once(club, coach) -> None:
    names = "\n".join(f"Member {letter}" for letter in "ABCDEFGHI")
    made = save_list(by=coach, text=f"{names}\nSmall;;yes", now=NOON)
    html = reader_for(coach).post(CARDS, {"who": "list"})
    codes = re.findall(r'<b class="moves">([0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4})</b>', html)
    assert len(codes) == len(set(codes)) == 9
    assert html.count('class="card-sheet"') == 2
    # The address breaks at its slashes and dots alone, on paper and on a phone.
    where = '<p class="small address">http://<wbr>testserver/<wbr>code/</p>'
    assert html.count(where) == 9
    assert "No card for Small: the account is not open yet." in seen(html)
    assert not any(code in reader_for(coach).get(CARDS) for code in codes)
    assert SignInCode.objects.count() == 9
    client = Client()
    entered = {"sign_in_name": made[0].person.sign_in_name, "code": codes[0]}
    assert client.post("/code/", entered).status_code == 302
    assert Client().post("/code/", entered).status_code != 302


def test_cards_for_a_group_and_for_those_who_have_signed_in(club, coach, member, second) -> None:
    builders = group_named(club, "Builders")
    GroupTime.objects.create(membership=member, group=builders, begins_at=member.joined_at)
    page = reader_for(coach).post(CARDS, {"who": str(builders.pk)}, status=400)
    assert "Everybody of these has signed in before. Tick this to make cards" in seen(page)
    page = seen(reader_for(coach).post(CARDS, {"who": str(builders.pk), "again": "on"}))
    assert "Ines" in page
    assert "Bashir" not in page


def test_the_queries_do_not_grow_with_the_list(club, coach, django_assert_num_queries) -> None:
    for size in (1, 40):
        text = "\n".join(f"Person {n}" for n in range(size))
        with django_assert_num_queries(3):
            look_at_list(by=coach, text=text)
