"""Lines of a club's log, and how an account stands, in words."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext

from training.models import Done, Role, Standing
from training.selectors.deeds import LogLine

_SENTENCES = {
    Done.LET_IN: gettext_lazy("{by} let {whom} in."),
    Done.LISTED: gettext_lazy("{by} added {whom} from a list."),
    Done.CARD: gettext_lazy("{by} made a sign-in card for {whom}."),
    Done.LOCK_LIFTED: gettext_lazy("{by} let {whom} try to sign in again."),
    Done.CONSENT_NOTED: gettext_lazy(
        "{by} noted a guardian’s consent for {whom}, to text {detail}."
    ),
    Done.CONSENT_WITHDRAWN: gettext_lazy(
        "{by} noted that the guardian’s consent for {whom} is withdrawn."
    ),
    Done.ARCHIVED: gettext_lazy("{by} archived {whom}."),
    Done.REOPENED: gettext_lazy("{by} opened {whom}’s account again."),
    Done.ROLE: gettext_lazy("{by} changed {whom}’s role to {detail}."),
    Done.COMPETING: gettext_lazy("{by} noted that from the next set on {whom} {detail}."),
    Done.GROUP: gettext_lazy("{by} changed which group {whom} belongs to."),
    Done.RENAMED: gettext_lazy("{by} changed the name that others see of {whom}."),
    Done.AGE: gettext_lazy("{by} marked {whom} as {detail}."),
    Done.GUARDIAN_ON_NAMING: gettext_lazy(
        "{by} noted that a guardian {detail} {whom} to be named outside the club."
    ),
    Done.EXPORTED: gettext_lazy("{by} read what the club keeps of {whom}."),
    Done.CLUB_EXPORTED: gettext_lazy("{by} downloaded everything that the club owns."),
    Done.ERASED: gettext_lazy("{by} erased what the club kept of {whom}."),
}
_OF_ONESELF = {
    Done.ROLE: gettext_lazy("{whom} changed their own role to {detail}."),
    Done.COMPETING: gettext_lazy("{whom} {detail} from the next set on."),
    Done.GROUP: gettext_lazy("{whom} changed their own group."),
    Done.RENAMED: gettext_lazy("{whom} changed the name that others see of them."),
    Done.OUTSIDE: gettext_lazy("{whom} chose {detail} outside the club."),
    Done.SIGN_IN_NAME: gettext_lazy("{whom} changed their sign-in name."),
    Done.SIGNED_OUT: gettext_lazy("{whom} signed out everywhere."),
    Done.CLUB_EXPORTED: gettext_lazy("{whom} downloaded everything that the club owns."),
    Done.ERASED: gettext_lazy("{whom} had everything about them erased."),
}
_STANDING = {
    Standing.ACTIVE: gettext_lazy("open"),
    Standing.CONSENT: gettext_lazy("closed until a guardian’s consent is noted"),
    Standing.WAITING: gettext_lazy("waits until a coach lets them in"),
    Standing.ARCHIVED: gettext_lazy("archived"),
    Standing.FORMER: gettext_lazy("a former member"),
}


def log_sentence(line: LogLine) -> str:
    """A line of the log as a sentence that begins with who did it.

    >>> log_sentence(LogLine(1, None, "card", None, "Noor", False, ""))
    'Whoever runs the server made a sign-in card for Noor.'
    """
    what = Done(line.what)
    words = _OF_ONESELF.get(what) if line.own else None
    said = str(words or _SENTENCES[what]).format(
        by=_("Whoever runs the server") if line.by is None else line.by,
        whom=line.whom,
        detail=_detail(what, line.detail),
    )
    return said[:1].upper() + said[1:]


def _detail(what: Done, detail: str) -> str:
    if what == Done.ROLE:
        return role_name(detail)
    if what == Done.AGE:
        return age_words(detail == "under_18")
    if what == Done.COMPETING:
        return competing_words(detail == "competes")
    if what == Done.OUTSIDE:
        return _("to be named") if detail == "named" else _("not to be named")
    if what == Done.GUARDIAN_ON_NAMING:
        return _("allows") if detail == "agreed" else _("no longer allows")
    return detail


def competing_words(competes: bool) -> str:
    """Whether somebody competes, to follow the name."""
    return _("competes") if competes else _("does not compete")


def role_name(role: str) -> str:
    """What somebody is in a club.

    >>> role_name("coach")
    'coach'
    """
    return str(Role(role).label)


def age_words(under_18: bool) -> str:
    """The mark of age in words."""
    return pgettext("age", "under 18") if under_18 else pgettext("age", "18 or older")


def standing_words(standing: str) -> str:
    """How an account stands."""
    return str(_STANDING[Standing(standing)])
