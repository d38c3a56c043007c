"""Everything that is kept of somebody, laid out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from training.models import Person
from training.rights import may_answer_for_all
from training.selectors.clubs import memberships_of
from training.selectors.own_data import AccountData, OwnData
from training.web.parts.kept import Kept, KeptShown, show_kept
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class OwnClub:
    """One club's part, with what names it in a form."""

    slug: str
    display_name: str
    named_outside: bool
    data: KeptShown


@dataclass(frozen=True, slots=True)
class AccessShown:
    """Somebody signed in, or failed to: when, from where, with what."""

    said: str
    when: Said
    program: str


@dataclass(frozen=True, slots=True)
class OwnDataShown:
    """What ``pages/own_data/own_data.html`` needs beside the forms.

    ``whole`` is False for a sign-in by a one-time code: then the account is left out, and neither
    the sign-in name nor everything can be changed or erased.
    """

    whole: bool
    account: tuple[Kept, ...]
    access: tuple[AccessShown, ...]
    clubs: tuple[OwnClub, ...]


def show_own_data(found: OwnData, person: Person, now: datetime) -> OwnDataShown:
    """Lay out somebody's own data, times in the zone of the first club."""
    zones = {one.club.slug: one.club.zone for one in memberships_of(person)}
    first = next(iter(zones.values()), ZoneInfo("UTC"))
    return OwnDataShown(
        whole=may_answer_for_all(person),
        account=_account(found, now, first),
        access=_access(found.account, now, first),
        clubs=tuple(
            OwnClub(
                one.slug,
                one.display_name,
                one.challenges.named_outside,
                show_kept(one, now, zones.get(one.slug, first)),
            )
            for one in found.clubs
        ),
    )


def _account(found: OwnData, now: datetime, zone: ZoneInfo) -> tuple[Kept, ...]:
    kept = [Kept(_("Sign-in name"), found.sign_in_name)]
    account = found.account
    if account is None:
        return tuple(kept)
    alive = [one for one in account.tokens if one.expires_at is None or one.expires_at > now]
    kept += [
        Kept(_("Pass phrase"), _("kept in a form that cannot be read back")),
        Kept(_("Account made"), say(account.created_at, now, zone).bare),
        Kept(_("Signed-in browsers"), str(sum(1 for one in account.sessions if one > now))),
        Kept(_("Signed-in programs"), str(len(alive))),
        Kept(_("Sign-in cards made for you"), str(len(account.cards))),
    ]
    if account.last_login is not None:
        kept.append(Kept(_("Signed in last"), say(account.last_login, now, zone).bare))
    if account.cards_made:
        kept.append(Kept(_("Sign-in cards made for others"), str(len(account.cards_made))))
    return tuple(kept)


def _access(account: AccountData | None, now: datetime, zone: ZoneInfo) -> tuple[AccessShown, ...]:
    if account is None:
        return ()
    return tuple(
        AccessShown(
            said=_access_words(one.failed).format(address=one.address or "—"),
            when=say(one.at.astimezone(UTC), now, zone),
            program=one.program,
        )
        for one in reversed(account.access)
    )


def _access_words(failed: bool) -> str:
    return _("Signing in failed, from {address}") if failed else _("Signed in from {address}")
