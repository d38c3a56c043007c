"""Names that cannot be taken for another's.

Sources: Unicode Technical Standard 39 (sections 4 and 5, with its own examples), RFC 5892
(appendices A.1 and A.2), UAX 15 for NFKC; ``tests/data/icu_names.json`` is what ICU 78 says
(see ``tests/reference/icu_names.py``).
"""

from __future__ import annotations

import json
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given as given_any
from hypothesis import strategies

from tests.conftest import NOON, PHRASE, make_membership
from tests.web.conftest import reader_for, words
from training import names, refusals
from training.models import Club, Membership, Person
from training.names import Fault, are_alike, fault_of, is_highly_restrictive, skeleton, tidy
from training.services import naming, particulars, people
from training.services.people import NewAccount

ICU = json.loads(
    (Path(__file__).resolve().parents[1] / "data" / "icu_names.json").read_text(encoding="ascii")
)
ZWNJ, ZWJ = "\u200c", "\u200d"


class TestTables:
    """Against ICU, the Unicode Consortium's own library, over 590 texts of a seeded draw."""

    def test_the_restriction_level_is_icus(self) -> None:
        assert len(ICU) > 500
        passed = [one["highly_restrictive"] for one in ICU]
        assert min(passed.count(True), passed.count(False)) > 100
        wrong = [
            one["text"]
            for one in ICU
            if is_highly_restrictive(one["text"]) != one["highly_restrictive"]
        ]
        assert wrong == []

    def test_so_are_the_skeletons(self) -> None:
        # Characters newer than this Python are brought into their form by ICU alone.
        known = [one for one in ICU if "Cn" not in map(unicodedata.category, one["text"])]
        assert len(known) > 500
        assert [one["text"] for one in known if skeleton(one["text"]) != one["skeleton"]] == []


class TestSkeletons:
    @pytest.mark.parametrize(
        ("one", "other"),
        [
            # UTS 39, section 4: "paypal" with Cyrillic letters; "scope"; and section 5.
            ("paypal", "p\u0430yp\u0430l"),
            ("scope", "\u0455\u0441\u043e\u0440\u0435"),
            ("Circle", "\u0421ir\u0441l\u0435"),
            # Its data: zero and O, one, small L and capital I, rn and m.
            ("B0b", "BOb"),
            ("A1", "Al"),
            ("AI", "Al"),
            ("rnilk", "milk"),
        ],
    )
    def test_names_that_look_alike_have_one(self, one: str, other: str) -> None:
        assert skeleton(one) == skeleton(other)
        assert are_alike(one, other)

    def test_others_have_not(self) -> None:
        called = ["Ana", "Anna", "Lia", "Mia", "Ola", "Åla", "Noor", "Nora", "Jo", "Joe", "Yu"]
        alike = [(a, b) for a in called for b in called if a < b and are_alike(a, b)]
        assert alike == []

    def test_case_and_what_is_not_seen_make_no_difference(self) -> None:
        assert are_alike("ŁUKASZ", "łukasz")
        assert are_alike("Mara", "Ma\u200bra")
        assert are_alike("Mara", "\u202eMara")

    @given_any(strategies.text(max_size=12))
    def test_a_name_looks_like_itself_and_its_tidy_form(self, text: str) -> None:
        assert are_alike(text, tidy(text))
        assert tidy(tidy(text)) == tidy(text)


class TestRestrictionLevel:
    # UTS 39, section 5.1, table "Mixed Script Examples", and section 5.2.
    @pytest.mark.parametrize(
        ("text", "passes"),
        [
            ("Circle", True),
            ("\u0421\u0456\u0433\u0441\u04c0\u0435", True),  # all Cyrillic
            ("\u0421ir\u0441l\u0435", False),  # Cyrillic and Latin
            ("Circ1e", True),
            ("C\U0001d5c2\U0001d5cb\U0001d5bc\U0001d5c5\U0001d5be", True),
            ("\u3006\u5207", True),  # Japanese
            ("\u306d\u30ac", True),  # Hiragana and Katakana
            ("T\u30b7\u30e3\u30c4", True),  # Latin beside Japanese
            ("Kim\uae40", True),  # Latin beside Korean
            ("Li\u674e", True),  # Latin beside Chinese
            ("\u3042\uae40", False),  # Japanese and Korean
            ("\u0391lpha", False),  # Greek and Latin
            ("\u05d0a", False),  # Hebrew and Latin: moderately restrictive at most
        ],
    )
    def test_is_highly_restrictive(self, text: str, passes: bool) -> None:
        assert is_highly_restrictive(text) is passes


