"""Who sees what: sets, plans, answers, tables, reviews, names. The only place that says so.

Everything is computed from stored instants at the time of asking. What is
sealed looks like what does not exist: callers answer both with the same 404.
Each rule is a pair: ``sees_…`` answers, ``require_…`` raises Sealed. Lists are
QuerySets of all for which the rule holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q, QuerySet, Value
from django.utils import timezone

from training import windows
from training.belonging import given_or_begun, is_theirs
from training.models import (
    LESSON_KINDS,
    Challenge,
    Drawn,
    Group,
    GroupTime,
    Membership,
    Question,
    ScrambleSet,
    TaughtLesson,
)
from training.models.challenges import ChallengeQuerySet
from training.models.lessons import TaughtLessonQuerySet
from training.models.members import MembershipQuerySet
from training.models.questions import QuestionQuerySet
from training.models.sets import ScrambleSetQuerySet
from training.policies import has_closed, has_opened, is_former
from training.rights import may_coach
from training.rules import Sight


class Sealed(Exception):
    """Not there, for this person, at this time. Never says which of the two."""


def _or_sealed(seen: bool) -> None:
    if not seen:
        raise Sealed


@dataclass(frozen=True, slots=True)
class OwnPlans:
    """Which scrambles of a set the viewer has handed in a plan for, and which of it count."""

    numbers: frozenset[int]
    counting: frozenset[int]

    @property
    def all_in(self) -> bool:
        return self.counting <= self.numbers


# Sets ------------------------------------------------------------------------


def sees_set(viewer: Membership, scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether a set is there for ``viewer``: own club, opened, and given to the viewer.

    Nobody plans what is another's alone, nor before an own window begins. A set for groups is there
    for who is given it (:func:`training.belonging.is_given`) or has begun it, and for coaches.
    """
    if scramble_set.club_id != viewer.club_id or not has_opened(scramble_set, now):
        return False
    if scramble_set.for_member_id is not None:
        return scramble_set.for_member_id == viewer.pk
    if getattr(scramble_set, "known_to", None) == viewer.pk:
        return True  # Asked once of a row; rows of the lists below come with the answer.
    waits = windows.is_to_begin(viewer.pk, scramble_set, now)
    if waits or may_coach(viewer):
        return not waits
    found = is_theirs(viewer.pk, scramble_set)
    scramble_set.known_to = viewer.pk if found else None  # type: ignore[attr-defined]
    return found


def group_sets_for(viewer: Membership, *, at: str = "") -> Q:
    """:func:`training.belonging.given_or_begun` for ``viewer``; for coaches all of them."""
    return Q() if may_coach(viewer) else given_or_begun(viewer.pk, at=at)


def require_set(viewer: Membership, scramble_set: ScrambleSet, now: datetime) -> None:
    """Raise Sealed unless :func:`sees_set`."""
    _or_sealed(sees_set(viewer, scramble_set, now))


def visible_sets(viewer: Membership, now: datetime) -> ScrambleSetQuerySet:
    """All sets for which :func:`sees_set` is true."""
    return _known(viewer, ScrambleSet.objects.shared_or_of(viewer.pk), now)


def shared_sets(viewer: Membership, now: datetime) -> ScrambleSetQuerySet:
    """The opened sets of the club or a group that are there for ``viewer``: nobody's own."""
    return _known(viewer, ScrambleSet.objects.shared(), now)


def sets_to_plan(viewer: Membership, now: datetime) -> ScrambleSetQuerySet:
    """The opened sets that were given to ``viewer``: shared ones, and homework of one's own."""
    return _known(viewer, ScrambleSet.objects.shared_or_of(viewer.pk, *LESSON_KINDS), now)


def club_sets(viewer: Membership, now: datetime) -> ScrambleSetQuerySet:
    """The opened sets that somebody gave, to many or to one; as :func:`_reads` for coaches."""
    if not may_coach(viewer):
        return sets_to_plan(viewer, now)
    given = Q(for_member__isnull=True) | Q(kind__in=LESSON_KINDS)
    return _known(viewer, ScrambleSet.objects.filter(given), now)


