"""What lies beyond the cross: for the strongest, and as habits for the coach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _

from training import statistics
from training.inspection import Inspected
from training.outlooks import OutlookHabits
from training.reach import Reach
from training.selectors.reviews import MemberReview
from training.statistics import Interval, Tally
from training.web.saying.counting import count, listed
from training.web.saying.plainly import about, chance_in_ten, rate
from training.web.saying.plans import colour_name
from training.web.saying.rates import limits, of


@dataclass(frozen=True, slots=True)
class BeyondShown:
    """What ``pages/progress/beyond.html`` needs.

    ``lede``: why it is shown; ``lines``: what the plans leave; ``exactly``: the numbers behind
    the plain words of a member's own; ``awaited``: that some are not looked at yet, empty
    where all are. ``about_hands``: whether the hands are spoken of.
    """

    title: str
    lede: str
    lines: tuple[str, ...]
    exactly: tuple[str, ...]
    awaited: str
    about_hands: bool


def show_beyond(
    found: MemberReview, inspections: Sequence[Inspected] = (), *, own: bool
) -> BeyondShown | None:
    """Lay it out: for a member who loses nothing any more, and for a coach of anybody.

    ``inspections``: of exact plans, timed and from one look.

    None for everybody else, and where there is no plan to go by.
    """
    habits = found.outlook
    if not (found.strongest or not own) or not (habits.crosses or habits.awaited):
        return None
    lines = [
        *(_reach_lines(found.account.reach, own=own) if found.strongest else ()),
        *_left_lines(habits, own=own),
        *_hands_lines(habits, own=own),
        *_pair_lines(habits),
        *_colour_lines(habits),
        *_seconds_lines(inspections),
        *(() if own else _doubt_lines(inspections)),
    ]
    exactly = [
        *(_reach_lines(found.account.reach, own=False) if found.strongest else ()),
        *_left_lines(habits, own=False),
        *_hands_lines(habits, own=False),
        *_doubt_lines(inspections),
    ]
    return BeyondShown(
        title=_("For the strongest") if found.strongest else _("Beyond the cross"),
        lede=_lede(found, own=own),
        lines=tuple(lines),
        exactly=tuple(one for one in exactly if one not in lines) if own else (),
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


def _reach_lines(reach: Reach, *, own: bool) -> list[str]:
    """Reach at seven and at eight, the longest crosses there are."""
    lines = []
    for moves in (7, 8):
        chance = reach.at_least[moves - 1]
        low, high = reach.low[moves - 1], reach.high[moves - 1]
        if chance is None:
            said = _("Seeing {moves} ahead: too few crosses of that length to tell.")
            lines.append(said.format(moves=count(moves, "move")))
            continue
        said = _("The last {moves} of a plan are a shortest way: {share}{sure}.")
        if low is not None and high is not None and not own:
            sure = _(" ({limits})").format(limits=limits(Interval(chance, low, high)))
        else:
            sure = ""
        lines.append(
            said.format(moves=count(moves, "move"), share=chance_in_ten(chance), sure=sure)
        )
    return lines


def _left_lines(habits: OutlookHabits, *, own: bool) -> list[str]:
    if habits.solved < statistics.LEAST_CALLED:
        return [_("Too few solved plans to say what they leave for the first pair.")]
    plans = count(habits.solved, "solved plan")
    said = (
        _(
            "After your cross the nearest first pair is {left} away on average, over "
            "{plans}. The best of the shortest crosses would leave {least}."
        )
        if own
        else _(
            "After the cross the nearest first pair is {left} away on average, over {plans}. "
            "The best of the shortest crosses would leave {least}."
        )
    )
    return [
        said.format(
            left=_mean(habits.left, habits.solved, own=own),
            plans=plans,
            least=_mean(habits.least, habits.solved, own=own),
        ),
        _("No shortest cross leaves a nearer pair: {rate}.").format(
            rate=_rate(habits.nearest, own=own)
        ),
        _(
            "A cross one move longer would have made cross and pair shorter together: {rate}."
        ).format(
            rate=rate(habits.longer_pays, habits.solved)
            if own
            else of(habits.longer_pays, habits.solved)
        ),
    ]


def _hands_lines(habits: OutlookHabits, *, own: bool) -> list[str]:
    if not habits.hands.called:
        return []
    said = _("Where there were several shortest crosses, none was easier on the hands: {rate}.")
    return [said.format(rate=_rate(habits.hands, own=own))]


def _pair_lines(habits: OutlookHabits) -> list[str]:
    if not habits.pairs:
        return []
    return [
        _(
            "First pairs written ahead: {pairs}. In at the end: {good}. Cross and pair together in "
            "the fewest moves: {best}."
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


def _seconds_lines(inspections: Sequence[Inspected]) -> list[str]:
    """How many seconds half of the timed exact plans took at most, in whole ones."""
    taken = sorted(one.taken for one in inspections if one.taken is not None)
    if not taken:
        return []
    if len(taken) < statistics.LEAST_CALLED:
        return [_("Too few timed plans are exactly the best to speak of seconds.")]
    middle = taken[(len(taken) - 1) // 2]
    return [
        _(
            "Seconds of inspection: half of {plans}, timed and exactly the best, took {most}."
        ).format(
            plans=count(len(taken), "plan"),
            most=_("{seconds} or less").format(seconds=count(-(-middle // 1000), "second")),
        )
    ]


def _doubt_lines(inspections: Sequence[Inspected]) -> list[str]:
    """How far these times can be off: they are the server's, over a network."""
    if len(inspections) < statistics.LEAST_CALLED:
        return []
    doubt = -(-max(one.doubt for one in inspections) // 100)
    return [
        _("These times are the server’s: each is known to within {tenths} of a second.").format(
            tenths=f"{doubt / 10:.1f}"
        )
    ]


def _mean(moves: int, plans: int, *, own: bool) -> str:
    """Moves a plan: in whole ones for the member, else to one decimal."""
    if own:
        return about(Fraction(moves, plans), "move")
    return _("{number} moves").format(number=f"{moves / plans:.1f}")


def _rate(tally: Tally, *, own: bool) -> str:
    """A count, with the likely limits where they may be said; plainly for the member."""
    if own:
        return rate(tally.answered, tally.called)
    said = of(tally.answered, tally.called)
    if tally.called < statistics.LEAST_CALLED:
        return said
    return _("{count} ({limits})").format(
        count=said, limits=limits(statistics.wilson(tally.answered, tally.called))
    )
