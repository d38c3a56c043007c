"""The parents' guide: what it is, what is kept, who sees it, consent, hands and screens."""

from __future__ import annotations

from django.utils.translation import gettext as _

from training.agreement import CURRENT, TEXTS
from training.rules import CAP
from training.selectors.quiet import QUIET_DAYS
from training.web.pages.guide.shown import GuideShown, Section
from training.web.saying.counting import count


def guide_for_parents() -> GuideShown:
    """Lay it out. Of what is kept the privacy page tells all; here is what parents ask first."""
    return GuideShown(
        here="guide_parents",
        title=_("For parents and guardians"),
        lede=_(
            "A club for speedcubing uses this site to practise one part of solving a cube: to plan "
            "its first step ahead."
        ),
        sections=(_what(), _kept(), _seen(), _consent(), _hands(), _screen()),
    )


def _what() -> Section:
    return Section(
        "what",
        _("What your child does here"),
        (
            _(
                "The club hands out a few scrambles. Your child looks at a cube, plans the first "
                "step and types the moves. The site tells how near to the best the plan was, and "
                "which idea would have helped."
            ),
            _("A coach of the club reads the plans, gives lessons and answers questions."),
        ),
    )


def _kept() -> Section:
    return Section(
        "kept",
        _("What is kept"),
        (
            _(
                "A name that others in the club see, a sign-in name, a mark “under 18”, the plans "
                "and what they were worth. No e-mail address, no birthday, no picture."
            ),
            _("No advertising, nothing sold, and the pages load nothing from other sites."),
        ),
    )


def _seen() -> Section:
    return Section(
        "seen",
        _("Who sees it"),
        (
            _("Members of the club see the name and the results in the tables."),
            _("Plans, progress and questions to the coach are seen by your child and the coaches."),
            _(
                "Outside the club a result names your child only if both your child and you said "
                "that it may."
            ),
        ),
    )


def _consent() -> Section:
    return Section(
        "consent",
        _("What you agree to"),
        (
            _(
                "An account of somebody under 18 opens only once a coach has noted that a parent "
                "or guardian agrees to this:"
            ),
        ),
        quote=str(TEXTS[CURRENT]),
    )


def _hands() -> Section:
    return Section(
        "hands",
        _("Hands tire"),
        (
            _(
                "Small muscles tire sooner than the wish to go on. A few crosses a day are enough; "
                "whoever feels pain in hand or arm stops and rests."
            ),
            _("Planning needs no turning: it can be practised by looking alone."),
        ),
    )


def _screen() -> Section:
    return Section(
        "screen",
        _("Time at a screen"),
        (
            _(
                "Nothing here is made to keep a child at a screen: no streaks, no badges, no "
                "messages that call back. A day’s practice says when it is enough."
            ),
            _(
                "A day missed counts {cap} for each cross in the tables, as one that is not solved "
                "does; a club may count the best sets of a week alone. Coaches see who has handed "
                "in nothing for {days}, so that they can ask kindly."
            ).format(cap=CAP, days=count(QUIET_DAYS, "day")),
        ),
    )