GOOD = (
    "Mara",
    "Little Jo",
    "O'Neil",
    "L’Été",
    "Anne-Marie",
    "J. R.",
    "Zoë",
    "Åse",
    "Łukasz",
    "Ğülşen",
    "Đorđe",
    "Čeněk",
    "Nguyễn Thị Ánh",
    "Șerban",
    "Hawaiʻi",
    "Ọlá",
    "Мария",
    "Їжак",
    "Ελένη",
    "יוסף",
    "محمد",
    "नेहा",
    "தமிழ்",
    "สมชาย",
    "Գոռ",
    "გიო",
    "አበበ",
    "ゆき",
    "山田ケン",
    "山田 Ken",
    "サーシャ",
    "佐々木",
    "김민수",
    "王小明",
    "李𠮷",
    "Ines 2",
)
"""Names as people have them: common practice, no source."""


class TestNames:
    @pytest.mark.parametrize("name", GOOD)
    def test_people_of_many_tongues_are_called_as_they_are(self, name: str) -> None:
        assert naming.shown_name(name) == tidy(name)

    @pytest.mark.parametrize(
        ("name", "fault"),
        [
            ("M\u0430ra", Fault.SCRIPTS),
            ("\u039cara", Fault.SCRIPTS),
            ("\u13b7ara", Fault.NOT_ALLOWED),
            ("Ma\u200bra", Fault.UNSEEN),
            ("Ma\u00adra", Fault.UNSEEN),
            ("Ma\u202era", Fault.UNSEEN),
            ("\u2067Mara", Fault.UNSEEN),
            ("\u200fMara", Fault.UNSEEN),
            ("Mara\ufeff", Fault.UNSEEN),
            ("Mara\u3164", Fault.UNSEEN),
            ("\u3164", Fault.UNSEEN),
            ("Mara\ufe0f", Fault.UNSEEN),
            ("Mara\U000e0041", Fault.UNSEEN),
            ("Mara ☆", Fault.NOT_ALLOWED),
            ("Mara (1)", Fault.NOT_ALLOWED),
            ("Mara\u0301\u0301", Fault.MARKS),
            ("Z\u0300\u0302\u0303\u0306\u0307", Fault.MARKS),
            ("\u0301Mara", Fault.MARKS),
            ("\u0661 2", Fault.DIGITS),
            ("...", Fault.EMPTY),
        ],
    )
    def test_others_are_refused_in_words(self, name: str, fault: Fault) -> None:
        found = fault_of(tidy(name))
        assert found is not None
        assert found[0] is fault or (name == "\u3164" and found[0] is Fault.EMPTY)
        with pytest.raises(refusals.InvalidEntry) as refused:
            naming.shown_name(name)
        assert refused.value.field == "display_name"

    # RFC 5892, appendix A.1 and A.2: after a virama both; the non-joiner between letters that
    # join. The words are the usual ones of Persian and Hindi.
    @pytest.mark.parametrize(
        ("name", "passes"),
        [
            (f"\u0646\u0627\u0645\u0647{ZWNJ}\u0627\u06cc", True),
            (f"\u0915\u094d{ZWJ}\u0937", True),
            (f"\u0915\u094d{ZWNJ}\u0937", True),
            (f"\u0915{ZWJ}\u0937", False),
            (f"\u0646\u0627{ZWNJ}\u0645", False),
            (f"ma{ZWJ}ra", False),
            (f"ma{ZWNJ}ra", False),
            (f"{ZWJ}mara", False),
            (f"mara{ZWNJ}", False),
        ],
    )
    def test_joiners_stand_where_the_rfc_allows_them(self, name: str, passes: bool) -> None:
        assert (fault_of(name) is None) is passes

    def test_the_wide_and_the_fancy_are_kept_as_plain_letters(self) -> None:
        # UAX 15, NFKC.
        assert naming.shown_name("Ｍａｒａ") == "Mara"
        assert naming.shown_name(" \U0001d4dc\U0001d4ea\U0001d4fb\U0001d4ea  B ") == "Mara B"

    @pytest.mark.parametrize(
        "name", ["Mara Coach", "Coach Mara", "the-owner", "COACH", "Co\u0430ch", "Admin", "C0ach"]
    )
    def test_a_name_carries_no_role(self, name: str) -> None:
        with pytest.raises(refusals.InvalidEntry):
            naming.shown_name(name)

    def test_a_name_that_only_begins_so_does(self) -> None:
        assert naming.shown_name("Coachella") == "Coachella"
        assert naming.shown_name("Owen") == "Owen"


