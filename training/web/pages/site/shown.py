"""What was found out about the site, in words: a line for each thing that can be wrong."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.html import format_html
from django.utils.translation import gettext as _

from training.models import Membership
from training.selectors.health import (
    FULL_BYTES,
    LATE_SECONDS,
    LOW_BYTES,
    Agreement,
    Pulse,
    Storage,
    Surroundings,
    Verified,
)
from training.web.saying.counting import count
from training.web.saying.times import say

GOOD, NOTE, BAD = "", "mark", "loss"
OLD_COPY = timedelta(days=8)


@dataclass(frozen=True, slots=True)
class FindingShown:
    """One thing looked at. ``kind``: empty when all is well, else how its notice looks."""

    title: str
    said: str
    kind: str = GOOD
    what_to_do: str = ""


@dataclass(frozen=True, slots=True)
class SiteShown:
    """The page: what it comes to, the findings, the programs with their versions."""

    verdict: str
    findings: tuple[FindingShown, ...]
    programs: tuple[str, ...]


def show_site(
    viewer: Membership,
    pulse: Pulse,
    around: Surroundings,
    storage: Storage,
    agreement: Agreement,
    verified: Verified | None,
    now: datetime,
) -> SiteShown:
    """Put what was found into words for ``viewer``."""
    findings = (
        _waiting(pulse, now),
        _checker(pulse, now),
        _queue(around),
        _disk(around),
        _clock(around, viewer, now),
        _copies(around, viewer, now),
        _numbers(agreement, verified, viewer, now),
        _storage(storage),
    )
    programs = tuple(f"{name} {version}" for name, version in around.programs)
    return SiteShown(_in_all(findings), findings, programs)


def _in_all(findings: tuple[FindingShown, ...]) -> str:
    if any(one.kind == BAD for one in findings):
        return _("Something is wrong. What is marked below needs somebody now.")
    if any(one.kind == NOTE for one in findings):
        return _("Work gets done. Somebody should look at what is marked below.")
    return _("All is well.")


def _waiting(pulse: Pulse, now: datetime) -> FindingShown:
    title = _("Plans to check")
    if pulse.oldest_waiting is None:
        return FindingShown(title, _("No plan waits for its verdict."))
    seconds = (now - pulse.oldest_waiting).total_seconds()
    said = _("The oldest plan without a verdict has waited for {span}.").format(span=_span(seconds))
    if seconds <= LATE_SECONDS:
        return FindingShown(title, said)
    return FindingShown(
        title,
        said,
        BAD,
        _("Nothing is lost: it is checked as soon as a checker works again. See below."),
    )


def _checker(pulse: Pulse, now: datetime) -> FindingShown:
    title = _("Checker and clock")
    ages = [
        (now - pulse.beats[name]).total_seconds() if name in pulse.beats else None
        for name in ("worker", "sweep")
    ]
    known = [age for age in ages if age is not None]
    if len(known) < len(ages):
        return FindingShown(
            title,
            _("They were never heard from here. Plans wait and new sets do not come."),
            BAD,
            _("Whoever runs the server should see that worker, clock and broker run."),
        )
    age = max(known)
    if min(known) < -LATE_SECONDS / 2:
        return FindingShown(
            title,
            _("Their last sign of life lies in the future: the clock of the machine was set."),
            BAD,
            _("See that the clock is right. They are heard again within a minute if they work."),
        )
    said = _("Last heard {span} ago.").format(span=_span(max(0.0, age)))
    if age <= LATE_SECONDS:
        return FindingShown(title, said)
    return FindingShown(
        title,
        said,
        BAD,
        _("They should be heard every minute. Whoever runs the server should look at their logs."),
    )


def _queue(around: Surroundings) -> FindingShown:
    title = _("Work queue")
    if around.queued is None:
        return FindingShown(
            title,
            _("It does not answer. Plans wait in the database and none is lost."),
            BAD,
            _("Whoever runs the server should see that the broker runs."),
        )
    if not around.queued:
        return FindingShown(title, _("It answers, and nothing waits in it."))
    waits = count(around.queued, "message")
    return FindingShown(title, _("It answers. Waiting in it: {messages}.").format(messages=waits))


def _disk(around: Surroundings) -> FindingShown:
    title = _("Room on the disk")
    said = _("Free: {bytes}.").format(bytes=_bytes(around.free_bytes))
    if around.free_bytes >= LOW_BYTES:
        return FindingShown(title, said)
    if around.free_bytes >= FULL_BYTES:
        return FindingShown(title, said, NOTE, _("That is little. Make room before it is used up."))
    return FindingShown(title, said, BAD, _("Plans may find no room at any moment. Make room now."))


def _clock(around: Surroundings, viewer: Membership, now: datetime) -> FindingShown:
    title = _("Clock")
    there = now.astimezone(viewer.club.zone)
    said = _("By this machine it is {time} in the club’s time zone.").format(time=f"{there:%H:%M}")
    if not around.clock_stepped:
        return FindingShown(title, said)
    words = _("It was set back by {span} while the site ran.")
    if around.clock_stepped > 0:
        words = _("It was set forward by {span} while the site ran.")
    stepped = words.format(span=_span(abs(around.clock_stepped)))
    return FindingShown(
        title, f"{said} {stepped}", NOTE, _("Sets open and close by it: see that it is right.")
    )


def _copies(around: Surroundings, viewer: Membership, now: datetime) -> FindingShown:
    title = _("Copies")
    if not around.copies_here:
        return FindingShown(
            title,
            _("This database is copied by whoever runs the server, so nothing is known here."),
        )
    if around.last_copy is None:
        return FindingShown(
            title,
            _("There is no copy of the database yet."),
            NOTE,
            _("Whoever runs the server makes one with the command backup."),
        )
    made = str(say(around.last_copy, now, viewer.club.zone))
    said = format_html(_("The last copy on this machine was made {when}."), when=made)
    if now - around.last_copy <= OLD_COPY:
        return FindingShown(title, said)
    return FindingShown(
        title, said, NOTE, _("What was done since then would be lost with the disk.")
    )


def _numbers(
    agreement: Agreement, run: Verified | None, viewer: Membership, now: datetime
) -> FindingShown:
    title = _("Numbers of the reviews")
    if not agreement.agrees:
        return FindingShown(
            title,
            _("In the last seven days they do not add up to the verdicts that they come from."),
            BAD,
            _("Whoever runs the server mends them with the command verify and its --repair."),
        )
    said = _("In the last seven days they add up to the verdicts that they come from.")
    if run is None:
        return FindingShown(title, said)
    differ = run.differences
    found = count(differ, "difference") if differ else _("nothing differed")
    more = format_html(
        _("Everything was recomputed {when}; {found}."),
        when=str(say(run.ended_at, now, viewer.club.zone)),
        found=found,
    )
    whole = format_html("{} {}", said, more)
    if not differ:
        return FindingShown(title, whole)
    todo = _("Whoever runs the server mends them with the command verify and its --repair.")
    return FindingShown(title, whole, BAD, todo)


def _storage(storage: Storage) -> FindingShown:
    title = _("Database")
    said = _("{name} {version} answers.").format(name=storage.name, version=storage.version)
    if not storage.has_known_fault:
        return FindingShown(title, said)
    return FindingShown(
        title,
        said,
        GOOD,
        _("Before 3.51.3 it has a rare fault that can damage a database: keep recent copies."),
    )


def _span(seconds: float) -> str:
    """How long, in the largest unit of which there are two.

    >>> _span(45), _span(150), _span(90_000)
    ('45 seconds', '2 minutes', '25 hours')
    """
    for unit, long in (("day", 86_400), ("hour", 3_600), ("minute", 60)):
        if seconds >= 2 * long:
            return count(int(seconds // long), unit)
    return count(int(seconds), "second")


def _bytes(number: int) -> str:
    """So many bytes, as disks are sold: by thousands.

    >>> _bytes(12_340_000_000), _bytes(150_000_000)
    ('12.3 GB', '150 MB')
    """
    if number >= 1_000_000_000:
        return _("{number} GB").format(number=f"{number / 1_000_000_000:,.1f}")
    return _("{number} MB").format(number=number // 1_000_000)
