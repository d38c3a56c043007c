"""A club's people laid out for its coaches."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from training.agreement import CURRENT, TEXTS
from training.models import Invite, Membership, Role
from training.policies import consent_was_withdrawn
from training.rights import may_archive, may_let_in, may_lift_lock, may_make_code, may_manage
from training.selectors.clubs import Roster
from training.web.pages.people.forms import ConsentForm
from training.web.pictures.qr import Qr, draw_qr
from training.web.saying.addresses import breakable
from training.web.saying.counting import count
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class PersonLine:
    """One person of a list, with what this reader may do for them.

    ``href`` leads to the person's progress. ``about`` tells what is particular, and
    ``not_yours`` who does what the reader may not; both may be empty.
    """

    id: int
    name: str
    href: str
    signs_in: str
    about: str
    may_make_card: bool
    may_archive: bool
    may_reopen: bool
    may_lift_lock: bool
    not_yours: str


@dataclass(frozen=True, slots=True)
class NewcomerLine:
    """Somebody who waits to be let in; ``yours``: by this reader."""

    id: int
    name: str
    about: str
    yours: bool


@dataclass(frozen=True, slots=True)
class WaitingLine:
    """A child whose guardian's consent is to be noted, with the form for it.

    ``withdrawn``: an earlier one was taken back.
    """

    id: int
    name: str
    signs_in: str
    withdrawn: bool
    form: ConsentForm


@dataclass(frozen=True, slots=True)
class InviteLine:
    """An invite that still lets somebody in."""

    id: int
    said: str
    until: Said


@dataclass(frozen=True, slots=True)
class FreshInvite:
    """An invite just made: its address is shown this once. ``lets_in`` says whom, and how.

    ``where``: the address as lines may break it.
    """

    title: str
    address: str
    where: SafeString
    qr: Qr
    lets_in: str


@dataclass(frozen=True, slots=True)
class PeopleShown:
    """What ``pages/people/people.html`` needs beside the form for a new invite."""

    newcomers: tuple[NewcomerLine, ...]
    agreement: str
    waiting: tuple[WaitingLine, ...]
    members: tuple[PersonLine, ...]
    coaches: tuple[PersonLine, ...]
    archived: tuple[PersonLine, ...]
    invites: tuple[InviteLine, ...]
    fresh: tuple[FreshInvite, ...]


@dataclass(frozen=True, slots=True)
class CardShown:
    """What ``pages/people/code_card.html`` needs: a one-time sign-in card.

    ``where``: the address as lines may break it.
    """

    name: str
    sign_in_name: str
    code: str
    address: str
    where: SafeString
    qr: Qr
    within: str


def show_people(
    viewer: Membership,
    roster: Roster,
    now: datetime,
    *,
    refused: ConsentForm | None = None,
    fresh: Sequence[FreshInvite] = (),
    locked: Collection[int] = (),
) -> PeopleShown:
    """Lay out the lists; ``refused``: the form of somebody whose consent could not be noted."""
    return PeopleShown(
        newcomers=tuple(_newcomer(one, viewer, now) for one in roster.newcomers),
        agreement=str(TEXTS[CURRENT]),
        waiting=tuple(_waiting(one, refused) for one in roster.waiting_for_consent),
        members=_lines(roster.members, viewer, locked),
        coaches=_lines(roster.coaches, viewer, locked),
        archived=_lines(roster.archived, viewer, locked, archived=True),
        invites=tuple(_invite(one, viewer, now) for one in roster.invites),
        fresh=tuple(fresh),
    )


def show_fresh(invite: Invite, address: str, viewer: Membership, now: datetime) -> FreshInvite:
    """Lay out an invite just made; ``address`` holds its secret."""
    unit = "coach" if invite.role == Role.COACH else "member"
    until = say(invite.expires_at, now, viewer.club.zone).bare.text
    if invite.made_for:
        title = _("The link for {name}, shown once").format(name=invite.made_for)
        lets_in = _("It works once, until {until}. Give it to {name} alone.").format(
            name=invite.made_for, until=until
        )
    else:
        title = _("The invite link, shown once")
        lets_in = _(
            "{people} can join by it, until {until}. Whoever has it can; you let in each who comes."
        ).format(people=count(invite.places, unit), until=until)
    return FreshInvite(title, address, breakable(address), draw_qr(address), lets_in)


def show_card(person: Membership, code: str, address: str, *, days: int) -> CardShown:
    """Lay out a sign-in card; ``address``: where its code is typed in, within ``days``."""
    return CardShown(
        name=person.display_name,
        sign_in_name=person.person.sign_in_name,
        code=code,
        address=address,
        where=breakable(address),
        qr=draw_qr(address),
        within=count(days, "day"),
    )


def _lines(
    people: Sequence[Membership],
    viewer: Membership,
    locked: Collection[int],
    *,
    archived: bool = False,
) -> tuple[PersonLine, ...]:
    return tuple(_line(one, viewer, archived, one.pk in locked) for one in people)


def _line(one: Membership, viewer: Membership, archived: bool, locked: bool) -> PersonLine:
    managed = may_manage(viewer, one)
    not_yours = ""
    if not managed:
        not_yours = _("the owner looks after coaches’ accounts")
    about = (_("owner") if one.role == Role.OWNER else "", _("under 18") if one.under_18 else "")
    return PersonLine(
        id=one.pk,
        name=one.display_name,
        href=reverse("coach_member", args=[viewer.club.slug, one.pk]),
        signs_in=_("signs in as {name}").format(name=one.person.sign_in_name),
        about=" · ".join(filter(None, about)),
        may_make_card=not archived and may_make_code(viewer, one),
        may_archive=not archived and may_archive(viewer, one),
        may_reopen=managed and archived,
        may_lift_lock=locked and not archived and may_lift_lock(viewer, one),
        not_yours=not_yours,
    )


def _newcomer(one: Membership, viewer: Membership, now: datetime) -> NewcomerLine:
    came = say(one.joined_at, now, viewer.club.zone).text
    about = _("signs in as {name}, came {when}").format(name=one.person.sign_in_name, when=came)
    if one.role == Role.COACH:
        about = _("as a coach; {about}").format(about=about)
    return NewcomerLine(one.pk, one.display_name, about, may_let_in(viewer, one))


def _waiting(one: Membership, refused: ConsentForm | None) -> WaitingLine:
    form = ConsentForm(prefix=str(one.pk))
    if refused is not None and refused.prefix == form.prefix:
        form = refused
    return WaitingLine(
        id=one.pk,
        name=one.display_name,
        signs_in=_("signs in as {name}").format(name=one.person.sign_in_name),
        withdrawn=consent_was_withdrawn(one),
        form=form,
    )


def _invite(one: Invite, viewer: Membership, now: datetime) -> InviteLine:
    if one.made_for:
        said = _("for {name}").format(name=one.made_for)
    elif one.role == Role.COACH:
        said = _("for coaches, {left} of {places} left")
    else:
        said = _("for members, {left} of {places} left")
    return InviteLine(
        id=one.pk,
        said=said.format(left=one.places - one.taken, places=count(one.places, "place")),
        until=say(one.expires_at, now, viewer.club.zone),
    )
