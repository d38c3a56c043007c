"""What is kept about people, with the very numbers by which it is deleted."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.utils.translation import gettext as _
from knox.settings import knox_settings

from training import retention
from training.agreement import CURRENT, TEXTS
from training.services.accounts import CODE_DAYS
from training.services.attempts import KEPT_AFTER_CLOSING
from training.services.failures import DEVICE_DAYS
from training.web.saying.counting import count


@dataclass(frozen=True, slots=True)
class KeptThing:
    """One kind of thing that is kept: what, why, for how long."""

    what: str
    why: str
    how_long: str


@dataclass(frozen=True, slots=True)
class Viewers:
    """Who sees what."""

    who: str
    what: str


@dataclass(frozen=True, slots=True)
class PrivacyShown:
    """What ``pages/privacy/privacy.html`` needs. ``agreement``: what a guardian agrees to today."""

    things: tuple[KeptThing, ...]
    viewers: tuple[Viewers, ...]
    copies: str
    agreement: str
    agreement_number: int


def show_privacy() -> PrivacyShown:
    """Lay it out. Whatever is said here is done elsewhere; the numbers come from there."""
    return PrivacyShown(
        things=tuple(_things()),
        viewers=tuple(_viewers()),
        copies=_(
            "Copies of the database hold what was erased until they are deleted. Of those that the "
            "site makes before an upgrade the newest {count} are kept; of all others, as many as "
            "whoever runs the server keeps."
        ).format(count=retention.COPIES_BEFORE_UPGRADES),
        agreement=str(TEXTS[CURRENT]),
        agreement_number=CURRENT,
    )


def _things() -> list[KeptThing]:
    until_erased = _("Until you are erased. Archiving an account erases nothing.")
    return [
        KeptThing(
            _("Your account: a sign-in name, and your pass phrase in a form that cannot be read"),
            _("So that you and nobody else gets in."),
            until_erased,
        ),
        KeptThing(
            _(
                "In each club: the name that others see, your role, your groups, since when you "
                "belong, and whether you are under 18"
            ),
            _("So that the club knows whose results these are, and whom to ask for consent."),
            until_erased,
        ),
        KeptThing(
            _(
                "For somebody under 18: who agreed and how, as a coach noted it, when, by whom, "
                "and to which text"
            ),
            _("So that it can be shown that a parent or guardian agreed."),
            until_erased,
        ),
        KeptThing(
            _(
                "How long you inspected a scramble and whether you looked again; whether your cube "
                "differed; how you inspect and hold the cube as a rule"
            ),
            _("So that a time can stand beside your plan, and your choice is offered again."),
            until_erased,
        ),
        KeptThing(
            _(
                "What you write for a scramble, before it is handed in: here and in your browser; "
                "and what you write on a second look: in your browser alone"
            ),
            _("So that nothing typed is lost."),
            _(
                "Until it is handed in; in the browser until you sign out there, at most {kept}; "
                "here at most {days} after the set has closed."
            ).format(
                kept=count(retention.TYPED_DAYS, "day"), days=count(KEPT_AFTER_CLOSING.days, "day")
            ),
        ),
        KeptThing(
            _(
                "Your plans as you wrote them, when, what they were worth, your practice, and "
                "which lessons you were at"
            ),
            _("For the verdict, the tables, your progress and what the coach teaches next."),
            _("Until you are erased. Of a former member numbers without a name stay."),
        ),
        KeptThing(
            _(
                "What you find when you try again from a place in your plan: the moves, when, and "
                "with how many hints"
            ),
            _("So that you and the coaches see that you found it. It counts in no table."),
            until_erased,
        ),
        KeptThing(
            _(
                "What you asked a coach and what was answered; your lines in confirmed results; "
                "whether your name may stand outside the club"
            ),
            _("So that a verdict can be put right, and a result stands as it was told."),
            _("Until you are erased. Of confirmed results numbers without a name stay."),
        ),
        KeptThing(
            _(
                "When somebody signed in under your name or failed to, from which network address "
                "and with which browser"
            ),
            _("Against guessing: after too many failures a name is locked for a while."),
            count(retention.ACCESS_DAYS, "day"),
        ),
        KeptThing(
            _("Signed-in browsers, programs and sign-in cards, each as a hash"),
            _("So that you need not sign in for every page."),
            _("Browsers {browsers} without a visit, programs {programs}, cards {cards}.").format(
                browsers=count(settings.SESSION_COOKIE_AGE // 86400, "day"),
                programs=count(knox_settings.TOKEN_TTL.days, "day"),
                cards=count(CODE_DAYS, "day"),
            ),
        ),
        KeptThing(
            _(
                "On your own device: a cookie for the session, one against forged forms, and two "
                "by which the device and the clubs you opened on it are known"
            ),
            _(
                "The last two let you in although somebody else fails under your name, and help "
                "you to a new pass phrase."
            ),
            _("The last two for {days}; delete them in your browser whenever you like.").format(
                days=count(DEVICE_DAYS, "day")
            ),
        ),
        KeptThing(
            _("A club’s log: who did what to whom, such as a card made or a role changed"),
            _("So that an owner can see what coaches did."),
            count(retention.LOG_DAYS, "day"),
        ),
    ]


def _viewers() -> list[Viewers]:
    return [
        Viewers(
            _("Everybody in your club"),
            _("The name that others see, and your results in the tables that are open."),
        ),
        Viewers(
            _("You and the coaches of your club"),
            _(
                "Your plans, what you found on a second look at them, your progress, your sign-in "
                "name, your age mark and the consent."
            ),
        ),
        Viewers(
            _("You and the coaches, and nobody else in the club"),
            _("What you asked a coach, and the answer."),
        ),
        Viewers(_("The owners of your club"), _("The club’s log, beside what coaches see.")),
        Viewers(
            _("Whoever runs the server"),
            _("The database and its copies, but no pass phrase."),
        ),
        Viewers(
            _("Nobody else"),
            _(
                "Nothing is public, nothing is sold, and the pages load nothing from other sites. "
                "Only results of challenges can be printed, sent on or opened to others by the "
                "club: you are “a member” there, unless you said that your name may stand there "
                "and, under 18, a guardian agreed to that, too. "
                "Other clubs see nothing, also if you belong to both."
            ),
        ),
    ]
