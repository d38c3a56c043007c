"""May this person do that? The only place that says so.

Each rule is a pair: ``may_…`` answers, ``require_…`` raises NotAllowed in words.
Both ask the same question, so they cannot differ. Whether the *state* of a set
or a plan allows it is asked in :mod:`training.policies`; who *sees* what, in
:mod:`training.visibility`.
"""

from __future__ import annotations

from django.utils.translation import gettext as _

from training.models import COACHING_ROLES, Membership, Person, Role, Standing
from training.policies import (
    consent_was_withdrawn,
    is_archived,
    waits_for_consent,
    waits_to_be_let_in,
)
from training.refusals import InvalidEntry, NotAllowed


def may_enter(membership: Membership) -> bool:
    """Whether an account lets its person in: not archived, not waiting for anything."""
    return membership.standing == Standing.ACTIVE and membership.person.is_active


def require_enter(membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_enter`, with the reason why not."""
    if may_enter(membership):
        return
    if is_archived(membership):
        raise NotAllowed(_("This account is archived. A coach of the club can open it again."))
    if consent_was_withdrawn(membership):
        raise NotAllowed(
            _(
                "A parent or guardian took the consent back, so this account is closed. A coach "
                "of the club opens it once a new one is noted."
            )
        )
    if waits_for_consent(membership):
        raise NotAllowed(
            _(
                "This account waits for a parent’s consent. A coach of the club opens it once "
                "the consent is noted."
            )
        )
    if waits_to_be_let_in(membership):
        raise NotAllowed(_("This account waits until a coach of the club lets you in."))
    raise NotAllowed(_("This account is not open. A coach of the club can open it."))


def may_coach(by: Membership, *, club_id: int | None = None) -> bool:
    """Who is a coach here: an open account whose role coaches, of club ``club_id`` if given.

    An owner is a coach.
    """
    of_this_club = club_id is None or by.club_id == club_id
    return by.role in COACHING_ROLES and of_this_club and may_enter(by)


def require_coach(by: Membership, *, club_id: int | None = None) -> None:
    """Raise NotAllowed unless :func:`may_coach`."""
    if not may_coach(by, club_id=club_id):
        raise NotAllowed(_("This is for the coaches of the club."))


def may_own(by: Membership, *, club_id: int | None = None) -> bool:
    """Who owns the club: a coach who also decides what concerns coaches."""
    return by.role == Role.OWNER and may_coach(by, club_id=club_id)


def require_own(by: Membership, *, club_id: int | None = None) -> None:
    """Raise NotAllowed unless :func:`may_own`."""
    if not may_own(by, club_id=club_id):
        raise NotAllowed(_("This is for the owner of the club."))


def may_invite(by: Membership, role: str) -> bool:
    """A coach invites members; the owner invites coaches too."""
    return may_coach(by) if role == Role.MEMBER else may_own(by)


def require_invite(by: Membership, role: str) -> None:
    """Raise NotAllowed unless :func:`may_invite`."""
    require_coach(by)
    if not may_invite(by, role):
        raise NotAllowed(_("Only the owner of the club invites coaches."))


def may_manage(by: Membership, membership: Membership) -> bool:
    """A coach looks after members' accounts; the owner after the coaches' too.

    Otherwise a sign-in card would be a way into more than the coach may do.
    """
    rule = may_own if membership.role in COACHING_ROLES else may_coach
    return rule(by, club_id=membership.club_id)


def require_manage(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_manage`."""
    require_coach(by, club_id=membership.club_id)
    if not may_manage(by, membership):
        raise NotAllowed(_("Only the owner of the club can do this for a coach’s account."))


def may_let_in(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may say that a newcomer is somebody of the club: any that they manage."""
    return may_manage(by, membership)


def require_let_in(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_let_in`."""
    require_manage(by, membership)


def may_archive(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may close an account: any that they manage, but the owner's stays open."""
    return may_manage(by, membership) and membership.role != Role.OWNER


def require_archive(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_archive`."""
    require_manage(by, membership)
    if not may_archive(by, membership):
        raise NotAllowed(_("The owner’s account stays open."))


def may_make_code(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may make a one-time code for somebody: any that they manage.

    It opens ``by``'s club alone (:func:`may_open`).
    """
    return may_manage(by, membership)


def require_make_code(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_make_code`."""
    require_manage(by, membership)


def may_export(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may read out all that is kept of a membership: one's own, or one managed.

    What belongs to this club, and nothing of the person's other clubs.
    """
    return by.pk == membership.pk or may_manage(by, membership)


def require_export(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_export`."""
    if not may_export(by, membership):
        require_manage(by, membership)


def may_rename(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may change the name that others see: one's own, or of somebody managed."""
    return by.pk == membership.pk or may_manage(by, membership)


def require_rename(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_rename`."""
    if not may_rename(by, membership):
        require_manage(by, membership)


def may_change_role(by: Membership, membership: Membership) -> bool:
    """The owner says who coaches and who owns the club too."""
    return may_own(by, club_id=membership.club_id)


def require_change_role(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_change_role`."""
    require_own(by, club_id=membership.club_id)


def may_mark_age(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may say that somebody is under 18 or is not: never of oneself as a member."""
    return may_manage(by, membership)


def require_mark_age(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_mark_age`."""
    require_manage(by, membership)


def may_choose_competing(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may say whether a coach competes: a coach of oneself, else who manages."""
    return (by.pk == membership.pk and may_coach(by)) or may_manage(by, membership)


def require_choose_competing(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_choose_competing`."""
    if not may_choose_competing(by, membership):
        require_manage(by, membership)


def may_correct(by: Membership, *, own_table: bool, others: bool) -> bool:
    """A coach corrects no table of their own, unless no other coach could.

    ``own_table``: ``by`` is ranked or planned there; ``others``: another coach is not.
    """
    return may_coach(by) and not (own_table and others)


def require_correct(by: Membership, *, own_table: bool, others: bool) -> None:
    """Raise NotAllowed unless :func:`may_correct`."""
    require_coach(by)
    if not may_correct(by, own_table=own_table, others=others):
        raise NotAllowed(
            _("You are in this table yourself. Another coach, who is not, makes the correction.")
        )


def may_confirm(by: Membership, *, own_table: bool, others: bool) -> bool:
    """A coach confirms no result in which they are ranked, unless no other coach could."""
    return may_correct(by, own_table=own_table, others=others)


def require_confirm(by: Membership, *, own_table: bool, others: bool) -> None:
    """Raise NotAllowed unless :func:`may_confirm`."""
    require_coach(by)
    if not may_confirm(by, own_table=own_table, others=others):
        raise NotAllowed(
            _("You are in this table yourself. Another coach, who is not, confirms it.")
        )


def may_answer(by: Membership, *, own: bool, others: bool) -> bool:
    """A coach answers questions, the own only where there is no other coach."""
    return may_coach(by) and not (own and others)


def require_answer(by: Membership, *, own: bool, others: bool) -> None:
    """Raise NotAllowed unless :func:`may_answer`."""
    require_coach(by)
    if not may_answer(by, own=own, others=others):
        raise NotAllowed(_("This is your own question. Another coach answers it."))


def may_publish(by: Membership) -> bool:
    """Whether ``by`` may let everybody read the club's posts: the owner alone."""
    return may_own(by)


def require_publish(by: Membership) -> None:
    """Raise NotAllowed unless :func:`may_publish`."""
    require_own(by)


def may_erase(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may erase somebody's membership here: any that they manage but an owner's."""
    return may_manage(by, membership) and membership.role != Role.OWNER


def require_erase(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_erase`."""
    require_manage(by, membership)
    if not may_erase(by, membership):
        raise NotAllowed(
            _(
                "An owner is erased by nobody else. Change the role first, or have the owner do "
                "it under My data."
            )
        )


def may_read_log(by: Membership) -> bool:
    """The log of who did what to whom is for the owners of the club."""
    return may_own(by)


def require_read_log(by: Membership) -> None:
    """Raise NotAllowed unless :func:`may_read_log`."""
    require_own(by)


def may_answer_for_all(person: Person) -> bool:
    """Whether somebody signed in may read out, rename or erase the whole person.

    Not by a coach's code: it opens one club, and nothing of the others.
    """
    return person.opened_clubs is None


def require_answer_for_all(person: Person) -> None:
    """Raise NotAllowed unless :func:`may_answer_for_all`."""
    if not may_answer_for_all(person):
        raise NotAllowed(
            _("You signed in with a one-time code. For this, sign in with your pass phrase.")
        )


def may_lift_lock(by: Membership, membership: Membership) -> bool:
    """Whether ``by`` may let somebody try again who failed too often: any that they manage."""
    return may_manage(by, membership)


def require_lift_lock(by: Membership, membership: Membership) -> None:
    """Raise NotAllowed unless :func:`may_lift_lock`."""
    require_manage(by, membership)


def may_open(person: Person, club_id: int) -> bool:
    """Whether a sign-in opens a club: by pass phrase every one, by a coach's code that coach's."""
    return person.opened_clubs is None or club_id in person.opened_clubs


def require_open(person: Person, club_id: int) -> None:
    """Raise NotAllowed unless :func:`may_open`. Readers are told nothing: a club is absent then."""
    if not may_open(person, club_id):
        raise NotAllowed(_("Your one-time code opens another club. Sign in with your pass phrase."))


def clubs_of(person: Person) -> frozenset[int]:
    """The clubs that a person belongs to, however the account stands: an archived one may reopen.

    One query.
    """
    return frozenset(Membership.objects.filter(person=person.pk).values_list("club_id", flat=True))


def may_choose_phrase(person: Person) -> bool:
    """Whether codes permit a new pass phrase, which opens every club, without the old one.

    One from each club; a device known in a club stands for a code from it, but not for
    all of them. Otherwise a coach of one club could get into another. One query.
    """
    return bool(person.code_clubs) and clubs_of(person) <= person.code_clubs | person.device_clubs


def require_choose_phrase(person: Person) -> None:
    """Raise InvalidEntry unless :func:`may_choose_phrase`: the old phrase is missing."""
    if not may_choose_phrase(person):
        raise InvalidEntry(_("Write your old pass phrase."), field="old_phrase")


def may_join(person: Person) -> bool:
    """Whether somebody signed in may join a further club: not by a coach's code alone."""
    return person.opened_clubs is None and not person.must_choose_phrase


def require_join(person: Person) -> None:
    """Raise NotAllowed unless :func:`may_join`."""
    if not may_join(person):
        raise NotAllowed(
            _("You signed in with a one-time code. To join a club, sign in with your pass phrase.")
        )
