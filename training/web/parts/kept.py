"""What a club keeps of somebody, laid out to be read: for the person, and for a guardian."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from training import clock
from training.models import PlanKind, PlanStatus
from training.selectors.deeds import LogLine
from training.selectors.kept_in_club import (
    ClubData,
    KeptConsent,
    KeptGroupTime,
    KeptPeriod,
    KeptPlan,
)
from training.selectors.kept_of_challenges import KeptOfChallenges
from training.web.saying.counting import count, listed
from training.web.saying.deeds import age_words, log_sentence, role_name, standing_words
from training.web.saying.ideas import idea_name
from training.web.saying.times import Said, say, say_date

PLANS_SHOWN = 50


@dataclass(frozen=True, slots=True)
class Kept:
    """One thing that is kept: what it is, and what stands there."""

    what: str
    stands: str | Said


@dataclass(frozen=True, slots=True)
class PlanKept:
    """A plan as it was written, and what became of it.

    ``moves`` and ``pair``, those for the first pair, are empty where none were written; ``said``
    is then told in their place.
    """

    about: str
    moves: str
    said: str
    pair: str
    became: str


@dataclass(frozen=True, slots=True)
class LineKept:
    """A line of the log in which somebody stands, and when."""

    said: str
    when: Said


@dataclass(frozen=True, slots=True)
class KeptShown:
    """What ``parts/kept.html`` needs: all that one club keeps of somebody.

    ``plans`` are the newest; ``plans_said`` tells how many there are, and ``left_out`` of those
    that are left out, empty where none is.
    """

    club: str
    kept: tuple[Kept, ...]
    plans_said: str
    left_out: str
    plans: tuple[PlanKept, ...]
    lines: tuple[LineKept, ...]


def show_kept(found: ClubData, now: datetime, zone: ZoneInfo) -> KeptShown:
    """Lay out a club's data for somebody who lives in ``zone``."""
    today = clock.local_date(now, zone)
    newest = sorted(found.plans, key=lambda plan: plan.handed_in_at, reverse=True)[:PLANS_SHOWN]
    said = count(len(found.plans), "plan")
    if len(found.plans) > PLANS_SHOWN:
        said = _("{plans}. The newest {shown} stand here, all of them in the file.").format(
            plans=said, shown=PLANS_SHOWN
        )
    left_out = ""
    if found.plans_not_yours_yet:
        left_out = _("Left out until their set closes: {plans}.").format(
            plans=count(found.plans_not_yours_yet, "plan")
        )
    return KeptShown(
        club=found.club,
        kept=tuple(_kept(found, now, zone)),
        plans_said=said,
        left_out=left_out,
        plans=tuple(
            PlanKept(
                _("{day}, scramble {number}").format(
                    day=say_date(plan.day, today), number=plan.number
                ),
                plan.written,
                _instead(plan),
                plan.pair_written,
                _became(plan),
            )
            for plan in newest
        ),
        lines=tuple(
            LineKept(
                log_sentence(
                    LogLine(
                        id=0,
                        done_at=one.done_at,
                        what=one.what,
                        by=one.by or None,
                        whom=one.whom or _("somebody else"),
                        own=one.by == one.whom,
                        detail=one.detail,
                    )
                ),
                say(one.done_at, now, zone),
            )
            for one in reversed(found.log)
        ),
    )


def _kept(found: ClubData, now: datetime, zone: ZoneInfo) -> list[Kept]:
    kept = [
        Kept(_("Name that others see"), found.display_name),
        Kept(_("Role"), role_name(found.role)),
        Kept(_("Account"), standing_words(found.standing)),
        Kept(_("Belongs to the club since"), say(found.joined_at, now, zone).bare),
        Kept(_("Age"), age_words(found.under_18)),
        Kept(_("Counts in tables"), counting_words(found.counting_periods, now, zone)),
        Kept(_("Groups"), group_words(found.group_times, now, zone) or _("none")),
        *consent_kept(found.consent, now, zone),
    ]
    kept.append(Kept(_("Name outside the club"), outside_words(found.challenges)))
    if found.practice_due:
        codes = [idea_name(one.code) for one in found.practice_due]
        kept.append(Kept(_("Comes back in practice"), listed(codes)))
    for number, what in (
        (len(found.practice_sets), _("Days practised")),
        (len(found.own_homework), _("Homework for one alone")),
        (len(found.own_windows), _("Sets open longer, or at another hour, for them")),
        (len(found.afterwards), _("Sets planned again, afterwards")),
        (len(found.lessons), _("Lessons noted")),
        (len(found.sums), _("Sets added up for reviews")),
        (len(found.invites_made), _("Invite links made")),
        (int(found.calendar_address_made_at is not None), _("Addresses of a calendar")),
        (len(found.consents_noted), _("Consents noted for others")),
        (sum(one.made for one in found.corrections), _("Corrections made")),
        (len(found.challenges.questions), _("Questions asked or answered")),
        (len(found.challenges.results), _("Lines of confirmed results")),
        (len(found.challenges.praised), _("Words in posts")),
    ):
        if number:
            kept.append(Kept(what, str(number)))
    return kept


