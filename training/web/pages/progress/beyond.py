"""What lies beyond the cross: for the strongest, and as habits for the coach."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from training import statistics
from training.outlooks import OutlookHabits
from training.reach import Reach
from training.selectors.reviews import MemberReview
from training.statistics import Interval, Tally
from training.web.saying.counting import count, listed
from training.web.saying.plans import colour_name
from training.web.saying.rates import limits, of, tenths


@dataclass(frozen=True, slots=True)
class BeyondShown:
    """What ``pages/progress/beyond.html`` needs.

    ``lede``: why it is shown; ``lines``: what the plans leave; ``awaited``: that
    some are not looked at yet, empty where all are. ``about_hands``: whether the
    hands are spoken of.
    """

    title: str
    lede: str
    lines: tuple[str, ...]
    awaited: str
    about_hands: bool


def show_beyond(found: MemberReview, *, own: bool) -> BeyondShown | None:
    """Lay it out: for a member who loses nothing any more, and for a coach of anybody.

    None for everybody else, and where there is no plan to go by.
    """
    habits = found.outlook
    if not (found.strongest or not own) or not (habits.crosses or habits.awaited):
        return None
    lines = [
        *(_reach_lines(found.account.reach) if found.strongest else ()),
        *_left_lines(habits, own=own),
        *_hands_lines(habits),
        *_pair_lines(habits),
        *_colour_lines(habits),
    ]
    return BeyondShown(
        title=_("For the strongest") if found.strongest else _("Beyond the cross"),
        lede=_lede(found, own=own),
        lines=tuple(lines),
        awaited=_("Not looked at yet: {plans}.").format(plans=count(habits.awaited, "plan"))
        if habits.awaited
        else "",
        about_hands=habits.hands.called > 0,
    )


def _lede(found: MemberReview, *, own: bool) -> str:
    if not found.strongest:
        return ""
    exact, plans = found.account.exact
    said = (
        _("You lose hardly a move any more: {exact} are exactly the best. What is left to look at:")
        if own
        else _("Hardly a move is lost any more: {exact} are exactly the best.")
    )
    return said.format(exact=_("{part} of {plans}").format(part=exact, plans=count(plans, "plan")))


def _reach_lines(reach: Reach) -> list[str]:
    """Reach at seven and at eight, the longest crosses there are."""
    lines = []
    for moves in (7, 8):
        chance = reach.at_least[moves - 1]
        low, high = reach.low[moves - 1], reach.high[moves - 1]
        if chance is None:
            said = _("Seeing {moves} ahead: too few crosses so long to tell.")
            lines.append(said.format(moves=count(moves, "move")))
            continue
        said = _("The last {moves} of a plan are a shortest way: {share}{sure}.")
        if low is not None and high is not None:
            sure = _(" ({limits})").format(limits=limits(Interval(chance, low, high)))
        else:
            sure = ""
        lines.append(said.format(moves=count(moves, "move"), share=tenths(chance), sure=sure))
    return lines


def _left_lines(habits: OutlookHabits, *, own: bool) -> list[str]:
    if habits.solved < statistics.LEAST_CALLED:
        return [_("Too few solved plans to say what they leave for the first pair.")]
    plans = count(habits.solved, "solved plan")
    said = (
        _(
            "After your cross the nearest first pair is {left} moves away on average, over "
            "{plans}. The best of the shortest crosses would leave {least}."
        )
        if own
        else _(
            "After the cross the nearest first pair is {left} moves away on average, over {plans}. "
            "The best of the shortest crosses would leave {least}."
        )
    )
    return [
        said.format(
            left=f"{habits.left / habits.solved:.1f}",
            plans=plans,
            least=f"{habits.least / habits.solved:.1f}",
        ),
        _("No shortest cross leaves a nearer pair: {rate}.").format(rate=_rate(habits.nearest)),
        _(
            "A cross one move longer would have made cross and pair shorter together: {rate}."
        ).format(rate=of(habits.longer_pays, habits.solved)),
    ]


def _hands_lines(habits: OutlookHabits) -> list[str]:
    if not habits.hands.called:
        return []
    said = _("Where there were several shortest crosses, none was easier on the hands: {rate}.")
    return [said.format(rate=_rate(habits.hands))]


def _pair_lines(habits: OutlookHabits) -> list[str]:
    if not habits.pairs:
        return []
    return [
        _(
            "First pairs written ahead: {pairs}. In at the end: {good}. With the cross in as few "
            "moves as can be: {best}."
        ).format(pairs=habits.pairs, good=habits.pairs_in, best=habits.pairs_best)
    ]


def _colour_lines(habits: OutlookHabits) -> list[str]:
    if not habits.crosses or not habits.own_colours:
        return []
    mine = listed([colour_name(one) for one in habits.own_colours])
    saving = [(name, moves) for name, moves in habits.saved if moves]
    crosses = count(habits.crosses, "cross")
    if not saving:
        return [
            _("No colour beside {mine} would have saved a move on {crosses}.").format(
                mine=mine, crosses=crosses
            )
        ]
    (name, moves), *others = saving
    said = [
        _("With {colour} too, the best crosses would be {moves} shorter on {crosses}.").format(
            colour=colour_name(name), moves=count(moves, "move"), crosses=crosses
        )
    ]
    if others:
        said.append(
            _("With another instead: {colours}.").format(
                colours=listed(
                    [
                        _("{colour} {moves}").format(colour=colour_name(name), moves=moves)
                        for name, moves in others
                    ]
                )
            )
        )
    return [" ".join(said)]


def _rate(tally: Tally) -> str:
    """A count, with the likely limits where they may be said."""
    said = of(tally.answered, tally.called)
    if tally.called < statistics.LEAST_CALLED:
        return said
    return _("{count} ({limits})").format(
        count=said, limits=limits(statistics.wilson(tally.answered, tally.called))
    )
