"""What a plan leaves, and what many plans left, in sentences. One place for pages of both."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from solverworker.outlook import OnTheHands, PairAhead, PairLeft, PlanOutlook
from solverworker.report import COLOURS, PlanReport
from training.web.saying.counting import count, listed
from training.web.saying.plans import colour_name


def pair_name(slot: str) -> str:
    """A first pair by its two colours.

    >>> pair_name("green-red")
    'green and red'
    """
    return listed([colour_name(one) for one in slot.split("-")])


def left_words(own: PairLeft) -> str:
    """How far the nearest first pair is from where a plan ends."""
    if not own.left:
        return _("With the cross a first pair is in already: {pair}.").format(
            pair=pair_name(own.slot)
        )
    return _("The nearest first pair, {pair}, is then {moves} away:").format(
        pair=pair_name(own.slot), moves=count(own.left, "move")
    )


def shortest_words(own: PairLeft, shortest: PairLeft) -> tuple[str, bool]:
    """What the best of all shortest crosses leaves beside it; and whether to show that cross."""
    moves = count(shortest.moves, "move")
    if own.moves == shortest.moves and own.left == shortest.left:
        return _("No cross in {moves} leaves a nearer one.").format(moves=moves), False
    if not shortest.left:
        said = _("Another cross in {moves} brings a first pair in with it:")
        if own.moves != shortest.moves:
            said = _("One of the shortest crosses, in {moves}, brings a first pair in with it:")
    elif own.moves == shortest.moves:
        said = _("Another cross in {moves} leaves one in {less} instead of {own}:")
    else:
        said = _("Of the shortest crosses, in {moves}, the best for the pair leaves one in {less}:")
    return said.format(moves=moves, less=shortest.left, own=own.left), True


def longer_words(shortest: PairLeft, longer: PairLeft) -> tuple[str, bool]:
    """Whether a cross one move longer makes cross and pair together shorter; if so, to be shown."""
    together = longer.moves + longer.left
    before = shortest.moves + shortest.left
    if together >= before:
        said = _("No cross one move longer makes cross and first pair shorter together.")
        return said, False
    if longer.left:
        said = _(
            "One move more pays: a cross in {moves} leaves one in {left}, {together} together. "
            "After a shortest cross it is {before}."
        )
    else:
        said = _(
            "One move more pays: a cross in {moves} brings a first pair in with it. "
            "After a shortest cross both take {before}."
        )
    return said.format(
        moves=count(longer.moves, "move"),
        left=longer.left,
        together=count(together, "move"),
        before=before,
    ), True


def hands_words(hands: OnTheHands) -> tuple[str, bool]:
    """How a shortest way lies in the hands among its equals; and whether to show the easiest."""
    if hands.ways == 1:
        return _("It is the only shortest cross, so the hands have no choice."), False
    if not hands.easier:
        return _("Of the {ways} shortest crosses none is easier on the hands.").format(
            ways=hands.ways
        ), False
    return ngettext(
        "Of the {ways} shortest crosses {number} is easier on the hands:",
        "Of the {ways} shortest crosses {number} are easier on the hands. The easiest:",
        hands.easier,
    ).format(ways=hands.ways, number=hands.easier), True


def nearer_colours(found: PlanOutlook, report: PlanReport) -> str:
    """Which colours had a shorter cross than the best of those allowed."""
    nearer = [
        _("{colour} {moves}").format(colour=colour_name(name), moves=moves)
        for name, moves in zip(COLOURS, found.distances, strict=True)
        if moves < report.best
    ]
    if not nearer:
        return _("In no colour was the cross shorter than {best}.").format(
            best=count(report.best, "move")
        )
    return _("Shorter in another colour: {nearer}.").format(nearer=listed(nearer))


def pair_words(ahead: PairAhead, *, solves: bool, own: bool) -> str:
    """Whether the moves written for a first pair bring one in. ``solves``: the plan its cross."""
    if ahead.solved:
        said = (
            _("Your first pair is in: {pair}, in {moves}.")
            if own
            else _("The first pair is in: {pair}, in {moves}.")
        )
        return said.format(pair=pair_name(ahead.slot), moves=count(ahead.moves, "move"))
    if solves:
        return _("At the end of the moves for the pair no pair is in with the cross.")
    return _("The plan does not solve the cross, and no pair is in with it at the end.")


def from_cross_words(ahead: PairAhead, *, solves: bool) -> tuple[str, bool]:
    """The least from where the plan ends, beside what was written; and whether to show a way."""
    if solves and not ahead.from_cross:
        return _("From where the cross ends nothing had to be turned: a pair was in."), False
    if ahead.solved and solves and ahead.moves == ahead.from_cross:
        return _("From where the cross ends no pair takes fewer."), False
    said = (
        _("From where the cross ends a pair takes {moves} at least:")
        if solves
        else _("From where the plan ends cross and pair take {moves} at least:")
    )
    return said.format(moves=count(ahead.from_cross, "move")), True


def best_words(ahead: PairAhead) -> tuple[str, bool]:
    """Cross and pair together beside the least from the scramble on; and whether to show a way."""
    best = count(ahead.best, "move")
    if not ahead.solved:
        return _("Cross and first pair together take {best} at least:").format(best=best), True
    if ahead.whole == ahead.best:
        return _("Cross and first pair in {best}: nothing takes fewer.").format(best=best), False
    said = _("Cross and first pair took {whole} together. The best is {best}:")
    return said.format(whole=count(ahead.whole, "move"), best=ahead.best), True