def outside_words(found: KeptOfChallenges) -> str:
    """Whether somebody's name may stand outside the club."""
    if not found.named_outside:
        return _("never: “a member” stands there")
    if found.guardian_agreed_at is not None:
        return _("may stand there; a guardian agreed")
    return _("may stand there, for a child once a guardian agrees")


def group_words(times: Iterable[KeptGroupTime], now: datetime, zone: ZoneInfo) -> str:
    """To which groups somebody belongs or belonged, with days."""
    return listed([_one_group_time(one, now, zone) for one in times])


def _one_group_time(one: KeptGroupTime, now: datetime, zone: ZoneInfo) -> str:
    today = clock.local_date(now, zone)
    since = say_date(clock.local_date(one.begins_at, zone), today)
    if one.ends_at is None:
        return _("{group} since {day}").format(group=one.group, day=since)
    until = say_date(clock.closing_day(one.ends_at, zone), today)
    return _("{group} from {day} to {until}").format(group=one.group, day=since, until=until)


def counting_words(periods: Iterable[KeptPeriod], now: datetime, zone: ZoneInfo) -> str:
    """Over which times tables count somebody."""
    said = [_one_period(one, now, zone) for one in periods]
    return "; ".join(said) or _("not yet")


def _one_period(period: KeptPeriod, now: datetime, zone: ZoneInfo) -> str:
    begins = say(period.begins_at, now, zone).bare.text
    if period.ends_at is None:
        return _("since {begins}").format(begins=begins)
    ends = say(period.ends_at, now, zone).bare.text
    if period.estimated:
        return _("from {begins} to {ends} (estimated)").format(begins=begins, ends=ends)
    return _("from {begins} to {ends}").format(begins=begins, ends=ends)


def consent_kept(consent: KeptConsent | None, now: datetime, zone: ZoneInfo) -> list[Kept]:
    """What was noted of a guardian's consent, when, by whom, of which text. Empty without one."""
    if consent is None:
        return []
    noted = [
        Kept(_("Guardian’s consent"), consent.note),
        Kept(_("Consent noted"), say(consent.noted_at, now, zone).bare),
        Kept(_("Consent noted by"), consent.noted_by or _("a former member")),
        Kept(_("What was agreed to"), _agreed(consent)),
    ]
    if consent.withdrawn_at is not None:
        noted.append(Kept(_("Consent withdrawn"), say(consent.withdrawn_at, now, zone).bare))
    return noted


def _agreed(consent: KeptConsent) -> str:
    if consent.text_number is None:
        return _("Noted before the texts were numbered.")
    return _("Text {number}: {text}").format(number=consent.text_number, text=consent.text)


def _instead(plan: KeptPlan) -> str:
    if plan.answer == PlanKind.NO_PLAN:
        return _("no plan")
    return "" if plan.written else _("the cross is already solved")


def _became(plan: KeptPlan) -> str:
    if plan.status == PlanStatus.WITHDRAWN:
        return _("withdrawn: {reason}").format(reason=plan.withdrawn_reason)
    if plan.sealed:
        return _("checked; the result is sealed for now")
    if plan.report is None:
        return _("not checked yet")
    if not plan.report["solved"]:
        return _("not solved")
    if plan.report["excess"] == 0:
        return _("exactly the best")
    return _("{excess} over the best").format(excess=plan.report["excess"])
