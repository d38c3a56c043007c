"""Does the state allow it? The only place that says so: sets, plans, what counts for whom.

Each rule is a pair where something is refused by it: one half answers, the one
named ``require_…`` raises a refusal in words. Nothing here asks who somebody is
(:mod:`training.rights`) or what somebody sees (:mod:`training.visibility`).
Whether a set is open is computed from its stored instants at the time of asking.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import datetime

from django.utils.translation import gettext as _

from training.entry import Entry
from training.models import (
    COACHING_ROLES,
    LESSON_KINDS,
    CountingPeriod,
    Kind,
    Membership,
    Plan,
    PlanKind,
    PlanStatus,
    Role,
    Scramble,
    ScrambleSet,
    Standing,
)
from training.refusals import InvalidEntry, KeyReused, NoLongerPossible, PlanIsFinal, SetClosed

# Accounts --------------------------------------------------------------------


def waits_for_consent(membership: Membership) -> bool:
    """Whether a guardian's consent is still to be noted before the account opens."""
    return membership.standing == Standing.CONSENT


def has_consent(membership: Membership) -> bool:
    """Whether a guardian's consent is noted and has not been taken back."""
    return membership.consent_noted_at is not None and membership.consent_withdrawn_at is None


def require_consent(membership: Membership) -> None:
    """Raise NoLongerPossible unless :func:`has_consent`."""
    if not has_consent(membership):
        raise NoLongerPossible(_("No consent stands here: none was noted, or it was withdrawn."))


def consent_was_withdrawn(membership: Membership) -> bool:
    """Whether an account is closed because a guardian took the consent back."""
    return waits_for_consent(membership) and membership.consent_withdrawn_at is not None


def is_former(membership: Membership) -> bool:
    """Whether somebody was erased: numbers alone are left."""
    return membership.standing == Standing.FORMER


def is_last_owner(membership: Membership) -> bool:
    """Whether a club would be left without an owner who can get in. One query for an owner."""
    if membership.role != Role.OWNER or is_former(membership):
        return False
    owners = Membership.objects.open().filter(club=membership.club_id, role=Role.OWNER)
    return not owners.exclude(pk=membership.pk).exists()


def require_another_owner(membership: Membership) -> None:
    """Raise NoLongerPossible if :func:`is_last_owner`, with what to do instead."""
    if is_last_owner(membership):
        raise NoLongerPossible(
            _(
                "{club} would have no owner left. Make somebody else an owner first: under "
                "People, open the name and change the role. Is nobody else there, whoever runs "
                "the server can remove the club with its data folder."
            ).format(club=membership.club.name)
        )


def waits_to_be_let_in(membership: Membership) -> bool:
    """Whether a coach is still to say that this is somebody of the club."""
    return membership.standing == Standing.WAITING


def is_archived(membership: Membership) -> bool:
    """Whether a coach has closed the account; its plans stay where they count."""
    return membership.standing == Standing.ARCHIVED


def follows_age(membership: Membership) -> bool:
    """Whether an account opens or waits for consent as its mark of age says: unless archived."""
    return membership.standing in {Standing.ACTIVE, Standing.CONSENT}


def standing_when_let_in(membership: Membership) -> Standing:
    """How an account stands when it is opened: a child's waits until consent is noted.

    WCA 2b is the model; a club's local law may ask for more.
    """
    if membership.under_18 and not has_consent(membership):
        return Standing.CONSENT
    return Standing.ACTIVE


def standing_of_newcomer(membership: Membership, *, by_name: bool) -> Standing:
    """How the account of somebody who joins stands.

    Whoever comes by a link that is not for one person by name waits for a coach:
    otherwise a second account of one's own would show the answers. A child's
    waits for consent either way, and the coach who notes it lets the child in.
    """
    standing = standing_when_let_in(membership)
    return Standing.WAITING if standing == Standing.ACTIVE and not by_name else standing


# Sets ------------------------------------------------------------------------


