"""One person of the club laid out for its coaches."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from training.models import Membership
from training.policies import has_consent, may_stay_out
from training.rights import (
    may_change_role,
    may_choose_competing,
    may_erase,
    may_export,
    may_manage,
    may_mark_age,
    may_rename,
)
from training.selectors.club_data import consent_of, counting_periods_of
from training.selectors.kept_in_club import ClubData
from training.selectors.kept_of_challenges import kept_of_challenges
from training.web.parts.kept import (
    Kept,
    KeptShown,
    consent_kept,
    counting_words,
    outside_words,
    show_kept,
)
from training.web.saying.deeds import age_words, role_name, standing_words


@dataclass(frozen=True, slots=True)
class MemberShown:
    """What ``pages/member/member.html`` needs beside the forms; ``may_…``: what is offered.

    ``named_outside``: whether the name may stand outside the club; ``guardian_on_naming``: what
    a coach can note of that for a child. ``consent`` is empty where none was ever noted.
    ``counting``: over which times tables count the person.
    """

    name: str
    role_said: str
    age: str
    standing: str
    consent: tuple[Kept, ...]
    counting: str
    data_href: str
    erase_href: str
    may_rename: bool
    may_change_role: bool
    may_choose_competing: bool
    may_mark_age: bool
    may_withdraw_consent: bool
    may_export: bool
    may_erase: bool
    named_outside: str
    guardian_on_naming: str


@dataclass(frozen=True, slots=True)
class MemberDataShown:
    """What ``pages/member/data.html`` needs."""

    name: str
    back_href: str
    file_href: str
    data: KeptShown


def show_member(viewer: Membership, person: Membership, now: datetime) -> MemberShown:
    """Lay out what stands of somebody, with what ``viewer`` may do."""
    args = [viewer.club.slug, person.pk]
    return MemberShown(
        name=person.display_name,
        role_said=role_name(person.role),
        age=age_words(person.under_18),
        standing=standing_words(person.standing),
        consent=tuple(consent_kept(consent_of(person), now, viewer.club.zone)),
        counting=counting_words(counting_periods_of(person), now, viewer.club.zone),
        data_href=reverse("member_data", args=args),
        erase_href=reverse("erase_member", args=args),
        may_rename=may_rename(viewer, person),
        may_change_role=may_change_role(viewer, person),
        may_choose_competing=may_choose_competing(viewer, person) and may_stay_out(person),
        may_mark_age=may_mark_age(viewer, person),
        may_withdraw_consent=has_consent(person) and may_manage(viewer, person),
        may_export=may_export(viewer, person),
        may_erase=may_erase(viewer, person),
        named_outside=outside_words(kept_of_challenges(person)),
        guardian_on_naming=_guardian(viewer, person),
    )


def _guardian(viewer: Membership, person: Membership) -> str:
    """What can be noted of a guardian: ``agrees``, ``takes_back``, or nothing."""
    if not person.under_18 or not may_manage(viewer, person):
        return ""
    return "takes_back" if person.outside_consent_at is not None else "agrees"


def show_data(
    viewer: Membership, person: Membership, found: ClubData, now: datetime
) -> MemberDataShown:
    """Lay out all that the club keeps of somebody."""
    args = [viewer.club.slug, person.pk]
    return MemberDataShown(
        name=person.display_name,
        back_href=reverse("member", args=args),
        file_href=reverse("api:member-data", args=args),
        data=show_kept(found, now, viewer.club.zone),
    )
