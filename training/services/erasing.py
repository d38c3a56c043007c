"""Erasing what is kept about somebody: looked at first, done once, told in a receipt.

What is left are numbers without a name, so that everybody else's tables stand: a new membership
of nobody, *a former member*, takes over the checked plans of the club's sets, without what was
written, when, and by which way. Ids that anybody may have noted lead nowhere afterwards.
"""

from __future__ import annotations

import secrets
import uuid
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from solverworker.report import PlanReport
from training import clock, policies, rights
from training.models import (
    CalendarAddress,
    Club,
    ConfirmedLine,
    Correction,
    CountingPeriod,
    Deed,
    Done,
    GroupTime,
    Invite,
    Membership,
    Person,
    Plan,
    PlanStatus,
    Recheck,
    Role,
    SignInCode,
    Standing,
    Verdict,
    WorthAWord,
)
from training.models.plans import PlanQuerySet
from training.refusals import InvalidEntry, WrongSignIn
from training.services import confirming, deeds, outlooks, summaries
from training.services.failures import forget_person
from training.services.sessions import forget_sessions
from training.services.sign_in import prove

BATCH = 500


@dataclass(frozen=True, slots=True)
class ClubErasure:
    """What an erase does, or did, in one club.

    ``kept``: plans of which the numbers stay in others' tables. ``gone``: the
    other plans: own practice, withdrawn ones, those not checked yet.
    """

    club: str
    kept: int
    gone: int


@dataclass(frozen=True, slots=True)
class Receipt:
    """What was erased, and when. ``account``: the sign-in went too."""

    erased_at: datetime
    clubs: tuple[ClubErasure, ...]
    account: bool


def what_goes(membership: Membership) -> ClubErasure:
    """What erasing a membership would do. Two queries."""
    plans = Plan.objects.filter(membership=membership)
    kept = _kept(membership).count()
    return ClubErasure(membership.club.name, kept, plans.count() - kept)


def what_goes_of(person: Person) -> tuple[ClubErasure, ...]:
    """What erasing a person would do, by club."""
    return tuple(what_goes(one) for one in _memberships(person))


def erase_membership(
    *, by: Membership, membership: Membership, typed: str, now: datetime | None = None
) -> Receipt:
    """Erase what this club keeps of somebody; ``typed``: the name that others see, as a safeguard.

    Nothing of the person's other clubs is touched. A person whom no other club
    knows goes with the membership. Raises NotAllowed unless
    :func:`training.rights.may_erase`, InvalidEntry, NoLongerPossible for the last owner.
    """
    rights.require_erase(by, membership)
    if " ".join(typed.split()).casefold() != membership.display_name.casefold():
        raise InvalidEntry(
            _("Type the name exactly as it stands above, to show that it is meant."),
            field="typed",
        )
    now = now or timezone.now()
    with transaction.atomic():
        person = membership.person
        done = _erase(membership, by, now)
        gone = not Membership.objects.filter(person=person).exists()
        if gone:
            erase_account(person)
    return Receipt(now, (done,), account=gone)


def erase_person(
    *, person: Person, phrase: str, request: HttpRequest, now: datetime | None = None
) -> Receipt:
    """Erase a person everywhere, for the pass phrase.

    Raises NotAllowed unless :func:`training.rights.may_answer_for_all`,
    InvalidEntry for a wrong phrase, LockedOut after too many, NoLongerPossible for
    the last owner of a club.
    """
    rights.require_answer_for_all(person)
    try:
        prove(request=request, sign_in_name=person.sign_in_name, phrase=phrase)
    except WrongSignIn:
        raise InvalidEntry(_("This is not your pass phrase."), field="phrase") from None
    now = now or timezone.now()
    with transaction.atomic():
        done = tuple(_erase(one, None, now) for one in _memberships(person))
        erase_account(person)
    return Receipt(now, done, account=True)


def _memberships(person: Person) -> list[Membership]:
    found = Membership.objects.filter(person=person).select_related("club", "person")
    return list(found.order_by("club__name", "pk"))


def _kept(membership: Membership) -> PlanQuerySet:
    """The plans whose numbers others' tables need: checked ones of the club's own sets."""
    return Plan.objects.filter(
        membership=membership,
        status=PlanStatus.CHECKED,
        scramble__scramble_set__for_member__isnull=True,
    )


