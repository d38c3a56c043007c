"""The members' guide: what a cross is, an edge's name, how to plan it all, each idea."""

from __future__ import annotations

from django.utils.translation import gettext as _

from solverworker.causes import IDEAS
from training.rules import CAP
from training.web.pages.guide.shown import GuideLine, GuideShown, Section
from training.web.saying.ideas import idea_anchor, ideas_told


def guide_for_members() -> GuideShown:
    """Lay it out."""
    return GuideShown(
        here="guide",
        title=_("How to plan a cross"),
        lede=_(
            "You look at a scrambled cube, plan the whole cross before the first turn, and write "
            "the plan down. Then you read where it was the best there is, and where not."
        ),
        sections=(
            _cross(),
            _edge(),
            _hold(),
            _planning(),
            _counting(),
            _connection(),
            _tables(),
            _ideas(),
            _more(),
        ),
    )


def _cross() -> Section:
    return Section(
        "cross",
        _("What a cross is"),
        (
            _(
                "Four edges of one colour around the centre of that colour. The white cross has "
                "the four edges with white on them."
            ),
            _(
                "It is solved when all four lie around the white centre with white up to it, and "
                "the other colour of each meets the centre of its own side. The rest of the cube "
                "may look as it likes."
            ),
            _(
                "Every cross can be solved in {cap} moves or fewer. That is what we look for."
            ).format(cap=CAP),
        ),
    )


def _edge() -> Section:
    return Section(
        "edge",
        _("What an edge is called"),
        (
            _(
                "An edge has two colours. All four of a cross share one, so we call each by the "
                "other: on the white cross the green edge is the one that is white and green."
            ),
            _(
                "An edge is home when it lies between its two centres, each colour beside its own. "
                "Its gap is the place where it belongs."
            ),
        ),
    )


def _hold() -> Section:
    return Section(
        "hold",
        _("How to hold the cube"),
        (
            _("Scramble with white on top and green in front."),
            _(
                "A plan begins as the cube lies after the scramble. To turn the whole cube first, "
                "write that: x, y or z. It costs nothing, and “the front” is then the new front."
            ),
            _(
                "Most people plan the cross for the bottom: your hands and eyes stay free for what "
                "comes next. For the white cross that means x2 or z2 first."
            ),
        ),
    )


def _planning() -> Section:
    return Section(
        "planning",
        _("How to plan it all before the first turn"),
        (_("Do not turn anything yet. Point with your eyes, not with your fingers."),),
        steps=(
            _("Find the four edges of your colour. Say them to yourself, one after the other."),
            _("Look which are home already, or right beside each other. Keep those."),
            _("Choose the edge that is easiest to bring down. See which moves that takes."),
            _("Follow the other edges through these moves: where are they now?"),
            _("Go on until all four are home. Then trace it once more from the start."),
            _("Put the cube down and write the moves from memory."),
            _("Read what you wrote as a stranger would, then hand it in."),
        ),
    )


def _counting() -> Section:
    return Section(
        "counting",
        _("How a plan is counted"),
        (
            _(
                "Every turn of a face is one move, also a half turn. “Best” is the fewest moves "
                "that solve this cross. What counts is how many moves your plan has over the best."
            ),
            _(
                "A cross that is not solved counts {cap}, and so does one without a plan. A long "
                "plan never counts more than that, so a plan that solves is never worse than none."
            ).format(cap=CAP),
            _(
                "From a verdict you can try again, from the first move that lost something or from "
                "any other: what you find on this second look counts in no table, and you and the "
                "coaches see that you found it."
            ),
        ),
    )


def _connection() -> Section:
    return Section(
        "connection",
        _("When the connection is gone"),
        (
            _(
                "Write on: what you type stays in this browser until it is handed in, or until you "
                "sign out. So sign out on a tablet that others use."
            ),
            _(
                "“Continue” reads your plan back without a connection too. Tap “Hand it in when "
                "the connection is back”: it goes in by itself then, while a page of the club is "
                "open here. What cannot be read without a connection you read once more when it is "
                "back."
            ),
            _(
                "A plan counts if it comes in before the set closes. Without a connection no time "
                "is taken: in a set that is timed only, wait for it before you start."
            ),
            _("What you write when you try again waits too, and is tried then."),
        ),
    )


def _tables() -> Section:
    return Section(
        "tables",
        _("How a table is read"),
        (_("Fewest moves over come first. What stands above each column means this."),),
        told=(
            GuideLine(
                _("moves over"),
                _(
                    "The moves of all your plans over the best, added up. A cross that is not "
                    "solved counts {cap}."
                ).format(cap=CAP),
                anchor="over",
            ),
            GuideLine(
                _("mean over"),
                _(
                    "The moves over, shared out evenly over the sets that count for you: so many "
                    "in a set. The table writes tenths; ranks go by the exact fraction."
                ),
                _("3 over in one set and 2 in another make 2.5, about 3."),
                anchor="mean-over",
            ),
            GuideLine(
                _("sets"),
                _("How many sets count for you: those that opened and closed while you belonged."),
                anchor="sets",
            ),
            GuideLine(_("solved"), _("How many of your plans solve their cross."), anchor="solved"),
            GuideLine(
                _("exact"),
                _("How many of your plans solve it in the fewest moves there are."),
                anchor="exact",
            ),
            GuideLine(
                _("timed"),
                _(
                    "In the list of timed plans: how many there are, and the moves over and the "
                    "time shared out evenly over these plans. In a set that is timed only, a plan "
                    "out of time counts {cap}, and is neither solved nor exact in the table."
                ).format(cap=CAP),
                anchor="timed",
            ),
        ),
    )


def _ideas() -> Section:
    return Section(
        "ideas",
        _("Ideas that save moves"),
        (_("Each has a name. You meet them in your verdicts, and practice is drawn to them."),),
        told=tuple(
            GuideLine(one.name, one.meaning, one.example, anchor=idea_anchor(code))
            for code, one in zip(IDEAS, ideas_told(IDEAS), strict=True)
        ),
    )


def _more() -> Section:
    return Section(
        "practice",
        _("Practise without getting tired"),
        (
            _(
                "Begin with short crosses: practice starts with as many moves as you can already "
                "see, and grows by one when eight of your last ten were exactly the best."
            ),
            _(
                "Hands tire before heads do. A few crosses with care are worth more than many in a "
                "hurry. Stop when it hurts, and tell somebody."
            ),
        ),
    )