def has_opened(scramble_set: ScrambleSet, now: datetime) -> bool:
    """From the moment it opens a set is there, for coaches no earlier than for others (WCA 4b2)."""
    return scramble_set.opens_at <= now


def has_closed(scramble_set: ScrambleSet, now: datetime) -> bool:
    return scramble_set.closes_at <= now


def is_open(scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether plans may be handed in: from the opening instant on, at the closing one no more."""
    return has_opened(scramble_set, now) and not has_closed(scramble_set, now)


def require_open(scramble_set: ScrambleSet, now: datetime) -> None:
    """Raise SetClosed unless :func:`is_open`."""
    if not is_open(scramble_set, now):
        raise SetClosed(
            _(
                "This set has closed, so the plan was not handed in. Your coach can still see it "
                "if you copy it down."
            ),
            field="plan",
        )


def may_be_planned_again(scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether a set may be planned afterwards: one of the club's that has closed, taken out or not.

    Not what is somebody's own already.
    """
    own = scramble_set.kind in {Kind.PRACTICE, Kind.AFTERWARDS}
    return not own and has_closed(scramble_set, now)


def require_planned_again(scramble_set: ScrambleSet, now: datetime) -> None:
    """Raise NoLongerPossible unless :func:`may_be_planned_again`, with what to do instead."""
    if may_be_planned_again(scramble_set, now):
        return
    if has_closed(scramble_set, now) or scramble_set.for_member_id is not None:
        raise NoLongerPossible(_("This set is your own already: plan it as it stands."))
    raise NoLongerPossible(
        _("This set is still open. Plan it as it is; afterwards comes when it has closed.")
    )


def may_be_called_off(scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether a lesson's set may be taken back: as long as nobody has seen it."""
    return scramble_set.kind in LESSON_KINDS and not has_opened(scramble_set, now)


def require_to_come(scramble_set: ScrambleSet | None, now: datetime) -> ScrambleSet:
    """The set, unless :func:`may_be_called_off` is false or it is gone (None).

    Raises InvalidEntry then.
    """
    if scramble_set is None or not may_be_called_off(scramble_set, now):
        raise InvalidEntry(_("This set has opened or was called off already."))
    return scramble_set


def result_may_change(
    scramble_set: ScrambleSet, now: datetime, *, with_closed: bool = False
) -> bool:
    """Whether newer rules may change a result of a set: of a closed one only when asked for.

    Everybody has read those.
    """
    return with_closed or not has_closed(scramble_set, now)


# Plans -----------------------------------------------------------------------


def is_same_entry(earlier: Plan, scramble: Scramble, key: uuid.UUID, entry: Entry) -> bool:
    """Whether what comes in is what came in before: a plan is final, so only that is answered."""
    came_in = (earlier.written, earlier.pair_written, earlier.held)
    same_words = came_in == (entry.kept, entry.pair_kept, entry.held_kept)
    same_kind = (earlier.kind == PlanKind.NO_PLAN) == entry.no_plan
    return same_words and same_kind and earlier.key == key and earlier.scramble_id == scramble.pk


def require_same_entry(earlier: Plan, scramble: Scramble, key: uuid.UUID, entry: Entry) -> None:
    """Raise PlanIsFinal or KeyReused unless :func:`is_same_entry`."""
    if is_same_entry(earlier, scramble, key, entry):
        return
    shown = plan_in_words(earlier)
    if earlier.key == key:
        raise KeyReused(
            _(
                "This page was already used to hand in {plan} for scramble {number}. That one "
                "counts. Open the scramble again to hand in for another."
            ).format(plan=shown, number=earlier.scramble.number),
            field="plan",
            plan=earlier,
        )
    raise is_final(earlier)


def is_final(plan: Plan) -> PlanIsFinal:
    """What is said where a plan is in: that one counts."""
    return PlanIsFinal(
        _("Your plan for this scramble is in and is final: {plan}. That one counts.").format(
            plan=plan_in_words(plan)
        ),
        field="plan",
        plan=plan,
    )


def plan_in_words(plan: Plan) -> str:
    """The plan as a person would name it in a sentence."""
    if plan.kind == PlanKind.NO_PLAN:
        return _("“no plan”")
    return plan.canonical or _("“the cross is already solved”")


def still_counts(plan: Plan) -> bool:
    """Whether a plan has not been withdrawn."""
    return plan.status != PlanStatus.WITHDRAWN


def counts_for_all(scramble: Scramble) -> bool:
    """Whether no correction has taken a scramble out."""
    return not scramble.void


def require_counting_scramble(scramble: Scramble) -> None:
    """Raise NoLongerPossible unless :func:`counts_for_all`."""
    if not counts_for_all(scramble):
        raise NoLongerPossible(
            _(
                "Scramble {number} does not count any more, so the plan was not handed in. The "
                "page of the set says why."
            ).format(number=scramble.number),
            field="plan",
        )


def may_be_checked_again(plan: Plan) -> bool:
    """Whether checking was given up: only then does a coach have it done again."""
    return plan.status == PlanStatus.FAILED


def require_failed(plan: Plan) -> None:
    """Raise NoLongerPossible unless :func:`may_be_checked_again`."""
    if not may_be_checked_again(plan):
        raise NoLongerPossible(
            _("This plan no longer waits for a coach. Reload the page to see where it stands.")
        )


# What counts for whom ----------------------------------------------------------


def counts_from_now_on(membership: Membership) -> bool:
    """Whether sets that open from now on count for somebody.

    For who competes with an open account, and has signed in: nobody is charged for
    what they could not yet have planned.
    """
    active = membership.standing == Standing.ACTIVE and membership.person.is_active
    return active and membership.competes and membership.person.last_login is not None


def has_left(membership: Membership) -> bool:
    """Whether an account is not open, so that sets that are open now count no more either."""
    return membership.standing != Standing.ACTIVE


def may_stay_out(membership: Membership) -> bool:
    """Whether somebody may choose not to compete: coaches alone."""
    return membership.role in COACHING_ROLES


def require_stay_out(membership: Membership) -> None:
    """Raise InvalidEntry unless :func:`may_stay_out`."""
    if not may_stay_out(membership):
        raise InvalidEntry(_("Members compete. Only a coach can stay out."), field="competes")


def is_expected(periods: Iterable[CountingPeriod], scramble_set: ScrambleSet) -> bool:
    """Whether somebody is expected to hand in for a set: who counts while it is open."""
    return any(one.touches(scramble_set.opens_at, scramble_set.closes_at) for one in periods)


def counts_for(periods: Iterable[CountingPeriod], scramble_set: ScrambleSet) -> bool:
    """Whether a set counts for somebody: if it lies wholly inside a period of theirs."""
    return any(one.holds(scramble_set.opens_at, scramble_set.closes_at) for one in periods)


def enters_totals(
    periods: Iterable[CountingPeriod], scramble_set: ScrambleSet, *, given: bool
) -> bool:
    """Whether plans of a set enter the totals of their member; in a set of one's own always.

    ``given``: whether it is the member's to plan (:func:`training.belonging.is_given`).
    Never of a set planned again afterwards: its answers may be known.
    """
    if scramble_set.kind == Kind.AFTERWARDS:
        return False
    if scramble_set.for_member_id is not None:
        return True
    return given and not scramble_set.taken_out and counts_for(periods, scramble_set)


def is_named_in_tables(membership: Membership) -> bool:
    """Whether others read somebody's name in a table.

    The results of a child whose guardian took the consent back stay, without a name.
    """
    return not consent_was_withdrawn(membership)


def is_named_outside(membership: Membership) -> bool:
    """Whether others than the club read somebody's name: who said so, with an open account.

    Of a child a guardian must have agreed to that besides. Whoever cannot sign in could not
    take it back, so is not named.
    """
    if membership.standing != Standing.ACTIVE or not membership.named_outside:
        return False
    return not membership.under_18 or membership.outside_consent_at is not None