def _erase(membership: Membership, by: Membership | None, now: datetime) -> ClubErasure:
    """Put a former member in somebody's place. ``by``: None for the person alone."""
    # Of two owners who leave at once, one must find the other gone.
    Club.objects.select_for_update().only("pk").get(pk=membership.club_id)
    membership.refresh_from_db(from_queryset=Membership.objects.select_for_update())
    policies.require_another_owner(membership)
    done = what_goes(membership)
    former = _former_member(membership, now)
    set_ids = _hand_over(membership, former)
    summaries.renew_member(membership=former, set_ids=set_ids)
    Deed.objects.filter(by=membership).update(by=former)
    Deed.objects.filter(whom=membership).update(whom=former)
    Correction.objects.filter(by=membership).update(by=former)
    # Results that stand keep their numbers; whose they are is asked when they are read.
    ConfirmedLine.objects.filter(membership=membership).update(membership=former)
    WorthAWord.objects.filter(membership=membership).update(membership=former)
    waited = Plan.objects.pending().filter(membership=membership)
    undecided = set(waited.values_list("scramble__scramble_set_id", flat=True))
    deeds.note(what=Done.ERASED, by=by or former, whom=former, now=now)
    _let_go_of(membership.person, membership.club)
    membership.delete()
    confirming.decided_by_erasing(set_ids=undecided, now=now)
    return done


def _former_member(membership: Membership, now: datetime) -> Membership:
    """A membership of nobody, which counts as long as the other did, and to the week's end."""
    nobody = Person(sign_in_name=f"former-{secrets.token_hex(8)}", is_active=False, created_at=now)
    nobody.set_unusable_password()
    nobody.save(force_insert=True)
    former = Membership.objects.create(
        club=membership.club,
        person=nobody,
        display_name="",
        role=Role.MEMBER,
        competes=membership.competes,
        standing=Standing.FORMER,
        joined_at=membership.joined_at,
    )
    ends = clock.end_of_week(now, membership.club.zone)
    periods = list(CountingPeriod.objects.filter(membership=membership))
    for one in periods:
        one.membership = former
        one.ends_at = one.ends_at or ends
        one.left_at = one.left_at or ends
    CountingPeriod.objects.bulk_update(periods, ["membership", "ends_at", "left_at"])
    times = GroupTime.objects.filter(membership=membership)
    times.filter(begins_at__gte=ends).delete()
    times.ending_after(ends).update(ends_at=ends)
    times.update(membership=former)
    return former


def _hand_over(membership: Membership, former: Membership) -> set[int]:
    """Give the plans that stay to the former member, as numbers. Returns whose sets they are of."""
    plans = list(_kept(membership).select_related("scramble__scramble_set"))
    for plan in plans:
        opened = plan.scramble.scramble_set.opens_at
        plan.membership = former
        plan.written = plan.canonical = plan.failure_reason = ""
        plan.pair_written = plan.pair_canonical = plan.held = ""
        plan.inspection = None
        plan.key = uuid.uuid4()
        plan.handed_in_at = plan.rung_at = opened
    numbers = ["membership", "written", "canonical", "failure_reason", "key"]
    pair = ["pair_written", "pair_canonical", "held", "inspection"]
    Plan.objects.bulk_update(plans, [*numbers, *pair, "handed_in_at", "rung_at"], BATCH)
    Recheck.objects.filter(plan__in=plans).delete()
    outlooks.forget(plan_ids=[plan.pk for plan in plans])
    # That a plan was corrected stays, as its number does; why, and what was written, does not.
    Correction.objects.about_plans(plans).update(reason="", before={}, after={})
    verdicts = list(Verdict.objects.filter(plan__membership=former))
    for verdict in verdicts:
        report = without_words(PlanReport.from_dict(verdict.report))
        verdict.report, verdict.techniques = report.to_dict(), None
    Verdict.objects.bulk_update(verdicts, ["report", "techniques"], BATCH)
    return {plan.scramble.scramble_set_id for plan in plans}


def without_words(report: PlanReport) -> PlanReport:
    """A report of which only what a table counts is left: what it was worth, not how."""
    return replace(
        report,
        canonical="",
        missing=None,
        ledger=(),
        shortest=(),
        techniques=None,
        handling=None,
        lost=(),
        hints=(),
    )


def _let_go_of(person: Person, club: Club) -> None:
    """Take somebody's name from what they did for others in a club."""
    SignInCode.objects.filter(person=person, club=club).delete()
    CalendarAddress.objects.filter(membership__person=person, membership__club=club).delete()
    SignInCode.objects.filter(made_by=person, club=club).update(made_by=None)
    Invite.objects.filter(made_by=person, club=club).update(made_by=None)
    Membership.objects.filter(consent_noted_by=person, club=club).update(consent_noted_by=None)


def erase_account(person: Person) -> None:
    """Delete the sign-in: name, phrase, codes, tokens, sessions, what is known of signing in."""
    forget_person(person.sign_in_name)
    forget_sessions(person)
    person.delete()