@pytest.mark.django_db
class TestInAClub:
    def join(self, coach: Membership, shown: str, sign_in: str = "runa") -> Membership:
        _, token = people.make_invite(by=coach, now=NOON)
        account = NewAccount(sign_in, shown, PHRASE)
        return people.join_by_invite(token=token, account=account, under_18=False, now=NOON)

    @pytest.mark.parametrize("name", ["lnes", "1nes", "Ｉｎｅｓ", "INES", "\u0406n\u0435\u0455"])
    def test_nobody_looks_like_somebody(
        self, coach: Membership, member: Membership, name: str
    ) -> None:
        with pytest.raises(refusals.InvalidEntry) as refused:
            self.join(coach, name)
        assert refused.value.field == "display_name"
        assert Membership.objects.count() == 2
        assert not Person.objects.filter(sign_in_name="runa").exists()
        with pytest.raises(refusals.InvalidEntry):
            particulars.rename(by=coach, membership=coach, display_name=name)

    def test_in_another_club_that_is_nobodys_matter(
        self, outsider: Membership, member: Membership
    ) -> None:
        assert self.join(outsider, "lnes").display_name == "lnes"

    def test_one_may_be_called_as_oneself(self, coach: Membership, member: Membership) -> None:
        renamed = particulars.rename(by=coach, membership=member, display_name="INES")
        assert renamed.display_name == "INES"

    @pytest.mark.parametrize("name", ["lnes", "ｉｎｅｓ", "in\u0435s", "i\u200bnes"])
    def test_nor_does_a_sign_in_name(
        self, coach: Membership, member: Membership, name: str
    ) -> None:
        # Compared as the capital I is: "Ines" and "lnes" look alike, "ines" and "lnes" do not.
        member.person.sign_in_name = "Ines"
        member.person.save()
        with pytest.raises(refusals.InvalidEntry) as refused:
            self.join(coach, "Runa", name)
        assert refused.value.field == "sign_in_name"

    def test_an_invite_by_name_is_held_to_it_too(self, coach: Membership) -> None:
        for name in ("Coach Kim", "Ki\u200bm", "Kim\u0430"):
            with pytest.raises(refusals.InvalidEntry) as refused:
                people.make_invites_by_name(by=coach, names=["Ana", name])
            assert refused.value.field == "names"


@pytest.mark.django_db
class TestAtTheDoor:
    def sign_in(self, name: str, phrase: str = PHRASE) -> int:
        entry = {"sign_in_name": name, "phrase": phrase}
        return reader_for(None).client.post("/sign-in/", entry).status_code

    def test_a_name_opens_in_the_form_that_a_keyboard_gives(self, member: Membership) -> None:
        for name in ("ines", "INES", " ines ", "ｉｎｅｓ"):
            assert self.sign_in(name) == 302

    def test_a_name_of_an_older_version_still_does(self, club: Club) -> None:
        old = make_membership(club, "Ma\u0433a (coach)")
        for kept in ("ｍａｒａ", "m\u0430ra", "mara@x", "(coach)"):
            old.person.sign_in_name = kept
            old.person.save()
            assert self.sign_in(kept) == 302
        page = reader_for(old).get(f"/c/{club.slug}/today/")
        assert "Sign out" in words(page)

    def test_another_form_of_the_name_is_no_new_eight_tries(self, member: Membership) -> None:
        forms = ("ines", "ｉnes", "iｎes", "inｅs", "ineｓ", "ｉｎes", "INES", "ines ", "iｎｅs")
        statuses = [self.sign_in(form, "not it at all") for form in forms]
        assert statuses[0] == 401
        assert statuses[-1] == 429
        assert self.sign_in("ｉｎｅｓ") == 429

    def test_whoever_types_the_other_name_is_told_in_the_same_words(
        self, club: Club, member: Membership
    ) -> None:
        """Whether the name that others see, the sign-in name or neither exists."""
        member.display_name = "Sunshine"
        member.save()
        said = set()
        for name in ("Sunshine", "ines", "nobody"):
            entry = {"sign_in_name": name, "phrase": "not it at all"}
            page = reader_for(None).post("/sign-in/", entry, status=401)
            said.add(words(page).replace(name, "NAME"))
            page = reader_for(None).post("/code/", {"sign_in_name": name, "code": "X"}, status=401)
            assert "may differ from the name that others see" in words(page)
        (told,) = said
        assert "Your sign-in name may differ from the name that others see." in told


def test_comparing_with_ten_thousand_takes_less_than_a_second() -> None:
    """A bound for the machine of the tests; two hundredths of it are usual."""
    from time import perf_counter

    others = [f"member-{number}" for number in range(10_000)]
    names.likeness.cache_clear()
    began = perf_counter()
    assert not any(are_alike("runa", other) for other in others)
    assert perf_counter() - began < 1
