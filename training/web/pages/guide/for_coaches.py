"""The coaches' guide: a week of the club, and which page is for which job."""

from __future__ import annotations

from django.utils.translation import gettext as _

from training.web.pages.guide.shown import GuideLine, GuideShown, Section


def guide_for_coaches(*, opens_pages: bool) -> GuideShown:
    """Lay it out; ``opens_pages``: the reader coaches a club, whose pages can be opened."""
    return GuideShown(
        here="guide_coach",
        title=_("A week of the club"),
        lede=_(
            "Sets issue themselves, plans are checked at once, and tables add themselves up. What "
            "is left for you is what no program does: to read, to teach, to encourage."
        ),
        sections=(_week(), _day(), _reading(), _people(), _wrong()),
        opens_pages=opens_pages,
    )


def _week() -> Section:
    return Section(
        "week",
        _("Once a week"),
        (),
        told=(
            GuideLine(
                _("Choose the lesson"),
                _(
                    "The review lists ideas, slips and habits by what they cost your members. Each "
                    "leads to a lesson with crosses to show and a set to give."
                ),
                page="coach_review",
            ),
            GuideLine(
                _("Look at the week to come"),
                _(
                    "All sets by day. Leave one out, move it, add one for a group, with its own "
                    "colours, hours, lengths or inspection; enter holidays."
                ),
                page="planner",
            ),
            GuideLine(
                _("Announce the challenge"),
                _(
                    "It opens and closes by itself. You answer questions, confirm the result and "
                    "post it, with a word about those who earned one."
                ),
                page="challenges",
            ),
        ),
    )


def _day() -> Section:
    return Section(
        "day",
        _("Five minutes a day"),
        (),
        told=(
            GuideLine(
                _("See who handed in, and who has gone quiet"),
                _(
                    "The coach’s day has it at a glance, and the plans of the day one after the "
                    "other. Answers to members’ questions stand with their verdicts."
                ),
                page="coach",
            ),
            GuideLine(
                _("Answer questions"),
                _(
                    "Members ask about a verdict or a scramble. What you write is read by them "
                    "and by the coaches."
                ),
                page="questions",
            ),
        ),
    )


def _reading() -> Section:
    return Section(
        "numbers",
        _("How to read the numbers"),
        (
            _(
                "Twenty plans say little. A rate stands with limits between which it likely lies, "
                "and a member is flagged only when the evidence is good. “Not enough evidence yet” "
                "means just that."
            ),
            _(
                "An idea is called for when every shortest way uses it. Moves lost are shared out "
                "over the ideas that would have saved them, each move once."
            ),
            _(
                "Random sets feed tables and reviews. Picked sets are for lessons: they have "
                "tables of their own and are counted apart."
            ),
            _(
                "Beginners: give a group picked sets with crosses of two to four moves. In their "
                "own practice the length grows with them."
            ),
        ),
    )


def _people() -> Section:
    return Section(
        "people",
        _("When somebody joins or leaves"),
        (),
        told=(
            GuideLine(
                _("Let somebody in"),
                _(
                    "By a link, a code or a whole list. Somebody under 18 waits until you note "
                    "that a parent or guardian agrees."
                ),
                page="people",
            ),
            GuideLine(
                _("Make groups"),
                _("By level, age or evening. A group may have sets and a table of its own."),
                page="groups",
            ),
        ),
    )


def _wrong() -> Section:
    return Section(
        "wrong",
        _("When something went wrong"),
        (
            _("Nothing is ever changed in silence: each correction is listed with its reason."),
            _(
                "Without a connection a plan waits in the browser in which it was written, and "
                "goes in when the connection is back. Whoever has none until the set has closed "
                "needs it kept open longer before that; whose time was lost, an excused time."
            ),
        ),
        told=(
            GuideLine(
                _("Correct a result"),
                _(
                    "Let a scramble count for nobody, put a spare in its place, keep a set open "
                    "longer, accept a forgotten rotation, excuse a time, withdraw a plan. Each can "
                    "be taken back."
                ),
                page="corrections",
            ),
            GuideLine(
                _("Change the rules"),
                _(
                    "Colours, spelling, who sees answers and tables when, how many sets of a week "
                    "count. What is open already runs on as it is."
                ),
                page="settings",
            ),
        ),
    )