def _reads(viewer: Membership, scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether something of a set may be read: it is there, or homework that coaches look after."""
    homework = scramble_set.for_member_id is not None and scramble_set.kind in LESSON_KINDS
    if homework and may_coach(viewer, club_id=scramble_set.club_id):
        return has_opened(scramble_set, now)
    return sees_set(viewer, scramble_set, now)


def _known(viewer: Membership, sets: ScrambleSetQuerySet, now: datetime) -> ScrambleSetQuerySet:
    found = sets.filter(group_sets_for(viewer), club=viewer.club_id).opened(now)
    found = found.exclude(windows.waits_for_own(viewer.pk, now))
    return found.annotate(known_to=Value(viewer.pk))


def sets_since_joining(viewer: Membership, now: datetime) -> ScrambleSetQuerySet:
    """The sets that ``viewer`` could have handed in for, without practice."""
    return sets_to_plan(viewer, now).not_closed(viewer.joined_at)


def lesson_sets(viewer: Membership, *codes: str) -> ScrambleSetQuerySet:
    """The sets given for a lesson on some ideas, also those to come; none for who is no coach.

    That one is to come is a coach's own doing; its scrambles stay sealed.
    """
    sets = ScrambleSet.objects.filter(club=viewer.club_id, profile__technique__in=codes)
    return sets if may_coach(viewer) else sets.none()


def taught_lessons(viewer: Membership) -> TaughtLessonQuerySet:
    """The lessons held without a set, as coaches noted them; none for who is no coach."""
    noted = TaughtLesson.objects.filter(club=viewer.club_id)
    return noted if may_coach(viewer) else noted.none()


def challenges(viewer: Membership, now: datetime) -> ChallengeQuerySet:
    """The challenges of the viewer's club that are announced; their sets are there from opening on.

    What is told before is the same whatever is drawn. One for groups is told to these alone.
    """
    found = Challenge.objects.of_club(viewer.club_id).announced(now)
    found = found.filter(group_sets_for(viewer, at="scramble_set__"))
    return found.order_by("-scramble_set__opens_at", "-pk")


# Answers, tables, plans --------------------------------------------------------


def in_sealed_mode(viewer: Membership, scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether a coach is held to the members' view of a set: one who competes, until it closes.

    Who stops competing is still in the sets that have opened. A set for groups that is neither
    theirs, by any of its groups, nor begun ranks them nowhere: it is not sealed from them, and no
    later move makes it theirs (:func:`training.belonging.require_not_read`).
    """
    stopped = viewer.stopped_competing_at
    competes = viewer.competes or (stopped is not None and scramble_set.opens_at < stopped)
    if not (may_coach(viewer) and competes) or has_closed(scramble_set, now):
        return False
    return scramble_set.for_member_id in {None, viewer.pk} and is_theirs(viewer.pk, scramble_set)


def _sees_as_coach(viewer: Membership, scramble_set: ScrambleSet, now: datetime) -> bool:
    return may_coach(viewer) and not in_sealed_mode(viewer, scramble_set, now)


def sees_answers(
    viewer: Membership, scramble_set: ScrambleSet, number: int, own: OwnPlans, now: datetime
) -> bool:
    """Whether best, excess, ledger and shortest solutions of one scramble are open."""
    if not _reads(viewer, scramble_set, now):
        return False
    if _sees_as_coach(viewer, scramble_set, now):
        return True
    sight, own_in = Sight(scramble_set.answers_to), number in own.numbers
    return _sight_allows(sight, own_in, viewer, scramble_set, now)


def require_answers(
    viewer: Membership, scramble_set: ScrambleSet, number: int, own: OwnPlans, now: datetime
) -> None:
    """Raise Sealed unless :func:`sees_answers`."""
    _or_sealed(sees_answers(viewer, scramble_set, number, own, now))


def sees_table(viewer: Membership, scramble_set: ScrambleSet, own: OwnPlans, now: datetime) -> bool:
    """Whether the table of a set is open to ``viewer``.

    Never before the answers of all its scrambles: excess and moves together
    give the best away.
    """
    if not _reads(viewer, scramble_set, now):
        return False
    if _sees_as_coach(viewer, scramble_set, now):
        return True
    answers = all(sees_answers(viewer, scramble_set, number, own, now) for number in own.counting)
    sight = Sight(scramble_set.table_to)
    return answers and _sight_allows(sight, own.all_in, viewer, scramble_set, now)


def require_table(
    viewer: Membership, scramble_set: ScrambleSet, own: OwnPlans, now: datetime
) -> None:
    """Raise Sealed unless :func:`sees_table`."""
    _or_sealed(sees_table(viewer, scramble_set, own, now))


def _sight_allows(
    sight: Sight, own_in: bool, viewer: Membership, scramble_set: ScrambleSet, now: datetime
) -> bool:
    if sight == Sight.OPEN:
        return True
    if sight == Sight.COACHES:
        # A coach in sealed mode gets there by handing in, as under "own plan".
        return may_coach(viewer) and own_in
    return has_closed(scramble_set, now) or (sight == Sight.OWN_PLAN and own_in)


def sees_others_plans(
    viewer: Membership, scramble_set: ScrambleSet, own: OwnPlans, now: datetime
) -> bool:
    """Whether the plans of others are open to ``viewer``: to coaches alone.

    A coach who competes reads them once all own plans of the set are in.
    """
    if not may_coach(viewer) or not _reads(viewer, scramble_set, now):
        return False
    return not in_sealed_mode(viewer, scramble_set, now) or own.all_in


def require_others_plans(
    viewer: Membership, scramble_set: ScrambleSet, own: OwnPlans, now: datetime
) -> None:
    """Raise Sealed unless :func:`sees_others_plans`."""
    _or_sealed(sees_others_plans(viewer, scramble_set, own, now))


def questions(viewer: Membership, now: datetime) -> QuestionQuerySet:
    """The questions that ``viewer`` reads: the own, and as a coach everybody's of the club.

    As :func:`in_sealed_mode` seals a set, it seals others' questions: they tell of answers.
    """
    found, at = Question.objects.of_club(viewer.club_id), "scramble__scramble_set__"
    mine, stopped = Q(membership=viewer), viewer.stopped_competing_at
    if not may_coach(viewer) or (stopped is None and not viewer.competes):
        return found if may_coach(viewer) else found.filter(mine)
    opened = Q() if viewer.competes else Q(**{f"{at}opens_at__lt": stopped})
    held = opened & Q(**{f"{at}closes_at__gt": now}) & given_or_begun(viewer.pk, at=at)
    return found.filter(mine | ~held)


def sees_question(viewer: Membership, question: Question, now: datetime) -> bool:
    """Whether one question is there for ``viewer``."""
    return questions(viewer, now).filter(pk=question.pk).exists()


def require_question(viewer: Membership, question: Question, now: datetime) -> None:
    """Raise Sealed unless :func:`sees_question`."""
    _or_sealed(sees_question(viewer, question, now))


# The group and its members -------------------------------------------------------


def sees_group(viewer: Membership) -> bool:
    """Whether the coach's day, the group's review, lessons and people are there for ``viewer``."""
    return may_coach(viewer)


def require_group(viewer: Membership) -> None:
    """Raise Sealed unless :func:`sees_group`."""
    _or_sealed(sees_group(viewer))


def sees_review(viewer: Membership, member: Membership) -> bool:
    """Whether a member's review is open: to that member and to the coaches of the club alone."""
    return member.pk == viewer.pk or may_coach(viewer, club_id=member.club_id)


def require_review(viewer: Membership, member: Membership | None) -> Membership:
    """The member, unless :func:`sees_review` is false or nobody is there (None): raises Sealed.

    Of a former member there is nothing to review.
    """
    if member is None or is_former(member) or not sees_review(viewer, member):
        raise Sealed
    return member


def reviewed_sets(
    viewer: Membership, since: datetime, until: datetime, *, drawn: str = Drawn.AS_DRAWN
) -> ScrambleSetQuerySet:
    """The sets that a review tells ``viewer`` about: shared ones that closed in a span of time.

    Never an open one. Own practice is in nobody's review: it is for trying.
    Moves lost tell the best, so sets whose answers are for the coaches alone
    are in no member's review.
    """
    sets = ScrambleSet.objects.filter(group_sets_for(viewer), club=viewer.club_id, drawn=drawn)
    sets = sets.shared().closing_within(since, until).closed(until).not_taken_out()
    return sets if may_coach(viewer) else sets.exclude(answers_to=Sight.COACHES)


def reviewed_members(
    viewer: Membership, group: str = "", *, at: datetime | None = None
) -> MembershipQuerySet:
    """Who is looked at in reviews: open accounts that compete.

    ``group``: those alone who belong to the group of that name, now or ``at`` an instant.
    """
    people = Membership.objects.filter(club=viewer.club_id).competing().order_by("display_name")
    if not group:
        return people
    times = GroupTime.objects.at(at or timezone.now()).filter(
        group__name=group, group__club=viewer.club_id
    )
    return people.filter(pk__in=times.values("membership"))


def tables_of_groups(viewer: Membership, now: datetime) -> QuerySet[Group]:
    """The groups whose own tables ``viewer`` sees: those to which one has belonged; coaches all."""
    groups = Group.objects.of_club(viewer.club_id)
    if may_coach(viewer):
        return groups
    been = GroupTime.objects.filter(membership=viewer, begins_at__lte=now)
    return groups.filter(pk__in=been.values("group"))
